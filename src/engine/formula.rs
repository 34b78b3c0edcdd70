//! Formulas and rules as registered values: what they say, where they come from, how they compute.
//!
//! A step obtains a number only through [`crate::engine::trace::Trace`], so nothing is computed
//! unrecorded. Each engine module lists its own in `FORMULAS` and `RULES`;
//! [`crate::engine::formulas`] and [`crate::engine::rules`] gather them.

use crate::model::Citation;
use crate::units::Unit;

/// A symbol of a formula.
#[derive(Debug, Clone, Copy)]
pub struct Symbol {
    /// As in the expression, such as "d".
    pub symbol: &'static str,
    pub meaning: &'static str,
    pub unit: Unit,
    /// Valid range, ends included.
    pub least: f64,
    pub most: f64,
}

impl Symbol {
    /// A symbol that may be any finite number.
    pub const fn new(symbol: &'static str, meaning: &'static str, unit: Unit) -> Self {
        Symbol {
            symbol,
            meaning,
            unit,
            least: f64::NEG_INFINITY,
            most: f64::INFINITY,
        }
    }

    /// The same symbol, valid within `least..=most`.
    pub const fn within(mut self, least: f64, most: f64) -> Self {
        self.least = least;
        self.most = most;
        self
    }
}

/// A published, checked or derived formula with a fixed number of inputs. Sums over any number of
/// equal terms have one symbol and `repeats` set.
pub struct Formula {
    /// Stable, such as "gas.relative_density".
    pub id: &'static str,
    pub title: &'static str,
    /// In plain typographic symbols, such as "d = M / 28.9647".
    pub expression: &'static str,
    pub inputs: &'static [Symbol],
    /// The last input symbol may come any number of times.
    pub repeats: bool,
    pub output: Symbol,
    pub citation: Citation,
    pub compute: fn(&[f64]) -> f64,
    /// Inputs and result of a worked example.
    pub example: (&'static [f64], f64),
    /// Where the worked example was published, or how it was checked.
    pub example_from: &'static str,
}

/// A rule of design: a decision with a ground, not an arithmetic.
#[derive(Debug)]
pub struct Rule {
    /// Stable, such as "mounting.light_gas".
    pub id: &'static str,
    pub title: &'static str,
    /// One sentence as it is printed.
    pub statement: &'static str,
    pub citation: Citation,
}

//! What a release does in a room: what comes out, how it mixes, when it alarms and when it harms.
//!
//! Volumes of gas are at room temperature and the pressure of the air. Must not choose a height or
//! place anything. Citations stand beside each formula.

pub mod discharge;
pub mod plume;
pub mod room;
pub mod layer;
pub mod vents;
pub mod oxygen;
pub mod mixing;
pub mod air;
pub mod harm;
pub mod alarm;
mod state;
mod course;
mod words;
mod provision;
mod findings;
mod step;

use serde::Serialize;

use crate::engine::formula::{Formula, Rule, Symbol};
use crate::engine::trace::{Quantity, Trace};
use crate::model::Citation;
use crate::units::Unit;

pub use alarm::Watcher;
pub use findings::into_questions;
pub use step::{Inputs, step};
pub use words::said;

/// What comes out of a release source.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Discharge {
    /// Gas at the beginning, m3/s at room temperature and pressure.
    pub rate: Quantity,
    /// Density relative to the room's air, as it leaves.
    pub relative_density: Quantity,
    /// All there is, m3 at room temperature and pressure; `None`: it goes on.
    pub total: Option<Quantity>,
    pub course: Course,
    /// Surface of the pool it comes off, m2, of a liquid that was spilt on the floor.
    pub pool: Option<Quantity>,
}

/// How the rate goes on from its beginning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Course {
    /// The same until the total is out.
    Steady,
    /// Falling with what is left: the choked, isothermal blow-down of a vessel.
    Emptying,
}

const RATE_AT_FIRST: Symbol =
    Symbol::new("q", "gas at the beginning", Unit::CubicMetrePerSecond).within(0.0, 1e4);
const ALL_THERE_IS: Symbol = Symbol::new("V", "all there is", Unit::CubicMetre).within(0.0, 1e7);
const END: Symbol = Symbol::new("t", "time from the beginning", Unit::Second);

/// When a release at one rate has run out.
pub static RUNS_OUT: Formula = Formula {
    id: "atmosphere.runs_out",
    title: "Time until all is out",
    expression: "t = V / q",
    inputs: &[ALL_THERE_IS, RATE_AT_FIRST],
    repeats: false,
    output: END,
    citation: Citation::Geometry,
    compute: |x| x[0] / x[1],
    example: (&[6.0, 0.01], 600.0),
    example_from: "by hand",
};

/// When a vessel that empties has lost what is worth a drawing.
pub static EMPTIES: Formula = Formula {
    id: "atmosphere.empties",
    title: "Time until an emptying vessel has lost 99 % of its gas",
    expression: "t = ln(100) V / q",
    inputs: &[ALL_THERE_IS, RATE_AT_FIRST],
    repeats: false,
    output: END,
    citation: Citation::from_memory(
        "Green Book (CPR 14E), chapter 2",
        "isothermal choked blow-down: what is left falls as exp(-q t / V)",
    ),
    compute: |x| 100f64.ln() * x[0] / x[1],
    example: (&[9.0, 0.02], 2072.3),
    example_from: "4.6052 time constants of 450 s, by hand",
};

/// The formulas of what a release does in a room.
pub fn formulas() -> Vec<&'static Formula> {
    [
        &[&RUNS_OUT, &EMPTIES][..],
        plume::FORMULAS,
        room::FORMULAS,
        layer::FORMULAS,
        vents::FORMULAS,
        oxygen::FORMULAS,
        mixing::FORMULAS,
        air::FORMULAS,
        alarm::FORMULAS,
        provision::FORMULAS,
    ]
    .concat()
}

/// The rules of what a release does in a room.
pub fn rules() -> Vec<&'static Rule> {
    [
        vents::RULES,
        mixing::RULES,
        harm::RULES,
        alarm::RULES,
        state::RULES,
    ]
    .concat()
}

impl Discharge {
    /// Rate at `seconds` after the beginning, m3/s.
    pub fn rate_at(&self, seconds: f64) -> f64 {
        let rate = self.rate.value;
        match (self.total.map(|total| total.value), self.course) {
            _ if seconds < 0.0 => 0.0,
            (None, _) => rate,
            (Some(total), _) if total <= 0.0 => 0.0,
            (Some(total), Course::Steady) if rate * seconds >= total => 0.0,
            (Some(_), Course::Steady) => rate,
            (Some(total), Course::Emptying) => rate * (-seconds * rate / total).exp(),
        }
    }

    /// s from the beginning until nothing to speak of comes out any more; `None`: it goes on.
    pub fn ends(&self, trace: &mut Trace) -> Option<Quantity> {
        let total = self.total?;
        let formula = match self.course {
            _ if total.value <= 0.0 || self.rate.value <= 0.0 => return None,
            Course::Steady => &RUNS_OUT,
            Course::Emptying => &EMPTIES,
        };
        Some(trace.eval(formula, &[total, self.rate]))
    }

    /// Gas that came out by `seconds` after the beginning, m3.
    pub fn released_by(&self, seconds: f64) -> f64 {
        let (rate, seconds) = (self.rate.value, seconds.max(0.0));
        match (self.total.map(|total| total.value), self.course) {
            (None, _) => rate * seconds,
            (Some(total), _) if total <= 0.0 => 0.0,
            (Some(total), Course::Steady) => (rate * seconds).min(total),
            (Some(total), Course::Emptying) => -total * (-seconds * rate / total).exp_m1(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn discharge(rate: f64, total: Option<f64>, course: Course) -> Discharge {
        let mut trace = Trace::default();
        let rate = trace.measured("rate", rate, Unit::CubicMetrePerSecond);
        let relative_density = trace.measured("density", 0.55, Unit::One);
        let total = total.map(|total| trace.measured("total", total, Unit::CubicMetre));
        Discharge {
            rate,
            relative_density,
            total,
            course,
            pool: None,
        }
    }

    #[test]
    fn a_steady_release_stops_when_all_is_out() {
        let steady = discharge(0.01, Some(6.0), Course::Steady);
        assert_eq!(steady.rate_at(599.0), 0.01);
        assert_eq!(steady.rate_at(600.0), 0.0);
        assert_eq!(steady.released_by(300.0), 3.0);
        assert_eq!(steady.released_by(1e9), 6.0);
        assert_eq!(steady.rate_at(-1.0), 0.0);
        let endless = discharge(0.01, None, Course::Emptying);
        assert_eq!(endless.released_by(1e6), 1e4);
    }

    /// The rate is the derivative of what came out, by a finite difference of our own.
    #[test]
    fn what_came_out_of_an_emptying_vessel_is_the_integral_of_its_rate() {
        let emptying = discharge(0.02, Some(9.0), Course::Emptying);
        for seconds in [1.0, 60.0, 450.0, 2000.0] {
            let step = 0.01;
            let out = emptying.released_by(seconds + step) - emptying.released_by(seconds - step);
            let rate = emptying.rate_at(seconds);
            assert!(
                (out / (2.0 * step) / rate - 1.0).abs() < 1e-6,
                "{seconds} s"
            );
        }
        let end = emptying.ends(&mut Trace::default()).unwrap().value;
        assert!(
            (emptying.released_by(end) / 9.0 - 0.99).abs() < 1e-9,
            "{end}"
        );
        // One time constant, 450 s, leaves 1/e = 36.8 % in the vessel.
        assert!((emptying.released_by(450.0) / 9.0 - 0.632_12).abs() < 1e-5);
    }
}

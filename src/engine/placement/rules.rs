//! The rules and formulas of placement.

use crate::engine::formula::{Formula, Rule, Symbol};
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of placement.
pub static FORMULAS: &[&Formula] = &[&COLUMN_COST];

/// Every rule of placement.
pub static RULES: &[&Rule] = &[&FEWEST, &BOUND, &KEPT];

pub static COLUMN_COST: Formula = Formula {
    id: "placement.cost",
    title: "Cost of a candidate point, for choosing only",
    expression: "c = p + m (s + n + f)",
    inputs: &[
        Symbol::new("p", "price of the detector", Unit::Money).within(0.0, 1e9),
        Symbol::new("m", "cost of a metre of cable, laid", Unit::Money).within(0.0, 1e6),
        Symbol::new("s", "estimated spur", Unit::Metre).within(0.0, 1e5),
        Symbol::new(
            "n",
            "cable worth of the distance to the sources",
            Unit::Metre,
        )
        .within(0.0, 1e5),
        Symbol::new("f", "cable worth of a post", Unit::Metre).within(0.0, 1e3),
    ],
    repeats: false,
    output: Symbol::new("c", "cost", Unit::Money),
    citation: Citation::CommonPractice,
    compute: |x| x[0] + x[1] * (x[2] + x[3] + x[4]),
    example: (&[400.0, 6.0, 5.0, 3.0, 0.0], 448.0),
    example_from: "by hand",
};

pub static FEWEST: Rule = Rule {
    id: "placement.fewest",
    title: "Fewest detectors",
    statement: "Fewest detectors that meet every demand a candidate point can meet, with those \
        placed by hand and those already there, by exact set cover.",
    citation: Citation::from_memory(
        "Garfinkel and Nemhauser, Integer Programming (1972)",
        "set covering",
    ),
};

pub static BOUND: Rule = Rule {
    id: "placement.bound",
    title: "Lower bound",
    statement: "No layout on the candidate points has fewer detectors than this: Lagrangian \
        relaxation and branch and bound.",
    citation: Citation::from_memory(
        "Beasley, European Journal of Operational Research 31 (1987)",
        "bounds for set covering",
    ),
};

pub static KEPT: Rule = Rule {
    id: "placement.kept",
    title: "What stays",
    statement: "Detectors placed by hand or already there are kept and counted; a suggested one \
        stays where it still is part of an optimum.",
    citation: Citation::CommonPractice,
};

//! The rules and formulas of placement.

use crate::engine::formula::{Formula, Rule, Symbol};
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of placement.
pub static FORMULAS: &[&Formula] = &[
    &COLUMN_COST,
    &METRE_LAID,
    &LAYOUT_PRICE,
    &PRICE_CHANGE,
    &LOST_SHARE,
];

/// Every rule of placement.
pub static RULES: &[&Rule] = &[&FEWEST, &BOUND, &KEPT, &ONE_FEWER, &TO_BUY, &SPURS];

pub static COLUMN_COST: Formula = Formula {
    id: "placement.cost",
    title: "Cost of a candidate point, for choosing only",
    expression: "c = p + m (s + n + f + a)",
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
        Symbol::new(
            "a",
            "cable worth of a place that is hard to reach",
            Unit::Metre,
        )
        .within(0.0, 1e3),
    ],
    repeats: false,
    output: Symbol::new("c", "cost", Unit::Money),
    citation: Citation::CommonPractice,
    compute: |x| x[0] + x[1] * (x[2] + x[3] + x[4] + x[5]),
    example: (&[400.0, 6.0, 5.0, 3.0, 0.0, 20.0], 568.0),
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

pub static ONE_FEWER: Rule = Rule {
    id: "placement.one_fewer",
    title: "One detector fewer",
    statement: "The layout with one detector fewer that leaves the least unwatched, sources and \
        places before floor area, found by exchanging candidate points one by one: the best found, \
        not proven the best.",
    citation: Citation::from_memory(
        "Teitz and Bart, Operations Research 16 (1968)",
        "vertex substitution",
    ),
};

pub static TO_BUY: Rule = Rule {
    id: "placement.to_buy",
    title: "Detectors to be bought for a layout",
    statement: "All detectors of the layout but those that are there already.",
    citation: Citation::CommonPractice,
};

pub static SPURS: Rule = Rule {
    id: "placement.spurs",
    title: "Cable estimated for a layout",
    statement: "For each detector to be bought its distance from the nearest way of the cable \
        (containment, panel, riser or corridor of its floor), times the cable for a metre.",
    citation: Citation::CommonPractice,
};

pub static METRE_LAID: Formula = Formula {
    id: "placement.metre_laid",
    title: "Cost of a metre of cable, laid",
    expression: "m = k + t r",
    inputs: &[
        Symbol::new("k", "price of a metre of cable", Unit::Money).within(0.0, 1e6),
        Symbol::new("t", "time to lay a metre", Unit::Hour).within(0.0, 100.0),
        Symbol::new("r", "rate of an hour", Unit::MoneyPerHour).within(0.0, 1e6),
    ],
    repeats: false,
    output: Symbol::new("m", "cost of a metre of cable, laid", Unit::Money),
    citation: Citation::CommonPractice,
    compute: |x| x[0] + x[1] * x[2],
    example: (&[1.2, 0.08, 60.0], 6.0),
    example_from: "by hand",
};

pub static LAYOUT_PRICE: Formula = Formula {
    id: "placement.layout_price",
    title: "Price of a layout, to compare",
    expression: "P = n p + m s",
    inputs: &[
        Symbol::new("n", "detectors to be bought", Unit::One).within(0.0, 1e5),
        Symbol::new("p", "price of a detector", Unit::Money).within(0.0, 1e9),
        Symbol::new("m", "cost of a metre of cable, laid", Unit::Money).within(0.0, 1e6),
        Symbol::new("s", "cable estimated", Unit::Metre).within(0.0, 1e6),
    ],
    repeats: false,
    output: Symbol::new("P", "price", Unit::Money),
    citation: Citation::CommonPractice,
    compute: |x| x[0] * x[1] + x[2] * x[3],
    example: (&[3.0, 400.0, 6.0, 25.0], 1350.0),
    example_from: "by hand",
};

pub static PRICE_CHANGE: Formula = Formula {
    id: "placement.price_change",
    title: "Price against the proposed layout",
    expression: "d = P - P0",
    inputs: &[
        Symbol::new("P", "price of the layout", Unit::Money).within(0.0, 1e12),
        Symbol::new("P0", "price of the proposed layout", Unit::Money).within(0.0, 1e12),
    ],
    repeats: false,
    output: Symbol::new("d", "change of price", Unit::Money),
    citation: Citation::CommonPractice,
    compute: |x| x[0] - x[1],
    example: (&[1350.0, 900.0], 450.0),
    example_from: "by hand",
};

pub static LOST_SHARE: Formula = Formula {
    id: "placement.lost_share",
    title: "Share of a floor that is lost",
    expression: "q = 100 a / A",
    inputs: &[
        Symbol::new("a", "area lost", Unit::SquareMetre).within(0.0, 1e7),
        Symbol::new("A", "area of the floor", Unit::SquareMetre).within(1e-6, 1e7),
    ],
    repeats: false,
    output: Symbol::new("q", "share lost", Unit::Percent),
    citation: Citation::CommonPractice,
    compute: |x| 100.0 * x[0] / x[1],
    example: (&[6.3, 42.0], 15.0),
    example_from: "by hand",
};

//! Formulas of the take-off: counts, hours and amounts.

use crate::engine::formula::{Formula, Symbol};
use crate::model::Citation;
use crate::units::Unit;

const COUNT: Symbol = Symbol::new("n", "count", Unit::One).within(0.0, 1e6);
const PRICE: Symbol = Symbol::new("p", "price of one", Unit::Money).within(0.0, 1e9);
const AMOUNT: Symbol = Symbol::new("a", "amount", Unit::Money);

/// Price of so many parts.
pub static AMOUNT_OF_PARTS: Formula = Formula {
    id: "takeoff.amount_of_parts",
    title: "Amount for parts",
    expression: "a = n p",
    inputs: &[COUNT, PRICE],
    repeats: false,
    output: AMOUNT,
    citation: Citation::CommonPractice,
    compute: |x| x[0] * x[1],
    example: (&[12.0, 395.0], 4740.0),
    example_from: "by hand",
};

/// Price of so many metres.
pub static AMOUNT_OF_CABLE: Formula = Formula {
    id: "takeoff.amount_of_cable",
    title: "Amount for cable",
    expression: "a = L p",
    inputs: &[
        Symbol::new("L", "length to be ordered", Unit::Metre).within(0.0, 1e6),
        Symbol::new("p", "price of a metre", Unit::Money).within(0.0, 1e6),
    ],
    repeats: false,
    output: AMOUNT,
    citation: Citation::CommonPractice,
    compute: |x| x[0] * x[1],
    example: (&[250.0, 1.12], 280.0),
    example_from: "by hand",
};

/// Price of so many hours.
pub static AMOUNT_OF_HOURS: Formula = Formula {
    id: "takeoff.amount_of_hours",
    title: "Amount for hours",
    expression: "a = t r",
    inputs: &[
        Symbol::new("t", "time", Unit::Hour).within(0.0, 1e6),
        Symbol::new("r", "rate", Unit::MoneyPerHour).within(0.0, 1e6),
    ],
    repeats: false,
    output: AMOUNT,
    citation: Citation::CommonPractice,
    compute: |x| x[0] * x[1],
    example: (&[18.0, 60.0], 1080.0),
    example_from: "by hand",
};

/// Hours for so many things.
pub static HOURS_OF_COUNT: Formula = Formula {
    id: "takeoff.hours_of_count",
    title: "Time for so many things",
    expression: "t = n h",
    inputs: &[
        COUNT,
        Symbol::new("h", "time for one", Unit::Hour).within(0.0, 1e3),
    ],
    repeats: false,
    output: Symbol::new("t", "time", Unit::Hour),
    citation: Citation::CommonPractice,
    compute: |x| x[0] * x[1],
    example: (&[12.0, 1.5], 18.0),
    example_from: "by hand",
};

/// Hours for so many metres; `h` is the time for one metre.
pub static HOURS_OF_CABLE: Formula = Formula {
    id: "takeoff.hours_of_cable",
    title: "Time to lay cable",
    expression: "t = L h",
    inputs: &[
        Symbol::new("L", "length to be laid", Unit::Metre).within(0.0, 1e6),
        Symbol::new("h", "time for a metre", Unit::Hour).within(0.0, 10.0),
    ],
    repeats: false,
    output: Symbol::new("t", "time", Unit::Hour),
    citation: Citation::CommonPractice,
    compute: |x| x[0] * x[1],
    example: (&[100.0, 0.08], 8.0),
    example_from: "labour table for four-core 2.5 mm² PVC cable on tray: 0.08 h/m, 8 h for 100 m",
};

/// Accessories for so many things.
pub static ACCESSORIES: Formula = Formula {
    id: "takeoff.accessories",
    title: "Accessories that come along",
    expression: "n = ⌈N e⌉",
    inputs: &[
        Symbol::new("N", "things they belong to", Unit::One).within(0.0, 1e6),
        Symbol::new("e", "accessories for each", Unit::One).within(0.0, 1e3),
    ],
    repeats: false,
    output: COUNT,
    citation: Citation::Catalogue,
    compute: |x| (x[0] * x[1] - 1e-9).ceil().max(0.0),
    example: (&[22.0, 0.25], 6.0),
    example_from: "by hand: 5.5 rounded up",
};

/// The price.
pub static PRICE_SUM: Formula = Formula {
    id: "takeoff.price",
    title: "Price",
    expression: "P = Σ aₖ",
    inputs: &[Symbol::new("aₖ", "amount of a row", Unit::Money)],
    repeats: true,
    output: Symbol::new("P", "price", Unit::Money),
    citation: Citation::CommonPractice,
    compute: |x| x.iter().sum(),
    example: (&[4740.0, 280.0, 1080.0], 6100.0),
    example_from: "by hand",
};

//! Formulas of the take-off: counts, hours and amounts.

use crate::engine::formula::{Formula, Symbol};
use crate::model::Citation;
use crate::units::Unit;

/// Exactly, by definition.
const METRES_PER_FOOT: f64 = 0.3048;

const COUNT: Symbol = Symbol::new("n", "count", Unit::One).within(0.0, 1e6);
const PRICE: Symbol = Symbol::new("p", "price of one", Unit::Money).within(0.0, 1e9);
const AMOUNT: Symbol = Symbol::new("a", "amount", Unit::Money);

/// Price of so many parts.
pub static AMOUNT_OF_PARTS: Formula = Formula {
    id: "takeoff.amount_of_parts",
    title: "Amount for parts",
    expression: "a = n p, to 0.01",
    inputs: &[COUNT, PRICE],
    repeats: false,
    output: AMOUNT,
    citation: Citation::CommonPractice,
    compute: |x| rounded(x[0] * x[1], 100.0),
    example: (&[12.0, 395.0], 4740.0),
    example_from: "by hand",
};

/// Price of so many metres.
pub static AMOUNT_OF_CABLE: Formula = Formula {
    id: "takeoff.amount_of_cable",
    title: "Amount for cable",
    expression: "a = L p, to 0.01",
    inputs: &[
        Symbol::new("L", "length to be ordered", Unit::Metre).within(0.0, 1e6),
        Symbol::new("p", "price of a metre", Unit::Money).within(0.0, 1e6),
    ],
    repeats: false,
    output: AMOUNT,
    citation: Citation::CommonPractice,
    compute: |x| rounded(x[0] * x[1], 100.0),
    example: (&[250.0, 1.12], 280.0),
    example_from: "by hand",
};

/// Price of so many metres where the bill is in feet.
pub static AMOUNT_OF_CABLE_IN_FEET: Formula = Formula {
    id: "takeoff.amount_of_cable_in_feet",
    title: "Amount for cable, in feet",
    expression: "a = (L / 0.3048) p, to 0.01",
    inputs: &[
        Symbol::new("L", "length to be ordered", Unit::Metre).within(0.0, 1e6),
        Symbol::new("p", "price of a foot", Unit::Money).within(0.0, 1e6),
    ],
    repeats: false,
    output: AMOUNT,
    citation: Citation::CommonPractice,
    compute: |x| rounded(x[0] / METRES_PER_FOOT * x[1], 100.0),
    example: (&[76.2, 0.25], 62.5),
    example_from: "by hand: 250 ft",
};

/// The length that the bill prints.
pub static BILLED_LENGTH: Formula = Formula {
    id: "takeoff.billed_length",
    title: "Length as billed",
    expression: "L = L₀, to 0.1 m",
    inputs: &[Symbol::new("L₀", "length to be ordered", Unit::Metre).within(0.0, 1e6)],
    repeats: false,
    output: Symbol::new("L", "length as billed", Unit::Metre),
    citation: Citation::CommonPractice,
    compute: |x| rounded(x[0], 10.0),
    example: (&[123.456], 123.5),
    example_from: "by hand",
};

/// The length that a bill in feet prints.
pub static BILLED_FEET: Formula = Formula {
    id: "takeoff.billed_feet",
    title: "Length as billed in feet",
    expression: "L = L₀, to 0.1 ft of 0.3048 m",
    inputs: &[Symbol::new("L₀", "length to be ordered", Unit::Metre).within(0.0, 1e6)],
    repeats: false,
    output: Symbol::new("L", "length as billed", Unit::Metre),
    citation: Citation::CommonPractice,
    compute: |x| rounded(x[0] / METRES_PER_FOOT, 10.0) * METRES_PER_FOOT,
    example: (&[30.49], 30.48),
    example_from: "by hand: 100.03 ft is billed as 100.0 ft",
};

/// What a foot costs, of the price of a metre.
pub static PRICE_OF_FOOT: Formula = Formula {
    id: "takeoff.price_of_foot",
    title: "Price of a foot",
    expression: "p = 0.3048 pₘ, to 0.0001",
    inputs: &[Symbol::new("pₘ", "price of a metre", Unit::Money).within(0.0, 1e6)],
    repeats: false,
    output: Symbol::new("p", "price of a foot", Unit::Money),
    citation: Citation::CommonPractice,
    compute: |x| rounded(x[0] * METRES_PER_FOOT, 1e4),
    example: (&[0.92], 0.2804),
    example_from: "by hand: 0.280416",
};

/// The hours that the bill prints.
pub static BILLED_HOURS: Formula = Formula {
    id: "takeoff.billed_hours",
    title: "Time as billed",
    expression: "t = t₀, to 0.01 h",
    inputs: &[Symbol::new("t₀", "time", Unit::Hour).within(0.0, 1e6)],
    repeats: false,
    output: Symbol::new("t", "time as billed", Unit::Hour),
    citation: Citation::CommonPractice,
    compute: |x| rounded(x[0], 100.0),
    example: (&[9.8765], 9.88),
    example_from: "by hand",
};

/// The price of one that the bill prints.
pub static BILLED_PRICE: Formula = Formula {
    id: "takeoff.billed_price",
    title: "Price of one as billed",
    expression: "p = p₀, to 0.01",
    inputs: &[Symbol::new("p₀", "price in the catalogue", Unit::Money).within(0.0, 1e9)],
    repeats: false,
    output: Symbol::new("p", "price as billed", Unit::Money),
    citation: Citation::CommonPractice,
    compute: |x| rounded(x[0], 100.0),
    example: (&[0.125], 0.13),
    example_from: "by hand",
};

/// The rate that the bill prints.
pub static BILLED_RATE: Formula = Formula {
    id: "takeoff.billed_rate",
    title: "Rate as billed",
    expression: "r = r₀, to 0.01",
    inputs: &[Symbol::new("r₀", "rate", Unit::MoneyPerHour).within(0.0, 1e6)],
    repeats: false,
    output: Symbol::new("r", "rate as billed", Unit::MoneyPerHour),
    citation: Citation::CommonPractice,
    compute: |x| rounded(x[0], 100.0),
    example: (&[61.237], 61.24),
    example_from: "by hand",
};

/// Price of so many hours.
pub static AMOUNT_OF_HOURS: Formula = Formula {
    id: "takeoff.amount_of_hours",
    title: "Amount for hours",
    expression: "a = t r, to 0.01",
    inputs: &[
        Symbol::new("t", "time", Unit::Hour).within(0.0, 1e6),
        Symbol::new("r", "rate", Unit::MoneyPerHour).within(0.0, 1e6),
    ],
    repeats: false,
    output: AMOUNT,
    citation: Citation::CommonPractice,
    compute: |x| rounded(x[0] * x[1], 100.0),
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

/// To the nearest of so many steps to one, half away from zero as people round.
fn rounded(value: f64, steps: f64) -> f64 {
    (value * steps * (1.0 + 2.0 * f64::EPSILON)).round() / steps
}

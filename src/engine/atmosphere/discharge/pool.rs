//! Evaporation of a pool into moving air: IEC 60079-10-1, annex B (from memory), both editions.
//!
//! The 2015 edition's constant gives about a third of the 2020 edition's; the form of the EPA's
//! Risk Management Program guidance agrees with the later one within 5 %. A pool below its boiling
//! point that does not cool; must not be used for a boiling liquid.

use crate::engine::formula::{Formula, Symbol};
use crate::engine::gas::density::GAS_CONSTANT;
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[&POOL_AREA, &POOL_LITRES, &EVAPORATION, &EVAPORATION_2015];

const AREA: Symbol = Symbol::new("A", "surface of the pool", Unit::SquareMetre).within(1e-4, 1e4);
const DEPTH: Symbol = Symbol::new("h", "depth of the pool", Unit::Millimetre).within(0.1, 100.0);
const LITRES: Symbol = Symbol::new("v", "liquid", Unit::Litre).within(1e-3, 1e6);
const INPUTS: &[Symbol] = &[
    Symbol::new("u", "air over the pool", Unit::MetrePerSecond).within(0.05, 20.0),
    AREA,
    Symbol::new("p_v", "vapour pressure", Unit::Pascal).within(0.0, 9e4),
    Symbol::new("M", "molar mass", Unit::GramPerMole).within(10.0, 400.0),
    Symbol::new("T", "temperature of the liquid", Unit::Kelvin).within(200.0, 420.0),
];
const OUTPUT: Symbol = Symbol::new("W", "mass flow of vapour", Unit::KilogramPerSecond);

/// Surface of a spill.
pub static POOL_AREA: Formula = Formula {
    id: "discharge.pool_area",
    title: "Surface of the pool",
    expression: "A = v / h",
    inputs: &[LITRES, DEPTH],
    repeats: false,
    output: AREA,
    citation: Citation::from_memory("Volume of a flat pool", "1 L at 1 mm covers 1 m²"),
    compute: |x| x[0] / x[1],
    example: (&[2.5, 5.0], 0.5),
    example_from: "by hand",
};

/// Liquid in a pool of known surface.
pub static POOL_LITRES: Formula = Formula {
    id: "discharge.pool_litres",
    title: "Liquid in the pool",
    expression: "v = A h",
    inputs: &[AREA, DEPTH],
    repeats: false,
    output: LITRES,
    citation: Citation::from_memory("Volume of a flat pool", "1 m² at 1 mm holds 1 L"),
    compute: |x| x[0] * x[1],
    example: (&[0.5, 5.0], 2.5),
    example_from: "by hand",
};

/// Evaporation by the 2020 edition.
pub static EVAPORATION: Formula = Formula {
    id: "discharge.evaporation",
    title: "Evaporation of a pool, edition 2020",
    expression: "W = 0.0183 u^0.78 A p_v M^0.667 / (R T), R = 8314 J/(kmol K)",
    inputs: INPUTS,
    repeats: false,
    output: OUTPUT,
    citation: Citation::from_memory("IEC 60079-10-1:2020", "B.7.3, evaporative pool"),
    compute: |x| evaporation(18.3e-3, x),
    example: (&[0.5, 1.0, 24_600.0, 58.08, 293.15], 1.6154e-3),
    example_from: "acetone, 1 m²; the EPA Risk Management Program form gives 1.548e-3, 4 % less",
};

/// Evaporation by the 2015 edition.
pub static EVAPORATION_2015: Formula = Formula {
    id: "discharge.evaporation_2015",
    title: "Evaporation of a pool, edition 2015",
    expression: "W = 0.00655 u^0.78 A p_v M^0.667 / (R T), R = 8314 J/(kmol K)",
    inputs: INPUTS,
    repeats: false,
    output: OUTPUT,
    citation: Citation::from_memory("IEC 60079-10-1:2015", "B.7.3, evaporative pool"),
    compute: |x| evaporation(6.55e-3, x),
    example: (&[0.5, 1.0, 24_600.0, 58.08, 293.15], 5.782e-4),
    example_from: "acetone, 1 m², by hand; a third of what the EPA's form gives",
};

fn evaporation(constant: f64, x: &[f64]) -> f64 {
    constant * x[0].powf(0.78) * x[1] * x[2] * x[3].powf(0.667) / (GAS_CONSTANT * 1e3 * x[4])
}

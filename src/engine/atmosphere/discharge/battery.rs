//! Hydrogen of cells on charge, and the air they need: EN 62485-2.
//!
//! The standard's gas-producing current already holds a safety factor of 5, and its airflow has
//! another 5: the airflow is some 25 times the best estimate. A release is taken with the current
//! as printed; the best estimate is shown beside it.

use crate::engine::formula::{Formula, Symbol};
use crate::engine::trace::{Quantity, Trace};
use crate::model::Citation;
use crate::model::release::{Cell, ChargeMode};
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[&HYDROGEN, &HYDROGEN_BEST_ESTIMATE, &AIRFLOW, &OPENING];

/// Key of hydrogen.
pub const HYDROGEN_KEY: &str = "1333-74-0";

const EN: &str = "EN 62485-2";
const CELLS: Symbol = Symbol::new("n", "number of cells", Unit::One).within(1.0, 10_000.0);
const CURRENT: Symbol =
    Symbol::new("I", "gas-producing current", Unit::MilliamperePerAmpereHour).within(0.1, 200.0);
const CAPACITY: Symbol = Symbol::new("C", "rated capacity", Unit::AmpereHour).within(0.1, 1e5);
const HYDROGEN_FLOW: Symbol = Symbol::new("q", "hydrogen", Unit::CubicMetrePerHour);

/// Hydrogen by the standard's current.
pub static HYDROGEN: Formula = Formula {
    id: "discharge.battery_hydrogen",
    title: "Hydrogen of cells on charge, safety factor 5 in the current",
    expression: "q = 0.42e-6 n I C",
    inputs: &[CELLS, CURRENT, CAPACITY],
    repeats: false,
    output: HYDROGEN_FLOW,
    citation: Citation::published(EN, "0.42e-3 m³/Ah of hydrogen, gas-producing current"),
    compute: |x| 0.42e-6 * x[0] * x[1] * x[2],
    example: (&[24.0, 20.0, 200.0], 0.040_32),
    example_from: "24 vented cells of 200 Ah on boost charge, by hand; Faraday's law gives 0.418e-3",
};

/// Hydrogen without the safety factor.
pub static HYDROGEN_BEST_ESTIMATE: Formula = Formula {
    id: "discharge.battery_best_estimate",
    title: "Hydrogen of cells on charge, best estimate",
    expression: "q = 0.42e-6 n (I / 5) C",
    inputs: &[CELLS, CURRENT, CAPACITY],
    repeats: false,
    output: HYDROGEN_FLOW,
    citation: Citation::published(EN, "without the safety factor 5 of the current"),
    compute: |x| 0.42e-6 * x[0] * x[1] / 5.0 * x[2],
    example: (&[24.0, 20.0, 200.0], 0.008_064),
    example_from: "24 vented cells of 200 Ah on boost charge, by hand",
};

/// Airflow the standard asks for.
pub static AIRFLOW: Formula = Formula {
    id: "discharge.battery_airflow",
    title: "Airflow that cells on charge require",
    expression: "Q = 0.05 n I C / 1000",
    inputs: &[CELLS, CURRENT, CAPACITY],
    repeats: false,
    output: Symbol::new("Q", "airflow", Unit::CubicMetrePerHour),
    citation: Citation::published(EN, "ventilation of battery rooms, v q s = 0.05 m³/Ah"),
    compute: |x| 0.05 * x[0] * x[1] * x[2] * 1e-3,
    example: (&[24.0, 20.0, 200.0], 4.8),
    example_from: "24 vented cells of 200 Ah on boost charge, by hand",
};

/// Opening for natural ventilation.
pub static OPENING: Formula = Formula {
    id: "discharge.battery_opening",
    title: "Free area of the opening for fresh air, and of the one for spent air",
    expression: "A = 28 Q",
    inputs: &[Symbol::new("Q", "airflow", Unit::CubicMetrePerHour).within(0.0, 1e6)],
    repeats: false,
    output: Symbol::new("A", "free area of each", Unit::SquareCentimetre),
    citation: Citation::published(EN, "openings for natural ventilation, 0.1 m/s"),
    compute: |x| 28.0 * x[0],
    example: (&[4.8], 134.4),
    example_from: "by hand",
};

/// The standard's gas-producing current of a kind of cell, traced.
pub fn gas_current(trace: &mut Trace, cell: Cell, charge: ChargeMode) -> Quantity {
    let value = match (cell, charge) {
        (Cell::VentedLead | Cell::NickelCadmium, ChargeMode::Float) => 5.0,
        (Cell::VentedLead, ChargeMode::Boost) => 20.0,
        (Cell::ValveRegulatedLead, ChargeMode::Float) => 1.0,
        (Cell::ValveRegulatedLead, ChargeMode::Boost) => 8.0,
        (Cell::NickelCadmium, ChargeMode::Boost) => 50.0,
    };
    let kind = match cell {
        Cell::VentedLead => "vented lead cells",
        Cell::ValveRegulatedLead => "valve-regulated lead cells",
        Cell::NickelCadmium => "vented nickel-cadmium cells",
    };
    let mode = match charge {
        ChargeMode::Float => "float",
        ChargeMode::Boost => "boost",
    };
    trace.given(
        format!("Gas-producing current of {kind} on {mode} charge"),
        value,
        Unit::MilliamperePerAmpereHour,
        Citation::published(
            EN,
            "typical values of the current, safety factor 5 included",
        ),
    )
}

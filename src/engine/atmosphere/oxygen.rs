//! Oxygen of a room once another gas, or oxygen itself, has come out into it.
//!
//! Plug displacement is the design case; mixing with overflow is shown beside it. Air has
//! 20.9 %vol (some guidance reckons with 21). Must not judge what a person stands.

use crate::engine::formula::{Formula, Symbol};
use crate::engine::gas::density::OXYGEN_IN_AIR;
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[
    &AFTER_MIXING,
    &ENRICHED_PLUG,
    &ENRICHED_MIXING,
    &BESIDE_INERT,
    &BESIDE_OXYGEN,
];

const VOLUME: Symbol =
    Symbol::new("V", "volume of the room's air", Unit::CubicMetre).within(0.1, 1e6);
const RELEASED: Symbol =
    Symbol::new("V_g", "volume of gas released", Unit::CubicMetre).within(0.0, 1e6);
const GAS: Symbol = Symbol::new("c", "gas in the air", Unit::PercentVolume).within(0.0, 100.0);
const OXYGEN: Symbol = Symbol::new("O", "oxygen", Unit::PercentVolume);

/// Oxygen after a full release that mixes as it comes.
pub static AFTER_MIXING: Formula = Formula {
    id: "atmosphere.oxygen_after_mixing",
    title: "Oxygen after full release, mixed as it comes",
    expression: "O = 20.9 exp(-V_g / V)",
    inputs: &[VOLUME, RELEASED],
    repeats: false,
    output: OXYGEN,
    citation: Citation::from_memory(
        "Balance of a mixed room",
        "what comes in pushes as much out",
    ),
    compute: |x| OXYGEN_IN_AIR * (-x[1] / x[0]).exp(),
    example: (&[36.0, 17.075], 13.007),
    example_from: "25 L of liquid nitrogen, 0.683 m³/L, in 36 m³, by hand",
};

/// Oxygen after a full release of oxygen that pushes air out as a plug.
pub static ENRICHED_PLUG: Formula = Formula {
    id: "atmosphere.enriched_plug",
    title: "Oxygen after full release of oxygen, air displaced as a plug",
    expression: "O = 20.9 + 79.1 V_g / V, at most 100",
    inputs: &[VOLUME, RELEASED],
    repeats: false,
    output: OXYGEN,
    citation: Citation::from_memory("EIGA Doc 04", "enrichment after a release"),
    compute: |x| beside_oxygen(100.0 * (x[1] / x[0]).min(1.0)),
    example: (&[60.0, 3.0], 24.855),
    example_from: "3 m³ of oxygen in 60 m³, by hand",
};

/// Oxygen after a full release of oxygen that mixes as it comes.
pub static ENRICHED_MIXING: Formula = Formula {
    id: "atmosphere.enriched_mixing",
    title: "Oxygen after full release of oxygen, mixed as it comes",
    expression: "O = 100 - 79.1 exp(-V_g / V)",
    inputs: &[VOLUME, RELEASED],
    repeats: false,
    output: OXYGEN,
    citation: Citation::from_memory(
        "Balance of a mixed room",
        "what comes in pushes as much out",
    ),
    compute: |x| 100.0 - (100.0 - OXYGEN_IN_AIR) * (-x[1] / x[0]).exp(),
    example: (&[60.0, 3.0], 24.758),
    example_from: "3 m³ of oxygen in 60 m³, by hand",
};

/// Oxygen of air with so much of another gas in it.
pub static BESIDE_INERT: Formula = Formula {
    id: "atmosphere.oxygen_beside_inert",
    title: "Oxygen beside another gas",
    expression: "O = 20.9 (1 - c / 100)",
    inputs: &[GAS],
    repeats: false,
    output: OXYGEN,
    citation: Citation::from_memory("Dalton's law", "air displaced by the gas"),
    compute: |x| beside_inert(x[0]),
    example: (&[6.699], 19.5),
    example_from: "6.7 % of nitrogen more lowers oxygen to 19.5 %vol, by hand",
};

/// Oxygen of air with so much oxygen added.
pub static BESIDE_OXYGEN: Formula = Formula {
    id: "atmosphere.oxygen_enriched",
    title: "Oxygen of enriched air",
    expression: "O = 20.9 + 79.1 c / 100",
    inputs: &[GAS],
    repeats: false,
    output: OXYGEN,
    citation: Citation::from_memory("Dalton's law", "air displaced by oxygen"),
    compute: |x| beside_oxygen(x[0]),
    example: (&[3.287], 23.5),
    example_from: "3.3 % of oxygen added raises it to 23.5 %vol, by hand",
};

/// Oxygen, %vol, of air that holds `gas` %vol of another gas.
pub fn beside_inert(gas: f64) -> f64 {
    OXYGEN_IN_AIR * (1.0 - gas / 100.0)
}

/// Oxygen, %vol, of air to which oxygen was added until it made up `gas` %vol.
pub fn beside_oxygen(gas: f64) -> f64 {
    OXYGEN_IN_AIR + (100.0 - OXYGEN_IN_AIR) * gas / 100.0
}

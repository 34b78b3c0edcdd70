//! Unburnt gas and flue gas of an appliance, by its rating.
//!
//! Net heat of combustion, water as vapour. Must not look anything up.

use crate::engine::formula::{Formula, Symbol};
use crate::engine::gas::density::GAS_CONSTANT;
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[
    &COMBUSTION_TERM,
    &HEATING_VALUE,
    &UNBURNT,
    &FLUE_GAS,
    &SHARE_OF_FLUE_GAS,
];

const HEAT: Symbol =
    Symbol::new("H", "net heating value", Unit::MegajoulePerCubicMetre).within(1.0, 200.0);
const FLOW: Symbol = Symbol::new("q", "flow of gas", Unit::CubicMetrePerSecond).within(0.0, 1e4);

/// One part's share of the heat of combustion.
pub static COMBUSTION_TERM: Formula = Formula {
    id: "discharge.combustion_term",
    title: "Heat of combustion of a part of the gas",
    expression: "h = x ΔH / 100",
    inputs: &[
        Symbol::new("x", "share in the gas", Unit::PercentVolume).within(0.0, 100.0),
        Symbol::new("ΔH", "net heat of combustion", Unit::KilojoulePerMole).within(0.0, 1e4),
    ],
    repeats: false,
    output: Symbol::new("h", "heat of a part", Unit::KilojoulePerMole),
    citation: Citation::from_memory("ISO 6976:2016", "net molar calorific value of a mixture"),
    compute: |x| x[0] * x[1] / 100.0,
    example: (&[90.0, 802.3], 722.07),
    example_from: "90 % methane, by hand",
};

/// Heating value of a gas at room conditions.
pub static HEATING_VALUE: Formula = Formula {
    id: "discharge.heating_value",
    title: "Net heating value of the gas at room temperature and pressure",
    expression: "H = p_a Σh / (R T)",
    inputs: &[
        Symbol::new("T", "room temperature", Unit::Kelvin).within(200.0, 400.0),
        Symbol::new("p_a", "pressure of the air", Unit::Pascal).within(4e4, 1.2e5),
        Symbol::new("h", "heat of a part", Unit::KilojoulePerMole).within(0.0, 1e4),
    ],
    repeats: true,
    output: HEAT,
    citation: Citation::from_memory("ISO 6976:2016", "ideal volumetric calorific value"),
    compute: |x| x[1] * x[2..].iter().sum::<f64>() * 1e-3 / (GAS_CONSTANT * x[0]),
    example: (&[288.15, 101_325.0, 802.3], 33.93),
    example_from: "methane; ISO 6976 has 33.95 MJ/m³ at 15 °C (from memory)",
};

/// Gas an appliance takes at full output.
pub static UNBURNT: Formula = Formula {
    id: "discharge.unburnt",
    title: "Gas that an appliance takes at its rating",
    expression: "q = P / (1000 η H)",
    inputs: &[
        Symbol::new("P", "rated output", Unit::Kilowatt).within(0.1, 1e5),
        Symbol::new("η", "output over heat of the gas", Unit::One).within(0.3, 1.1),
        HEAT,
    ],
    repeats: false,
    output: FLOW,
    citation: Citation::from_memory("Energy balance", "definition of efficiency"),
    compute: |x| x[0] / (1e3 * x[1] * x[2]),
    example: (&[70.0, 0.9, 33.93], 2.2923e-3),
    example_from: "a boiler of 70 kW takes 8.25 m³/h of methane, by hand",
};

/// Flue gas of an appliance.
pub static FLUE_GAS: Formula = Formula {
    id: "discharge.flue_gas",
    title: "Flue gas of an appliance, at room temperature",
    expression: "q_f = φ q",
    inputs: &[
        Symbol::new("φ", "volumes of flue gas from one of gas", Unit::One).within(1.0, 60.0),
        FLOW,
    ],
    repeats: false,
    output: FLOW,
    citation: Citation::from_memory("Stoichiometry", "CH4 + 2 O2 with air, 20 % excess"),
    compute: |x| x[0] * x[1],
    example: (&[12.5, 2.2923e-3], 0.028_654),
    example_from: "by hand",
};

/// The watched gas in flue gas.
pub static SHARE_OF_FLUE_GAS: Formula = Formula {
    id: "discharge.share_of_flue_gas",
    title: "The watched gas in the flue gas",
    expression: "q = x q_f / 100",
    inputs: &[
        Symbol::new("x", "share in the flue gas", Unit::PercentVolume).within(0.0, 100.0),
        FLOW,
    ],
    repeats: false,
    output: FLOW,
    citation: Citation::from_memory("Share of a mixture", "definition"),
    compute: |x| x[0] * x[1] / 100.0,
    example: (&[1.0, 0.028_654], 2.8654e-4),
    example_from: "by hand",
};

//! How dense a release is beside air, and the arithmetic of concentrations.
//!
//! Ideal gas throughout: within 0.1 % of the low-pressure limit of real gases, and within 5 % of
//! real gases at 101325 Pa (see tests/reference/gas_density.rs); `virial` says by how much a gas
//! departs. A gas that associates (hydrogen fluoride, nitrogen dioxide) is heavier than these
//! formulas say. Must not choose a height.
//! Citations stand beside each formula.

use crate::engine::formula::{Formula, Symbol};
use crate::engine::gas::substance::{AIR_MOLAR_MASS, Substance};
use crate::engine::trace::{Quantity, Trace};
use crate::model::Citation;
use crate::units::Unit;

/// Molar gas constant, J/(mol K) (SI 2019).
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// Standard atmosphere, Pa.
pub const ATMOSPHERE: f64 = 101_325.0;
/// Oxygen in dry air as practice rounds it, %vol.
pub const OXYGEN_IN_AIR: f64 = 20.9;
/// 0 degC in kelvin.
pub const ZERO_CELSIUS: f64 = 273.15;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[
    &KELVIN,
    &RELATIVE_DENSITY,
    &GAS_DENSITY,
    &RELEASE_DENSITY,
    &SATURATED_DENSITY,
    &SATURATION,
    &PPM_TO_MASS,
    &MASS_TO_PPM,
    &LFL_SHARE_TO_PPM,
    &PPM_TO_LFL_SHARE,
    &LE_CHATELIER_TERM,
    &LE_CHATELIER,
    &OXYGEN_AFTER_RELEASE,
];

const MOLAR_MASS: Symbol = Symbol::new("M", "molar mass", Unit::GramPerMole).within(1.0, 500.0);
const RELATIVE: Symbol = Symbol::new("d", "density relative to air", Unit::One).within(0.05, 20.0);
const ROOM_TEMPERATURE: Symbol =
    Symbol::new("T", "room temperature", Unit::Kelvin).within(200.0, 400.0);
const PRESSURE: Symbol = Symbol::new("p", "pressure", Unit::Pascal).within(5e4, 1.2e5);
const VAPOUR: Symbol = Symbol::new("p_v", "vapour pressure", Unit::Pascal).within(0.0, ATMOSPHERE);
const PPM: Symbol = Symbol::new("c", "concentration", Unit::Ppm).within(0.0, 1e6);
const LFL: Symbol =
    Symbol::new("L", "lower flammable limit", Unit::PercentVolume).within(0.1, 100.0);
/// Thermodynamic temperature.
pub static KELVIN: Formula = Formula {
    id: "gas.kelvin",
    title: "Thermodynamic temperature",
    expression: "T = t + 273.15",
    inputs: &[Symbol::new("t", "temperature", Unit::Celsius).within(-273.15, 3000.0)],
    repeats: false,
    output: Symbol::new("T", "temperature", Unit::Kelvin),
    citation: Citation::from_memory("SI Brochure, 9th edition", "2.3.1, degree Celsius"),
    compute: |x| x[0] + ZERO_CELSIUS,
    example: (&[20.0], 293.15),
    example_from: "the definition of the degree Celsius",
};

/// Relative density of a gas at the temperature of the air.
pub static RELATIVE_DENSITY: Formula = Formula {
    id: "gas.relative_density",
    title: "Density relative to air, equal temperature and pressure",
    expression: "d = M / 28.9647",
    inputs: &[MOLAR_MASS],
    repeats: false,
    output: RELATIVE,
    citation: Citation::from_memory("IEC 60079-10-1:2020", "relative density of a gas or vapour"),
    compute: |x| x[0] / AIR_MOLAR_MASS,
    example: (&[44.097], 1.5224),
    example_from: "propane; CoolProp 8.0.0 molar masses of propane and air give 1.5224",
};

/// Density of an ideal gas.
pub static GAS_DENSITY: Formula = Formula {
    id: "gas.density",
    title: "Density of a gas",
    expression: "ρ = p M / (R T)",
    inputs: &[
        MOLAR_MASS,
        Symbol::new("T", "temperature", Unit::Kelvin).within(4.0, 2000.0),
        PRESSURE,
    ],
    repeats: false,
    output: Symbol::new("ρ", "density", Unit::KilogramPerCubicMetre),
    citation: Citation::from_memory("Ideal gas law", "R = 8.314463 J/(mol K)"),
    compute: |x| x[2] * x[0] * 1e-3 / (GAS_CONSTANT * x[1]),
    example: (&[28.9647, 293.15, 101_325.0], 1.2041),
    example_from: "dry air at 20 °C: 1.2041 kg/m³, the standard air of ventilation handbooks",
};

/// Relative density of a release that is colder or warmer than the room.
pub static RELEASE_DENSITY: Formula = Formula {
    id: "gas.release_density",
    title: "Density of the release relative to the room's air",
    expression: "d_r = d T / T_g",
    inputs: &[
        RELATIVE,
        ROOM_TEMPERATURE,
        Symbol::new("T_g", "temperature of the gas", Unit::Kelvin).within(4.0, 2000.0),
    ],
    repeats: false,
    output: RELATIVE,
    citation: Citation::from_memory("Ideal gas law", "equal pressure"),
    compute: |x| x[0] * x[1] / x[2],
    example: (&[0.967_15, 293.15, 283.5], 1.0001),
    example_from: "nitrogen at 10.4 °C is as dense as air at 20 °C, checked by hand",
};

/// Relative density of air saturated with the vapour of a liquid.
pub static SATURATED_DENSITY: Formula = Formula {
    id: "gas.saturated_density",
    title: "Density of saturated vapour in air, relative to air",
    expression: "d_s = 1 + (p_v / p)(d - 1)",
    inputs: &[VAPOUR, PRESSURE, RELATIVE],
    repeats: false,
    output: RELATIVE,
    citation: Citation::from_memory("Dalton's law", "ideal mixture of air and vapour"),
    compute: |x| 1.0 + x[0].min(x[1]) / x[1] * (x[2] - 1.0),
    example: (&[24_662.0, 101_325.0, 2.0051], 1.2446),
    example_from: "acetone at 20 °C with the vapour pressure of CoolProp 8.0.0",
};

/// Concentration of vapour in saturated air.
pub static SATURATION: Formula = Formula {
    id: "gas.saturation",
    title: "Concentration of vapour in saturated air",
    expression: "c_s = 100 p_v / p",
    inputs: &[VAPOUR, PRESSURE],
    repeats: false,
    output: Symbol::new("c_s", "saturated concentration", Unit::PercentVolume),
    citation: Citation::from_memory("Dalton's law", "ideal mixture of air and vapour"),
    compute: |x| 100.0 * (x[0] / x[1]).min(1.0),
    example: (&[2_919.0, 101_325.0], 2.8808),
    example_from: "toluene at 20 °C with the vapour pressure of CoolProp 8.0.0",
};

/// Parts per million to milligrams a cubic metre, at 101325 Pa.
pub static PPM_TO_MASS: Formula = Formula {
    id: "gas.ppm_to_mass",
    title: "Concentration by mass",
    expression: "m = c M / V_m with V_m = R T / 101325 Pa",
    inputs: &[PPM, MOLAR_MASS, ROOM_TEMPERATURE],
    repeats: false,
    output: Symbol::new("m", "concentration by mass", Unit::MilligramPerCubicMetre),
    citation: Citation::from_memory("EH40/2005, 4th edition 2020", "conversion of ppm to mg/m³"),
    compute: |x| x[0] * x[1] / molar_volume(x[2]),
    example: (&[20.0, 28.01, 293.15], 23.29),
    example_from: "carbon monoxide, 20 ppm at 20 °C with 24.055 L/mol, by hand",
};

/// Kilograms a cubic metre to parts per million, at 101325 Pa.
pub static MASS_TO_PPM: Formula = Formula {
    id: "gas.mass_to_ppm",
    title: "Concentration by volume",
    expression: "c = 10⁶ ρ V_m / M with V_m = R T / 101325 Pa",
    inputs: &[
        Symbol::new("ρ", "concentration by mass", Unit::KilogramPerCubicMetre).within(0.0, 50.0),
        MOLAR_MASS,
        ROOM_TEMPERATURE,
    ],
    repeats: false,
    output: PPM,
    citation: Citation::from_memory("Ideal gas law", "R = 8.314463 J/(mol K)"),
    compute: |x| 1e6 * x[0] * molar_volume(x[2]) / x[1],
    example: (&[0.25, 102.03, 298.15], 59_945.0),
    example_from: "R134a, 0.25 kg/m³ at 25 °C with 24.465 L/mol, by hand",
};

/// A share of the lower flammable limit to parts per million.
pub static LFL_SHARE_TO_PPM: Formula = Formula {
    id: "gas.lfl_share_to_ppm",
    title: "Concentration of a share of the lower flammable limit",
    expression: "c = 100 s L",
    inputs: &[
        Symbol::new("s", "share of the limit", Unit::PercentLfl).within(0.0, 100.0),
        LFL,
    ],
    repeats: false,
    output: PPM,
    citation: Citation::from_memory("IEC 60079-29-1:2016", "definition of %LFL"),
    compute: |x| 100.0 * x[0] * x[1],
    example: (&[20.0, 4.4], 8_800.0),
    example_from: "20 %LFL of methane with the 4.4 %vol of IEC 60079-20-1, by hand",
};

/// Parts per million to a share of the lower flammable limit.
pub static PPM_TO_LFL_SHARE: Formula = Formula {
    id: "gas.ppm_to_lfl_share",
    title: "Share of the lower flammable limit",
    expression: "s = c / (100 L)",
    inputs: &[PPM, LFL],
    repeats: false,
    output: Symbol::new("s", "share of the limit", Unit::PercentLfl),
    citation: Citation::from_memory("IEC 60079-29-1:2016", "definition of %LFL"),
    compute: |x| x[0] / (100.0 * x[1]),
    example: (&[3_400.0, 1.7], 20.0),
    example_from: "20 %LFL of propane is 3400 ppm with the 1.7 %vol of IEC 60079-20-1, by hand",
};

/// One part's term of Le Chatelier's rule.
pub static LE_CHATELIER_TERM: Formula = Formula {
    id: "gas.le_chatelier_term",
    title: "Part of a mixture over its own limit",
    expression: "r = x / L",
    inputs: &[
        Symbol::new("x", "share in the mixture", Unit::PercentVolume).within(0.0, 100.0),
        LFL,
    ],
    repeats: false,
    output: Symbol::new("r", "share over limit", Unit::One),
    citation: Citation::from_memory("Le Chatelier's rule", "term of one part"),
    compute: |x| x[0] / x[1],
    example: (&[70.0, 4.4], 15.909),
    example_from: "70 % methane, by hand",
};

/// Le Chatelier's rule.
pub static LE_CHATELIER: Formula = Formula {
    id: "gas.le_chatelier",
    title: "Lower flammable limit of a mixture",
    expression: "L = 100 / Σ r",
    inputs: &[Symbol::new("r", "share over limit, in %vol over %vol", Unit::One).within(0.0, 1e3)],
    repeats: true,
    output: LFL,
    citation: Citation::from_memory("Le Chatelier's rule", "mixtures of flammable gases"),
    compute: |x| 100.0 / x.iter().sum::<f64>(),
    example: (&[15.909, 8.333, 5.882], 3.320),
    example_from: "70/20/10 methane/ethane/propane with 4.4/2.4/1.7 %vol, by hand",
};

/// Oxygen left when a gas has pushed out its own volume of air.
pub static OXYGEN_AFTER_RELEASE: Formula = Formula {
    id: "gas.oxygen_after_release",
    title: "Oxygen after full release, displaced as a plug",
    expression: "O = 20.9 (V - V_g) / V",
    inputs: &[
        Symbol::new("V", "free volume of the room", Unit::CubicMetre).within(0.1, 1e6),
        Symbol::new("V_g", "volume of gas released", Unit::CubicMetre).within(0.0, 1e6),
    ],
    repeats: false,
    output: Symbol::new("O", "oxygen", Unit::PercentVolume),
    citation: Citation::from_memory("BCGA Guidance Note GN11", "worst-case release"),
    compute: |x| OXYGEN_IN_AIR * ((x[0] - x[1]) / x[0]).max(0.0),
    example: (&[36.0, 17.075], 10.987),
    example_from: "25 L of liquid nitrogen, 0.683 m³/L, in 36 m³, by hand",
};

/// Le Chatelier's rule over terms x/L, x a mole fraction and L in %vol; %vol.
pub fn le_chatelier(terms: &[f64]) -> f64 {
    1.0 / terms.iter().sum::<f64>()
}

/// A concentration in kg/m3 at 25 degC and 101325 Pa as %vol; `molar_mass` in g/mol.
pub fn percent_from_kg_per_m3(concentration: f64, molar_mass: f64) -> f64 {
    (MASS_TO_PPM.compute)(&[concentration, molar_mass, 298.15]) * 1e-4
}

/// Relative density of a substance at the temperature of the air, traced.
pub fn relative_density(trace: &mut Trace, substance: &Substance) -> Quantity {
    let mass = &substance.molar_mass;
    let title = format!("Molar mass of {}", substance.name);
    let mass = trace.given(title, mass.value, mass.unit, mass.citation.clone());
    trace.eval(&RELATIVE_DENSITY, &[mass])
}

/// Molar volume of an ideal gas at 101325 Pa, L/mol.
fn molar_volume(kelvin: f64) -> f64 {
    GAS_CONSTANT * kelvin / ATMOSPHERE * 1e3
}

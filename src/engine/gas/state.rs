//! A substance at a temperature and a pressure: gas, liquid or solid; how dense, beside air at the
//! same temperature and pressure; how much of it stands over its liquid.
//!
//! Real gas by `virial`, vapour pressure by `vapour`. What a correlation cannot say is left out
//! with a remark, never guessed. Must not choose a height.

use serde::Serialize;

use crate::engine::formula::{Formula, Symbol};
use crate::engine::gas::air::{self, RoomAir};
use crate::engine::gas::density::{self, ATMOSPHERE, KELVIN, ZERO_CELSIUS};
use crate::engine::gas::substance::{AIR_MOLAR_MASS, Substance};
use crate::engine::gas::vapour::{self, VapourPressure};
use crate::engine::gas::virial;
use crate::engine::trace::{Quantity, Trace};
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[&RELATIVE_TO_ROOM];

/// Temperatures that may be asked for, degC.
pub const CELSIUS: (f64, f64) = (-270.0, 1000.0);
/// Pressures that may be asked for, kPa.
pub const KILOPASCALS: (f64, f64) = (0.1, 5000.0);

/// Density of a release beside the room's air.
pub static RELATIVE_TO_ROOM: Formula = Formula {
    id: "gas.relative_to_room",
    title: "Density of the release relative to the room's air",
    expression: "d = ρ / ρ_a",
    inputs: &[
        Symbol::new("ρ", "density of the gas", Unit::KilogramPerCubicMetre).within(1e-3, 50.0),
        Symbol::new(
            "ρ_a",
            "density of the room's air",
            Unit::KilogramPerCubicMetre,
        )
        .within(0.3, 2.0),
    ],
    repeats: false,
    output: Symbol::new("d", "density relative to air", Unit::One).within(0.05, 20.0),
    citation: Citation::from_memory("IEC 60079-10-1:2020", "relative density of a gas or vapour"),
    compute: |x| x[0] / x[1],
    example: (&[1.8655, 1.2046], 1.5486),
    example_from: "propane at 20 °C and 101325 Pa with the densities of CoolProp 8.0.0",
};

/// A temperature and a pressure that may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    celsius: f64,
    pascals: f64,
}

/// Why a temperature or a pressure cannot be asked for.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{field} is {value}: {remedy}")]
pub struct ConditionError {
    /// As the caller names it.
    pub field: &'static str,
    pub value: String,
    pub remedy: String,
}

impl Conditions {
    /// 20 degC and 101325 Pa.
    pub const ROOM: Conditions = Conditions {
        celsius: 20.0,
        pascals: ATMOSPHERE,
    };

    /// Checked conditions; what is `None` is that of [`Conditions::ROOM`].
    ///
    /// # Errors
    /// [`ConditionError`] names the field, its value and the remedy.
    pub fn new(celsius: Option<f64>, kilopascals: Option<f64>) -> Result<Self, ConditionError> {
        let celsius = celsius.unwrap_or(Self::ROOM.celsius);
        let kilopascals = kilopascals.unwrap_or(Self::ROOM.pascals / 1e3);
        let refuse = |field, value: f64, remedy: String| {
            Err(ConditionError {
                field,
                value: value.to_string(),
                remedy,
            })
        };
        if celsius <= -ZERO_CELSIUS {
            let remedy = "nothing is colder than absolute zero, -273.15 °C; state degrees Celsius.";
            return refuse("temperature_c", celsius, remedy.to_owned());
        }
        if !(CELSIUS.0 <= celsius && celsius <= CELSIUS.1) {
            let remedy = format!("state degrees Celsius from {} to {}.", CELSIUS.0, CELSIUS.1);
            return refuse("temperature_c", celsius, remedy);
        }
        if !(KILOPASCALS.0 <= kilopascals && kilopascals <= KILOPASCALS.1) {
            let remedy = format!(
                "state the absolute pressure in kPa from {} to {}; the air at sea level has \
                 101.325.",
                KILOPASCALS.0, KILOPASCALS.1
            );
            return refuse("pressure_kpa", kilopascals, remedy);
        }
        Ok(Conditions {
            celsius,
            pascals: kilopascals * 1e3,
        })
    }

    /// degC.
    pub const fn celsius(self) -> f64 {
        self.celsius
    }

    /// Pa.
    pub const fn pascals(self) -> f64 {
        self.pascals
    }

    fn kelvin(self) -> f64 {
        self.celsius + ZERO_CELSIUS
    }
}

/// What a substance is at the conditions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    Gas,
    Liquid,
    Solid,
}

/// Air saturated with the vapour of a liquid.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Saturated {
    pub percent_volume: f64,
    /// Of the mixture of air and vapour.
    pub relative_density: f64,
    pub density_kg_per_m3: f64,
}

/// A substance at conditions.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    pub phase: Phase,
    /// kg/m3 of the gas; `None` where it is no gas, or no correlation holds.
    pub density: Option<f64>,
    /// Of the gas, beside air at the same temperature and pressure; of the vapour as an ideal gas
    /// where it is a liquid.
    pub relative_density: Option<f64>,
    /// Of the gas, where it was not taken as ideal.
    pub compressibility: Option<f64>,
    /// kg/m3 of dry air at the same temperature and pressure.
    pub air_density: f64,
    pub vapour: Option<VapourPressure>,
    pub saturated: Option<Saturated>,
    /// What is not known, and what stands on an estimate.
    pub remarks: Vec<String>,
}

/// The substance at the conditions.
pub fn state(substance: &Substance, at: Conditions) -> State {
    let mut remarks = Vec::new();
    let vapour = match vapour::vapour_pressure(substance, at.celsius) {
        Ok(vapour) => Some(vapour),
        Err(reason) => {
            remarks.push(reason);
            None
        }
    };
    let phase = phase(substance, at, vapour.as_ref(), &mut remarks);
    let air_density = air::dry_density(at.kelvin(), at.pascals);
    let mut state = State {
        phase,
        density: None,
        relative_density: None,
        compressibility: None,
        air_density,
        vapour,
        saturated: None,
        remarks,
    };
    match phase {
        Phase::Gas => gas(substance, at, &mut state),
        Phase::Liquid => liquid(substance, at, &mut state),
        Phase::Solid => state.remarks.push(format!(
            "{} is solid here: it has no density as a gas.",
            substance.name
        )),
    }
    if let Some(vapour) = state.vapour.as_ref().filter(|vapour| vapour.estimate) {
        let name = &substance.name;
        let kilopascals = vapour.pascals / 1e3;
        state.remarks.push(format!(
            "The vapour pressure of {name}, {kilopascals:.3} kPa, is a corresponding-states \
             estimate through the nearest known point: within about 6 % near it, 15 % far below it."
        ));
    }
    state
}

/// Density of a release beside the room's air, traced. `temperature` in degC, of the release; its
/// pressure is the room's.
pub fn relative_to_room(
    trace: &mut Trace,
    substance: &Substance,
    temperature: Quantity,
    air: &RoomAir,
) -> Quantity {
    let mass = &substance.molar_mass;
    let title = format!("Molar mass of {}", substance.name);
    let mass = trace.given(title, mass.value, mass.unit, mass.citation.clone());
    let kelvin = trace.eval(&KELVIN, &[temperature]);
    let factor = virial::traced(trace, substance, kelvin, air.pressure);
    let inputs = [mass, kelvin, air.pressure, factor];
    let density = trace.eval(&virial::REAL_DENSITY, &inputs);
    trace.eval(&RELATIVE_TO_ROOM, &[density, air.density])
}

fn gas(substance: &Substance, at: Conditions, state: &mut State) {
    let name = &substance.name;
    if substance.associates {
        state.remarks.push(format!(
            "{name} associates: its molecules join in pairs and larger groups, so it is denser \
             than its molar mass says, and no correlation here tells by how much. Take it as heavy."
        ));
        return;
    }
    let factor = match virial::terms(substance, at.kelvin(), at.pascals) {
        Some(terms) if virial::holds(terms.0) => {
            let factor = virial::compressibility(terms);
            state.compressibility = Some(factor);
            factor
        }
        Some(_) => {
            state.remarks.push(format!(
                "{name} is so far from an ideal gas at {} °C and {} kPa that the virial equation \
                 does not hold; ask for a lower pressure or a higher temperature.",
                at.celsius,
                at.pascals / 1e3
            ));
            return;
        }
        None => {
            state.remarks.push(format!(
                "No critical constants of {name} are known here: it is taken as an ideal gas, and \
                 may be up to 5 % denser near its boiling point."
            ));
            1.0
        }
    };
    let mass = substance.molar_mass.value;
    let density = (virial::REAL_DENSITY.compute)(&[mass, at.kelvin(), at.pascals, factor]);
    state.density = Some(density);
    state.relative_density = Some(density / state.air_density);
}

fn liquid(substance: &Substance, at: Conditions, state: &mut State) {
    let pure = substance.molar_mass.value / AIR_MOLAR_MASS;
    let saturated = |pascals: f64, pure: f64| {
        (density::SATURATED_DENSITY.compute)(&[pascals, at.pascals, pure])
    };
    state.relative_density = Some(pure);
    if substance.associates {
        let between = state.vapour.as_ref().map(|vapour| {
            let (least, most) = (
                saturated(vapour.pascals, pure),
                saturated(vapour.pascals, 2.0 * pure),
            );
            format!(" Air saturated with it is {least:.2} to {most:.2} times as dense as air.")
        });
        state.remarks.push(format!(
            "{} associates: its molecules join in pairs, so its vapour is denser than its molar \
             mass says. Take it as heavy and watch it low.{}",
            substance.name,
            between.unwrap_or_default()
        ));
        return;
    }
    if let Some(vapour) = &state.vapour {
        let inputs = [vapour.pascals, at.pascals];
        let mixed = saturated(inputs[0], pure);
        state.saturated = Some(Saturated {
            percent_volume: (density::SATURATION.compute)(&inputs),
            relative_density: mixed,
            density_kg_per_m3: mixed * state.air_density,
        });
    }
}

fn phase(
    substance: &Substance,
    at: Conditions,
    vapour: Option<&VapourPressure>,
    remarks: &mut Vec<String>,
) -> Phase {
    let below = |pascals: f64| match at.pascals <= pascals {
        true => Phase::Gas,
        false => Phase::Liquid,
    };
    if substance.is_mixture() {
        return mixture_phase(substance, at);
    }
    if let Some(vapour) = vapour {
        return below(vapour.pascals);
    }
    let critical = substance.critical.as_ref();
    if critical.is_some_and(|critical| at.kelvin() >= critical.temperature) {
        return Phase::Gas;
    }
    let melts = substance.melting_point.as_ref().map(|figure| figure.value);
    let Some(boils) = substance.boiling_point.as_ref().map(|figure| figure.value) else {
        return Phase::Gas;
    };
    if melts.is_some_and(|melts| at.celsius < melts) {
        let sublimed = at.celsius >= boils && at.pascals <= ATMOSPHERE;
        return if sublimed { Phase::Gas } else { Phase::Solid };
    }
    remarks.push(format!(
        "Whether {} is a liquid here follows from its boiling point by Trouton's rule.",
        substance.name
    ));
    below(trouton(boils, at.kelvin()))
}

/// Vapour pressure by Trouton's rule, Pa: entropy of vaporisation 88 J/(mol K) (common practice).
fn trouton(boils_celsius: f64, kelvin: f64) -> f64 {
    let boils = boils_celsius + ZERO_CELSIUS;
    ATMOSPHERE * (88.0 / density::GAS_CONSTANT * (1.0 - boils / kelvin)).exp()
}

/// A mixture is a gas below its dew pressure by Raoult's law; parts without a vapour pressure
/// here do not condense.
fn mixture_phase(mixture: &Substance, at: Conditions) -> Phase {
    let pressed: f64 = mixture
        .composition
        .iter()
        .filter_map(|part| {
            let known = part.known()?;
            let vapour = vapour::vapour_pressure(known, at.celsius).ok()?;
            Some(part.mole_fraction * at.pascals / vapour.pascals)
        })
        .sum();
    if pressed <= 1.0 {
        Phase::Gas
    } else {
        Phase::Liquid
    }
}

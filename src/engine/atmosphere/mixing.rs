//! How dense a cold gas is once it has mixed with room air: by mixing alone, and with heat.
//!
//! Ideal gas, within 1 % of real gases up to half gas and 2 % up to seven tenths
//! (tests/reference/atmosphere.rs). Heats of gas and air add up by their moles (Poling, Prausnitz &
//! O'Connell: The Properties of Gases and Liquids). The heat from floor, walls and moisture is
//! taken simply: moisture condenses until the mixture is at the air's dew point, then a stated
//! share of what is left to the room's temperature is made up. Must not say where the gas goes.

use crate::engine::formula::{Formula, Rule, Symbol};
use crate::engine::gas::Substance;
use crate::engine::gas::density::ATMOSPHERE;
use crate::engine::results::MixingCurves;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::{Basis, Citation};
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[
    &LEAVING_TEMPERATURE,
    &TEMPERATURE,
    &DENSITY,
    &MOISTURE,
    &HEATED,
];

/// Every rule of this module.
pub static RULES: &[&Rule] = &[&CROSSING, &HEAT_UNKNOWN];

/// Molar heat capacity of air, J/(mol K): 29.1 from 100 to 300 K.
pub const AIR_HEAT: f64 = 29.1;
/// Molar heat of condensation of water near 0 degC, J/mol.
const CONDENSATION: f64 = 45_050.0;
const ZERO_CELSIUS: f64 = 273.15;

const POLING: Citation = Citation::from_memory(
    "Poling, Prausnitz & O'Connell: The Properties of Gases and Liquids, 5th ed.",
    "ideal gas mixtures",
);

const SHARE: Symbol = Symbol::new("x", "mole fraction of the gas", Unit::One).within(0.0, 1.0);
const TEMPERATURE_G: Symbol =
    Symbol::new("T_g", "temperature of the gas", Unit::Kelvin).within(4.0, 400.0);
const TEMPERATURE_A: Symbol =
    Symbol::new("T_a", "temperature of the room", Unit::Kelvin).within(230.0, 340.0);
const MIXED: Symbol = Symbol::new("T", "temperature of the mixture", Unit::Kelvin);

/// Temperature at which a gas leaves, by its density.
pub static LEAVING_TEMPERATURE: Formula = Formula {
    id: "atmosphere.leaving_temperature",
    title: "Temperature at which it leaves",
    expression: "T_g = (t + 273.15) d / d_l",
    inputs: &[
        Symbol::new("d", "relative density at the room's temperature", Unit::One)
            .within(0.05, 20.0),
        Symbol::new("d_l", "relative density as it leaves", Unit::One).within(0.05, 20.0),
        Symbol::new("t", "temperature of the room", Unit::Celsius).within(-40.0, 60.0),
    ],
    repeats: false,
    output: TEMPERATURE_G,
    citation: Citation::from_memory("Ideal gas law", "equal pressure"),
    compute: |x| (x[2] + ZERO_CELSIUS) * x[0] / x[1],
    example: (&[0.553_9, 1.508, 20.0], 107.68),
    example_from: "cold methane, by hand; as a real gas it leaves at 111.67 K",
};

/// Temperature of a mixture that takes no heat from outside.
pub static TEMPERATURE: Formula = Formula {
    id: "atmosphere.mixing_temperature",
    title: "Temperature by mixing alone",
    expression: "x ∫(a + b T) dT from T_g to T = (1 - x) 29.1 (T_a - T)",
    inputs: &[
        SHARE,
        Symbol::new(
            "a",
            "heat capacity of the gas at 0 K, extrapolated",
            Unit::JoulePerMoleKelvin,
        ),
        Symbol::new("b", "its rise, a kelvin", Unit::One),
        TEMPERATURE_G,
        TEMPERATURE_A,
    ],
    repeats: false,
    output: MIXED,
    citation: POLING,
    compute: |x| Heat { a: x[1], b: x[2] }.mixed(x[0], x[3], x[4]),
    example: (&[0.5, 34.0, 0.0, 111.67, 293.15], 195.36),
    example_from: "methane with 34 J/(mol K), by hand: (17 · 111.67 + 14.55 · 293.15) / 31.55",
};

/// Density of a mixture relative to the room's air.
pub static DENSITY: Formula = Formula {
    id: "atmosphere.mixing_density",
    title: "Density of the mixture relative to the room's air",
    expression: "d_x = [1 + x (d - 1)] T_a / T",
    inputs: &[
        SHARE,
        Symbol::new("d", "relative density at the room's temperature", Unit::One)
            .within(0.05, 20.0),
        MIXED,
        TEMPERATURE_A,
    ],
    repeats: false,
    output: Symbol::new("d_x", "density relative to the room's air", Unit::One),
    citation: Citation::from_memory("Ideal gas law", "equal pressure"),
    compute: |x| density(x[0], x[1], x[2], x[3]),
    example: (&[0.5, 0.553_9, 195.36, 293.15], 1.165_8),
    example_from: "methane at its boiling point in air of 20 °C, half and half, by hand",
};

/// Temperature once the air's moisture has condensed.
pub static MOISTURE: Formula = Formula {
    id: "atmosphere.mixing_moisture",
    title: "Temperature once moisture has condensed",
    expression: "T_m = min(T + (1 - x) w 45050 / c, T_d) where T lies below the dew point T_d",
    inputs: &[
        SHARE,
        MIXED,
        Symbol::new(
            "c",
            "heat capacity of the mixture",
            Unit::JoulePerMoleKelvin,
        ),
        Symbol::new("w", "mole fraction of water in the air", Unit::One).within(0.0, 0.2),
        Symbol::new("T_d", "dew point of the air", Unit::Kelvin),
    ],
    repeats: false,
    output: MIXED,
    citation: Citation::from_memory("CRC Handbook of Chemistry and Physics", "heat of water"),
    compute: |x| condensed(x[0], x[1], x[2], x[3], x[4]),
    example: (&[0.1, 272.3, 29.6, 0.011_54, 282.42], 282.42),
    example_from: "air of 20 °C and 50 %: its water would warm the mixture by 15.8 K, and its dew \
                   point of 9.3 °C stops it, by hand",
};

/// Temperature once floor and walls have given heat.
pub static HEATED: Formula = Formula {
    id: "atmosphere.mixing_heated",
    title: "Temperature with heat from floor and walls",
    expression: "T_h = T_m + f / 100 (T_a - T_m)",
    inputs: &[
        Symbol::new(
            "T_m",
            "temperature once moisture has condensed",
            Unit::Kelvin,
        ),
        TEMPERATURE_A,
        Symbol::new("f", "share of the deficit made up", Unit::Percent).within(0.0, 100.0),
    ],
    repeats: false,
    output: MIXED,
    citation: Citation::CommonPractice,
    compute: |x| x[0] + x[2] / 100.0 * (x[1] - x[0]),
    example: (&[200.0, 293.15, 50.0], 246.575),
    example_from: "by hand",
};

pub static CROSSING: Rule = Rule {
    id: "atmosphere.mixing_crossing",
    title: "Where a cold release is as dense as the room's air",
    statement: "The largest share of gas in the mixture, by steps of a five-hundredth, below which \
        it is lighter than the room's air.",
    citation: Citation::from_memory("Ideal gas law", "mixing curve"),
};

pub static HEAT_UNKNOWN: Rule = Rule {
    id: "atmosphere.heat_unknown",
    title: "Heat capacity is not known",
    statement: "A gas whose heat capacity no table states is taken as warming like air.",
    citation: Citation::CommonPractice,
};

/// Molar heat capacity of a gas, a + b T, J/(mol K).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    pub a: f64,
    pub b: f64,
}

/// Key, its boiling or subliming point, K, and heat capacity there and at 293.15 K, J/(mol K).
/// Ideal gas by the polynomials of Poling, Prausnitz & O'Connell, appendix A, as carried by
/// `chemicals` 1.5.2; 5/2 R for one atom, and for hydrogen at its boiling point, where nothing
/// turns.
const HEATS: &[(&str, f64, f64, f64)] = &[
    ("74-82-8", 111.67, 33.03, 35.58),
    ("7727-37-9", 77.36, 29.27, 29.11),
    ("7782-44-7", 90.19, 29.25, 29.36),
    ("1333-74-0", 20.37, 20.79, 28.75),
    ("630-08-0", 81.6, 30.47, 29.03),
    ("74-85-1", 169.4, 34.00, 42.54),
    ("74-84-0", 184.6, 40.74, 51.99),
    ("74-98-6", 231.0, 61.15, 72.80),
    ("106-97-8", 272.7, 92.57, 97.58),
    ("75-28-5", 261.4, 87.07, 95.61),
    ("7664-41-7", 239.8, 34.36, 35.56),
    ("124-38-9", 194.7, 32.70, 36.81),
    ("7782-50-5", 239.1, 32.84, 33.81),
    ("10024-97-2", 184.7, 33.44, 38.28),
    ("7446-09-5", 263.1, 40.93, 42.03),
    ("7783-06-4", 212.9, 33.37, 34.03),
    ("115-07-1", 225.5, 53.76, 63.67),
    ("74-86-2", 189.0, 36.06, 43.51),
    ("7440-37-1", 87.3, 20.79, 20.79),
    ("7440-59-7", 4.2, 20.79, 20.79),
    ("7440-01-9", 27.1, 20.79, 20.79),
    ("7439-90-9", 119.9, 20.79, 20.79),
    ("7440-63-3", 165.1, 20.79, 20.79),
];

/// Air that a cold gas mixes with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// K.
    pub temperature: f64,
    /// 0 to 1.
    pub humidity: f64,
    /// Share of the deficit that floor and walls make up, 0 to 1.
    pub made_up: f64,
}

impl Heat {
    /// That of a substance, by moles for a mixture; `None` where a part is not in the table.
    pub fn of(substance: &Substance) -> Option<Heat> {
        if substance.is_mixture() {
            let mut sum = Heat { a: 0.0, b: 0.0 };
            for part in &substance.composition {
                let heat = Heat::of(part.known()?)?;
                sum.a += part.mole_fraction * heat.a;
                sum.b += part.mole_fraction * heat.b;
            }
            return Some(sum);
        }
        let (_, cold, at_cold, at_room) = HEATS.iter().find(|row| row.0 == substance.key)?;
        let b = (at_room - at_cold) / (293.15 - cold);
        Some(Heat {
            a: at_cold - b * cold,
            b,
        })
    }

    /// Temperature, K, of `x` moles of gas at `gas` K with 1 - x moles of air at `air` K.
    pub fn mixed(&self, x: f64, gas: f64, air: f64) -> f64 {
        let square = x * self.b / 2.0;
        let linear = x * self.a + (1.0 - x) * AIR_HEAT;
        let held = x * (self.a * gas + self.b / 2.0 * gas * gas) + (1.0 - x) * AIR_HEAT * air;
        if square.abs() < 1e-12 {
            return held / linear;
        }
        let root = (linear * linear + 4.0 * square * held).max(0.0).sqrt();
        (root - linear) / (2.0 * square)
    }

    /// Heat capacity of the mixture at `temperature`, J/(mol K).
    fn of_mixture(&self, x: f64, temperature: f64) -> f64 {
        x * (self.a + self.b * temperature) + (1.0 - x) * AIR_HEAT
    }
}

impl Air {
    /// The room air of the basis of design.
    pub fn of(basis: &Basis) -> Self {
        Air {
            temperature: basis.get(&basis::ROOM_TEMPERATURE) + ZERO_CELSIUS,
            humidity: basis.get(&basis::ROOM_HUMIDITY) / 100.0,
            made_up: basis.get(&basis::HEAT_MADE_UP) / 100.0,
        }
    }

    /// Mole fraction of water.
    fn water(&self) -> f64 {
        self.humidity * vapour_pressure_of_water(self.temperature) / ATMOSPHERE
    }

    /// K (Magnus form, from memory: World Meteorological Organization).
    fn dew_point(&self) -> f64 {
        let log = (self.water() * ATMOSPHERE / 611.2).max(1e-9).ln();
        243.12 * log / (17.62 - log) + ZERO_CELSIUS
    }

    /// Density of the mixture relative to the room's air without heat from outside.
    pub fn adiabatic(&self, heat: Heat, in_room: f64, gas: f64, x: f64) -> f64 {
        density(
            x,
            in_room,
            heat.mixed(x, gas, self.temperature),
            self.temperature,
        )
    }

    /// The same with heat from floor, walls and moisture.
    pub fn heated(&self, heat: Heat, in_room: f64, gas: f64, x: f64) -> f64 {
        let alone = heat.mixed(x, gas, self.temperature);
        let capacity = heat.of_mixture(x, alone);
        let moist = condensed(x, alone, capacity, self.water(), self.dew_point());
        let warmed = moist + self.made_up * (self.temperature - moist);
        density(x, in_room, warmed, self.temperature)
    }
}

/// Both mixing curves of a cold release: `in_room` its relative density at room temperature, `gas`
/// the temperature at which it leaves, K.
pub fn curves(
    trace: &mut Trace,
    basis: &Basis,
    substance: &Substance,
    in_room: Quantity,
    gas: Quantity,
) -> MixingCurves {
    const SHARES: [f64; 14] = [
        1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2, 0.15, 0.1, 0.05, 0.02, 0.01,
    ];
    let air = Air::of(basis);
    let known = Heat::of(substance);
    let heat = known.unwrap_or(Heat {
        a: AIR_HEAT,
        b: 0.0,
    });
    let alone = |x: f64| air.adiabatic(heat, in_room.value, gas.value, x);
    let warmed = |x: f64| air.heated(heat, in_room.value, gas.value, x);
    let mut inputs = vec![("relative density, warm", in_room), ("it leaves at", gas)];
    for item in [
        &basis::ROOM_TEMPERATURE,
        &basis::ROOM_HUMIDITY,
        &basis::HEAT_MADE_UP,
    ] {
        inputs.push((item.label, trace.basis(basis, item)));
    }
    if known.is_none() {
        let taken = trace.rule(&HEAT_UNKNOWN, AIR_HEAT, Unit::JoulePerMoleKelvin, &[]);
        inputs.push(("heat capacity, taken as that of air", taken));
    }
    let mut crossing = |at: Option<f64>| at.map(|x| trace.rule(&CROSSING, x, Unit::One, &inputs));
    let crossing_adiabatic = crossing(crosses(&alone));
    let crossing_heated = crossing(crosses(&warmed));
    let mut sentence = told(
        substance,
        &alone,
        &warmed,
        crossing_adiabatic,
        crossing_heated,
    );
    if known.is_none() {
        sentence
            .push_str(" Its heat capacity is in no table here: it is taken as warming like air.");
    }
    MixingCurves {
        gas: SHARES.to_vec(),
        adiabatic: SHARES.map(&alone).to_vec(),
        heated: SHARES.map(&warmed).to_vec(),
        crossing_adiabatic,
        crossing_heated,
        sentence,
    }
}

fn told(
    substance: &Substance,
    alone: &dyn Fn(f64) -> f64,
    warmed: &dyn Fn(f64) -> f64,
    crossing_alone: Option<Quantity>,
    crossing_warmed: Option<Quantity>,
) -> String {
    let name = &substance.name;
    let at = |curve: &dyn Fn(f64) -> f64| {
        format!(
            "{:.2} times as dense at half gas, {:.2} at a tenth",
            curve(0.5),
            curve(0.1)
        )
    };
    let percent = |x: Quantity| format!("{:.0} %vol", 100.0 * x.value);
    match (crossing_alone, crossing_warmed) {
        (Some(x), _) => format!(
            "{name} leaves cold and mixes with the room's air: {}. By mixing alone it is lighter \
             than the air below {}.",
            at(alone),
            percent(x)
        ),
        (None, Some(x)) => format!(
            "{name} leaves cold and mixes with the room's air: {}. By mixing alone it is never \
             lighter than the air; with heat from floor, walls and moisture it is so below {}.",
            at(alone),
            percent(x)
        ),
        (None, None) => format!(
            "{name} leaves cold and mixes with the room's air: {}, with heat from floor, walls and \
             moisture {}. It is never lighter than the air.",
            at(alone),
            at(warmed)
        ),
    }
}

/// The largest share below which a curve lies under 1.
fn crosses(curve: &dyn Fn(f64) -> f64) -> Option<f64> {
    const STEPS: u32 = 500;
    (1..=STEPS)
        .rev()
        .map(|step| f64::from(step) / f64::from(STEPS))
        .find(|x| curve(*x) < 1.0)
}

fn density(x: f64, in_room: f64, mixed: f64, air: f64) -> f64 {
    (1.0 + x * (in_room - 1.0)) * air / mixed
}

fn condensed(x: f64, mixed: f64, capacity: f64, water: f64, dew_point: f64) -> f64 {
    if mixed >= dew_point {
        return mixed;
    }
    (mixed + (1.0 - x) * water * CONDENSATION / capacity).min(dew_point)
}

/// Pa, over water (Magnus form, from memory: World Meteorological Organization).
fn vapour_pressure_of_water(kelvin: f64) -> f64 {
    let celsius = kelvin - ZERO_CELSIUS;
    611.2 * (17.62 * celsius / (243.12 + celsius)).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::gas;

    fn curve(name: &str, boils: f64) -> (impl Fn(f64) -> f64, impl Fn(f64) -> f64) {
        let substance = gas::find(name).unwrap();
        let (heat, d) = (Heat::of(substance).unwrap(), substance.relative_density());
        let air = Air {
            temperature: 293.15,
            humidity: 0.5,
            made_up: 0.5,
        };
        (
            move |x| air.adiabatic(heat, d, boils, x),
            move |x| air.heated(heat, d, boils, x),
        )
    }

    #[test]
    fn hydrogen_crosses_over_by_mixing_alone_and_cold_methane_only_with_heat() {
        let (hydrogen, _) = curve("hydrogen", 20.37);
        assert!(hydrogen(1.0) > 1.0 && hydrogen(0.5) < 0.95);
        let (methane, heated) = curve("methane", 111.67);
        for percent in 1..=100 {
            assert!(methane(f64::from(percent) / 100.0) > 1.0, "{percent} %");
        }
        assert!(crosses(&methane).is_none());
        assert!(crosses(&heated).is_some_and(|x| x > 0.2));
    }

    #[test]
    fn cold_nitrogen_is_never_lighter_than_the_air() {
        let (nitrogen, heated) = curve("nitrogen", 77.36);
        assert!(crosses(&nitrogen).is_none() && crosses(&heated).is_none());
    }

    #[test]
    fn a_mixture_of_gases_has_the_heat_of_its_parts() {
        let gas = gas::find("natural gas").unwrap();
        let methane = Heat::of(gas::find("methane").unwrap()).unwrap();
        let heat = Heat::of(gas).unwrap();
        let at = |heat: Heat| heat.a + heat.b * 200.0;
        assert!(at(heat) > at(methane) && at(heat) < 1.2 * at(methane));
    }
}

//! The air of the room: temperature, pressure at the site's altitude, humidity, density.
//!
//! ISO 2533 for the pressure, the ideal mixture of dry air and water vapour for the molar mass.
//! Must not know of a release.

use crate::engine::formula::{Formula, Symbol};
use crate::engine::gas::density::{ATMOSPHERE, KELVIN};
use crate::engine::gas::substance::AIR_MOLAR_MASS;
use crate::engine::gas::virial;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::{Basis, Citation};
use crate::units::Unit;

/// Molar mass of water, g/mol.
const WATER_MOLAR_MASS: f64 = 18.015;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[&PRESSURE_AT_ALTITUDE, &SATURATED_WATER, &HUMID_AIR_MASS];

/// Pressure of the standard atmosphere.
pub static PRESSURE_AT_ALTITUDE: Formula = Formula {
    id: "gas.pressure_at_altitude",
    title: "Pressure of the air at the site's altitude",
    expression: "p = 101325 (1 - 0.0065 H / 288.15)^5.25588",
    inputs: &[Symbol::new("H", "altitude of the site", Unit::Metre).within(-2000.0, 11_000.0)],
    repeats: false,
    output: Symbol::new("p", "pressure", Unit::Pascal),
    citation: Citation::from_memory("ISO 2533:1975", "standard atmosphere below 11 km"),
    compute: |x| ATMOSPHERE * (1.0 - 0.0065 * x[0] / 288.15).powf(5.255_88),
    example: (&[1000.0], 89_875.0),
    example_from: "ISO 2533 prints 89 876 Pa (898.76 hPa) at 1000 m (from memory)",
};

/// Vapour pressure of water.
pub static SATURATED_WATER: Formula = Formula {
    id: "gas.saturated_water",
    title: "Saturation pressure of water vapour over water",
    expression: "p_w = 610.94 exp(17.625 t / (t + 243.04))",
    inputs: &[Symbol::new("t", "room temperature", Unit::Celsius).within(-40.0, 60.0)],
    repeats: false,
    output: Symbol::new("p_w", "saturation pressure of water", Unit::Pascal),
    citation: Citation::from_memory(
        "Alduchov, Eskridge: J. Applied Meteorology 35 (1996) 601",
        "Magnus form",
    ),
    compute: |x| 610.94 * (17.625 * x[0] / (x[0] + 243.04)).exp(),
    example: (&[20.0], 2_333.4),
    example_from: "CoolProp 8.0.0 has 2339.3 Pa, 0.25 % higher",
};

/// Molar mass of humid air.
pub static HUMID_AIR_MASS: Formula = Formula {
    id: "gas.humid_air_mass",
    title: "Molar mass of the room's air",
    expression: "M_a = 28.9647 - (φ / 100) (p_w / p) (28.9647 - 18.015)",
    inputs: &[
        Symbol::new("φ", "relative humidity", Unit::Percent).within(0.0, 100.0),
        Symbol::new("p_w", "saturation pressure of water", Unit::Pascal).within(0.0, 2.1e4),
        Symbol::new("p", "pressure", Unit::Pascal).within(4e4, 1.2e5),
    ],
    repeats: false,
    output: Symbol::new("M_a", "molar mass of humid air", Unit::GramPerMole),
    citation: Citation::from_memory(
        "Picard, Davis, Gläser, Fujii: Metrologia 45 (2008) 149",
        "CIPM-2007, mole fraction of water vapour",
    ),
    compute: |x| AIR_MOLAR_MASS - x[0] / 100.0 * x[1] / x[2] * (AIR_MOLAR_MASS - WATER_MOLAR_MASS),
    example: (&[50.0, 2_339.0, 101_325.0], 28.8383),
    example_from: "air at 20 °C and 50 %, by hand",
};

/// The room's air, traced.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoomAir {
    /// degC.
    pub temperature: Quantity,
    /// K.
    pub kelvin: Quantity,
    /// Pa.
    pub pressure: Quantity,
    /// g/mol, with its humidity.
    pub molar_mass: Quantity,
    /// kg/m3.
    pub density: Quantity,
}

impl RoomAir {
    /// The air the basis of design states: temperature, altitude, humidity.
    pub fn of(trace: &mut Trace, basis: &Basis) -> Self {
        let temperature = trace.basis(basis, &basis::ROOM_TEMPERATURE);
        let kelvin = trace.eval(&KELVIN, &[temperature]);
        let altitude = trace.basis(basis, &basis::SITE_ALTITUDE);
        let pressure = trace.eval(&PRESSURE_AT_ALTITUDE, &[altitude]);
        let humidity = trace.basis(basis, &basis::ROOM_HUMIDITY);
        let water = trace.eval(&SATURATED_WATER, &[temperature]);
        let molar_mass = trace.eval(&HUMID_AIR_MASS, &[humidity, water, pressure]);
        let factor = virial::traced_air(trace, kelvin, pressure);
        let inputs = [molar_mass, kelvin, pressure, factor];
        let density = trace.eval(&virial::REAL_DENSITY, &inputs);
        RoomAir {
            temperature,
            kelvin,
            pressure,
            molar_mass,
            density,
        }
    }
}

/// Density of dry air at `kelvin` and `pascals`, kg/m3, without a trace.
pub fn dry_density(kelvin: f64, pascals: f64) -> f64 {
    let factor = virial::air_compressibility(kelvin, pascals);
    (virial::REAL_DENSITY.compute)(&[AIR_MOLAR_MASS, kelvin, pascals, factor])
}

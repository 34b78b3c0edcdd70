//! A steady plume in still air: what it carries and how far it is diluted at a height.
//!
//! Morton, Taylor & Turner 1956 with top-hat profiles; a dense plume is the mirror image. It holds
//! for small differences of density, far above the source, without draughts. Gas that leaves colder
//! than the room mixes without heat from outside. Must not know of rooms.

use std::f64::consts::PI;

use crate::engine::formula::{Formula, Symbol};
use crate::model::Citation;
use crate::units::Unit;

/// Standard gravity, m/s2.
pub const GRAVITY: f64 = 9.806_65;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[
    &BUOYANCY,
    &COEFFICIENT,
    &FLUX,
    &DILUTION,
    &TRANSIT,
    &CURRENT_TIME,
];

const MORTON: &str = "Morton, Taylor & Turner 1956, Proc. R. Soc. Lond. A 234";
const BRITTER: &str = "Britter 1979, Atmospheric Environment 13, 1241";

pub(super) const RATE: Symbol =
    Symbol::new("q", "gas that comes out", Unit::CubicMetrePerSecond).within(0.0, 100.0);
pub(super) const ENTRAINMENT: Symbol =
    Symbol::new("α", "entrainment coefficient, top-hat", Unit::One).within(0.08, 0.2);
pub(super) const COEFFICIENT_C: Symbol =
    Symbol::new("C", "plume coefficient", Unit::One).within(0.05, 0.35);
pub(super) const BUOYANCY_B: Symbol =
    Symbol::new("B", "buoyancy flux", Unit::BuoyancyFlux).within(0.0, 100.0);
pub(super) const RUN: Symbol =
    Symbol::new("z", "distance from the release", Unit::Metre).within(0.0, 60.0);
const FLUX_Q: Symbol = Symbol::new("Q", "flux of the plume", Unit::CubicMetrePerSecond);

/// Buoyancy flux of what comes out.
pub static BUOYANCY: Formula = Formula {
    id: "atmosphere.buoyancy",
    title: "Buoyancy flux",
    expression: "B = g q (d / d_l) |1 - d_l|",
    inputs: &[
        RATE,
        Symbol::new("d", "relative density at the room's temperature", Unit::One)
            .within(0.05, 20.0),
        Symbol::new("d_l", "relative density of what moves", Unit::One).within(0.05, 20.0),
    ],
    repeats: false,
    output: BUOYANCY_B,
    citation: Citation::from_memory(MORTON, "buoyancy flux, for a source of volume"),
    compute: |x| buoyancy(x[0], x[1], x[2]),
    example: (&[0.001, 0.553_92, 0.553_92], 4.3745e-3),
    example_from: "1 L/s of methane, g(1 - d) = 4.375 m/s², by hand",
};

/// Coefficient of the plume's flux.
pub static COEFFICIENT: Formula = Formula {
    id: "atmosphere.plume_coefficient",
    title: "Coefficient of the plume's flux",
    expression: "C = (6 α / 5) (9 α / 10)^(1/3) π^(2/3)",
    inputs: &[ENTRAINMENT],
    repeats: false,
    output: COEFFICIENT_C,
    citation: Citation::from_memory(MORTON, "similarity solution"),
    compute: |x| coefficient(x[0]),
    example: (&[0.1], 0.115_37),
    example_from: "the solution's equations integrated with SciPy 1.17 give 0.1154",
};

/// Flux of air and gas in the plume.
pub static FLUX: Formula = Formula {
    id: "atmosphere.plume_flux",
    title: "Flux of the plume",
    expression: "Q = C B^(1/3) z^(5/3)",
    inputs: &[COEFFICIENT_C, BUOYANCY_B, RUN],
    repeats: false,
    output: FLUX_Q,
    citation: Citation::from_memory(MORTON, "similarity solution"),
    compute: |x| flux(x[0], x[1], x[2]),
    example: (&[0.115_37, 4.375e-3, 2.5], 0.086_90),
    example_from: "1 L/s of methane 2.5 m above its source, by hand",
};

/// Mean gas in the plume.
pub static DILUTION: Formula = Formula {
    id: "atmosphere.plume_dilution",
    title: "Mean gas in the plume",
    expression: "X = 100 q / Q, at most 100",
    inputs: &[RATE, FLUX_Q],
    repeats: false,
    output: Symbol::new("X", "gas in the plume", Unit::PercentVolume),
    citation: Citation::from_memory(MORTON, "conservation of what is released"),
    compute: |x| dilution(x[0], x[1]),
    example: (&[0.001, 0.086_88], 1.151),
    example_from: "1 L/s of methane 2.5 m above its source, by hand",
};

/// Time a plume takes for its way.
pub static TRANSIT: Formula = Formula {
    id: "atmosphere.plume_transit",
    title: "Time the plume takes to the ceiling or floor",
    expression: "t = (27 π α² / 25) z³ / Q",
    inputs: &[ENTRAINMENT, RUN, FLUX_Q],
    repeats: false,
    output: Symbol::new("t", "time", Unit::Second),
    citation: Citation::from_memory(MORTON, "similarity solution, speed integrated over height"),
    compute: |x| transit(x[0], x[1], x[2]),
    example: (&[0.1, 2.5, 0.086_88], 6.102),
    example_from: "by hand: 3 z / 4 w with w = 0.307 m/s",
};

/// Time a current along the ceiling or floor takes to a distance.
pub static CURRENT_TIME: Formula = Formula {
    id: "atmosphere.current_time",
    title: "Time the current along the ceiling or floor takes",
    expression: "t = (r / 0.84)^(4/3) / B^(1/3)",
    inputs: &[
        Symbol::new("r", "distance on plan", Unit::Metre).within(0.0, 100.0),
        BUOYANCY_B,
    ],
    repeats: false,
    output: Symbol::new("t", "time", Unit::Second),
    citation: Citation::from_memory(BRITTER, "radial current fed at a constant rate"),
    compute: |x| current_time(x[0], x[1]),
    example: (&[5.0, 4.375e-3], 65.90),
    example_from: "by hand",
};

/// Buoyancy flux, m4/s3, of `rate` m3/s of gas at room temperature; `in_room` its relative density
/// at room temperature, `moving` that of what moves. Conserved while the plume mixes without heat
/// from outside, for gas and air of the same molar heat.
pub fn buoyancy(rate: f64, in_room: f64, moving: f64) -> f64 {
    GRAVITY * rate * in_room / moving * (1.0 - moving).abs()
}

/// Coefficient of the flux for the entrainment coefficient `alpha` of top-hat profiles.
pub fn coefficient(alpha: f64) -> f64 {
    1.2 * alpha * (0.9 * alpha).cbrt() * PI.powf(2.0 / 3.0)
}

/// Flux, m3/s, at `run` m from the source; 0 behind it.
pub fn flux(coefficient: f64, buoyancy: f64, run: f64) -> f64 {
    let run = run.max(0.0);
    let root = run.cbrt();
    coefficient * buoyancy.max(0.0).cbrt() * run * root * root
}

/// Mean gas, %vol, of a plume of `flux` that carries `rate`, both m3/s.
pub fn dilution(rate: f64, flux: f64) -> f64 {
    if rate >= flux {
        return 100.0;
    }
    100.0 * rate / flux
}

/// Time, s, a plume takes to `run` m, where its flux is `flux` m3/s: 3/4 of the way over its
/// speed there.
pub fn transit(alpha: f64, run: f64, flux: f64) -> f64 {
    let radius = 1.2 * alpha * run;
    0.75 * run * PI * radius * radius / flux
}

/// Time, s, a radial current takes to `distance` m.
pub fn current_time(distance: f64, buoyancy: f64) -> f64 {
    (distance / 0.84).powf(4.0 / 3.0) / buoyancy.cbrt()
}

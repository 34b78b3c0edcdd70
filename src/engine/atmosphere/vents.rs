//! Natural ventilation through a low and a high vent that gas in the room drives by its weight.
//!
//! Linden, Lane-Serff & Smeed 1990: a layer grows until its lift drives as much through the vents
//! as the plume brings. Wind and warmth are not counted, nor is air that moves without the gas. Of
//! rooms that share their air only the vents of the room of the release count. Must not know of a
//! march through time.

use crate::engine::atmosphere::layer::WAY;
use crate::engine::atmosphere::plume::{self, BUOYANCY_B, COEFFICIENT_C, RATE, RUN};
use crate::engine::formula::{Formula, Rule, Symbol};
use crate::engine::results::{Motion, Plume, VentedLayer};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[
    &VENT_AREA,
    &VENTED_FRONT,
    &VENTED_FRONT_BETWEEN,
    &MIXED_AT_REST,
];

/// Every rule of this module.
pub static RULES: &[&Rule] = &[&RISE_UNKNOWN, &FRONT_HEIGHT];

const LINDEN: &str = "Linden, Lane-Serff & Smeed 1990, J. Fluid Mech. 212, 309";

const VENT: Symbol =
    Symbol::new("A*", "effective area of the vents", Unit::SquareMetre).within(0.0, 100.0);

/// Effective area of a low and a high vent.
pub static VENT_AREA: Formula = Formula {
    id: "atmosphere.vent_area",
    title: "Effective area of a high and a low vent",
    expression: "A* = √2 c_d a_t a_b / √(a_t² + a_b²)",
    inputs: &[
        Symbol::new("c_d", "discharge coefficient", Unit::One).within(0.3, 1.0),
        Symbol::new("a_t", "free area of the high vents", Unit::SquareMetre).within(0.0, 100.0),
        Symbol::new("a_b", "free area of the low vents", Unit::SquareMetre).within(0.0, 100.0),
    ],
    repeats: false,
    output: VENT,
    citation: Citation::from_memory(LINDEN, "effective area"),
    compute: |x| 2f64.sqrt() * x[0] * x[1] * x[2] / x[1].hypot(x[2]),
    example: (&[0.6, 0.05, 0.05], 0.03),
    example_from: "two vents of 0.05 m², by hand",
};

/// Height at which a layer stands still between a low and a high vent.
pub static VENTED_FRONT: Formula = Formula {
    id: "atmosphere.vented_front",
    title: "Front at rest between high and low vents",
    expression: "A* / H² = C^(3/2) √(ξ⁵ / (1 - ξ)), z = ξ H",
    inputs: &[VENT, WAY, COEFFICIENT_C],
    repeats: false,
    output: RUN,
    citation: Citation::from_memory(LINDEN, "steady front, whatever the strength of the plume"),
    compute: |x| vented_front(x[0], x[1], x[2]),
    example: (&[0.03, 2.5, 0.115_37], 0.9775),
    example_from: "two vents of 0.05 m² in a room 2.5 m high: ξ = 0.391, by hand",
};

/// The same where the layer is deeper than the height between the vents.
pub static VENTED_FRONT_BETWEEN: Formula = Formula {
    id: "atmosphere.vented_front_between",
    title: "Front at rest of a layer deeper than the vents are apart",
    expression: "z = (A*² h / C³)^(1/5)",
    inputs: &[
        VENT,
        Symbol::new("h", "height between the vents", Unit::Metre).within(0.01, 60.0),
        COEFFICIENT_C,
    ],
    repeats: false,
    output: RUN,
    citation: Citation::from_memory(
        LINDEN,
        "same balance, lift over the height between the vents",
    ),
    compute: |x| front_between(x[0], x[1], x[2]),
    example: (&[0.03, 1.0, 0.115_37], 0.8986),
    example_from: "z⁵ = 0.0009 / 0.001536, by hand",
};

/// Gas a mixed room with vents settles at.
pub static MIXED_AT_REST: Formula = Formula {
    id: "atmosphere.vented_steady",
    title: "Gas the mixed room settles at, with vents",
    expression: "c = 100 q / (Q + q), Q the larger of Q_f and A* √(B c h / (100 q)), in m³/s",
    inputs: &[
        RATE,
        Symbol::new("Q_f", "fresh air", Unit::CubicMetrePerHour).within(0.0, 1e7),
        VENT,
        Symbol::new("h", "height between the vents", Unit::Metre).within(0.01, 60.0),
        BUOYANCY_B,
    ],
    repeats: false,
    output: Symbol::new("c", "gas in the air", Unit::PercentVolume),
    citation: Citation::from_memory(LINDEN, "room of one density between two vents"),
    compute: |x| mixed_at_rest(x[0], x[1] / 3600.0, (x[2], x[3]), x[4]),
    example: (&[0.001, 0.0, 0.03, 2.5, 4.375e-3], 4.524),
    example_from: "1 L/s of methane, two vents of 0.05 m² 2.5 m apart: A*² B h c³ = q³ (1 - c)²",
};

/// Height between vents where nobody states it.
pub static RISE_UNKNOWN: Rule = Rule {
    id: "atmosphere.vent_rise_unknown",
    title: "Height between the vents, not stated",
    statement: "Where nobody states it, the share of the room's height in the basis of design is \
        taken.",
    citation: Citation::CommonPractice,
};

/// Where the front stands above the floor.
pub static FRONT_HEIGHT: Rule = Rule {
    id: "atmosphere.front_height",
    title: "Front at rest above the floor",
    statement: "The front lies as far above the release, or of a dense gas below it, as the plume \
        runs to it.",
    citation: Citation::Geometry,
};

/// A low and a high vent of a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vents {
    /// Free area of each, m2.
    pub low: f64,
    pub high: f64,
    /// Effective area of both together, m2.
    pub effective: Quantity,
    /// Height between them, m.
    pub rise: Quantity,
}

/// The vents of a room of `height` m; `None` without both. What is assumed is added to `assumed`.
pub fn of_room(
    project: &Project,
    trace: &mut Trace,
    room: &Room,
    (name, height): (&str, Quantity),
    assumed: &mut Vec<String>,
) -> Option<Vents> {
    let features = &room.features;
    let (low, high) = match (features.low_vent, features.high_vent) {
        (Some(low), Some(high)) => (low, high),
        (None, None) => return None,
        (low, _) => {
            let (there, other) = if low.is_some() {
                ("low", "high")
            } else {
                ("high", "low")
            };
            assumed.push(format!(
                "Of {name} a {there} vent is stated and no {other} one; gas drives air only \
                 through a pair of them, so it is not counted."
            ));
            return None;
        }
    };
    let mut stated = |what: &str, area: f64| {
        let title = format!("Free area of the {what} vents of {name}");
        trace.given(title, area, Unit::SquareMetre, Citation::Designer)
    };
    let (bottom, top) = (stated("low", low), stated("high", high));
    let coefficient = trace.basis(&project.basis, &basis::VENT_COEFFICIENT);
    let effective = trace.eval(&VENT_AREA, &[coefficient, top, bottom]);
    let rise = match features.vent_rise {
        Some(rise) => {
            let title = format!("Height between the vents of {name}");
            trace.given(title, rise.get(), Unit::Metre, Citation::Designer)
        }
        None => {
            let share = trace.basis(&project.basis, &basis::VENT_RISE_UNKNOWN);
            let value = height.value * share.value / 100.0;
            assumed.push(format!(
                "The height between the vents of {name} is not known: {value:.2} m is assumed."
            ));
            let inputs = [("height of the room", height), ("share", share)];
            trace.rule(&RISE_UNKNOWN, value, Unit::Metre, &inputs)
        }
    };
    Some(Vents {
        low,
        high,
        effective,
        rise,
    })
}

/// Where the layer of a plume comes to rest between the vents; `None` where the fresh air of the
/// room, `supply` m3/s of `height` m, takes more from it.
pub fn at_rest(
    trace: &mut Trace,
    vents: &Vents,
    (plume, coefficient): (&Plume, Quantity),
    (from, motion, rate): (Quantity, Motion, Quantity),
    (supply, height): (f64, f64),
) -> Option<VentedLayer> {
    let (run, rise) = (plume.run, vents.rise);
    let free = vented_front(vents.effective.value, run.value, coefficient.value);
    let way = match run.value - free > rise.value {
        true => trace.eval(&VENTED_FRONT_BETWEEN, &[vents.effective, rise, coefficient]),
        false => trace.eval(&VENTED_FRONT, &[vents.effective, run, coefficient]),
    };
    // With vents so far apart and so large the layer lies against the ceiling or floor.
    let flow = plume::flux(coefficient.value, plume.buoyancy.value, way.value);
    let swept = supply * (run.value - way.value) / height;
    if way.value >= run.value || flow <= swept || flow <= rate.value {
        return None;
    }
    let above = match motion {
        Motion::Falls => from.value - way.value,
        _ => from.value + way.value,
    };
    let inputs = [("height of the release", from), ("way of the plume", way)];
    let front = trace.rule(&FRONT_HEIGHT, above.max(0.0), Unit::Metre, &inputs);
    let flow = trace.eval(&plume::FLUX, &[coefficient, plume.buoyancy, way]);
    Some(VentedLayer {
        vents: vents.effective,
        front,
        flow,
        gas: trace.eval(&plume::DILUTION, &[rate, flow]),
    })
}

/// Gas, %vol, a mixed room settles at where `rate` of gas with the `buoyancy` flux comes out, with
/// `supply` of fresh air, both m3/s, and vents of (effective area m2, height between them m).
pub fn mixed_at_rest(rate: f64, supply: f64, (vents, rise): (f64, f64), buoyancy: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let share: f64 = (low + high) / 2.0;
        let through = vents * (buoyancy / rate * share * rise).sqrt();
        match share * (supply.max(through) + rate) < rate {
            true => low = share,
            false => high = share,
        }
    }
    50.0 * (low + high)
}

/// Distance, m, from the release at which a layer stands still, for vents of the effective area
/// `vent` m2 at both ends of `run` m.
pub fn vented_front(vent: f64, run: f64, coefficient: f64) -> f64 {
    let asked = vent / (run * run) / coefficient.powf(1.5);
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let xi: f64 = (low + high) / 2.0;
        match (xi.powi(5) / (1.0 - xi)).sqrt() < asked {
            true => low = xi,
            false => high = xi,
        }
    }
    run * (low + high) / 2.0
}

/// The same for a layer deeper than the `rise` m between the vents.
pub fn front_between(vent: f64, rise: f64, coefficient: f64) -> f64 {
    (vent * vent * rise / coefficient.powi(3)).powf(0.2)
}

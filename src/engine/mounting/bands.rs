//! In which bands a release is sought, and why (basis: relative density at release and in
//! the room).
//!
//! Classes after IEC 60079-10-1 (relative density, from memory). Must not know of rooms.

use crate::engine::formula::Rule;
use crate::engine::gas::air::RoomAir;
use crate::engine::gas::state::relative_to_room;
use crate::engine::gas::{self, Family, Substance, density, vapour, within_sentence};
use crate::engine::mounting::rules::*;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::{Band, Basis, Hazard, Holding};
use crate::units::Unit;

/// A release: how it comes out, and its density beside the room's air.
#[derive(Debug, Clone, Copy)]
pub struct Release {
    /// How it behaves: a "liquid" that boils below room temperature is held as one that boils.
    pub held: Holding,
    /// degC, of what leaves.
    pub temperature: Quantity,
    /// Relative to the room's air, at the temperature of the release.
    pub at_release: Quantity,
    /// Relative to the room's air, once it has taken its temperature.
    pub in_room: Quantity,
    /// %vol over a pool, where the vapour pressure is known.
    pub saturation: Option<Quantity>,
}

/// One band with its ground.
#[derive(Debug, Clone)]
pub struct Choice {
    pub band: Band,
    pub rule: &'static Rule,
    /// The density that decided.
    pub density: Option<Quantity>,
    /// In a colleague's words.
    pub reason: String,
}

/// Where the density is said to be lighter or heavier.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    pub light: f64,
    pub heavy: f64,
}

impl Limits {
    /// Those of the basis of design.
    pub fn of(basis: &Basis) -> Self {
        Limits {
            light: basis.get(&basis::LIGHT_BELOW),
            heavy: basis.get(&basis::HEAVY_ABOVE),
        }
    }
}

/// Below this boiling point, degC, vapour is cold enough to sink whatever gas it is.
const CRYOGENIC_BELOW_C: f64 = -90.0;

/// How a substance said to be held so comes out in a room at `room_c`, degC.
pub fn behaves_as(substance: &Substance, held: Holding, room_c: f64) -> Holding {
    let Some(boils) = substance.boiling_point.as_ref().map(|figure| figure.value) else {
        return held;
    };
    match held {
        Holding::Liquid if boils < CRYOGENIC_BELOW_C => Holding::CryogenicLiquid,
        Holding::Liquid if boils < room_c => Holding::LiquefiedGas,
        Holding::CryogenicLiquid | Holding::LiquefiedGas if boils >= room_c => Holding::Liquid,
        _ => held,
    }
}

/// The densities of a release, traced.
pub fn release(trace: &mut Trace, basis: &Basis, substance: &Substance, held: Holding) -> Release {
    let air = RoomAir::of(trace, basis);
    let room_c = air.temperature;
    let held = behaves_as(substance, held, room_c.value);
    let in_room = match held {
        Holding::Liquid => density::relative_density(trace, substance),
        _ => relative_to_room(trace, substance, room_c, &air),
    };
    let mut release = Release {
        held,
        temperature: room_c,
        at_release: in_room,
        in_room,
        saturation: None,
    };
    match (held, &substance.boiling_point) {
        (Holding::CryogenicLiquid | Holding::LiquefiedGas, Some(boils)) => {
            let title = format!("Boiling point of {}", substance.name);
            release.temperature =
                trace.given(title, boils.value, boils.unit, boils.citation.clone());
            release.at_release = relative_to_room(trace, substance, release.temperature, &air);
        }
        (Holding::FlueGas, _) => {
            let mass = trace.rule(&FLUE_GAS, 29.5, Unit::GramPerMole, &[]);
            let flue = trace.eval(&density::RELATIVE_DENSITY, &[mass]);
            release.temperature = trace.basis(basis, &basis::FLUE_GAS_TEMPERATURE);
            let hot = trace.eval(&density::KELVIN, &[release.temperature]);
            release.at_release = trace.eval(&density::RELEASE_DENSITY, &[flue, air.kelvin, hot]);
        }
        (Holding::Liquid, _) => {
            if let Ok(pool) = vapour::pool_vapour(trace, substance, room_c, air.pressure) {
                release.saturation = Some(pool.saturation);
            }
        }
        _ => {}
    }
    release
}

/// The bands one hazard of a release is sought in, from the ceiling down; never none.
pub fn choose(
    substance: &Substance,
    release: &Release,
    hazard: Hazard,
    limits: Limits,
) -> Vec<Choice> {
    let mut choices = by_density(substance, release, hazard, limits);
    let own_refrigerant = hazard == Hazard::OxygenDepletion && is_refrigerant(substance);
    let harms_people = hazard != Hazard::Flammable && !own_refrigerant;
    if harms_people && !choices.iter().any(|choice| choice.band == Band::Breathing) {
        let harm = match hazard {
            Hazard::OxygenDepletion => {
                "Lack of oxygen is not noticed by those who breathe it".to_owned()
            }
            Hazard::OxygenEnrichment => {
                "Clothes and hair burn fiercely in air rich in oxygen".to_owned()
            }
            _ => format!("{} harms those who breathe it", substance.name),
        };
        choices.push(Choice {
            band: Band::Breathing,
            rule: &PEOPLE,
            density: None,
            reason: format!("{harm}: watch it at breathing height as well."),
        });
    }
    choices.sort_by_key(|choice| choice.band);
    choices.dedup_by_key(|choice| choice.band);
    choices
}

/// Whether the substance is a refrigerant that is measured itself.
pub fn is_refrigerant(substance: &Substance) -> bool {
    substance.family == Family::Refrigerant && substance.relative_density() > 1.0
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Class {
    Light,
    Near,
    Heavy,
}

fn class(density: f64, limits: Limits) -> Class {
    match density {
        d if d < limits.light => Class::Light,
        d if d > limits.heavy => Class::Heavy,
        _ => Class::Near,
    }
}

fn by_density(
    substance: &Substance,
    release: &Release,
    hazard: Hazard,
    limits: Limits,
) -> Vec<Choice> {
    let d = release.in_room;
    let name = substance.name.as_ref();
    let times = |d: Quantity| format!("{:.2} times as dense as air", d.value);
    let made = |band, rule, density: Quantity, reason: String| Choice {
        band,
        rule,
        density: Some(density),
        reason,
    };
    if hazard == Hazard::OxygenDepletion && is_refrigerant(substance) {
        let reason = format!(
            "{name} is {}: it concentrates at the floor. Watch it low; where the charge exceeds \
             the room's practical limit, watch the breathing height as well.",
            times(d)
        );
        return vec![made(Band::Low, &REFRIGERANT, d, reason)];
    }
    if release.held == Holding::Liquid && d.value > 1.0 {
        let reason = format!(
            "Vapour of {} is {}. It flows off the liquid along the floor: watch it low.",
            within_sentence(name),
            times(d)
        );
        return vec![made(Band::Low, &POOL, d, reason)];
    }
    if substance.associates && d.value <= limits.heavy {
        let reason = format!(
            "{name} is {} by its molar mass, but it associates and fumes with moisture: take it \
             as heavy.",
            times(d)
        );
        return vec![made(Band::Low, &ASSOCIATES, d, reason)];
    }
    let warmed = class(d.value, limits);
    let first = class(release.at_release.value, limits);
    match release.held {
        Holding::FlueGas => flue(release, first, name),
        Holding::CryogenicLiquid => cold(substance, release, warmed),
        _ if first == warmed => steady(substance, d, hazard, warmed, limits),
        _ => [first, warmed]
            .into_iter()
            .zip([release.at_release, d])
            .map(|(class, density)| changing(name, class, density))
            .collect(),
    }
}

/// A release that stays in its class.
fn steady(
    substance: &Substance,
    d: Quantity,
    hazard: Hazard,
    class: Class,
    limits: Limits,
) -> Vec<Choice> {
    let name = substance.name.as_ref();
    let made = |band, rule, reason: String| Choice {
        band,
        rule,
        density: Some(d),
        reason,
    };
    let says = |rest: &str| format!("{name} is {:.2} times as dense as air. {rest}", d.value);
    let is_as_air = (d.value - 1.0).abs() <= AS_AIR;
    match class {
        Class::Light => {
            let text = says("It collects under the ceiling: watch it high.");
            vec![made(Band::High, &LIGHT, text)]
        }
        Class::Heavy => {
            let text = says("It spreads along the floor: watch it low.");
            vec![made(Band::Low, &HEAVY, text)]
        }
        Class::Near if is_as_air && hazard != Hazard::Flammable => {
            let text = says("It goes where the air goes: watch it at breathing height.");
            vec![made(Band::Breathing, &AS_DENSE_AS_AIR, text)]
        }
        Class::Near if hazard == Hazard::Toxic && d.value > 1.0 => {
            let text = says("It can lie low in still air: watch it low as well.");
            vec![made(Band::Low, &NEAR_AIR_HEAVIER, text)]
        }
        Class::Near if hazard != Hazard::Flammable => {
            let text = says(
                "Density does not settle its height; people breathe it: watch it where they do.",
            );
            vec![made(Band::Breathing, &PEOPLE, text)]
        }
        Class::Near => {
            let text = says(&format!(
                "Between {} and {} density does not settle the height: breathing height is \
                 proposed.",
                limits.light, limits.heavy
            ));
            vec![made(Band::Breathing, &NEAR_AIR, text)]
        }
    }
}

/// One of the two classes of a release that changes class as it takes the room's temperature.
fn changing(name: &str, class: Class, density: Quantity) -> Choice {
    let (band, place) = match class {
        Class::Light => (Band::High, "under the ceiling"),
        Class::Heavy => (Band::Low, "along the floor"),
        Class::Near => (Band::Breathing, "with the air of the room"),
    };
    let reason = format!(
        "{name} changes its density as it takes the room's temperature; at {:.2} times air's it \
         goes {place}.",
        density.value
    );
    Choice {
        band,
        rule: &COLD,
        density: Some(density),
        reason,
    }
}

/// Cold vapour of a liquid that boils far below room temperature.
fn cold(substance: &Substance, release: &Release, warmed: Class) -> Vec<Choice> {
    let name = substance.name.as_ref();
    let made = |band, rule, density, reason| Choice {
        band,
        rule,
        density: Some(density),
        reason,
    };
    if substance.key == HELIUM {
        let reason = "Helium warms within a few metres of the leak and rises: watch it high.";
        return vec![made(
            Band::High,
            &COLD_HELIUM,
            release.in_room,
            reason.to_owned(),
        )];
    }
    let sinks = format!(
        "{name} boils off at {:.0} °C and falls while it is cold ({:.2} times as dense as air): watch it low.",
        release.temperature.value, release.at_release.value
    );
    let mut choices = vec![made(Band::Low, &COLD, release.at_release, sinks)];
    let then = |place: &str| {
        format!(
            "Once warm, {} is {:.2} times as dense as air and {place}.",
            within_sentence(name),
            release.in_room.value
        )
    };
    match warmed {
        Class::Light => {
            let text = then("rises: watch it high as well");
            choices.push(made(Band::High, &COLD, release.in_room, text));
        }
        Class::Near => {
            let text = then("spreads through the room: watch it at breathing height as well");
            choices.push(made(Band::Breathing, &COLD, release.in_room, text));
        }
        Class::Heavy => {}
    }
    choices
}

fn flue(release: &Release, first: Class, name: &str) -> Vec<Choice> {
    let (band, place) = match first {
        Class::Light => (Band::High, "it rises: watch it high"),
        _ => (
            Band::Breathing,
            "it hardly rises: watch it at breathing height",
        ),
    };
    let reason = format!(
        "{name} leaves the appliance with flue gas at {:.0} °C, {:.2} times as dense as the \
         room's air; {place}.",
        release.temperature.value, release.at_release.value
    );
    vec![Choice {
        band,
        rule: &WARM,
        density: Some(release.at_release),
        reason,
    }]
}

const HELIUM: &str = "7440-59-7";

/// The hazards of a substance that are watched each for itself: carbon dioxide and other toxic
/// gases harm long before they displace oxygen.
pub fn hazards_watched(substance: &Substance) -> Vec<Hazard> {
    let all = gas::hazards(substance);
    let toxic = all.contains(&Hazard::Toxic);
    all.into_iter()
        .filter(|hazard| !(toxic && *hazard == Hazard::OxygenDepletion))
        .collect()
}

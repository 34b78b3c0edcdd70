//! The air a release gets into: volume, height and fresh air of its room, with all that it shares
//! by open ways.

use crate::engine::airspace::{Airspaces, room_name};
use crate::engine::atmosphere::room;
use crate::engine::atmosphere::vents::{self, Vents};
use crate::engine::formula::{Formula, Symbol};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[&SHARED_VOLUME, &SHARED_SUPPLY, &SHARED_AREA];

/// Air of rooms joined by open ways.
pub static SHARED_VOLUME: Formula = Formula {
    id: "atmosphere.shared_volume",
    title: "Volume of air of rooms joined by open ways",
    expression: "V = Σ V_i",
    inputs: &[Symbol::new("V_i", "volume of a room's air", Unit::CubicMetre).within(0.0, 1e6)],
    repeats: true,
    output: Symbol::new("V", "volume of air", Unit::CubicMetre),
    citation: Citation::Geometry,
    compute: |x| x.iter().sum(),
    example: (&[60.0, 20.0], 80.0),
    example_from: "by hand",
};

/// Fresh air of rooms joined by open ways.
pub static SHARED_SUPPLY: Formula = Formula {
    id: "atmosphere.shared_supply",
    title: "Fresh air of rooms joined by open ways",
    expression: "Q = Σ Q_i",
    inputs: &[Symbol::new("Q_i", "fresh air of a room", Unit::CubicMetrePerHour).within(0.0, 1e7)],
    repeats: true,
    output: Symbol::new("Q", "fresh air", Unit::CubicMetrePerHour),
    citation: Citation::CommonPractice,
    compute: |x| x.iter().sum(),
    example: (&[120.0, 10.0], 130.0),
    example_from: "by hand",
};

/// Area that a layer spreads over.
pub static SHARED_AREA: Formula = Formula {
    id: "atmosphere.layer_area",
    title: "Area a layer spreads over",
    expression: "S = V / H",
    inputs: &[
        Symbol::new("V", "volume of air", Unit::CubicMetre).within(0.0, 1e6),
        Symbol::new("H", "height of the room of the release", Unit::Metre).within(0.5, 60.0),
    ],
    repeats: false,
    output: Symbol::new("S", "area", Unit::SquareMetre),
    citation: Citation::Geometry,
    compute: |x| x[0] / x[1],
    example: (&[60.0, 3.0], 20.0),
    example_from: "by hand",
};

/// The air of a room.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedAir {
    /// m3.
    pub volume: Quantity,
    /// m2.
    pub area: Quantity,
    /// m.
    pub height: Quantity,
    /// m3/h.
    pub supply: Quantity,
    /// Air changes an hour, of all together.
    pub air_changes: f64,
    /// The low and high vents of the room of the release.
    pub vents: Option<Vents>,
    /// Whether all air changes are stated.
    pub is_stated: bool,
    /// What is assumed, in sentences.
    pub assumed: Vec<String>,
    /// The part of it that somebody could state.
    pub unknown: Vec<String>,
}

/// The air of `of` with the rooms it shares it with; `None` in the open.
pub fn room_air(
    project: &Project,
    spaces: &Airspaces<'_>,
    trace: &mut Trace,
    of: &Room,
) -> Option<SharedAir> {
    let space = &spaces.spaces[spaces.space_of(of.id)];
    let open = |room: &&Room| room.enclosure != Enclosure::Enclosed;
    if space.rooms.iter().any(open) {
        return None;
    }
    let mut assumed = Vec::new();
    let mut all = Vec::new();
    for room in &space.rooms {
        let area = spaces.outline(room.id).area();
        all.push((room.id, one(project, trace, room, area, &mut assumed)));
    }
    let mut unknown = assumed.clone();
    let (_, own) = *all.iter().find(|(id, _)| *id == of.id)?;
    let (volume, supply) = match all.len() {
        1 => (own.volume, own.supply),
        _ => {
            assumed.push(format!(
                "{} share their air by open ways and are taken as one room.",
                space.name()
            ));
            let volumes: Vec<Quantity> = all.iter().map(|(_, room)| room.volume).collect();
            let supplies: Vec<Quantity> = all.iter().map(|(_, room)| room.supply).collect();
            (
                trace.eval(&SHARED_VOLUME, &volumes),
                trace.eval(&SHARED_SUPPLY, &supplies),
            )
        }
    };
    if !(volume.value > 0.0 && own.height.value > 0.0) {
        return None;
    }
    let named = room_name(of);
    let mut of_vents = Vec::new();
    let vents = vents::of_room(project, trace, of, (&named, own.height), &mut of_vents);
    assumed.extend(of_vents.iter().cloned());
    unknown.extend(of_vents);
    Some(SharedAir {
        volume,
        area: trace.eval(&SHARED_AREA, &[volume, own.height]),
        height: own.height,
        supply,
        air_changes: supply.value / volume.value,
        vents,
        is_stated: space.rooms.iter().all(|room| room.air_changes.is_some()),
        assumed,
        unknown,
    })
}

/// One room by itself.
#[derive(Debug, Clone, Copy)]
struct Own {
    height: Quantity,
    volume: Quantity,
    supply: Quantity,
}

fn one(
    project: &Project,
    trace: &mut Trace,
    room: &Room,
    area: f64,
    assumed: &mut Vec<String>,
) -> Own {
    let name = room_name(room);
    let floor = trace.measured(format!("Floor of {name}"), area, Unit::SquareMetre);
    let stated = room.ceiling.map(|ceiling| ceiling.get());
    let title = format!("Ceiling height of {name}");
    let height = trace.stated_or(project, title, stated, &basis::CEILING_UNKNOWN);
    let title = format!("Air changes of {name}");
    let item = &basis::AIR_CHANGES_UNKNOWN;
    let changes = trace.stated_or(project, title, room.air_changes, item);
    if stated.is_none() {
        assumed.push(format!(
            "The ceiling height of {name} is not known: {:.1} m is assumed.",
            height.value
        ));
    }
    if room.air_changes.is_none() {
        assumed.push(format!(
            "The air changes of {name} are not known: {:.1} an hour are assumed.",
            changes.value
        ));
    }
    let free = trace.basis(&project.basis, &basis::ROOM_FREE_VOLUME);
    let volume = trace.eval(&room::VOLUME, &[floor, height, free]);
    Own {
        height,
        volume,
        supply: trace.eval(&room::VENTILATION, &[changes, volume]),
    }
}

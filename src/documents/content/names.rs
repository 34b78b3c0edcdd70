//! What a thing of a project is called in print.

use crate::engine::gas::{Substances, within_sentence};
use crate::model::{FloorId, ItemKey, Project, Room};

/// Number and name of a room, such as "G.02 Gas laboratory".
pub fn room(room: &Room) -> String {
    format!("{} {}", room.number, room.name).trim().to_owned()
}

/// The floor's name; empty where there is no such floor.
pub fn floor(project: &Project, id: FloorId) -> String {
    project
        .floors
        .get(id)
        .map_or(String::new(), |floor| floor.name.clone())
}

/// The thing's tag or name; its kind and number where it has neither.
pub fn thing(project: &Project, key: ItemKey) -> String {
    let name = match key {
        ItemKey::Floor(id) => project.floors.get(id).map(|floor| floor.name.clone()),
        ItemKey::Room(id) => project.rooms.get(id).map(room),
        ItemKey::Source(id) => project.sources.get(id).map(|source| source.name.clone()),
        ItemKey::Terminal(id) => project.terminals.get(id).map(|thing| thing.name()),
        ItemKey::Marked(id) => project.marked.get(id).map(|thing| thing.name()),
        ItemKey::Detector(id) => project.detectors.get(id).map(|thing| thing.tag.clone()),
        ItemKey::Device(id) => project.devices.get(id).map(|thing| thing.tag.clone()),
        ItemKey::Panel(id) => project.panels.get(id).map(|thing| thing.tag.clone()),
        ItemKey::Segment(id) => project.segments.get(id).map(|thing| thing.tag.clone()),
        ItemKey::Riser(id) => project.risers.get(id).map(|riser| riser.name.clone()),
        ItemKey::Substance(id) => project.substances.get(id).map(|stated| {
            let name = Substances::of(project).name(&stated.key()).into_owned();
            format!("figures of {}", within_sentence(&name))
        }),
        ItemKey::Mixture(id) => project.mixtures.get(id).map(|thing| thing.name.clone()),
        ItemKey::Barrier(_) | ItemKey::Opening(_) | ItemKey::Containment(_) => None,
    };
    match name {
        Some(name) if !name.is_empty() => name,
        _ => format!("{} {}", key.noun(), key.number()),
    }
}

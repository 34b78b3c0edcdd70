//! Marked areas: detectors keep out of hot, wet and forbidden ones, those that are hard to reach
//! for calibration are told, and a pit lies in a room.

use std::collections::BTreeMap;

use crate::engine::airspace::{Airspaces, room_name};
use crate::engine::checks::listed;
use crate::engine::finding::{Finding, Severity};
use crate::engine::placement::{HardToReach, hard_to_reach, in_the_way};
use crate::engine::trace::Trace;
use crate::geometry::Polygon;
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// One warning for each detector in or near such an area, a note for each room with detectors that
/// are hard to reach, and a warning for each pit that lies in no room.
pub fn check(spaces: &Airspaces<'_>, trace: &mut Trace) -> Vec<Finding> {
    let project = spaces.project;
    let mut found = Vec::new();
    let mut high: BTreeMap<RoomId, Vec<(&Detector, f64)>> = BTreeMap::new();
    let mut obstructed: BTreeMap<RoomId, Vec<&Detector>> = BTreeMap::new();
    for detector in &project.detectors {
        let Some(room) = spaces.room_at(detector.floor, detector.at) else {
            continue;
        };
        found.extend(badly_placed(spaces, detector, trace));
        let (space, height) = (spaces.space_of(room.id), detector.height.get());
        match hard_to_reach(spaces, space, detector.at, height) {
            Some(HardToReach::High { above }) => {
                high.entry(room.id).or_default().push((detector, above));
            }
            Some(HardToReach::Obstructed) => obstructed.entry(room.id).or_default().push(detector),
            None => {}
        }
    }
    for room in &project.rooms {
        let high = high.get(&room.id);
        found.extend(high.and_then(|high| too_high(project, room, high, trace)));
        found.extend(obstructed.get(&room.id).and_then(|list| hidden(room, list)));
    }
    found.extend(
        project
            .marked
            .iter()
            .filter_map(|one| in_no_room(spaces, one)),
    );
    found
}

fn badly_placed(spaces: &Airspaces<'_>, detector: &Detector, trace: &mut Trace) -> Option<Finding> {
    let (area, off) = in_the_way(spaces, detector)?;
    let (tag, name) = (&detector.tag, area.name());
    let (why, item) = match area.kind {
        MarkedKind::Heat => ("heat ages and misleads a sensor", Some(&basis::HEAT_CLEAR)),
        MarkedKind::Water => ("water blinds a sensor", Some(&basis::WATER_CLEAR)),
        _ => ("no detector is to be fixed there", None),
    };
    let place = match off > 0.0 {
        true => format!("stands {off:.2} m from {name}"),
        false => format!("stands in {name}"),
    };
    let message = format!("{tag} {place}: {why}.");
    let remedy = "Move the detector out of it, or have detectors suggested: they keep clear of it.";
    let id = format!("marked.in_the_way/detector-{}", detector.id);
    let mut finding = Finding::new(id, Severity::Warning, message, remedy);
    if let Some(item) = item {
        let stands = trace.measured(format!("{tag} from {name}"), off, Unit::Metre);
        finding = finding.held_against(stands, trace.basis(&spaces.project.basis, item));
    }
    let finding = finding.about(ItemKey::Detector(detector.id));
    Some(finding.at(detector.floor, detector.at))
}

fn too_high(
    project: &Project,
    room: &Room,
    high: &[(&Detector, f64)],
    trace: &mut Trace,
) -> Option<Finding> {
    let (highest, above) = high.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let limit = trace.basis(&project.basis, &basis::ACCESS_HEIGHT);
    let title = format!("{} above what one stands on", highest.tag);
    let stands = trace.measured(title, *above, Unit::Metre);
    let tags: Vec<&str> = high.iter().map(|(one, _)| one.tag.as_str()).collect();
    let message = format!(
        "{}: {} cannot be reached for calibration without equipment.",
        room_name(room),
        listed(&tags)
    );
    let remedy = "Allow for a lift or scaffold in the upkeep, take parts with a gas line to below, \
                  or mark the platform they are reached from.";
    let id = format!("marked.high/room-{}", room.id);
    let finding = Finding::new(id, Severity::Note, message, remedy);
    let finding = finding
        .about(ItemKey::Room(room.id))
        .at(room.floor, highest.at);
    Some(finding.held_against(stands, limit))
}

fn hidden(room: &Room, obstructed: &[&Detector]) -> Option<Finding> {
    let first = obstructed.first()?;
    let tags: Vec<&str> = obstructed.iter().map(|one| one.tag.as_str()).collect();
    let message = format!(
        "{}: {} near the floor behind a bench or plant, hard to reach for calibration.",
        room_name(room),
        listed(&tags)
    );
    let remedy = "Keep a way to it clear, or move it to where it can be reached.";
    let id = format!("marked.hidden/room-{}", room.id);
    let finding = Finding::new(id, Severity::Note, message, remedy);
    Some(
        finding
            .about(ItemKey::Room(room.id))
            .at(room.floor, first.at),
    )
}

fn in_no_room(spaces: &Airspaces<'_>, area: &MarkedArea) -> Option<Finding> {
    let middle = Polygon::new(area.outline.clone()).label_point();
    let in_rooms = spaces.pits().iter().any(|pit| pit.id == area.id);
    if area.kind != MarkedKind::Pit || in_rooms {
        return None;
    }
    let message = format!("The {} lies in no room, so it is not watched.", area.name());
    let id = format!("marked.nowhere/marked-{}", area.id);
    let remedy = "Move it into the room whose floor it is in.";
    let finding = Finding::new(id, Severity::Warning, message, remedy);
    Some(
        finding
            .about(ItemKey::Marked(area.id))
            .at(area.floor, middle),
    )
}

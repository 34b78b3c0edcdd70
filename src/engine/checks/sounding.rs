//! Something sounds an alarm on every floor that is watched, and in every room.
//!
//! Whether it is heard everywhere is not computed: the notes ask the designer to see to it.

use crate::engine::checks::listed;
use crate::engine::finding::{Finding, Severity};
use crate::geometry::{Point, Polygon};
use crate::model::{FieldDevice, Floor, ItemKey, ItemKind, Project};

/// A note for each floor that has detectors and no sounder, or watched rooms with none inside.
pub fn check(project: &Project) -> Vec<Finding> {
    let elsewhere = project
        .floors
        .iter()
        .filter_map(|floor| elsewhere(project, floor));
    silent(project).into_iter().chain(elsewhere).collect()
}

/// The rooms of a floor that are watched and hold no sounder, where the floor has one.
fn elsewhere(project: &Project, floor: &Floor) -> Option<Finding> {
    let devices = project.devices.iter();
    let devices = devices.filter(|it| it.floor == floor.id && is_sounder(project, it));
    let sounders: Vec<Point> = devices.map(|it| it.at).collect();
    let detectors = project.detectors.iter();
    let detectors: Vec<Point> = detectors
        .filter(|it| it.floor == floor.id)
        .map(|it| it.at)
        .collect();
    let without = project.rooms_on(floor.id).filter(|room| {
        let outline = Polygon::new(room.outline.clone());
        let holds = |points: &[Point]| points.iter().any(|at| outline.contains(*at));
        holds(&detectors) && !holds(&sounders)
    });
    let rooms: Vec<&str> = without
        .map(|room| match room.number.trim() {
            "" => room.name.as_str(),
            number => number,
        })
        .collect();
    if sounders.is_empty() || rooms.is_empty() {
        return None;
    }
    let message = format!("No sounder stands in {}.", listed(&rooms));
    let remedy = "See that the alarm is heard and seen inside and at each door, or place sounders \
                  there.";
    let id = format!("alarm.sounder_elsewhere/floor-{}", floor.id);
    let finding = Finding::new(id, Severity::Note, message, remedy);
    let mut finding = finding.about(ItemKey::Floor(floor.id));
    finding.floor = Some(floor.id);
    Some(finding)
}

fn silent(project: &Project) -> Vec<Finding> {
    let silent = project.floors.iter().filter_map(|floor| {
        let detectors = project.detectors.iter();
        let n_detectors = detectors.filter(|it| it.floor == floor.id).count();
        let mut devices = project.devices.iter();
        let sounds = devices.any(|it| it.floor == floor.id && is_sounder(project, it));
        if n_detectors == 0 || sounds {
            return None;
        }
        let message = format!("Nothing sounds an alarm on {} yet.", floor.name);
        let remedy = "Place sounders so that every room watched hears one, or state to the client \
                      what sounds instead.";
        let id = format!("alarm.silent/floor-{}", floor.id);
        let finding = Finding::new(id, Severity::Note, message, remedy);
        let mut finding = finding.about(ItemKey::Floor(floor.id));
        finding.floor = Some(floor.id);
        Some(finding)
    });
    silent.collect()
}

/// By its part; one without a part of the catalogue by the letters of its tag (ISA-5.1: XA).
fn is_sounder(project: &Project, device: &FieldDevice) -> bool {
    match project.catalogue.item(&device.part) {
        Some(item) => matches!(item.kind, ItemKind::Sounder { .. }),
        None => device.tag.starts_with("XA"),
    }
}

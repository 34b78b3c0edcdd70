//! Cables that leave every room drawn: what they cross there is not known.
//!
//! A route keeps to what is drawn only where something is; elsewhere it is a straight guess.

use crate::engine::finding::{Finding, Severity};
use crate::engine::results::{CableResult, Results};
use crate::geometry::{Point, Polygon};
use crate::model::{FloorId, ItemKey, Project};

/// A route is looked at in steps of this length, m.
const STEP: f64 = 0.1;
/// A way that never leaves the rooms by more than this is not outside, m: walls drawn from their
/// inner faces lie so far apart.
const WALL: f64 = 0.65;
/// Less than this is not worth a word, m.
pub const LEAST: f64 = 2.0;

/// How much cable runs on the level outside of all rooms, m.
pub fn undrawn_length(project: &Project, results: &Results) -> f64 {
    let rooms = outlines(project);
    let cables = results
        .segments
        .values()
        .flat_map(|segment| &segment.cables);
    let outside = cables.filter_map(|cable| outside(cable, &rooms));
    outside.map(|(length, ..)| length).sum()
}

/// A note for each segment with cable outside of all rooms.
pub fn check(project: &Project, results: &Results) -> Vec<Finding> {
    let rooms = outlines(project);
    let segments = project.segments.iter().filter_map(|segment| {
        let result = results.segments.get(&segment.id)?;
        let outside: Vec<(f64, FloorId, Point)> = result
            .cables
            .iter()
            .filter_map(|cable| outside(cable, &rooms))
            .collect();
        let length: f64 = outside.iter().map(|(length, ..)| length).sum();
        let &(_, floor, at) = outside.first()?;
        if length < LEAST {
            return None;
        }
        let message = format!(
            "{} runs {length:.0}\u{202f}m outside of the rooms drawn: what it meets there is not \
             known.",
            segment.tag
        );
        let remedy = "Draw the corridors and rooms that it passes, or the tray it follows, and have \
                      the wiring suggested again.";
        let id = format!("routing.undrawn/segment-{}", segment.id);
        let finding = Finding::new(id, Severity::Note, message, remedy);
        let mut finding = finding.about(ItemKey::Segment(segment.id));
        (finding.floor, finding.at) = (Some(floor), Some(at));
        Some(finding)
    });
    segments.collect()
}

fn outlines(project: &Project) -> Vec<(FloorId, Polygon)> {
    let rooms = project.rooms.iter();
    rooms
        .map(|room| (room.floor, Polygon::new(room.outline.clone())))
        .collect()
}

/// How much of a cable's way on the level lies outside of all rooms, m, and where first. A stretch
/// outside counts whole, from wall to wall.
fn outside(cable: &CableResult, rooms: &[(FloorId, Polygon)]) -> Option<(f64, FloorId, Point)> {
    let mut found: Option<(f64, FloorId, Point)> = None;
    // The stretch outside that is being walked: its length, and where it first is beyond a wall.
    let (mut walked, mut beyond) = (0.0, None);
    let mut close = |walked: &mut f64, beyond: &mut Option<(FloorId, Point)>| {
        let length = std::mem::take(walked);
        if let Some((floor, at)) = beyond.take() {
            let (sum, floor, first) = found.unwrap_or((0.0, floor, at));
            found = Some((sum + length, floor, first));
        }
    };
    let hops = cable.path.windows(2).map(|pair| (&pair[0], &pair[1]));
    for (from, to) in hops.filter(|(from, to)| from.floor == to.floor) {
        let length = from.at.distance(to.at);
        let steps = (length / STEP).ceil();
        for k in 0..steps as usize {
            let at = from.at.lerp(to.at, (k as f64 + 0.5) / steps);
            let here = || rooms.iter().filter(|(floor, _)| *floor == from.floor);
            if here().any(|(_, room)| room.contains(at)) {
                close(&mut walked, &mut beyond);
                continue;
            }
            walked += length / steps;
            if here().all(|(_, room)| room.boundary_distance(at) >= WALL) {
                beyond.get_or_insert((from.floor, at));
            }
        }
    }
    close(&mut walked, &mut beyond);
    found
}

//! Containment above the ceiling of a room it passes: the cable is then in a void, and each drop
//! goes through the ceiling.

use crate::engine::airspace::room_name;
use crate::engine::finding::{Finding, Severity};
use crate::geometry::{Point, Polygon, Segment};
use crate::model::{Containment, Enclosure, ItemKey, Project, Room, basis};

/// Containment is followed in steps of this, m.
const STEP_M: f64 = 0.1;

/// A note for each room whose ceiling a containment passes above.
pub fn check(project: &Project) -> Vec<Finding> {
    let unknown = project.basis.get(&basis::CEILING_UNKNOWN);
    let mut findings = Vec::new();
    for tray in &project.containments {
        let Some(height) = tray.height.map(|height| height.get()) else {
            continue;
        };
        for room in project.rooms_on(tray.floor) {
            let ceiling = room.ceiling.map_or(unknown, |ceiling| ceiling.get());
            let indoors = room.enclosure != Enclosure::Outdoor;
            if !indoors || height <= ceiling + 1e-9 {
                continue;
            }
            if let Some(at) = first_inside(tray, room) {
                findings.push(note(tray, room, (height, ceiling), at));
            }
        }
    }
    findings
}

fn note(tray: &Containment, room: &Room, (height, ceiling): (f64, f64), at: Point) -> Finding {
    let assumed = match room.ceiling {
        Some(_) => "",
        None => ", assumed",
    };
    let message = format!(
        "Containment at {height:.2} m passes above the ceiling of {} ({ceiling:.2} m{assumed}); \
         drops through the ceiling are not counted as crossings.",
        room_name(room)
    );
    let id = format!(
        "routing.above_ceiling/containment-{}/room-{}",
        tray.id, room.id
    );
    let remedy = "Make sure that there is a void to run in, or lower the containment.";
    Finding::new(id, Severity::Note, message, remedy)
        .about(ItemKey::Containment(tray.id))
        .at(tray.floor, at)
}

/// The first point of a containment inside a room.
fn first_inside(tray: &Containment, room: &Room) -> Option<Point> {
    let outline = Polygon::new(room.outline.clone());
    let pieces = tray
        .line
        .windows(2)
        .map(|pair| Segment::new(pair[0], pair[1]));
    let mut points = pieces.flat_map(|piece| {
        let n = (piece.length() / STEP_M).ceil().clamp(1.0, 10_000.0) as usize;
        (0..=n).map(move |k| piece.point_at(k as f64 / n as f64))
    });
    points.find(|at| outline.contains_clear(*at, STEP_M / 2.0))
}

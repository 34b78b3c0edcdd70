//! Rooms of one floor must not lie on each other: what is in both would be watched twice or not.

use geo::{Area, BooleanOps};

use crate::engine::finding::{Finding, Severity};
use crate::engine::trace::Trace;
use crate::geometry::{Bounds, Point, Polygon};
use crate::model::{ItemKey, Project, Room};
use crate::units::Unit;

/// Less than this is an unsteady hand, m2.
const LEAST_M2: f64 = 0.05;

/// One warning per pair of rooms that share floor.
pub fn check(project: &Project, trace: &mut Trace) -> Vec<Finding> {
    let rooms: Vec<(&Room, Bounds)> = project
        .rooms
        .iter()
        .filter(|room| Polygon::new(room.outline.clone()).is_simple())
        .filter_map(|room| Some((room, Bounds::of(&room.outline)?)))
        .collect();
    let mut found = Vec::new();
    for (idx, (a, bounds_a)) in rooms.iter().enumerate() {
        for (b, bounds_b) in &rooms[idx + 1..] {
            if a.floor != b.floor || bounds_a.is_apart(bounds_b) {
                continue;
            }
            let shared = ring(&a.outline)
                .intersection(&ring(&b.outline))
                .unsigned_area();
            if shared < LEAST_M2 {
                continue;
            }
            let shared = trace.measured("Floor that two rooms share", shared, Unit::SquareMetre);
            let limit = trace.measured("Two rooms share no floor", 0.0, Unit::SquareMetre);
            found.push(
                Finding::new(
                    format!("room.overlap/room-{}-{}", a.id, b.id),
                    Severity::Warning,
                    format!(
                        "{} {} and {} {} lie on each other with {:.1} m².",
                        a.number, a.name, b.number, b.name, shared.value
                    ),
                    "Move the walls so that each place is in one room.",
                )
                .about(ItemKey::Room(b.id))
                .at(b.floor, Polygon::new(b.outline.clone()).label_point())
                .held_against(shared, limit),
            );
        }
    }
    found
}

fn ring(outline: &[Point]) -> geo::Polygon<f64> {
    let corners: Vec<(f64, f64)> = outline.iter().map(|p| (p.x, p.y)).collect();
    geo::Polygon::new(geo::LineString::from(corners), Vec::new())
}

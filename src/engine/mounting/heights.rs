//! The height of a band in a room or in the open, and how far off it still counts.

use crate::engine::airspace::Pit;
use crate::engine::mounting::rules::*;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// Heights at which a detector watches its band, m above finished floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightRange {
    pub least: f64,
    pub most: f64,
}

impl HeightRange {
    /// How far `height` lies outside, m.
    pub fn off(&self, height: f64) -> f64 {
        (self.least - height).max(height - self.most).max(0.0)
    }
}

/// Whether no ceiling holds the gas.
pub fn is_open(room: Option<&Room>) -> bool {
    room.is_some_and(|room| room.enclosure != Enclosure::Enclosed)
}

/// The ceiling height, stated or assumed.
pub fn ceiling(trace: &mut Trace, project: &Project, room: Option<&Room>) -> Quantity {
    let stated = room
        .and_then(|room| room.ceiling)
        .map(|ceiling| ceiling.get());
    trace.stated_or(project, "Ceiling height", stated, &basis::CEILING_UNKNOWN)
}

/// Mounting height of `band` in `room`, traced. In the open the high band needs the source.
pub fn height(
    trace: &mut Trace,
    project: &Project,
    room: Option<&Room>,
    band: Band,
    source: Option<&ReleaseSource>,
) -> Quantity {
    let outdoor = room.is_some_and(|room| room.enclosure == Enclosure::Outdoor);
    let basis = &project.basis;
    match band {
        Band::High if is_open(room) => {
            let stated = source
                .and_then(|source| source.height)
                .map(|height| height.get());
            let item = &basis::SOURCE_HEIGHT_UNKNOWN;
            let from = trace.stated_or(project, "Height of the release", stated, item);
            let above = trace.basis(basis, &basis::ABOVE_SOURCE);
            let over = trace.eval(&HEIGHT_OVER_SOURCE, &[from, above]);
            if outdoor {
                return over;
            }
            let ceiling = self::ceiling(trace, project, room);
            let below = trace.basis(basis, &basis::BELOW_CEILING);
            let under_roof = trace.eval(&HEIGHT_HIGH, &[ceiling, below]);
            if over.value <= under_roof.value {
                over
            } else {
                under_roof
            }
        }
        Band::High => {
            let ceiling = self::ceiling(trace, project, room);
            let below = trace.basis(basis, &basis::BELOW_CEILING);
            trace.eval(&HEIGHT_HIGH, &[ceiling, below])
        }
        Band::Low if outdoor => trace.basis(basis, &basis::ABOVE_FLOOR),
        Band::Low => {
            let ceiling = self::ceiling(trace, project, room);
            let above = trace.basis(basis, &basis::ABOVE_FLOOR);
            trace.eval(&HEIGHT_LOW, &[above, ceiling])
        }
        Band::Breathing if outdoor => trace.basis(basis, &basis::BREATHING_HEIGHT),
        Band::Breathing => {
            let ceiling = self::ceiling(trace, project, room);
            let breathe = trace.basis(basis, &basis::BREATHING_HEIGHT);
            trace.eval(&HEIGHT_BREATHING, &[breathe, ceiling])
        }
    }
}

/// A step in the floor this deep holds heavy gas, m (Japan Fire Service Rule, article 24-2-3).
pub const PIT_HOLDS_M: f64 = 0.3;

/// Mounting height in a pit so deep, m above finished floor and so below zero.
pub fn height_in_pit(project: &Project, depth: f64) -> f64 {
    project.basis.get(&basis::ABOVE_FLOOR).min(depth / 2.0) - depth
}

/// Mounting height in a drawn pit, traced.
pub fn height_in(trace: &mut Trace, project: &Project, pit: &Pit) -> Quantity {
    let stated = project.marked.get(pit.id).and_then(|one| one.level);
    let title = format!("Depth of pit {}", pit.id);
    let stated = stated.map(|level| level.get());
    let depth = trace.stated_or(project, title, stated, &basis::PIT_DEPTH_UNKNOWN);
    let above = trace.basis(&project.basis, &basis::ABOVE_FLOOR);
    let height = height_in_pit(project, depth.value);
    let inputs = [("depth", depth), ("above its floor", above)];
    trace.rule(&PIT, height, Unit::Metre, &inputs)
}

/// How far a mounting height in a pit lies above the floor of that pit, m.
fn above_pit_floor(project: &Project, aim: f64) -> f64 {
    project.basis.get(&basis::ABOVE_FLOOR).min(-aim)
}

/// The heights of `band`, given its mounting height `aim` in `room`: breathing 0.3 m either way of
/// it, in a pit the same between its floor and that of the room, low from the floor to 0.3 m above
/// it, high up to the ceiling, in the open from the source to 2 m above it.
pub fn height_range(project: &Project, room: Option<&Room>, band: Band, aim: f64) -> HeightRange {
    let stated = room
        .and_then(|room| room.ceiling)
        .map(|ceiling| ceiling.get());
    let ceiling = stated.unwrap_or(project.basis.get(&basis::CEILING_UNKNOWN));
    match band {
        Band::High if is_open(room) => {
            let above = project.basis.get(&basis::ABOVE_SOURCE);
            HeightRange {
                least: aim - above,
                most: aim - above + 2.0,
            }
        }
        Band::High => HeightRange {
            least: aim,
            most: ceiling,
        },
        Band::Breathing => HeightRange {
            least: aim - 0.3,
            most: aim + 0.3,
        },
        Band::Low if aim < 0.0 => HeightRange {
            least: aim - above_pit_floor(project, aim).min(0.3),
            most: (aim + 0.3).min(0.0),
        },
        Band::Low => HeightRange {
            least: 0.0,
            most: aim + 0.3,
        },
    }
}

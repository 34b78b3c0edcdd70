//! Where detectors can stand, and the fewest that watch all there is to watch.

use std::collections::BTreeMap;

use crate::engine::airspace::{Airspaces, room_name};
use crate::engine::coverage::Assessment;
use crate::engine::finding::Finding;
use crate::engine::formula::Rule;
use crate::engine::mounting;
use crate::engine::progress::Progress;
use crate::engine::results::RoomResult;
use crate::engine::trace::Trace;
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// Every rule of placement.
pub static RULES: &[&Rule] = &[];

/// What each room needs.
pub fn rooms(
    project: &Project,
    spaces: &Airspaces<'_>,
    _assessment: &Assessment,
    trace: &mut Trace,
    _findings: &mut Vec<Finding>,
    _progress: &dyn Progress,
) -> BTreeMap<RoomId, RoomResult> {
    let mut results = BTreeMap::new();
    for room in &project.rooms {
        let outline = spaces.outline(room.id);
        let name = room_name(room);
        let area = trace.measured(
            format!("Floor of {name}"),
            outline.area(),
            Unit::SquareMetre,
        );
        let ceiling = mounting::ceiling(trace, project, Some(room));
        let air_changes = trace.stated_or(
            project,
            format!("Air changes of {name}"),
            room.air_changes,
            &basis::AIR_CHANGES_UNKNOWN,
        );
        let label_at = outline.label_point();
        results.insert(
            room.id,
            RoomResult {
                area,
                ceiling,
                air_changes,
                covers: Vec::new(),
                label_at,
            },
        );
    }
    results
}

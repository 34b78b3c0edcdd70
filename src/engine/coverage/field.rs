//! The distance field of one detector: how far it is to every place of its air, on demand.

use crate::engine::airspace::Airspaces;
use crate::engine::coverage::{groups, needs, rings, stand};
use crate::engine::results::{DistanceLine, Results};
use crate::engine::trace::Trace;
use crate::model::*;

/// Lines of equal distance along free air paths round a detector: every whole metre short of its
/// reach, and the reach, m; none where it stands in no room or does not exist.
pub fn distance_lines(project: &Project, results: &Results, id: DetectorId) -> Vec<DistanceLine> {
    let spaces = Airspaces::new(project);
    let (Some(detector), Some(found)) = (project.detectors.get(id), results.detectors.get(&id))
    else {
        return Vec::new();
    };
    let needs = needs(project, &spaces, &results.sources, &mut Trace::default());
    let groups = groups(project, &needs);
    let standing = stand(&spaces, &groups, detector);
    let Some(ways) = standing.ways(&spaces, &groups) else {
        return Vec::new();
    };
    let reach = found.reach.value;
    let whole = (1..).map(f64::from).take_while(|metres| *metres < reach);
    whole
        .chain([reach])
        .map(|metres| DistanceLine {
            metres,
            rings: rings(&ways, detector.at, metres),
        })
        .collect()
}

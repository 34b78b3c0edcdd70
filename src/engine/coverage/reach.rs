//! Which detectors have which needs in reach along free air paths.

use crate::engine::airspace::Airspaces;
use crate::engine::coverage::demands::{Group, Need};
use crate::engine::coverage::within::Within;
use crate::geometry::{Airways, Point};
use crate::model::{Detector, DetectorId};

/// A reach is met to this much, m: a detector placed at the very reach is in reach.
const TOLERANCE_M: f64 = 1e-6;

/// What one detector, or one candidate point, has in reach of the needs of a group.
#[derive(Debug, Clone, Default)]
pub struct InReach {
    /// Where it stands.
    pub at: Point,
    /// Its height where the band has several (see [`Group::levels`]) or it is in a pit, m.
    pub height: Option<f64>,
    /// For each need of the group: distance along free air paths (to the nearest cell), m.
    pub distances: Vec<Option<f64>>,
    /// The same to the farthest of the places in reach, m.
    pub farthest: Vec<Option<f64>>,
    /// For each need of the group: which cells; empty for one place.
    pub cells: Vec<Vec<bool>>,
}

impl InReach {
    /// Whether the need at this place of the group, or one cell of it, is in reach.
    pub fn has(&self, place: usize, cell: Option<usize>) -> bool {
        match cell {
            Some(cell) => self.cells[place][cell],
            None => self.distances[place].is_some(),
        }
    }

    /// Distance from another, m.
    pub fn apart(&self, other: &InReach) -> f64 {
        let plan = self.at.distance(other.at);
        match (self.height, other.height) {
            (Some(own), Some(other)) => plan.hypot(own - other),
            (None, None) => plan,
            // One of them is in a pit.
            _ => f64::INFINITY,
        }
    }
}

/// What a detector at a point of a group's airspace, and at `height` where that is settled, has in
/// reach.
pub fn in_reach(
    airways: &Airways,
    needs: &[Need],
    group: &Group,
    (at, height): (Point, Option<f64>),
) -> InReach {
    let mut found = InReach {
        at,
        ..InReach::default()
    };
    let own = Within::at(needs, group, at, height);
    let has_own_height = !group.levels.is_empty() || matches!(own, Within::Pit(_));
    found.height = height.filter(|_| has_own_height);
    let airways = match &own {
        Within::Pit(pit) => &pit.ways().airways,
        _ => airways,
    };
    let mut targets = Vec::new();
    let mut places = Vec::new();
    for (place, idx) in group.needs.iter().enumerate() {
        let need = &needs[*idx];
        let reach = need.demand.reach.value + TOLERANCE_M;
        found.distances.push(None);
        found.farthest.push(None);
        found.cells.push(vec![false; need.cells.len()]);
        if !need.holds(height) || !need.within.is_same(&own) {
            continue;
        }
        if need.cells.is_empty() && need.demand.at.distance(at) <= reach {
            targets.push(need.demand.at);
            places.push((place, None, reach));
        }
        for (cell_idx, cell) in need.cells.iter().enumerate() {
            if cell.centre.distance(at) <= reach {
                targets.push(cell.centre);
                places.push((place, Some(cell_idx), reach));
            }
        }
    }
    let distances = airways.distances_from(at, &targets);
    for ((place, cell, reach), distance) in places.into_iter().zip(distances) {
        let Some(distance) = distance.filter(|distance| *distance <= reach) else {
            continue;
        };
        if let Some(cell) = cell {
            found.cells[place][cell] = true;
        }
        let nearest = found.distances[place].get_or_insert(distance);
        *nearest = nearest.min(distance);
        let farthest = found.farthest[place].get_or_insert(distance);
        *farthest = farthest.max(distance);
    }
    found
}

/// The detectors of a group with what each has in reach.
pub type Served = Vec<(DetectorId, InReach)>;

/// What each of `detectors` has in reach.
pub fn serve(
    spaces: &Airspaces<'_>,
    needs: &[Need],
    group: &Group,
    detectors: &[&Detector],
) -> Served {
    detectors
        .iter()
        .map(|detector| {
            let height = Some(detector.height.get());
            let ways = spaces.ways(group.space, group.path_height(height));
            let found = in_reach(&ways.airways, needs, group, (detector.at, height));
            (detector.id, found)
        })
        .collect()
}

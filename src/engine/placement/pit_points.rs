//! Where a detector can stand in a pit: on its sides and over its floor.

use crate::engine::airspace::{Airspaces, Pit};
use crate::engine::coverage::{Group, Need, Within, in_reach};
use crate::engine::placement::candidates::{Candidate, Fixing, to_millimetre};
use crate::geometry::{Point, cells};
use crate::model::Project;
use crate::model::basis;

/// A point nearer to a wall is in the wall and would watch both its sides, m.
const OFF_WALL_M: f64 = 0.002;

/// The candidate points in the pits that a group has to watch, with what they have in reach.
pub fn in_pits(
    spaces: &Airspaces<'_>,
    needs: &[Need],
    group: &Group,
    step: f64,
    allowed: &dyn Fn(Point) -> bool,
) -> Vec<Candidate> {
    let mut found = Vec::new();
    for (place, idx) in group.needs.iter().enumerate() {
        let need = &needs[*idx];
        let Within::Pit(pit) = &need.within else {
            continue;
        };
        let height = Some(need.height);
        let points = points(spaces.project, pit, step).into_iter();
        let candidates = points
            .filter(|(at, _)| allowed(*at))
            .filter_map(|(at, fixing)| {
                let room = spaces.room_at(need.demand.floor, at)?.id;
                if !spaces.outline(room).contains_clear(at, OFF_WALL_M) {
                    return None;
                }
                let reached = in_reach(&pit.ways().airways, needs, group, (at, height));
                Some(Candidate {
                    at,
                    room,
                    fixing,
                    height,
                    reached,
                })
            });
        found.extend(candidates.filter(|one| one.reached.distances[place].is_some()));
    }
    found
}

/// Along the sides, over the floor; in one too narrow for either, along it.
pub(super) fn points(project: &Project, pit: &Pit, step: f64) -> Vec<(Point, Fixing)> {
    let basis = &project.basis;
    let offset = basis.get(&basis::WALL_OFFSET);
    let clear = basis.get(&basis::CORNER_CLEAR);
    let sides = pit.outline.inset_points(offset, step, clear).into_iter();
    let mut points: Vec<(Point, Fixing)> = sides.map(|inset| (inset.point, Fixing::Wall)).collect();
    let floor = cells(&pit.outline, step)
        .into_iter()
        .map(|cell| cell.centre);
    let floor = floor.filter(|at| pit.outline.contains_clear(*at, offset));
    points.extend(floor.map(|at| (at, Fixing::Post)));
    if points.is_empty() {
        let along = pit.floors.iter().flat_map(|floor| cells(floor, step));
        points.extend(along.map(|cell| (cell.centre, Fixing::Wall)));
    }
    points
        .into_iter()
        .map(|(at, fixing)| (to_millimetre(at), fixing))
        .collect()
}

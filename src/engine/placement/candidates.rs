//! Where a detector of a group can stand: on walls and faces of partitions, under the ceiling, on
//! posts, in pits, off the air that supply terminals blow and out of areas marked to keep clear.
//! Must not choose among them.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::engine::airspace::{Airspaces, Ways};
use crate::engine::coverage::{Group, InReach, Need, Within, in_reach, stand_apart};
use crate::engine::placement::marked::forbidding;
use crate::engine::placement::pit_points::{self, in_pits};
use crate::engine::results::DemandKind;
use crate::geometry::{Bounds, Point, Polygon, Segment, cells};
use crate::model::basis;
use crate::model::*;

/// What a detector is fixed to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fixing {
    Wall,
    Ceiling,
    Post,
    /// In the extract of a fume cupboard or gas cabinet, or at its mouth.
    Duct,
}

/// A place a detector can stand at, with what it has in reach.
#[derive(Debug, Clone)]
pub struct Candidate {
    pub at: Point,
    pub room: RoomId,
    pub fixing: Fixing,
    /// Mounting height, where the band has several (see [`Group::levels`]) or it is in a pit, m.
    pub height: Option<f64>,
    pub reached: InReach,
}

/// The candidate points of a group that have anything in reach, in the order of their places. Where
/// several detectors are to watch one demand, no two points are closer than they must stand apart.
pub fn candidates(
    project: &Project,
    spaces: &Airspaces<'_>,
    needs: &[Need],
    group: &Group,
) -> Vec<Candidate> {
    let levels: Vec<Option<f64>> = match group.levels.is_empty() {
        true => vec![None],
        false => group.levels.iter().copied().map(Some).collect(),
    };
    let ways: Vec<_> = levels
        .iter()
        .map(|level| spaces.ways(group.space, group.path_height(*level)))
        .collect();
    let look = |(at, room, fixing): (Point, RoomId, Fixing)| {
        let at_level = |(ways, height): (&Rc<Ways>, &Option<f64>)| {
            let reached = in_reach(&ways.airways, needs, group, (at, *height));
            let any = reached.distances.iter().any(Option::is_some);
            any.then_some(Candidate {
                at,
                room,
                fixing,
                height: *height,
                reached,
            })
        };
        let found: Vec<Candidate> = ways.iter().zip(&levels).filter_map(at_level).collect();
        found
    };
    let points = Points::of(project, spaces, needs, group);
    let allowed = points.usual().into_iter();
    let allowed = allowed.filter(|(at, _, _)| points.is_allowed(*at));
    let (clear, near): (Vec<_>, Vec<_>) = allowed.partition(|(at, _, _)| points.is_clear(*at));
    let apart = project.basis.get(&basis::VOTE_APART);
    let votes = group.need(needs).value > 1.0;
    let add = |found: &mut Vec<Candidate>, new: Vec<Candidate>| match votes {
        true => extend_apart(found, new, apart),
        false => found.extend(new),
    };
    let look_at = |found: &mut Vec<Candidate>, points: Vec<(Point, RoomId, Fixing)>| {
        add(found, points.into_iter().flat_map(look).collect());
    };
    let is_allowed = |at| points.is_allowed(at);
    let mut found: Vec<Candidate> = Vec::new();
    let pits = in_pits(spaces, needs, group, points.step, &is_allowed);
    add(&mut found, pits);
    look_at(&mut found, clear);
    if !left_over(needs, group, &found).is_empty() {
        look_at(&mut found, near);
    }
    let left = left_over(needs, group, &found);
    if !left.is_empty() {
        look_at(&mut found, points.posts(&left));
    }
    found.sort_by(|a, b| {
        (a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
            .then(a.height.unwrap_or(0.0).total_cmp(&b.height.unwrap_or(0.0)))
            .then(a.fixing.cmp(&b.fixing))
    });
    found.dedup_by(|later, kept| later.at.distance(kept.at) < 1e-3 && later.height == kept.height);
    found
}

/// Adds those of `new` that stand far enough from all before them: on walls first, then by place.
fn extend_apart(found: &mut Vec<Candidate>, mut new: Vec<Candidate>, apart: f64) {
    new.sort_by(|a, b| {
        (a.fixing.cmp(&b.fixing))
            .then(a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
            .then(a.height.unwrap_or(0.0).total_cmp(&b.height.unwrap_or(0.0)))
    });
    for candidate in new {
        let far = |other: &Candidate| stand_apart(&other.reached, &candidate.reached, apart);
        if found.iter().all(far) {
            found.push(candidate);
        }
    }
}

/// Points of sources and cells that too few candidates reach.
fn left_over(needs: &[Need], group: &Group, found: &[Candidate]) -> Vec<(Point, f64)> {
    let mut left = Vec::new();
    for (place, idx) in group.needs.iter().enumerate() {
        let need = &needs[*idx];
        let reach = need.demand.reach.value;
        let wanted = need.demand.wanted();
        let enough = |cell: Option<usize>| {
            let reached = |candidate: &&Candidate| candidate.reached.has(place, cell);
            found.iter().filter(reached).nth(wanted - 1).is_some()
        };
        if need.cells.is_empty() && !enough(None) {
            left.push((need.demand.at, reach));
        }
        for (cell_idx, cell) in need.cells.iter().enumerate() {
            if !enough(Some(cell_idx)) {
                left.push((cell.centre, reach));
            }
        }
    }
    left
}

/// The marked areas without which there would be a candidate point near enough to one of `missed`,
/// places of the need at `place` of the group, in the order of their ids.
pub fn kept_off<'a>(
    spaces: &Airspaces<'a>,
    needs: &[Need],
    group: &Group,
    place: usize,
    missed: &[Point],
) -> Vec<&'a MarkedArea> {
    if missed.is_empty() {
        return Vec::new();
    }
    let need = &needs[group.needs[place]];
    let points = Points::of(spaces.project, spaces, needs, group);
    let reach = need.demand.reach.value;
    let all: Vec<Point> = match &need.within {
        Within::Pit(pit) => {
            let in_it = pit_points::points(spaces.project, pit, points.step);
            in_it.into_iter().map(|(at, _)| at).collect()
        }
        _ => points.anywhere(),
    };
    let near = all
        .into_iter()
        .filter(|at| missed.iter().any(|to| at.distance(*to) <= reach));
    let off = near.filter_map(|at| forbidding(spaces, group.space, at));
    let areas: BTreeMap<MarkedAreaId, &MarkedArea> = off.map(|(area, _)| (area.id, area)).collect();
    areas.into_values().collect()
}

/// Step of the candidate points of a group, m: that of the basis of design, but wider where a whole
/// floor is watched that is larger than [`WIDER_FROM_M2`], up to a third of the reach.
pub fn step(project: &Project, spaces: &Airspaces<'_>, needs: &[Need], group: &Group) -> f64 {
    let step = project.basis.get(&basis::GRID_STEP);
    let floors = group.needs.iter().map(|idx| &needs[*idx]);
    let reaches = floors
        .filter(|need| need.is_floor())
        .map(|need| need.demand.reach.value);
    let Some(reach) = reaches.min_by(f64::total_cmp) else {
        return step;
    };
    let rooms = &spaces.spaces[group.space].rooms;
    let area: f64 = rooms
        .iter()
        .map(|room| spaces.outline(room.id).area())
        .sum();
    step.max((area / WIDER_FROM_M2).sqrt().min(reach / 3.0))
}

/// A floor up to this size has candidate points every metre, m2.
const WIDER_FROM_M2: f64 = 200.0;

struct Points<'a> {
    project: &'a Project,
    spaces: &'a Airspaces<'a>,
    needs: &'a [Need],
    group: &'a Group,
    /// Sources, panels and devices without detectors in or near the airspace.
    things: Vec<Point>,
    /// Supply air terminals of the airspace.
    supplies: &'a [Point],
    /// m.
    step: f64,
}

/// What stands or hangs in an airspace and just outside it, detectors apart.
fn things(project: &Project, spaces: &Airspaces<'_>, group: &Group) -> Vec<Point> {
    let space = &spaces.spaces[group.space];
    let clear = project.basis.get(&basis::THING_CLEAR);
    let corners = space
        .rooms
        .iter()
        .flat_map(|room| room.outline.iter().copied());
    let Some(Bounds { min, max }) = Bounds::of(&corners.collect::<Vec<_>>()) else {
        return Vec::new();
    };
    let sources = project.sources.iter().map(|thing| (thing.floor, thing.at));
    let panels = project.panels.iter().map(|thing| (thing.floor, thing.at));
    let devices = project
        .devices
        .iter()
        .filter(|device| device.detectors.is_empty());
    let devices = devices.map(|thing| (thing.floor, thing.at));
    let near = |(floor, at): &(FloorId, Point)| {
        *floor == space.floor
            && (min.x - clear..=max.x + clear).contains(&at.x)
            && (min.y - clear..=max.y + clear).contains(&at.y)
    };
    let all = sources.chain(panels).chain(devices);
    all.filter(near).map(|(_, at)| at).collect()
}

impl<'a> Points<'a> {
    fn of(
        project: &'a Project,
        spaces: &'a Airspaces<'a>,
        needs: &'a [Need],
        group: &'a Group,
    ) -> Self {
        Points {
            project,
            spaces,
            needs,
            group,
            things: things(project, spaces, group),
            supplies: spaces.supplies(group.space),
            step: step(project, spaces, needs, group),
        }
    }

    /// Walls, partitions, ceiling, and beside the sources.
    fn usual(&self) -> Vec<(Point, RoomId, Fixing)> {
        let mut points = Vec::new();
        for room in &self.spaces.spaces[self.group.space].rooms {
            let outline = self.spaces.outline(room.id);
            let mut here: Vec<(Point, Fixing)> = Vec::new();
            if room.enclosure == Enclosure::Outdoor {
                here.extend(self.within_reach(outline).map(|at| (at, Fixing::Post)));
            } else {
                here.extend(self.walls(room, outline));
            }
            here.extend(self.partitions(outline));
            here.extend(self.cupboards(room.id).map(|at| (at, Fixing::Duct)));
            let basis = &self.project.basis;
            let ceiling = self.group.band == Band::High && room.enclosure != Enclosure::Outdoor;
            if ceiling && basis.is_on(&basis::CEILING_POINTS) {
                here.extend(self.grid(outline).map(|at| (at, Fixing::Ceiling)));
                here.extend(self.beside_sources(outline).map(|at| (at, Fixing::Ceiling)));
            } else {
                here.extend(self.beside_sources(outline).map(|at| (at, Fixing::Post)));
            }
            points.extend(
                here.into_iter()
                    .map(|(at, fixing)| (to_millimetre(at), room.id, fixing)),
            );
        }
        points
    }

    /// The usual points and those of all posts, whether one may stand there or not.
    fn anywhere(&self) -> Vec<Point> {
        let rooms = self.spaces.spaces[self.group.space].rooms.iter();
        let posts = rooms.flat_map(|room| self.grid(self.spaces.outline(room.id)));
        let usual = self.usual().into_iter().map(|(at, _, _)| at);
        usual.chain(posts).collect()
    }

    /// Posts off the walls, where nothing else reaches `left`.
    fn posts(&self, left: &[(Point, f64)]) -> Vec<(Point, RoomId, Fixing)> {
        let mut points = Vec::new();
        for room in &self.spaces.spaces[self.group.space].rooms {
            let outline = self.spaces.outline(room.id);
            let near = |at: &Point| left.iter().any(|(to, reach)| at.distance(*to) <= *reach);
            let grid = self.grid(outline).filter(near);
            let grid = grid.filter(|at| self.is_allowed(*at));
            points.extend(grid.map(|at| (to_millimetre(at), room.id, Fixing::Post)));
        }
        points
    }

    fn walls(&self, room: &Room, outline: &Polygon) -> Vec<(Point, Fixing)> {
        let basis = &self.project.basis;
        let offset = basis.get(&basis::WALL_OFFSET);
        let (step, clear) = (self.step, basis.get(&basis::CORNER_CLEAR));
        let openings = self.openings(room.floor);
        let clear_of_openings = |at: &Point| {
            let clear = basis.get(&basis::OPENING_CLEAR);
            // Along the wall: an opening is as near as its nearer jamb.
            openings.iter().all(|opening| {
                let distance = opening.distance_to(*at);
                distance >= clear.hypot(offset) - 1e-6
            })
        };
        outline
            .inset_points(offset, step, clear)
            .into_iter()
            .map(|inset| inset.point)
            .filter(clear_of_openings)
            .map(|at| (at, Fixing::Wall))
            .collect()
    }

    fn openings(&self, floor: FloorId) -> Vec<Segment> {
        let here = |opening: &&Opening| opening.floor == floor;
        let openings = self.project.openings.iter().filter(here);
        openings
            .map(|opening| Segment::new(opening.a, opening.b))
            .collect()
    }

    /// The extracts of the fume cupboards and gas cabinets of a room.
    fn cupboards(&self, room: RoomId) -> impl Iterator<Item = Point> {
        let needs = self.group.needs.iter().map(|idx| &self.needs[*idx].demand);
        let is_cupboard = |kind: DemandKind| match kind {
            DemandKind::Terminal(id) => (self.project.terminals.get(id))
                .is_some_and(|one| one.kind == AirTerminalKind::Cupboard),
            _ => false,
        };
        needs
            .filter(move |one| one.room == room && is_cupboard(one.kind))
            .map(|one| one.at)
    }

    /// Both faces of partitions that reach the mounting height.
    fn partitions(&self, outline: &Polygon) -> Vec<(Point, Fixing)> {
        let basis = &self.project.basis;
        let offset = basis.get(&basis::WALL_OFFSET).max(0.01);
        let (step, clear) = (self.step, basis.get(&basis::CORNER_CLEAR));
        let mut points = Vec::new();
        for barrier in self.spaces.barriers_in(self.group.space) {
            if barrier
                .height
                .is_some_and(|top| top.get() < self.group.height)
            {
                continue;
            }
            for pair in barrier.line.windows(2) {
                let face = Segment::new(pair[0], pair[1]);
                let length = face.length();
                let span = length - 2.0 * clear;
                if span < 0.0 {
                    continue;
                }
                let n = (span / step - 1e-9).ceil().clamp(1.0, 1000.0) as usize;
                let (nx, ny) = (
                    -(face.to.y - face.from.y) / length * offset,
                    (face.to.x - face.from.x) / length * offset,
                );
                for k in 0..=n {
                    let foot = face.point_at((clear + span * k as f64 / n as f64) / length);
                    for side in [-1.0, 1.0] {
                        let at = Point::new(foot.x + side * nx, foot.y + side * ny);
                        if outline.contains_clear(at, offset) {
                            points.push((at, Fixing::Wall));
                        }
                    }
                }
            }
        }
        points
    }

    /// Points of a grid over the room, clear of its walls.
    fn grid(&self, outline: &Polygon) -> impl Iterator<Item = Point> {
        let basis = &self.project.basis;
        let clear = basis.get(&basis::CORNER_CLEAR);
        let pitch = self.step;
        let points = cells(outline, pitch).into_iter().map(|cell| cell.centre);
        points
            .filter(move |at| outline.contains_clear(*at, clear))
            .collect::<Vec<_>>()
            .into_iter()
    }

    /// Points of the grid that some source of the group may be in reach of.
    fn within_reach(&self, outline: &Polygon) -> impl Iterator<Item = Point> {
        let needs: Vec<&Need> = self
            .group
            .needs
            .iter()
            .map(|idx| &self.needs[*idx])
            .collect();
        let near = move |at: &Point| {
            needs
                .iter()
                .any(|need| need.is_floor() || need.off(*at) <= need.demand.reach.value)
        };
        self.grid(outline)
            .filter(near)
            .collect::<Vec<_>>()
            .into_iter()
    }

    /// Whether a point keeps clear of what else stands or hangs on the floor.
    fn is_clear(&self, at: Point) -> bool {
        let clear = self.project.basis.get(&basis::THING_CLEAR) - 1e-6;
        self.things.iter().all(|thing| thing.distance(at) >= clear)
    }

    /// Whether a point lies out of the areas to keep clear and off the air that supply terminals
    /// blow, which thins the gas.
    fn is_allowed(&self, at: Point) -> bool {
        let clear = self.project.basis.get(&basis::SUPPLY_CLEAR) - 1e-6;
        let mut supplies = self.supplies.iter();
        let still = supplies.all(|supply| supply.distance(at) >= clear);
        still && forbidding(self.spaces, self.group.space, at).is_none()
    }

    /// Four points round each source in the room.
    fn beside_sources(&self, outline: &Polygon) -> impl Iterator<Item = Point> {
        let clear = self.project.basis.get(&basis::CORNER_CLEAR);
        let beside = self.project.basis.get(&basis::THING_CLEAR).max(0.1);
        let sources = self.group.needs.iter().map(|idx| &self.needs[*idx]);
        let places = sources
            .filter(|need| !need.is_floor() && !matches!(need.within, Within::Pit(_)))
            .map(|need| need.demand.at);
        let round = [(beside, 0.0), (0.0, beside), (-beside, 0.0), (0.0, -beside)];
        places
            .flat_map(move |at| round.map(|(dx, dy)| Point::new(at.x + dx, at.y + dy)))
            .filter(move |at| outline.contains_clear(*at, clear))
            .collect::<Vec<_>>()
            .into_iter()
    }
}

/// Set out to the millimetre.
pub(super) fn to_millimetre(at: Point) -> Point {
    Point::new(
        (at.x * 1000.0).round() / 1000.0,
        (at.y * 1000.0).round() / 1000.0,
    )
}

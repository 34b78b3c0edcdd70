//! Which rooms share their air, and the free paths along which gas and air move in them.
//!
//! Rooms joined by an open way are one airspace. What blocks depends on the height looked at: a
//! partition lower than that lets the gas over it, an open way with a lower head does not let it
//! through. Must not know of substances or detectors.

mod marked;
mod pits;
mod walls;
#[cfg(test)]
mod tests;

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use crate::geometry::{Airways, Point, Polygon, Segment};
use crate::model::basis;
use crate::model::*;

pub use marked::MarkedPart;
pub use pits::Pit;
pub use walls::{OpenGap, beside, gaps};

/// Inner faces of one wall lie at most this far apart, m.
pub const WALL_THICKNESS_M: f64 = 0.6;

/// A beam this deep parts the gas under a ceiling into pockets, m (Japan Fire Service Rule, article
/// 24-2-3, seen quoted); a shallower one is flowed under.
pub const BEAM_POCKET_M: f64 = 0.6;

/// What is in a wall is looked for this far inside the room, m.
const INSIDE_M: f64 = 0.05;

/// Rooms that share their air, all on one floor; an outdoor area is one by itself.
#[derive(Debug, Clone)]
pub struct Airspace<'a> {
    pub floor: FloorId,
    /// In the order of their ids.
    pub rooms: Vec<&'a Room>,
}

/// Free paths in an airspace at one height, with the lines that block them.
#[derive(Debug)]
pub struct Ways {
    pub airways: Airways,
    /// Everything that blocks: walls and partitions.
    pub edges: Vec<Segment>,
    /// Outlines of the rooms.
    pub outlines: Vec<Polygon>,
}

/// Ways already built, by airspace and by what blocks.
type Built = BTreeMap<(usize, Vec<bool>), Rc<Ways>>;

/// The airspaces of a project.
pub struct Airspaces<'a> {
    pub project: &'a Project,
    pub spaces: Vec<Airspace<'a>>,
    space_of: BTreeMap<RoomId, usize>,
    /// The rooms of each floor, in the order of their ids.
    on_floor: BTreeMap<FloorId, Vec<&'a Room>>,
    outlines: BTreeMap<RoomId, Polygon>,
    /// Of each airspace: the open ways between its rooms, the partitions in it, whatever their
    /// height, and the places of its supply air terminals.
    gaps: Vec<Vec<OpenGap>>,
    barriers: Vec<Vec<&'a Barrier>>,
    supplies: Vec<Vec<Point>>,
    marked: Vec<MarkedPart<'a>>,
    pits: Vec<Rc<Pit>>,
    built: RefCell<Built>,
}

impl<'a> Airspaces<'a> {
    /// The airspaces of `project`, in the order of their first room.
    pub fn new(project: &'a Project) -> Self {
        let outlines: BTreeMap<RoomId, Polygon> = project
            .rooms
            .iter()
            .map(|room| (room.id, Polygon::new(room.outline.clone())))
            .collect();
        let gaps = walls::gaps(project);
        let mut group: BTreeMap<RoomId, RoomId> = project
            .rooms
            .iter()
            .map(|room| (room.id, room.id))
            .collect();
        for gap in &gaps {
            let (a, b) = (group[&gap.rooms[0]], group[&gap.rooms[1]]);
            let (keep, lose) = (a.min(b), a.max(b));
            for of in group.values_mut().filter(|of| **of == lose) {
                *of = keep;
            }
        }
        let mut spaces: Vec<Airspace<'a>> = Vec::new();
        let mut space_of = BTreeMap::new();
        for room in &project.rooms {
            let first = group[&room.id];
            let idx = match space_of.get(&first) {
                Some(&idx) => idx,
                None => {
                    spaces.push(Airspace {
                        floor: room.floor,
                        rooms: Vec::new(),
                    });
                    spaces.len() - 1
                }
            };
            spaces[idx].rooms.push(room);
            space_of.insert(room.id, idx);
        }
        let mut on_floor: BTreeMap<FloorId, Vec<&'a Room>> = BTreeMap::new();
        for room in &project.rooms {
            on_floor.entry(room.floor).or_default().push(room);
        }
        let mut all = Airspaces {
            project,
            spaces,
            space_of,
            on_floor,
            outlines,
            gaps: Vec::new(),
            barriers: Vec::new(),
            supplies: Vec::new(),
            marked: Vec::new(),
            pits: Vec::new(),
            built: RefCell::default(),
        };
        all.gaps = all.gaps_by_space(gaps);
        all.barriers = all.barriers_by_space();
        all.supplies = all.supplies_by_space();
        all.marked = marked::parts(&all);
        all.pits = pits::pits(&all);
        all
    }

    /// The rooms of a floor, in the order of their ids.
    pub fn rooms_on(&self, floor: FloorId) -> &[&'a Room] {
        self.on_floor.get(&floor).map_or(&[], Vec::as_slice)
    }

    /// The room a point is in: a room before an outdoor area, the smaller before the larger.
    pub fn room_at(&self, floor: FloorId, at: Point) -> Option<&'a Room> {
        self.rooms_on(floor)
            .iter()
            .copied()
            .filter(|room| self.outline(room.id).contains(at))
            .min_by(|a, b| {
                let outdoor = |room: &Room| room.enclosure == Enclosure::Outdoor;
                let area = |room: &Room| self.outline(room.id).area();
                (outdoor(a).cmp(&outdoor(b)))
                    .then(area(a).total_cmp(&area(b)))
                    .then(a.id.cmp(&b.id))
            })
    }

    /// The room of what stands in it or in its wall, with the place just inside.
    pub fn room_beside(&self, floor: FloorId, at: Point) -> Option<(&'a Room, Point)> {
        let nearest = || {
            let away = |room: &'a Room| (self.outline(room.id).boundary_distance(at), room);
            let rooms = self.rooms_on(floor).iter().copied().map(away);
            let rooms = rooms.filter(|(away, _)| *away <= WALL_THICKNESS_M);
            let nearest = rooms.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.id.cmp(&b.1.id)));
            nearest.map(|(_, room)| room)
        };
        let room = self.room_at(floor, at).or_else(nearest)?;
        Some((room, self.just_inside(room.id, at)))
    }

    /// The place itself where it lies well inside a room, else the nearest that does.
    pub fn just_inside(&self, room: RoomId, at: Point) -> Point {
        let outline = self.outline(room);
        if outline.contains_clear(at, INSIDE_M) {
            return at;
        }
        let found = outline.nearest_boundary(at);
        let normal = found.and_then(|found| outline.inward_normal(found.edge));
        match (found, normal) {
            (Some(found), Some(into)) => Point::new(
                found.point.x + into.x * INSIDE_M,
                found.point.y + into.y * INSIDE_M,
            ),
            _ => at,
        }
    }

    /// The outline of a room of the project.
    pub fn outline(&self, room: RoomId) -> &Polygon {
        &self.outlines[&room]
    }

    /// Place in [`Airspaces::spaces`] of the airspace that holds a room of the project.
    pub fn space_of(&self, room: RoomId) -> usize {
        self.space_of[&room]
    }

    /// The free paths of an airspace for gas at `height`, m above finished floor.
    pub fn ways(&self, space: usize, height: f64) -> Rc<Ways> {
        let (barriers, gaps) = (self.barriers_in(space), self.gaps_in(space));
        let blocks = |barrier: &&Barrier| self.blocks(space, barrier, height);
        let passes = |gap: &&OpenGap| gap.head.is_none_or(|head| head >= height);
        let blocking: Vec<bool> = barriers.iter().map(blocks).collect();
        let passing: Vec<bool> = gaps.iter().map(passes).collect();
        self.ways_where(space, &blocking, &passing)
    }

    /// The free paths of an airspace past its walls alone, whatever their height.
    pub fn past_walls(&self, space: usize) -> Rc<Ways> {
        let blocking = vec![false; self.barriers_in(space).len()];
        let passing = vec![true; self.gaps[space].len()];
        self.ways_where(space, &blocking, &passing)
    }

    /// The free paths where these partitions block and these open ways let through.
    fn ways_where(&self, space: usize, blocking: &[bool], passing: &[bool]) -> Rc<Ways> {
        let key = (space, [blocking, passing].concat());
        if let Some(ways) = self.built.borrow().get(&key) {
            return ways.clone();
        }
        let barriers = self.barriers_in(space).iter().zip(blocking);
        let barriers = barriers.filter(|(_, blocks)| **blocks);
        let barriers = barriers.map(|(barrier, _)| barrier.line.clone()).collect();
        let gaps = self.gaps[space].iter().zip(passing);
        let gaps: Vec<&OpenGap> = gaps
            .filter(|(_, passes)| **passes)
            .map(|(gap, _)| gap)
            .collect();
        let ways = Rc::new(self.build(space, barriers, &gaps));
        self.built.borrow_mut().insert(key, ways.clone());
        ways
    }

    /// Whether a partition or beam stands in the way of gas at `height`.
    pub fn blocks(&self, space: usize, barrier: &Barrier, height: f64) -> bool {
        if barrier.height.is_some_and(|top| top.get() < height) {
            return false;
        }
        match barrier.underside {
            None => true,
            Some(underside) => {
                underside.get() <= height && self.beam_depth(space, barrier) >= BEAM_POCKET_M
            }
        }
    }

    /// How far a beam hangs below the ceiling (or below its top), m; 0 for what stands on the
    /// floor.
    pub fn beam_depth(&self, space: usize, barrier: &Barrier) -> f64 {
        let Some(underside) = barrier.underside else {
            return 0.0;
        };
        let ceiling = |room: &&Room| room.ceiling.map(|ceiling| ceiling.get());
        let top = barrier.height.map(|top| top.get()).or_else(|| {
            let ceilings = self.spaces[space].rooms.iter().filter_map(ceiling);
            ceilings.max_by(f64::total_cmp)
        });
        let unknown = self.project.basis.get(&basis::CEILING_UNKNOWN);
        (top.unwrap_or(unknown) - underside.get()).max(0.0)
    }

    /// Partitions in an airspace, whatever their height.
    pub fn barriers_in(&self, space: usize) -> &[&'a Barrier] {
        &self.barriers[space]
    }

    fn barriers_by_space(&self) -> Vec<Vec<&'a Barrier>> {
        let mut found = vec![Vec::new(); self.spaces.len()];
        for barrier in &self.project.barriers {
            let rooms = self.rooms_on(barrier.floor).iter();
            let touched = rooms.filter(|room| meets(self.outline(room.id), barrier));
            let touched: BTreeSet<usize> = touched.map(|room| self.space_of(room.id)).collect();
            touched.iter().for_each(|space| found[*space].push(barrier));
        }
        found
    }

    /// What of the marked areas of its floor lies in an airspace.
    pub fn marked_in(&self, space: usize) -> impl Iterator<Item = &MarkedPart<'a>> {
        self.marked.iter().filter(move |part| part.space == space)
    }

    /// The pits, in the order of their ids; one that walls part is several.
    pub fn pits(&self) -> &[Rc<Pit>] {
        &self.pits
    }

    /// The pit that holds a place at this height, m above finished floor.
    pub fn pit_at(&self, floor: FloorId, at: Point, height: f64) -> Option<&Rc<Pit>> {
        let space = self.space_of(self.room_at(floor, at)?.id);
        let here = self.pits.iter().filter(|pit| pit.space == space);
        Pit::innermost(here.filter(|pit| pit.holds(at, height)))
    }

    /// The places of the supply air terminals of an airspace.
    pub fn supplies(&self, space: usize) -> &[Point] {
        &self.supplies[space]
    }

    fn supplies_by_space(&self) -> Vec<Vec<Point>> {
        let mut found = vec![Vec::new(); self.spaces.len()];
        let terminals = self.project.terminals.iter();
        for one in terminals.filter(|one| one.kind == AirTerminalKind::Supply) {
            if let Some((room, _)) = self.room_beside(one.floor, one.at) {
                found[self.space_of(room.id)].push(one.at);
            }
        }
        found
    }

    fn gaps_in(&self, space: usize) -> Vec<&OpenGap> {
        self.gaps[space].iter().collect()
    }

    fn gaps_by_space(&self, gaps: Vec<OpenGap>) -> Vec<Vec<OpenGap>> {
        let mut found = vec![Vec::new(); self.spaces.len()];
        for gap in gaps {
            found[self.space_of(gap.rooms[0])].push(gap);
        }
        found
    }

    fn build(&self, space: usize, mut barriers: Vec<Vec<Point>>, gaps: &[&OpenGap]) -> Ways {
        let airspace = &self.spaces[space];
        let outlines: Vec<Polygon> = airspace
            .rooms
            .iter()
            .map(|room| self.outline(room.id).clone())
            .collect();
        let first = airspace.rooms[0];
        if first.enclosure == Enclosure::Outdoor {
            barriers.extend(self.buildings(first));
        }
        let boundary = match airspace.rooms.len() {
            1 => outlines[0].clone(),
            _ => {
                barriers.extend(walls::pierced(&airspace.rooms, gaps));
                walls::round_all(&outlines)
            }
        };
        let mut edges: Vec<Segment> = match airspace.rooms.len() {
            1 => boundary.edges().collect(),
            _ => Vec::new(),
        };
        for line in &barriers {
            edges.extend(line.windows(2).map(|pair| Segment::new(pair[0], pair[1])));
        }
        Ways {
            airways: Airways::new(&boundary, &barriers),
            edges,
            outlines,
        }
    }

    /// Walls of the rooms that stand in an outdoor area.
    fn buildings(&self, area: &Room) -> Vec<Vec<Point>> {
        let outline = self.outline(area.id);
        self.rooms_on(area.floor)
            .iter()
            .filter(|room| room.enclosure != Enclosure::Outdoor)
            .filter(|room| {
                room.outline
                    .iter()
                    .any(|at| outline.contains_clear(*at, 0.01))
                    || outline.contains(self.outline(room.id).label_point())
            })
            .map(|room| {
                let mut ring = room.outline.clone();
                ring.extend(room.outline.first());
                ring
            })
            .collect()
    }
}

impl Airspace<'_> {
    /// "G.02 Gas laboratory", or several joined by "and".
    pub fn name(&self) -> String {
        let names: Vec<String> = self.rooms.iter().map(|room| room_name(room)).collect();
        names.join(" and ")
    }
}

/// Whether a partition lies in an outline or crosses it.
fn meets(outline: &Polygon, barrier: &Barrier) -> bool {
    let mut pieces = barrier
        .line
        .windows(2)
        .map(|pair| Segment::new(pair[0], pair[1]));
    barrier.line.iter().any(|at| outline.contains(*at))
        || pieces.any(|piece| outline.edges().any(|edge| edge.meeting(&piece).is_some()))
}

/// "G.02 Gas laboratory".
pub fn room_name(room: &Room) -> String {
    format!("{} {}", room.number, room.name).trim().to_owned()
}

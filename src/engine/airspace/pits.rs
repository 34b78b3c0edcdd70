//! Pits in the floor, each an air of its own: what sinks into one stays in it. A pit ends at the
//! walls of its room, and goes on through an open way.

use std::cell::OnceCell;
use std::rc::Rc;

use crate::engine::airspace::{Airspaces, MarkedPart, Ways, walls};
use crate::geometry::{Airways, Point, Polygon, Segment, clip};
use crate::model::*;

/// A pit, or what walls leave of it in one piece, with the free paths in it.
#[derive(Debug)]
pub struct Pit {
    pub id: MarkedAreaId,
    /// Which part of a pit that walls part, from 0.
    pub part: usize,
    /// Place of its airspace.
    pub space: usize,
    /// The rooms it lies in, the one with most of it first.
    pub rooms: Vec<RoomId>,
    pub outline: Polygon,
    /// What of it lies in each of its rooms and in the open ways between them.
    pub floors: Vec<Polygon>,
    /// Below the finished floor, m; assumed where it is not stated.
    pub depth: f64,
    /// Walls between its rooms, with the open ways cut out of them.
    walls: Vec<Vec<Point>>,
    ways: OnceCell<Rc<Ways>>,
}

impl Pit {
    /// Paths within its sides; what stands in it is not looked at.
    pub fn ways(&self) -> &Rc<Ways> {
        let build = || {
            let lines = self.walls.iter();
            let pieces = lines.flat_map(|line| line.windows(2));
            let walls = pieces.map(|pair| Segment::new(pair[0], pair[1]));
            Rc::new(Ways {
                airways: Airways::new(&self.outline, &self.walls),
                edges: self.outline.edges().chain(walls).collect(),
                outlines: vec![self.outline.clone()],
            })
        };
        self.ways.get_or_init(build)
    }

    /// The room it is named with.
    pub fn room(&self) -> RoomId {
        self.rooms[0]
    }

    /// "pit 3", or "pit 3, part 2".
    pub fn name(&self) -> String {
        match self.part {
            0 => format!("pit {}", self.id),
            part => format!("pit {}, part {}", self.id, part + 1),
        }
    }

    /// "pit-3", or "pit-3-2" for its second part.
    pub fn key(&self) -> String {
        match self.part {
            0 => format!("pit-{}", self.id),
            part => format!("pit-{}-{}", self.id, part + 1),
        }
    }

    /// Whether two are the same air.
    pub fn is_same(&self, other: &Pit) -> bool {
        (self.id, self.part) == (other.id, other.part)
    }

    /// Of those that hold a place the smallest: a sump in the floor of a pit is a pit of its own.
    pub fn innermost<'a>(pits: impl Iterator<Item = &'a Rc<Pit>>) -> Option<&'a Rc<Pit>> {
        pits.min_by(|a, b| {
            let areas = a.outline.area().total_cmp(&b.outline.area());
            areas.then(a.id.cmp(&b.id))
        })
    }

    /// Whether a place at this height, m above finished floor, lies in the pit.
    pub fn holds(&self, at: Point, height: f64) -> bool {
        height < 0.0 && self.outline.contains(at)
    }
}

/// The pits of a project that lie in rooms, in the order of their ids.
pub fn pits(spaces: &Airspaces<'_>) -> Vec<Rc<Pit>> {
    let mut pits: Vec<Rc<Pit>> = Vec::new();
    for marked in spaces
        .marked
        .iter()
        .filter(|one| one.area.kind == MarkedKind::Pit)
    {
        let before = pits.iter().filter(|pit| pit.id == marked.area.id);
        let part = before.count();
        pits.push(Rc::new(pit(spaces, marked, part)));
    }
    pits
}

fn pit(spaces: &Airspaces<'_>, marked: &MarkedPart<'_>, part: usize) -> Pit {
    let rooms: Vec<&Polygon> = marked
        .rooms
        .iter()
        .map(|room| spaces.outline(*room))
        .collect();
    let (walls, floors) = match rooms.len() {
        1 => (Vec::new(), vec![marked.outline.clone()]),
        _ => {
            let airspace = &spaces.spaces[marked.space].rooms;
            let walls = walls::pierced(airspace, &spaces.gaps_in(marked.space));
            let within = |room: &&Polygon| clip::parts(&marked.outline, &[room], &[]);
            let between = clip::parts(&marked.outline, &[&marked.outline], &rooms);
            (
                walls,
                rooms.iter().flat_map(within).chain(between).collect(),
            )
        }
    };
    Pit {
        id: marked.area.id,
        part,
        space: marked.space,
        rooms: marked.rooms.clone(),
        outline: marked.outline.clone(),
        floors,
        depth: marked.area.level_in(&spaces.project.basis),
        walls,
        ways: OnceCell::new(),
    }
}

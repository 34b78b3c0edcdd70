//! Pits in the floor, each an air of its own: what sinks into one stays in it.

use std::cell::OnceCell;
use std::rc::Rc;

use crate::engine::airspace::{Airspaces, Ways};
use crate::geometry::{Airways, Point, Polygon};
use crate::model::*;

/// A pit with the free paths in it.
#[derive(Debug)]
pub struct Pit {
    pub id: MarkedAreaId,
    /// The room it lies in.
    pub room: RoomId,
    pub outline: Polygon,
    /// Below the finished floor, m; assumed where it is not stated.
    pub depth: f64,
    ways: OnceCell<Rc<Ways>>,
}

impl Pit {
    /// Paths within its sides; what stands in it is not looked at.
    pub fn ways(&self) -> &Rc<Ways> {
        let build = || {
            Rc::new(Ways {
                airways: Airways::new(&self.outline, &[]),
                edges: self.outline.edges().collect(),
                outlines: vec![self.outline.clone()],
            })
        };
        self.ways.get_or_init(build)
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

/// The pits of a project that lie in a room, in the order of their ids.
pub fn pits(spaces: &Airspaces<'_>) -> Vec<Rc<Pit>> {
    let marked = spaces.project.marked.iter();
    let pits = marked.filter(|one| one.kind == MarkedKind::Pit);
    let pit = |one: &MarkedArea| {
        let outline = Polygon::new(one.outline.clone());
        let room = spaces.room_at(one.floor, outline.label_point())?;
        Some(Rc::new(Pit {
            id: one.id,
            room: room.id,
            depth: one.level_in(&spaces.project.basis),
            outline,
            ways: OnceCell::new(),
        }))
    };
    pits.filter_map(pit).collect()
}

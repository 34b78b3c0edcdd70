//! The airs within one airspace: the room itself, the extract of a cupboard, a pit.

use std::rc::Rc;

use crate::engine::airspace::Pit;
use crate::engine::coverage::demands::{Group, Need};
use crate::geometry::Point;

/// What air of an airspace a demand or a detector is in.
#[derive(Debug, Clone, Default)]
pub enum Within {
    #[default]
    Room,
    /// The extract of a cupboard: a detector in its reach is in the extract too.
    Duct,
    /// A pit: a detector below the floor within its sides is in it.
    Pit(Rc<Pit>),
}

impl Within {
    /// Whether two are in the same air.
    pub fn is_same(&self, other: &Within) -> bool {
        match (self, other) {
            (Within::Pit(own), Within::Pit(other)) => own.is_same(other),
            _ => std::mem::discriminant(self) == std::mem::discriminant(other),
        }
    }

    /// What a detector of a group is in at a place and, where that is settled, height.
    pub fn at(needs: &[Need], group: &Group, at: Point, height: Option<f64>) -> Within {
        let of_group = || group.needs.iter().map(|idx| &needs[*idx]);
        let holding = of_group().filter_map(|need| match &need.within {
            Within::Pit(pit) => height.is_some_and(|it| pit.holds(at, it)).then_some(pit),
            _ => None,
        });
        if let Some(pit) = Pit::innermost(holding) {
            return Within::Pit(pit.clone());
        }
        let in_it = |need: &Need| need.off(at) <= need.demand.reach.value;
        let in_duct = of_group().any(|need| matches!(need.within, Within::Duct) && in_it(need));
        if in_duct { Within::Duct } else { Within::Room }
    }
}

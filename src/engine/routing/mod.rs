//! Cable routes in three dimensions: the cheapest ways between panels, devices and risers.
//!
//! A route runs at cable height along orthogonal lines, prefers containment and corridors, pays
//! for every wall it goes through and for turns, and drops to what it connects. It decides
//! nothing about which device follows which: that is `bus`.

mod grid;
mod network;
mod path;
mod plan;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use crate::engine::formula::Rule;
use crate::engine::results::{Crossing, PathPoint};
use crate::geometry::Point;
use crate::model::{Citation, DeviceId, FloorId, PanelId, Project};

pub use plan::WALL_THICKEST_M;

use network::Network;

/// The rules of this module.
pub static RULES: &[&Rule] = &[&ROUTE];

/// How routes are chosen.
pub static ROUTE: Rule = Rule {
    id: "routing.route",
    title: "Route of a cable",
    statement: "A cable takes the cheapest way along lines square to the drawing, just below the \
                ceiling: a metre counts as one, in containment or a corridor as less (in \
                containment along a corridor both apply), outdoors as three; every wall crossed \
                counts as the detour it is worth, above or through an opening a fifth of that; a \
                turn counts as 0.1 m.",
    citation: Citation::CommonPractice,
};

/// Something a cable ends at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Terminal {
    Panel(PanelId),
    Device(DeviceId),
}

/// Where a terminal is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TerminalPlace {
    pub floor: FloorId,
    pub at: Point,
    /// Above finished floor, m.
    pub height: f64,
}

/// A way between two terminals.
#[derive(Debug, Clone, PartialEq)]
pub struct Route {
    /// Corners in order, from terminal to terminal.
    pub path: Vec<PathPoint>,
    /// Metres along the floors.
    pub horizontal: f64,
    /// Metres up and down, risers included.
    pub vertical: f64,
    /// Every wall and slab gone through, in order.
    pub crossings: Vec<Crossing>,
}

impl Route {
    /// Metres of route, without terminations and slack.
    pub fn length(&self) -> f64 {
        self.horizontal + self.vertical
    }

    /// The same route from its other end.
    pub fn reversed(mut self) -> Self {
        self.path.reverse();
        self.crossings.reverse();
        self
    }
}

/// The cable graph of a project, for any number of questions.
#[derive(Debug, Clone)]
pub struct Router {
    network: Network,
    terminals: BTreeMap<Terminal, usize>,
}

impl Router {
    /// Builds the graph of every floor, joined by the risers.
    pub fn new(project: &Project) -> Self {
        let mut places: BTreeMap<Terminal, TerminalPlace> = BTreeMap::new();
        for panel in &project.panels {
            let (floor, at, height) = (panel.floor, panel.at, panel.height.get());
            places.insert(
                Terminal::Panel(panel.id),
                TerminalPlace { floor, at, height },
            );
        }
        for device in &project.devices {
            let (floor, at, height) = (device.floor, device.at, device.height.get());
            places.insert(
                Terminal::Device(device.id),
                TerminalPlace { floor, at, height },
            );
        }
        let listed: Vec<TerminalPlace> = places.values().copied().collect();
        Router {
            network: Network::new(project, &listed),
            terminals: places.into_keys().zip(0..).collect(),
        }
    }

    /// The cheapest route; `None` where no riser joins the two floors, or a terminal is not in
    /// the project. From `b` to `a` it is the same route.
    pub fn route(&self, a: Terminal, b: Terminal) -> Option<Route> {
        let (first, second) = (*self.terminals.get(&a)?, *self.terminals.get(&b)?);
        if first <= second {
            self.network.route(first, second)
        } else {
            self.network.route(second, first).map(Route::reversed)
        }
    }

    /// Metres of the cheapest routes between all of these, symmetric; `None` where there is none.
    pub fn lengths(&self, terminals: &[Terminal]) -> Vec<Vec<Option<f64>>> {
        let numbers: Vec<Option<usize>> = terminals
            .iter()
            .map(|terminal| self.terminals.get(terminal).copied())
            .collect();
        let n = terminals.len();
        let mut lengths = vec![vec![None; n]; n];
        for i in 0..n {
            let Some(from) = numbers[i] else { continue };
            let later: Vec<usize> = (0..n)
                .filter(|&j| numbers[j].is_some_and(|to| to >= from) && j != i)
                .collect();
            let targets: Vec<usize> = later.iter().filter_map(|&j| numbers[j]).collect();
            let found = self.network.lengths(from, &targets);
            for (&j, length) in later.iter().zip(found) {
                lengths[i][j] = length;
                lengths[j][i] = length;
            }
            lengths[i][i] = Some(0.0);
        }
        lengths
    }

    /// How many nodes and edges the graph has.
    pub fn size(&self) -> (usize, usize) {
        self.network.size()
    }
}

//! Shortest ways in a sparse graph with a small penalty for each turn (Dijkstra). No domain words.
//!
//! Costs are whole numbers, so that equal ways are equal and ties always fall the same way:
//! to the lower state number.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// A directed link as stored.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Link {
    pub to: u32,
    pub cost: u32,
    /// 0 or 1: one of two directions, changing between them costs a turn; 2: neither.
    pub lane: u8,
    /// The caller's number of the undirected edge.
    pub edge: u32,
}

/// A graph with undirected edges, in compressed rows.
#[derive(Debug, Clone, Default)]
pub struct Graph {
    first: Vec<u32>,
    links: Vec<Link>,
    turn_cost: u32,
}

/// An undirected edge given to [`Graph::new`]; its place in the list is its number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    pub a: u32,
    pub b: u32,
    pub cost: u32,
    pub lane: u8,
}

/// The ways from one node to all others.
#[derive(Debug, Clone)]
pub struct Ways {
    start: u32,
    cost: Vec<u32>,
    /// Per state the state before it and the edge between.
    before: Vec<(u32, u32)>,
}

const UNREACHED: u32 = u32::MAX;

impl Graph {
    /// The graph of `n` nodes with these edges.
    pub fn new(n: usize, edges: &[Edge], turn_cost: u32) -> Self {
        let mut first = vec![0u32; n + 1];
        for edge in edges {
            first[edge.a as usize + 1] += 1;
            first[edge.b as usize + 1] += 1;
        }
        for node in 0..n {
            first[node + 1] += first[node];
        }
        let mut free: Vec<u32> = first[..n].to_vec();
        let none = Link {
            to: 0,
            cost: 0,
            lane: 2,
            edge: 0,
        };
        let mut links = vec![none; edges.len() * 2];
        for (number, edge) in (0u32..).zip(edges) {
            for (from, to) in [(edge.a, edge.b), (edge.b, edge.a)] {
                let slot = &mut free[from as usize];
                let (cost, lane) = (edge.cost, edge.lane);
                links[*slot as usize] = Link {
                    to,
                    cost,
                    lane,
                    edge: number,
                };
                *slot += 1;
            }
        }
        Graph {
            first,
            links,
            turn_cost,
        }
    }

    /// How many nodes there are.
    pub fn len(&self) -> usize {
        self.first.len().saturating_sub(1)
    }

    /// Whether there is no node.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The links that leave a node.
    pub fn links(&self, node: u32) -> &[Link] {
        let at = node as usize;
        &self.links[self.first[at] as usize..self.first[at + 1] as usize]
    }

    /// Cheapest ways from `start`; with `goal` the search ends as soon as that node is settled.
    pub fn ways(&self, start: u32, goal: Option<u32>) -> Ways {
        let mut ways = Ways {
            start,
            cost: vec![UNREACHED; self.len() * 2],
            before: vec![(UNREACHED, UNREACHED); self.len() * 2],
        };
        let mut heap: BinaryHeap<Reverse<u64>> = BinaryHeap::new();
        for state in [start * 2, start * 2 + 1] {
            ways.cost[state as usize] = 0;
            heap.push(Reverse(u64::from(state)));
        }
        while let Some(Reverse(key)) = heap.pop() {
            let (cost, state) = ((key >> 32) as u32, key as u32);
            if cost > ways.cost[state as usize] {
                continue;
            }
            let node = state / 2;
            if goal == Some(node) {
                break;
            }
            for link in self.links(node) {
                let lane = state % 2;
                let turns = link.lane != 2 && u32::from(link.lane) != lane && node != start;
                let next_lane = if link.lane == 2 {
                    lane
                } else {
                    u32::from(link.lane)
                };
                let turn = if turns { self.turn_cost } else { 0 };
                let next_cost = cost.saturating_add(link.cost).saturating_add(turn);
                let next = link.to * 2 + next_lane;
                if next_cost < ways.cost[next as usize] {
                    ways.cost[next as usize] = next_cost;
                    ways.before[next as usize] = (state, link.edge);
                    heap.push(Reverse(u64::from(next_cost) << 32 | u64::from(next)));
                }
            }
        }
        ways
    }
}

impl Ways {
    /// Cost of the cheapest way to a node, turns included; `None` where there is no way.
    pub fn cost(&self, node: u32) -> Option<u32> {
        let at = node as usize * 2;
        Some(self.cost[at].min(self.cost[at + 1])).filter(|&cost| cost != UNREACHED)
    }

    /// The edges of the cheapest way in order, each with the node it leads to.
    pub fn way_to(&self, node: u32) -> Option<Vec<(u32, u32)>> {
        self.cost(node)?;
        let at = node * 2;
        let cheaper = self.cost[at as usize + 1] < self.cost[at as usize];
        let mut state = at + u32::from(cheaper);
        let mut way = Vec::new();
        while state / 2 != self.start {
            let (before, edge) = self.before[state as usize];
            way.push((edge, state / 2));
            state = before;
        }
        way.reverse();
        Some(way)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Vec<Edge> {
        let edge = |a, b, cost, lane| Edge { a, b, cost, lane };
        vec![
            edge(0, 1, 5, 0),
            edge(1, 3, 5, 1),
            edge(0, 2, 4, 1),
            edge(2, 3, 7, 0),
        ]
    }

    #[test]
    fn the_cheaper_of_two_ways_is_taken_with_its_turn_counted() {
        let ways = Graph::new(4, &square(), 3).ways(0, None);
        assert_eq!(ways.cost(3), Some(13));
        assert_eq!(ways.way_to(3), Some(vec![(0, 1), (1, 3)]));
        assert_eq!(ways.cost(2), Some(4));
    }

    #[test]
    fn a_straight_way_beats_one_that_turns_for_the_same_length() {
        let edge = |a, b, lane| Edge {
            a,
            b,
            cost: 10,
            lane,
        };
        let edges = [edge(0, 1, 0), edge(1, 4, 0), edge(0, 2, 1), edge(2, 4, 0)];
        let ways = Graph::new(5, &edges, 1).ways(0, None);
        assert_eq!(ways.way_to(4), Some(vec![(0, 1), (1, 4)]));
        assert_eq!(ways.cost(3), None);
        assert_eq!(ways.way_to(3), None);
    }
}

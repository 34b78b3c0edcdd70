//! The grids of all floors, containment and risers, joined into one graph.

use std::collections::BTreeMap;

use crate::engine::results::CrossingKind;
use crate::engine::routing::grid::{self, Grid};
use crate::engine::routing::plan::{FloorPlan, Run};
use crate::engine::routing::{Route, TerminalPlace, path};
use crate::engine::solve::shortest::{Edge, Graph};
use crate::geometry::{Point, Segment};
use crate::model::basis::{CONTAINMENT_FACTOR, CROSSING_COST};
use crate::model::{Containment, FloorId, Project};

/// Costs are counted in tenths of a millimetre.
const COST_PER_M: f64 = 10_000.0;
/// A turn counts as so many metres.
const TURN_M: f64 = 0.1;
/// A crossing through or above an opening counts as this share of one through a wall.
const OPENING_SHARE: f64 = 0.2;

/// A node: a place at its cable height.
#[derive(Debug, Clone, Copy)]
pub struct Node {
    pub floor: FloorId,
    pub at: Point,
    pub height: f64,
}

/// An edge, as a cable takes it.
#[derive(Debug, Clone, Copy)]
pub struct Way {
    pub a: u32,
    pub b: u32,
    pub kind: WayKind,
}

/// What an edge is.
#[derive(Debug, Clone, Copy)]
pub enum WayKind {
    /// Along a run from distance `from` (node a) to `to` (node b) at a height.
    Along {
        run: usize,
        from: f64,
        to: f64,
        height: f64,
    },
    /// Up or down between two heights at one place.
    Step,
    /// Up a riser through one slab; the length is the rise.
    Rise { length: f64 },
}

/// The graph.
#[derive(Debug, Clone)]
pub struct Network {
    graph: Graph,
    pub nodes: Vec<Node>,
    pub ways: Vec<Way>,
    pub runs: Vec<Run>,
    pub ends: Vec<Option<End>>,
}

/// Where a terminal joins the graph.
#[derive(Debug, Clone)]
pub struct End {
    pub place: TerminalPlace,
    pub node: u32,
    /// From the terminal to the node, where they are not at one place.
    pub stub: Option<Run>,
}

struct Builder {
    nodes: Vec<Node>,
    ways: Vec<Way>,
    runs: Vec<Run>,
    edges: Vec<Edge>,
    crossing_cost: f64,
    containment_factor: f64,
}

/// The places of one floor and the nodes found for them.
struct FloorPart {
    plan: FloorPlan,
    first: usize,
    end: usize,
}

impl Network {
    /// Builds the graph; the ends are those of `terminals`, in order.
    pub fn new(project: &Project, terminals: &[TerminalPlace]) -> Self {
        let mut builder = Builder {
            nodes: Vec::new(),
            ways: Vec::new(),
            runs: Vec::new(),
            edges: Vec::new(),
            crossing_cost: project.basis.get(&CROSSING_COST),
            containment_factor: project.basis.get(&CONTAINMENT_FACTOR),
        };
        let mut parts: BTreeMap<FloorId, FloorPart> = BTreeMap::new();
        for floor in &project.floors {
            let part = builder.floor(project, floor.id, terminals);
            parts.insert(floor.id, part);
        }
        let needed = builder.risers(project, &parts);
        let ends: Vec<Option<End>> = terminals
            .iter()
            .map(|&place| builder.end(parts.get(&place.floor)?, place))
            .collect();
        let must: Vec<u32> = needed
            .into_iter()
            .chain(ends.iter().flatten().map(|end| end.node))
            .collect();
        builder.join_parts(&parts, &must);
        let turn = (TURN_M * COST_PER_M) as u32;
        Network {
            graph: Graph::new(builder.nodes.len(), &builder.edges, turn),
            nodes: builder.nodes,
            ways: builder.ways,
            runs: builder.runs,
            ends,
        }
    }

    /// The cheapest route between two ends.
    pub fn route(&self, from: usize, to: usize) -> Option<Route> {
        let (start, end) = (self.ends[from].as_ref()?, self.ends[to].as_ref()?);
        let way = self
            .graph
            .ways(start.node, Some(end.node))
            .way_to(end.node)?;
        Some(path::route(self, start, end, &way))
    }

    /// Metres of the cheapest routes from one end to others.
    pub fn lengths(&self, from: usize, targets: &[usize]) -> Vec<Option<f64>> {
        let Some(start) = &self.ends[from] else {
            return vec![None; targets.len()];
        };
        let ways = self.graph.ways(start.node, None);
        targets
            .iter()
            .map(|&to| {
                let end = self.ends[to].as_ref()?;
                Some(path::length(self, start, end, &ways.way_to(end.node)?))
            })
            .collect()
    }

    /// Nodes and edges.
    pub fn size(&self) -> (usize, usize) {
        (self.nodes.len(), self.ways.len())
    }
}

impl Builder {
    fn floor(
        &mut self,
        project: &Project,
        floor: FloorId,
        terminals: &[TerminalPlace],
    ) -> FloorPart {
        let plan = FloorPlan::new(project, floor);
        let here = terminals.iter().filter(|place| place.floor == floor);
        let mut exact: Vec<Point> = here.map(|place| plan.entry(place.at)).collect();
        exact.extend(risers_on(project, floor).map(|at| plan.entry(at)));
        let trays: Vec<&Containment> = project
            .containments
            .iter()
            .filter(|tray| tray.floor == floor)
            .collect();
        let (tray_heights, tray_runs): (Vec<f64>, Vec<Vec<Run>>) =
            trays.iter().map(|tray| tray_runs(&plan, tray)).unzip();
        exact.extend(trays.iter().flat_map(|tray| tray.line.iter().copied()));
        let others: Vec<Point> = tray_runs
            .iter()
            .flatten()
            .flat_map(|run| {
                run.pieces
                    .iter()
                    .map(|piece| run.point_at((piece.from + piece.to) / 2.0))
            })
            .collect();
        let first = self.nodes.len();
        let grid = grid::lay_out(&plan, &exact, &others);
        let end = first + grid.nodes.len();
        self.grid(floor, grid);
        for ((tray, runs), height) in trays.into_iter().zip(tray_runs).zip(tray_heights) {
            self.containment(tray, runs, height, (first, end));
        }
        FloorPart {
            plan,
            first,
            end: self.nodes.len().max(end),
        }
    }

    fn grid(&mut self, floor: FloorId, grid: Grid) {
        let (first, first_run) = (self.nodes.len(), self.runs.len());
        self.nodes.extend(grid.nodes.iter().map(|node| Node {
            floor,
            at: node.at,
            height: node.height,
        }));
        self.runs.extend(grid.runs);
        for edge in grid.edges {
            let nodes = (first + edge.a, first + edge.b);
            self.along(
                nodes,
                first_run + edge.run,
                (edge.from, edge.to),
                edge.lane,
                None,
            );
        }
    }

    /// Adds an edge along a run; `tray` is the height in containment.
    fn along(
        &mut self,
        (a, b): (usize, usize),
        run: usize,
        (from, to): (f64, f64),
        lane: u8,
        tray: Option<f64>,
    ) {
        let line = &self.runs[run];
        let mut cost = 0.0;
        for (piece, shared) in line.pieces_between(from, to) {
            let factor = match tray {
                Some(_) => piece.factor.min(1.0) * self.containment_factor,
                None => piece.factor,
            };
            cost += shared * factor;
        }
        let ends = (self.nodes[a].height, self.nodes[b].height);
        let lowest = line.lowest_between(from, to);
        let height = tray.unwrap_or(lowest.min(ends.0.max(ends.1)));
        for pass in line.passes_between(from, to, height) {
            cost += (pass.to - pass.from)
                + match pass.through {
                    CrossingKind::Opening => self.crossing_cost * OPENING_SHARE,
                    _ => self.crossing_cost,
                };
        }
        cost += (ends.0 - height).abs() + (ends.1 - height).abs();
        self.push(
            a,
            b,
            cost,
            lane,
            WayKind::Along {
                run,
                from,
                to,
                height,
            },
        );
    }

    fn push(&mut self, a: usize, b: usize, cost_m: f64, lane: u8, kind: WayKind) {
        let (a, b) = (a as u32, b as u32);
        let cost = (cost_m * COST_PER_M).round().clamp(1.0, 1e9) as u32;
        self.edges.push(Edge { a, b, cost, lane });
        self.ways.push(Way { a, b, kind });
    }

    /// A containment: nodes at its corners and wherever the grid has a node on it.
    fn containment(
        &mut self,
        tray: &Containment,
        runs: Vec<Run>,
        height: f64,
        grid: (usize, usize),
    ) {
        let mut corner: Option<usize> = None;
        for run in runs {
            let line = Segment::new(run.start, run.end);
            let mut stops: Vec<(f64, Option<usize>)> = (grid.0..grid.1)
                .filter(|&node| line.distance_to(self.nodes[node].at) <= 1e-6)
                .map(|node| (run.start.distance(self.nodes[node].at), Some(node)))
                .collect();
            for end in [0.0, run.length] {
                if !stops.iter().any(|(along, _)| (along - end).abs() <= 1e-6) {
                    stops.push((end, None));
                }
            }
            stops.sort_by(|a, b| a.0.total_cmp(&b.0));
            let lane = lane_of(run.start, run.end);
            let (start, length, number) = (run.start, run.length, self.runs.len());
            let end = run.end;
            self.runs.push(run);
            let mut last: Option<(f64, usize)> = None;
            for (along, grid_node) in stops {
                let node = match corner.take_if(|_| last.is_none()) {
                    Some(node) => node,
                    None => {
                        let at = start.lerp(end, along / length);
                        self.nodes.push(Node {
                            floor: tray.floor,
                            at,
                            height,
                        });
                        let node = self.nodes.len() - 1;
                        if let Some(below) = grid_node {
                            let step = (self.nodes[below].height - height).abs();
                            self.push(below, node, step, 2, WayKind::Step);
                        }
                        node
                    }
                };
                if let Some((from, before)) = last {
                    self.along((before, node), number, (from, along), lane, Some(height));
                }
                last = Some((along, node));
            }
            corner = last.map(|(_, node)| node);
        }
    }

    /// Joins the floors; gives the nodes of the risers.
    fn risers(&mut self, project: &Project, parts: &BTreeMap<FloorId, FloorPart>) -> Vec<u32> {
        let mut nodes = Vec::new();
        let upwards = project.floors_upwards();
        for riser in &project.risers {
            let place = |id: FloorId| upwards.iter().position(|floor| floor.id == id);
            let (Some(a), Some(b)) = (place(riser.lowest), place(riser.highest)) else {
                continue;
            };
            let mut below: Option<(usize, f64)> = None;
            for floor in &upwards[a.min(b)..=a.max(b)] {
                let Some(part) = parts.get(&floor.id) else {
                    continue;
                };
                let entry = part.plan.entry(riser.at);
                let Some(node) = self.nearest(part, entry) else {
                    continue;
                };
                let datum = floor.elevation.get() + self.nodes[node].height;
                if let Some((under, from)) = below {
                    let length = (datum - from).abs();
                    let cost = length + self.crossing_cost;
                    self.push(under, node, cost, 2, WayKind::Rise { length });
                }
                nodes.push(node as u32);
                below = Some((node, datum));
            }
        }
        nodes
    }

    fn end(&mut self, part: &FloorPart, place: TerminalPlace) -> Option<End> {
        let node = self.nearest(part, part.plan.entry(place.at))?;
        let at = self.nodes[node].at;
        let stub = (at.distance(place.at) > 1e-6).then(|| part.plan.run(place.at, at));
        Some(End {
            place,
            node: node as u32,
            stub,
        })
    }

    /// The node at a place, or else the nearest.
    fn nearest(&self, part: &FloorPart, at: Point) -> Option<usize> {
        let far = |node: usize| self.nodes[node].at.distance(at);
        (part.first..part.end).min_by(|&a, &b| far(a).total_cmp(&far(b)).then(a.cmp(&b)))
    }

    /// Joins what the square lines leave apart on a floor, by the shortest straight runs.
    fn join_parts(&mut self, parts: &BTreeMap<FloorId, FloorPart>, must: &[u32]) {
        for part in parts.values() {
            loop {
                let groups = self.groups(part);
                let size = |group: usize| groups.iter().filter(|&&other| other == group).count();
                let Some(main) = (0..groups.len())
                    .filter(|&g| groups[g] == g)
                    .max_by(|&a, &b| size(a).cmp(&size(b)).then(b.cmp(&a)))
                else {
                    break;
                };
                let apart = must.iter().map(|&node| node as usize).find(|&node| {
                    (part.first..part.end).contains(&node) && groups[node - part.first] != main
                });
                let Some(apart) = apart else { break };
                let far = |node: usize| self.nodes[node].at.distance(self.nodes[apart].at);
                let Some(joint) = (part.first..part.end)
                    .filter(|node| groups[node - part.first] == main)
                    .min_by(|&a, &b| far(a).total_cmp(&far(b)).then(a.cmp(&b)))
                else {
                    break;
                };
                let run = part.plan.run(self.nodes[apart].at, self.nodes[joint].at);
                let length = run.length;
                self.runs.push(run);
                self.along((apart, joint), self.runs.len() - 1, (0.0, length), 2, None);
            }
        }
    }

    /// For each node of a floor the lowest node it is joined with, counted from the floor's first.
    fn groups(&self, part: &FloorPart) -> Vec<usize> {
        let mut above: Vec<usize> = (0..part.end - part.first).collect();
        fn root(above: &mut [usize], mut node: usize) -> usize {
            while above[node] != node {
                above[node] = above[above[node]];
                node = above[node];
            }
            node
        }
        for way in &self.ways {
            let (a, b) = (way.a as usize, way.b as usize);
            let here = part.first..part.end;
            if here.contains(&a) && here.contains(&b) {
                let (a, b) = (
                    root(&mut above, a - part.first),
                    root(&mut above, b - part.first),
                );
                above[a.max(b)] = a.min(b);
            }
        }
        (0..above.len())
            .map(|node| root(&mut above, node))
            .collect()
    }
}

/// The height of a containment, the lowest cable height along it where none is given, and what it
/// goes through there.
fn tray_runs(plan: &FloorPlan, tray: &Containment) -> (f64, Vec<Run>) {
    let runs = |plan: &FloorPlan| -> Vec<Run> {
        let pairs = tray.line.windows(2);
        pairs.map(|pair| plan.run(pair[0], pair[1])).collect()
    };
    let height = tray.height.map_or_else(
        || {
            let pieces = runs(plan).into_iter().flat_map(|run| run.pieces);
            pieces.map(|piece| piece.height).fold(1e9, f64::min)
        },
        |height| height.get(),
    );
    (height, runs(&plan.at_height(height)))
}

fn risers_on(project: &Project, floor: FloorId) -> impl Iterator<Item = Point> + '_ {
    let level = move |id: FloorId| project.floors.get(id).map(|floor| floor.elevation.get());
    project.risers.iter().filter_map(move |riser| {
        let (here, a, b) = (level(floor)?, level(riser.lowest)?, level(riser.highest)?);
        (a.min(b) <= here && here <= a.max(b)).then_some(riser.at)
    })
}

fn lane_of(a: Point, b: Point) -> u8 {
    if (a.y - b.y).abs() <= 1e-6 {
        0
    } else if (a.x - b.x).abs() <= 1e-6 {
        1
    } else {
        2
    }
}

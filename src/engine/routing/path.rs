//! A way through the graph as the corners, lengths and crossings of a cable.

use crate::engine::results::{Crossing, CrossingKind, PathPoint};
use crate::engine::routing::Route;
use crate::engine::routing::network::{End, Network, Way, WayKind};
use crate::engine::routing::plan::Run;
use crate::geometry::Point;
use crate::model::FloorId;

/// The route between two ends along the edges of `way`. Between two ends one above the other the
/// cable goes straight up or down.
pub fn route(network: &Network, start: &End, end: &End, way: &[(u32, u32)]) -> Route {
    let (horizontal, vertical) = measures(network, start, end, way);
    let mut route = Route {
        path: Vec::new(),
        horizontal,
        vertical,
        crossings: Vec::new(),
    };
    if one_above_the_other(start, end) {
        let point = |end: &End| PathPoint {
            floor: end.place.floor,
            at: end.place.at,
            height: end.place.height,
        };
        route.path = straightened(vec![point(start), point(end)]);
        return route;
    }
    leave(network, start, &mut route, false);
    for &(edge, towards) in way {
        let step = &network.ways[edge as usize];
        follow(network, step, step.a == towards, &mut route);
    }
    leave(network, end, &mut route, true);
    route.path = straightened(route.path);
    route
}

/// Metres of the route, as [`route`] measures it.
pub fn length(network: &Network, start: &End, end: &End, way: &[(u32, u32)]) -> f64 {
    let (horizontal, vertical) = measures(network, start, end, way);
    horizontal + vertical
}

fn measures(network: &Network, start: &End, end: &End, way: &[(u32, u32)]) -> (f64, f64) {
    if one_above_the_other(start, end) {
        return (0.0, (start.place.height - end.place.height).abs());
    }
    let stub = |end: &End| end.stub.as_ref().map_or(0.0, |run| run.length);
    let mut horizontal = stub(start) + stub(end);
    let mut height = network.nodes[start.node as usize].height;
    let mut vertical = (height - start.place.height).abs();
    for &(edge, towards) in way {
        let next = network.nodes[towards as usize].height;
        match network.ways[edge as usize].kind {
            WayKind::Along {
                from,
                to,
                height: run_height,
                ..
            } => {
                horizontal += (to - from).abs();
                vertical += (run_height - height).abs() + (next - run_height).abs();
            }
            WayKind::Step => vertical += (next - height).abs(),
            WayKind::Rise { length } => vertical += length,
        }
        height = next;
    }
    vertical += (height - end.place.height).abs();
    (horizontal, vertical)
}

fn one_above_the_other(start: &End, end: &End) -> bool {
    let (a, b) = (start.place, end.place);
    a.floor == b.floor && a.at.distance(b.at) <= 1e-6
}

/// From the terminal up to its node, or, `arriving`, from the node down to the terminal.
fn leave(network: &Network, end: &End, route: &mut Route, arriving: bool) {
    let node = &network.nodes[end.node as usize];
    let floor = end.place.floor;
    let mut points = vec![
        PathPoint {
            floor,
            at: end.place.at,
            height: end.place.height,
        },
        PathPoint {
            floor,
            at: end.place.at,
            height: node.height,
        },
        PathPoint {
            floor,
            at: node.at,
            height: node.height,
        },
    ];
    if let Some(run) = &end.stub {
        let ends = if arriving {
            (run.length, 0.0)
        } else {
            (0.0, run.length)
        };
        crossings(run, floor, ends, node.height, &mut route.crossings);
    }
    if arriving {
        points.reverse();
    }
    route.path.extend(points);
}

fn follow(network: &Network, way: &Way, backwards: bool, route: &mut Route) {
    let (mut a, mut b) = (network.nodes[way.a as usize], network.nodes[way.b as usize]);
    if backwards {
        std::mem::swap(&mut a, &mut b);
    }
    let mut push = |floor: FloorId, at: Point, height: f64| {
        route.path.push(PathPoint { floor, at, height });
    };
    match way.kind {
        WayKind::Along {
            run,
            from,
            to,
            height,
        } => {
            push(a.floor, a.at, height);
            push(b.floor, b.at, height);
            push(b.floor, b.at, b.height);
            let ends = if backwards { (to, from) } else { (from, to) };
            let run = &network.runs[run];
            crossings(run, a.floor, ends, height, &mut route.crossings);
        }
        WayKind::Step => push(b.floor, b.at, b.height),
        WayKind::Rise { .. } => {
            push(b.floor, b.at, b.height);
            // The slab is that of the upper floor.
            let upper = network.nodes[way.b as usize];
            let through = CrossingKind::Slab;
            route.crossings.push(Crossing {
                floor: upper.floor,
                at: upper.at,
                through,
            });
        }
    }
}

fn crossings(
    run: &Run,
    floor: FloorId,
    (from, to): (f64, f64),
    height: f64,
    into: &mut Vec<Crossing>,
) {
    let mut found: Vec<Crossing> = run
        .passes_between(from, to, height)
        .map(|pass| Crossing {
            floor,
            at: run.point_at((pass.from + pass.to) / 2.0),
            through: pass.through,
        })
        .collect();
    if from > to {
        found.reverse();
    }
    into.extend(found);
}

/// The path without repeated points and without points on a straight way.
fn straightened(path: Vec<PathPoint>) -> Vec<PathPoint> {
    let mut kept: Vec<PathPoint> = Vec::with_capacity(path.len());
    for point in path {
        if kept.last().is_some_and(|last| same(last, &point)) {
            continue;
        }
        while kept.len() >= 2 && straight(&kept[kept.len() - 2], &kept[kept.len() - 1], &point) {
            kept.pop();
        }
        kept.push(point);
    }
    kept
}

fn same(a: &PathPoint, b: &PathPoint) -> bool {
    a.floor == b.floor && a.at.distance(b.at) <= 1e-6 && (a.height - b.height).abs() <= 1e-9
}

fn straight(a: &PathPoint, b: &PathPoint, c: &PathPoint) -> bool {
    if a.floor != b.floor || b.floor != c.floor {
        return false;
    }
    let (u, v) = (leg(a, b), leg(b, c));
    let dot = u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
    let size = |w: [f64; 3]| (w[0] * w[0] + w[1] * w[1] + w[2] * w[2]).sqrt();
    dot >= size(u) * size(v) * (1.0 - 1e-12)
}

fn leg(a: &PathPoint, b: &PathPoint) -> [f64; 3] {
    [b.at.x - a.at.x, b.at.y - a.at.y, b.height - a.height]
}

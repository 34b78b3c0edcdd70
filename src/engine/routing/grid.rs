//! The lines of a floor that cables may follow, and the nodes where they cross.
//!
//! Lines start from the places that matter (terminals, risers, containment, openings, inset room
//! corners) and reach through one wall to either side, so the grid stays small.

use crate::engine::routing::plan::{FloorPlan, Run};
use crate::geometry::{Bounds, Point};

/// A node of the grid.
#[derive(Debug, Clone, Copy)]
pub struct GridNode {
    pub at: Point,
    pub height: f64,
}

/// Two neighbouring nodes on a line.
#[derive(Debug, Clone, Copy)]
pub struct GridEdge {
    pub a: usize,
    pub b: usize,
    /// The line, as a place in [`Grid::runs`], and the distances of the nodes along it.
    pub run: usize,
    pub from: f64,
    pub to: f64,
    /// 0 along x, 1 along y.
    pub lane: u8,
}

/// The grid of one floor.
#[derive(Debug, Clone, Default)]
pub struct Grid {
    pub nodes: Vec<GridNode>,
    pub edges: Vec<GridEdge>,
    pub runs: Vec<Run>,
}

/// A line at one coordinate with the stretches of it that are in use.
struct Line {
    at: f64,
    run: Run,
    spans: Vec<(f64, f64)>,
}

/// Room the grid has round everything on the floor, m.
const MARGIN_M: f64 = 0.5;

/// Places nearer than this share a line, m; exact places keep their own.
const SHARED_LINE_M: f64 = 0.001;

/// Lays out the grid. `exact` places get a node each; `others` only shape it.
pub fn lay_out(plan: &FloorPlan, exact: &[Point], others: &[Point]) -> Grid {
    let mut places: Vec<Point> = exact.to_vec();
    places.extend_from_slice(others);
    places.extend(plan.opening_middles());
    places.extend(plan.inset_corners());
    let extent: Vec<Point> = places.iter().copied().chain(plan.corners()).collect();
    let Some(bounds) = Bounds::of(&extent) else {
        return Grid::default();
    };
    let low = Point::new(bounds.min.x - MARGIN_M, bounds.min.y - MARGIN_M);
    let high = Point::new(bounds.max.x + MARGIN_M, bounds.max.y + MARGIN_M);
    places.extend([low, high]);
    let along_x = lines(plan, &places, exact.len(), (low, high), false);
    let along_y = lines(plan, &places, exact.len(), (low, high), true);
    cross(plan, along_x, along_y, (low, high))
}

fn lines(
    plan: &FloorPlan,
    places: &[Point],
    n_exact: usize,
    (low, high): (Point, Point),
    upright: bool,
) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for (idx, place) in places.iter().enumerate() {
        let (at, along) = if upright {
            (place.x, place.y - low.y)
        } else {
            (place.y, place.x - low.x)
        };
        let shared = if idx < n_exact { 1e-6 } else { SHARED_LINE_M };
        let found = lines.iter().position(|line| (line.at - at).abs() <= shared);
        let number = found.unwrap_or_else(|| {
            let (start, end) = if upright {
                (Point::new(at, low.y), Point::new(at, high.y))
            } else {
                (Point::new(low.x, at), Point::new(high.x, at))
            };
            let run = plan.run(start, end);
            lines.push(Line {
                at,
                run,
                spans: Vec::new(),
            });
            lines.len() - 1
        });
        let line = &mut lines[number];
        if let Some(span) = reach(&line.run, along) {
            line.spans.push(span);
        }
    }
    lines.retain(|line| !line.spans.is_empty());
    lines.sort_by(|a, b| a.at.total_cmp(&b.at));
    lines
}

/// From a place on a line through one wall to either side.
fn reach(run: &Run, along: f64) -> Option<(f64, f64)> {
    let own = run
        .pieces
        .iter()
        .position(|piece| piece.from - 1e-9 <= along && along <= piece.to)?;
    let open = |idx: usize| run.pieces.get(idx).filter(|piece| !piece.blocked);
    let before = own.checked_sub(1).and_then(open);
    let after = open(own + 1);
    let piece = run.pieces[own];
    Some((
        before.map_or(piece.from, |piece| piece.from),
        after.map_or(piece.to, |piece| piece.to),
    ))
}

fn cross(plan: &FloorPlan, xs: Vec<Line>, ys: Vec<Line>, (low, _): (Point, Point)) -> Grid {
    let mut grid = Grid::default();
    let mut on_x: Vec<Vec<(f64, usize)>> = vec![Vec::new(); xs.len()];
    let mut on_y: Vec<Vec<(f64, usize)>> = vec![Vec::new(); ys.len()];
    let used = |line: &Line, s: f64| {
        line.spans
            .iter()
            .any(|&(from, to)| from - 1e-9 <= s && s <= to + 1e-9)
    };
    for (i, x_line) in xs.iter().enumerate() {
        for (j, y_line) in ys.iter().enumerate() {
            let (s, t) = (y_line.at - low.x, x_line.at - low.y);
            if !used(x_line, s) || !used(y_line, t) {
                continue;
            }
            let (Some(_), Some(_)) = (x_line.run.piece_at(s), y_line.run.piece_at(t)) else {
                continue;
            };
            let at = Point::new(y_line.at, x_line.at);
            on_x[i].push((s, grid.nodes.len()));
            on_y[j].push((t, grid.nodes.len()));
            grid.nodes.push(GridNode {
                at,
                height: plan.height_at(at),
            });
        }
    }
    for (lane, lines, nodes) in [(0, xs, on_x), (1, ys, on_y)] {
        for (line, nodes) in lines.into_iter().zip(nodes) {
            let run = grid.runs.len();
            for pair in nodes.windows(2) {
                let ((from, a), (to, b)) = (pair[0], pair[1]);
                let spanned = line
                    .spans
                    .iter()
                    .any(|&(s, t)| s - 1e-9 <= from && to <= t + 1e-9);
                let blocked = line
                    .run
                    .pieces_between(from, to)
                    .any(|(piece, _)| piece.blocked)
                    || line
                        .run
                        .runs_in_wall(from, to, line.run.lowest_between(from, to));
                if spanned && !blocked {
                    grid.edges.push(GridEdge {
                        a,
                        b,
                        run,
                        from,
                        to,
                        lane,
                    });
                }
            }
            grid.runs.push(line.run);
        }
    }
    grid
}

//! Which points of a polygon see each other past walls and thin barriers. Metres only.
//!
//! A point on an edge is moved a micrometre into each free sector between the edges that meet there
//! (its *probes*). Probes lie strictly off every edge, so that sight is a plain test for meeting an
//! edge, touching included, and a joint or a barrier that ends on a wall lets nothing through.

use crate::geometry::segment::{Segment, turn};
use crate::geometry::{Point, Polygon};

/// A point this close to an edge, in metres, is on it.
pub const ON_EDGE: f64 = 1e-3;

/// How far probes are moved off the edges, in metres.
const PROBE: f64 = 1e-6;

/// Edges this close to a point meet there, in metres.
const MEETS: f64 = 1e-7;

/// The edges that block sight inside a polygon.
#[derive(Debug, Clone)]
pub struct Sight {
    outline: Polygon,
    edges: Vec<Segment>,
}

/// A free sector at a point where edges meet.
#[derive(Debug, Clone)]
pub(crate) struct Sector {
    /// Opening in radians, 0 to 2π.
    pub angle: f64,
    pub probes: Vec<Point>,
}

impl Sight {
    /// Sight inside `outline` past `barriers`, open polylines of no thickness. A barrier that ends
    /// within [`ON_EDGE`] of a wall or of another barrier is joined to it; parts of a barrier
    /// outside the outline count for nothing.
    pub fn new(outline: &Polygon, barriers: &[Vec<Point>]) -> Self {
        let finite = |s: &Segment| s.from.is_finite() && s.to.is_finite() && s.length() > MEETS;
        let mut edges: Vec<Segment> = outline.edges().filter(finite).collect();
        for barrier in barriers {
            edges.extend(
                barrier
                    .windows(2)
                    .map(|w| Segment::new(w[0], w[1]))
                    .filter(finite),
            );
        }
        let mut joints = Vec::new();
        for barrier in barriers {
            for end in [barrier.first(), barrier.last()].into_iter().flatten() {
                joints.extend(joint(*end, &edges));
            }
        }
        edges.extend(joints);
        Sight {
            outline: outline.clone(),
            edges,
        }
    }

    /// Whether `a` and `b` see each other. A point on a barrier sees from both of its sides; a
    /// point more than [`ON_EDGE`] outside the outline sees nothing.
    pub fn sees(&self, a: Point, b: Point) -> bool {
        let (from, to) = (self.probes(a), self.probes(b));
        from.iter().any(|p| to.iter().any(|q| self.clear(*p, *q)))
    }

    /// Whether the straight line between two probes meets no edge.
    pub(crate) fn clear(&self, p: Point, q: Point) -> bool {
        !self.edges.iter().any(|e| meets(p, q, e))
    }

    /// The places a point stands for: itself off the edges, else one or two probes in each free
    /// sector around it; none outside the outline.
    pub(crate) fn probes(&self, p: Point) -> Vec<Point> {
        if !p.is_finite() {
            return Vec::new();
        }
        match self.snap(p) {
            None if self.outline.contains(p) => vec![p],
            None => Vec::new(),
            Some(base) => self
                .sectors(base)
                .into_iter()
                .flat_map(|s| s.probes)
                .collect(),
        }
    }

    /// The free sectors at `base`, where at least one edge passes or ends.
    pub(crate) fn sectors(&self, base: Point) -> Vec<Sector> {
        let mut rays: Vec<f64> = Vec::new();
        for e in self.edges.iter().filter(|e| e.distance_to(base) <= MEETS) {
            for end in [e.from, e.to]
                .into_iter()
                .filter(|end| end.distance(base) > MEETS)
            {
                rays.push((end.y - base.y).atan2(end.x - base.x));
            }
        }
        rays.sort_by(f64::total_cmp);
        let mut sectors = Vec::new();
        for (i, &start) in rays.iter().enumerate() {
            let end = match rays.get(i + 1) {
                Some(&next) => next,
                None => rays[0] + std::f64::consts::TAU,
            };
            let angle = end - start;
            let shares: &[f64] = if angle > 1.5 * std::f64::consts::PI {
                &[1.0 / 3.0, 2.0 / 3.0]
            } else {
                &[0.5]
            };
            let probes: Vec<Point> = shares
                .iter()
                .map(|share| {
                    let (sin, cos) = (start + share * angle).sin_cos();
                    Point::new(base.x + PROBE * cos, base.y + PROBE * sin)
                })
                .filter(|p| angle > LEAST_SECTOR && self.outline.contains(*p))
                .collect();
            if !probes.is_empty() {
                sectors.push(Sector { angle, probes });
            }
        }
        sectors
    }

    /// The ends of all edges, each place once, in order of x, then y.
    pub(crate) fn corners(&self) -> Vec<Point> {
        let mut corners: Vec<Point> = self.edges.iter().flat_map(|e| [e.from, e.to]).collect();
        corners.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        let mut distinct: Vec<Point> = Vec::with_capacity(corners.len());
        for corner in corners {
            if !distinct.iter().any(|p| p.distance(corner) <= MEETS) {
                distinct.push(corner);
            }
        }
        distinct
    }

    /// The place on the edges that `p` is on: a corner within [`ON_EDGE`] before a place along an
    /// edge.
    fn snap(&self, p: Point) -> Option<Point> {
        let mut best: Option<(bool, f64, Point)> = None;
        for e in &self.edges {
            let near = e.nearest_point(p);
            if near.distance(p) > ON_EDGE {
                continue;
            }
            for (along, place) in [(false, e.from), (false, e.to), (true, near)] {
                let distance = place.distance(p);
                let better = best.is_none_or(|b| (along, distance) < (b.0, b.1));
                if distance <= ON_EDGE && better {
                    best = Some((along, distance, place));
                }
            }
        }
        best.map(|b| b.2)
    }
}

/// Sectors narrower than this, in radians, hold no place.
const LEAST_SECTOR: f64 = 1e-4;

/// The short edge that joins `end` to the nearest edge which it almost touches.
fn joint(end: Point, edges: &[Segment]) -> Option<Segment> {
    let mut best: Option<Point> = None;
    for e in edges
        .iter()
        .filter(|e| e.from.distance(end) > MEETS && e.to.distance(end) > MEETS)
    {
        let near = e.nearest_point(end);
        let distance = near.distance(end);
        if distance <= ON_EDGE && best.is_none_or(|b| distance < b.distance(end)) {
            best = Some(near);
        }
    }
    best.filter(|b| b.distance(end) > MEETS)
        .map(|b| Segment::new(end, b))
}

fn meets(p: Point, q: Point, e: &Segment) -> bool {
    let (a, b) = (e.from, e.to);
    if p.x.max(q.x) < a.x.min(b.x)
        || p.x.min(q.x) > a.x.max(b.x)
        || p.y.max(q.y) < a.y.min(b.y)
        || p.y.min(q.y) > a.y.max(b.y)
    {
        return false;
    }
    let (c, d) = (turn(p, q, a), turn(p, q, b));
    if (c > 0.0 && d > 0.0) || (c < 0.0 && d < 0.0) {
        return false;
    }
    let (f, g) = (turn(a, b, p), turn(a, b, q));
    !((f > 0.0 && g > 0.0) || (f < 0.0 && g < 0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room() -> Polygon {
        Polygon::rectangle(Point::new(0.0, 0.0), Point::new(10.0, 6.0))
    }

    fn barrier(points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().copied().map(Point::from).collect()
    }

    #[test]
    fn points_on_the_walls_see_along_and_across_the_room() {
        let sight = Sight::new(&room(), &[]);
        let corner = Point::new(0.0, 0.0);
        assert!(sight.sees(corner, Point::new(10.0, 0.0)));
        assert!(sight.sees(corner, Point::new(10.0, 6.0)));
        assert!(sight.sees(Point::new(2.0, 0.0), Point::new(7.0, 0.0)));
        assert!(sight.sees(Point::new(2.0, -0.0005), Point::new(7.0, 5.9)));
        assert!(!sight.sees(corner, Point::new(10.0, 6.1)));
        assert!(!sight.sees(Point::new(f64::NAN, 0.0), corner));
    }

    #[test]
    fn barrier_that_almost_reaches_the_wall_lets_nothing_along_the_wall() {
        let sight = Sight::new(&room(), &[barrier(&[[4.0, 0.0004], [4.0, 3.0]])]);
        assert!(!sight.sees(Point::new(2.0, 0.0), Point::new(7.0, 0.0)));
        assert!(!sight.sees(Point::new(2.0, 0.0002), Point::new(7.0, 0.0002)));
        assert!(sight.sees(Point::new(2.0, 4.0), Point::new(7.0, 4.0)));
    }

    #[test]
    fn point_on_a_barrier_sees_from_both_sides() {
        let sight = Sight::new(&room(), &[barrier(&[[4.0, 0.0], [4.0, 6.0]])]);
        let on = Point::new(4.0, 2.0);
        assert!(sight.sees(on, Point::new(1.0, 5.0)));
        assert!(sight.sees(on, Point::new(9.0, 5.0)));
        assert!(!sight.sees(Point::new(1.0, 5.0), Point::new(9.0, 5.0)));
    }
}

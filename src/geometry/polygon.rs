//! Simple closed polygons: size, containment, boundary, points along and inside it. Metres only.
//!
//! A polygon may hold any ring (a drawing passes through bad states); [`Polygon::check`] says what
//! is wrong with it, and no function here panics on a bad one.

use std::collections::BinaryHeap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::geometry::Point;
use crate::geometry::segment::{Meeting, Segment, TOLERANCE};

/// A closed ring of corners in metres, in either sense, without the first repeated at the end.
/// On the wire a list of `[x, y]`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(from = "Vec<Point>", into = "Vec<Point>")]
#[schemars(with = "Vec<Point>")]
pub struct Polygon {
    points: Vec<Point>,
    bounds: Option<Bounds>,
}

/// What is wrong with a ring. Edges and corners count from 0; edge `i` leaves corner `i`.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum PolygonFault {
    #[error("the outline has {0} corners; it needs at least three")]
    TooFewCorners(usize),
    #[error("corner {0} is not a finite position; draw it again")]
    NotFinite(usize),
    #[error("corner {0} lies on the next corner; remove one of the two")]
    RepeatedCorner(usize),
    #[error(
        "edge {0} meets edge {1}; move their corners so that the outline does not cross itself"
    )]
    Crossing(usize, usize),
    #[error("the outline encloses no area; draw it again")]
    NoArea,
}

/// An upright rectangle, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    pub min: Point,
    pub max: Point,
}

impl Bounds {
    /// The bounds of `points`, or `None` when there are none.
    pub fn of(points: &[Point]) -> Option<Bounds> {
        let first = *points.first()?;
        let start = Bounds {
            min: first,
            max: first,
        };
        Some(points.iter().fold(start, |b, p| Bounds {
            min: Point::new(b.min.x.min(p.x), b.min.y.min(p.y)),
            max: Point::new(b.max.x.max(p.x), b.max.y.max(p.y)),
        }))
    }

    /// Extent along x, in metres.
    pub fn width(&self) -> f64 {
        self.max.x - self.min.x
    }

    /// Extent along y, in metres.
    pub fn height(&self) -> f64 {
        self.max.y - self.min.y
    }

    /// The bounds of both.
    pub fn with(self, other: Bounds) -> Bounds {
        Bounds {
            min: Point::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// Whether `p` is inside or on the border.
    fn holds(&self, p: Point) -> bool {
        let between =
            |least: f64, at: f64, most: f64| least - TOLERANCE <= at && at <= most + TOLERANCE;
        between(self.min.x, p.x, self.max.x) && between(self.min.y, p.y, self.max.y)
    }

    /// Whether the two share no place but on their edges.
    pub fn is_apart(&self, other: &Bounds) -> bool {
        self.max.x <= other.min.x
            || other.max.x <= self.min.x
            || self.max.y <= other.min.y
            || other.max.y <= self.min.y
    }

    /// The middle of the rectangle.
    pub fn centre(&self) -> Point {
        self.min.lerp(self.max, 0.5)
    }
}

/// The point of a boundary nearest to some place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoundaryPoint {
    pub point: Point,
    /// The edge it lies on.
    pub edge: usize,
    /// Distance from that edge's first corner, in metres.
    pub along: f64,
    /// Distance from the place asked about, in metres.
    pub distance: f64,
}

/// A point set off inwards from an edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InsetPoint {
    pub point: Point,
    /// The edge it was set off from.
    pub edge: usize,
    /// Distance of its foot from that edge's first corner, in metres.
    pub along: f64,
}

impl From<Vec<Point>> for Polygon {
    fn from(points: Vec<Point>) -> Self {
        Polygon::new(points)
    }
}

impl From<Polygon> for Vec<Point> {
    fn from(polygon: Polygon) -> Self {
        polygon.points
    }
}

impl Polygon {
    /// The ring through `points`; a last point that repeats the first is dropped.
    pub fn new(mut points: Vec<Point>) -> Self {
        if points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        let bounds = Bounds::of(&points);
        Polygon { points, bounds }
    }

    /// The rectangle with opposite corners `a` and `b`.
    pub fn rectangle(a: Point, b: Point) -> Self {
        Polygon::new(vec![a, Point::new(b.x, a.y), b, Point::new(a.x, b.y)])
    }

    /// The corners.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The edges in order; edge `i` goes from corner `i` to the next, the last one back to corner
    /// 0.
    pub fn edges(&self) -> impl ExactSizeIterator<Item = Segment> + '_ {
        let n = self.points.len();
        (0..n).map(move |i| Segment::new(self.points[i], self.points[(i + 1) % n]))
    }

    /// The first thing wrong with the ring, if anything is.
    pub fn check(&self) -> Result<(), PolygonFault> {
        if self.points.len() < 3 {
            return Err(PolygonFault::TooFewCorners(self.points.len()));
        }
        if let Some(i) = self.points.iter().position(|p| !p.is_finite()) {
            return Err(PolygonFault::NotFinite(i));
        }
        if let Some(i) = self.edges().position(|e| e.length() <= TOLERANCE) {
            return Err(PolygonFault::RepeatedCorner(i));
        }
        if let Some((i, j)) = self.first_crossing() {
            return Err(PolygonFault::Crossing(i, j));
        }
        if self.area() <= TOLERANCE {
            return Err(PolygonFault::NoArea);
        }
        Ok(())
    }

    /// Whether [`Polygon::check`] finds nothing wrong.
    pub fn is_simple(&self) -> bool {
        self.check().is_ok()
    }

    /// The first two edges (lower index first) that cross, touch away from a shared corner, or fold
    /// back on each other.
    pub fn first_crossing(&self) -> Option<(usize, usize)> {
        let edges: Vec<Segment> = self.edges().collect();
        let n = edges.len();
        for i in 0..n {
            for j in i + 1..n {
                let adjacent = j == i + 1 || (i == 0 && j == n - 1);
                match edges[i].meeting(&edges[j]) {
                    Some(Meeting::Overlap { .. }) => return Some((i, j)),
                    Some(_) if !adjacent => return Some((i, j)),
                    _ => {}
                }
            }
        }
        None
    }

    /// Signed area in m², positive when the corners run clockwise on the plan (y points down).
    /// The shoelace formula about the first corner.
    pub fn signed_area(&self) -> f64 {
        signed_area(&self.points)
    }

    /// Area in m².
    pub fn area(&self) -> f64 {
        self.signed_area().abs()
    }

    /// Length of the boundary, in metres.
    pub fn perimeter(&self) -> f64 {
        self.edges().map(|e| e.length()).sum()
    }

    /// The centre of area; the mean of the corners when there is no area, the origin when there are
    /// no corners. It can lie outside a concave polygon: see [`Polygon::label_point`].
    pub fn centroid(&self) -> Point {
        centroid(&self.points)
    }

    /// The bounds, or `None` when there are no corners.
    pub fn bounds(&self) -> Option<Bounds> {
        self.bounds
    }

    /// Whether `p` is inside or within [`TOLERANCE`] of the boundary.
    pub fn contains(&self, p: Point) -> bool {
        let is_near = self.bounds.is_some_and(|bounds| bounds.holds(p));
        is_near && (self.winds_round(p) || self.edges().any(|e| e.distance_to(p) <= TOLERANCE))
    }

    /// Whether `p` is inside and at least `clearance` metres from the boundary.
    pub fn contains_clear(&self, p: Point, clearance: f64) -> bool {
        self.contains(p) && self.boundary_distance(p) >= clearance - TOLERANCE
    }

    /// Distance from `p` to the boundary in metres, inside or outside; infinite without corners.
    pub fn boundary_distance(&self, p: Point) -> f64 {
        self.edges()
            .map(|e| e.distance_to(p))
            .fold(f64::INFINITY, f64::min)
    }

    /// The boundary point nearest to `p` (of equal ones that of the lowest edge), or `None` without
    /// corners.
    pub fn nearest_boundary(&self, p: Point) -> Option<BoundaryPoint> {
        let mut best: Option<BoundaryPoint> = None;
        for (edge, segment) in self.edges().enumerate() {
            let fraction = segment.nearest_fraction(p);
            let point = segment.point_at(fraction);
            let distance = point.distance(p);
            if best.is_none_or(|b| distance < b.distance) {
                let along = fraction * segment.length();
                best = Some(BoundaryPoint {
                    point,
                    edge,
                    along,
                    distance,
                });
            }
        }
        best
    }

    /// The unit vector pointing inwards from edge `edge`, or `None` when there is no such edge, it
    /// has no length or the ring no area.
    pub fn inward_normal(&self, edge: usize) -> Option<Point> {
        let segment = self.edges().nth(edge)?;
        let (length, sense) = (segment.length(), self.signed_area());
        if length <= 0.0 || sense == 0.0 {
            return None;
        }
        let scale = sense.signum() / length;
        let (dx, dy) = (segment.to.x - segment.from.x, segment.to.y - segment.from.y);
        Some(Point::new(-dy * scale, dx * scale))
    }

    /// Points `inset` metres inside the edges, evenly spaced at most `step` metres apart, their
    /// feet at least `clear` metres from the edge's corners. Points closer than `inset` to any
    /// other edge are left out, as is an edge shorter than twice `clear`. Empty unless `step` is
    /// positive.
    pub fn inset_points(&self, inset: f64, step: f64, clear: f64) -> Vec<InsetPoint> {
        let mut points = Vec::new();
        if !(step > 0.0 && inset >= 0.0 && clear >= 0.0) {
            return points;
        }
        for (edge, segment) in self.edges().enumerate() {
            let (length, normal) = (segment.length(), self.inward_normal(edge));
            let span = length - 2.0 * clear;
            let Some(normal) = normal.filter(|_| span >= 0.0) else {
                continue;
            };
            let gaps = (span / step - TOLERANCE).ceil().clamp(0.0, MOST_GAPS) as usize;
            for k in 0..=gaps {
                let along = match gaps {
                    0 => length / 2.0,
                    _ => clear + span * k as f64 / gaps as f64,
                };
                let foot = segment.point_at(along / length);
                let point = Point::new(foot.x + normal.x * inset, foot.y + normal.y * inset);
                if self.contains_clear(point, inset) {
                    points.push(InsetPoint { point, edge, along });
                }
            }
        }
        points
    }

    /// A point well inside for a label: the inside point farthest from the boundary, to within a
    /// two-hundredth of the larger extent. The search halves squares, the most promising first.
    /// The origin when there are no corners.
    pub fn label_point(&self) -> Point {
        let Some(bounds) = self.bounds() else {
            return Point::default();
        };
        let extent = bounds.width().max(bounds.height());
        let mut best = Square::new(self, self.centroid(), 0.0);
        if !(extent > 0.0 && extent.is_finite()) {
            return best.centre;
        }
        let precision = extent / 200.0;
        let mut queue = BinaryHeap::from([Square::new(self, bounds.centre(), extent / 2.0)]);
        while let Some(square) = queue.pop() {
            if square.depth > best.depth {
                best = square;
            }
            if square.promise() - best.depth <= precision {
                break;
            }
            let half = square.half / 2.0;
            for (sx, sy) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
                let centre = Point::new(square.centre.x + sx * half, square.centre.y + sy * half);
                queue.push(Square::new(self, centre, half));
            }
        }
        best.centre
    }

    /// Even-odd rule with a ray towards +x.
    fn winds_round(&self, p: Point) -> bool {
        let mut inside = false;
        for e in self.edges() {
            if (e.from.y > p.y) != (e.to.y > p.y) {
                let t = (p.y - e.from.y) / (e.to.y - e.from.y);
                inside ^= p.x < e.from.x + t * (e.to.x - e.from.x);
            }
        }
        inside
    }
}

/// Most points set off along one edge: a guard against a tiny step, never met by a real one.
const MOST_GAPS: f64 = 10_000.0;

/// The signed shoelace area of a ring, about its first corner, in m².
pub(crate) fn signed_area(ring: &[Point]) -> f64 {
    let Some(&o) = ring.first() else { return 0.0 };
    let doubled: f64 = ring
        .windows(2)
        .map(|w| (w[0].x - o.x) * (w[1].y - o.y) - (w[1].x - o.x) * (w[0].y - o.y))
        .sum();
    doubled / 2.0
}

/// The centre of area of a ring, or the mean of its corners when it has no area.
pub(crate) fn centroid(ring: &[Point]) -> Point {
    let Some(&o) = ring.first() else {
        return Point::default();
    };
    let (mut x, mut y, mut doubled) = (0.0, 0.0, 0.0);
    for w in ring.windows(2) {
        let (a, b) = ((w[0].x - o.x, w[0].y - o.y), (w[1].x - o.x, w[1].y - o.y));
        let cross = a.0 * b.1 - b.0 * a.1;
        x += (a.0 + b.0) * cross;
        y += (a.1 + b.1) * cross;
        doubled += cross;
    }
    if doubled.abs() <= f64::MIN_POSITIVE {
        let n = ring.len() as f64;
        let sum = ring.iter().fold((0.0, 0.0), |s, p| (s.0 + p.x, s.1 + p.y));
        return Point::new(sum.0 / n, sum.1 / n);
    }
    Point::new(o.x + x / (3.0 * doubled), o.y + y / (3.0 * doubled))
}

/// A square of the label search, ordered by how deep inside its best point could be.
#[derive(Debug, Clone, Copy)]
struct Square {
    centre: Point,
    half: f64,
    /// Distance of the centre from the boundary, negative outside.
    depth: f64,
}

impl Square {
    fn new(polygon: &Polygon, centre: Point, half: f64) -> Self {
        let distance = polygon.boundary_distance(centre);
        let depth = if polygon.winds_round(centre) {
            distance
        } else {
            -distance
        };
        Square {
            centre,
            half,
            depth,
        }
    }

    fn promise(&self) -> f64 {
        self.depth + self.half * std::f64::consts::SQRT_2
    }

    fn key(&self) -> [f64; 3] {
        [self.promise(), -self.centre.y, -self.centre.x]
    }
}

impl PartialEq for Square {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Square {}

impl PartialOrd for Square {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Square {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        let (a, b) = (self.key(), other.key());
        a[0].total_cmp(&b[0])
            .then(a[1].total_cmp(&b[1]))
            .then(a[2].total_cmp(&b[2]))
    }
}

#[cfg(test)]
mod tests;

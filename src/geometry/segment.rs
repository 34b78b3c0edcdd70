//! Straight segments: nearest points, meetings and overlaps. Metres only.

use crate::geometry::Point;

/// Two points closer than this, in metres, are the same point.
pub const TOLERANCE: f64 = 1e-9;

/// A straight segment between two points, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Segment {
    pub from: Point,
    pub to: Point,
}

/// How two segments meet. The numbers are fractions (0 to 1) along the first and the second
/// segment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Meeting {
    /// They cross, each in the other's interior.
    Crossing { first: f64, second: f64 },
    /// They share one point, which is an end of at least one of them.
    Touch { first: f64, second: f64 },
    /// They run along each other between these fractions (increasing along the first segment).
    Overlap { first: [f64; 2], second: [f64; 2] },
}

/// Twice the signed area of the triangle `a`, `b`, `c`, in m²: positive when the turn at `b` is
/// clockwise on the plan (y points down).
pub fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

impl Segment {
    /// The segment from `from` to `to`.
    pub const fn new(from: Point, to: Point) -> Self {
        Segment { from, to }
    }

    /// Length in metres.
    pub fn length(&self) -> f64 {
        self.from.distance(self.to)
    }

    /// The point a fraction `t` of the way along.
    pub fn point_at(&self, t: f64) -> Point {
        self.from.lerp(self.to, t)
    }

    /// The fraction (0 to 1) of the point of the segment nearest to `p`; 0 for a segment of no
    /// length.
    pub fn nearest_fraction(&self, p: Point) -> f64 {
        let (dx, dy) = (self.to.x - self.from.x, self.to.y - self.from.y);
        let square = dx * dx + dy * dy;
        if square <= 0.0 {
            return 0.0;
        }
        (((p.x - self.from.x) * dx + (p.y - self.from.y) * dy) / square).clamp(0.0, 1.0)
    }

    /// The point of the segment nearest to `p`.
    pub fn nearest_point(&self, p: Point) -> Point {
        self.point_at(self.nearest_fraction(p))
    }

    /// Distance from `p` to the segment, in metres.
    pub fn distance_to(&self, p: Point) -> f64 {
        self.nearest_point(p).distance(p)
    }

    /// Where this segment meets `other`, or `None` when they are apart by more than [`TOLERANCE`].
    pub fn meeting(&self, other: &Segment) -> Option<Meeting> {
        if let Some(overlap) = self.overlap(other) {
            return Some(overlap);
        }
        self.touch(other).or_else(|| self.crossing(other))
    }

    /// Length in metres along which the two segments lie on each other; 0 when they do not.
    pub fn overlap_length(&self, other: &Segment) -> f64 {
        match self.overlap(other) {
            Some(Meeting::Overlap { first: [a, b], .. }) => (b - a) * self.length(),
            _ => 0.0,
        }
    }

    fn overlap(&self, other: &Segment) -> Option<Meeting> {
        let ends = [
            (0.0, other.nearest_fraction(self.from)),
            (1.0, other.nearest_fraction(self.to)),
            (self.nearest_fraction(other.from), 0.0),
            (self.nearest_fraction(other.to), 1.0),
        ];
        let mut shared: Vec<(f64, f64)> = ends
            .into_iter()
            .filter(|&(t, u)| self.point_at(t).distance(other.point_at(u)) <= TOLERANCE)
            .collect();
        shared.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (first, last) = (*shared.first()?, *shared.last()?);
        if (last.0 - first.0) * self.length() <= 2.0 * TOLERANCE {
            return None;
        }
        Some(Meeting::Overlap {
            first: [first.0, last.0],
            second: [first.1, last.1],
        })
    }

    fn touch(&self, other: &Segment) -> Option<Meeting> {
        for (t, end) in [(0.0, self.from), (1.0, self.to)] {
            let u = other.nearest_fraction(end);
            if other.point_at(u).distance(end) <= TOLERANCE {
                return Some(Meeting::Touch {
                    first: t,
                    second: u,
                });
            }
        }
        for (u, end) in [(0.0, other.from), (1.0, other.to)] {
            let t = self.nearest_fraction(end);
            if self.point_at(t).distance(end) <= TOLERANCE {
                return Some(Meeting::Touch {
                    first: t,
                    second: u,
                });
            }
        }
        None
    }

    fn crossing(&self, other: &Segment) -> Option<Meeting> {
        let a = turn(other.from, other.to, self.from);
        let b = turn(other.from, other.to, self.to);
        let c = turn(self.from, self.to, other.from);
        let d = turn(self.from, self.to, other.to);
        if (a > 0.0) == (b > 0.0) || (c > 0.0) == (d > 0.0) {
            return None;
        }
        Some(Meeting::Crossing {
            first: a / (a - b),
            second: c / (c - d),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn segment(ax: f64, ay: f64, bx: f64, by: f64) -> Segment {
        Segment::new(Point::new(ax, ay), Point::new(bx, by))
    }

    #[test]
    fn crossing_gives_both_fractions() {
        let meeting = segment(0.0, 0.0, 4.0, 0.0).meeting(&segment(1.0, -1.0, 1.0, 3.0));
        assert_eq!(
            meeting,
            Some(Meeting::Crossing {
                first: 0.25,
                second: 0.25
            })
        );
    }

    #[test]
    fn end_on_a_segment_is_a_touch_not_a_crossing() {
        let meeting = segment(0.0, 0.0, 4.0, 0.0).meeting(&segment(3.0, 0.0, 3.0, 3.0));
        assert_eq!(
            meeting,
            Some(Meeting::Touch {
                first: 0.75,
                second: 0.0
            })
        );
    }

    #[test]
    fn collinear_overlap_is_measured_in_either_direction() {
        let long = segment(0.0, 0.0, 10.0, 0.0);
        let back = segment(12.0, 0.0, 4.0, 0.0);
        assert!((long.overlap_length(&back) - 6.0).abs() < 1e-12);
        assert!((back.overlap_length(&long) - 6.0).abs() < 1e-12);
        assert_eq!(long.overlap_length(&segment(10.0, 0.0, 12.0, 0.0)), 0.0);
        assert_eq!(long.overlap_length(&segment(0.0, 0.1, 10.0, 0.1)), 0.0);
    }

    #[test]
    fn parallel_and_distant_segments_do_not_meet() {
        let s = segment(0.0, 0.0, 1.0, 1.0);
        assert_eq!(s.meeting(&segment(0.0, 1.0, 1.0, 2.0)), None);
        assert_eq!(s.meeting(&segment(2.0, 2.0, 3.0, 3.0)), None);
        assert_eq!(s.meeting(&segment(2.0, 0.0, 0.0, 2.5)), None);
    }

    #[test]
    fn distance_to_a_segment_uses_the_foot_or_the_nearer_end() {
        let s = segment(0.0, 0.0, 4.0, 0.0);
        assert_eq!(s.distance_to(Point::new(2.0, 3.0)), 3.0);
        assert_eq!(s.distance_to(Point::new(7.0, 4.0)), 5.0);
        assert_eq!(
            segment(1.0, 1.0, 1.0, 1.0).distance_to(Point::new(4.0, 5.0)),
            5.0
        );
    }
}

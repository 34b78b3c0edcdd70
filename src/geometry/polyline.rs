//! Open runs of straight segments: length, places along, crossings, splitting. Metres only.

use crate::geometry::Point;
use crate::geometry::segment::{Meeting, Segment, TOLERANCE};

/// A place on a polyline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    pub point: Point,
    /// Distance from the polyline's start, in metres.
    pub along: f64,
    /// The segment it lies on, counted from 0.
    pub segment: usize,
}

/// The segments of the polyline through `points`.
pub fn segments(points: &[Point]) -> impl Iterator<Item = Segment> + '_ {
    points.windows(2).map(|w| Segment::new(w[0], w[1]))
}

/// Length in metres; 0 for fewer than two points.
pub fn length(points: &[Point]) -> f64 {
    segments(points).map(|s| s.length()).sum()
}

/// The place `along` metres from the start, held to the two ends; `None` without points.
pub fn place_at(points: &[Point], along: f64) -> Option<Place> {
    let first = *points.first()?;
    let mut start = Place {
        point: first,
        along: 0.0,
        segment: 0,
    };
    for (segment, s) in segments(points).enumerate() {
        let length = s.length();
        if along <= start.along + length && length > 0.0 {
            let offset = (along - start.along).max(0.0);
            let point = s.point_at(offset / length);
            return Some(Place {
                point,
                along: start.along + offset,
                segment,
            });
        }
        start = Place {
            point: s.to,
            along: start.along + length,
            segment,
        };
    }
    Some(start)
}

/// The place nearest to `p` (the first of equal ones); `None` without points.
pub fn nearest(points: &[Point], p: Point) -> Option<Place> {
    let mut best = Place {
        point: *points.first()?,
        along: 0.0,
        segment: 0,
    };
    let mut start = 0.0;
    for (segment, s) in segments(points).enumerate() {
        let (length, fraction) = (s.length(), s.nearest_fraction(p));
        let point = s.point_at(fraction);
        if point.distance(p) < best.point.distance(p) {
            best = Place {
                point,
                along: start + fraction * length,
                segment,
            };
        }
        start += length;
    }
    Some(best)
}

/// The same line without points that repeat or lie within `tolerance` metres of the straight line
/// between the points kept before and after them. The ends are kept; a line that folds back keeps
/// its fold.
pub fn simplify(points: &[Point], tolerance: f64) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::with_capacity(points.len());
    let mut skipped: Vec<Point> = Vec::new();
    for (i, &p) in points.iter().enumerate() {
        let Some(&anchor) = kept.last() else {
            kept.push(p);
            continue;
        };
        let last = i + 1 == points.len();
        let next = if last { p } else { points[i + 1] };
        let chord = Segment::new(anchor, next);
        skipped.push(p);
        let straight = skipped.iter().all(|&q| chord.distance_to(q) <= tolerance);
        if last || !straight {
            kept.push(p);
            skipped.clear();
        }
    }
    if kept.len() > 2 && kept[kept.len() - 1].distance(kept[kept.len() - 2]) <= tolerance {
        kept.remove(kept.len() - 2);
    }
    kept
}

/// Where the polyline crosses or touches `other`, in order along it, each place once. A stretch
/// that runs along `other` gives its two ends.
pub fn crossings(points: &[Point], other: &Segment) -> Vec<Place> {
    let mut places: Vec<Place> = Vec::new();
    let mut start = 0.0;
    for (segment, s) in segments(points).enumerate() {
        let length = s.length();
        let fractions = match s.meeting(other) {
            None => vec![],
            Some(Meeting::Crossing { first, .. } | Meeting::Touch { first, .. }) => vec![first],
            Some(Meeting::Overlap { first, .. }) => first.to_vec(),
        };
        for fraction in fractions {
            let place = Place {
                point: s.point_at(fraction),
                along: start + fraction * length,
                segment,
            };
            if places
                .last()
                .is_none_or(|p| place.along - p.along > 2.0 * TOLERANCE)
            {
                places.push(place);
            }
        }
        start += length;
    }
    places
}

/// The polyline cut at these distances (metres from the start, any order); distances at or beyond
/// an end cut nothing.
pub fn split_at(points: &[Point], distances: &[f64]) -> Vec<Vec<Point>> {
    let total = length(points);
    let mut cuts: Vec<f64> = distances.to_vec();
    cuts.retain(|d| *d > TOLERANCE && *d < total - TOLERANCE);
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|b, a| *b - *a <= TOLERANCE);
    let mut pieces = Vec::with_capacity(cuts.len() + 1);
    let mut piece: Vec<Point> = points.first().copied().into_iter().collect();
    let (mut start, mut next) = (0.0, 0);
    for s in segments(points) {
        let end = start + s.length();
        while next < cuts.len() && cuts[next] < end - TOLERANCE {
            let point = s.point_at((cuts[next] - start) / (end - start));
            if piece.last().is_none_or(|p| p.distance(point) > TOLERANCE) {
                piece.push(point);
            }
            pieces.push(std::mem::replace(&mut piece, vec![point]));
            next += 1;
        }
        piece.push(s.to);
        start = end;
    }
    pieces.push(piece);
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().copied().map(Point::from).collect()
    }

    #[test]
    fn length_and_places_follow_the_bends() {
        let run = line(&[[0.0, 0.0], [3.0, 0.0], [3.0, 4.0]]);
        assert_eq!(length(&run), 7.0);
        let place = place_at(&run, 5.0).unwrap();
        assert_eq!((place.point, place.segment), (Point::new(3.0, 2.0), 1));
        assert_eq!(place_at(&run, -1.0).unwrap().point, run[0]);
        assert_eq!(
            place_at(&run, 99.0).unwrap(),
            Place {
                point: run[2],
                along: 7.0,
                segment: 1
            }
        );
        assert_eq!(place_at(&[], 1.0), None);
        assert_eq!(nearest(&run, Point::new(4.0, 1.0)).unwrap().along, 4.0);
    }

    #[test]
    fn collinear_points_go_and_folds_stay() {
        let run = line(&[
            [0.0, 0.0],
            [1.0, 0.0],
            [1.0, 0.0],
            [2.0, 0.0],
            [2.0, 5.0],
            [2.0, 3.0],
        ]);
        let kept = simplify(&run, 1e-9);
        assert_eq!(
            kept,
            line(&[[0.0, 0.0], [2.0, 0.0], [2.0, 5.0], [2.0, 3.0]])
        );
        assert_eq!(length(&kept), length(&run));
        assert_eq!(simplify(&run[..1], 1e-9), &run[..1]);
    }

    #[test]
    fn crossing_at_a_bend_is_counted_once() {
        let run = line(&[[0.0, 0.0], [2.0, 2.0], [4.0, 0.0], [6.0, 2.0]]);
        let level = Segment::new(Point::new(-1.0, 0.0), Point::new(9.0, 0.0));
        assert_eq!(crossings(&run, &level).len(), 2);
        let half = Segment::new(Point::new(-1.0, 1.0), Point::new(9.0, 1.0));
        let xs: Vec<f64> = crossings(&run, &half).iter().map(|c| c.point.x).collect();
        assert_eq!(xs, [1.0, 3.0, 5.0]);
    }

    #[test]
    fn pieces_join_up_to_the_whole() {
        let run = line(&[[0.0, 0.0], [3.0, 0.0], [3.0, 4.0]]);
        let pieces = split_at(&run, &[6.0, 1.0, 3.0, 0.0, 7.0]);
        let lengths: Vec<f64> = pieces.iter().map(|p| length(p)).collect();
        assert_eq!(lengths, [1.0, 2.0, 3.0, 1.0]);
        assert!(pieces.windows(2).all(|w| w[0].last() == w[1].first()));
        assert_eq!(split_at(&run, &[]), vec![run.clone()]);
    }
}

//! The parts of a polygon that lie in others. Metres only.

use geo::{Area, BooleanOps, Coord, LineString, MultiPolygon, unary_union};

use crate::geometry::{Point, Polygon};

/// Less than this is nothing, m².
const NOTHING_M2: f64 = 1e-6;

/// A hole narrower than this is none, m.
const NO_HOLE_M: f64 = 1e-6;

/// The parts of `polygon` that lie in any of `within` and in none of `without`, the largest first.
/// One that lies in them as a whole is left as it is. No part has a hole: one that would is parted
/// across it.
pub fn parts(polygon: &Polygon, within: &[&Polygon], without: &[&Polygon]) -> Vec<Polygon> {
    let own = MultiPolygon::from(shape(polygon));
    let within: Vec<geo::Polygon> = within.iter().map(|one| shape(one)).collect();
    let without: Vec<geo::Polygon> = without.iter().map(|one| shape(one)).collect();
    let mut left = own.intersection(&unary_union(&within));
    if !without.is_empty() {
        left = left.difference(&unary_union(&without));
    }
    if left.0.len() == 1 && polygon.area() - left.unsigned_area() < NOTHING_M2 {
        return vec![polygon.clone()];
    }
    let whole = left.0.into_iter().flat_map(without_holes);
    let mut parts: Vec<Polygon> = whole.map(|one| ring(one.exterior())).collect();
    parts.retain(|part| part.area() >= NOTHING_M2);
    parts.sort_by(|a, b| b.area().total_cmp(&a.area()));
    parts
}

/// The parts left of a shape that is cut straight across its first hole, and so on.
fn without_holes(whole: geo::Polygon) -> Vec<geo::Polygon> {
    let bounds = |line: &LineString| ring(line).bounds();
    let mut holes = whole.interiors().iter().filter_map(bounds);
    let hole = holes.find(|hole| hole.width() > NO_HOLE_M);
    let (Some(hole), Some(outer)) = (hole, bounds(whole.exterior())) else {
        return vec![whole];
    };
    let across = hole.centre().x;
    let side = |from: f64, to: f64| {
        let (low, high) = (outer.min.y - 1.0, outer.max.y + 1.0);
        shape(&Polygon::rectangle(
            Point::new(from, low),
            Point::new(to, high),
        ))
    };
    let sides = [
        side(outer.min.x - 1.0, across),
        side(across, outer.max.x + 1.0),
    ];
    let halves = sides.iter().flat_map(|side| whole.intersection(side).0);
    halves.flat_map(without_holes).collect()
}

/// All the same way round: what goes the other way would take away in a union.
fn shape(polygon: &Polygon) -> geo::Polygon {
    let corners = polygon.points().iter();
    let mut line: Vec<Coord> = corners.map(|p| Coord { x: p.x, y: p.y }).collect();
    if polygon.signed_area() < 0.0 {
        line.reverse();
    }
    geo::Polygon::new(LineString::from(line), Vec::new())
}

fn ring(line: &LineString) -> Polygon {
    Polygon::new(line.coords().map(|at| Point::new(at.x, at.y)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(a: [f64; 2], b: [f64; 2]) -> Polygon {
        Polygon::rectangle(a.into(), b.into())
    }

    /// Areas by hand, m².
    fn check(of: &Polygon, within: &[&Polygon], without: &[&Polygon], areas: &[f64]) {
        let found = parts(of, within, without);
        let found: Vec<f64> = found.iter().map(Polygon::area).collect();
        let near = |(a, b): (&f64, &f64)| (a - b).abs() < 1e-5;
        let alike = found.len() == areas.len() && found.iter().zip(areas).all(near);
        assert!(alike, "{found:?} for {areas:?}");
    }

    #[test]
    fn a_polygon_is_cut_to_what_holds_it() {
        let own = rectangle([0.0, 0.0], [4.0, 2.0]);
        let (left, right) = (
            rectangle([-1.0, -1.0], [1.0, 3.0]),
            rectangle([2.5, -1.0], [9.0, 1.0]),
        );
        check(&own, &[&left], &[], &[2.0]);
        check(&own, &[&left, &right], &[], &[2.0, 1.5]);
        check(&own, &[], &[], &[]);
        check(&own, &[&rectangle([5.0, 5.0], [6.0, 6.0])], &[], &[]);
        let joined = rectangle([1.0, -1.0], [2.5, 1.0]);
        check(&own, &[&left, &joined, &right], &[], &[5.0]);
    }

    #[test]
    fn which_way_round_the_corners_go_is_all_the_same() {
        let own = rectangle([0.0, 0.0], [4.0, 2.0]);
        let left = rectangle([0.0, 0.0], [1.0, 2.0]);
        let turned = Polygon::new(
            rectangle([1.0, 0.0], [3.0, 2.0])
                .points()
                .iter()
                .rev()
                .copied()
                .collect(),
        );
        check(&own, &[&left, &turned], &[], &[6.0]);
        check(&own, &[&own], &[&left, &turned], &[2.0]);
    }

    #[test]
    fn one_that_lies_inside_keeps_its_corners() {
        let own = rectangle([0.1, 0.2], [0.7, 1.3]);
        let whole = rectangle([0.1, 0.0], [4.0, 2.0]);
        assert_eq!(parts(&own, &[&whole], &[]), [own]);
    }

    #[test]
    fn a_part_round_a_hole_is_parted_across_it() {
        let own = rectangle([0.0, 0.0], [4.0, 4.0]);
        let holes = [
            rectangle([1.0, 1.0], [2.0, 2.0]),
            rectangle([1.2, 3.0], [2.2, 3.5]),
        ];
        let found = parts(&own, &[&own], &[&holes[0], &holes[1]]);
        assert!(found.len() > 1 && found.iter().all(Polygon::is_simple));
        let area: f64 = found.iter().map(Polygon::area).sum();
        assert!((area - 14.5).abs() < 1e-5, "{area}");
        for hole in &holes {
            let middle = hole.centroid();
            assert!(found.iter().all(|part| !part.contains(middle)));
        }
    }
}

//! A polygon cut into square-like cells, each with the area that is truly inside. Metres only.
//!
//! Cells are clipped by the Sutherland-Hodgman method (Communications of the ACM 17(1), 1974): a
//! concave polygon clipped by an upright rectangle may gain folded edges, which carry no area.

use crate::geometry::polygon::{centroid, signed_area};
use crate::geometry::{Point, Polygon};

/// A cell of a polygon, or a part of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// A point of the polygon that stands for the cell: the cell's centre where that is inside,
    /// else the centre of the part inside, else the boundary point nearest to that.
    pub centre: Point,
    /// Area of the part inside the polygon, in m²; of a line the length of the part, in m.
    pub area: f64,
    /// Place of the cell along x, counted from 0 at the polygon's least x.
    pub column: usize,
    /// Place of the cell along y, counted from 0 at the polygon's least y.
    pub row: usize,
}

/// The cells of `polygon`, row by row. The polygon's bounds are divided evenly into cells no longer
/// and no wider than `pitch` metres; the areas add up to the polygon's. Empty when the polygon has
/// no area or `pitch` is not a positive number. A pitch that would give more than a million cells
/// is coarsened to stay below that.
pub fn cells(polygon: &Polygon, pitch: f64) -> Vec<Cell> {
    let Some(bounds) = polygon
        .bounds()
        .filter(|_| pitch > 0.0 && pitch.is_finite())
    else {
        return Vec::new();
    };
    let least = (bounds.width() * bounds.height() / MOST_CELLS).sqrt();
    let columns = divisions(bounds.width(), pitch.max(least));
    let rows = divisions(bounds.height(), pitch.max(least));
    let (left, top) = (bounds.min.x, bounds.min.y);
    let x_at = |i: usize| left + bounds.width() * i as f64 / columns as f64;
    let y_at = |j: usize| top + bounds.height() * j as f64 / rows as f64;
    let mut cells = Vec::new();
    for row in 0..rows {
        let band = clip(
            &clip(polygon.points(), Side::Below(y_at(row))),
            Side::Above(y_at(row + 1)),
        );
        for column in 0..columns {
            let (x0, x1) = (x_at(column), x_at(column + 1));
            let part = clip(&clip(&band, Side::RightOf(x0)), Side::LeftOf(x1));
            let area = signed_area(&part).abs();
            if area > LEAST_AREA {
                let middle = Point::new((x0 + x1) / 2.0, (y_at(row) + y_at(row + 1)) / 2.0);
                cells.push(Cell {
                    centre: stand_in(polygon, middle, &part),
                    area,
                    column,
                    row,
                });
            }
        }
    }
    cells
}

/// Parts smaller than this, in m², are rounding and no cells.
const LEAST_AREA: f64 = 1e-15;
const MOST_CELLS: f64 = 1_000_000.0;

/// The half-plane that is kept.
#[derive(Debug, Clone, Copy)]
enum Side {
    LeftOf(f64),
    RightOf(f64),
    Above(f64),
    Below(f64),
}

impl Side {
    /// Distance into the half-plane, negative outside it.
    fn depth(self, p: Point) -> f64 {
        match self {
            Side::LeftOf(x) => x - p.x,
            Side::RightOf(x) => p.x - x,
            Side::Above(y) => y - p.y,
            Side::Below(y) => p.y - y,
        }
    }

    /// `p` with the coordinate across the line put exactly on it.
    fn onto(self, p: Point) -> Point {
        match self {
            Side::LeftOf(x) | Side::RightOf(x) => Point::new(x, p.y),
            Side::Above(y) | Side::Below(y) => Point::new(p.x, y),
        }
    }
}

fn divisions(extent: f64, pitch: f64) -> usize {
    (extent / pitch - 1e-9).ceil().clamp(1.0, MOST_CELLS) as usize
}

fn clip(ring: &[Point], side: Side) -> Vec<Point> {
    let mut kept = Vec::with_capacity(ring.len() + 4);
    for (i, &from) in ring.iter().enumerate() {
        let to = ring[(i + 1) % ring.len()];
        let (a, b) = (side.depth(from), side.depth(to));
        if a >= 0.0 {
            kept.push(from);
        }
        if (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0) {
            kept.push(side.onto(from.lerp(to, a / (a - b))));
        }
    }
    kept
}

fn stand_in(polygon: &Polygon, middle: Point, part: &[Point]) -> Point {
    if polygon.contains(middle) {
        return middle;
    }
    let centre = centroid(part);
    if polygon.contains(centre) {
        return centre;
    }
    polygon.nearest_boundary(centre).map_or(centre, |b| b.point)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn l_room() -> Polygon {
        Polygon::new(
            [
                [0.0, 0.0],
                [6.0, 0.0],
                [6.0, 3.1],
                [2.7, 3.1],
                [2.7, 5.0],
                [0.0, 5.0],
            ]
            .map(Point::from)
            .to_vec(),
        )
    }

    #[test]
    fn rectangle_is_cut_into_equal_cells_no_larger_than_the_pitch() {
        let cells = cells(
            &Polygon::rectangle(Point::new(1.0, 2.0), Point::new(4.0, 4.2)),
            0.5,
        );
        assert_eq!(cells.len(), 6 * 5);
        assert!(cells.iter().all(|c| (c.area - 0.5 * 0.44).abs() < 1e-12));
        assert!(cells[0].centre.distance(Point::new(1.25, 2.22)) < 1e-12);
    }

    #[test]
    fn areas_of_the_cells_add_up_and_centres_are_inside() {
        let room = l_room();
        for pitch in [0.17, 0.5, 1.0, 7.0] {
            let cells = cells(&room, pitch);
            let sum: f64 = cells.iter().map(|c| c.area).sum();
            assert!(
                (sum - (6.0 * 3.1 + 2.7 * 1.9)).abs() < 1e-9,
                "pitch {pitch}: {sum}"
            );
            assert!(cells.iter().all(|c| room.contains(c.centre)));
        }
    }

    #[test]
    fn useless_pitch_gives_no_cells() {
        assert!(cells(&l_room(), 0.0).is_empty());
        assert!(cells(&l_room(), f64::NAN).is_empty());
        assert!(cells(&Polygon::default(), 1.0).is_empty());
        assert!(cells(&l_room(), 1e-9).len() <= 1_010_000);
    }

    proptest! {
        /// Star-shaped polygons: the area is `geo`'s unsigned_area (an independent library).
        #[test]
        fn areas_add_up_to_the_area_another_library_gives(
            radii in prop::collection::vec(0.5f64..20.0, 3..14),
            pitch in 0.3f64..3.0,
        ) {
            use geo::Area;
            let n = radii.len() as f64;
            let ring: Vec<Point> = radii.iter().enumerate().map(|(i, r)| {
                let angle = i as f64 / n * std::f64::consts::TAU;
                Point::new(40.0 + r * angle.cos(), r * angle.sin())
            }).collect();
            let line: geo::LineString = ring.iter().map(|p| (p.x, p.y)).collect();
            let expected = geo::Polygon::new(line, vec![]).unsigned_area();
            let sum: f64 = cells(&Polygon::new(ring), pitch).iter().map(|c| c.area).sum();
            prop_assert!((sum - expected).abs() < 1e-9);
        }
    }
}

//! From metres of a floor to millimetres of a sheet, or to pixels of a screen.

use crate::documents::drawing::Spot;
use crate::geometry::{Bounds, Point};

/// Scales that are found on a scale rule (ISO 5455 and the steps between that the trade prints).
const SCALES: [u32; 15] = [
    20, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 2000, 5000,
];

/// How a floor lies on the drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// 1:`scale` on paper; 0 on a screen.
    pub scale: u32,
    /// Units of the drawing for a metre of floor.
    per_metre: f64,
    /// The point of the floor that lies at `at`.
    middle: Point,
    at: Spot,
}

impl View {
    /// The largest scale at which `bounds` fits into a rectangle of the paper, in its middle.
    pub fn fitting(bounds: Bounds, corner: Spot, width: f64, height: f64) -> View {
        let fits = |scale: &u32| {
            let mm = 1000.0 / f64::from(*scale);
            bounds.width() * mm <= width && bounds.height() * mm <= height
        };
        let scale = SCALES.into_iter().find(fits).unwrap_or(10_000);
        View {
            scale,
            per_metre: 1000.0 / f64::from(scale),
            middle: bounds.centre(),
            at: corner.plus(width / 2.0, height / 2.0),
        }
    }

    /// The same scale, moved so that as much as can be of `sheet` is seen beside all of `drawn`, on
    /// a paper of this size, mm.
    pub fn towards(self, sheet: Bounds, drawn: Bounds, size: (f64, f64)) -> View {
        let middle = |window: f64, sheet: (f64, f64), drawn: (f64, f64)| {
            let half = window / self.per_metre / 2.0;
            let clamp = |value: f64, a: f64, b: f64| value.clamp(a.min(b), a.max(b));
            let wished = clamp((drawn.0 + drawn.1) / 2.0, sheet.0 + half, sheet.1 - half);
            clamp(wished, drawn.1 - half, drawn.0 + half)
        };
        let across = |b: Bounds| (b.min.x, b.max.x);
        let down = |b: Bounds| (b.min.y, b.max.y);
        View {
            middle: Point::new(
                middle(size.0, across(sheet), across(drawn)),
                middle(size.1, down(sheet), down(drawn)),
            ),
            ..self
        }
    }

    /// A screen with so many pixels for a metre, the floor's origin at its origin.
    pub fn screen(pixels_per_metre: f64) -> View {
        View {
            scale: 0,
            per_metre: pixels_per_metre,
            middle: Point::new(0.0, 0.0),
            at: Spot::new(0.0, 0.0),
        }
    }

    /// The place of a point of the floor.
    pub fn spot(&self, p: Point) -> Spot {
        self.at.plus(
            self.long(p.x - self.middle.x),
            self.long(p.y - self.middle.y),
        )
    }

    /// The point of the floor at a place of the drawing, m.
    pub fn point(&self, spot: Spot) -> Point {
        Point::new(
            self.middle.x + (spot.x - self.at.x) / self.per_metre,
            self.middle.y + (spot.y - self.at.y) / self.per_metre,
        )
    }

    /// The places of points of the floor.
    pub fn spots(&self, points: &[Point]) -> Vec<Spot> {
        points.iter().map(|&p| self.spot(p)).collect()
    }

    /// A length of the floor, m, on the drawing.
    pub fn long(&self, metres: f64) -> f64 {
        metres * self.per_metre
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bounds(left: f64, top: f64, right: f64, foot: f64) -> Bounds {
        Bounds {
            min: Point::new(left, top),
            max: Point::new(right, foot),
        }
    }

    #[test]
    fn a_plan_that_is_larger_than_the_paper_leaves_no_blank_above_it() {
        let corner = Spot::new(27.0, 16.0);
        // Rooms at the upper edge of a sheet of 100 m by 100 m.
        let (drawn, sheet) = (bounds(2.0, 1.0, 36.0, 9.0), bounds(0.0, 0.0, 100.0, 100.0));
        let view = View::fitting(drawn, corner, 376.0, 214.0).towards(sheet, drawn, (376.0, 214.0));
        assert_eq!(view.scale, 100);
        assert!((view.spot(sheet.min).y - corner.y).abs() < 1e-9);
        for point in [drawn.min, drawn.max] {
            let spot = view.spot(point);
            assert!(spot.x >= 27.0 && spot.x <= 403.0 && spot.y >= 16.0 && spot.y <= 230.0);
        }
    }
}

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

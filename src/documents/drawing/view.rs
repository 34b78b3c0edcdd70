//! From metres of a floor to millimetres of a sheet.

use crate::documents::drawing::Spot;
use crate::geometry::{Bounds, Point};

/// Scales that are found on a scale rule (ISO 5455 and the steps between that the trade prints).
const SCALES: [u32; 15] = [
    20, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 2000, 5000,
];

/// How a floor lies on the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// 1:`scale`.
    pub scale: u32,
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
            middle: bounds.centre(),
            at: corner.plus(width / 2.0, height / 2.0),
        }
    }

    /// The place of a point of the floor.
    pub fn spot(&self, p: Point) -> Spot {
        self.at
            .plus(self.mm(p.x - self.middle.x), self.mm(p.y - self.middle.y))
    }

    /// The places of points of the floor.
    pub fn spots(&self, points: &[Point]) -> Vec<Spot> {
        points.iter().map(|&p| self.spot(p)).collect()
    }

    /// A length of the floor, m, on the paper, mm.
    pub fn mm(&self, metres: f64) -> f64 {
        metres * 1000.0 / f64::from(self.scale)
    }
}

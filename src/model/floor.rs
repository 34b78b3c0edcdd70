//! Floors and the plan sheets that lie under the drawing.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::Point;
use crate::model::ids::FloorId;
use crate::model::register::Entry;
use crate::units::Metres;

/// One floor of the building.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Floor {
    pub id: FloorId,
    pub name: String,
    /// Finished floor above the building's datum, m. Orders the floors.
    pub elevation: Metres,
    /// The client's drawing under ours.
    #[serde(default)]
    pub sheet: Option<PlanSheet>,
}

/// An uploaded drawing on a floor, with scale, rotation and place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanSheet {
    /// Fingerprint (SHA-256, hexadecimal) of the picture shown; the picture is kept by the store.
    pub image: String,
    /// Name of the file it came from.
    pub name: String,
    /// Page of that file, from 1.
    pub page: u32,
    pub width_px: u32,
    pub height_px: u32,
    /// Two points of the picture and the length between them. Without it the scale is a guess.
    #[serde(default)]
    pub scale: Option<SheetScale>,
    /// Clockwise, degrees, about the middle of the picture.
    #[serde(default)]
    pub rotation: f64,
    /// Where the upper left corner of the turned picture's bounding box lies, m.
    #[serde(default)]
    pub origin: Point,
    /// How far the sheet is faded: 0 as it is, 1 gone.
    #[serde(default = "default_fade")]
    pub fade: f64,
}

/// How far a sheet is faded until somebody fades it otherwise: thin grey lines can still be traced,
/// our own lines stand out.
pub const PLAN_FADE: f64 = 0.4;

fn default_fade() -> f64 {
    PLAN_FADE
}

/// A length typed for the distance between two points of the picture.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SheetScale {
    /// First point, pixels from the upper left corner of the unturned picture.
    pub a: Point,
    /// Second point, pixels.
    pub b: Point,
    /// The true distance between them, m.
    pub length: Metres,
}

/// The long side of a sheet without a scale is shown as this many metres.
pub const UNSCALED_LONG_SIDE_M: f64 = 40.0;

impl PlanSheet {
    /// Metres a pixel; a guess from [`UNSCALED_LONG_SIDE_M`] while no scale is set.
    pub fn metres_per_px(&self) -> f64 {
        match self.scale {
            Some(scale) => scale.length.get() / scale.a.distance(scale.b),
            None => UNSCALED_LONG_SIDE_M / f64::from(self.width_px.max(self.height_px).max(1)),
        }
    }

    /// Width and height of the turned picture's bounding box, m.
    pub fn extent(&self) -> (f64, f64) {
        let (sin, cos) = self.rotation.to_radians().sin_cos();
        let w = f64::from(self.width_px) * self.metres_per_px();
        let h = f64::from(self.height_px) * self.metres_per_px();
        (
            (w * cos).abs() + (h * sin).abs(),
            (w * sin).abs() + (h * cos).abs(),
        )
    }

    /// The place on the floor, m, of a point of the unturned picture, px.
    pub fn to_floor(&self, px: Point) -> Point {
        let m = self.metres_per_px();
        let (sin, cos) = self.rotation.to_radians().sin_cos();
        let x = (px.x - f64::from(self.width_px) / 2.0) * m;
        let y = (px.y - f64::from(self.height_px) / 2.0) * m;
        let (w, h) = self.extent();
        Point::new(
            self.origin.x + w / 2.0 + x * cos - y * sin,
            self.origin.y + h / 2.0 + x * sin + y * cos,
        )
    }
}

impl Entry for Floor {
    type Id = FloorId;
    const NOUN: &'static str = "floor";
    fn id(&self) -> FloorId {
        self.id
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(rotation: f64, scale: Option<SheetScale>) -> PlanSheet {
        PlanSheet {
            image: "00".to_owned(),
            name: "plan.png".to_owned(),
            page: 1,
            width_px: 400,
            height_px: 200,
            scale,
            rotation,
            origin: Point::new(1.0, 2.0),
            fade: 0.5,
        }
    }

    const TEN_PX_A_METRE: SheetScale = SheetScale {
        a: Point::new(0.0, 0.0),
        b: Point::new(100.0, 0.0),
        length: Metres::new(10.0),
    };

    fn check(rotation: f64, px: Point, expected: Point) {
        let at = sheet(rotation, Some(TEN_PX_A_METRE)).to_floor(px);
        assert!(at.distance(expected) < 1e-9, "{at:?} is not {expected:?}");
    }

    #[test]
    fn the_upper_left_corner_lies_at_the_origin() {
        check(0.0, Point::new(0.0, 0.0), Point::new(1.0, 2.0));
        check(0.0, Point::new(400.0, 200.0), Point::new(41.0, 22.0));
    }

    #[test]
    fn a_quarter_turn_clockwise_puts_the_lower_left_corner_at_the_origin() {
        check(90.0, Point::new(0.0, 200.0), Point::new(1.0, 2.0));
        check(90.0, Point::new(0.0, 0.0), Point::new(21.0, 2.0));
    }

    #[test]
    fn a_sheet_without_scale_is_shown_forty_metres_long() {
        assert_eq!(
            sheet(0.0, None).extent(),
            (UNSCALED_LONG_SIDE_M, UNSCALED_LONG_SIDE_M / 2.0)
        );
    }
}

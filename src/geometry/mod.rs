//! Plane geometry in metres: no domain words, nothing of rooms or gas.
//!
//! Axes: x to the right, y down the plan.

pub mod clip;
pub mod geodesic;
pub mod grid;
pub mod labels;
pub mod point;
pub mod polygon;
pub mod polyline;
pub mod segment;
pub mod visibility;

pub use geodesic::Airways;
pub use grid::{Cell, cells};
pub use point::Point;
pub use polygon::{BoundaryPoint, Bounds, InsetPoint, Polygon, PolygonFault};
pub use segment::{Meeting, Segment};
pub use visibility::Sight;

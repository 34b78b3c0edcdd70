//! Plane geometry in metres: no domain words, nothing of rooms or gas.
//!
//! Axes: x to the right, y down the plan.

pub mod point;

pub use point::Point;

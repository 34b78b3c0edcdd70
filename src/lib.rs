//! Brattice: from a floor plan to a fixed gas detection design.

pub mod units;
pub mod geometry;
pub mod model;
pub mod engine;
pub mod documents;

//! Brattice: from a floor plan to a fixed gas detection design.

pub mod geometry;


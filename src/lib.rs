//! Brattice: from a floor plan to a fixed gas detection design.

pub mod units;
#[deny(clippy::disallowed_methods, clippy::disallowed_types)]
pub mod geometry;
#[deny(clippy::disallowed_methods, clippy::disallowed_types)]
pub mod model;
#[deny(clippy::disallowed_methods, clippy::disallowed_types)]
pub mod engine;
pub mod plan;
#[deny(clippy::disallowed_methods, clippy::disallowed_types)]
pub mod documents;
pub mod store;
pub mod workflow;
pub mod web;

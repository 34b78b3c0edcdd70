//! Substances: what a gas is, when it burns, when it harms, and how its vapour lies in a room.
//!
//! The figures come from `tables/<publication>_<year>.csv`, one file a source; sources that differ
//! stand side by side and the jurisdiction picks. This module must not place or choose anything.

pub mod table;
pub mod atoms;
pub mod substance;
mod assemble;
mod lookup;
pub mod mixture;
pub mod stated;
mod of_project;
mod naming;
pub mod hazard;
pub mod density;
pub mod vapour;
pub mod virial;
pub mod air;
pub mod state;
pub mod sensing;
#[cfg(test)]
mod tests;

pub use hazard::{hazards, is_toxic};
pub use lookup::{by_number, find, number_asked, same_formula, search, substances};
pub use naming::within_sentence;
pub use of_project::Substances;
pub use substance::{
    Antoine, AntoineForm, Component, Critical, ExposureLimit, Family, Figure, FlammabilityTable,
    FlammableLimit, GasGroup, LimitKind, PolarClass, Regime, SecondVirial, Substance,
    SubstanceOrigin, TemperatureClass, composition_text,
};

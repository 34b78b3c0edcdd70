//! Checks of the engine against something outside the project; each names its source.

mod conductor;
mod gas_density;
mod voltage_drop;

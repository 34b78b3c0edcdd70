//! Checks of the engine against something outside the project; each names its source.

mod atmosphere;
mod conductor;
mod discharge;
mod exposure_limits;
mod free_paths;
mod gas_density;
mod mixtures;
mod mounting_bands;
mod placement_brute_force;
mod real_gas;
mod substances;
mod voltage_drop;
mod worst;

//! Substances, their limits and densities.

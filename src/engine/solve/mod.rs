//! Solvers without domain words.

pub mod allowance;
pub mod cover;
pub mod exchange;
pub mod lines;
pub mod share;
pub mod shortest;
pub mod tour;

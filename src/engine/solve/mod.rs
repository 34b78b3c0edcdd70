//! Solvers without domain words.

pub mod cover;
pub mod exchange;
pub mod lines;
pub mod shortest;
pub mod tour;

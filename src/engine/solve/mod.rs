//! Solvers without domain words.

pub mod cover;

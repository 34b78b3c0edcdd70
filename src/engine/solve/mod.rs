//! Solvers without domain words.

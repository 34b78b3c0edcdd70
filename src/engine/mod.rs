//! The engine: a project in, results out. Pure: no file, clock, network or chance.
//!
//! Each step uses only what stands above it.

pub mod formula;
pub mod trace;
pub mod finding;
pub mod results;
pub mod progress;
pub mod suggestion;
pub mod solve;
pub mod gas;

pub use finding::{Finding, Fix, Severity};
pub use progress::{Progress, Silent};
pub use results::Results;
pub use suggestion::{Scope, Suggestion};
pub use trace::{Quantity, Trace};

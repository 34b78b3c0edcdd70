//! Values become bytes. The writers know file formats and no engineering.

mod csv;

pub use self::csv::csv;

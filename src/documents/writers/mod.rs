//! Values become bytes. The writers know file formats and no engineering.

mod csv;
mod xlsx;
mod svg;
mod pdf;

pub use self::csv::csv;
pub use self::pdf::{PdfError, calculation_pdf, pdf};
pub use self::svg::svg;
pub use self::xlsx::xlsx;

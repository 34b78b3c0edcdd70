//! Documents: a project and its results become tables, drawings and files.
//!
//! `content` knows no file format, `writers` know no engineering. Pure: the date and the pictures
//! of the plan sheets come in as arguments, so the same input gives the same bytes.

pub mod number;
pub mod table;
pub mod content;
pub mod writers;

pub use number::Decimals;
pub use table::{Cell, Column, ColumnKind, Row, RowKind, Table};

//! Documents: a project and its results become tables, drawings and files.
//!
//! `content` knows no file format, `writers` know no engineering. Pure: the date and the pictures
//! of the plan sheets come in as arguments, so the same input gives the same bytes.

pub mod number;
pub mod table;
pub mod content;
pub mod drawing;
mod document;
mod calculation;
pub mod writers;

pub use calculation::{
    CalculationSheet, CalculationSheets, Chosen, FigureOf, FormulaLine, Grounds, Headline,
    InputLine, MissingRelease, SharedPart, Step, StepInput, VerdictLine, calculation_sheets,
    inputs_table,
};
pub use document::{CAUTION, Document, Issue, Sheets, project_document, title_block, title_totals};
pub use drawing::TitleBlock;
pub use number::Decimals;
pub use table::{Cell, Column, ColumnKind, Row, RowKind, Table};

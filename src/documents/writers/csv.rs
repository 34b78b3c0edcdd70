//! Comma-separated values (RFC 4180): UTF-8, a head with units, plain figures with ".".
//!
//! Headings and the sums of groups are left out: each row is a thing. What adds the rows up stands
//! in the last one, named so in its first column.

use crate::documents::document::Issue;
use crate::documents::number;
use crate::documents::table::{Cell, Column, ColumnKind, Row, RowKind, Table};

/// The table as CSV, the date of issue in the last column of every row. A text that a spreadsheet
/// would take for a formula gets an apostrophe.
pub fn csv(table: &Table, issue: &Issue) -> Vec<u8> {
    let mut writer = ::csv::WriterBuilder::new()
        .terminator(::csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let head = table.columns.iter().flat_map(|column| heads(table, column));
    let head = head.chain(["issued".to_owned()]);
    let kept = |row: &&Row| matches!(row.kind, RowKind::Plain | RowKind::Total);
    let rows = table.rows.iter().filter(kept);
    let body = rows.map(|row| {
        let cells = table.columns.iter().zip(&row.cells);
        cells
            .flat_map(|(column, cell)| fields(table, column, cell))
            .chain([issue.date.clone()])
            .collect::<Vec<_>>()
    });
    for record in std::iter::once(head.collect::<Vec<_>>()).chain(body) {
        writer
            .write_record(&record)
            .expect("memory takes every write, rows are of one length");
    }
    writer.into_inner().expect("memory takes every write")
}

/// The column's name with its unit; two columns where the unit changes from row to row.
fn heads(table: &Table, column: &Column) -> Vec<String> {
    match column.kind {
        ColumnKind::Text | ColumnKind::ToFill => vec![column.head.to_owned()],
        ColumnKind::Mixed => vec![column.head.to_owned(), format!("{} unit", column.head)],
        ColumnKind::Number(unit) => {
            match number::plain_symbol(unit, table.units, &table.currency).as_str() {
                "" => vec![column.head.to_owned()],
                symbol => vec![format!("{} ({symbol})", column.head)],
            }
        }
    }
}

fn fields(table: &Table, column: &Column, cell: &Cell) -> Vec<String> {
    let (value, unit) = match (cell.figure(), cell) {
        (Some((value, unit, decimals)), _) => (
            number::plain(value, unit, decimals, table.units),
            number::plain_symbol(unit, table.units, &table.currency),
        ),
        (None, Cell::Text(text)) => (disarmed(text), String::new()),
        (None, _) => (String::new(), String::new()),
    };
    match column.kind {
        ColumnKind::Mixed => vec![value, unit],
        _ => vec![value],
    }
}

/// Texts that begin like a formula are taken for one by spreadsheets (OWASP, CSV injection).
fn disarmed(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

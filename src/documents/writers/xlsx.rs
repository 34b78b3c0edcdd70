//! A workbook: one sheet per table, real figures with number formats.

use rust_xlsxwriter::{
    Color, DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook, Worksheet,
    XlsxError,
};

use crate::documents::document::{CAUTION, Issue};
use crate::documents::number::{self, Decimals};
use crate::documents::table::{Cell, Column, ColumnKind, Row, RowKind, Table};
use crate::units::Unit;

/// Letters a spreadsheet does not allow in the name of a sheet.
const FORBIDDEN: [char; 7] = ['[', ']', ':', '*', '?', '/', '\\'];

/// The tables as a workbook; its dates are the issue's, so the same tables give the same bytes.
///
/// # Errors
/// Where a table is larger than a worksheet can be.
pub fn xlsx(tables: &[Table], issue: &Issue) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let date = ExcelDateTime::parse_from_str(&issue.date)
        .or_else(|_| ExcelDateTime::from_ymd(2000, 1, 1))?;
    let properties = DocProperties::new()
        .set_title("Schedules")
        .set_author(&issue.author)
        .set_comment(CAUTION)
        .set_creation_datetime(&date);
    book.set_properties(&properties);
    for table in tables {
        let sheet = book.add_worksheet();
        let name: String = table
            .title
            .chars()
            .filter(|c| !FORBIDDEN.contains(c))
            .take(31)
            .collect();
        sheet.set_name(name)?;
        sheet.set_footer(format!("&L{CAUTION}&R{}", issue.date));
        write_table(sheet, table)?;
    }
    book.save_to_buffer()
}

/// A column of the worksheet: a column of the table, or the unit beside one of mixed units.
fn n_places(column: &Column) -> u16 {
    if column.kind == ColumnKind::Mixed {
        2
    } else {
        1
    }
}

fn write_table(sheet: &mut Worksheet, table: &Table) -> Result<(), XlsxError> {
    let head = Format::new()
        .set_bold()
        .set_text_wrap()
        .set_align(FormatAlign::Bottom)
        .set_border_bottom(FormatBorder::Medium);
    let mut place = 0;
    for column in &table.columns {
        let symbol = match column.kind {
            ColumnKind::Number(unit) => number::plain_symbol(unit, table.units, &table.currency),
            _ => String::new(),
        };
        let words = match symbol.as_str() {
            "" => column.head.to_owned(),
            symbol => format!("{} ({symbol})", column.head),
        };
        sheet.write_string_with_format(0, place, words, &head)?;
        sheet.set_column_width(place, (column.width * 0.55).max(8.0))?;
        if column.kind == ColumnKind::Mixed {
            sheet.write_string_with_format(0, place + 1, "unit", &head)?;
            sheet.set_column_width(place + 1, 8.0)?;
        }
        place += n_places(column);
    }
    sheet.set_freeze_panes(1, 1)?;
    sheet.set_landscape();
    sheet.set_paper_size(9);
    sheet.set_print_fit_to_pages(1, 0);
    sheet.set_repeat_rows(0, 0)?;
    let mut line = 1;
    for row in &table.rows {
        write_row(sheet, table, row, line)?;
        line += 1;
    }
    if table.rows.is_empty() {
        sheet.write_string(line, 0, &table.empty)?;
        line += 1;
    }
    for (idx, note) in (1..).zip(&table.notes) {
        sheet.write_string(line + idx, 0, note)?;
    }
    Ok(())
}

fn write_row(sheet: &mut Worksheet, table: &Table, row: &Row, line: u32) -> Result<(), XlsxError> {
    let mut place = 0;
    for (column, cell) in table.columns.iter().zip(&row.cells) {
        let format = base_format(row.kind);
        match (cell.figure(), cell) {
            (Some((value, unit, decimals)), _) if value.is_finite() => {
                let plain = number::plain(value, unit, decimals, table.units);
                let figure: f64 = plain.parse().unwrap_or(value);
                let format = format.set_num_format(pattern(&plain, unit, table, decimals));
                sheet.write_number_with_format(line, place, figure, &format)?;
                if column.kind == ColumnKind::Mixed {
                    let symbol = number::plain_symbol(unit, table.units, &table.currency);
                    let format = base_format(row.kind);
                    sheet.write_string_with_format(line, place + 1, symbol, &format)?;
                }
            }
            (_, Cell::Text(words)) if !words.is_empty() => {
                let format = if column.width > 40.0 {
                    format.set_text_wrap()
                } else {
                    format
                };
                sheet.write_string_with_format(line, place, words, &format)?;
            }
            _ => {
                sheet.write_blank(line, place, &format)?;
            }
        }
        place += n_places(column);
    }
    Ok(())
}

fn base_format(kind: RowKind) -> Format {
    let format = Format::new().set_align(FormatAlign::Top);
    match kind {
        RowKind::Plain => format,
        RowKind::Heading => format
            .set_bold()
            .set_background_color(Color::RGB(0x00EE_EEEA)),
        RowKind::Subtotal => format.set_bold().set_border_top(FormatBorder::Thin),
        RowKind::Total => format.set_bold().set_border_top(FormatBorder::Double),
    }
}

/// The number format that shows the figure as it prints.
fn pattern(plain: &str, unit: Unit, table: &Table, decimals: Decimals) -> String {
    let places = plain
        .split_once('.')
        .map_or(0, |(_, fraction)| fraction.len());
    let fraction = if places > 0 {
        format!(".{}", "0".repeat(places))
    } else {
        String::new()
    };
    match unit {
        Unit::Money | Unit::MoneyPerHour if !table.currency.is_empty() => {
            format!("\"{}\" #,##0{fraction}", table.currency.replace('"', ""))
        }
        Unit::Money | Unit::MoneyPerHour => format!("#,##0{fraction}"),
        _ if decimals == Decimals::AsSet => "General".to_owned(),
        _ => format!("0{fraction}"),
    }
}

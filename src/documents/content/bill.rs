//! The bill of materials, with a sum for each group and what the price holds.

use crate::documents::number::Decimals;
use crate::documents::table::{Cell, Column, RowKind, Table};
use crate::engine::finding::{Finding, Severity};
use crate::engine::results::{BillGroup, BillRow};
use crate::engine::{Quantity, Results};
use crate::model::{Project, UnitSystem};
use crate::units::Unit;

/// One row per part or work, grouped, with subtotals and the total.
pub fn bill_of_materials(project: &Project, results: &Results) -> Table {
    let columns = vec![
        Column::text("group", 34.0),
        Column::text("part", 28.0),
        Column::text("description", 110.0),
        Column::mixed("quantity", 24.0),
        Column::number("price of one", Unit::Money, 30.0),
        Column::number("amount", Unit::Money, 34.0),
    ];
    let empty = "Nothing to buy yet: no detector, panel or cable is placed.";
    let mut table = Table::new(
        project,
        "bill-of-materials",
        "Bill of materials",
        columns,
        empty,
    );
    let mut rows: Vec<&BillRow> = results.take_off.bill.iter().collect();
    rows.sort_by_key(|row| row.group);
    for rows in rows.chunk_by(|a, b| a.group == b.group) {
        add_group(&mut table, rows[0].group, rows);
    }
    if let Some(totals) = &results.take_off.totals {
        if table.n_rows() > 0 {
            let mut total = sum_row("Total", Cell::number(totals.price));
            total[2] = Cell::text(standing(project, results));
            table.push(RowKind::Total, total);
        }
        table.notes.push(totals.price_holds.clone());
    }
    if !project.catalogue.name.is_empty() {
        table
            .notes
            .push(format!("Prices: catalogue {}.", project.catalogue.name));
    }
    table
        .notes
        .push("What is already on site is counted and not bought.".to_owned());
    table
}

/// What a reader of the total alone must know; empty where it is a price to offer.
fn standing(project: &Project, results: &Results) -> String {
    let mut parts = Vec::new();
    if project.catalogue.sample {
        parts.push("prices are invented, no offer".to_owned());
    }
    let is_blocker = |finding: &&Finding| finding.severity == Severity::Blocker;
    match results.findings.iter().filter(is_blocker).count() {
        0 => {}
        1 => parts.push("one blocker is open".to_owned()),
        n => parts.push(format!("{n} blockers are open")),
    }
    parts.join("; ")
}

fn add_group(table: &mut Table, group: BillGroup, rows: &[&BillRow]) {
    table.heading(group.label());
    for row in rows {
        table.row(vec![
            Cell::text(group.label()),
            Cell::text(&row.part),
            Cell::text(&row.description),
            quantity(row.quantity),
            price_of_one(row, table.units),
            Cell::number(row.amount),
        ]);
    }
    let of = rows.iter().map(|row| row.amount).collect();
    let sum = Cell::Sum {
        of,
        decimals: Decimals::OfUnit,
    };
    table.push(RowKind::Subtotal, sum_row(group.label(), sum));
}

/// Hours to 0.01, so that they multiply to the amount as they are printed.
fn quantity(quantity: Quantity) -> Cell {
    let decimals = match quantity.unit {
        Unit::Hour => Decimals::Places(2),
        _ => Decimals::OfUnit,
    };
    Cell::Number { quantity, decimals }
}

/// To the cent; a foot of cable to a hundredth of it.
fn price_of_one(row: &BillRow, units: UnitSystem) -> Cell {
    let decimals = match (row.group, units) {
        (BillGroup::Cable, UnitSystem::UsCustomary) => Decimals::Places(4),
        _ => Decimals::OfUnit,
    };
    Cell::Number {
        quantity: row.unit_price,
        decimals,
    }
}

fn sum_row(label: &str, sum: Cell) -> Vec<Cell> {
    let mut cells = vec![Cell::empty(); 6];
    cells[0] = Cell::text(label);
    cells[5] = sum;
    cells
}

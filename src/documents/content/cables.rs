//! The segment schedule and the cable schedule.

use crate::documents::content::names;
use crate::documents::table::{Cell, Column, RowKind, Table};
use crate::engine::Results;
use crate::engine::results::{CableRow, Crossing, CrossingKind, SegmentResult};
use crate::model::{ItemKey, Project, Segment, SegmentId};
use crate::units::Unit;

const NONE_YET: &str = "No cable yet: the field devices are not wired to a control panel.";

/// One row per bus segment: panel connection, cable, devices, length, current and least volts.
pub fn segment_schedule(project: &Project, results: &Results) -> Table {
    let columns = vec![
        Column::text("segment", 15.0),
        Column::text("panel", 18.0),
        Column::text("connection", 18.0),
        Column::text("cable", 34.0),
        Column::number("devices", Unit::One, 16.0),
        Column::number("most devices", Unit::One, 16.0),
        Column::number("measuring points", Unit::One, 20.0),
        Column::number("length", Unit::Metre, 18.0),
        Column::number("longest", Unit::Metre, 16.0),
        Column::number("current", Unit::Ampere, 18.0),
        Column::number("current limit", Unit::Ampere, 20.0),
        Column::number("supply", Unit::Volt, 16.0),
        Column::text("worst device", 20.0),
        Column::number("volts there", Unit::Volt, 18.0),
        Column::number("it needs", Unit::Volt, 16.0),
    ];
    let mut table = Table::new(
        project,
        "segment-schedule",
        "Segment schedule",
        columns,
        NONE_YET,
    );
    for segment in &project.segments {
        if let Some(result) = results.segments.get(&segment.id) {
            table.row(segment_cells(project, segment, result));
        }
    }
    table.notes.push(
        "Volts at the end of the battery, every output on. Limits keep the spare \
         of the basis of design. Worst device: the one with the least \
         volts to spare."
            .to_owned(),
    );
    table
}

/// One row per cable, grouped by segment: route, vertical runs, terminations, slack, crossings.
pub fn cable_schedule(project: &Project, results: &Results) -> Table {
    let columns = vec![
        Column::text("cable", 18.0),
        Column::text("segment", 15.0),
        Column::text("from", 18.0),
        Column::text("to", 18.0),
        Column::text("part", 22.0),
        Column::text("description", 44.0),
        Column::number("horizontal", Unit::Metre, 18.0),
        Column::number("vertical", Unit::Metre, 16.0),
        Column::number("terminations", Unit::Metre, 20.0),
        Column::number("slack", Unit::Metre, 14.0),
        Column::number("length", Unit::Metre, 16.0),
        Column::text("goes through", 34.0),
        Column::number("resistance", Unit::Ohm, 18.0),
        Column::number("drop", Unit::Volt, 14.0),
    ];
    let mut table = Table::new(
        project,
        "cable-schedule",
        "Cable schedule",
        columns,
        NONE_YET,
    );
    let mut last = None;
    for row in &results.take_off.cables {
        if last != Some(row.segment) {
            close_segment(&mut table, project, results, last);
            last = Some(row.segment);
        }
        let segment = project.segments.get(row.segment);
        table.row(cable_cells(row, segment));
    }
    close_segment(&mut table, project, results, last);
    if let Some(totals) = results.take_off.totals.as_ref().filter(|_| last.is_some()) {
        table.push(
            RowKind::Total,
            sum_row("All cables", Cell::number(totals.cable)),
        );
    }
    table.notes.push(
        "Length to order = horizontal + vertical + terminations + slack. Resistance is of both \
         cores. Seal every crossing as the wall or floor demands. From and to name field devices: \
         the detector schedule says which detector each carries."
            .to_owned(),
    );
    table
}

fn segment_cells(project: &Project, segment: &Segment, result: &SegmentResult) -> Vec<Cell> {
    let worst = result
        .volts
        .iter()
        .find(|volts| Some(volts.device) == result.worst);
    let part = project.catalogue.item(&segment.cable);
    vec![
        Cell::text(&segment.tag),
        Cell::text(names::thing(project, ItemKey::Panel(segment.panel))),
        Cell::text(segment.connection.to_string()),
        Cell::text(part.map_or(segment.cable.as_str(), |item| item.description.as_str())),
        Cell::number(result.n_devices),
        known(result.device_limit.map(Cell::as_set)),
        Cell::number(result.measuring_points),
        Cell::number(result.length),
        known(result.length_limit.map(Cell::as_set)),
        Cell::number(result.current),
        known(result.current_limit.map(Cell::as_set)),
        known(result.supply.map(Cell::number)),
        Cell::text(worst.map_or("", |volts| volts.tag.as_str())),
        Cell::maybe(worst.map(|volts| Cell::number(volts.volts))),
        Cell::maybe(worst.map(|volts| Cell::as_set(volts.least))),
    ]
}

/// A dash where the panel has no part of the catalogue.
fn known(cell: Option<Cell>) -> Cell {
    cell.unwrap_or_else(|| Cell::text("–"))
}

fn cable_cells(row: &CableRow, segment: Option<&Segment>) -> Vec<Cell> {
    let cable = &row.cable;
    vec![
        Cell::text(&cable.tag),
        Cell::text(segment.map_or("", |segment| segment.tag.as_str())),
        Cell::text(&cable.from),
        Cell::text(&cable.to),
        Cell::text(&cable.part),
        Cell::text(&row.description),
        Cell::number(cable.horizontal),
        Cell::number(cable.vertical),
        Cell::number(cable.terminations),
        Cell::number(cable.slack),
        Cell::number(cable.length),
        Cell::text(crossings(&cable.crossings)),
        Cell::number(cable.resistance),
        Cell::number(cable.drop),
    ]
}

fn close_segment(table: &mut Table, project: &Project, results: &Results, last: Option<SegmentId>) {
    let Some((id, result)) = last.and_then(|id| Some((id, results.segments.get(&id)?))) else {
        return;
    };
    let label = format!("All of {}", names::thing(project, ItemKey::Segment(id)));
    table.push(
        RowKind::Subtotal,
        sum_row(&label, Cell::number(result.length)),
    );
}

fn sum_row(label: &str, sum: Cell) -> Vec<Cell> {
    let mut cells = vec![Cell::empty(); 14];
    cells[0] = Cell::text(label);
    cells[10] = sum;
    cells
}

fn crossings(crossings: &[Crossing]) -> String {
    let kinds = [
        (CrossingKind::Wall, "wall", "walls"),
        (CrossingKind::Opening, "opening", "openings"),
        (CrossingKind::Slab, "floor slab", "floor slabs"),
    ];
    let mut parts = Vec::new();
    for (kind, one, many) in kinds {
        let n = crossings
            .iter()
            .filter(|crossing| crossing.through == kind)
            .count();
        match n {
            0 => {}
            1 => parts.push(format!("1 {one}")),
            n => parts.push(format!("{n} {many}")),
        }
    }
    parts.join(", ")
}

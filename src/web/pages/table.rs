//! A table of `documents` as HTML: figures open their reasons, tags lead to their places.

use std::collections::BTreeMap;

use crate::documents::content::names;
use crate::documents::number::symbol;
use crate::documents::{Cell, ColumnKind, RowKind, Table};
use crate::model::{FloorId, ItemKey, Project};
use crate::web::figures::Figures;
use crate::workflow::Opened;

/// A table ready for the template `macros/table.html`.
pub(super) struct HtmlTable {
    pub(super) key: &'static str,
    pub(super) title: String,
    pub(super) columns: Vec<HtmlColumn>,
    pub(super) rows: Vec<HtmlRow>,
    pub(super) notes: Vec<String>,
    pub(super) empty: String,
}

pub(super) struct HtmlColumn {
    pub(super) head: &'static str,
    pub(super) class: &'static str,
}

pub(super) struct HtmlRow {
    pub(super) class: &'static str,
    /// A heading spans the table.
    pub(super) heading: Option<String>,
    pub(super) cells: Vec<HtmlCell>,
}

pub(super) struct HtmlCell {
    pub(super) class: &'static str,
    pub(super) text: String,
    pub(super) why: Option<String>,
    pub(super) place: Option<String>,
    pub(super) ground: Option<String>,
}

/// Columns whose cells name a thing that has a place.
const NAMING: [&str; 7] = [
    "tag",
    "device",
    "about",
    "from",
    "to",
    "worst device",
    "segment",
];

/// The table, without the columns that have nothing in any row.
pub(super) fn html_table(opened: &Opened, table: &Table) -> HtmlTable {
    let figures = Figures::of(opened);
    let places = places(opened);
    let shown = shown(table);
    let rows = table.rows.iter().map(|row| {
        let cell = |&at: &usize| {
            let cell = row.cells.get(at).unwrap_or(&NOTHING);
            html_cell(table, at, cell, &figures, &places)
        };
        let first = row.cells.first().map(|cell| table.print(cell));
        let first = first.unwrap_or_default();
        let heading = (row.kind == RowKind::Heading).then(|| first.clone());
        let mut cells: Vec<HtmlCell> = match heading {
            Some(_) => Vec::new(),
            None => shown.iter().map(cell).collect(),
        };
        let sum = matches!(row.kind, RowKind::Subtotal | RowKind::Total);
        if let Some(cell) = cells.first_mut().filter(|cell| sum && cell.text.is_empty()) {
            cell.text = first;
        }
        HtmlRow {
            class: match row.kind {
                RowKind::Heading => "group",
                RowKind::Subtotal => "subtotal",
                RowKind::Total => "total",
                RowKind::Plain => "",
            },
            cells,
            heading,
        }
    });
    HtmlTable {
        key: table.key,
        title: table.title.clone(),
        rows: rows.collect(),
        columns: shown.iter().map(|&at| column(table, at)).collect(),
        notes: table.notes.clone(),
        empty: table.empty.clone(),
    }
}

/// The columns that have something in a row; the group goes where headings name it.
fn shown(table: &Table) -> Vec<usize> {
    let grouped = table.rows.iter().any(|row| row.kind == RowKind::Heading);
    let filled = |at: usize| {
        let mut rows = table.rows.iter();
        rows.any(|row| has_text(table, row.cells.get(at)))
    };
    (0..table.columns.len())
        .filter(|&at| !(grouped && table.columns[at].head == "group") && filled(at))
        .collect()
}

/// Columns of text from this width in print hold names of several words or sentences, mm.
const SENTENCES: f64 = 30.0;

static NOTHING: Cell = Cell::empty();

fn has_text(table: &Table, cell: Option<&Cell>) -> bool {
    cell.is_some_and(|cell| !table.print(cell).is_empty())
}

fn column(table: &Table, at: usize) -> HtmlColumn {
    let column = &table.columns[at];
    let class = match column.is_number() {
        true => "num",
        false if column.width >= SENTENCES => "words",
        false => "",
    };
    HtmlColumn {
        head: column.head,
        class,
    }
}

fn html_cell(
    table: &Table,
    at: usize,
    cell: &Cell,
    figures: &Figures,
    places: &BTreeMap<String, String>,
) -> HtmlCell {
    let column = &table.columns[at];
    let text = table.print(cell);
    let naming = NAMING.contains(&column.head);
    HtmlCell {
        class: match () {
            () if column.is_number() => "num",
            () if column.head == "tag" => "tag",
            () if column.head == "part" => "part",
            () => "",
        },
        why: match cell {
            Cell::Number { quantity, .. } => Some(figures.why(*quantity)),
            _ => None,
        },
        place: naming.then(|| places.get(&text).cloned()).flatten(),
        ground: match cell {
            Cell::Stated { citation, .. } => Some(citation.text()),
            Cell::Sum { .. } => Some("sum of the rows above".to_owned()),
            _ => None,
        },
        text: match column.kind {
            ColumnKind::Number(unit) if text == symbol(unit, table.units) => String::new(),
            _ => text,
        },
    }
}

/// Where everything that has a name lies, by name.
fn places(opened: &Opened) -> BTreeMap<String, String> {
    let project = opened.project();
    let keys = (project.rooms.iter().map(|thing| ItemKey::Room(thing.id)))
        .chain(
            project
                .sources
                .iter()
                .map(|thing| ItemKey::Source(thing.id)),
        )
        .chain(
            project
                .terminals
                .iter()
                .map(|thing| ItemKey::Terminal(thing.id)),
        )
        .chain(
            project
                .segments
                .iter()
                .map(|thing| ItemKey::Segment(thing.id)),
        )
        .chain(project.panels.iter().map(|thing| ItemKey::Panel(thing.id)))
        .chain(
            project
                .devices
                .iter()
                .map(|thing| ItemKey::Device(thing.id)),
        )
        .chain(
            project
                .detectors
                .iter()
                .map(|thing| ItemKey::Detector(thing.id)),
        );
    keys.filter_map(|key| Some((names::thing(project, key), place(opened, key)?)))
        .collect()
}

/// The address of the place where a thing is seen.
pub(super) fn place(opened: &Opened, key: ItemKey) -> Option<String> {
    let (id, project) = (opened.id, opened.project());
    match key {
        ItemKey::Segment(segment) => {
            let tag = &project.segments.get(segment)?.tag;
            return Some(format!("/projects/{id}/wiring#{}", anchor(tag)));
        }
        ItemKey::Floor(floor) => return Some(format!("/projects/{id}/floors/{floor}")),
        ItemKey::Mixture(_) => return Some(format!("/projects/{id}#mixtures")),
        ItemKey::Substance(_) => return Some(format!("/projects/{id}#substances")),
        _ => {}
    }
    let floor = floor_of(project, key)?;
    let (noun, number) = (kind_word(key), key.number());
    Some(format!(
        "/projects/{id}/floors/{floor}?select={noun}-{number}"
    ))
}

/// A tag as the end of an address.
pub(super) fn anchor(tag: &str) -> String {
    tag.chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect()
}

fn floor_of(project: &Project, key: ItemKey) -> Option<FloorId> {
    Some(match key {
        ItemKey::Floor(id) => id,
        ItemKey::Room(id) => project.rooms.get(id)?.floor,
        ItemKey::Barrier(id) => project.barriers.get(id)?.floor,
        ItemKey::Opening(id) => project.openings.get(id)?.floor,
        ItemKey::Source(id) => project.sources.get(id)?.floor,
        ItemKey::Terminal(id) => project.terminals.get(id)?.floor,
        ItemKey::Marked(id) => project.marked.get(id)?.floor,
        ItemKey::Detector(id) => project.detectors.get(id)?.floor,
        ItemKey::Device(id) => project.devices.get(id)?.floor,
        ItemKey::Panel(id) => project.panels.get(id)?.floor,
        ItemKey::Containment(id) => project.containments.get(id)?.floor,
        ItemKey::Riser(id) => project.risers.get(id)?.lowest,
        ItemKey::Segment(_) | ItemKey::Mixture(_) | ItemKey::Substance(_) => return None,
    })
}

fn kind_word(key: ItemKey) -> &'static str {
    match key {
        ItemKey::Floor(_) => "floor",
        ItemKey::Room(_) => "room",
        ItemKey::Barrier(_) => "barrier",
        ItemKey::Opening(_) => "opening",
        ItemKey::Source(_) => "source",
        ItemKey::Terminal(_) => "terminal",
        ItemKey::Marked(_) => "marked",
        ItemKey::Detector(_) => "detector",
        ItemKey::Device(_) => "device",
        ItemKey::Panel(_) => "panel",
        ItemKey::Containment(_) => "containment",
        ItemKey::Riser(_) => "riser",
        ItemKey::Segment(_) => "segment",
        ItemKey::Mixture(_) => "mixture",
        ItemKey::Substance(_) => "substance",
    }
}

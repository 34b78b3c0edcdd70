//! The basis of design: every assumption in force, with its ground.

use crate::documents::number::Decimals;
use crate::documents::table::{Cell, Column, Table};
use crate::engine::Results;
use crate::model::basis::{BasisItem, ITEMS};
use crate::model::{Citation, Jurisdiction, Project};

/// Every item of the basis: value in force, default, whether it was changed, citation.
pub fn basis_of_design(project: &Project, _results: &Results) -> Table {
    let columns = vec![
        Column::text("group", 40.0),
        Column::text("assumption", 84.0),
        Column::mixed("value", 24.0),
        Column::mixed("default", 24.0),
        Column::text("changed", 18.0),
        Column::text("ground", 90.0),
    ];
    let title = "Basis of design";
    let mut table = Table::new(project, "basis-of-design", title, columns, "");
    let mut groups: Vec<&str> = Vec::new();
    for item in ITEMS {
        if !groups.contains(&item.group) {
            groups.push(item.group);
        }
    }
    for group in groups {
        table.heading(group);
        for item in ITEMS.iter().filter(|item| item.group == group) {
            table.row(cells(project, item));
        }
    }
    table.notes.push(format!(
        "Jurisdiction: {}. Air is 28.9647 g/mol. Inside the app all is computed in SI units. \
         A citation marked \"from memory\" is a pointer: check it against the edition in force.",
        jurisdiction(project.head.jurisdiction)
    ));
    table.notes.push(FOREIGN.to_owned());
    table
}

/// Why figures of other countries stand in a project that does not lie there.
const FOREIGN: &str = "Reach, mounting heights and set-points that cite GB/T 50493 (China) or NFSC \
    206 (Korea) are the published figures of those countries. They stand here, whatever the \
    jurisdiction, because we know of no European, British or American standard that publishes \
    such a figure; using them elsewhere is common practice, not law. Each can be changed in the \
    basis of design: where an authority, a client or a local code asks for another figure, that \
    one counts.";

fn cells(project: &Project, item: &BasisItem) -> Vec<Cell> {
    let changed = project.basis.is_changed(item);
    let ground = if changed {
        Citation::Designer
    } else {
        item.citation.clone()
    };
    let stated = |value, citation| Cell::Stated {
        value,
        unit: item.unit,
        decimals: Decimals::AsSet,
        citation,
    };
    vec![
        Cell::text(item.group),
        Cell::text(item.label),
        stated(project.basis.get(item), ground.clone()),
        stated(item.default, item.citation.clone()),
        Cell::text(if changed { "changed" } else { "" }),
        Cell::text(ground.text()),
    ]
}

fn jurisdiction(jurisdiction: Jurisdiction) -> &'static str {
    match jurisdiction {
        Jurisdiction::Eu => "European Union",
        Jurisdiction::Uk => "United Kingdom",
        Jurisdiction::Us => "United States",
    }
}

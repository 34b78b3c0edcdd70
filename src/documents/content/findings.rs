//! What the checks found, gravest first, each with its remedy.

use crate::documents::content::names;
use crate::documents::number::Decimals;
use crate::documents::table::{Cell, Column, Table};
use crate::engine::{Finding, Quantity, Results, Severity};
use crate::model::Project;
use crate::units::Unit;

/// One row per finding, by severity.
pub fn findings(project: &Project, results: &Results) -> Table {
    let columns = vec![
        Column::text("severity", 18.0),
        Column::text("about", 34.0),
        Column::text("floor", 24.0),
        Column::text("finding", 90.0),
        Column::mixed("value", 20.0),
        Column::mixed("limit", 20.0),
        Column::text("remedy", 80.0),
    ];
    let empty = "No finding: every check is met.";
    let mut table = Table::new(project, "findings", "Findings", columns, empty);
    let mut sorted: Vec<&Finding> = results.findings.iter().collect();
    sorted.sort_by_key(|finding| finding.severity);
    for finding in sorted {
        table.row(cells(project, finding));
    }
    table.notes.push(
        "Blocker: the design must not be issued so. Warning: somebody has to decide. Note: for \
         information."
            .to_owned(),
    );
    let open = match results.questions.len() {
        0 => return table,
        1 => "One question to the client is open".to_owned(),
        n => format!("{n} questions to the client are open"),
    };
    table.notes.push(format!(
        "{open}: until answered, the design stands on assumptions."
    ));
    table
}

fn cells(project: &Project, finding: &Finding) -> Vec<Cell> {
    let about = finding.about.map(|key| names::thing(project, key));
    let floor = finding.floor.map(|id| names::floor(project, id));
    vec![
        Cell::text(severity(finding.severity)),
        Cell::text(about.unwrap_or_default()),
        Cell::text(floor.unwrap_or_default()),
        Cell::text(&finding.message),
        Cell::maybe(finding.value.map(|value| figure(value, Decimals::OfUnit))),
        Cell::maybe(finding.limit.map(|limit| figure(limit, Decimals::AsSet))),
        Cell::text(&finding.remedy),
    ]
}

fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Blocker => "blocker",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
}

/// What was set is printed as it was set; a concentration that was computed to two digits, anything
/// else that was computed with the decimals of its unit.
fn figure(quantity: Quantity, other: Decimals) -> Cell {
    let was_set = quantity.value == (quantity.value * 1000.0).round() / 1000.0;
    let decimals = match quantity.unit {
        Unit::Ppm | Unit::PercentVolume | Unit::PercentLfl | Unit::MilligramPerCubicMetre => {
            if was_set {
                Decimals::AsSet
            } else {
                Decimals::Significant(2)
            }
        }
        _ if was_set => other,
        _ => Decimals::OfUnit,
    };
    Cell::Number { quantity, decimals }
}

//! Design rules held against the finished results, one file each, and the questions that the
//! survey left open. A check changes nothing; where it can, it offers the remedy as an edit.

mod air_terminals;
mod ceilings;
mod limits;
mod marked_areas;
mod overlap;
mod parts;
mod questions;
mod scale;
mod sounding;
mod tags;
#[cfg(test)]
mod tests;
mod undrawn;
mod unwired;
mod volts;
mod voting;

use crate::engine::airspace::Airspaces;
use crate::engine::finding::Finding;
use crate::engine::results::Results;

pub use undrawn::{LEAST as LEAST_UNDRAWN, undrawn_length};

/// Adds the checks' findings to the results, puts all findings in order (by weight, then id) and
/// writes the questions.
pub fn step(spaces: &Airspaces<'_>, results: &mut Results) {
    let project = spaces.project;
    let mut found: Vec<Finding> = Vec::new();
    found.extend(scale::check(project));
    found.extend(air_terminals::check(spaces, &mut results.trace));
    found.extend(marked_areas::check(spaces, &mut results.trace));
    found.extend(ceilings::check(project));
    found.extend(overlap::check(project, &mut results.trace));
    found.extend(parts::check(project));
    found.extend(tags::check(project));
    found.extend(unwired::check(project));
    found.extend(sounding::check(project));
    found.extend(voting::check(project, &results.sources));
    found.extend(volts::check(project, &results.segments));
    found.extend(undrawn::check(project, results));
    found.extend(limits::check(
        project,
        &results.segments,
        &mut results.trace,
    ));
    results.findings.extend(found);
    results
        .findings
        .sort_by(|a, b| a.severity.cmp(&b.severity).then_with(|| a.id.cmp(&b.id)));
    let asked = questions::questions(project, &mut results.trace);
    results.questions.extend(asked);
    results.questions.sort_by_key(|question| question.about);
}

/// The first few tags, and how many more there are.
fn listed(tags: &[&str]) -> String {
    const SHOWN: usize = 6;
    match tags.len() {
        0..=SHOWN => tags.join(", "),
        n => format!("{} and {} more", tags[..SHOWN].join(", "), n - SHOWN),
    }
}

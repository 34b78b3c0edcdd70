//! The steps behind a release's figures, numbered, out of the trace.

use std::collections::{BTreeMap, BTreeSet};

use crate::documents::calculation::tables::figures_of;
use crate::documents::number;
use crate::engine::results::ReleaseResult;
use crate::engine::trace::{TraceEntry, TraceId};
use crate::engine::{Quantity, Results};
use crate::model::Project;
use crate::units::Unit;

/// A formula or rule as it was used.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// From 1.
    pub number: usize,
    pub why: TraceId,
    pub title: String,
    /// The expression, or the rule's sentence.
    pub statement: String,
    /// Whether the inputs have symbols.
    pub is_formula: bool,
    pub inputs: Vec<StepInput>,
    pub result: String,
    pub citation: String,
    pub outside: Option<String>,
}

/// An input of a step, and where it comes from: "input 3" or "step 5".
#[derive(Debug, Clone, PartialEq)]
pub struct StepInput {
    pub symbol: String,
    pub meaning: String,
    pub value: String,
    pub from: String,
}

/// What was stated, assumed or measured, in the order it was used; the same thing only once.
pub fn givens<'a>(results: &'a Results, release: &ReleaseResult) -> Vec<(TraceId, &'a TraceEntry)> {
    let mut seen = Vec::new();
    for (id, entry) in behind(results, release) {
        let known = |other: &&(TraceId, &TraceEntry)| same(other.1, entry);
        if entry.inputs.is_empty() && !seen.iter().any(|other| known(&other)) {
            seen.push((id, entry));
        }
    }
    seen
}

/// The formulas and rules, in the order of the calculation; the same step only once.
pub fn steps(project: &Project, results: &Results, release: &ReleaseResult) -> Vec<Step> {
    let givens = givens(results, release);
    let mut names: BTreeMap<TraceId, String> = BTreeMap::new();
    let mut kept: Vec<(&TraceEntry, usize)> = Vec::new();
    let mut steps: Vec<Step> = Vec::new();
    for (id, entry) in behind(results, release) {
        if entry.inputs.is_empty() {
            let at = givens.iter().position(|(_, given)| same(given, entry));
            names.insert(
                id,
                at.map_or(String::new(), |at| format!("input {}", at + 1)),
            );
            continue;
        }
        if let Some((_, number)) = kept.iter().find(|(other, _)| same(other, entry)) {
            names.insert(id, format!("step {number}"));
            continue;
        }
        let number = steps.len() + 1;
        names.insert(id, format!("step {number}"));
        kept.push((entry, number));
        steps.push(step(project, entry, id, number, &names));
    }
    steps
}

fn step(
    project: &Project,
    entry: &TraceEntry,
    why: TraceId,
    number: usize,
    names: &BTreeMap<TraceId, String>,
) -> Step {
    let print = |value: f64, unit: Unit| {
        let decimals = number::reason_decimals(value, unit);
        number::text(value, unit, decimals, project.head.units, "")
    };
    let inputs = entry.inputs.iter().map(|input| StepInput {
        symbol: input.symbol.clone(),
        meaning: input.meaning.clone(),
        value: print(input.value, input.unit),
        from: names.get(&input.why).cloned().unwrap_or_default(),
    });
    Step {
        number,
        why,
        title: entry.title.clone(),
        statement: entry.statement.clone(),
        is_formula: entry.inputs.iter().any(|input| !input.symbol.is_empty()),
        inputs: inputs.collect(),
        result: print(entry.value, entry.unit),
        citation: entry.citation.text(),
        outside: entry.outside.clone(),
    }
}

/// Every entry a release's figures stand on, inputs before what uses them.
fn behind<'a>(results: &'a Results, release: &ReleaseResult) -> Vec<(TraceId, &'a TraceEntry)> {
    let mut wanted: Vec<TraceId> = figures_of(release)
        .iter()
        .map(|one: &Quantity| one.why)
        .collect();
    let mut found = BTreeSet::new();
    while let Some(id) = wanted.pop() {
        if let Some(entry) = results.trace.entry(id)
            && found.insert(id)
        {
            wanted.extend(entry.inputs.iter().map(|input| input.why));
        }
    }
    let entry = |id: TraceId| results.trace.entry(id).map(|entry| (id, entry));
    found.into_iter().filter_map(entry).collect()
}

/// Whether two entries say the same; what they were made from may have been recorded twice.
fn same(a: &TraceEntry, b: &TraceEntry) -> bool {
    let inputs = |entry: &TraceEntry| -> Vec<(String, u64)> {
        let input = |input: &crate::engine::trace::TraceInput| {
            (input.meaning.clone(), input.value.to_bits())
        };
        entry.inputs.iter().map(input).collect()
    };
    a.id == b.id
        && a.title == b.title
        && a.unit == b.unit
        && a.value.to_bits() == b.value.to_bits()
        && inputs(a) == inputs(b)
}

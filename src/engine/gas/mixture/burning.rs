//! When a mixture burns: Le Chatelier's rule over the parts that burn, inert parts only diluting.

use std::borrow::Cow;

use crate::engine::gas::density::{LE_CHATELIER, LE_CHATELIER_TERM};
use crate::engine::gas::mixture::formulas::*;
use crate::engine::gas::mixture::{Part, given};
use crate::engine::gas::substance::{Figure, FlammabilityTable, FlammableLimit, Substance};
use crate::engine::results::MixtureWatch;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::{Citation, Hazard, Jurisdiction, Project};
use crate::units::Unit;

/// What burns of a mixture.
pub(super) struct Burning<'a> {
    /// One a table.
    pub limits: Vec<FlammableLimit>,
    /// That of the jurisdiction, %vol of the mixture.
    pub lfl: Option<Quantity>,
    /// Flammability of the inerted mixture, above 1 it burns.
    pub critical: Option<Quantity>,
    /// Terms x/L of the parts, by the table of the jurisdiction.
    terms: Vec<(&'a Substance, Quantity)>,
    any: bool,
}

/// Whether a part burns at all.
pub(super) fn burns(known: &Substance) -> bool {
    known.burns || !known.lfl.is_empty()
}

/// What burns of `parts`; what no table knows goes to the notes.
pub(super) fn of<'a>(
    project: &Project,
    trace: &mut Trace,
    parts: &[Part<'a>],
    notes: &mut Vec<String>,
) -> Burning<'a> {
    let burning: Vec<&Part<'a>> = parts.iter().filter(|part| burns(part.known)).collect();
    let lacking: Vec<&str> = burning
        .iter()
        .filter(|part| part.known.lfl.is_empty())
        .map(|part| part.known.name.as_ref())
        .collect();
    let mut found = Burning {
        limits: Vec::new(),
        lfl: None,
        critical: None,
        terms: Vec::new(),
        any: !burning.is_empty(),
    };
    if !lacking.is_empty() {
        notes.push(format!(
            "No table has a lower flammable limit of {}, so the mixture has none: ask for it.",
            lacking.join(", ")
        ));
        return found;
    }
    if burning.is_empty() {
        return found;
    }
    let jurisdiction = project.head.jurisdiction;
    let own = match jurisdiction {
        Jurisdiction::Us => FlammabilityTable::Nfpa,
        Jurisdiction::Eu | Jurisdiction::Uk => FlammabilityTable::Iec,
    };
    for table in [FlammabilityTable::Iec, FlammabilityTable::Nfpa] {
        let terms = terms(trace, &burning, table, jurisdiction);
        let values: Vec<Quantity> = terms.iter().map(|(_, term)| *term).collect();
        let lfl = trace.eval(&LE_CHATELIER, &values);
        found.limits.push(FlammableLimit {
            table,
            figure: Figure {
                value: lfl.value,
                unit: Unit::PercentVolume,
                citation: Citation::Published {
                    work: Cow::Borrowed("Le Chatelier's rule"),
                    clause: Cow::Borrowed("over the parts that burn; inert parts only dilute"),
                    from_memory: true,
                },
            },
        });
        if table == own {
            found.lfl = Some(lfl);
            found.terms = terms;
        }
    }
    found.critical = critical(trace, parts, &burning);
    found
}

/// x/L of each burning part; where the table has none, another table's limit.
fn terms<'a>(
    trace: &mut Trace,
    burning: &[&Part<'a>],
    table: FlammabilityTable,
    jurisdiction: Jurisdiction,
) -> Vec<(&'a Substance, Quantity)> {
    let term = |part: &&Part<'a>| {
        let known = part.known;
        let stated = |limit: &&FlammableLimit| limit.table == FlammabilityTable::Project;
        let own = known.lfl.iter().find(|limit| limit.table == table);
        let limit = known
            .lfl
            .iter()
            .find(stated)
            .or(own)
            .or_else(|| known.lfl_in(jurisdiction))?;
        let limit = given(trace, "Lower flammable limit", known, &limit.figure);
        Some((known, trace.eval(&LE_CHATELIER_TERM, &[part.share, limit])))
    };
    burning.iter().filter_map(term).collect()
}

/// Largest share in nitrogen that does not burn in air, %vol (ISO 10156, Table 2, from memory).
const CRITICAL_SHARES: [(&str, f64); 9] = [
    ("1333-74-0", 5.5),
    ("74-82-8", 8.7),
    ("74-84-0", 4.5),
    ("74-98-6", 3.7),
    ("106-97-8", 3.6),
    ("74-85-1", 4.1),
    ("74-86-2", 3.0),
    ("630-08-0", 15.2),
    ("7664-41-7", 40.1),
];

/// Inerting power beside nitrogen (ISO 10156, Table 1, from memory).
const INERTING: [(&str, f64); 5] = [
    ("7727-37-9", 1.0),
    ("124-38-9", 1.5),
    ("7440-59-7", 0.9),
    ("7440-37-1", 0.55),
    ("2551-62-4", 4.0),
];

/// Flammability of an inerted mixture; `None` unless every part is in the two tables.
fn critical(trace: &mut Trace, parts: &[Part<'_>], burning: &[&Part<'_>]) -> Option<Quantity> {
    let figure = |table: &[(&str, f64)], key: &str| {
        table
            .iter()
            .find(|(of, _)| *of == key)
            .map(|(_, value)| *value)
    };
    let mut sum = 0.0;
    for part in parts {
        sum += match burns(part.known) {
            true => part.share.value,
            false => part.share.value * figure(&INERTING, &part.known.key)?,
        };
    }
    let citation = || Citation::from_memory("ISO 10156", "Tables 1 and 2");
    let title = "Burning and inert parts, inert ones counted as nitrogen";
    let sum = trace.given(title, sum, Unit::PercentVolume, citation());
    let mut terms = Vec::new();
    for part in burning {
        let largest = figure(&CRITICAL_SHARES, &part.known.key)?;
        let title = format!(
            "Largest share of {} in nitrogen that does not burn",
            part.known.name
        );
        let largest = trace.given(title, largest, Unit::PercentVolume, citation());
        let share = trace.eval(&INERTED, &[part.share, sum]);
        terms.push(trace.eval(&CRITICAL_TERM, &[share, largest]));
    }
    Some(trace.eval(&CRITICAL, &terms))
}

impl Burning<'_> {
    /// Whether a part burns.
    pub fn has_any(&self) -> bool {
        self.any
    }

    /// Concentration of the mixture at the first flammable set-point, ppm.
    pub fn governing_ppm(&self, project: &Project) -> Option<f64> {
        let first = project.basis.get(&basis::FLAMMABLE_FIRST);
        self.lfl.map(|lfl| lfl.value * first * 100.0)
    }

    /// The part with the largest share over its limit.
    pub fn watch(&self, trace: &mut Trace) -> Option<MixtureWatch> {
        watch(trace, Hazard::Flammable, &self.terms)
    }
}

/// The part with the largest term, with its share of the sum.
pub(super) fn watch(
    trace: &mut Trace,
    hazard: Hazard,
    terms: &[(&Substance, Quantity)],
) -> Option<MixtureWatch> {
    let (known, largest) = terms.iter().max_by(|a, b| {
        let by_term = a.1.value.total_cmp(&b.1.value);
        by_term.then_with(|| b.0.key.cmp(&a.0.key))
    })?;
    let all = terms.iter().map(|(_, term)| *term);
    let inputs: Vec<Quantity> = [*largest].into_iter().chain(all).collect();
    let response = trace.eval(&RESPONSE, &inputs);
    let inputs = [("its share of the hazard", response)];
    let response = trace.rule(&GOVERNING, response.value, Unit::One, &inputs);
    Some(MixtureWatch {
        hazard,
        measures: known.key.to_string(),
        name: known.name.to_string(),
        response,
    })
}

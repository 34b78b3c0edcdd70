//! When a mixture harms by being breathed: the additive rule over its toxic parts.
//!
//! A toxic part counts only where people would meet its limit before another alarm of the same
//! mixture warns them: the first flammable set-point, or oxygen at 19.5 %vol.

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::engine::gas::density::OXYGEN_IN_AIR;
use crate::engine::gas::is_toxic;
use crate::engine::gas::mixture::Part;
use crate::engine::gas::mixture::burning::watch;
use crate::engine::gas::mixture::formulas::*;
use crate::engine::gas::substance::{ExposureLimit, LimitKind, Substance};
use crate::engine::results::MixtureWatch;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::{Citation, Hazard, Jurisdiction, Project};
use crate::units::Unit;

/// What harms of a mixture.
pub(super) struct Harm<'a> {
    pub harms: bool,
    pub limits: Vec<ExposureLimit>,
    /// ppm of the mixture.
    pub long: Option<Quantity>,
    /// ppm of the mixture.
    pub idlh: Option<Quantity>,
    terms: Vec<(&'a Substance, Quantity)>,
}

/// The figure of a toxic part that its share is held against, ppm: its limit for a working day,
/// else 5 % of what is immediately dangerous (GB/T 50493-2019).
pub(super) fn long_ppm(known: &Substance, jurisdiction: Jurisdiction) -> Option<f64> {
    let limit = known.limit_in(jurisdiction).map(ExposureLimit::long_ppm);
    limit.or_else(|| known.idlh.as_ref().map(|idlh| 0.05 * idlh.value))
}

/// What harms of `parts`; `flammable_ppm` is the mixture's concentration at its first flammable
/// set-point.
pub(super) fn of<'a>(
    project: &Project,
    trace: &mut Trace,
    parts: &[Part<'a>],
    flammable_ppm: Option<f64>,
    notes: &mut Vec<String>,
) -> Harm<'a> {
    let jurisdiction = project.head.jurisdiction;
    let toxic: Vec<&Part<'a>> = parts.iter().filter(|part| is_toxic(part.known)).collect();
    let mut found = Harm {
        harms: false,
        limits: Vec::new(),
        long: None,
        idlh: None,
        terms: Vec::new(),
    };
    if toxic.is_empty() {
        return found;
    }
    let mut lacking = Vec::new();
    for part in &toxic {
        match long_ppm(part.known, jurisdiction) {
            None => lacking.push(part.known.name.as_ref()),
            Some(limit) => {
                let limit = limit_of(trace, part.known, jurisdiction, limit);
                let term = trace.eval(&ADDITIVE_TERM, &[part.share, limit]);
                found.terms.push((part.known, term));
            }
        }
    }
    if !lacking.is_empty() {
        notes.push(format!(
            "No table has an exposure limit of {}, so the limit of the mixture leaves it out: ask \
             for its safety data sheet.",
            lacking.join(", ")
        ));
    }
    found.long = additive(trace, &found.terms);
    let oxygen = 1e6 * (1.0 - project.basis.get(&basis::OXYGEN_FIRST) / OXYGEN_IN_AIR);
    let other = flammable_ppm.unwrap_or(oxygen).min(oxygen);
    found.harms = !lacking.is_empty() || found.long.is_some_and(|long| long.value < other);
    if !found.harms {
        notes.push(format!(
            "Its toxic parts reach their limits only above {other:.0} ppm of the mixture, where \
             another alarm has come first: it is not watched as toxic."
        ));
        found.long = None;
        return found;
    }
    found.idlh = idlh(trace, &toxic);
    found
        .limits
        .extend(limit(trace, &found, &toxic, jurisdiction));
    found
}

fn limit_of(
    trace: &mut Trace,
    known: &Substance,
    jurisdiction: Jurisdiction,
    value: f64,
) -> Quantity {
    let (what, citation) = match (known.limit_in(jurisdiction), &known.idlh) {
        (Some(limit), _) => {
            let kinds = [LimitKind::Long, LimitKind::Short, LimitKind::Ceiling];
            let same = |kind: &LimitKind| limit.ppm(*kind) == Some(value);
            let kind = kinds.into_iter().find(same).unwrap_or(limit.long_kind());
            (limit.whose(kind).to_owned(), limit.citation_of(kind))
        }
        (None, Some(idlh)) => (
            "5 % of what is immediately dangerous".to_owned(),
            idlh.citation.clone(),
        ),
        (None, None) => ("Limit".to_owned(), Citation::CommonPractice),
    };
    trace.given(
        format!("{what} of {}", known.name),
        value,
        Unit::Ppm,
        citation,
    )
}

fn additive(trace: &mut Trace, terms: &[(&Substance, Quantity)]) -> Option<Quantity> {
    let values: Vec<Quantity> = terms.iter().map(|(_, term)| *term).collect();
    (!values.is_empty()).then(|| trace.eval(&ADDITIVE, &values))
}

/// The mixture's own exposure limit, of the kind and regime of its worst part.
fn limit(
    trace: &mut Trace,
    found: &Harm<'_>,
    toxic: &[&Part<'_>],
    jurisdiction: Jurisdiction,
) -> Option<ExposureLimit> {
    let long = found.long?.value;
    let worst = found
        .terms
        .iter()
        .max_by(|a, b| a.1.value.total_cmp(&b.1.value))?;
    let of_worst = worst.0.limit_in(jurisdiction)?;
    let mut short_terms = Vec::new();
    for part in toxic {
        let limit = part.known.limit_in(jurisdiction);
        if let Some(short) = limit.and_then(ExposureLimit::short_ppm) {
            let short = limit_of(trace, part.known, jurisdiction, short);
            let term = trace.eval(&ADDITIVE_TERM, &[part.share, short]);
            short_terms.push((part.known, term));
        }
    }
    let short = additive(trace, &short_terms).map(|short| short.value);
    let mut limit = ExposureLimit {
        regime: of_worst.regime,
        twa_ppm: None,
        stel_ppm: None,
        ceiling_ppm: None,
        citation: Citation::Published {
            work: Cow::Borrowed("US 29 CFR 1910.1000"),
            clause: Cow::Owned(format!(
                "(d)(2)(i), additive rule over the toxic parts; {} governs",
                worst.0.name
            )),
            from_memory: true,
        },
        stated: BTreeMap::new(),
    };
    match (of_worst.twa_ppm, of_worst.stel_ppm) {
        (Some(_), _) => {
            limit.twa_ppm = Some(long);
            limit.stel_ppm = short.filter(|short| *short > long);
        }
        (None, Some(_)) => limit.stel_ppm = Some(long),
        (None, None) => limit.ceiling_ppm = Some(long),
    }
    Some(limit)
}

fn idlh(trace: &mut Trace, toxic: &[&Part<'_>]) -> Option<Quantity> {
    let mut terms = Vec::new();
    for part in toxic {
        let Some(idlh) = &part.known.idlh else {
            continue;
        };
        let title = format!(
            "Immediately dangerous to life or health, {}",
            part.known.name
        );
        let idlh = trace.given(title, idlh.value, idlh.unit, idlh.citation.clone());
        terms.push((part.known, trace.eval(&ADDITIVE_TERM, &[part.share, idlh])));
    }
    additive(trace, &terms)
}

impl Harm<'_> {
    /// The part with the largest share over its limit.
    pub fn watch(&self, trace: &mut Trace) -> Option<MixtureWatch> {
        watch(trace, Hazard::Toxic, &self.terms)
    }
}

//! How many detectors count for one demand, and what their vote survives.

use crate::engine::coverage::reach::InReach;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis::{self, BasisItem};
use crate::model::*;

/// Distances are met to this much, m.
const TOLERANCE_M: f64 = 1e-6;

/// How many detectors must have a demand of this hazard in reach.
pub fn needed(project: &Project, hazard: Hazard, trace: &mut Trace) -> Quantity {
    trace.basis(&project.basis, need_item(hazard))
}

/// The item of the basis that says how many detectors a hazard needs.
pub fn need_item(hazard: Hazard) -> &'static BasisItem {
    match hazard {
        Hazard::Flammable => &basis::NEED_FLAMMABLE,
        Hazard::Toxic => &basis::NEED_TOXIC,
        Hazard::OxygenDepletion | Hazard::OxygenEnrichment => &basis::NEED_OXYGEN,
    }
}

/// Places in `found` of the most detectors, at most `need`, that stand `apart` m or more from each
/// other. Of equally many those first in the list.
pub fn counting(found: &[&InReach], need: usize, apart: f64) -> Vec<usize> {
    let mut most = Vec::new();
    extend(found, need, apart, 0, &mut Vec::new(), &mut most);
    most
}

fn extend(
    found: &[&InReach],
    need: usize,
    apart: f64,
    from: usize,
    taken: &mut Vec<usize>,
    most: &mut Vec<usize>,
) {
    if taken.len() > most.len() {
        most.clone_from(taken);
    }
    for next in from..found.len() {
        if most.len() == need || taken.len() + found.len() - next <= most.len() {
            return;
        }
        if taken
            .iter()
            .all(|one| stand_apart(found[*one], found[next], apart))
        {
            taken.push(next);
            extend(found, need, apart, next + 1, taken, most);
            taken.pop();
        }
    }
}

/// Whether two detectors are far enough from each other to count for one demand.
pub fn stand_apart(one: &InReach, other: &InReach, apart: f64) -> bool {
    one.apart(other) >= apart - TOLERANCE_M
}

/// How many of `found` count, at most `need`, for the need at this place of the group or one cell.
pub fn count<'a>(
    found: impl Iterator<Item = &'a InReach>,
    (place, cell): (usize, Option<usize>),
    need: usize,
    apart: f64,
) -> usize {
    let mut found = found.filter(|one| one.has(place, cell));
    match need {
        1 => usize::from(found.next().is_some()),
        _ => counting(&found.collect::<Vec<_>>(), need, apart).len(),
    }
}

/// Whether `found` counts for a need, or one cell of it, beside `others`.
pub fn adds(
    found: &InReach,
    others: &[&InReach],
    what: (usize, Option<usize>),
    need: usize,
    apart: f64,
) -> bool {
    let before = || others.iter().copied();
    found.has(what.0, what.1)
        && count(before(), what, need, apart) < count(before().chain([found]), what, need, apart)
}

/// Whether `need` detectors in reach still make a vote when one of them is in fault.
pub fn survives_a_failure(project: &Project, need: usize) -> bool {
    need >= 3 || need == 2 && project.basis.is_on(&basis::VOTE_FAULT)
}

/// What so many detectors in reach mean for a vote of two, with one in fault.
pub fn vote(project: &Project, need: usize) -> String {
    let counts = project.basis.is_on(&basis::VOTE_FAULT);
    match (need, counts) {
        (0 | 1, _) => "One detector in reach acts by itself (1oo1); while it is in fault nothing \
                       watches."
            .to_owned(),
        (2, false) => "Two in reach vote 2oo2; one in fault is left out, and until it is repaired \
                       no vote of two comes about: the vote does not survive one failure."
            .to_owned(),
        (2, true) => "Two in reach vote 2oo2; one in fault counts as a vote, so the other acts by \
                      itself (1oo1): the vote survives one failure."
            .to_owned(),
        (n, false) => format!(
            "{n} in reach vote 2oo{n}; one in fault is left out (2oo{}): the vote survives one \
             failure.",
            n - 1
        ),
        (n, true) => format!(
            "{n} in reach vote 2oo{n}; one in fault counts as a vote (1oo{}): the vote survives \
             one failure.",
            n - 1
        ),
    }
}

/// What so many in reach vote while none is in fault: "1oo1", "2oo3".
pub fn vote_name(need: usize) -> String {
    format!("{}oo{need}", need.min(2))
}

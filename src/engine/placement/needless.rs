//! Detectors kept though nothing would be unwatched without them. Must not take anything away.

use std::collections::BTreeSet;

use crate::engine::airspace::Airspaces;
use crate::engine::coverage::{self, Group, InReach, Need, Served};
use crate::engine::finding::{Finding, Severity};
use crate::engine::placement::cover;
use crate::model::basis;
use crate::model::*;

/// A note for each detector of a group, placed by hand or there already, without which all that is
/// watched stays watched. All those named can go together; the newest are named first.
pub fn notes(
    project: &Project,
    spaces: &Airspaces<'_>,
    needs: &[Need],
    group: &Group,
    served: &Served,
) -> Vec<Finding> {
    let needless = needless(project, needs, group, served);
    let title = cover::title(spaces, group);
    let is_part = |idx: &usize| needs[*idx].demand.asked.is_some();
    let would = match group.needs.iter().any(is_part) {
        true => "that must be watched would be",
        false => "would be",
    };
    let note = |detector: &Detector| {
        let n = served.len();
        let (how, remedy) = match detector.origin {
            Origin::Existing => (
                "is there already",
                "Leave it as a spare, or take it out of the project if it is to go.",
            ),
            _ => ("was placed by hand", "Remove it, or leave it as a spare."),
        };
        let message = format!(
            "{title}: nothing {would} unwatched without {}, which {how}; with it there are {n} \
             detectors, without it {}.",
            detector.tag,
            n - 1
        );
        let id = format!("placement.needless/detector-{}", detector.id);
        let key = ItemKey::Detector(detector.id);
        let finding = Finding::new(id, Severity::Note, message, remedy).about(key);
        let finding = finding.at(detector.floor, detector.at);
        finding.with_fix(format!("Remove {}", detector.tag), Edit::Remove { key })
    };
    let found = needless.iter().filter_map(|id| project.detectors.get(*id));
    found.map(note).collect()
}

fn needless(
    project: &Project,
    needs: &[Need],
    group: &Group,
    served: &Served,
) -> BTreeSet<DetectorId> {
    let mut gone = BTreeSet::new();
    let apart = project.basis.get(&basis::VOTE_APART);
    let kept = served.iter().filter(|(id, _)| {
        let detector = project.detectors.get(*id);
        detector.is_some_and(|one| one.origin != Origin::Suggested)
    });
    let mut kept: Vec<&(DetectorId, InReach)> = kept.collect();
    kept.sort_by_key(|(id, _)| std::cmp::Reverse(*id));
    for (id, found) in kept {
        let others = served
            .iter()
            .filter(|(other, _)| other != id && !gone.contains(other));
        let others: Vec<&InReach> = others.map(|(_, found)| found).collect();
        if !adds(needs, group, found, &others, apart) {
            gone.insert(*id);
        }
    }
    gone
}

/// Whether some demand, or some cell of one, would be met less without `found`.
fn adds(needs: &[Need], group: &Group, found: &InReach, others: &[&InReach], apart: f64) -> bool {
    group.needs.iter().enumerate().any(|(place, idx)| {
        let need = &needs[*idx];
        let wanted = need.demand.wanted();
        let is_short = |cell: usize| {
            let others = others.iter().copied();
            coverage::count(others, (place, Some(cell)), wanted, apart) < wanted
        };
        if need.spare().is_some_and(|spare| spare.allows(is_short)) {
            return false;
        }
        let adds = |cell| coverage::adds(found, others, (place, cell), wanted, apart);
        match need.cells.len() {
            0 => adds(None),
            n => (0..n).any(|cell| adds(Some(cell))),
        }
    })
}

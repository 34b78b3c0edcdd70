//! Where detectors can stand, and the fewest that watch all there is to watch.
//!
//! One exact set cover for each airspace, gas and band (see `solve::cover`). A spur is priced by a
//! stated estimate: routing comes later. Must not change the project.

mod candidates;
mod compare;
mod cover;
mod export;
mod marked;
mod needless;
mod parts;
mod pit_points;
mod pricing;
#[cfg(test)]
mod property_tests;
mod remedies;
mod rules;
mod suggest;
#[cfg(test)]
mod compare_tests;
#[cfg(test)]
mod marked_tests;
#[cfg(test)]
mod remedies_tests;
#[cfg(test)]
mod share_tests;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use crate::engine::airspace::{Airspaces, room_name};
use crate::engine::coverage::{Assessment, Group, Need, gas_in_sentence};
use crate::engine::finding::{Finding, Severity};
use crate::engine::mounting::{self, name_of};
use crate::engine::progress::Progress;
use crate::engine::results::{CoverResult, RoomResult};
use crate::engine::setpoints::{Asked, set_points};
use crate::engine::solve::cover::CoverSolution;
use crate::engine::trace::Trace;
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;
use cover::{Instance, Members};
use parts::Offer;

pub use candidates::{Candidate, Fixing, candidates};
pub use compare::{CoverKey, compare};
pub use export::{CoverFile, covers};
pub use marked::{HardToReach, hard_to_reach, in_the_way};
pub use rules::{FORMULAS, RULES};
pub use suggest::suggest;

/// Work spent on a group after every edit (see [`Instance::nodes`]): some hundredths of a second.
const WORK_IN_RUN: u64 = 3_000_000;

/// What each room needs, with the fewest detectors there could be; findings about the catalogue and
/// remedies for what is not watched.
pub fn rooms(
    project: &Project,
    spaces: &Airspaces<'_>,
    assessment: &Assessment,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
    progress: &dyn Progress,
) -> BTreeMap<RoomId, RoomResult> {
    let mut results = BTreeMap::new();
    for room in &project.rooms {
        results.insert(room.id, self::room(project, spaces, room, trace));
    }
    let needs = &assessment.needs;
    let mut missing = BTreeSet::new();
    for (idx, group) in assessment.groups.iter().enumerate() {
        let counted: Vec<DetectorId> = assessment.served[idx].iter().map(|(id, _)| *id).collect();
        let members = members(project, &counted, &|_| true);
        let offer = offer(project, group, trace);
        let instance = instance(project, spaces, needs, group, members, offer);
        let title = cover::title(spaces, group);
        let solution = instance.solve(project, instance.nodes(WORK_IN_RUN), &title, progress);
        lack_of_part(project, assessment, idx, offer, &mut missing, findings);
        let remedies = remedies::Step {
            project,
            spaces,
            assessment,
            idx,
            instance: &instance,
            offer,
        };
        remedies.tell(trace, findings);
        findings.extend(needless::notes(
            project,
            spaces,
            needs,
            group,
            &assessment.served[idx],
        ));
        findings.extend(unproven(spaces, needs, group, &solution));
        let one = Unit::One;
        let result = CoverResult {
            measures: group.measures.clone(),
            name: name_of(project, &group.measures),
            hazard: group.hazard,
            band: group.band,
            detectors: counted,
            need: group.need(needs),
            fewest: trace.rule(&rules::FEWEST, solution.count as f64, one, &[]),
            bound: trace.rule(&rules::BOUND, solution.count_bound as f64, one, &[]),
            proven: solution.proven_count && left_out(&instance, &solution) == 0,
            holds_for: holds_for(spaces, group, &instance, left_out(&instance, &solution)),
        };
        let here: BTreeSet<RoomId> = group
            .needs
            .iter()
            .map(|need| needs[*need].demand.room)
            .collect();
        for room in here {
            if let Some(found) = results.get_mut(&room) {
                found.covers.push(result.clone());
            }
        }
    }
    results
}

fn room(project: &Project, spaces: &Airspaces<'_>, room: &Room, trace: &mut Trace) -> RoomResult {
    let outline = spaces.outline(room.id);
    let name = room_name(room);
    let area = trace.measured(
        format!("Floor of {name}"),
        outline.area(),
        Unit::SquareMetre,
    );
    let ceiling = mounting::ceiling(trace, project, Some(room));
    let air_changes = trace.stated_or(
        project,
        format!("Air changes of {name}"),
        room.air_changes,
        &basis::AIR_CHANGES_UNKNOWN,
    );
    let label_at = outline.label_point();
    RoomResult {
        area,
        ceiling,
        air_changes,
        covers: Vec::new(),
        scenario: None,
        label_at,
    }
}

/// The detectors of a group: those an earlier suggestion put there and `may_move` lets go, and
/// those that stay.
fn members<'a>(
    project: &'a Project,
    counted: &[DetectorId],
    may_move: &dyn Fn(&Detector) -> bool,
) -> Members<'a> {
    let all = counted.iter().filter_map(|id| project.detectors.get(*id));
    let (suggested, fixed) =
        all.partition(|detector| detector.origin == Origin::Suggested && may_move(detector));
    Members { suggested, fixed }
}

fn instance(
    project: &Project,
    spaces: &Airspaces<'_>,
    needs: &[Need],
    group: &Group,
    members: Members<'_>,
    offer: Offer<'_>,
) -> Instance {
    let price = offer.item().map_or(0.0, |item| item.price.get());
    Instance::new(project, spaces, needs, group, members, price)
}

/// What the catalogue offers for a group.
fn offer<'a>(project: &'a Project, group: &Group, trace: &mut Trace) -> Offer<'a> {
    let asked = Asked {
        measures: &group.measures,
        hazards: &group.hazards,
        uses: &group.uses,
        released: &group.released,
        stated: &[],
    };
    let points = set_points(project, trace, &asked);
    parts::offer(project, &group.measures, &points)
}

/// The part of the catalogue that a search would take for this detector.
pub fn offered_part(project: &Project, detector: &Detector) -> Option<String> {
    let asked = Asked {
        measures: &detector.watches,
        hazards: &[detector.hazard],
        stated: &detector.set_points,
        ..Asked::default()
    };
    let mut scratch = Trace::default();
    let points = set_points(project, &mut scratch, &asked);
    let item = parts::offer(project, &detector.watches, &points).item()?;
    Some(item.part.clone())
}

/// How many rows no candidate points meet, or not as often as they need.
fn left_out(instance: &Instance, solution: &CoverSolution) -> usize {
    solution.unmet.len() + instance.short.len()
}

fn holds_for(spaces: &Airspaces<'_>, group: &Group, instance: &Instance, n_unmet: usize) -> String {
    let mut text = instance.holds_for.clone();
    if spaces.spaces[group.space].rooms.len() > 1 {
        text = format!("{} together: {text}", spaces.spaces[group.space].name());
    }
    match instance.fixed.len() {
        0 => {}
        1 => text.push_str("; with the one placed by hand or there already kept"),
        n => text.push_str(&format!(
            "; with the {n} placed by hand or there already kept"
        )),
    }
    if n_unmet > 0 {
        text.push_str(&format!(
            "; {n_unmet} that too few candidate points reach left out"
        ));
    }
    text
}

/// A search cut short is told, with the bound it was held against.
fn unproven(
    spaces: &Airspaces<'_>,
    needs: &[Need],
    group: &Group,
    solution: &CoverSolution,
) -> Option<Finding> {
    if solution.proven_count {
        return None;
    }
    let demand = &needs[group.needs[0]].demand;
    let id = format!(
        "placement.unproven/room-{}/{}/{}",
        demand.room,
        group.measures,
        group.band.label()
    );
    let message = format!(
        "{}: the search ended at its limit of work. {} detectors are enough and fewer than {} are \
         ruled out; {} is not proven the fewest.",
        cover::title(spaces, group),
        solution.count,
        solution.count_bound,
        solution.count
    );
    let remedy = "Take the figure as it is, or part the space by its partitions, or watch its \
                  sources only (basis of design).";
    let finding = Finding::new(id, Severity::Note, message, remedy);
    Some(finding.about(ItemKey::Room(demand.room)))
}

/// A gas nobody can buy a detector for is a blocker, once.
fn lack_of_part(
    project: &Project,
    assessment: &Assessment,
    idx: usize,
    offer: Offer<'_>,
    missing: &mut BTreeSet<String>,
    findings: &mut Vec<Finding>,
) {
    let group = &assessment.groups[idx];
    let unmet = group
        .needs
        .iter()
        .any(|need| !assessment.needs[*need].demand.met);
    let bare = assessment.served[idx].iter().any(|(id, _)| {
        let detector = project.detectors.get(*id);
        detector.is_some_and(|one| one.part.is_none() && one.origin != Origin::Existing)
    });
    if !(unmet || bare) || !missing.insert(group.measures.clone()) {
        return;
    }
    let gas = gas_in_sentence(project, &group.measures);
    let (severity, message, remedy) = match offer {
        Offer::Fits(_) => return,
        Offer::WrongRange(item) => (
            Severity::Warning,
            format!(
                "No part of the catalogue measures {gas} over a range that suits its set-points; \
                 the cheapest that measures it at all is {}.",
                item.part
            ),
            format!("Add a detector for {gas} with a suitable range to the catalogue."),
        ),
        Offer::Nothing => (
            Severity::Blocker,
            format!("No part of the catalogue measures {gas}."),
            format!("Add a detector for {gas} to the catalogue."),
        ),
    };
    let id = format!("placement.no_part/{}", group.measures);
    let mut finding = Finding::new(id, severity, message, remedy);
    if let Some(source) = assessment.needs[group.needs[0]].source {
        finding = finding.about(ItemKey::Source(source));
    }
    findings.push(finding);
}

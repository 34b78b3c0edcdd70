//! What must be watched, by which detectors it is, and what each detector adds.
//!
//! Distances are lengths of shortest free paths on the plan at the mounting height, round walls and
//! partitions that reach it. Reaches come from the basis of design. Must not propose a place.

mod air;
#[cfg(test)]
mod air_tests;
mod demands;
mod detectors;
mod extent;
#[cfg(test)]
mod extent_tests;
mod field;
mod pits;
#[cfg(test)]
mod pits_tests;
mod reach;
mod rings;
mod rules;
mod scenario;
mod share;
mod voting;
mod watchers;
mod within;
#[cfg(test)]
mod scenario_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod voting_tests;

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use crate::engine::airspace::{Airspaces, Ways, room_name};
use crate::engine::finding::{Finding, Severity};
use crate::engine::gas::Substances;
use crate::engine::gas::sensing::{self, Sensing};
use crate::engine::mounting::{self, height_range};
use crate::engine::results::{Demand, DemandKind, DetectorResult, MetBy, SourceResult};
use crate::engine::trace::Trace;
use crate::model::*;
use crate::units::Unit;

pub use demands::{
    Group, Need, OwnHeights, aim, gas_in_sentence, governing, groups, nearest_need, needs, reach,
    serves,
};
pub(crate) use detectors::centimetres;
pub use field::distance_lines;
pub use reach::{InReach, Served, in_reach};
pub use rings::rings;
pub use rules::RULES;
pub use scenario::scenarios;
pub use share::Spare;
pub use voting::{
    adds, count, counting, need_item, stand_apart, survives_a_failure, vote, vote_name,
};
pub use watchers::watchers;
pub use within::Within;

/// Heights are set out to the centimetre, m.
pub const ROUNDED_M: f64 = 0.005 + 1e-9;

/// Needs and detectors held against each other.
pub struct Assessment {
    /// Their demands say who meets them.
    pub needs: Vec<Need>,
    pub groups: Vec<Group>,
    /// For each group the detectors of its gas, band and air, counted or not.
    pub of_groups: Vec<Vec<DetectorId>>,
    /// For each group the detectors counted for it, with what they have in reach.
    pub served: Vec<Served>,
    pub detectors: BTreeMap<DetectorId, DetectorResult>,
}

/// Where a detector stands and what it may serve.
struct Standing<'a> {
    detector: &'a Detector,
    room: Option<&'a Room>,
    /// Group of its gas and band in its airspace.
    group: Option<usize>,
    /// Whether its height and its part let it count.
    counts: bool,
}

/// Holds the detectors against what `sources` need. With `only`, detectors in other airspaces, and
/// outside all, are left out, and so are the needs there.
pub fn assess(
    project: &Project,
    spaces: &Airspaces<'_>,
    sources: &BTreeMap<SourceId, SourceResult>,
    only: Option<&BTreeSet<DetectorId>>,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
) -> Assessment {
    let mut needs = needs(project, spaces, sources, trace);
    let touched = only.map(|only| touched(project, spaces, only));
    if let Some(touched) = &touched {
        needs.retain(|need| touched.contains(&need.space));
    }
    let groups = groups(project, &needs);
    let counts = |standing: &Standing<'_>| match (&touched, only, standing.room) {
        (Some(touched), _, Some(room)) => touched.contains(&spaces.space_of(room.id)),
        (_, Some(only), None) => only.contains(&standing.detector.id),
        _ => true,
    };
    let mut standings: Vec<Standing<'_>> = project
        .detectors
        .iter()
        .map(|detector| stand(spaces, &groups, detector))
        .filter(counts)
        .collect();
    for standing in &mut standings {
        let (Some(room), Some(group)) = (standing.room, standing.group) else {
            continue;
        };
        let (group, detector) = (&groups[group], standing.detector);
        standing.counts = can_measure(project, detector)
            && hangs_right(project, &needs, group, room, detector, trace);
    }
    let served = serve_all(spaces, &needs, &groups, &standings);
    let of_groups = by_group(&groups, &standings);
    for (group, served) in groups.iter().zip(&served) {
        for (place, idx) in group.needs.iter().enumerate() {
            settle(project, &mut needs[*idx], place, served, trace);
        }
    }
    let step = detectors::Step {
        project,
        spaces,
        needs: &needs,
        groups: &groups,
        served: &served,
    };
    let mut results = BTreeMap::new();
    for standing in &standings {
        if only.is_none_or(|only| only.contains(&standing.detector.id)) {
            let result = step.result(standing, trace, findings);
            results.insert(standing.detector.id, result);
        }
    }
    for need in &needs {
        findings.extend(unmet(project, need));
    }
    if only.is_none() {
        findings.extend(extent::outside(spaces));
    }
    Assessment {
        needs,
        groups,
        of_groups,
        served,
        detectors: results,
    }
}

/// What the detectors that count have in reach, by group.
fn serve_all(
    spaces: &Airspaces<'_>,
    needs: &[Need],
    groups: &[Group],
    standings: &[Standing<'_>],
) -> Vec<Served> {
    let mut members: Vec<Vec<&Detector>> = vec![Vec::new(); groups.len()];
    for standing in standings.iter().filter(|standing| standing.counts) {
        if let Some(group) = standing.group {
            members[group].push(standing.detector);
        }
    }
    let with_members = groups.iter().zip(&members);
    with_members
        .map(|(group, members)| reach::serve(spaces, needs, group, members))
        .collect()
}

/// The airspaces that the detectors are in.
pub fn touched(
    project: &Project,
    spaces: &Airspaces<'_>,
    detectors: &BTreeSet<DetectorId>,
) -> BTreeSet<usize> {
    detectors
        .iter()
        .filter_map(|id| project.detectors.get(*id))
        .filter_map(|detector| spaces.room_at(detector.floor, detector.at))
        .map(|room| spaces.space_of(room.id))
        .collect()
}

/// Whether the detector's part measures what it is to watch; one without a part is taken at its
/// word.
pub fn can_measure(project: &Project, detector: &Detector) -> bool {
    let Some(item) = project
        .part_of(detector)
        .and_then(|part| project.catalogue.item(part))
    else {
        return true;
    };
    match &item.kind {
        ItemKind::DetectorDevice { measures, .. } => {
            let names = |key: &String| mounting::same_gas(project, key, &detector.watches);
            measures.iter().any(names) && unfit(project, detector).is_none()
        }
        _ => false,
    }
}

/// Whether a detector of a group hangs near enough to the heights of its band.
pub fn hangs_right(
    project: &Project,
    needs: &[Need],
    group: &Group,
    room: &Room,
    detector: &Detector,
    trace: &mut Trace,
) -> bool {
    let height = detector.height.get();
    let aim = aim(
        project,
        needs,
        group,
        room,
        (detector.at, Some(height)),
        trace,
    );
    let range = height_range(project, Some(room), group.band, aim.value);
    range.off(height) <= project.basis.get(&basis::HEIGHT_TOLERANCE) + ROUNDED_M
}

/// Why the sensing principle of the detector's part cannot warn of what it watches here.
pub fn unfit(project: &Project, detector: &Detector) -> Option<String> {
    let part = project.part_of(detector)?;
    let ItemKind::DetectorDevice { principle, .. } = &project.catalogue.item(part)?.kind else {
        return None;
    };
    let substance = Substances::of(project).find(&detector.watches)?;
    let at = Sensing {
        celsius: project.basis.get(&basis::ROOM_TEMPERATURE),
        ..Sensing::room(detector.hazard)
    };
    sensing::unfit(*principle, &substance, at)
}

/// For each group the detectors whose gas, band and air are its own, counted or not.
pub fn of_groups(
    project: &Project,
    spaces: &Airspaces<'_>,
    groups: &[Group],
) -> Vec<Vec<DetectorId>> {
    let all = project.detectors.iter();
    let standings: Vec<Standing<'_>> = all.map(|one| stand(spaces, groups, one)).collect();
    by_group(groups, &standings)
}

fn by_group(groups: &[Group], standings: &[Standing<'_>]) -> Vec<Vec<DetectorId>> {
    let mut of_groups = vec![Vec::new(); groups.len()];
    for standing in standings {
        if let Some(group) = standing.group {
            of_groups[group].push(standing.detector.id);
        }
    }
    of_groups
}

/// The group whose gas, band and air are the detector's.
fn group_in(
    spaces: &Airspaces<'_>,
    room: &Room,
    groups: &[Group],
    detector: &Detector,
) -> Option<usize> {
    let space = spaces.space_of(room.id);
    groups.iter().position(|group| {
        group.space == space
            && group.band == detector.band
            && mounting::same_gas(spaces.project, &detector.watches, &group.measures)
            && serves(detector.hazard, group.hazard)
    })
}

impl Standing<'_> {
    /// The free air paths it is judged by; `None` where it stands in no room.
    fn ways(&self, spaces: &Airspaces<'_>, groups: &[Group]) -> Option<Rc<Ways>> {
        let own = self.detector.height.get();
        if let Some(pit) = spaces.pit_at(self.detector.floor, self.detector.at, own) {
            return Some(pit.ways().clone());
        }
        let height = match self.group {
            Some(group) => groups[group].path_height(Some(own)),
            None => own,
        };
        Some(spaces.ways(spaces.space_of(self.room?.id), height))
    }
}

fn stand<'a>(spaces: &Airspaces<'a>, groups: &[Group], detector: &'a Detector) -> Standing<'a> {
    let room = spaces.room_at(detector.floor, detector.at);
    let group = room.and_then(|room| group_in(spaces, room, groups, detector));
    Standing {
        detector,
        room,
        group,
        counts: group.is_some(),
    }
}

/// Writes into a demand who meets it.
fn settle(project: &Project, need: &mut Need, place: usize, served: &Served, trace: &mut Trace) {
    count_watching(project, need, place, served, trace);
    let is_floor = need.is_floor();
    let figure = |found: &InReach| {
        let farthest = found.farthest[place]?;
        let watched = need.cells.iter().zip(&found.cells[place]);
        let watched = watched.filter(|(_, is)| **is).map(|(cell, _)| cell.area);
        Some(if is_floor { watched.sum() } else { farthest })
    };
    let met = served
        .iter()
        .filter_map(|(id, found)| Some((*id, figure(found)?)));
    let mut met: Vec<(DetectorId, f64)> = met.collect();
    met.sort_by(|a, b| {
        let nearest = match is_floor {
            true => b.1.total_cmp(&a.1),
            false => a.1.total_cmp(&b.1),
        };
        nearest.then(a.0.cmp(&b.0))
    });
    let (what, unit) = match (is_floor, need.cells.is_empty()) {
        (true, _) => ("Area watched of", Unit::SquareMetre),
        (false, true) => ("Free path to", Unit::Metre),
        (false, false) => ("Free path to the farthest part in reach of", Unit::Metre),
    };
    let tag = need.demand.title.clone();
    need.demand.met_by = met
        .into_iter()
        .map(|(detector, figure)| MetBy {
            detector,
            figure: trace.measured(format!("{what} {tag}"), figure, unit),
        })
        .collect();
}

/// Writes into a demand how many detectors count for it, and of one with cells how much of it has
/// enough.
fn count_watching(
    project: &Project,
    need: &mut Need,
    place: usize,
    served: &Served,
    trace: &mut Trace,
) {
    let (wanted, apart) = (need.demand.wanted(), project.basis.get(&basis::VOTE_APART));
    let count = |cell| {
        let found = served.iter().map(|(_, found)| found);
        voting::count(found, (place, cell), wanted, apart)
    };
    if need.cells.is_empty() {
        need.demand.watching = count(None) as u32;
    } else {
        let counts: Vec<usize> = (0..need.cells.len()).map(|idx| count(Some(idx))).collect();
        let cells = need.cells.iter().zip(&counts);
        let mut watched = 0.0;
        for (cell, _) in cells.filter(|(_, n)| **n >= wanted) {
            watched += cell.area;
        }
        need.demand.watching = need.watching(&counts) as u32;
        let size = need.demand.size.iter().map(|size| ("in all", *size));
        let inputs: Vec<_> = size.collect();
        need.demand.watched = Some(match need.unit {
            Unit::Metre => trace.rule(&rules::RUN_WATCHED, watched, Unit::Metre, &inputs),
            unit => trace.rule(&rules::AREA_WATCHED, watched, unit, &inputs),
        });
    }
    need.demand.met = need.demand.watching as usize >= wanted;
}

/// An unmet demand is a blocker.
fn unmet(project: &Project, need: &Need) -> Option<Finding> {
    let demand = &need.demand;
    if demand.met {
        return None;
    }
    let room = project
        .rooms
        .get(demand.room)
        .map(room_name)
        .unwrap_or_default();
    let gas = gas_in_sentence(project, &demand.measures);
    let (band, reach) = (demand.band.label(), demand.reach.value);
    let (message, about) = match demand.kind {
        DemandKind::Source(_)
        | DemandKind::Terminal(_)
        | DemandKind::Opening(_)
        | DemandKind::Pit(_) => place_unmet(project, need, &gas),
        DemandKind::Area => {
            let of = |quantity: Option<crate::engine::Quantity>| quantity.map_or(0.0, |q| q.value);
            let (watched, size) = (of(demand.watched), of(demand.size));
            let by = match demand.wanted() {
                1 => "no detector".to_owned(),
                wanted => format!("fewer than {wanted} detectors"),
            };
            let asked = demand.asked.map_or(String::new(), |asked| {
                format!(
                    " {watched:.1} m² are watched and {:.1} m² are to be ({}).",
                    asked.value,
                    share_asked(project)
                )
            });
            let message = format!(
                "{:.1} m² of the {size:.1} m² floor of {room} is watched by {by} for {gas} in the \
                 {band} band within {reach:.1} m.{asked}",
                size - watched
            );
            (message, ItemKey::Room(demand.room))
        }
    };
    let remedy = format!(
        "Place a detector for {gas} at {:.2} m within {reach:.1} m along free air paths, or have \
         detectors suggested.",
        need.height
    );
    let id = format!("coverage.unmet/{}", demand.id);
    let mut finding = Finding::new(id, Severity::Blocker, message, remedy);
    if let (Some(watched), Some(size)) = (demand.watched, demand.size) {
        finding = finding.held_against(watched, demand.asked.unwrap_or(size));
    }
    Some(finding.about(about).at(demand.floor, demand.at))
}

/// "95 % of each whole floor, as the basis of design asks".
fn share_asked(project: &Project) -> String {
    let share = project.basis.get(&basis::FLOOR_SHARE);
    format!("{share} % of each whole floor, as the basis of design asks")
}

/// What of a source or place too few watch, in a sentence, and the thing it is.
fn place_unmet(project: &Project, need: &Need, gas: &str) -> (String, ItemKey) {
    let demand = &need.demand;
    let (band, reach) = (demand.band.label(), demand.reach.value);
    let (what, about) = named(project, demand);
    let by = match (demand.wanted(), demand.watching) {
        (1, _) => format!("by no detector for {gas} in the {band} band"),
        (wanted, 0) => {
            format!("by none of the {wanted} detectors for {gas} in the {band} band that it needs")
        }
        (wanted, n) => {
            format!("by {n} of the {wanted} detectors for {gas} in the {band} band that it needs")
        }
    };
    let close = too_close(project, demand);
    let part = match (demand.watched, demand.size) {
        (Some(watched), Some(size)) => format!(
            "{:.1} {unit} of the {:.1} {unit} of ",
            size.value - watched.value,
            size.value,
            unit = need.unit.symbol()
        ),
        _ => String::new(),
    };
    let (is, what) = match (part.is_empty(), demand.kind) {
        (true, _) => ("is", what),
        (false, DemandKind::Pit(_)) => ("are", demand.title.clone()),
        (false, _) => ("are", what),
    };
    let message = format!("{part}{what} {is} watched {by} within {reach:.1} m.{close}");
    (message, about)
}

/// What is to be watched at one place, to begin a sentence with, and the thing it is.
fn named(project: &Project, demand: &Demand) -> (String, ItemKey) {
    let capital = |title: &str| {
        let mut letters = title.chars();
        let first = letters.next().map(|first| first.to_uppercase().to_string());
        first.unwrap_or_default() + letters.as_str()
    };
    match demand.kind {
        DemandKind::Source(id) => {
            let source = project.sources.get(id);
            let name = source.map_or("the source", |source| source.name.as_str());
            let room = project.rooms.get(demand.room).map(room_name);
            let what = format!("{name} in {}", room.unwrap_or_default());
            (what, ItemKey::Source(id))
        }
        DemandKind::Terminal(id) => (capital(&demand.title), ItemKey::Terminal(id)),
        DemandKind::Opening(id) => (capital(&demand.title), ItemKey::Opening(id)),
        DemandKind::Pit(id) => (capital(&demand.title), ItemKey::Marked(id)),
        DemandKind::Area => (capital(&demand.title), ItemKey::Room(demand.room)),
    }
}

/// Said where enough detectors have a source in reach but some stand too close to count.
fn too_close(project: &Project, demand: &Demand) -> String {
    if demand.met_by.len() < demand.wanted() {
        return String::new();
    }
    let apart = project.basis.get(&basis::VOTE_APART);
    format!(
        " {} have it in reach, but those closer than {apart} m to each other count as one.",
        demand.met_by.len()
    )
}

//! The edit that brings the detectors of a project, floor or room to an optimum.

use std::collections::{BTreeMap, BTreeSet};

use crate::engine::airspace::Airspaces;
use crate::engine::coverage::{self, Group, Need, ROUNDED_M, gas_in_sentence};
use crate::engine::mounting::{self, height_range};
use crate::engine::placement::cover::{self, Instance};
use crate::engine::placement::parts::Offer;
use crate::engine::placement::{
    Candidate, holds_for, in_the_way, instance, left_out, members, offer,
};
use crate::engine::progress::Progress;
use crate::engine::solve::cover::CoverSolution;
use crate::engine::suggestion::{Scope, Suggestion};
use crate::engine::trace::Trace;
use crate::geometry::Point;
use crate::model::*;
use crate::units::Metres;

/// Work spent on a group when it is asked for (see [`Instance::nodes`]): some seconds at most.
pub const WORK_IN_SUGGEST: u64 = 1_000_000_000;

/// Where a detector is to stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    pub at: Point,
    pub room: RoomId,
    /// Mounting height, where the group has several, m.
    pub height: Option<f64>,
}

impl Seat {
    /// The seat of a candidate point.
    pub fn of(candidate: &Candidate) -> Self {
        let Candidate {
            at, room, height, ..
        } = *candidate;
        Seat { at, room, height }
    }
}

/// Detectors for the airspaces in `scope`. Rooms that share their air are placed together.
pub fn suggest(project: &Project, scope: Scope, progress: &dyn Progress) -> Suggestion {
    let spaces = Airspaces::new(project);
    let mut trace = Trace::default();
    let (mut findings, mut questions) = (Vec::new(), Vec::new());
    let sources = mounting::mount(project, &spaces, &mut trace, &mut findings, &mut questions);
    let needs = coverage::needs(project, &spaces, &sources, &mut trace);
    let groups = coverage::groups(project, &needs);
    let inside = spaces_in(project, &spaces, scope);
    let mut step = Step {
        project,
        spaces: &spaces,
        needs: &needs,
        groups: &groups,
        of_groups: coverage::of_groups(project, &spaces, &groups),
        trace,
        kept: BTreeSet::new(),
        changed: Vec::new(),
        added: Vec::new(),
        remarks: Vec::new(),
        proven: true,
    };
    let asked: Vec<usize> = (0..groups.len())
        .filter(|idx| inside.contains(&groups[*idx].space))
        .collect();
    for (done, idx) in asked.iter().enumerate() {
        let title = cover::title(&spaces, &groups[*idx]);
        progress.report(&title, done, asked.len(), None);
        if progress.cancelled() {
            step.leave(*idx, &title);
        } else {
            step.group(*idx, &title, progress);
        }
    }
    step.finish(scope, &inside)
}

/// The airspaces a scope touches.
fn spaces_in(project: &Project, spaces: &Airspaces<'_>, scope: Scope) -> BTreeSet<usize> {
    project
        .rooms
        .iter()
        .filter(|room| match scope {
            Scope::Project => true,
            Scope::Floor(floor) => room.floor == floor,
            Scope::Room(id) => room.id == id,
        })
        .map(|room| spaces.space_of(room.id))
        .collect()
}

struct Step<'a> {
    project: &'a Project,
    spaces: &'a Airspaces<'a>,
    needs: &'a [Need],
    groups: &'a [Group],
    /// For each group the detectors of its gas, band and air.
    of_groups: Vec<Vec<DetectorId>>,
    trace: Trace,
    kept: BTreeSet<DetectorId>,
    changed: Vec<Edit>,
    /// Group and place of each new detector.
    added: Vec<(usize, Seat)>,
    remarks: Vec<String>,
    proven: bool,
}

impl<'a> Step<'a> {
    /// A group not looked at: its detectors stay.
    fn leave(&mut self, idx: usize, title: &str) {
        self.kept.extend(self.of_groups[idx].iter().copied());
        self.proven = false;
        self.remarks.push(format!(
            "{title}: not looked at, the calculation was stopped."
        ));
    }

    fn group(&mut self, idx: usize, title: &str, progress: &dyn Progress) {
        let group = &self.groups[idx];
        let all = std::mem::take(&mut self.of_groups[idx]);
        let offer = offer(self.project, group, &mut self.trace);
        let counted: Vec<DetectorId> = all
            .into_iter()
            .filter(|id| {
                self.project
                    .detectors
                    .get(*id)
                    .is_some_and(|one| self.may_stay(one) && self.counts(group, one))
            })
            .collect();
        let members = members(self.project, &counted, &|_| true);
        let instance = instance(self.project, self.spaces, self.needs, group, members, offer);
        let nodes = instance.nodes(WORK_IN_SUGGEST);
        let solution = instance.solve(self.project, nodes, title, progress);
        let chosen = instance.chosen(&solution);
        for id in &chosen.kept {
            self.kept.insert(*id);
            self.put_right(group, *id, offer);
        }
        self.added
            .extend(chosen.added.iter().map(|one| (idx, Seat::of(one))));
        let whole = left_out(&instance, &solution) == 0;
        self.proven &= solution.proven_count && whole && !progress.cancelled();
        self.remark(group, title, &instance, &solution);
        if offer == Offer::Nothing && !chosen.added.is_empty() {
            let gas = gas_in_sentence(self.project, &group.measures);
            self.remarks.push(format!(
                "{title}: the catalogue has no detector for {gas}; the places are suggested \
                 without a part."
            ));
        }
    }

    /// A suggested detector in an area marked to keep clear goes; what others placed there stays.
    fn may_stay(&self, detector: &Detector) -> bool {
        detector.origin != Origin::Suggested || in_the_way(self.spaces, detector).is_none()
    }

    /// A suggested detector counts wherever it hangs, as its height can be put right, but for a
    /// band that has several.
    fn counts(&mut self, group: &Group, detector: &Detector) -> bool {
        if detector.origin == Origin::Suggested && group.levels.is_empty() {
            return true;
        }
        if !coverage::can_measure(self.project, detector) {
            return false;
        }
        let Some(room) = self.spaces.room_at(detector.floor, detector.at) else {
            return false;
        };
        let trace = &mut self.trace;
        coverage::hangs_right(self.project, self.needs, group, room, detector, trace)
    }

    /// Sets the height and the part of a detector that stays, where they are wrong.
    fn put_right(&mut self, group: &Group, id: DetectorId, offer: Offer<'_>) {
        let Some(detector) = self.project.detectors.get(id) else {
            return;
        };
        let Some(room) = self.spaces.room_at(detector.floor, detector.at) else {
            return;
        };
        let mut right = detector.clone();
        let (project, needs) = (self.project, self.needs);
        let place = (detector.at, Some(detector.height.get()));
        let aim = coverage::aim(project, needs, group, room, place, &mut self.trace);
        let range = height_range(project, Some(room), group.band, aim.value);
        if range.off(detector.height.get()) > ROUNDED_M {
            right.height = Metres::new(coverage::centimetres(aim.value));
        }
        if detector.part.is_none() {
            right.part = offer.item().map(|item| item.part.clone());
        }
        if right != *detector {
            self.changed.push(Edit::Change {
                item: Item::Detector(right),
            });
        }
    }

    fn remark(
        &mut self,
        group: &Group,
        title: &str,
        instance: &Instance,
        solution: &CoverSolution,
    ) {
        let n = solution.count;
        let detectors = if n == 1 { "detector" } else { "detectors" };
        let fixed = match instance.fixed.len() {
            0 => String::new(),
            fixed => format!(", {fixed} of them placed by hand or there already"),
        };
        let on = holds_for(self.spaces, group, instance, 0);
        self.remarks.push(match (n, solution.proven_count) {
            (0, _) => format!("{title}: nothing can be watched from {on}."),
            (_, true) => format!("{title}: {n} {detectors}{fixed}; no layout has fewer ({on})."),
            (_, false) => format!(
                "{title}: {n} {detectors}{fixed}; fewer than {} are ruled out, but the search was \
                 cut short, so {n} is not proven the fewest ({on}).",
                solution.count_bound
            ),
        });
        self.remark_unmet(group, title, instance, solution);
    }

    /// What no layout of the candidate points meets, or not as often as it needs.
    fn remark_unmet(
        &mut self,
        group: &Group,
        title: &str,
        instance: &Instance,
        solution: &CoverSolution,
    ) {
        // Place of the need and how many there are for it, with the number of rows.
        let mut unmet: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        let none = solution.unmet.iter().map(|row| (*row, 0));
        let few = instance.short.iter().map(|(row, most)| (*row, *most));
        for (row, most) in none.chain(few) {
            *unmet.entry((instance.rows[row].0, most)).or_default() += 1;
        }
        for ((place, most), n_rows) in unmet {
            let need = &self.needs[group.needs[place]];
            let what = match need.cells.is_empty() {
                true => need.demand.title.trim_start_matches("source: ").to_owned(),
                false => format!("part of the {} ({n_rows} places)", need.demand.title),
            };
            self.remarks.push(match most {
                0 => format!("{title}: {what} is out of reach of every candidate point."),
                most => format!(
                    "{title}: {what} is in reach of {most} candidate points that stand apart, not \
                     of the {} it needs.",
                    need.demand.wanted()
                ),
            });
        }
    }

    fn finish(mut self, scope: Scope, inside: &BTreeSet<usize>) -> Suggestion {
        let removed: Vec<&Detector> = self
            .project
            .detectors
            .iter()
            .filter(|detector| detector.origin == Origin::Suggested)
            .filter(|detector| !self.kept.contains(&detector.id))
            .filter(
                |detector| match self.spaces.room_at(detector.floor, detector.at) {
                    Some(room) => inside.contains(&self.spaces.space_of(room.id)),
                    None => match scope {
                        Scope::Project => true,
                        Scope::Floor(floor) => detector.floor == floor,
                        Scope::Room(_) => false,
                    },
                },
            )
            .collect();
        let (n_removed, n_added) = (removed.len(), self.added.len());
        let n_changed = self.changed.len();
        let mut edits: Vec<Edit> = removed
            .iter()
            .map(|detector| Edit::Remove {
                key: ItemKey::Detector(detector.id),
            })
            .collect();
        edits.append(&mut self.changed);
        edits.extend(self.additions());
        let summary = summary(n_added, n_removed, n_changed);
        Suggestion {
            edit: Edit::All {
                label: format!("Suggested detectors: {summary}"),
                edits,
            },
            summary,
            remarks: self.remarks,
            proven: self.proven,
            n_added,
            n_removed,
            cable_change_m: None,
            price_change: None,
        }
    }

    /// The new detectors, numbered floor by floor, room by room, down the plan.
    fn additions(&mut self) -> Vec<Edit> {
        let floors: Vec<FloorId> = self
            .project
            .floors_upwards()
            .into_iter()
            .map(|floor| floor.id)
            .collect();
        let room = |id: RoomId| self.project.rooms.get(id).expect("candidates lie in rooms");
        let rank = |seat: &Seat| {
            let room = room(seat.room);
            let floor = floors.iter().position(|floor| *floor == room.floor);
            (floor, room.number.as_str(), room.id)
        };
        let mut added = std::mem::take(&mut self.added);
        added.sort_by(|(group, a), (other, b)| {
            rank(a)
                .cmp(&rank(b))
                .then(self.groups[*group].band.cmp(&self.groups[*other].band))
                .then(
                    self.groups[*group]
                        .measures
                        .cmp(&self.groups[*other].measures),
                )
                .then(a.at.y.total_cmp(&b.at.y))
                .then(a.at.x.total_cmp(&b.at.x))
        });
        let mut tags = Tags::new(self.project);
        let mut id = self.project.detectors.next_id();
        let mut edits = Vec::new();
        for (group, seat) in added {
            let group = &self.groups[group];
            let tag = tags.next(self.project, room(seat.room).floor);
            let offer = offer(self.project, group, &mut self.trace);
            let detector = detector(
                self.project,
                self.needs,
                group,
                offer,
                seat,
                id,
                tag,
                &mut self.trace,
            );
            edits.push(Edit::Add {
                item: Item::Detector(detector),
            });
            id = DetectorId(id.0 + 1);
        }
        edits
    }
}

/// A detector of a group at a place, as a suggestion makes it.
#[allow(clippy::too_many_arguments)]
pub fn detector(
    project: &Project,
    needs: &[Need],
    group: &Group,
    offer: Offer<'_>,
    seat: Seat,
    id: DetectorId,
    tag: String,
    trace: &mut Trace,
) -> Detector {
    let room = project
        .rooms
        .get(seat.room)
        .expect("candidates lie in rooms");
    let place = (seat.at, seat.height);
    let aim = coverage::aim(project, needs, group, room, place, trace).value;
    Detector {
        id,
        tag,
        floor: room.floor,
        at: seat.at,
        height: Metres::new(coverage::centimetres(seat.height.unwrap_or(aim))),
        watches: group.measures.clone(),
        hazard: group.hazard,
        band: group.band,
        part: offer.item().map(|item| item.part.clone()),
        origin: Origin::Suggested,
        set_points: Vec::new(),
        set_points_reason: String::new(),
        tag_offset: None,
    }
}

/// Tags not in use: AT-101 and following on the lowest floor, AT-201 on the next.
pub struct Tags(BTreeSet<String>);

impl Tags {
    /// Knows the tags in use in `project`.
    pub fn new(project: &Project) -> Self {
        let detectors = project.detectors.iter().map(|thing| thing.tag.clone());
        let devices = project.devices.iter().map(|thing| thing.tag.clone());
        let panels = project.panels.iter().map(|thing| thing.tag.clone());
        let segments = project.segments.iter().map(|thing| thing.tag.clone());
        Tags(
            detectors
                .chain(devices)
                .chain(panels)
                .chain(segments)
                .collect(),
        )
    }

    /// The next free tag of a floor.
    pub fn next(&mut self, project: &Project, floor: FloorId) -> String {
        let place = project
            .floors_upwards()
            .iter()
            .position(|one| one.id == floor);
        let base = 100 * (place.unwrap_or(0) + 1);
        let free = (base + 1..)
            .map(|number| format!("AT-{number}"))
            .find(|tag| !self.0.contains(tag))
            .expect("numbers do not end");
        self.0.insert(free.clone());
        free
    }
}

/// The changes in words, such as "+3 −1 detectors"; what does not change is not spoken of.
fn summary(n_added: usize, n_removed: usize, n_changed: usize) -> String {
    let by = [("+", n_added), ("\u{2212}", n_removed)];
    let by: Vec<String> = by
        .into_iter()
        .filter(|(_, n)| *n > 0)
        .map(|(sign, n)| format!("{sign}{n}"))
        .collect();
    let noun = |n: usize| if n == 1 { "detector" } else { "detectors" };
    let moved = (!by.is_empty()).then(|| format!("{} {}", by.join(" "), noun(n_added + n_removed)));
    match (moved, n_changed) {
        (None, 0) => "no change: the detectors are as they should be".to_owned(),
        (None, n) => format!("{n} {} put right", noun(n)),
        (Some(moved), 0) => moved,
        (Some(moved), n) => format!("{moved}, {n} put right"),
    }
}

#[cfg(test)]
mod tests {
    use super::summary;

    #[test]
    fn what_does_not_change_is_not_spoken_of() {
        for (counts, words) in [
            ((0, 0, 0), "no change: the detectors are as they should be"),
            ((2, 0, 0), "+2 detectors"),
            ((0, 1, 0), "\u{2212}1 detector"),
            ((3, 1, 0), "+3 \u{2212}1 detectors"),
            ((3, 1, 2), "+3 \u{2212}1 detectors, 2 put right"),
            ((0, 0, 1), "1 detector put right"),
        ] {
            assert_eq!(summary(counts.0, counts.1, counts.2), words);
        }
    }
}

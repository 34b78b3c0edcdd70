//! What to do about a source or place that too few watch: a detector that is near moved, or a
//! further one placed, each with its edit; and what keeps a near one from reaching it.

use crate::engine::airspace::{Airspaces, room_name};
use crate::engine::coverage::{
    self, Assessment, Group, InReach, Need, Served, gas_in_sentence, in_reach,
};
use crate::engine::finding::{Finding, Fix};
use crate::engine::mounting::{height_range, same_gas};
use crate::engine::placement::candidates::kept_off;
use crate::engine::placement::cover::{Instance, SAME_PLACE_M};
use crate::engine::placement::parts::Offer;
use crate::engine::placement::{Candidate, Fixing, suggest};
use crate::engine::results::{Demand, DemandKind};
use crate::engine::trace::Trace;
use crate::geometry::{Point, Segment};
use crate::model::basis;
use crate::model::*;
use crate::units::Metres;

/// Of the nearest detectors so many are looked at, and for each so many places to move to.
const LOOKED_AT: usize = 4;
const PLACES_LOOKED_AT: usize = 60;

/// One group with its cover problem.
pub(super) struct Step<'a> {
    pub project: &'a Project,
    pub spaces: &'a Airspaces<'a>,
    pub assessment: &'a Assessment,
    /// Place of the group.
    pub idx: usize,
    pub instance: &'a Instance,
    pub offer: Offer<'a>,
}

/// A detector as it would stand after a move.
struct Moved {
    before: Detector,
    after: Detector,
}

impl Step<'_> {
    /// Says in each finding about an unmet demand of the group what to do.
    pub fn tell(&self, trace: &mut Trace, findings: &mut [Finding]) {
        for (place, idx) in self.group().needs.iter().enumerate() {
            let demand = &self.needs()[*idx].demand;
            if demand.met {
                continue;
            }
            let id = format!("coverage.unmet/{}", demand.id);
            if let Some(finding) = findings.iter_mut().find(|finding| finding.id == id) {
                self.tell_one(place, demand, trace, finding);
            }
        }
    }

    fn tell_one(&self, place: usize, demand: &Demand, trace: &mut Trace, finding: &mut Finding) {
        if let Some(remedy) = cannot(self.project, demand, self.instance, place) {
            finding.remedy = remedy;
            return;
        }
        let nearest = (self.instance.candidates_for(place).into_iter())
            .filter_map(|candidate| Some((candidate.reached.distances[place]?, candidate)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let away = self.kept_away(place);
        let Some(nearest) = nearest else {
            finding.remedy = no_point(demand, away);
            return;
        };
        if demand.kind == DemandKind::Area {
            return;
        }
        let (mut remedy, mut fix) = self.further(nearest, demand, trace);
        // Of a pipe run or an area no one place is what a move must reach.
        let is_point = self.needs()[self.group().needs[place]].cells.is_empty();
        if let Some(moved) = self.moved(place, demand).filter(|_| is_point) {
            remedy = format!(
                "{} Or place a further one: {}",
                moved.says(demand),
                lower(remedy)
            );
            fix = moved.fix();
        }
        let between = self.between(place, demand).filter(|_| is_point);
        let away = away.map(|areas| {
            let free = kept_free(&areas);
            format!("Part of it no candidate point has in reach: {free}.")
        });
        let said = [between, Some(remedy), away].into_iter().flatten();
        finding.remedy = said.collect::<Vec<_>>().join(" ");
        finding.fix = Some(fix);
    }

    /// The marked areas that keep off points from which what no candidate point reaches might be in
    /// reach, if there are any.
    fn kept_away(&self, place: usize) -> Option<Vec<&MarkedArea>> {
        let need = &self.needs()[self.group().needs[place]];
        let has = |cell: Option<usize>| {
            let mut all = self.instance.candidates.iter();
            all.any(|candidate| candidate.reached.has(place, cell))
        };
        let numbered = need.cells.iter().enumerate();
        let cells = numbered.filter(|(cell, _)| !has(Some(*cell)));
        let mut missed: Vec<Point> = cells.map(|(_, cell)| cell.centre).collect();
        if need.cells.is_empty() && !has(None) {
            missed.push(need.demand.at);
        }
        let areas = kept_off(self.spaces, self.needs(), self.group(), place, &missed);
        (!areas.is_empty()).then_some(areas)
    }

    fn group(&self) -> &Group {
        &self.assessment.groups[self.idx]
    }

    fn needs(&self) -> &[Need] {
        &self.assessment.needs
    }

    fn served(&self) -> &Served {
        &self.assessment.served[self.idx]
    }

    /// A detector more at the nearest candidate point.
    fn further(
        &self,
        (distance, candidate): (f64, &Candidate),
        demand: &Demand,
        trace: &mut Trace,
    ) -> (String, Fix) {
        let (project, group) = (self.project, self.group());
        let tag = suggest::Tags::new(project).next(project, demand.floor);
        let seat = suggest::Seat::of(candidate);
        let id = project.detectors.next_id();
        let needs = self.needs();
        let detector = suggest::detector(project, needs, group, self.offer, seat, id, tag, trace);
        let in_pit = matches!(demand.kind, DemandKind::Pit(_));
        let on = match candidate.fixing {
            Fixing::Wall if in_pit => "on its side",
            Fixing::Post if in_pit => "on a post or frame in it",
            Fixing::Wall => "on the wall",
            Fixing::Ceiling => "under the ceiling",
            Fixing::Post => "on a post or frame",
            Fixing::Duct => "in the extract of the cupboard",
        };
        let far = match in_pit {
            true => String::new(),
            false => format!(", {distance:.1} m from {}", it(demand.kind)),
        };
        let remedy = format!(
            "Place a detector for {}: the nearest candidate point is {on}{far}, at {:.2} m.",
            gas_in_sentence(project, &group.measures),
            detector.height.get()
        );
        let detector = Detector {
            origin: Origin::ByHand,
            ..detector
        };
        let label = format!("Place {} there", detector.tag);
        let item = Item::Detector(detector);
        let edit = Edit::Add { item };
        (remedy, Fix { label, edit })
    }

    /// The shortest move of a detector of the group that lets it watch the demand as well and takes
    /// no watcher from anything else. What stands already is not moved.
    fn moved(&self, place: usize, demand: &Demand) -> Option<Moved> {
        let reach = demand.reach.value;
        let far = |one: &&Detector| one.at.distance(demand.at);
        let all = self.assessment.of_groups[self.idx].iter();
        let mut near: Vec<&Detector> = all
            .filter_map(|id| self.project.detectors.get(*id))
            .filter(|one| one.origin != Origin::Existing)
            .filter(|one| coverage::can_measure(self.project, one))
            .filter(|one| far(one) <= 2.0 * reach)
            .collect();
        near.sort_by(|a, b| far(a).total_cmp(&far(b)).then(a.id.cmp(&b.id)));
        let found = near.into_iter().take(LOOKED_AT).filter_map(|detector| {
            let by_height = self.put_right(place, detector);
            by_height.or_else(|| self.put_elsewhere(place, demand, detector))
        });
        found.min_by(|a, b| {
            a.by()
                .total_cmp(&b.by())
                .then(a.before.id.cmp(&b.before.id))
        })
    }

    /// A detector that would watch it if it hung at the right height.
    fn put_right(&self, place: usize, detector: &Detector) -> Option<Moved> {
        if self.served().iter().any(|(id, _)| *id == detector.id) {
            return None;
        }
        let room = self.spaces.room_at(detector.floor, detector.at)?;
        let (project, needs, group) = (self.project, self.needs(), self.group());
        let seat = (detector.at, Some(detector.height.get()));
        let scratch = &mut Trace::default();
        let aim = coverage::aim(project, needs, group, room, seat, scratch).value;
        let range = height_range(project, Some(room), group.band, aim);
        let height = match group.levels.is_empty() {
            true => aim,
            false => detector.height.get().clamp(range.least, range.most),
        };
        let after = Detector {
            height: Metres::new(coverage::centimetres(height)),
            ..detector.clone()
        };
        let height = Some(after.height.get());
        let ways = self.spaces.ways(group.space, group.path_height(height));
        let found = in_reach(&ways.airways, needs, group, (after.at, height));
        let before = detector.clone();
        self.serves(place, detector, &found)
            .then_some(Moved { before, after })
    }

    /// A detector that would watch it from the nearest candidate point that serves.
    fn put_elsewhere(&self, place: usize, demand: &Demand, detector: &Detector) -> Option<Moved> {
        let clear = self.project.basis.get(&basis::THING_CLEAR);
        let taken = |at: Point| {
            let mut others = self.project.detectors.iter();
            others.any(|other| {
                let here = other.floor == detector.floor && other.id != detector.id;
                here && other.at.distance(at) < clear
            })
        };
        let by = |candidate: &Candidate| candidate.at.distance(detector.at);
        let mut places: Vec<&Candidate> = self
            .instance
            .candidates
            .iter()
            .filter(|candidate| candidate.fixing != Fixing::Duct)
            .filter(|candidate| candidate.reached.distances[place].is_some())
            .filter(|candidate| (SAME_PLACE_M..=demand.reach.value).contains(&by(candidate)))
            .collect();
        places.sort_by(|a, b| by(a).total_cmp(&by(b)));
        let mut places = places.into_iter().take(PLACES_LOOKED_AT);
        // A point of a grid may lie in the line of a partition.
        let in_line = |one: &Candidate| {
            let height = self.group().path_height(one.height);
            let ways = self.spaces.ways(self.group().space, height);
            let mut edges = ways.edges.iter();
            edges.any(|edge| edge.distance_to(one.at) < SAME_PLACE_M)
        };
        let serves = |one: &&Candidate| {
            let is_free = !taken(one.at) && !in_line(one);
            is_free && self.serves(place, detector, &one.reached)
        };
        let seat = suggest::Seat::of(places.find(serves)?);
        let room = self.project.rooms.get(seat.room)?;
        let scratch = &mut Trace::default();
        let (at, level) = (seat.at, seat.height);
        let (needs, group) = (self.needs(), self.group());
        let aim = coverage::aim(self.project, needs, group, room, (at, level), scratch);
        let height = coverage::centimetres(level.unwrap_or(aim.value));
        let before = detector.clone();
        let after = Detector {
            at,
            height: Metres::new(height),
            ..before.clone()
        };
        Some(Moved { before, after })
    }

    /// Whether a detector that had this in reach would count for the demand at `place`, still have
    /// each source and place in reach that it has, and take no watcher from anything.
    fn serves(&self, place: usize, detector: &Detector, found: &InReach) -> bool {
        let (needs, group) = (self.needs(), self.group());
        let apart = self.project.basis.get(&basis::VOTE_APART);
        let others: Vec<&InReach> = self
            .served()
            .iter()
            .filter(|(id, _)| *id != detector.id)
            .map(|(_, found)| found)
            .collect();
        let own = self.served().iter().find(|(id, _)| *id == detector.id);
        let own = own.map(|(_, found)| found);
        let count = |one: Option<&InReach>, what: (usize, Option<usize>), wanted: usize| {
            coverage::count(others.iter().copied().chain(one), what, wanted, apart)
        };
        let gains = {
            let wanted = needs[group.needs[place]].demand.wanted();
            count(Some(found), (place, None), wanted) > count(own, (place, None), wanted)
        };
        let loses = |own: &InReach| {
            group.needs.iter().enumerate().any(|(at, idx)| {
                let wanted = needs[*idx].demand.wanted();
                let less = |what: (usize, Option<usize>)| {
                    own.has(what.0, what.1)
                        && !(wanted == 1 && found.has(what.0, what.1))
                        && count(Some(found), what, wanted) < count(Some(own), what, wanted)
                };
                match needs[*idx].cells.len() {
                    0 => own.has(at, None) && !found.has(at, None) || less((at, None)),
                    n => (0..n).any(|cell| less((at, Some(cell)))),
                }
            })
        };
        gains && !own.is_some_and(loses)
    }

    /// What stands between the demand and the nearest detector that would reach it as the crow
    /// flies, in a sentence.
    fn between(&self, place: usize, demand: &Demand) -> Option<String> {
        let group = self.group();
        let served = self.served();
        let reaches = |one: &Detector| {
            let found = served.iter().find(|(id, _)| *id == one.id);
            found.is_some_and(|(_, found)| found.has(place, None))
        };
        let far = |one: &Detector| one.at.distance(demand.at);
        let near = self.project.detectors.iter().filter(|one| {
            one.floor == demand.floor
                && one.band == group.band
                && far(one) <= demand.reach.value
                && same_gas(self.project, &one.watches, &group.measures)
                && coverage::serves(one.hazard, group.hazard)
                && coverage::can_measure(self.project, one)
                && !reaches(one)
        });
        let nearest = near.min_by(|a, b| far(a).total_cmp(&far(b)).then(a.id.cmp(&b.id)))?;
        let room = self.spaces.room_at(nearest.floor, nearest.at)?;
        let (what, way) = match self.spaces.space_of(room.id) == group.space {
            true => self.in_its_air(nearest, demand)?,
            false => (self.in_the_wall(nearest, room, demand), None),
        };
        let way = match way {
            Some(way) => format!("the way round it is {way:.1} m"),
            None => "no air comes that way".to_owned(),
        };
        Some(format!(
            "{} is {:.1} m from {}, but {what} stands between: {way}.",
            nearest.tag,
            far(nearest),
            it(demand.kind)
        ))
    }

    /// What stands between within one airspace, with the way round it, m.
    fn in_its_air(&self, detector: &Detector, demand: &Demand) -> Option<(String, Option<f64>)> {
        let group = self.group();
        let height = group.path_height(Some(detector.height.get()));
        let ways = self.spaces.ways(group.space, height);
        let way = ways.airways.distance(detector.at, demand.at);
        if way.is_some_and(|way| way <= demand.reach.value) {
            return None;
        }
        let straight = Segment::new(detector.at, demand.at);
        let crosses = |line: &[Point]| {
            let mut pieces = line.windows(2);
            pieces.any(|pair| Segment::new(pair[0], pair[1]).meeting(&straight).is_some())
        };
        let barriers = self.spaces.barriers_in(group.space).iter();
        let mut blocking = barriers.filter(|one| self.spaces.blocks(group.space, one, height));
        let what = match blocking.find(|one| crosses(&one.line)) {
            Some(beam) if beam.underside.is_some() => "a beam",
            Some(_) => "a partition",
            None => "a wall",
        };
        Some((what.to_owned(), way))
    }

    /// What stands between two rooms that do not share their air.
    fn in_the_wall(&self, detector: &Detector, room: &Room, demand: &Demand) -> String {
        let name = room_name(room);
        let straight = Segment::new(detector.at, demand.at);
        let crossed = |opening: &&Opening| {
            opening.floor == demand.floor
                && Segment::new(opening.a, opening.b)
                    .meeting(&straight)
                    .is_some()
        };
        match self.project.openings.iter().find(crossed) {
            Some(opening) if opening.form != OpeningForm::OpenWay => {
                format!("the {} to {name}, taken as shut,", opening.form.label())
            }
            _ => format!("the wall of {name}"),
        }
    }
}

impl Moved {
    /// How far it is moved on the plan, m.
    fn by(&self) -> f64 {
        self.before.at.distance(self.after.at)
    }

    fn says(&self, demand: &Demand) -> String {
        let (tag, height) = (&self.before.tag, self.after.height.get());
        let it = it(demand.kind);
        if self.by() < SAME_PLACE_M {
            return format!("Set {tag} to {height:.2} m: there it watches {it} as well.");
        }
        let far = |one: &Detector| one.at.distance(demand.at);
        let nearer = far(&self.after) < far(&self.before);
        let towards = match nearer {
            true => format!(" towards {it}"),
            false => String::new(),
        };
        let hangs = self.before.height.get() - height;
        let at = match hangs.abs() > coverage::ROUNDED_M {
            true => format!(", at {height:.2} m"),
            false => String::new(),
        };
        format!(
            "Move {tag} {:.1} m{towards}, to x {:.2} m, y {:.2} m{at}: there it watches {it} as \
             well, and all that it watched before.",
            self.by(),
            self.after.at.x,
            self.after.at.y
        )
    }

    fn fix(self) -> Fix {
        let tag = &self.before.tag;
        let label = match self.by() < SAME_PLACE_M {
            true => format!("Set {tag} to {:.2} m", self.after.height.get()),
            false => format!("Move {tag} there"),
        };
        let item = Item::Detector(self.after);
        Fix {
            label,
            edit: Edit::Change { item },
        }
    }
}

/// What is watched, as a sentence speaks of it.
fn it(kind: DemandKind) -> &'static str {
    match kind {
        DemandKind::Source(_) => "the source",
        DemandKind::Terminal(_) => "the air terminal",
        DemandKind::Pit(_) => "the pit",
        DemandKind::Opening(_) => "the opening",
        DemandKind::Area => "the floor",
    }
}

/// What to do where no candidate point has a demand in reach, with the marked areas that keep some
/// away.
fn no_point(demand: &Demand, away: Option<Vec<&MarkedArea>>) -> String {
    let what = match (&away, demand.kind) {
        (Some(areas), _) => format!(
            "{}. Make what is marked smaller, or what is kept clear of hot and wet areas in the \
             basis of design, or place one by hand where it can stand.",
            kept_free(areas)
        ),
        (None, DemandKind::Pit(_)) => "make the step of the candidate points or what is kept \
                                       clear of supply air smaller in the basis of design."
            .to_owned(),
        (None, _) => "move it into the room, allow points on the ceiling, or make the step of the \
                      candidate points or what is kept clear of supply air smaller in the basis of \
                      design."
            .to_owned(),
    };
    format!("No candidate point has it in reach: {what}")
}

/// "wet area 3 and hot area 4 are kept free of detectors".
fn kept_free(areas: &[&MarkedArea]) -> String {
    let names: Vec<String> = areas.iter().map(|area| area.name()).collect();
    let verb = if names.len() == 1 { "is" } else { "are" };
    format!("{} {verb} kept free of detectors", names.join(" and "))
}

/// A sentence that follows a colon.
fn lower(sentence: String) -> String {
    match sentence.split_once(": ") {
        Some((_, rest)) => rest.to_owned(),
        None => sentence,
    }
}

/// What to do where no layout of the candidate points meets a demand as often as it needs.
fn cannot(project: &Project, demand: &Demand, instance: &Instance, place: usize) -> Option<String> {
    let short = instance.short.iter();
    let of_demand = short.filter(|(row, _)| instance.rows[**row].0 == place);
    let most = of_demand.map(|(_, most)| *most).min()?;
    let apart = project.basis.get(&basis::VOTE_APART);
    let what = match demand.kind {
        DemandKind::Area => "some of it",
        _ => "it",
    };
    let has = if most == 1 { "has" } else { "have" };
    Some(format!(
        "Of the candidate points, taken {apart} m apart or more, only {most} {has} {what} in \
         reach, and it needs {}: make the step of the candidate points or the distance between \
         voting detectors smaller, allow points on the ceiling, or ask for fewer in reach (basis \
         of design).",
        demand.wanted()
    ))
}

//! What one detector fewer would leave unwatched, and what voting would cost, on demand.
//!
//! The fewest are proven by the cover; the layout with one fewer is the best that exchanging places
//! finds, and says so. Must not change the project.

use std::collections::{BTreeMap, BTreeSet};

use crate::engine::airspace::Airspaces;
use crate::engine::coverage::{self, Group, Need, gas_in_sentence};
use crate::engine::mounting;
use crate::engine::placement::cover::{self, Instance};
use crate::engine::placement::parts::Offer;
use crate::engine::placement::pricing::Pricing;
use crate::engine::placement::suggest::WORK_IN_SUGGEST;
use crate::engine::placement::{holds_for, instance, left_out, members, offer, rules};
use crate::engine::progress::Progress;
use crate::engine::results::{Comparison, Layout, Lost};
use crate::engine::solve::allowance::missed;
use crate::engine::solve::cover::CoverSolution;
use crate::engine::solve::exchange::{ExchangeOptions, Weight, exchange};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// Entries of rows and columns looked at for the layout with one fewer: a second or two.
const EXCHANGE_WORK: u64 = 300_000_000;

/// Work spent on each of the other votes: a part of what the proposed layout is given.
const WORK_IN_VOTE: u64 = WORK_IN_SUGGEST / 4;

/// Which cover is asked about.
#[derive(Debug, Clone, PartialEq)]
pub struct CoverKey {
    /// A room of its airspace.
    pub room: RoomId,
    /// Key of what is measured, as [`crate::engine::results::CoverResult`] has it.
    pub measures: String,
    pub band: Band,
}

/// The cover beside one detector fewer and beside other votes; `None` where there is no such cover.
pub fn compare(project: &Project, asked: &CoverKey, progress: &dyn Progress) -> Option<Comparison> {
    if !project.rooms.has(asked.room) {
        return None;
    }
    let spaces = Airspaces::new(project);
    let mut trace = Trace::default();
    let (mut findings, mut questions) = (Vec::new(), Vec::new());
    let sources = mounting::mount(project, &spaces, &mut trace, &mut findings, &mut questions);
    let assessment = coverage::assess(project, &spaces, &sources, None, &mut trace, &mut findings);
    let space = spaces.space_of(asked.room);
    let idx = assessment.groups.iter().position(|group| {
        group.space == space && group.measures == asked.measures && group.band == asked.band
    })?;
    let group = &assessment.groups[idx];
    let served = assessment.served[idx].iter();
    let step = Step {
        project,
        spaces: &spaces,
        group,
        counted: served.map(|(id, _)| *id).collect(),
        offer: offer(project, group, &mut trace),
        title: cover::title(&spaces, group),
        progress,
    };
    Some(step.comparison(&assessment.needs, trace))
}

struct Step<'a> {
    project: &'a Project,
    spaces: &'a Airspaces<'a>,
    group: &'a Group,
    counted: Vec<DetectorId>,
    offer: Offer<'a>,
    title: String,
    progress: &'a dyn Progress,
}

/// A cover problem with its solution.
struct Solved {
    instance: Instance,
    solution: CoverSolution,
    /// The columns of the layout.
    taken: Vec<usize>,
    /// Rows that no layout of the candidate points meets as often as they need.
    hopeless: Vec<usize>,
}

/// A layout with one fewer.
struct Fewer {
    chosen: Vec<usize>,
    /// The kept column that is given up, where all were kept.
    away: Option<usize>,
    settled: bool,
}

impl Step<'_> {
    fn comparison(&self, needs: &[Need], mut trace: Trace) -> Comparison {
        let solved = self.solved(needs, WORK_IN_SUGGEST);
        let wanted: BTreeSet<usize> = self
            .group
            .needs
            .iter()
            .map(|idx| needs[*idx].demand.wanted())
            .collect();
        let all_alike = wanted.first().copied().filter(|_| wanted.len() == 1);
        let says = match all_alike {
            Some(need) => coverage::vote(self.project, need),
            None => "As many in reach of each demand as the basis of design asks for.".to_owned(),
        };
        let proposed = self.layout(needs, &solved, ("as proposed".to_owned(), says), &mut trace);
        let price = proposed.price;
        let fewer = self.fewer(needs, &solved, price, &mut trace);
        let mut votes = Vec::new();
        for need in self.votes(all_alike) {
            if self.progress.cancelled() {
                break;
            }
            let needs = self.asking(needs, need, &mut trace);
            let solved = self.solved(&needs, WORK_IN_VOTE);
            let name = format!("{need} in reach ({})", coverage::vote_name(need));
            let says = coverage::vote(self.project, need);
            let layout = self.layout(&needs, &solved, (name, says), &mut trace);
            votes.push(against(layout, price, &mut trace));
        }
        Comparison {
            title: self.title.clone(),
            proposed,
            fewer,
            votes,
            price_holds: self.price_holds(),
            floor_asked: (self.group.needs.iter())
                .any(|idx| needs[*idx].demand.asked.is_some())
                .then(|| trace.basis(&self.project.basis, &basis::FLOOR_SHARE)),
            stopped: self.progress.cancelled(),
            trace,
        }
    }

    /// Numbers of detectors in reach to hold the proposed against: one by itself, and so many as
    /// vote and, as the basis of design takes a fault, survive one.
    fn votes(&self, proposed: Option<usize>) -> Vec<usize> {
        let survives = |need: &usize| coverage::survives_a_failure(self.project, *need);
        let least = (2..).find(survives).unwrap_or(3);
        let all = 1..=least.max(2);
        all.filter(|need| Some(*need) != proposed).collect()
    }

    /// The needs, those of the group asking for so many detectors in reach.
    fn asking(&self, needs: &[Need], need: usize, trace: &mut Trace) -> Vec<Need> {
        let title = "Detectors in reach of each demand, to compare";
        let asked = trace.given(title, need as f64, Unit::One, Citation::CommonPractice);
        let mut needs = needs.to_vec();
        for idx in &self.group.needs {
            needs[*idx].demand.need = asked;
        }
        needs
    }

    fn solved(&self, needs: &[Need], work: u64) -> Solved {
        let members = members(self.project, &self.counted, &|_| true);
        let instance = instance(
            self.project,
            self.spaces,
            needs,
            self.group,
            members,
            self.offer,
        );
        let nodes = instance.nodes(work);
        let solution = instance.solve(self.project, nodes, &self.title, self.progress);
        let taken = instance.taken(&solution);
        let short = instance.short.keys().copied();
        let hopeless: BTreeSet<usize> = short.chain(solution.unmet.iter().copied()).collect();
        Solved {
            taken,
            hopeless: hopeless.into_iter().collect(),
            instance,
            solution,
        }
    }

    fn layout(
        &self,
        needs: &[Need],
        solved: &Solved,
        (name, says): (String, String),
        trace: &mut Trace,
    ) -> Layout {
        let Solved {
            instance, solution, ..
        } = solved;
        let n_left_out = left_out(instance, solution);
        let (one, count, bound) = (
            Unit::One,
            solved.taken.len() as f64,
            solution.count_bound as f64,
        );
        Layout {
            name,
            detectors: trace.rule(&rules::FEWEST, count, one, &[]),
            bound: Some(trace.rule(&rules::BOUND, bound, one, &[])),
            proven: solution.proven_count && n_left_out == 0 && !self.progress.cancelled(),
            lost: self.lost(needs, instance, &solved.taken, &solved.hopeless, trace),
            price: self.price(needs, instance, &solved.taken, trace),
            price_change: None,
            says,
            holds_for: holds_for(self.spaces, self.group, instance, n_left_out),
        }
    }

    /// The best layout with one detector fewer; `None` where nothing is watched as it is.
    fn fewer(
        &self,
        needs: &[Need],
        solved: &Solved,
        proposed: Option<Quantity>,
        trace: &mut Trace,
    ) -> Option<Layout> {
        let (instance, taken) = (&solved.instance, &solved.taken);
        let size = taken.len().checked_sub(1)?;
        let Fewer {
            chosen,
            away,
            settled,
        } = self.best(&self.weights(needs, solved), solved, size);
        let rows: Vec<usize> = missed(&instance.problem, &instance.allowances, &chosen)
            .into_iter()
            .filter(|row| !solved.hopeless.contains(row))
            .collect();
        let lost = self.lost(needs, instance, &chosen, &rows, trace);
        let mut says = match away.filter(|_| size > 0) {
            Some(away) => self.kept_says(instance, taken.len(), away),
            None => {
                let proven = solved.solution.proven_count && !self.progress.cancelled();
                let all = match instance.allowances.is_empty() {
                    true => "all of it",
                    false => "as much of it as is asked for",
                };
                let (n, bound) = (taken.len(), solved.solution.count_bound);
                fewer_says((n, bound), proven, all, lost.is_empty())
            }
        };
        if !settled {
            says.push_str(" The search for it ended at its limit of work.");
        }
        let count = trace.rule(&rules::ONE_FEWER, chosen.len() as f64, Unit::One, &[]);
        let layout = Layout {
            name: "one fewer".to_owned(),
            detectors: count,
            bound: None,
            proven: false,
            lost,
            price: self.price(needs, instance, &chosen, trace),
            price_change: None,
            says,
            holds_for: instance.holds_for.clone(),
        };
        Some(against(layout, proposed, trace))
    }

    /// The choice of `size` columns that loses least; where every column is kept, all but one.
    fn best(&self, weights: &[Weight], solved: &Solved, size: usize) -> Fewer {
        let (problem, taken) = (&solved.instance.problem, &solved.taken);
        let without = |column: &usize| -> Vec<usize> {
            taken.iter().copied().filter(|one| one != column).collect()
        };
        let free = taken.iter().filter(|one| !problem.fixed.contains(one));
        let starts: Vec<Vec<usize>> = free.map(without).collect();
        if !starts.is_empty() {
            let max_work = EXCHANGE_WORK;
            let options = ExchangeOptions {
                size,
                max_work,
                allowances: &solved.instance.allowances,
            };
            let go_on = || !self.progress.cancelled();
            let found = exchange(problem, weights, &starts, options, &go_on);
            return Fewer {
                chosen: found.chosen,
                away: None,
                settled: found.settled,
            };
        }
        let loss = |chosen: &[usize]| {
            let rows = missed(problem, &solved.instance.allowances, chosen).into_iter();
            rows.fold([0, 0], |sum: Weight, row| {
                [sum[0] + weights[row][0], sum[1] + weights[row][1]]
            })
        };
        let away = taken.iter().min_by_key(|column| loss(&without(column)));
        Fewer {
            chosen: away.map_or_else(Vec::new, without),
            away: away.copied(),
            settled: true,
        }
    }

    /// A source or place, and each place of a pipe run or an area, counts before any floor; of a
    /// floor each cell by its area.
    fn weights(&self, needs: &[Need], solved: &Solved) -> Vec<Weight> {
        let rows = solved.instance.rows.iter().enumerate();
        let weight = |(idx, (place, cell)): (usize, &(usize, Option<usize>))| {
            let need = &needs[self.group.needs[*place]];
            match cell {
                _ if solved.hopeless.contains(&idx) => [0, 0],
                // To the square millimetre, so that sums do not depend on their order.
                Some(cell) if need.is_floor() => [0, (need.cells[*cell].area * 1e6).round() as u64],
                _ => [1, 0],
            }
        };
        rows.map(weight).collect()
    }

    /// What every detector being kept means for one fewer.
    fn kept_says(&self, instance: &Instance, n: usize, away: usize) -> String {
        let first_fixed = instance.candidates.len() + instance.suggested.len();
        let id = away
            .checked_sub(first_fixed)
            .and_then(|place| instance.fixed.get(place));
        let detector = id.and_then(|id| self.project.detectors.get(*id));
        let tag = detector.map_or("one of them", |one| one.tag.as_str());
        format!(
            "All {n} were placed by hand or are there already and stay, so one fewer means taking \
             one of them away: {tag} is missed least."
        )
    }

    /// What these rows are, by demand: sources and places first, as the needs stand.
    fn lost(
        &self,
        needs: &[Need],
        instance: &Instance,
        taken: &[usize],
        rows: &[usize],
        trace: &mut Trace,
    ) -> Vec<Lost> {
        let mut of_place: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for row in rows {
            of_place
                .entry(instance.rows[*row].0)
                .or_default()
                .push(*row);
        }
        let watching = |row: &usize| {
            let columns = &instance.problem.rows[*row].columns;
            taken.iter().filter(|one| columns.contains(one)).count()
        };
        let mut lost = Vec::new();
        for (place, rows) in of_place {
            let need = &needs[self.group.needs[place]];
            let title = need.demand.title.trim_start_matches("source: ").to_owned();
            let cells = rows.iter().filter_map(|row| instance.rows[*row].1);
            let area: f64 = cells.map(|cell| need.cells[cell].area).sum();
            let size = need.demand.size.filter(|_| need.is_floor());
            let area = size.map(|size| {
                let what = format!("Lost of the {title}");
                (trace.measured(what, area, Unit::SquareMetre), size)
            });
            lost.push(Lost {
                demand: need.demand.id.clone(),
                watching: rows.iter().map(watching).min().unwrap_or(0),
                wanted: need.demand.wanted(),
                area: area.map(|(area, _)| area),
                share: area.map(|(area, size)| trace.eval(&rules::LOST_SHARE, &[area, size])),
                title,
            });
        }
        lost
    }

    /// Price of a layout: detectors that are not there already, and their estimated spurs.
    fn price(
        &self,
        needs: &[Need],
        instance: &Instance,
        taken: &[usize],
        trace: &mut Trace,
    ) -> Option<Quantity> {
        let (project, basis) = (self.project, &self.project.basis);
        let item = self.offer.item()?;
        let pricing = Pricing::new(project, self.spaces, needs, self.group, item.price.get());
        let first_fixed = instance.candidates.len() + instance.suggested.len();
        let is_there = |column: &usize| {
            let place = column.checked_sub(first_fixed);
            let id = place.and_then(|place| instance.fixed.get(place));
            let detector = id.and_then(|id| project.detectors.get(*id));
            detector.is_some_and(|one| one.origin == Origin::Existing)
        };
        let bought: Vec<usize> = taken.iter().copied().filter(|one| !is_there(one)).collect();
        let spurs: f64 = bought
            .iter()
            .map(|column| pricing.spur(instance.places[*column]))
            .sum();
        let count = trace.rule(&rules::TO_BUY, bought.len() as f64, Unit::One, &[]);
        let part = format!("Price of {}", item.part);
        let part = trace.given(part, item.price.get(), Unit::Money, Citation::Catalogue);
        let cable = "Price of a metre of the cheapest cable";
        let metre = [
            trace.given(cable, pricing.cable, Unit::Money, Citation::Catalogue),
            trace.basis(basis, &basis::HOURS_CABLE),
            trace.basis(basis, &basis::RATE_LABOUR),
        ];
        let metre = trace.eval(&rules::METRE_LAID, &metre);
        let estimate = trace.basis(basis, &basis::SPUR_ESTIMATE);
        let inputs = [("cable for a metre", estimate)];
        let spurs = trace.rule(&rules::SPURS, spurs, Unit::Metre, &inputs);
        Some(trace.eval(&rules::LAYOUT_PRICE, &[count, part, metre, spurs]))
    }

    fn price_holds(&self) -> String {
        match self.offer.item() {
            Some(item) => format!(
                "A price holds the detectors that are not there already, each as part {} of the \
                 catalogue, and the cable estimated for each, laid. It holds no field device, no \
                 panel and no work but the laying.",
                item.part
            ),
            None => format!(
                "The catalogue has no part that measures {}, so there is no price.",
                gas_in_sentence(self.project, &self.group.measures)
            ),
        }
    }
}

/// A layout with its price held against that of the proposed one.
fn against(mut layout: Layout, proposed: Option<Quantity>, trace: &mut Trace) -> Layout {
    if let (Some(own), Some(proposed)) = (layout.price, proposed) {
        layout.price_change = Some(trace.eval(&rules::PRICE_CHANGE, &[own, proposed]));
    }
    layout
}

/// What is known of one fewer than `n`, and what is not.
fn fewer_says(
    (n, bound): (usize, usize),
    proven: bool,
    all: &str,
    is_nothing_lost: bool,
) -> String {
    let fewer = n - 1;
    match (proven, is_nothing_lost) {
        _ if n == 1 => "One fewer is none: nothing of it would be watched.".to_owned(),
        (true, false) => format!(
            "Fewer than {n} cannot watch {all}: that is proven for these candidate points. \
             With {fewer}, this is the best layout that exchanging one place after another found; \
             that none with {fewer} is better is not proven."
        ),
        (false, false) => format!(
            "{n} is not proven the fewest: fewer than {bound} are ruled out. With {fewer}, this is \
             the best layout that exchanging one place after another found; it is not proven the \
             best."
        ),
        (_, true) => {
            format!("A layout with {fewer} that watches {all} was found: {n} is not the fewest.")
        }
    }
}

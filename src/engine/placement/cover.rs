//! The cover problem of a group: candidate points against demands, with what is kept.

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use crate::engine::airspace::Airspaces;
use crate::engine::coverage::{
    Group, InReach, Need, Spare, counting, gas_in_sentence, in_reach, stand_apart,
};
use crate::engine::placement::candidates::{Candidate, Fixing, candidates, step};
use crate::engine::placement::pricing::Pricing;
use crate::engine::progress::Progress;
use crate::engine::solve::allowance::{Allowance, missed};
use crate::engine::solve::cover::{
    Column, CoverOptions, CoverProblem, CoverSolution, Objective, Row,
};
use crate::engine::solve::share::solve;
use crate::geometry::Point;
use crate::model::basis;
use crate::model::*;

/// A group's cover problem. Columns: the candidates, then the suggested, then the fixed detectors.
pub struct Instance {
    pub candidates: Vec<Candidate>,
    /// Detectors an earlier suggestion put there.
    pub suggested: Vec<DetectorId>,
    /// Detectors that stay in any case.
    pub fixed: Vec<DetectorId>,
    pub problem: CoverProblem,
    /// Where each column stands.
    pub places: Vec<Point>,
    /// For each row its need (place in the group) and cell.
    pub rows: Vec<(usize, Option<usize>)>,
    /// Rows for which there are not as many points as they need, with how many there are; the
    /// problem asks for that many.
    pub short: BTreeMap<usize, usize>,
    /// Rows of floors that may stay short, by what the basis of design leaves of each.
    pub allowances: Vec<Allowance>,
    /// What the proof holds for, in words.
    pub holds_for: String,
}

/// What a solution chose.
pub struct Chosen<'a> {
    pub added: Vec<&'a Candidate>,
    pub kept: Vec<DetectorId>,
}

/// Closer than this, m, a detector stands at a candidate point.
pub const SAME_PLACE_M: f64 = 2e-3;

impl Instance {
    /// The problem of `group`; `suggested` may be left out, `fixed` are chosen in any case. A price
    /// of 0 is taken where the catalogue has no part.
    pub fn new(
        project: &Project,
        spaces: &Airspaces<'_>,
        needs: &[Need],
        group: &Group,
        members: Members<'_>,
        price: f64,
    ) -> Self {
        let mut candidates = candidates(project, spaces, needs, group);
        let apart = project.basis.get(&basis::VOTE_APART);
        let pricing = Pricing::new(project, spaces, needs, group, price);
        let found = |detector: &&Detector| {
            let height = own_height(group, detector);
            let ways = spaces.ways(group.space, group.path_height(height));
            in_reach(&ways.airways, needs, group, (detector.at, height))
        };
        let fixings = fixings(&candidates, &members.suggested);
        let mut members = members;
        if group.need(needs).value > 1.0 {
            part(&mut candidates, &mut members.suggested, &found, apart);
        }
        let suggested: Vec<InReach> = members.suggested.iter().map(found).collect();
        let fixed: Vec<InReach> = members.fixed.iter().map(found).collect();
        let mut columns: Vec<Column> = candidates
            .iter()
            .map(|candidate| pricing.column(candidate))
            .collect();
        for (detector, reached) in members.suggested.iter().zip(&suggested) {
            let place = (detector.at, own_height(group, detector));
            let hangs = detector.height.get();
            columns.push(pricing.standing(place, hangs, fixings[&detector.id], reached));
        }
        let first_fixed = columns.len();
        let kept = members.fixed.iter().map(|one| Pricing::kept(one.at));
        columns.extend(kept);
        let reached: Vec<&InReach> = candidates
            .iter()
            .map(|candidate| &candidate.reached)
            .chain(&suggested)
            .chain(&fixed)
            .collect();
        let places = reached.iter().map(|one| one.at).collect();
        let mut rows = Rows::new(needs, group, &reached, first_fixed, apart);
        let allowances = allowances(needs, group, &mut rows);
        let (rows, which, short) = (rows.rows, rows.which, rows.short);
        let problem = CoverProblem {
            fixed: (first_fixed..columns.len()).collect(),
            columns,
            rows,
        };
        let n_cells = which.iter().filter(|(_, cell)| cell.is_some()).count();
        let step = step(project, spaces, needs, group);
        let mut holds_for = holds_for(project, &candidates, step, n_cells);
        holds_for.push_str(&share_kept(project, &allowances));
        if group.need(needs).value > 1.0 {
            holds_for.push_str(&format!(", no two closer than {apart} m"));
        }
        Instance {
            suggested: ids(&members.suggested),
            fixed: ids(&members.fixed),
            places,
            candidates,
            problem,
            allowances,
            rows: which,
            short,
            holds_for,
        }
    }

    /// The candidate points that have the need at this place of the group in reach; for a source
    /// those that count beside the detectors that stay.
    pub fn candidates_for(&self, place: usize) -> Vec<&Candidate> {
        let row = self.rows.iter().position(|row| *row == (place, None));
        let counts =
            |column: usize| row.is_none_or(|row| self.problem.rows[row].columns.contains(&column));
        let numbered = self.candidates.iter().enumerate();
        numbered
            .filter(|(column, candidate)| {
                candidate.reached.distances[place].is_some() && counts(*column)
            })
            .map(|(_, candidate)| candidate)
            .collect()
    }

    /// Nodes of branch and bound for an amount of work, counted in entries of the matrix looked at.
    pub fn nodes(&self, work: u64) -> u64 {
        let entries: usize = self.problem.rows.iter().map(|row| row.columns.len()).sum();
        (work / (entries as u64).max(1)).clamp(10, 200_000)
    }

    /// Solves it within `max_nodes`; `step` names it to `progress`, which may stop it.
    pub fn solve(
        &self,
        project: &Project,
        max_nodes: u64,
        step: &str,
        progress: &dyn Progress,
    ) -> CoverSolution {
        let objective = match project.basis.is_on(&basis::COST_FIRST) {
            true => Objective::Cost,
            false => Objective::CountThenCost,
        };
        let stands: Vec<usize> = (self.candidates.len()..self.problem.columns.len()).collect();
        solve(
            &self.problem,
            &self.allowances,
            &stands,
            &CoverOptions {
                objective,
                max_nodes,
            },
            &|so_far| {
                progress.report(step, so_far.parts_done, so_far.parts, None);
                match progress.cancelled() {
                    true => ControlFlow::Break(()),
                    false => ControlFlow::Continue(()),
                }
            },
        )
    }

    /// What a solution means. Where the suggested detectors as they stand are as good, they stay.
    pub fn chosen(&self, solution: &CoverSolution) -> Chosen<'_> {
        let n = self.candidates.len();
        let mut chosen = Chosen {
            added: Vec::new(),
            kept: Vec::new(),
        };
        for column in self.taken(solution) {
            if column < n {
                chosen.added.push(&self.candidates[column]);
            } else if column < n + self.suggested.len() {
                chosen.kept.push(self.suggested[column - n]);
            }
        }
        chosen
    }

    /// The columns that a solution means, in their order: see [`Instance::chosen`].
    pub fn taken(&self, solution: &CoverSolution) -> Vec<usize> {
        match self.stands_as_well(solution) {
            true => (self.candidates.len()..self.problem.columns.len()).collect(),
            false => solution.chosen.clone(),
        }
    }

    /// Whether the present detectors meet what can be met, with no more of them and no dearer.
    fn stands_as_well(&self, solution: &CoverSolution) -> bool {
        let n = self.candidates.len();
        let present: Vec<usize> = (n..self.problem.columns.len()).collect();
        let cost: f64 = present
            .iter()
            .map(|column| self.problem.columns[*column].cost)
            .sum();
        let missed = || missed(&self.problem, &self.allowances, &present);
        present.len() <= solution.count
            && cost <= solution.cost + 1e-6
            && missed().iter().all(|row| solution.unmet.contains(row))
    }
}

/// The height of a detector where the band has several or it is in a pit, m.
fn own_height(group: &Group, detector: &Detector) -> Option<f64> {
    let height = detector.height.get();
    (height < 0.0 || !group.levels.is_empty()).then_some(height)
}

/// What may be left of each floor. Cells of which too few columns count are of it first, and are
/// asked for as often as they should be; where they alone are more than may be left, all that can
/// be met is to be met.
fn allowances(needs: &[Need], group: &Group, rows: &mut Rows) -> Vec<Allowance> {
    let mut allowances = Vec::new();
    for (place, idx) in group.needs.iter().enumerate() {
        let Some(Spare { areas, most }) = needs[*idx].spare() else {
            continue;
        };
        let own = rows.which.iter().enumerate();
        let own = own.filter(|(_, row)| row.0 == place).map(|(row, _)| row);
        let allowance = Allowance {
            rows: own.collect(),
            weights: areas,
            most,
        };
        let wanted = needs[*idx].demand.wanted();
        if most == 0 || allowance.weight(|row| rows.rows[row].columns.len() < wanted) > most {
            continue;
        }
        for row in &allowance.rows {
            rows.short.remove(row);
            rows.rows[*row].need = wanted as u32;
        }
        allowances.push(allowance);
    }
    allowances
}

/// The detectors of a group.
pub struct Members<'a> {
    pub suggested: Vec<&'a Detector>,
    pub fixed: Vec<&'a Detector>,
}

fn ids(members: &[&Detector]) -> Vec<DetectorId> {
    members.iter().map(|detector| detector.id).collect()
}

/// What each suggested detector is fixed to: as the candidate point it stands at, else a wall.
fn fixings(candidates: &[Candidate], suggested: &[&Detector]) -> BTreeMap<DetectorId, Fixing> {
    let fixing = |detector: &&Detector| {
        let same = |one: &&Candidate| one.at.distance(detector.at) < SAME_PLACE_M;
        let found = candidates.iter().find(same);
        (detector.id, found.map_or(Fixing::Wall, |one| one.fixing))
    };
    suggested.iter().map(fixing).collect()
}

/// Where several detectors watch one demand, those that can be chosen must stand apart: a suggested
/// detector takes the place of the candidate point it stands at, and is given up where it stands
/// beside one, or beside another suggested.
fn part(
    candidates: &mut Vec<Candidate>,
    suggested: &mut Vec<&Detector>,
    found: &dyn Fn(&&Detector) -> InReach,
    apart: f64,
) {
    let mut kept: Vec<InReach> = Vec::new();
    suggested.retain(|detector| {
        let own = found(detector);
        let far = |other: &InReach| stand_apart(&own, other, apart);
        let beside = |candidate: &Candidate| {
            own.apart(&candidate.reached) >= SAME_PLACE_M && !far(&candidate.reached)
        };
        let stays = !candidates.iter().any(beside) && kept.iter().all(far);
        if stays {
            kept.push(own);
        }
        stays
    });
    candidates.retain(|candidate| {
        let same = |own: &InReach| own.apart(&candidate.reached) < SAME_PLACE_M;
        !kept.iter().any(same)
    });
}

/// The rows of a group's problem.
#[derive(Default)]
struct Rows {
    rows: Vec<Row>,
    which: Vec<(usize, Option<usize>)>,
    short: BTreeMap<usize, usize>,
}

impl Rows {
    /// `reached` is what each column has in reach; those from `first_fixed` on are chosen in any
    /// case.
    fn new(
        needs: &[Need],
        group: &Group,
        reached: &[&InReach],
        first_fixed: usize,
        apart: f64,
    ) -> Self {
        let mut rows = Rows::default();
        for (place, idx) in group.needs.iter().enumerate() {
            let demand = &needs[*idx].demand;
            let mut add = |id: String, cell: Option<usize>| {
                let of = |range: std::ops::Range<usize>| {
                    range.filter(|column| reached[*column].has(place, cell))
                };
                let wanted = demand.wanted();
                let columns = match wanted {
                    1 => of(0..reached.len()).collect(),
                    _ => {
                        let (free, fixed) = (of(0..first_fixed), of(first_fixed..reached.len()));
                        columns_apart(free, fixed.collect(), reached, wanted, apart)
                    }
                };
                rows.add(id, wanted, columns, (place, cell));
            };
            match needs[*idx].cells.len() {
                0 => add(demand.id.clone(), None),
                n => (0..n).for_each(|cell| add(format!("{}/{cell}", demand.id), Some(cell))),
            }
        }
        rows
    }

    fn add(
        &mut self,
        id: String,
        wanted: usize,
        columns: Vec<usize>,
        which: (usize, Option<usize>),
    ) {
        let n = columns.len();
        if n > 0 && n < wanted {
            self.short.insert(self.rows.len(), n);
        }
        let need = match n {
            0 => wanted,
            n => wanted.min(n),
        };
        self.rows.push(Row {
            id,
            need: need as u32,
            columns,
        });
        self.which.push(which);
    }
}

/// The columns that count for a row of which several are wanted: of the fixed ones those that stand
/// apart, of the others those that stand apart from these.
fn columns_apart(
    free: impl Iterator<Item = usize>,
    fixed: Vec<usize>,
    reached: &[&InReach],
    wanted: usize,
    apart: f64,
) -> Vec<usize> {
    let standing: Vec<&InReach> = fixed.iter().map(|column| reached[*column]).collect();
    let counted = counting(&standing, wanted, apart);
    let counted: Vec<usize> = counted.into_iter().map(|place| fixed[place]).collect();
    let far = |column: &usize| {
        let other = |one: &usize| stand_apart(reached[*one], reached[*column], apart);
        counted.iter().all(other)
    };
    free.filter(far).chain(counted.iter().copied()).collect()
}

fn holds_for(project: &Project, candidates: &[Candidate], step: f64, n_cells: usize) -> String {
    let has = |fixing| {
        candidates
            .iter()
            .any(|candidate| candidate.fixing == fixing)
    };
    let mut on = Vec::new();
    if has(Fixing::Wall) {
        on.push("walls");
    }
    if has(Fixing::Ceiling) {
        on.push("ceiling");
    }
    if has(Fixing::Post) {
        on.push("posts");
    }
    if has(Fixing::Duct) {
        on.push("cupboard extracts");
    }
    let n = candidates.len();
    let points = format!(
        "candidates every {step:.1} m on {} ({n} points)",
        on.join(" and ")
    );
    match n_cells {
        0 => points,
        _ => {
            let cell = project.basis.get(&basis::AREA_CELL);
            format!("{points}, cells of {cell:.1} m ({n_cells} cells)")
        }
    }
}

/// What a proof holds for where less than a whole floor is asked for.
fn share_kept(project: &Project, allowances: &[Allowance]) -> String {
    let share = project.basis.get(&basis::FLOOR_SHARE);
    match allowances.is_empty() {
        true => String::new(),
        false => format!(", at least {share} % of each floor"),
    }
}

/// "G.02 Gas laboratory, hydrogen, high".
pub fn title(spaces: &Airspaces<'_>, group: &Group) -> String {
    let rooms = spaces.spaces[group.space].name();
    format!(
        "{rooms}, {}, {}",
        gas_in_sentence(spaces.project, &group.measures),
        group.band.label()
    )
}

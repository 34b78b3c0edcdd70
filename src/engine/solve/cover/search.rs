//! Least-weight cover of one connected part: Lagrangian bound and depth-first branch and bound.
//!
//! Bound and step rule after M. L. Fisher, "The Lagrangian relaxation method for solving integer
//! programming problems", Management Science 27(1), 1981; fixing by reduced cost and the cover
//! built from reduced costs after J. E. Beasley, Naval Research Logistics 37(1), 1990.

use crate::engine::solve::cover::reduce::Demand;

/// A part to solve; columns are numbered from 0 within it.
#[derive(Debug, Clone)]
pub(super) struct Part {
    pub weights: Vec<f64>,
    pub demands: Vec<Demand>,
    /// What each column is known to add to the price of the last demand, which lists all columns; 0
    /// when there is no such demand.
    pub head: f64,
    /// Every total weight is a multiple of this; 0 when nothing is known of it.
    pub step: f64,
}

/// The best cover found and a bound no cover goes below.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub chosen: Vec<usize>,
    pub bound: f64,
    pub proven: bool,
    pub nodes: u64,
}

/// Solves `part`, which some choice must be able to meet, within `budget` nodes. `go_on` is asked
/// now and then, with the nodes so far, whether to continue.
pub(super) fn search(part: &Part, budget: u64, go_on: &dyn Fn(u64) -> bool) -> Found {
    let mut search = Search::new(part, budget, go_on);
    search.improve(&part.weights);
    let mut prices = search.first_prices();
    let bound = search.raise(&mut prices, Effort::ROOT).bound;
    let (bound, closed) = (search.rounded(bound), search.closed(bound));
    if !closed {
        search.polish(bound);
        search.stopped = budget == 0;
        search.branch(prices);
    }
    let proven = closed || !search.stopped;
    let mut chosen = search.best;
    chosen.sort_unstable();
    let bound = if proven {
        search.best_weight
    } else {
        bound.min(search.best_weight)
    };
    Found {
        chosen,
        bound,
        proven,
        nodes: search.nodes,
    }
}

/// Column-demand pairs looked at while a cover is polished; more where many nodes are allowed.
const POLISH_WORK: usize = 50_000_000;

/// How long prices are raised: rounds, the first step's factor, rounds without gain before halving.
#[derive(Debug, Clone, Copy)]
struct Effort {
    rounds: usize,
    factor: f64,
    patience: usize,
    /// Rounds between covers built from the prices; 0 for none.
    build_every: usize,
}

impl Effort {
    const ROOT: Effort = Effort {
        rounds: 400,
        factor: 1.5,
        patience: 12,
        build_every: 10,
    };
    const NODE: Effort = Effort {
        rounds: 24,
        factor: 0.5,
        patience: 4,
        build_every: 0,
    };
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    Free,
    In,
    Out,
}

struct Raised {
    bound: f64,
    /// Reduced weights of the free columns at the bound's prices, by column.
    reduced: Vec<f64>,
}

struct Search<'a> {
    part: &'a Part,
    /// The demands of each column.
    serves: Vec<Vec<usize>>,
    state: Vec<State>,
    /// What each demand still lacks (0 or less: met) and how many free columns it has.
    lacks: Vec<i64>,
    free: Vec<i64>,
    weight: f64,
    /// The columns decided, in order, for going back.
    trail: Vec<usize>,
    best: Vec<usize>,
    best_weight: f64,
    nodes: u64,
    budget: u64,
    stopped: bool,
    go_on: &'a dyn Fn(u64) -> bool,
}

impl<'a> Search<'a> {
    fn new(part: &'a Part, budget: u64, go_on: &'a dyn Fn(u64) -> bool) -> Self {
        let n = part.weights.len();
        let mut serves = vec![Vec::new(); n];
        for (i, demand) in part.demands.iter().enumerate() {
            demand.columns.iter().for_each(|c| serves[*c].push(i));
        }
        Search {
            part,
            serves,
            state: vec![State::Free; n],
            lacks: part.demands.iter().map(|d| d.need as i64).collect(),
            free: part
                .demands
                .iter()
                .map(|d| d.columns.len() as i64)
                .collect(),
            weight: 0.0,
            trail: Vec::new(),
            best: (0..n).collect(),
            best_weight: part.weights.iter().sum(),
            nodes: 0,
            budget,
            stopped: false,
            go_on,
        }
    }

    /// Whether no cover under this bound betters the best one.
    fn closed(&self, bound: f64) -> bool {
        let gain = match self.part.step {
            0.0 => 1e-9 * self.best_weight.max(1.0),
            step => step * (1.0 - 1e-6),
        };
        bound > self.best_weight - gain
    }

    /// `bound` raised to the next weight that a cover can have.
    fn rounded(&self, bound: f64) -> f64 {
        match self.part.step {
            0.0 => bound,
            step => (bound / step - 1e-6).ceil() * step,
        }
    }

    fn decide(&mut self, column: usize, state: State) {
        self.state[column] = state;
        self.trail.push(column);
        let inside = state == State::In;
        for &d in &self.serves[column] {
            self.free[d] -= 1;
            self.lacks[d] -= i64::from(inside);
        }
        if inside {
            self.weight += self.part.weights[column];
        }
    }

    fn undo_to(&mut self, length: usize) {
        while self.trail.len() > length {
            let Some(column) = self.trail.pop() else {
                return;
            };
            let inside = self.state[column] == State::In;
            for &d in &self.serves[column] {
                self.free[d] += 1;
                self.lacks[d] += i64::from(inside);
            }
            if inside {
                self.weight -= self.part.weights[column];
            }
            self.state[column] = State::Free;
        }
    }

    /// Takes what has become forced; false when some demand cannot be met any more.
    fn propagate(&mut self) -> bool {
        let mut again = true;
        while again {
            again = false;
            for d in 0..self.lacks.len() {
                if self.lacks[d] <= 0 || self.free[d] > self.lacks[d] {
                    continue;
                }
                if self.free[d] < self.lacks[d] {
                    return false;
                }
                for place in 0..self.part.demands[d].columns.len() {
                    let column = self.part.demands[d].columns[place];
                    if self.state[column] == State::Free {
                        self.decide(column, State::In);
                    }
                }
                again = true;
            }
        }
        true
    }

    fn free_columns(&self) -> Vec<usize> {
        (0..self.state.len())
            .filter(|c| self.state[*c] == State::Free)
            .collect()
    }

    /// For each demand the least weight at which one of its columns serves one demand, the part's
    /// common head apart.
    fn first_prices(&self) -> Vec<f64> {
        let head = self.part.head;
        let share = |c: &usize| (self.part.weights[*c] - head) / self.serves[*c].len() as f64;
        let least = |d: &Demand| d.columns.iter().map(share).fold(f64::INFINITY, f64::min);
        let mut prices: Vec<f64> = self.part.demands.iter().map(least).collect();
        if let Some(last) = prices.last_mut().filter(|_| head > 0.0) {
            *last += head;
        }
        prices
    }

    /// Raises the Lagrangian bound by subgradient steps; leaves the best prices in `prices`.
    fn raise(&mut self, prices: &mut [f64], effort: Effort) -> Raised {
        let free = self.free_columns();
        for (price, lacks) in prices.iter_mut().zip(&self.lacks) {
            *price = if *lacks > 0 { *price } else { 0.0 };
        }
        let mut trial = prices.to_owned();
        let mut reduced = vec![0.0; self.state.len()];
        let mut best = Raised {
            bound: f64::NEG_INFINITY,
            reduced: reduced.clone(),
        };
        // The demand that lists all columns would drown the others in the length of a step.
        let all = if self.part.head > 0.0 {
            self.lacks.len() - 1
        } else {
            usize::MAX
        };
        let width = self.state.len() as f64;
        let damping = |d: usize| {
            if d == all { 1.0 / width } else { 1.0 }
        };
        let (mut factor, mut idle) = (effort.factor, 0);
        for round in 0..effort.rounds {
            let mut missing = self.lacks.clone();
            let owed = trial.iter().zip(&self.lacks).map(|(p, l)| p * *l as f64);
            let mut bound = self.weight + owed.sum::<f64>();
            for &c in &free {
                let paid: f64 = self.serves[c].iter().map(|d| trial[*d]).sum();
                reduced[c] = self.part.weights[c] - paid;
                if reduced[c] < 0.0 {
                    bound += reduced[c];
                    self.serves[c].iter().for_each(|d| missing[*d] -= 1);
                }
            }
            idle += 1;
            if bound > best.bound {
                if bound > best.bound + 1e-6 * bound.abs() {
                    idle = 0;
                }
                best.bound = bound;
                best.reduced.copy_from_slice(&reduced);
                prices.copy_from_slice(&trial);
            }
            if effort.build_every > 0 && round % effort.build_every == 0 {
                self.improve(&reduced);
            }
            let moves = |d: usize| self.lacks[d] > 0 && (missing[d] > 0 || trial[d] > 0.0);
            let square: f64 = (0..missing.len())
                .filter(|d| moves(*d))
                .map(|d| missing[d] as f64 * missing[d] as f64 * damping(d))
                .sum();
            if self.closed(best.bound) || square == 0.0 || factor < 1e-3 {
                break;
            }
            if idle >= effort.patience {
                (factor, idle) = (factor / 2.0, 0);
                trial.copy_from_slice(prices);
                continue;
            }
            let step = factor * (self.best_weight - bound).max(self.part.step * 0.5) / square;
            for d in (0..missing.len()).filter(|d| self.lacks[*d] > 0) {
                trial[d] = (trial[d] + step * damping(d) * missing[d] as f64).max(0.0);
            }
        }
        best
    }

    /// Completes the present choice greedily by these weights (a column of no positive weight is
    /// taken where it serves), drops what is not needed, and keeps the cover when it is the best.
    fn improve(&mut self, guide: &[f64]) {
        let mut lacks = self.lacks.clone();
        let mut chosen: Vec<usize> = self
            .trail
            .iter()
            .copied()
            .filter(|c| self.state[*c] == State::In)
            .collect();
        let mut open = self.free_columns();
        let mut n_lacking = lacks.iter().filter(|l| **l > 0).count();
        let mut useful = self.useful(&lacks);
        while n_lacking > 0 {
            let mut pick: Option<(f64, f64, usize)> = None;
            open.retain(|&c| {
                if useful[c] > 0 {
                    let (w, u) = (guide[c], f64::from(useful[c]));
                    let score = if w > 0.0 { w / u } else { w * u };
                    let key = (score, self.part.weights[c]);
                    if pick.is_none_or(|p| key < (p.0, p.1)) {
                        pick = Some((key.0, key.1, c));
                    }
                }
                useful[c] > 0
            });
            let Some((_, _, column)) = pick else {
                return;
            };
            for &d in &self.serves[column] {
                lacks[d] -= 1;
                if lacks[d] == 0 {
                    n_lacking -= 1;
                    let columns = &self.part.demands[d].columns;
                    columns.iter().for_each(|c| useful[*c] -= 1);
                }
            }
            chosen.push(column);
            open.retain(|c| *c != column);
        }
        let heavier = |a: &usize, b: &usize| {
            self.part.weights[*b]
                .total_cmp(&self.part.weights[*a])
                .then(b.cmp(a))
        };
        chosen.sort_by(heavier);
        chosen.retain(|c| {
            let spare = self.serves[*c].iter().all(|d| lacks[*d] < 0);
            if spare {
                self.serves[*c].iter().for_each(|d| lacks[*d] += 1);
            }
            !spare
        });
        let weight: f64 = chosen.iter().map(|c| self.part.weights[*c]).sum();
        if weight < self.best_weight {
            self.best_weight = weight;
            self.best = chosen;
        }
    }

    /// For each column how many demands it serves that lack something.
    fn useful(&self, lacks: &[i64]) -> Vec<u32> {
        let mut useful = vec![0; self.serves.len()];
        let lacking = (0..lacks.len()).filter(|d| lacks[*d] > 0);
        for d in lacking {
            let columns = &self.part.demands[d].columns;
            columns.iter().for_each(|c| useful[*c] += 1);
        }
        useful
    }

    /// Betters the best cover before branching: again and again keeps a part of it and completes
    /// the rest greedily by weights changed by up to a quarter. Kept are, by turns, about two
    /// thirds at random, and all that share no demand with one of them. The numbers are
    /// repeatable (Lehmer's generator with the factor 16807 of Park and Miller, CACM 31(10), 1988).
    fn polish(&mut self, bound: f64) {
        let mut number: u64 = 1;
        let mut next = |below: u64| {
            number = number * 16_807 % 2_147_483_647;
            number % below
        };
        let size: usize = self.serves.iter().map(Vec::len).sum();
        let work = POLISH_WORK.max(self.budget as usize * size / 4);
        let rounds = (work / (size + self.serves.len() * self.best.len()).max(1)).min(1000);
        for round in 0..rounds {
            if self.closed(bound) {
                return;
            }
            let kept = match round % 2 {
                0 => self.best.iter().copied().filter(|_| next(3) > 0).collect(),
                _ => self.apart_from(self.best[next(self.best.len() as u64) as usize]),
            };
            let kept: Vec<usize> = kept;
            kept.into_iter()
                .for_each(|column| self.decide(column, State::In));
            let weights = self.part.weights.iter();
            let guide: Vec<f64> = weights
                .map(|w| w * (1.0 + next(250) as f64 / 1000.0))
                .collect();
            self.improve(&guide);
            self.undo_to(0);
        }
    }

    /// The columns of the best cover that share no demand with one of them.
    fn apart_from(&self, column: usize) -> Vec<usize> {
        let mut near = vec![false; self.serves.len()];
        // The demand that lists all columns joins everything.
        let all = usize::from(self.part.head > 0.0);
        let last = self.lacks.len() - all;
        for &d in self.serves[column].iter().filter(|d| **d < last) {
            let columns = &self.part.demands[d].columns;
            columns.iter().for_each(|c| near[*c] = true);
        }
        self.best.iter().copied().filter(|c| !near[*c]).collect()
    }

    /// Explores the choices that agree with the present one.
    fn branch(&mut self, mut prices: Vec<f64>) {
        if self.nodes >= self.budget || (self.nodes % 64 == 63 && !(self.go_on)(self.nodes)) {
            self.stopped = true;
        }
        if self.stopped {
            return;
        }
        self.nodes += 1;
        let mark = self.trail.len();
        if self.propagate() && !self.closed(self.weight) {
            if self.lacks.iter().all(|l| *l <= 0) || self.nodes % 8 == 1 {
                self.improve(&self.part.weights);
            }
            let raised = self.raise(&mut prices, Effort::NODE);
            if !self.closed(raised.bound) && self.fix(&raised) && self.propagate() {
                self.split(&prices, &raised.reduced);
            }
        }
        self.undo_to(mark);
    }

    /// Decides columns whose other choice would reach the best weight; false when that cannot be.
    fn fix(&mut self, raised: &Raised) -> bool {
        for c in self.free_columns() {
            let reduced = raised.reduced[c];
            if self.closed(raised.bound + reduced.abs()) {
                self.decide(c, if reduced > 0.0 { State::Out } else { State::In });
            }
        }
        !self.closed(self.weight)
    }

    /// Branches on the columns of the open demand with the fewest free ones: with the first,
    /// without it but with the second, and so on.
    fn split(&mut self, prices: &[f64], reduced: &[f64]) {
        let open = (0..self.lacks.len()).filter(|d| self.lacks[*d] > 0);
        let Some(demand) = open.min_by(|&a, &b| {
            let slack = |d: usize| self.free[d] - self.lacks[d];
            slack(a)
                .cmp(&slack(b))
                .then(prices[b].total_cmp(&prices[a]))
                .then(a.cmp(&b))
        }) else {
            self.improve(&self.part.weights);
            return;
        };
        let mut columns: Vec<usize> = self.part.demands[demand]
            .columns
            .iter()
            .copied()
            .filter(|c| self.state[*c] == State::Free)
            .collect();
        columns.sort_by(|a, b| reduced[*a].total_cmp(&reduced[*b]).then(a.cmp(b)));
        for column in columns {
            let mark = self.trail.len();
            if self.state[column] != State::Free {
                continue;
            }
            self.decide(column, State::In);
            self.branch(prices.to_vec());
            self.undo_to(mark);
            if self.stopped {
                return;
            }
            self.decide(column, State::Out);
            if self.serves[column]
                .iter()
                .any(|d| self.free[*d] < self.lacks[*d])
            {
                return;
            }
        }
    }
}

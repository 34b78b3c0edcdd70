//! Least-weight cover of one connected part: Lagrangian bound and depth-first branch and bound.
//!
//! Bound and step rule after M. L. Fisher, "The Lagrangian relaxation method for solving integer
//! programming problems", Management Science 27(1), 1981; fixing by reduced cost and the cover
//! built from reduced costs after J. E. Beasley, Naval Research Logistics 37(1), 1990. What fixing
//! leaves is written anew as a smaller part and bounded again, as E. Balas and M. C. Carrera do in
//! Operations Research 44(6), 1996 (the three from memory). How the best cover is bettered before
//! branching is in `polish`.

use crate::engine::solve::cover::bound::{Effort, Raised};
use crate::engine::solve::cover::part::{Part, Rest, Serves};
use crate::engine::solve::cover::polish::Pieces;
use crate::engine::solve::cover::reduce::Demand;

/// The best cover found and a bound no cover goes below.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub chosen: Vec<usize>,
    pub bound: f64,
    pub proven: bool,
    pub nodes: u64,
}

/// Solves `part`, which some choice must be able to meet, within `budget` nodes. The columns of
/// `start` are tried first. `go_on` is asked now and then, with the nodes so far, whether to
/// continue.
pub(super) fn search(
    part: &Part,
    start: &[usize],
    budget: u64,
    go_on: &dyn Fn(u64) -> bool,
) -> Found {
    let mut search = Search::new(part.clone(), budget, go_on);
    search.begin(start);
    let mut names: Vec<usize> = (0..part.weights.len()).collect();
    let (mut taken, mut taken_weight) = (Vec::new(), 0.0);
    let mut prices = search.first_prices();
    let mut bound = f64::NEG_INFINITY;
    let proven = loop {
        let raised = search.raise(&mut prices, Effort::ROOT);
        bound = f64::max(bound, taken_weight + search.rounded(raised.bound));
        if search.closed(bound - taken_weight) {
            break true;
        }
        search.stopped |= budget == 0;
        if search.stopped {
            break false;
        }
        let before = search.state.len();
        search.fix_beside_best(&raised);
        let rest = search.rest(&|_| true);
        if rest.names.len() * 10 > before * 9 || rest.part.demands.is_empty() {
            search.undo_to(0);
            let raised = search.finer(&mut prices, raised);
            bound = bound.max(taken_weight + search.rounded(raised.bound));
            if search.closed(bound - taken_weight) || search.sweep(&prices, &raised) {
                break true;
            }
            let weight = search.best_weight;
            search.polish(bound - taken_weight, &prices, &raised, Pieces::SMALL);
            if search.closed(bound - taken_weight) {
                break true;
            }
            if search.stopped {
                break false;
            }
            if search.best_weight < weight {
                continue;
            }
            break search.close(bound - taken_weight, prices, &raised);
        }
        taken.extend(search.taken().map(|c| names[c]));
        taken_weight += search.weight;
        prices = rest.demands.iter().map(|d| prices[*d]).collect();
        let smaller = search.narrowed(&rest);
        names = rest.names.iter().map(|c| names[*c]).collect();
        search = smaller;
    };
    let best_weight = taken_weight + search.best_weight;
    taken.extend(search.best.iter().map(|c| names[*c]));
    taken.sort_unstable();
    Found {
        chosen: taken,
        bound: if proven {
            best_weight
        } else {
            bound.min(best_weight)
        },
        proven,
        nodes: search.nodes,
    }
}

/// Nodes after which branching is not expected to end soon.
const SOON: u64 = 20_000;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum State {
    Free,
    In,
    Out,
}

pub(super) struct Search<'a> {
    pub part: Part,
    pub serves: Serves,
    pub state: Vec<State>,
    /// What each demand still lacks (0 or less: met) and how many free columns it has.
    pub lacks: Vec<i64>,
    pub free: Vec<i64>,
    pub weight: f64,
    /// The columns decided, in order, for going back.
    pub trail: Vec<usize>,
    /// The best cover, and what a cover must weigh less than to be better; empty while none is
    /// known that does.
    pub best: Vec<usize>,
    pub best_weight: f64,
    pub nodes: u64,
    pub budget: u64,
    pub stopped: bool,
    pub go_on: &'a dyn Fn(u64) -> bool,
}

impl<'a> Search<'a> {
    pub(super) fn new(part: Part, budget: u64, go_on: &'a dyn Fn(u64) -> bool) -> Self {
        Search {
            serves: Serves::new(&part),
            state: vec![State::Free; part.weights.len()],
            lacks: part.demands.iter().map(|d| d.need as i64).collect(),
            free: part
                .demands
                .iter()
                .map(|d| d.columns.len() as i64)
                .collect(),
            weight: 0.0,
            trail: Vec::new(),
            best: Vec::new(),
            best_weight: f64::INFINITY,
            nodes: 0,
            budget,
            stopped: false,
            go_on,
            part,
        }
    }

    /// Takes the first covers: all columns, one built by weight, and one of `start` first.
    fn begin(&mut self, start: &[usize]) {
        let mut guide = self.part.weights.clone();
        self.best = (0..guide.len()).collect();
        self.best_weight = guide.iter().sum();
        self.improve(&guide);
        start.iter().for_each(|c| guide[*c] = -1.0);
        self.improve(&guide);
    }

    /// Prices raised further where a sweep will use them.
    fn finer(&mut self, prices: &mut [f64], raised: Raised) -> Raised {
        match self.can_sweep() {
            true => self.raise(prices, Effort::SWEEP),
            false => raised,
        }
    }

    /// Column-demand pairs.
    pub(super) fn size(&self) -> usize {
        self.serves.demands.len()
    }

    /// The demands a column serves.
    pub(super) fn served(&self, column: usize) -> impl Iterator<Item = usize> + '_ {
        self.serves.of(column).iter().map(|d| *d as usize)
    }

    pub(super) fn weight(&self) -> f64 {
        self.weight
    }

    pub(super) fn taken(&self) -> impl Iterator<Item = usize> + '_ {
        let inside = |c: &&usize| self.state[**c] == State::In;
        self.trail.iter().filter(inside).copied()
    }

    /// What is left to decide among the columns that `may` be taken. Columns that serve nothing
    /// that is lacking are left out.
    pub(super) fn rest(&self, may: &dyn Fn(usize) -> bool) -> Rest {
        let lacking = (0..self.lacks.len()).filter(|d| self.lacks[*d] > 0);
        let demands: Vec<usize> = lacking.collect();
        let all = self.lacks.len() - 1;
        let counted = self.part.head > 0.0;
        let mut place = vec![usize::MAX; self.state.len()];
        for d in demands.iter().filter(|d| !(counted && **d == all)) {
            for &c in &self.part.demands[*d].columns {
                if self.state[c] == State::Free && may(c) {
                    place[c] = 0;
                }
            }
        }
        let names: Vec<usize> = (0..place.len()).filter(|c| place[*c] == 0).collect();
        (names.iter().enumerate()).for_each(|(new, c)| place[*c] = new);
        let kept = |columns: &[usize]| {
            let places = columns.iter().map(|c| place[*c]);
            places.filter(|c| *c != usize::MAX).collect()
        };
        let written = |d: &usize| Demand {
            need: self.lacks[*d] as usize,
            columns: kept(&self.part.demands[*d].columns),
        };
        let part = Part {
            weights: names.iter().map(|c| self.part.weights[*c]).collect(),
            demands: demands.iter().map(written).collect(),
            head: match demands.last() == Some(&all) {
                true => self.part.head,
                false => 0.0,
            },
            step: self.part.step,
        };
        Rest {
            part,
            names,
            demands,
        }
    }

    /// The search of the rest, with what is left of the best cover.
    pub(super) fn narrowed(&self, rest: &Rest) -> Search<'a> {
        let mut smaller = Search::new(rest.part.clone(), self.budget, self.go_on);
        let kept = |c: &usize| rest.names.binary_search(c).ok();
        smaller.best = self.best.iter().filter_map(kept).collect();
        let weights = &smaller.part.weights;
        smaller.best_weight = smaller.best.iter().map(|c| weights[*c]).sum();
        smaller.nodes = self.nodes;
        smaller
    }

    /// Decides the columns whose other choice betters nothing, those apart that would spoil the
    /// best cover.
    fn fix_beside_best(&mut self, raised: &Raised) {
        let mut inside = vec![false; self.state.len()];
        self.best.iter().for_each(|c| inside[*c] = true);
        for c in self.free_columns() {
            let reduced = raised.reduced[c];
            if inside[c] == (reduced < 0.0) && self.closed(raised.bound + reduced.abs()) {
                let state = if inside[c] { State::In } else { State::Out };
                self.decide(c, state);
            }
        }
        self.propagate();
    }

    /// Whether no cover under this bound betters the best one.
    pub(super) fn closed(&self, bound: f64) -> bool {
        let gain = match self.part.step {
            0.0 => 1e-9 * self.best_weight.max(1.0),
            step => step * (1.0 - 1e-6),
        };
        bound > self.best_weight - gain
    }

    /// `bound` raised to the next weight that a cover can have.
    pub(super) fn rounded(&self, bound: f64) -> f64 {
        match self.part.step {
            0.0 => bound,
            step => (bound / step - 1e-6).ceil() * step,
        }
    }

    pub(super) fn decide(&mut self, column: usize, state: State) {
        self.state[column] = state;
        self.trail.push(column);
        let inside = state == State::In;
        for &d in self.serves.of(column) {
            let d = d as usize;
            self.free[d] -= 1;
            self.lacks[d] -= i64::from(inside);
        }
        if inside {
            self.weight += self.part.weights[column];
        }
    }

    pub(super) fn undo_to(&mut self, length: usize) {
        while self.trail.len() > length {
            let Some(column) = self.trail.pop() else {
                return;
            };
            let inside = self.state[column] == State::In;
            for &d in self.serves.of(column) {
                let d = d as usize;
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
    pub(super) fn propagate(&mut self) -> bool {
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

    pub(super) fn free_columns(&self) -> Vec<usize> {
        (0..self.state.len())
            .filter(|c| self.state[*c] == State::Free)
            .collect()
    }

    /// Completes the present choice greedily by these weights (a column of no positive weight is
    /// taken where it serves), drops what is not needed, and keeps the cover when it is the best.
    pub(super) fn improve(&mut self, guide: &[f64]) {
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
            for &d in self.serves.of(column) {
                let d = d as usize;
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
            let spare = self.served(*c).all(|d| lacks[d] < 0);
            if spare {
                self.served(*c).for_each(|d| lacks[d] += 1);
            }
            !spare
        });
        let weight: f64 = chosen.iter().map(|c| self.part.weights[*c]).sum();
        if weight < self.best_weight {
            self.best_weight = weight;
            self.best = chosen;
        }
    }

    fn improve_by_weight(&mut self) {
        let weights = self.part.weights.clone();
        self.improve(&weights);
    }

    /// For each column how many demands it serves that lack something.
    fn useful(&self, lacks: &[i64]) -> Vec<u32> {
        let mut useful = vec![0; self.state.len()];
        let lacking = (0..lacks.len()).filter(|d| lacks[*d] > 0);
        for d in lacking {
            let columns = &self.part.demands[d].columns;
            columns.iter().for_each(|c| useful[*c] += 1);
        }
        useful
    }

    /// Branches; where that does not end soon, betters the best cover at length before it goes on.
    /// Whether the best cover is proven then.
    fn close(&mut self, bound: f64, prices: Vec<f64>, raised: &Raised) -> bool {
        let budget = self.budget;
        self.budget = budget.min(self.nodes + SOON);
        self.branch(prices.clone());
        if self.stopped && self.budget < budget && self.nodes >= self.budget {
            self.stopped = false;
            self.polish(bound, &prices, raised, Pieces::LARGE);
            self.budget = budget;
            if !self.closed(bound) {
                self.branch(prices);
            }
        }
        self.closed(bound) || !self.stopped
    }

    /// Explores the choices that agree with the present one.
    pub(super) fn branch(&mut self, mut prices: Vec<f64>) {
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
                self.improve_by_weight();
            }
            let raised = self.raise(&mut prices, Effort::NODE);
            if !self.closed(raised.bound) && self.fix(&raised) && self.propagate() {
                self.split(&prices, &raised.reduced);
            }
        }
        self.undo_to(mark);
    }

    /// Decides columns whose other choice would reach the best weight; false when that cannot be.
    pub(super) fn fix(&mut self, raised: &Raised) -> bool {
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
            self.improve_by_weight();
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
            if self.served(column).any(|d| self.free[d] < self.lacks[d]) {
                return;
            }
        }
    }
}

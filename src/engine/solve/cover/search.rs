//! The state of a search in one connected part: what is decided, what is lacking, the best cover.
//!
//! Bound and step rule after M. L. Fisher, "The Lagrangian relaxation method for solving integer
//! programming problems", Management Science 27(1), 1981; fixing by reduced cost after J. E.
//! Beasley, Naval Research Logistics 37(1), 1990 (both from memory).

use crate::engine::solve::cover::bound::Raised;
use crate::engine::solve::cover::part::{Part, Rest, Serves};
use crate::engine::solve::cover::reduce::Demand;

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
            serves: Serves::new(part.weights.len(), &part.demands),
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

    /// Whether no cover under this bound betters the best one.
    pub(super) fn closed(&self, bound: f64) -> bool {
        !self.lighter(bound, self.best_weight)
    }

    /// Whether a cover of this weight is lighter than one of that, and not just by rounding.
    pub(super) fn lighter(&self, weight: f64, than: f64) -> bool {
        let gain = match self.part.step {
            0.0 => 1e-9 * than.max(1.0),
            step => step * (1.0 - 1e-6),
        };
        weight <= than - gain
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
}

//! Least-weight cover of one connected part: bounded, narrowed and bounded again, closed by a sweep
//! or by branch and bound.
//!
//! What fixing by reduced weight leaves is written anew as a smaller part and bounded again, as E.
//! Balas and M. C. Carrera do in Operations Research 44(6), 1996 (from memory).

use crate::engine::solve::cover::bound::{Effort, Raised};
use crate::engine::solve::cover::linear::relax;
use crate::engine::solve::cover::numbers::Numbers;
use crate::engine::solve::cover::part::Part;
use crate::engine::solve::cover::polish::Pieces;
use crate::engine::solve::cover::search::{Search, State};
use crate::engine::solve::cover::sweep::{LONG, QUICK};

/// The best cover found and a bound no cover goes below.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub chosen: Vec<usize>,
    pub bound: f64,
    pub proven: bool,
    pub nodes: u64,
}

/// Nodes after which branching is not expected to end soon, and nodes times column-demand pairs.
const SOON: u64 = 20_000;
const SOON_WORK: usize = 100_000_000;
/// The first exchanges end when so many times all column-demand pairs have been looked at without
/// gain.
const FIRST_EXCHANGES: usize = 100;

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
    let mut root = Root {
        names: (0..part.weights.len()).collect(),
        taken: Vec::new(),
        taken_weight: 0.0,
        prices: search.first_prices(),
        stepped: Vec::new(),
        bound: f64::NEG_INFINITY,
        search,
    };
    let proven = root.close(budget);
    let best_weight = root.taken_weight + root.search.best_weight;
    let mut chosen = root.taken;
    chosen.extend(root.search.best.iter().map(|c| root.names[*c]));
    chosen.sort_unstable();
    Found {
        chosen,
        bound: match proven {
            true => best_weight,
            false => root.bound.min(best_weight),
        },
        proven,
        nodes: root.search.nodes,
    }
}

/// What is left of a part and what is known of it.
struct Root<'a> {
    search: Search<'a>,
    /// The columns of the search by their places in the part.
    names: Vec<usize>,
    /// Columns of the part that are decided to be taken.
    taken: Vec<usize>,
    taken_weight: f64,
    prices: Vec<f64>,
    /// Prices raised by steps, from which those of a choice are raised better than from others.
    stepped: Vec<f64>,
    /// Of the whole part.
    bound: f64,
}

impl Root<'_> {
    /// Bounds, narrows and searches; whether the best cover is proven then.
    fn close(&mut self, budget: u64) -> bool {
        let mut effort = Effort::ROOT;
        let mut numbers = Numbers::from(1);
        let mut fresh = true;
        loop {
            let raised = self.raise(effort);
            self.search.stopped |= budget == 0;
            if std::mem::replace(&mut fresh, false) && !self.is_over() {
                let work = FIRST_EXCHANGES * self.search.size();
                self.search.exchange(self.left(), work, &mut numbers);
            }
            if self.is_over() {
                return self.is_closed();
            }
            if self.narrow(&raised) {
                continue;
            }
            let raised = self.finer(raised);
            if self.is_over() {
                return self.is_closed();
            }
            if self.narrow(&raised) {
                effort = Effort::ONCE;
                continue;
            }
            if self.search.sweep(&self.prices, &raised, QUICK) {
                return true;
            }
            let weight = self.search.best_weight;
            let bound = self.left();
            self.search
                .polish(bound, &self.prices, &raised, Pieces::SMALL);
            if self.is_over() {
                return self.is_closed();
            }
            if self.search.best_weight >= weight {
                return self.branch(&raised);
            }
            effort = Effort::ROOT;
            self.prices = std::mem::take(&mut self.stepped);
        }
    }

    /// The bound on what is left.
    fn left(&self) -> f64 {
        self.bound - self.taken_weight
    }

    fn is_closed(&self) -> bool {
        self.search.closed(self.left())
    }

    fn is_over(&self) -> bool {
        self.search.stopped || self.is_closed()
    }

    fn raise(&mut self, effort: Effort) -> Raised {
        let raised = self.search.raise(&mut self.prices, effort);
        let bound = self.taken_weight + self.search.rounded(raised.bound);
        self.bound = self.bound.max(bound);
        raised
    }

    /// Better prices: those of the linear relaxation, or raised at length where a sweep is to use
    /// them.
    fn finer(&mut self, raised: Raised) -> Raised {
        let (go_on, nodes) = (self.search.go_on, self.search.nodes);
        let Some(relaxed) = relax(&self.search.part, &|| go_on(nodes)) else {
            self.stepped = self.prices.clone();
            return match self.search.can_sweep() {
                true => self.raise(Effort::SWEEP),
                false => raised,
            };
        };
        let before = std::mem::replace(&mut self.prices, relaxed.prices);
        if self.stepped.is_empty() {
            self.stepped = before.clone();
        }
        let shares = relaxed.shares.iter().zip(&self.search.part.weights);
        let guide: Vec<f64> = shares.map(|(s, w)| w * (1.0 - s)).collect();
        self.search.improve(&guide);
        let relaxed = self.raise(Effort::ONCE);
        if relaxed.bound < raised.bound {
            self.prices = before;
            return raised;
        }
        relaxed
    }

    /// Leaves out what fixing by reduced weight decides, where that is much.
    fn narrow(&mut self, raised: &Raised) -> bool {
        let search = &mut self.search;
        let before = search.state.len();
        search.fix_beside_best(raised);
        let rest = search.rest(&|_| true);
        if rest.names.len() * 10 > before * 9 || rest.part.demands.is_empty() {
            search.undo_to(0);
            return false;
        }
        self.taken.extend(search.taken().map(|c| self.names[c]));
        self.taken_weight += search.weight;
        let kept = |prices: &[f64]| rest.demands.iter().map(|d| prices[*d]).collect();
        self.prices = kept(&self.prices);
        if !self.stepped.is_empty() {
            self.stepped = kept(&self.stepped);
        }
        let smaller = search.narrowed(&rest);
        self.names = rest.names.iter().map(|c| self.names[*c]).collect();
        self.search = smaller;
        true
    }

    /// Branches; where that does not end soon, betters the best cover at length before it goes on.
    /// Whether the best cover is proven then.
    fn branch(&mut self, raised: &Raised) -> bool {
        let (bound, search) = (self.left(), &mut self.search);
        let budget = search.budget;
        let soon = SOON.min((SOON_WORK / search.size().max(1)) as u64);
        search.budget = budget.min(search.nodes + soon);
        search.branch(self.stepped.clone());
        if search.stopped && search.budget < budget && search.nodes >= search.budget {
            search.stopped = false;
            search.budget = budget;
            search.polish(bound, &self.prices, raised, Pieces::LARGE);
            if search.closed(bound) || search.sweep(&self.prices, raised, LONG) {
                return true;
            }
            if !search.stopped {
                search.branch(self.stepped.clone());
            }
        }
        search.closed(bound) || !search.stopped
    }
}

impl Search<'_> {
    /// Takes the first covers: all columns, one built by weight, and one of `start` first.
    fn begin(&mut self, start: &[usize]) {
        let mut guide = self.part.weights.clone();
        self.best = (0..guide.len()).collect();
        self.best_weight = guide.iter().sum();
        self.improve(&guide);
        start.iter().for_each(|c| guide[*c] = -1.0);
        self.improve(&guide);
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
}

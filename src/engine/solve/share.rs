//! Set multi-cover in which rows of an allowance may stay short, as far as it goes: the fewest
//! columns, or the least cost, that then do.
//!
//! The cover that meets every row is the start. Exchanging columns looks for a choice of one column
//! less, again and again; a Lagrangian bound and branch and bound over the columns of one row at a
//! time say whether one less can do at all. No domain words.
//!
//! The bound. For a price `u_i >= 0` of each row with need `r_i` every choice `x` that keeps the
//! allowances costs at least
//!
//! `sum_i r_i u_i z_i + sum_j (c_j - sum_(i in j) u_i) x_j`,
//!
//! where `z_i` is 0 for a row left short and 1 for a met one, which has `r_i` columns or more. What
//! may be left short is bounded by the weights: the least of the first sum is a knapsack, taken
//! with fractions (rows of the highest price for their weight go first). Of the second sum the
//! least is that of the most negative terms, no more of them than columns may be chosen. It holds
//! for any need; where that is above 1 a row that has some of its columns already counts as partly
//! met, which makes the bound weaker, not wrong. By duality of the knapsack this is the best over
//! `l` of `sum_i min(r_i u_i, l w_i) - l a` for an allowance `a`.

use crate::engine::solve::allowance::{Allowance, missed};
use crate::engine::solve::cover::{
    self, CoverOptions, CoverProblem, CoverProgress, CoverSolution, Objective, Watcher,
};
use crate::engine::solve::exchange::{ExchangeOptions, exchange};

mod bound;
mod branch;
mod part;

use branch::{Limits, Search};
use part::Part;

/// Solves `problem`, of which the rows of `allowances` may stay short as far as these go. Without
/// any it is [`cover::solve`]. `start` is a choice worth trying. Rows that are short within an
/// allowance are not among the `unmet`. Where need be, twice the work of `options` is done.
pub fn solve(
    problem: &CoverProblem,
    allowances: &[Allowance],
    start: &[usize],
    options: &CoverOptions,
    watcher: Watcher<'_>,
) -> CoverSolution {
    let full = cover::solve(problem, options, watcher);
    if allowances.is_empty() {
        return full;
    }
    let stated = part::stated(problem, allowances);
    let unmet = &stated.unmet;
    let is_simple = stated.allowances.is_empty() || full.chosen.len() == stated.fixed.len();
    if is_simple {
        let unmet = unmet.clone();
        return CoverSolution { unmet, ..full };
    }
    let entries: usize = problem.rows.iter().map(|row| row.columns.len()).sum();
    let work = options.max_nodes.saturating_mul(entries.max(1) as u64);
    let stopped = watcher(state(full.nodes)).is_break();
    let mut step = Step {
        problem,
        allowances: &stated.allowances,
        unmet,
        work: if stopped { 0 } else { work },
        nodes: full.nodes,
        objective: options.objective,
        best: full.chosen,
        watcher,
    };
    step.try_choice(start);
    let mut found = match options.objective {
        Objective::CountThenCost => step.count_then_cost(&stated),
        Objective::Cost => step.cost_alone(&stated),
    };
    found.chosen = step.best;
    found.unmet = unmet.clone();
    found.nodes = step.nodes;
    found
}

fn state(nodes: u64) -> CoverProgress {
    CoverProgress {
        nodes,
        parts_done: 0,
        parts: 1,
    }
}

struct Step<'a> {
    problem: &'a CoverProblem,
    /// Those that leave anything open, less what no choice meets.
    allowances: &'a [Allowance],
    unmet: &'a [usize],
    /// Entries of rows that may be looked at.
    work: u64,
    nodes: u64,
    objective: Objective,
    /// The best choice so far.
    best: Vec<usize>,
    watcher: Watcher<'a>,
}

impl Step<'_> {
    fn count_then_cost(&mut self, stated: &part::Stated) -> CoverSolution {
        let units = vec![1.0; self.problem.columns.len()];
        while self.exchanged(self.best.len().saturating_sub(1), self.work / 8) {}
        let part = Part::new(stated, &units);
        let given = stated.fixed.len();
        let (bound, _) = self.searched(
            &part,
            self.best.len().saturating_sub(1),
            self.work / 2,
            true,
        );
        while self.exchanged(self.best.len(), self.work / 8) {}
        let (cost_bound, cheapest) = self.cheapest(stated, self.best.len(), self.work / 4);
        let count = self.best.len();
        let count_bound = (given + whole(bound)).min(count);
        CoverSolution {
            proven_count: count == count_bound,
            proven_cost: cheapest && count == count_bound,
            count_bound,
            cost_bound,
            ..self.told()
        }
    }

    fn cost_alone(&mut self, stated: &part::Stated) -> CoverSolution {
        for size in (stated.fixed.len()..=self.best.len()).rev() {
            if !self.exchanged(size, self.work / 8) && size < self.best.len() {
                break;
            }
        }
        let (cost_bound, cheapest) = self.cheapest(stated, self.problem.columns.len(), self.work);
        let units = vec![1.0; self.problem.columns.len()];
        let part = Part::new(stated, &units);
        let (count, given) = (self.best.len(), stated.fixed.len());
        let (bound, _) = self.searched(&part, count.saturating_sub(1), 0, true);
        let count_bound = (given + whole(bound)).min(count);
        CoverSolution {
            proven_count: count == count_bound,
            proven_cost: cheapest,
            count_bound,
            cost_bound,
            ..self.told()
        }
    }

    /// The least cost of at most `limit` columns: a bound on it, and whether it is proven.
    fn cheapest(&mut self, stated: &part::Stated, limit: usize, work: u64) -> (f64, bool) {
        let costs: Vec<f64> = self.problem.columns.iter().map(cost).collect();
        let part = Part::new(stated, &costs);
        let given: f64 = stated.fixed.iter().map(|column| costs[*column]).sum();
        let (bound, closed) = self.searched(&part, limit, work, false);
        let cost = self.cost(&self.best);
        match closed {
            true => (cost, true),
            false => ((given + bound).clamp(0.0, cost), false),
        }
    }

    fn told(&self) -> CoverSolution {
        CoverSolution {
            chosen: self.best.clone(),
            count: self.best.len(),
            cost: self.cost(&self.best),
            count_bound: 0,
            cost_bound: 0.0,
            proven_count: false,
            proven_cost: false,
            unmet: Vec::new(),
            nodes: self.nodes,
        }
    }

    fn cost(&self, chosen: &[usize]) -> f64 {
        chosen.iter().map(|c| cost(&self.problem.columns[*c])).sum()
    }

    /// Whether a choice keeps the allowances and is better than the best, which it then is.
    fn try_choice(&mut self, chosen: &[usize]) -> bool {
        let n = self.problem.columns.len();
        let all = chosen.iter().chain(&self.problem.fixed).copied();
        let mut chosen: Vec<usize> = all.filter(|column| *column < n).collect();
        chosen.sort_unstable();
        chosen.dedup();
        let costs = self.cost(&chosen).total_cmp(&self.cost(&self.best));
        let counts = chosen.len().cmp(&self.best.len());
        let order = match self.objective {
            Objective::CountThenCost => counts.then(costs),
            Objective::Cost => costs.then(counts),
        };
        let missed = || missed(self.problem, self.allowances, &chosen);
        let is_better = order.is_lt() && missed().iter().all(|row| self.unmet.contains(row));
        if is_better {
            self.best = chosen;
        }
        is_better
    }

    /// Whether exchanging columns finds a better choice of `size` columns.
    fn exchanged(&mut self, size: usize, max_work: u64) -> bool {
        let hard = |row| [u64::from(!self.unmet.contains(&row)), 0];
        let weights: Vec<_> = (0..self.problem.rows.len()).map(hard).collect();
        let without = |column: &usize| -> Vec<usize> {
            let kept = self.best.iter().filter(|one| *one != column);
            kept.copied().collect()
        };
        let starts: Vec<Vec<usize>> = match size < self.best.len() {
            true => self.best.iter().map(without).collect(),
            false => vec![self.best.clone()],
        };
        let options = ExchangeOptions {
            size,
            max_work,
            allowances: self.allowances,
        };
        let go_on = || (self.watcher)(state(self.nodes)).is_continue();
        let found = exchange(self.problem, &weights, &starts, options, &go_on);
        self.try_choice(&found.chosen)
    }

    /// Branch and bound for a choice of at most `limit` columns that weighs less than the best; the
    /// weights are those of the part, `count` where each is 1. The bound it begins with, and
    /// whether the best choice is proven at the end.
    fn searched(&mut self, part: &Part, limit: usize, work: u64, count: bool) -> (f64, bool) {
        let given = part.fixed.len();
        let fixed = part.fixed.iter().map(|c| cost(&self.problem.columns[*c]));
        let limits = Limits {
            columns: limit.saturating_sub(given),
            to_beat: match count {
                true => (self.best.len() - given) as f64,
                false => self.cost(&self.best) - fixed.sum::<f64>(),
            },
            count,
            work,
        };
        let nodes = self.nodes;
        let go_on = |more: u64| (self.watcher)(state(nodes + more)).is_continue();
        let mut search = Search::new(part, limits, &go_on);
        let (bound, closed) = search.run();
        self.nodes += search.nodes;
        self.work = self.work.saturating_sub(search.work);
        if let Some(chosen) = search.found {
            self.try_choice(&chosen);
        }
        (bound, closed)
    }
}

/// The least whole number not below a bound.
fn whole(bound: f64) -> usize {
    (bound - 1e-6).ceil().max(0.0) as usize
}

fn cost(column: &cover::Column) -> f64 {
    let cost = Some(column.cost).filter(|cost| cost.is_finite() && *cost > 0.0);
    cost.unwrap_or(0.0)
}

#[cfg(test)]
mod tests;

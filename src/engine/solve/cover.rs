//! Exact minimum set multi-cover: choose columns so that each row has as many as it needs.
//!
//! Rows met by fixed columns go first, then rows and columns that others make needless; what is
//! left falls into separate parts, each bounded by Lagrangian relaxation and closed by a sweep over
//! its columns or, where that grows too wide, by branch and bound. The answer depends
//! neither on time nor on the order of the rows. No domain words.

use std::ops::ControlFlow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use thiserror::Error;

mod bound;
mod part;
mod polish;
mod reduce;
mod search;
mod sweep;

use part::Part;
use reduce::{Demand, parts, reduce};
use search::{Found, search};

/// A choice that can be made once.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Column {
    /// Settles ties (the lesser identifier is preferred); best unique.
    pub id: String,
    /// Not negative.
    pub cost: f64,
}

/// A demand for `need` of the listed columns (places in [`CoverProblem::columns`]).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Row {
    pub id: String,
    pub need: u32,
    pub columns: Vec<usize>,
}

/// A set multi-cover. `fixed` columns are chosen in any case.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct CoverProblem {
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
    pub fixed: Vec<usize>,
}

/// What is to be least.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Objective {
    /// The fewest columns; among those the least cost.
    CountThenCost,
    /// The least cost, however many columns.
    Cost,
}

/// How to solve. `max_nodes` limits the work by branch-and-bound nodes, never by time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CoverOptions {
    pub objective: Objective,
    pub max_nodes: u64,
}

/// Work so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CoverProgress {
    pub nodes: u64,
    /// Separate parts solved, of how many.
    pub parts_done: usize,
    pub parts: usize,
}

/// A cover and what is known of it. All counts, costs and bounds include the fixed columns.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CoverSolution {
    /// Places of the chosen columns, sorted.
    pub chosen: Vec<usize>,
    pub count: usize,
    pub cost: f64,
    /// No cover has fewer columns.
    pub count_bound: usize,
    /// With [`Objective::CountThenCost`]: no cover of `count` columns costs less; else no cover
    /// does.
    pub cost_bound: f64,
    /// Whether `count` is the least possible.
    pub proven_count: bool,
    /// Whether `cost` is the least possible (among covers of the least count, for
    /// [`Objective::CountThenCost`]).
    pub proven_cost: bool,
    /// Rows with fewer columns than they need: left out of the cover altogether. Lower their need
    /// to have them met as far as they can be.
    pub unmet: Vec<usize>,
    pub nodes: u64,
}

/// What is wrong with a problem.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CoverFault {
    #[error("column {id}: cost {cost} must be a number not below zero")]
    Cost { id: String, cost: f64 },
    #[error("row {id} lists column {column}, but there are only {columns}; list existing ones")]
    RowColumn {
        id: String,
        column: usize,
        columns: usize,
    },
    #[error("fixed column {column} does not exist; there are only {columns}")]
    Fixed { column: usize, columns: usize },
}

impl CoverProblem {
    /// The first thing wrong with the problem, if anything is.
    pub fn check(&self) -> Result<(), CoverFault> {
        let columns = self.columns.len();
        if let Some(c) = self
            .columns
            .iter()
            .find(|c| !(c.cost >= 0.0 && c.cost.is_finite()))
        {
            return Err(CoverFault::Cost {
                id: c.id.clone(),
                cost: c.cost,
            });
        }
        for row in &self.rows {
            if let Some(&column) = row.columns.iter().find(|c| **c >= columns) {
                return Err(CoverFault::RowColumn {
                    id: row.id.clone(),
                    column,
                    columns,
                });
            }
        }
        match self.fixed.iter().find(|c| **c >= columns) {
            Some(&column) => Err(CoverFault::Fixed { column, columns }),
            None => Ok(()),
        }
    }
}

/// Solves `problem`. `progress` is told of the work now and then and may stop it; the bounds stay
/// true then. Columns that do not exist are ignored and costs that are no cost count as 0: see
/// [`CoverProblem::check`].
pub fn solve(
    problem: &CoverProblem,
    options: &CoverOptions,
    progress: &dyn Fn(CoverProgress) -> ControlFlow<()>,
) -> CoverSolution {
    let stated = Stated::new(problem);
    // What costs no more in place of another column is not one column more either.
    let common = reduce(stated.demands.clone(), &stated.costs);
    let separate = parts(common.demands);
    let mut total = Total::default();
    for (done, demands) in separate.iter().enumerate() {
        let nodes = total.nodes;
        let go_on = |more: u64| {
            let report = CoverProgress {
                nodes: nodes + more,
                parts_done: done,
                parts: separate.len(),
            };
            progress(report).is_continue()
        };
        let share =
            (options.max_nodes - nodes.min(options.max_nodes)) / (separate.len() - done) as u64;
        let costs = &stated.costs;
        let limits = Limits {
            budget: if total.stopped { 0 } else { share },
            go_on: &go_on,
        };
        let part = match options.objective {
            Objective::CountThenCost => count_then_cost(demands, costs, &limits),
            Objective::Cost => cost_alone(demands, costs, &limits),
        };
        total.nodes += part.nodes;
        total.stopped |= go_on_is_over(progress, &total, done + 1, separate.len());
        total.parts.push(part);
    }
    total.finish(problem, &stated, &common.forced, options.objective)
}

fn go_on_is_over(
    progress: &dyn Fn(CoverProgress) -> ControlFlow<()>,
    total: &Total,
    parts_done: usize,
    parts: usize,
) -> bool {
    progress(CoverProgress {
        nodes: total.nodes,
        parts_done,
        parts,
    })
    .is_break()
}

/// The problem with its columns in the order of their identifiers, less what is fixed or hopeless.
struct Stated {
    /// For each column in the new order its place in the problem.
    order: Vec<usize>,
    costs: Vec<f64>,
    demands: Vec<Demand>,
    fixed: Vec<usize>,
    unmet: Vec<usize>,
}

impl Stated {
    fn new(problem: &CoverProblem) -> Self {
        let n = problem.columns.len();
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|a, b| {
            problem.columns[*a]
                .id
                .cmp(&problem.columns[*b].id)
                .then(a.cmp(b))
        });
        let mut place = vec![0; n];
        order
            .iter()
            .enumerate()
            .for_each(|(new, old)| place[*old] = new);
        let cost = |c: &usize| Some(problem.columns[*c].cost).filter(|c| c.is_finite() && *c > 0.0);
        let costs = order.iter().map(|c| cost(c).unwrap_or(0.0)).collect();
        let mut fixed: Vec<usize> = problem.fixed.iter().copied().filter(|c| *c < n).collect();
        fixed.sort_unstable();
        fixed.dedup();
        let (mut demands, mut unmet) = (Vec::new(), Vec::new());
        for (i, row) in problem.rows.iter().enumerate() {
            let mut columns: Vec<usize> = row.columns.iter().copied().filter(|c| *c < n).collect();
            columns.sort_unstable();
            columns.dedup();
            let all = columns.len();
            columns.retain(|c| fixed.binary_search(c).is_err());
            let need = (row.need as usize).saturating_sub(all - columns.len());
            if need > columns.len() {
                unmet.push(i);
            } else if need > 0 {
                columns.iter_mut().for_each(|c| *c = place[*c]);
                columns.sort_unstable();
                demands.push(Demand { need, columns });
            }
        }
        demands.sort();
        demands.dedup();
        Stated {
            order,
            costs,
            demands,
            fixed,
            unmet,
        }
    }
}

struct Limits<'a> {
    budget: u64,
    go_on: &'a dyn Fn(u64) -> bool,
}

/// The answer for one separate part.
struct Answer {
    chosen: Vec<usize>,
    count_bound: usize,
    /// Bound on the cost at the count found, and on the cost at any count.
    cost_bound: f64,
    any_cost_bound: f64,
    proven_count: bool,
    proven_cost: bool,
    nodes: u64,
}

fn count_then_cost(demands: &[Demand], costs: &[f64], limits: &Limits) -> Answer {
    let units = vec![1.0; costs.len()];
    let half = Limits {
        budget: limits.budget - limits.budget / 2,
        go_on: limits.go_on,
    };
    let few = minimise(demands, &units, None, &half);
    let count_bound = few.bound.round() as usize;
    let cost = |chosen: &[usize]| chosen.iter().map(|c| costs[*c]).sum::<f64>();
    // A column more must weigh more than any cost that may be saved by it.
    let (unit, integers) = scale(demands, costs);
    let most = if few.proven {
        cost(&few.chosen)
    } else {
        costs.iter().sum()
    };
    let head = (most / unit).ceil() + 1.0;
    let head = if integers > 0.0 {
        (head / integers).ceil() * integers
    } else {
        head
    };
    let weights: Vec<f64> = costs
        .iter()
        .map(|c| head + scaled(*c, unit, integers))
        .collect();
    let rest = limits.budget.saturating_sub(few.nodes);
    let after = |more: u64| (limits.go_on)(few.nodes + more);
    let cheap = minimise(
        demands,
        &weights,
        Some(Known {
            count: count_bound,
            head,
            cover: &few.chosen,
        }),
        &Limits {
            budget: rest,
            go_on: &after,
        },
    );
    let weight = |chosen: &[usize]| chosen.iter().map(|c| weights[*c]).sum::<f64>();
    let better = weight(&cheap.chosen) <= weight(&few.chosen);
    let chosen = if better { cheap.chosen } else { few.chosen };
    let count_bound = if cheap.proven && better {
        chosen.len()
    } else {
        count_bound
    };
    let proven_count = chosen.len() == count_bound;
    let bound = (cheap.bound - chosen.len() as f64 * head) * unit;
    let any_cost_bound = if proven_count {
        0.0
    } else {
        cost_floor(demands, costs)
    };
    Answer {
        cost_bound: bound.clamp(0.0, cost(&chosen)),
        any_cost_bound,
        count_bound,
        proven_count,
        proven_cost: proven_count && cheap.proven && better,
        nodes: few.nodes + cheap.nodes,
        chosen,
    }
}

fn cost_alone(demands: &[Demand], costs: &[f64], limits: &Limits) -> Answer {
    let (unit, integers) = scale(demands, costs);
    let weights: Vec<f64> = costs.iter().map(|c| scaled(*c, unit, integers)).collect();
    let cheap = minimise(demands, &weights, None, limits);
    let units = vec![1.0; costs.len()];
    let few = minimise(
        demands,
        &units,
        None,
        &Limits {
            budget: 0,
            go_on: limits.go_on,
        },
    );
    let count_bound = few.bound.round() as usize;
    let bound = cheap.bound * unit;
    Answer {
        proven_count: cheap.chosen.len() == count_bound,
        proven_cost: cheap.proven,
        count_bound,
        cost_bound: bound,
        any_cost_bound: bound,
        nodes: cheap.nodes,
        chosen: cheap.chosen,
    }
}

/// A bound on the cost of any cover.
fn cost_floor(demands: &[Demand], costs: &[f64]) -> f64 {
    minimise(
        demands,
        costs,
        None,
        &Limits {
            budget: 0,
            go_on: &|_| true,
        },
    )
    .bound
}

/// The unit that makes all costs whole numbers, and their greatest common divisor in that unit;
/// (1, 0) when neither whole, tenth nor hundredth units do.
fn scale(demands: &[Demand], costs: &[f64]) -> (f64, f64) {
    for per_unit in [1.0, 10.0, 100.0] {
        let used = demands
            .iter()
            .flat_map(|d| d.columns.iter().map(|c| costs[*c] * per_unit));
        let mut divisor: u64 = 0;
        let whole = used.into_iter().all(|c| {
            divisor = greatest_common_divisor(divisor, c.round() as u64);
            (c - c.round()).abs() <= 1e-9 * c.max(1.0) && c < 1e12
        });
        if whole {
            return (1.0 / per_unit, divisor.max(1) as f64);
        }
    }
    (1.0, 0.0)
}

fn scaled(cost: f64, unit: f64, integers: f64) -> f64 {
    if integers > 0.0 {
        (cost / unit).round()
    } else {
        cost
    }
}

fn greatest_common_divisor(a: u64, b: u64) -> u64 {
    if b == 0 {
        a
    } else {
        greatest_common_divisor(b, a % b)
    }
}

/// What is known of a cover before its cost is sought.
#[derive(Clone, Copy)]
struct Known<'a> {
    /// Columns that every cover has at least.
    count: usize,
    /// What each column weighs beside its cost.
    head: f64,
    /// A good cover.
    cover: &'a [usize],
}

/// The least-weight choice that meets `demands`.
fn minimise(demands: &[Demand], weights: &[f64], known: Option<Known>, limits: &Limits) -> Found {
    let reduced = reduce(demands.to_vec(), weights);
    let weigh = |chosen: &[usize]| chosen.iter().map(|c| weights[*c]).sum::<f64>();
    let mut all = Found {
        bound: weigh(&reduced.forced),
        chosen: reduced.forced,
        proven: true,
        nodes: 0,
    };
    let known = known.map(|known| Known {
        count: known.count.saturating_sub(all.chosen.len()),
        ..known
    });
    let separate = match known {
        Some(_) if !reduced.demands.is_empty() => vec![reduced.demands],
        _ => parts(reduced.demands),
    };
    let pieces = separate.len();
    for (done, demands) in separate.into_iter().enumerate() {
        let budget = limits.budget.saturating_sub(all.nodes) / (pieces - done) as u64;
        let nodes = all.nodes;
        let found = solve_part(demands, weights, known, budget, &|more| {
            (limits.go_on)(nodes + more)
        });
        all.chosen.extend(found.chosen);
        all.bound += found.bound;
        all.proven &= found.proven;
        all.nodes += found.nodes;
    }
    all.chosen.sort_unstable();
    all
}

fn solve_part(
    mut demands: Vec<Demand>,
    weights: &[f64],
    known: Option<Known>,
    budget: u64,
    go_on: &dyn Fn(u64) -> bool,
) -> Found {
    let mut columns: Vec<usize> = demands.iter().flat_map(|d| d.columns.clone()).collect();
    columns.sort_unstable();
    columns.dedup();
    for column in demands.iter_mut().flat_map(|d| d.columns.iter_mut()) {
        *column = columns.binary_search(column).unwrap_or(0);
    }
    let mut head = 0.0;
    let mut start = Vec::new();
    if let Some(known) = known.filter(|k| k.count > 0 && k.count <= columns.len()) {
        head = known.head;
        let place = |c: &usize| columns.binary_search(c).ok();
        start = known.cover.iter().filter_map(place).collect();
        demands.push(Demand {
            need: known.count,
            columns: (0..columns.len()).collect(),
        });
    }
    let weights: Vec<f64> = columns.iter().map(|c| weights[*c]).collect();
    let whole = weights.iter().all(|w| *w == w.round() && *w < 1e15);
    let divisor = |w: &[f64]| {
        w.iter()
            .fold(0, |d, w| greatest_common_divisor(d, *w as u64))
    };
    let step = if whole {
        divisor(&weights).max(1) as f64
    } else {
        0.0
    };
    let mut found = search(
        &Part {
            weights,
            demands,
            head,
            step,
        },
        &start,
        budget,
        go_on,
    );
    found.chosen.iter_mut().for_each(|c| *c = columns[*c]);
    found
}

#[derive(Default)]
struct Total {
    parts: Vec<Answer>,
    nodes: u64,
    stopped: bool,
}

impl Total {
    fn finish(
        self,
        problem: &CoverProblem,
        stated: &Stated,
        forced: &[usize],
        objective: Objective,
    ) -> CoverSolution {
        let given = stated.fixed.len() + forced.len();
        let cost_of =
            |c: &usize| Some(problem.columns[*c].cost).filter(|c| c.is_finite() && *c > 0.0);
        let place = |c: &usize| stated.order[*c];
        let mut chosen: Vec<usize> = stated.fixed.clone();
        chosen.extend(forced.iter().map(place));
        let given_cost: f64 = chosen.iter().filter_map(cost_of).sum();
        chosen.extend(self.parts.iter().flat_map(|p| p.chosen.iter().map(place)));
        chosen.sort_unstable();
        let cost = chosen.iter().filter_map(cost_of).sum();
        let proven_count = self.parts.iter().all(|p| p.proven_count);
        let proven_cost = self.parts.iter().all(|p| p.proven_cost);
        let at_count = proven_count || objective == Objective::Cost;
        let bound = |p: &Answer| {
            if at_count {
                p.cost_bound
            } else {
                p.any_cost_bound
            }
        };
        let cost_bound = given_cost + self.parts.iter().map(bound).sum::<f64>();
        CoverSolution {
            count: chosen.len(),
            cost,
            count_bound: given + self.parts.iter().map(|p| p.count_bound).sum::<usize>(),
            cost_bound: if proven_cost {
                cost
            } else {
                cost_bound.min(cost)
            },
            proven_count,
            proven_cost,
            unmet: stated.unmet.clone(),
            nodes: self.nodes,
            chosen,
        }
    }
}

#[cfg(test)]
mod tests;

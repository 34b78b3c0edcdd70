//! Exact minimum set multi-cover: choose columns so that each row has as many as it needs.
//!
//! Rows met by fixed columns go first, then rows and columns that others make needless; what is
//! left falls into separate parts, each bounded by Lagrangian and linear relaxation and closed by a
//! sweep over its columns or, where that grows too wide, by branch and bound. The answer depends
//! neither on time nor on the order of the rows. No domain words.

use std::cell::Cell;
use std::ops::ControlFlow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use thiserror::Error;

mod aims;
mod bound;
mod branch;
mod build;
mod exchange;
mod least;
mod linear;
mod numbers;
mod part;
mod polish;
mod reduce;
mod root;
mod search;
mod stated;
mod sweep;
mod total;

use aims::{Limits, cost_alone, count_then_cost};
use reduce::{parts, reduce};
use stated::Stated;
use total::Total;

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
    let stopped = Cell::new(false);
    let go_on = || {
        let report = CoverProgress {
            nodes: 0,
            parts_done: 0,
            parts: 1,
        };
        stopped.set(stopped.get() || progress(report).is_break());
        !stopped.get()
    };
    let common = reduce(stated.demands.clone(), &stated.costs, &go_on);
    let separate = parts(common.demands);
    let mut total = Total {
        stopped: stopped.get(),
        ..Total::default()
    };
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

#[cfg(test)]
mod part_tests;
#[cfg(test)]
mod tests;

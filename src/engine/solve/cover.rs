//! Exact minimum set multi-cover: choose columns so that each row has as many as it needs.
//!
//! Rows met by fixed columns go first, then rows and columns that others make needless; what is
//! left falls into separate parts, each bounded by Lagrangian and linear relaxation and closed by a
//! sweep over its columns or, where that grows too wide, by branch and bound. The answer depends
//! neither on time nor on the order of the rows. No domain words.

use std::ops::ControlFlow;

use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use rayon::{ThreadPool, ThreadPoolBuilder};
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
mod tally;
mod total;

use aims::{Answer, Limits, cost_alone, count_then_cost};
use reduce::{Demand, parts, reduce};
use stated::Stated;
use tally::Tally;
use total::put_together;

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

/// How to solve. `max_nodes` limits the work by branch-and-bound nodes, never by time: so many in
/// each separate part, whose nodes are the less work the smaller it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CoverOptions {
    pub objective: Objective,
    pub max_nodes: u64,
}

/// Work so far, of all parts.
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

/// Told of the work now and then, from any thread; may stop it.
pub type Watcher<'a> = &'a (dyn Fn(CoverProgress) -> ControlFlow<()> + Sync);

/// Solves `problem`. `watcher` may stop it; the bounds stay true then. Separate parts are solved at
/// once, on as many threads as the caller's pool has. Columns that do not exist are ignored and
/// costs that are no cost count as 0: see [`CoverProblem::check`].
pub fn solve(
    problem: &CoverProblem,
    options: &CoverOptions,
    watcher: Watcher<'_>,
) -> CoverSolution {
    let stated = Stated::new(problem);
    let mut tally = Tally::new(watcher);
    // What costs no more in place of another column is not one column more either.
    let common = reduce(stated.demands.clone(), &stated.costs, &|| tally.go_on());
    let separate = parts(common.demands);
    tally.parts = separate.len();
    let solved = |demands: &Vec<Demand>| {
        let go_on = tally.of_part();
        let limits = Limits {
            budget: match tally.is_stopped() {
                true => 0,
                false => options.max_nodes,
            },
            go_on: &go_on,
        };
        let answer = match options.objective {
            Objective::CountThenCost => count_then_cost(demands, &stated.costs, &limits),
            Objective::Cost => cost_alone(demands, &stated.costs, &limits),
        };
        tally.done();
        answer
    };
    let answers: Vec<Answer> = match threads_for(&separate) {
        Some(pool) => pool.install(|| separate.par_iter().map(solved).collect()),
        None => separate.iter().map(solved).collect(),
    };
    put_together(
        problem,
        &stated,
        &common.forced,
        &answers,
        options.objective,
    )
}

/// Column-row pairs of parts that are solved before threads are started.
const SOON_SOLVED: usize = 4_000;

/// Threads for the parts, where they are worth it; their own, so that a short search never waits
/// behind a long one.
fn threads_for(separate: &[Vec<Demand>]) -> Option<ThreadPool> {
    let threads = rayon::current_num_threads().min(separate.len());
    let pairs: usize = separate.iter().flatten().map(|d| d.columns.len()).sum();
    if threads < 2 || pairs < SOON_SOLVED {
        return None;
    }
    let pool = ThreadPoolBuilder::new().num_threads(threads);
    pool.build().ok()
}

#[cfg(test)]
mod part_tests;
#[cfg(test)]
mod tests;

//! Rows of which some may stay short of what they need. No domain words.

use serde::{Deserialize, Serialize};

use crate::engine::solve::cover::CoverProblem;

/// Rows of which some may stay short: together those that do may weigh no more than `most`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Allowance {
    /// Places of the rows; no row is in two allowances.
    pub rows: Vec<usize>,
    /// What each of them weighs.
    pub weights: Vec<u64>,
    pub most: u64,
}

impl Allowance {
    /// What the rows weigh that are short.
    pub fn weight(&self, is_short: impl Fn(usize) -> bool) -> u64 {
        let rows = self.rows.iter().zip(&self.weights);
        let short = rows.filter(|(row, _)| is_short(**row));
        short.map(|(_, weight)| weight).sum()
    }
}

/// Places of the rows that have fewer columns of a choice than they need.
pub fn unmet(problem: &CoverProblem, chosen: &[usize]) -> Vec<usize> {
    let n_in = |columns: &[usize]| columns.iter().filter(|c| chosen.contains(c)).count();
    let rows = problem.rows.iter().enumerate();
    rows.filter(|(_, row)| n_in(&row.columns) < row.need as usize)
        .map(|(idx, _)| idx)
        .collect()
}

/// The unmet rows less those that may be: all of an allowance that is kept.
pub fn missed(problem: &CoverProblem, allowances: &[Allowance], chosen: &[usize]) -> Vec<usize> {
    let mut missed = unmet(problem, chosen);
    for allowance in allowances {
        let is_short = |row: usize| missed.binary_search(&row).is_ok();
        if allowance.weight(is_short) <= allowance.most {
            missed.retain(|row| !allowance.rows.contains(row));
        }
    }
    missed
}

//! A connected part of a cover problem, with what each of its columns serves.

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

/// What is left of a part when some of its columns are decided.
pub(super) struct Rest {
    pub part: Part,
    /// The columns and demands of `part` by their places in the whole.
    pub names: Vec<usize>,
    pub demands: Vec<usize>,
}

/// The demands of each column, end to end.
pub(super) struct Serves {
    first: Vec<u32>,
    pub demands: Vec<u32>,
}

impl Serves {
    /// Of so many columns.
    pub fn new(columns: usize, demands: &[Demand]) -> Self {
        let mut first = vec![0_u32; columns + 1];
        for column in demands.iter().flat_map(|d| &d.columns) {
            first[column + 1] += 1;
        }
        (1..first.len()).for_each(|c| first[c] += first[c - 1]);
        let mut of = vec![0; first[columns] as usize];
        let mut next = first.clone();
        for (i, demand) in demands.iter().enumerate() {
            for &column in &demand.columns {
                of[next[column] as usize] = i as u32;
                next[column] += 1;
            }
        }
        Serves { first, demands: of }
    }

    pub fn columns(&self) -> usize {
        self.first.len() - 1
    }

    pub fn of(&self, column: usize) -> &[u32] {
        &self.demands[self.first[column] as usize..self.first[column + 1] as usize]
    }
}

//! Builds a cover greedily from weights, after J. E. Beasley, "A Lagrangian heuristic for
//! set-covering problems", Naval Research Logistics 37(1), 1990 (from memory).

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use crate::engine::solve::cover::search::{Search, State};

/// How dear a column is for what it serves, its weight, and which it is.
#[derive(Clone, Copy)]
struct Rank(f64, f64, usize);

impl Ord for Rank {
    fn cmp(&self, other: &Self) -> Ordering {
        let weights = self.1.total_cmp(&other.1);
        let ties = weights.then(self.2.cmp(&other.2));
        self.0.total_cmp(&other.0).then(ties)
    }
}

impl PartialOrd for Rank {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Eq for Rank {}

impl PartialEq for Rank {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Search<'_> {
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
        let mut n_lacking = lacks.iter().filter(|l| **l > 0).count();
        let mut useful = self.useful(&lacks);
        let rank = |c: usize, useful: &[u32]| {
            let (w, u) = (guide[c], f64::from(useful[c]));
            let score = if w > 0.0 { w / u } else { w * u };
            Reverse(Rank(score + 0.0, self.part.weights[c], c))
        };
        // A column ranks lower the less it is still good for, so that an old rank is too high.
        let open = self.free_columns().into_iter();
        let open = open.filter(|c| useful[*c] > 0).map(|c| rank(c, &useful));
        let mut open = BinaryHeap::from_iter(open);
        while n_lacking > 0 {
            let Some(first) = open.pop() else {
                return;
            };
            let column = first.0.2;
            if useful[column] == 0 {
                continue;
            }
            let now = rank(column, &useful);
            if now != first {
                open.push(now);
                continue;
            }
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

    pub(super) fn improve_by_weight(&mut self) {
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
}

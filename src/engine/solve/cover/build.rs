//! Builds a cover greedily from weights, after J. E. Beasley, "A Lagrangian heuristic for
//! set-covering problems", Naval Research Logistics 37(1), 1990 (from memory).

use crate::engine::solve::cover::search::{Search, State};

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

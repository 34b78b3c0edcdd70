//! Depth-first branch and bound over the columns of one demand at a time.

use crate::engine::solve::cover::bound::Effort;
use crate::engine::solve::cover::search::{Search, State};

impl Search<'_> {
    /// Explores the choices that agree with the present one.
    pub(super) fn branch(&mut self, mut prices: Vec<f64>) {
        if self.nodes >= self.budget || (self.nodes % 64 == 63 && !(self.go_on)(self.nodes)) {
            self.stopped = true;
        }
        if self.stopped {
            return;
        }
        self.nodes += 1;
        let mark = self.trail.len();
        if self.propagate() && !self.closed(self.weight) {
            if self.lacks.iter().all(|l| *l <= 0) || self.nodes % 8 == 1 {
                self.improve_by_weight();
            }
            let raised = self.raise(&mut prices, Effort::NODE);
            if !self.closed(raised.bound) && self.fix(&raised) && self.propagate() {
                self.split(&prices, &raised.reduced);
            }
        }
        self.undo_to(mark);
    }

    /// Branches on the columns of the open demand with the fewest free ones: with the first,
    /// without it but with the second, and so on.
    fn split(&mut self, prices: &[f64], reduced: &[f64]) {
        let open = (0..self.lacks.len()).filter(|d| self.lacks[*d] > 0);
        let Some(demand) = open.min_by(|&a, &b| {
            let slack = |d: usize| self.free[d] - self.lacks[d];
            slack(a)
                .cmp(&slack(b))
                .then(prices[b].total_cmp(&prices[a]))
                .then(a.cmp(&b))
        }) else {
            self.improve_by_weight();
            return;
        };
        let mut columns: Vec<usize> = self.part.demands[demand]
            .columns
            .iter()
            .copied()
            .filter(|c| self.state[*c] == State::Free)
            .collect();
        columns.sort_by(|a, b| reduced[*a].total_cmp(&reduced[*b]).then(a.cmp(b)));
        for column in columns {
            let mark = self.trail.len();
            if self.state[column] != State::Free {
                continue;
            }
            self.decide(column, State::In);
            self.branch(prices.to_vec());
            self.undo_to(mark);
            if self.stopped {
                return;
            }
            self.decide(column, State::Out);
            if self.served(column).any(|d| self.free[d] < self.lacks[d]) {
                return;
            }
        }
    }
}

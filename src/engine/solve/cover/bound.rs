//! The Lagrangian bound of a part: prices of demands, raised by subgradient steps (sources in
//! `search`).

use crate::engine::solve::cover::reduce::Demand;
use crate::engine::solve::cover::search::Search;

/// How long prices are raised: rounds, the first step's factor, rounds without gain before halving.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    rounds: usize,
    factor: f64,
    patience: usize,
    /// Rounds between covers built from the prices; 0 for none.
    build_every: usize,
}

impl Effort {
    pub(super) const ROOT: Effort = Effort {
        rounds: 400,
        factor: 1.5,
        patience: 12,
        build_every: 10,
    };
    /// Before a sweep, which drops the more choices the better the prices are.
    pub(super) const SWEEP: Effort = Effort {
        rounds: 3000,
        factor: 1.0,
        patience: 30,
        build_every: 50,
    };
    /// A part of the whole while the best cover is bettered.
    pub(super) const PIECE: Effort = Effort {
        rounds: 80,
        factor: 1.5,
        patience: 5,
        build_every: 5,
    };
    /// What given prices are worth.
    pub(super) const ONCE: Effort = Effort {
        rounds: 1,
        factor: 1.0,
        patience: 1,
        build_every: 1,
    };
    pub(super) const NODE: Effort = Effort {
        rounds: 24,
        factor: 0.5,
        patience: 4,
        build_every: 0,
    };
}

pub(super) struct Raised {
    pub bound: f64,
    /// Reduced weights of the free columns at the bound's prices, by column.
    pub reduced: Vec<f64>,
}

impl Search<'_> {
    /// For each demand the least weight at which one of its columns serves one demand, the part's
    /// common head apart.
    pub(super) fn first_prices(&self) -> Vec<f64> {
        let head = self.part.head;
        let share = |c: &usize| (self.part.weights[*c] - head) / self.serves.of(*c).len() as f64;
        let least = |d: &Demand| d.columns.iter().map(share).fold(f64::INFINITY, f64::min);
        let mut prices: Vec<f64> = self.part.demands.iter().map(least).collect();
        if let Some(last) = prices.last_mut().filter(|_| head > 0.0) {
            *last += head;
        }
        prices
    }

    /// Raises the Lagrangian bound by subgradient steps; leaves the best prices in `prices`.
    pub(super) fn raise(&mut self, prices: &mut [f64], effort: Effort) -> Raised {
        let free = self.free_columns();
        for (price, lacks) in prices.iter_mut().zip(&self.lacks) {
            *price = if *lacks > 0 { *price } else { 0.0 };
        }
        let mut trial = prices.to_owned();
        let mut reduced = vec![0.0; self.state.len()];
        let mut best = Raised {
            bound: f64::NEG_INFINITY,
            reduced: reduced.clone(),
        };
        // The demand that lists all columns would drown the others in the length of a step.
        let all = if self.part.head > 0.0 {
            self.lacks.len() - 1
        } else {
            usize::MAX
        };
        let width = self.state.len() as f64;
        let damping = |d: usize| {
            if d == all { 1.0 / width } else { 1.0 }
        };
        let (mut factor, mut idle) = (effort.factor, 0);
        for round in 0..effort.rounds {
            let mut missing = self.lacks.clone();
            let owed = trial.iter().zip(&self.lacks).map(|(p, l)| p * *l as f64);
            let mut bound = self.weight + owed.sum::<f64>();
            for &c in &free {
                let paid: f64 = self.serves.of(c).iter().map(|d| trial[*d as usize]).sum();
                reduced[c] = self.part.weights[c] - paid;
                if reduced[c] < 0.0 {
                    bound += reduced[c];
                    self.served(c).for_each(|d| missing[d] -= 1);
                }
            }
            idle += 1;
            if bound > best.bound {
                if bound > best.bound + 1e-6 * bound.abs() {
                    idle = 0;
                }
                best.bound = bound;
                best.reduced.copy_from_slice(&reduced);
                prices.copy_from_slice(&trial);
            }
            if effort.build_every > 0 && round % effort.build_every == 0 {
                self.improve(&reduced);
                self.stopped |= self.size() > 20_000 && !(self.go_on)(self.nodes);
            }
            let moves = |d: usize| self.lacks[d] > 0 && (missing[d] > 0 || trial[d] > 0.0);
            let square: f64 = (0..missing.len())
                .filter(|d| moves(*d))
                .map(|d| missing[d] as f64 * missing[d] as f64 * damping(d))
                .sum();
            if self.closed(best.bound) || square == 0.0 || factor < 1e-3 || self.stopped {
                break;
            }
            if idle >= effort.patience {
                (factor, idle) = (factor / 2.0, 0);
                trial.copy_from_slice(prices);
                continue;
            }
            let step = factor * (self.best_weight - bound).max(self.part.step * 0.5) / square;
            for d in (0..missing.len()).filter(|d| self.lacks[*d] > 0) {
                trial[d] = (trial[d] + step * damping(d) * missing[d] as f64).max(0.0);
            }
        }
        best
    }
}

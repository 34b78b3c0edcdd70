//! Betters a cover by exchanging its columns, while demands that stay lacking grow heavier.
//!
//! Columns are left out until the cover lacks something, and others taken as long as that makes it
//! lighter than the best. What is lacking gains a little heaviness each time, so that the next
//! choices turn to it. After C. Gao, T. Weise and J. Li, "A weighting-based local search heuristic
//! algorithm for the set covering problem", IEEE Congress on Evolutionary Computation, 2014 (from
//! memory); widened to demands for several columns.

use crate::engine::solve::cover::numbers::Numbers;
use crate::engine::solve::cover::search::Search;

/// Exchanges between questions whether to go on.
const ASK_EVERY: u64 = 1000;

/// A choice of columns on its way to a better cover.
struct Exchange<'a> {
    search: &'a Search<'a>,
    /// Demands that count: not the last one where that lists all columns.
    n_demands: usize,
    /// One by the weight of each column.
    per_weight: Vec<f64>,
    inside: Vec<bool>,
    /// What each demand lacks; below 0 it has more than it needs.
    lacks: Vec<i32>,
    heaviness: Vec<i64>,
    /// Outside: heaviness of the lacking demands that a column serves. Inside: of those that would
    /// lack more without it.
    gain: Vec<i64>,
    /// The exchange at which a column last went in or out.
    since: Vec<u64>,
    chosen: Vec<usize>,
    lacking: Vec<usize>,
    /// Where a column stands in `chosen` and a demand in `lacking`.
    chosen_at: Vec<usize>,
    lacking_at: Vec<usize>,
    weight: f64,
    /// Column-demand pairs looked at.
    work: usize,
}

impl Search<'_> {
    /// Betters the best cover until it meets `bound` or `work` column-demand pairs have been looked
    /// at since it last got better.
    pub(super) fn exchange(&mut self, bound: f64, work: usize, numbers: &mut Numbers) {
        if self.best.is_empty() || self.closed(bound) {
            return;
        }
        let mut best = (self.best.clone(), self.best_weight);
        let mut exchange = Exchange::new(self);
        let (mut since, mut step, mut stopped) = (0, 0, false);
        while exchange.work < since + work && !stopped {
            step += 1;
            if exchange.settle(step) && self.lighter(exchange.weight, best.1) {
                let weights = exchange.chosen.iter().map(|c| self.part.weights[*c]);
                exchange.weight = weights.sum();
                best = (exchange.chosen.clone(), exchange.weight);
                since = exchange.work;
                if !self.lighter(bound, best.1) {
                    break;
                }
            }
            exchange.change(step, best.1, numbers);
            stopped = step % ASK_EVERY == 0 && !(self.go_on)(self.nodes);
        }
        (self.best, self.best_weight) = best;
        self.stopped |= stopped;
    }
}

impl<'a> Exchange<'a> {
    fn new(search: &'a Search<'a>) -> Self {
        let (demands, weights) = (&search.part.demands, &search.part.weights);
        let n_demands = demands.len() - usize::from(search.part.head > 0.0);
        let least = weights.iter().copied().filter(|w| *w > 0.0);
        let least = least.fold(1.0, f64::min) * 1e-3;
        let mut exchange = Exchange {
            search,
            n_demands,
            per_weight: weights.iter().map(|w| 1.0 / w.max(least)).collect(),
            inside: vec![false; weights.len()],
            lacks: demands.iter().map(|d| d.need as i32).collect(),
            heaviness: vec![1; n_demands],
            gain: vec![0; weights.len()],
            since: vec![0; weights.len()],
            chosen: Vec::new(),
            lacking: (0..n_demands).collect(),
            chosen_at: vec![0; weights.len()],
            lacking_at: (0..n_demands).collect(),
            weight: 0.0,
            work: 0,
        };
        for demand in &demands[..n_demands] {
            demand.columns.iter().for_each(|c| exchange.gain[*c] += 1);
        }
        search.best.iter().for_each(|c| exchange.take(*c, 0));
        exchange
    }

    /// Drops what a cover does not need; false when the choice is no cover.
    fn settle(&mut self, step: u64) -> bool {
        while self.lacking.is_empty() {
            let needless = self.chosen.iter().copied().filter(|c| self.gain[*c] == 0);
            let heaviest = needless.max_by(|a, b| {
                let weights = &self.search.part.weights;
                weights[*a].total_cmp(&weights[*b]).then(b.cmp(a))
            });
            match heaviest {
                Some(column) => self.leave(column, step),
                None => return true,
            }
        }
        false
    }

    /// Leaves out one column, two from a cover, and takes others for what is lacking while that
    /// stays lighter than `best`.
    fn change(&mut self, step: u64, best: f64, numbers: &mut Numbers) {
        if self.lacking.is_empty() {
            self.leave_least(step);
        }
        self.leave_least(step);
        while !self.lacking.is_empty() {
            let demand = self.lacking[numbers.below(self.lacking.len())];
            let Some(column) = self.best_of(demand, step) else {
                break;
            };
            if !self
                .search
                .lighter(self.weight + self.search.part.weights[column], best)
            {
                break;
            }
            self.take(column, step);
            self.burden();
        }
    }

    /// Leaves out the column that is missed least for its weight, of equal ones that which has been
    /// inside longest; not one that has just been taken.
    fn leave_least(&mut self, step: u64) {
        self.work += self.chosen.len();
        let mut least = (f64::INFINITY, u64::MAX, None);
        for &column in &self.chosen {
            let missed = self.gain[column] as f64 * self.per_weight[column];
            let key = (missed, self.since[column]);
            if key < (least.0, least.1) && self.since[column] + 1 < step {
                least = (key.0, key.1, Some(column));
            }
        }
        if let Some(column) = least.2 {
            self.leave(column, step);
        }
    }

    /// The column of `demand` outside that serves most for its weight, of equal ones that which has
    /// been outside longest; not one that has just been left out.
    fn best_of(&mut self, demand: usize, step: u64) -> Option<usize> {
        self.work += self.search.part.demands[demand].columns.len();
        let mut most = (-1.0, u64::MAX, None);
        for &column in &self.search.part.demands[demand].columns {
            let served = self.gain[column] as f64 * self.per_weight[column];
            let better = served > most.0 || (served == most.0 && self.since[column] < most.1);
            if better && !self.inside[column] && self.since[column] != step {
                most = (served, self.since[column], Some(column));
            }
        }
        most.2
    }

    /// What is lacking grows heavier.
    fn burden(&mut self) {
        for &demand in &self.lacking {
            self.heaviness[demand] += 1;
            let columns = &self.search.part.demands[demand].columns;
            self.work += columns.len();
            columns.iter().for_each(|c| self.gain[*c] += 1);
        }
    }

    fn take(&mut self, column: usize, step: u64) {
        self.inside[column] = true;
        self.since[column] = step;
        self.chosen_at[column] = self.chosen.len();
        self.chosen.push(column);
        self.weight += self.search.part.weights[column];
        let mut missed = 0;
        for &d in self.search.serves.of(column) {
            let demand = d as usize;
            if demand >= self.n_demands {
                continue;
            }
            let heaviness = self.heaviness[demand];
            self.lacks[demand] -= 1;
            match self.lacks[demand] {
                0 => {
                    self.met(demand);
                    self.add_to(demand, false, -heaviness);
                }
                -1 => self.add_to(demand, true, -heaviness),
                _ => {}
            }
            missed += if self.lacks[demand] >= 0 {
                heaviness
            } else {
                0
            };
        }
        self.gain[column] = missed;
    }

    fn leave(&mut self, column: usize, step: u64) {
        self.inside[column] = false;
        self.since[column] = step;
        let place = self.chosen_at[column];
        self.chosen.swap_remove(place);
        if let Some(moved) = self.chosen.get(place) {
            self.chosen_at[*moved] = place;
        }
        self.weight -= self.search.part.weights[column];
        let mut served = 0;
        for &d in self.search.serves.of(column) {
            let demand = d as usize;
            if demand >= self.n_demands {
                continue;
            }
            let heaviness = self.heaviness[demand];
            self.lacks[demand] += 1;
            match self.lacks[demand] {
                1 => {
                    self.lacking_at[demand] = self.lacking.len();
                    self.lacking.push(demand);
                    self.add_to(demand, false, heaviness);
                }
                0 => self.add_to(demand, true, heaviness),
                _ => {}
            }
            served += if self.lacks[demand] > 0 { heaviness } else { 0 };
        }
        self.gain[column] = served;
    }

    fn met(&mut self, demand: usize) {
        let place = self.lacking_at[demand];
        self.lacking.swap_remove(place);
        if let Some(moved) = self.lacking.get(place) {
            self.lacking_at[*moved] = place;
        }
    }

    /// Adds to the gain of the columns of `demand` that are inside, or of those that are not.
    fn add_to(&mut self, demand: usize, inside: bool, heaviness: i64) {
        let columns = &self.search.part.demands[demand].columns;
        self.work += columns.len();
        for &column in columns {
            if self.inside[column] == inside {
                self.gain[column] += heaviness;
            }
        }
    }
}

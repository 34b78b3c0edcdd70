//! The Lagrangian bound of what is open at a node (see `share`), raised by subgradient steps after
//! M. L. Fisher, "The Lagrangian relaxation method for solving integer programming problems",
//! Management Science 27(1), 1981 (from memory).

use crate::engine::solve::share::branch::{Search, State};

/// How long prices are raised: rounds, the first step's factor, rounds without gain before halving.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    rounds: usize,
    factor: f64,
    patience: usize,
}

impl Effort {
    pub(super) const ROOT: Effort = Effort {
        rounds: 400,
        factor: 1.5,
        patience: 12,
    };
    pub(super) const NODE: Effort = Effort {
        rounds: 24,
        factor: 0.5,
        patience: 4,
    };
}

/// A bound, with what it says of the free columns.
pub(super) struct Raised {
    pub bound: f64,
    /// Places of the free columns.
    pub columns: Vec<usize>,
    /// Their weights less what their rows pay.
    pub reduced: Vec<f64>,
    /// Which of them the bound takes.
    pub taken: Vec<usize>,
    /// The dearest term it takes and the cheapest it leaves, 0 where there is none below 0.
    pub last: f64,
    pub next: f64,
}

/// What is open at a node, written anew: rows that may still be met, columns still free.
pub(super) struct Rest {
    rows: Vec<usize>,
    /// The free columns of each row, end to end.
    first: Vec<usize>,
    entries: Vec<u32>,
    columns: Vec<usize>,
    weights: Vec<f64>,
    need: Vec<f64>,
    heavy: Vec<f64>,
    /// Rows of each allowance, those of the highest price for their weight first.
    groups: Vec<Vec<u32>>,
    /// What of each allowance is left.
    left: Vec<f64>,
    /// Columns that may still be taken.
    room: usize,
    /// What is taken weighs.
    taken: f64,
}

/// One evaluation of the bound.
struct Value {
    bound: f64,
    reduced: Vec<f64>,
    /// Free columns taken, by increasing reduced weight.
    taken: Vec<usize>,
    last: f64,
    next: f64,
    /// How much each row lacks: its need as far as it is not left short, less columns taken.
    lacks: Vec<f64>,
}

impl Search<'_> {
    pub(super) fn rest(&mut self) -> Rest {
        let columns: Vec<usize> = self.free_columns();
        let mut place = vec![u32::MAX; self.state.len()];
        (columns.iter().zip(0..)).for_each(|(column, new)| place[*column] = new);
        let part = self.part;
        let mut rest = Rest {
            rows: Vec::new(),
            first: vec![0],
            entries: Vec::new(),
            weights: columns.iter().map(|column| part.weights[*column]).collect(),
            need: Vec::new(),
            heavy: Vec::new(),
            groups: vec![Vec::new(); part.most.len()],
            left: (part.most.iter().zip(&self.lost))
                .map(|(most, lost)| most.saturating_sub(*lost) as f64)
                .collect(),
            room: self.limit - self.n_in,
            taken: self.weight,
            columns,
        };
        for (row, open) in part.rows.iter().enumerate() {
            if self.lacks[row] <= 0 || self.free[row] < self.lacks[row] {
                continue;
            }
            if let Some(group) = open.group {
                rest.groups[group].push(rest.rows.len() as u32);
            }
            rest.rows.push(row);
            rest.need.push(f64::from(self.lacks[row]));
            rest.heavy.push(part.heavy[row] as f64);
            let free = open.columns.iter().map(|column| place[*column]);
            rest.entries.extend(free.filter(|new| *new != u32::MAX));
            rest.first.push(rest.entries.len());
            self.work += open.columns.len() as u64;
        }
        rest
    }

    /// First prices: of each row the least weight at which one of its columns serves as heavy a
    /// row.
    pub(super) fn first_prices(&mut self) -> Vec<f64> {
        let rows = &self.part.rows;
        let soft = rows.iter().filter(|row| row.group.is_some()).count();
        let all: u64 = (rows.iter().zip(&self.part.heavy))
            .map(|(row, heavy)| row.group.map_or(0, |_| *heavy))
            .sum();
        let mean = (all as f64 / soft.max(1) as f64).max(1.0);
        let size = |row: usize| match rows[row].group {
            Some(_) => self.part.heavy[row] as f64 / mean,
            None => 1.0,
        };
        let serves = self.part.serves.iter();
        let served: Vec<f64> = serves
            .map(|rows| rows.iter().map(|row| size(*row)).sum::<f64>())
            .collect();
        let share = |column: &usize| self.part.weights[*column] / served[*column].max(1e-9);
        let price = |row: usize| {
            let shares = rows[row].columns.iter().map(share);
            shares.fold(f64::INFINITY, f64::min) * size(row)
        };
        let price = (0..rows.len()).map(price);
        price.map(|price| price.min(1e12)).collect()
    }

    /// Raises the bound; leaves the best prices in `prices`, one for each row of the part.
    pub(super) fn raise(&mut self, prices: &mut [f64], effort: Effort) -> Raised {
        let mut rest = self.rest();
        let mut trial: Vec<f64> = rest.rows.iter().map(|row| prices[*row]).collect();
        let mut best: Option<(Value, Vec<f64>)> = None;
        let (mut factor, mut idle) = (effort.factor, 0);
        for round in 0..effort.rounds {
            // Rows are put in order as well, which takes about as long as so many entries.
            self.work += (rest.entries.len() + 8 * rest.rows.len()) as u64;
            let value = rest.value(&trial);
            let before = best.as_ref().map_or(f64::NEG_INFINITY, |best| best.0.bound);
            idle += 1;
            if value.bound > before + 1e-6 * before.abs().min(1e12) {
                idle = 0;
            }
            let square: f64 = (value.lacks.iter().zip(&trial))
                .filter(|(lacks, price)| **lacks > 0.0 || **price > 0.0)
                .map(|(lacks, _)| lacks * lacks)
                .sum();
            let gap = self.to_close() - value.bound;
            let (closed, lacks) = (self.closed(value.bound), value.lacks.clone());
            if value.bound > before {
                best = Some((value, trial.clone()));
            }
            let asked = round % 64 == 63 && !(self.go_on)(self.nodes);
            self.stopped |= asked;
            if closed || square == 0.0 || factor < 1e-3 || asked {
                break;
            }
            if idle >= effort.patience {
                (factor, idle) = (factor / 2.0, 0);
                if let Some((_, kept)) = &best {
                    trial.clone_from(kept);
                }
                continue;
            }
            let step = factor * gap.max(1e-3 * self.to_close().abs()) / square;
            for (price, lacks) in trial.iter_mut().zip(&lacks) {
                *price = (*price + step * lacks).max(0.0);
            }
        }
        let (value, kept) = best.expect("a bound is looked at once or more");
        (rest.rows.iter().zip(&kept)).for_each(|(row, price)| prices[*row] = *price);
        Raised {
            bound: value.bound,
            taken: value.taken,
            reduced: value.reduced,
            last: value.last,
            next: value.next,
            columns: rest.columns,
        }
    }

    /// Decides free columns whose other choice the bound rules out; false when that cannot be.
    pub(super) fn fix(&mut self, raised: &Raised) -> bool {
        let mut taken = vec![false; raised.columns.len()];
        raised.taken.iter().for_each(|place| taken[*place] = true);
        for (place, column) in raised.columns.iter().enumerate() {
            if self.state[*column] != State::Free {
                continue;
            }
            let reduced = raised.reduced[place];
            let (other, state) = match taken[place] {
                true => (raised.next - reduced, State::In),
                false => (reduced - raised.last, State::Out),
            };
            if self.closed(raised.bound + other) && !self.decide(*column, state) {
                return false;
            }
        }
        true
    }
}

impl Rest {
    fn value(&mut self, prices: &[f64]) -> Value {
        let mut reduced = self.weights.clone();
        for (row, price) in prices.iter().enumerate().filter(|(_, price)| **price > 0.0) {
            for column in &self.entries[self.first[row]..self.first[row + 1]] {
                reduced[*column as usize] -= price;
            }
        }
        let mut met = vec![1.0; prices.len()];
        self.leave_short(prices, &mut met);
        let lacks: Vec<f64> = self.need.iter().zip(&met).map(|(n, m)| n * m).collect();
        let owed: f64 = lacks
            .iter()
            .zip(prices)
            .map(|(lacks, price)| lacks * price)
            .sum();
        let below = (0..reduced.len()).filter(|column| reduced[*column] < 0.0);
        let mut taken: Vec<usize> = below.collect();
        taken.sort_by(|a, b| reduced[*a].total_cmp(&reduced[*b]).then(a.cmp(b)));
        let next = taken.get(self.room).map_or(0.0, |column| reduced[*column]);
        taken.truncate(self.room);
        let last = match self.room {
            0 => f64::NEG_INFINITY,
            room => taken.get(room - 1).map_or(0.0, |column| reduced[*column]),
        };
        let mut value = Value {
            bound: self.taken + owed + taken.iter().map(|c| reduced[*c]).sum::<f64>(),
            reduced,
            last,
            next,
            lacks,
            taken,
        };
        let mut inside = vec![0.0; value.reduced.len()];
        value.taken.iter().for_each(|column| inside[*column] = 1.0);
        for (row, lacks) in value.lacks.iter_mut().enumerate() {
            let columns = &self.entries[self.first[row]..self.first[row + 1]];
            let taken = columns.iter().map(|column| inside[*column as usize]);
            *lacks -= taken.sum::<f64>();
        }
        value
    }

    /// Leaves short what costs most for its weight, as far as the allowances go.
    fn leave_short(&mut self, prices: &[f64], met: &mut [f64]) {
        for (group, left) in self.groups.iter_mut().zip(&self.left) {
            let dear = |row: &u32| {
                let row = *row as usize;
                self.need[row] * prices[row] / self.heavy[row].max(1.0)
            };
            group.sort_by(|a, b| dear(b).total_cmp(&dear(a)).then(a.cmp(b)));
            let mut left = *left;
            for row in group.iter().map(|row| *row as usize) {
                let heavy = self.heavy[row].max(1.0);
                if left <= 0.0 {
                    break;
                }
                met[row] = (1.0 - left / heavy).max(0.0);
                left -= heavy;
            }
        }
    }
}

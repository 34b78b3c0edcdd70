//! Closes a small part by dynamic programming: column after column is taken or left, and choices
//! that leave the same demands lacking are one.
//!
//! What is lacking is kept only for the demands between their first and last column, so the order
//! of the columns keeps those few; rooms in a row make a long and narrow part. Where the columns
//! still to come of one demand are all among those of another, the other lacks no less than the
//! one, so that many choices come to leave the same. A choice is dropped when the Lagrangian bound
//! of what it lacks shows that it betters nothing, as T. L. Morin and R. E. Marsten do in
//! "Branch-and-bound strategies for dynamic programming", Operations Research 24(4), 1976 (from
//! memory).

use crate::engine::solve::cover::bound::Raised;
use crate::engine::solve::cover::reduce::Demand;
use crate::engine::solve::cover::search::Search;

/// Most choices of a sweep in all, of which eight bytes each are kept: of one that is quickly done
/// and of one that may take long.
pub(super) const QUICK: usize = 400_000;
pub(super) const LONG: usize = 20_000_000;
/// No more choices than this part of those in all are kept beside one another.
const WIDTH_SHARE: usize = 50;
/// Most columns of a part that is swept.
const MOST_COLUMNS: usize = 1000;
/// Most demands open at a time.
const MOST_OPEN: usize = 64;
/// Choices that are as much work as a node of branch and bound.
const CHOICES_A_NODE: usize = 200;
/// Choices between questions whether to go on.
const ASK_EVERY: usize = 50_000;

/// Choices that leave the same lacking.
#[derive(Clone, Copy)]
struct Choice {
    /// What each open demand still lacks, in the bits of its slot.
    lacks: u128,
    weight: f64,
    /// How many columns have been taken.
    count: u32,
    /// The lightest choice before, by its place, and whether the column was taken.
    from: u32,
    taken: bool,
}

/// One step of the sweep: a column, and what it does to the open demands.
struct Step {
    column: usize,
    /// What the demands need that the column opens, in their slots.
    opens: u128,
    /// All bits of the slots of demands whose last column this is.
    closes: u128,
    /// First bits of the slots of the demands it serves.
    serves: Vec<u32>,
    /// First bits of two slots: what the second lacks is at least what the first does, once the
    /// column is decided.
    implied: Vec<(u32, u32)>,
    /// The price of what each slot lacks after the step, by first bit.
    prices: Vec<(u32, f64)>,
    /// What the bound counts of what comes after: negative reduced weights of later columns, and
    /// prices of demands that are not open yet.
    after: f64,
}

/// Where the demands of a part stand in the bits of [`Choice::lacks`].
struct Slots {
    /// Bits of a slot.
    bits: u32,
    /// The first bit of each demand's slot, and the demands of the slots in use.
    of: Vec<Option<u32>>,
    open: Vec<Option<usize>>,
}

impl Slots {
    fn new(n_demands: usize, most_need: usize) -> Self {
        let bits = (usize::BITS - most_need.leading_zeros()).max(1);
        Slots {
            bits,
            of: vec![None; n_demands],
            open: vec![None; MOST_OPEN.min((u128::BITS / bits) as usize)],
        }
    }

    /// The first bit of a slot for `demand`; none when all are in use.
    fn take(&mut self, demand: usize) -> Option<u32> {
        if self.of[demand].is_none() {
            let slot = self.open.iter().position(Option::is_none)?;
            self.open[slot] = Some(demand);
            self.of[demand] = Some(slot as u32 * self.bits);
        }
        self.of[demand]
    }

    fn leave(&mut self, demand: usize) {
        if let Some(first) = self.of[demand] {
            self.open[(first / self.bits) as usize] = None;
        }
    }

    fn mask(&self) -> u128 {
        (1 << self.bits) - 1
    }
}

impl Search<'_> {
    /// Demands that a sweep keeps: not the last one where it lists all columns, which a cover of
    /// the others meets.
    fn swept(&self) -> usize {
        self.part.demands.len() - usize::from(self.part.head > 0.0)
    }

    /// Whether the part is small and narrow enough for a sweep.
    pub(super) fn can_sweep(&self) -> bool {
        if self.part.weights.len() > MOST_COLUMNS {
            return false;
        }
        let demands = &self.part.demands[..self.swept()];
        let mut left: Vec<usize> = demands.iter().map(|d| d.columns.len()).collect();
        let mut slots = self.slots();
        self.order().into_iter().all(|column| {
            let mut served = self.served(column).filter(|d| *d < left.len());
            let fits = served.all(|d| slots.take(d).is_some());
            for d in self.served(column).filter(|d| *d < demands.len()) {
                left[d] -= 1;
                if left[d] == 0 {
                    slots.leave(d);
                }
            }
            fits
        })
    }

    /// Finds the best cover, or that there is none better, and says so; false when that would take
    /// more than `most` choices. `prices` are good prices of the demands, `raised` is of them.
    pub(super) fn sweep(&mut self, prices: &[f64], raised: &Raised, most: usize) -> bool {
        if self.part.weights.len() > MOST_COLUMNS {
            return false;
        }
        let Some(steps) = self.steps(prices, raised) else {
            return false;
        };
        let mut choices = vec![Choice {
            lacks: 0,
            weight: 0.0,
            count: 0,
            from: 0,
            taken: false,
        }];
        let mut before: Vec<Vec<(u32, bool)>> = Vec::new();
        let (mut done, mut asked) = (0, 0);
        let left = usize::try_from(self.budget - self.nodes.min(self.budget));
        let allowed = left
            .unwrap_or(usize::MAX)
            .saturating_mul(CHOICES_A_NODE)
            .min(most);
        for step in &steps {
            choices = self.decided(&choices, step, prices);
            done += choices.len();
            before.push(choices.iter().map(|c| (c.from, c.taken)).collect());
            if done > asked + ASK_EVERY {
                asked = done;
                self.stopped |= !(self.go_on)(self.nodes + (done / CHOICES_A_NODE) as u64);
            }
            if choices.len() * WIDTH_SHARE > most || done > allowed || self.stopped {
                self.nodes += (done / CHOICES_A_NODE) as u64;
                return false;
            }
        }
        self.nodes += (done / CHOICES_A_NODE) as u64;
        // All demands are closed, so at most one choice is left, and it betters the best.
        if let Some(last) = choices.first() {
            self.best_weight = last.weight;
            self.best.clear();
            let mut place = 0;
            for (step, layer) in steps.iter().zip(&before).rev() {
                let (from, taken) = layer[place];
                self.best.extend(taken.then_some(step.column));
                place = from as usize;
            }
        }
        true
    }

    /// The choices after `step`, each once, less those that cannot better the best cover.
    fn decided(&self, choices: &[Choice], step: &Step, prices: &[f64]) -> Vec<Choice> {
        let mask = self.slots().mask();
        let (all_price, all_need) = match self.part.head > 0.0 {
            true => (prices[self.swept()], self.lacks[self.swept()] as f64),
            false => (0.0, 0.0),
        };
        let mut next = Vec::with_capacity(2 * choices.len());
        for (from, choice) in choices.iter().enumerate() {
            let opened = choice.lacks | step.opens;
            for taken in [false, true] {
                let (mut lacks, mut weight, mut count) = (opened, choice.weight, choice.count);
                if taken {
                    weight += self.part.weights[step.column];
                    count += 1;
                    for first in &step.serves {
                        lacks -= u128::from(lacks >> first & mask > 0) << first;
                    }
                }
                if lacks & step.closes != 0 {
                    continue;
                }
                let left = lacks;
                for (one, other) in &step.implied {
                    let (least, has) = (left >> one & mask, lacks >> other & mask);
                    if has < least {
                        lacks += (least - has) << other;
                    }
                }
                let owed = |(first, price): &(u32, f64)| (lacks >> first & mask) as f64 * price;
                let bound = weight
                    + step.after
                    + all_price * (all_need - f64::from(count)).max(0.0)
                    + step.prices.iter().map(owed).sum::<f64>();
                if !self.closed(bound) {
                    next.push(Choice {
                        lacks,
                        weight,
                        count,
                        from: from as u32,
                        taken,
                    });
                }
            }
        }
        next.sort_unstable_by(|a, b| {
            let weights = a.weight.total_cmp(&b.weight);
            let ways = (a.from, a.taken).cmp(&(b.from, b.taken));
            a.lacks.cmp(&b.lacks).then(weights).then(ways)
        });
        next.dedup_by(|b, a| a.lacks == b.lacks);
        next
    }

    fn slots(&self) -> Slots {
        let demands = &self.part.demands[..self.swept()];
        let most = demands.iter().map(|d| d.need).max().unwrap_or(0);
        Slots::new(demands.len(), most)
    }

    /// The columns in an order that keeps few demands open, with what each step needs to know; none
    /// when too many are open at a time.
    fn steps(&self, prices: &[f64], raised: &Raised) -> Option<Vec<Step>> {
        let order = self.order();
        let demands = &self.part.demands[..self.swept()];
        let mut slots = self.slots();
        let coming = Coming::new(&order, demands);
        let mut left: Vec<usize> = demands.iter().map(|d| d.columns.len()).collect();
        let mut steps: Vec<Step> = Vec::new();
        let mut after: f64 = demands
            .iter()
            .zip(prices)
            .map(|(d, p)| d.need as f64 * p)
            .sum();
        after += raised.reduced.iter().map(|r| r.min(0.0)).sum::<f64>();
        for (place, &column) in order.iter().enumerate() {
            let served: Vec<usize> = self.served(column).filter(|d| *d < demands.len()).collect();
            let is_new: Vec<bool> = served.iter().map(|d| slots.of[*d].is_none()).collect();
            let new: Vec<usize> = (served.iter().zip(&is_new))
                .filter_map(|(d, new)| new.then_some(*d))
                .collect();
            let mut opens = 0;
            for &d in &new {
                opens |= (demands[d].need as u128) << slots.take(d)?;
                after -= prices[d] * demands[d].need as f64;
            }
            after -= raised.reduced[column].min(0.0);
            let serves = served.iter().filter_map(|d| slots.of[*d]).collect();
            let mut closes = 0;
            for &d in &served {
                left[d] -= 1;
                if let Some(first) = slots.of[d].filter(|_| left[d] == 0) {
                    closes |= slots.mask() << first;
                    slots.leave(d);
                }
            }
            let open: Vec<(usize, u32)> = slots
                .open
                .iter()
                .flatten()
                .filter_map(|d| Some((*d, slots.of[*d]?)))
                .collect();
            let mut implied = Vec::new();
            for (one, first) in &open {
                let serves_one = served.contains(one);
                for (other, second) in open.iter().filter(|o| o.0 != *one) {
                    let as_before = serves_one == served.contains(other)
                        && !new.contains(one)
                        && !new.contains(other);
                    if !as_before && coming.includes(*other, *one, place + 1) {
                        implied.push((*first, *second));
                    }
                }
            }
            steps.push(Step {
                column,
                opens,
                closes,
                serves,
                implied,
                prices: open.iter().map(|(d, first)| (*first, prices[*d])).collect(),
                after,
            });
        }
        Some(steps)
    }

    /// The columns in an order that keeps few demands open: from an end of the part on, the column
    /// that opens fewest demands more than it closes, of equal ones that of the oldest open demand.
    fn order(&self) -> Vec<usize> {
        let last = self.swept();
        let demands = &self.part.demands[..last];
        let mut left: Vec<usize> = demands.iter().map(|d| d.columns.len()).collect();
        let mut opened = vec![usize::MAX; last];
        let mut placed = vec![false; self.part.weights.len()];
        let mut order = Vec::with_capacity(placed.len());
        let end = self.farthest(self.farthest(0));
        while order.len() < placed.len() {
            let rank = |c: &usize| {
                let (mut opens, mut oldest) = (0, usize::MAX);
                for d in self.served(*c).filter(|d| *d < last) {
                    opens += i64::from(opened[d] == usize::MAX) - i64::from(left[d] == 1);
                    oldest = oldest.min(opened[d]);
                }
                (opens, oldest, *c)
            };
            let waiting = (0..placed.len()).filter(|c| !placed[*c]);
            let next = match order.is_empty() {
                true => Some(end),
                false => waiting.min_by_key(rank),
            };
            let Some(column) = next else { break };
            placed[column] = true;
            for d in self.served(column).filter(|d| *d < last) {
                opened[d] = opened[d].min(order.len());
                left[d] -= 1;
            }
            order.push(column);
        }
        order
    }

    /// A column that is most demands away from this one.
    fn farthest(&self, column: usize) -> usize {
        let last = self.swept();
        let mut known = vec![false; self.part.weights.len()];
        let mut passed = vec![false; last];
        let mut reached = vec![column];
        known[column] = true;
        let mut next = 0;
        while next < reached.len() {
            for d in self.served(reached[next]).filter(|d| *d < last) {
                if std::mem::replace(&mut passed[d], true) {
                    continue;
                }
                for &c in &self.part.demands[d].columns {
                    if !std::mem::replace(&mut known[c], true) {
                        reached.push(c);
                    }
                }
            }
            next += 1;
        }
        reached.last().copied().unwrap_or(column)
    }
}

/// Which columns are still to come of each demand, by their places in the order of a sweep.
struct Coming(Vec<Vec<u64>>);

impl Coming {
    fn new(order: &[usize], demands: &[Demand]) -> Self {
        let mut place = vec![0; order.len()];
        order.iter().enumerate().for_each(|(at, c)| place[*c] = at);
        let set = |demand: &Demand| {
            let mut set = vec![0; order.len().div_ceil(64)];
            let places = demand.columns.iter().map(|c| place[*c]);
            places.for_each(|at| set[at / 64] |= 1_u64 << (at % 64));
            set
        };
        Coming(demands.iter().map(set).collect())
    }

    /// Whether all columns of `small` from this place on are columns of `large`.
    fn includes(&self, large: usize, small: usize, from: usize) -> bool {
        let (large, small) = (&self.0[large], &self.0[small]);
        let first = from / 64;
        (first..small.len()).all(|word| {
            let beside = small[word] & !large[word];
            let passed = if word == first { from % 64 } else { 0 };
            beside >> passed == 0
        })
    }
}

//! Closes a small part by dynamic programming: column after column is taken or left, and choices
//! that leave the same demands lacking are one.
//!
//! What is lacking is kept only for the demands between their first and last column, so the order
//! of the columns keeps those few; rooms in a row make a long and narrow part. A choice is dropped
//! when the Lagrangian bound of what it lacks shows that it betters nothing, as T. L. Morin and
//! R. E. Marsten do in "Branch-and-bound strategies for dynamic programming", Operations Research
//! 24(4), 1976 (from memory).

use crate::engine::solve::cover::bound::Raised;
use crate::engine::solve::cover::search::Search;

/// Most choices kept beside one another.
const WIDTH: usize = 400_000;
/// Most choices in all: eight bytes of each are kept.
const MOST: usize = 20_000_000;
/// Most columns of a part that is swept.
const MOST_COLUMNS: usize = 1000;
/// Most demands open at a time.
const MOST_OPEN: usize = 64;
/// Choices that are as much work as a node of branch and bound.
const CHOICES_A_NODE: usize = 200;

/// Choices that leave the same lacking.
struct Choice {
    /// What each open demand still lacks.
    lacks: Vec<u8>,
    weight: f64,
    /// The lightest choice before, by its place, and whether the column was taken.
    from: u32,
    taken: bool,
}

/// One step of the sweep: a column, and the demands that are open while it is decided.
struct Step {
    column: usize,
    /// Demands in the order of [`Choice::lacks`], those that the column opens last.
    open: Vec<usize>,
    /// Those of `open` whose last column this is.
    closes: Vec<bool>,
    serves: Vec<bool>,
    /// What the bound counts of what comes after: negative reduced weights of later columns, and
    /// prices of demands that are not open yet.
    after: f64,
}

impl Search<'_> {
    /// Whether the part is small and narrow enough for a sweep.
    pub(super) fn can_sweep(&self) -> bool {
        let counted = self.part.demands.iter().all(|d| d.need <= 255);
        if !counted || self.part.weights.len() > MOST_COLUMNS {
            return false;
        }
        let mut left: Vec<usize> = self.part.demands.iter().map(|d| d.columns.len()).collect();
        let mut opened = vec![false; left.len()];
        let mut open = 0;
        self.order().into_iter().all(|column| {
            for d in self.served(column) {
                open += usize::from(!std::mem::replace(&mut opened[d], true));
            }
            let narrow = open <= MOST_OPEN;
            for d in self.served(column) {
                left[d] -= 1;
                open -= usize::from(left[d] == 0);
            }
            narrow
        })
    }

    /// Finds the best cover, or that there is none better, and says so; false when that would take
    /// too many choices. `prices` are good prices of the demands, `raised` is of them.
    pub(super) fn sweep(&mut self, prices: &[f64], raised: &Raised) -> bool {
        if !self.can_sweep() {
            return false;
        }
        let steps = self.steps(prices, raised);
        let first = Choice {
            lacks: Vec::new(),
            weight: 0.0,
            from: 0,
            taken: false,
        };
        let mut choices = vec![first];
        let mut before: Vec<Vec<(u32, bool)>> = Vec::new();
        let mut done = 0;
        let left = usize::try_from(self.budget - self.nodes.min(self.budget));
        let allowed = left
            .unwrap_or(usize::MAX)
            .saturating_mul(CHOICES_A_NODE)
            .min(MOST);
        for step in &steps {
            choices = self.decided(&choices, step, prices);
            done += choices.len();
            before.push(choices.iter().map(|c| (c.from, c.taken)).collect());
            if choices.len() > WIDTH || done > allowed {
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
        let mut next = Vec::with_capacity(2 * choices.len());
        let kept: Vec<usize> = (0..step.open.len()).filter(|i| !step.closes[*i]).collect();
        for (from, choice) in choices.iter().enumerate() {
            let new = step.open[choice.lacks.len()..].iter();
            let mut lacks = choice.lacks.clone();
            lacks.extend(new.map(|d| self.part.demands[*d].need as u8));
            for taken in [false, true] {
                let mut weight = choice.weight;
                if taken {
                    weight += self.part.weights[step.column];
                    let served = lacks.iter_mut().zip(&step.serves).filter(|(_, s)| **s);
                    served.for_each(|(lack, _)| *lack = lack.saturating_sub(1));
                }
                let met = |i: usize| !step.closes[i] || lacks[i] == 0;
                let owed = |i: &usize| prices[step.open[*i]] * f64::from(lacks[*i]);
                let bound = weight + step.after + kept.iter().map(owed).sum::<f64>();
                if (0..lacks.len()).all(met) && !self.closed(bound) {
                    next.push(Choice {
                        lacks: kept.iter().map(|i| lacks[*i]).collect(),
                        weight,
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

    /// The columns in an order that keeps few demands open, with what each step needs to know.
    fn steps(&self, prices: &[f64], raised: &Raised) -> Vec<Step> {
        let order = self.order();
        let mut left: Vec<usize> = self.part.demands.iter().map(|d| d.columns.len()).collect();
        let mut open: Vec<usize> = Vec::new();
        let mut steps: Vec<Step> = Vec::new();
        for column in order {
            let new = self.served(column).filter(|d| !open.contains(d));
            open.extend(new.collect::<Vec<usize>>());
            self.served(column).for_each(|d| left[d] -= 1);
            let serves = open.iter().map(|d| self.served(column).any(|s| s == *d));
            steps.push(Step {
                column,
                serves: serves.collect(),
                closes: open.iter().map(|d| left[*d] == 0).collect(),
                open: open.clone(),
                after: 0.0,
            });
            open.retain(|d| left[*d] > 0);
        }
        let mut after = 0.0;
        for place in (0..steps.len()).rev() {
            steps[place].after = after;
            after += raised.reduced[steps[place].column].min(0.0);
            let opened_before = place.checked_sub(1).map(|p| &steps[p]);
            let known = opened_before.map_or(0, |p| p.closes.iter().filter(|c| !**c).count());
            for &d in &steps[place].open[known..] {
                after += prices[d] * self.part.demands[d].need as f64;
            }
        }
        steps
    }

    /// The columns in an order that keeps few demands open: from an end of the part on, the column
    /// that opens fewest demands more than it closes, of equal ones that of the oldest open demand.
    fn order(&self) -> Vec<usize> {
        // The demand that lists all columns is open all the time.
        let last = self.part.demands.len() - usize::from(self.part.head > 0.0);
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
        let last = self.part.demands.len() - usize::from(self.part.head > 0.0);
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

//! The linear relaxation of a small part, by the dual simplex method on a dense table.
//!
//! Prices of demands are wanted and nothing else: the bound is worked out anew from them, so that
//! it is true however they were rounded. After C. E. Lemke, "The dual method of solving the linear
//! programming problem", Naval Research Logistics Quarterly 1(1), 1954, with upper limits by
//! complement; the row to leave by its violation against its length, as J. J. Forrest and D.
//! Goldfarb do in Mathematical Programming 57, 1992 (both from memory).

use crate::engine::solve::cover::part::Part;

/// Most entries of the table.
const MOST_ENTRIES: usize = 600_000;
/// Steps between questions whether to go on.
const ASK_EVERY: usize = 200;
/// A violation or an entry below this is none.
const SMALL: f64 = 1e-9;
/// Weights are spread by up to this share of the greatest, so that few of them tie.
const SPREAD: f64 = 1e-8;

/// A solution of the relaxation.
pub(super) struct Relaxed {
    /// Of each demand.
    pub prices: Vec<f64>,
    /// How much of each column is taken, 0 to 1.
    pub shares: Vec<f64>,
}

/// Each basic quantity is written by those that are not: `value + entries * others`, the others
/// being 0. Columns lie from 0 to 1, or from 1 to 0 where complemented; surpluses of demands are 0
/// or more.
struct Table {
    width: usize,
    entries: Vec<f64>,
    values: Vec<f64>,
    /// Squared length of each row.
    lengths: Vec<f64>,
    /// What one more of each of the others adds to the weight.
    adds: Vec<f64>,
    /// Which quantity each row and each place is of: columns first, then surpluses.
    rows: Vec<usize>,
    places: Vec<usize>,
    complemented: Vec<bool>,
}

/// Prices and shares at the optimum; none when the part is too large, too many steps are needed or
/// `go_on`, asked now and then, says no.
pub(super) fn relax(part: &Part, go_on: &dyn Fn() -> bool) -> Option<Relaxed> {
    let (width, height) = (part.weights.len(), part.demands.len());
    if width * height > MOST_ENTRIES {
        return None;
    }
    let mut table = Table::new(part);
    for step in 1..4 * (width + height) {
        if step % ASK_EVERY == 0 && !go_on() {
            return None;
        }
        match table.leaving() {
            None => return Some(table.solution(height)),
            Some(row) => table.exchange(row)?,
        }
    }
    None
}

impl Table {
    fn new(part: &Part) -> Self {
        let (width, height) = (part.weights.len(), part.demands.len());
        let mut entries = vec![0.0; width * height];
        for (d, demand) in part.demands.iter().enumerate() {
            demand
                .columns
                .iter()
                .for_each(|c| entries[d * width + c] = 1.0);
        }
        let spread = SPREAD * part.weights.iter().copied().fold(0.0, f64::max);
        // Parts of the golden ratio lie apart.
        let part_of = |c: usize| (c as f64 * 0.618_033_988_749_895).fract();
        let weights = part.weights.iter().enumerate();
        Table {
            width,
            entries,
            values: part.demands.iter().map(|d| -(d.need as f64)).collect(),
            lengths: part
                .demands
                .iter()
                .map(|d| 1.0 + d.columns.len() as f64)
                .collect(),
            adds: weights
                .map(|(c, w)| w + spread * (0.5 + part_of(c)))
                .collect(),
            rows: (width..width + height).collect(),
            places: (0..width).collect(),
            complemented: vec![false; width + height],
        }
    }

    /// The row furthest out of its limits for its length.
    fn leaving(&mut self) -> Option<usize> {
        let mut worst = (0.0, None);
        for (row, value) in self.values.iter().enumerate() {
            let above = match self.rows[row] < self.width {
                true => value - 1.0,
                false => f64::NEG_INFINITY,
            };
            let out = above.max(-value);
            let measure = out * out / self.lengths[row];
            if out > SMALL && measure > worst.0 {
                worst = (measure, Some(row));
            }
        }
        let row = worst.1?;
        if self.values[row] > 0.0 {
            self.complemented[self.rows[row]] ^= true;
            self.values[row] = 1.0 - self.values[row];
            let entries = &mut self.entries[row * self.width..][..self.width];
            entries.iter_mut().for_each(|e| *e = -*e);
        }
        Some(row)
    }

    /// Puts the quantity that first becomes free into the place of that of `row`; none when there
    /// is no such.
    fn exchange(&mut self, row: usize) -> Option<()> {
        let width = self.width;
        let mut pivot: Vec<f64> = self.entries[row * width..][..width].to_vec();
        let mut least = (f64::INFINITY, 0.0, None);
        for (place, entry) in pivot.iter().enumerate().filter(|(_, e)| **e > 1e-7) {
            let ratio = self.adds[place] / entry;
            if ratio < least.0 || (ratio == least.0 && *entry > least.1) {
                least = (ratio, *entry, Some(place));
            }
        }
        let place = least.2?;
        let by = pivot[place];
        pivot.iter_mut().for_each(|e| *e /= -by);
        pivot[place] = 1.0 / by;
        let value = -self.values[row] / by;
        for (other, entries) in self.entries.chunks_exact_mut(width).enumerate() {
            let factor = entries[place];
            if other == row || factor.abs() < SMALL {
                entries[place] = 0.0;
                continue;
            }
            entries[place] = 0.0;
            let mut length = 1.0;
            for (entry, p) in entries.iter_mut().zip(&pivot) {
                *entry += factor * p;
                length += *entry * *entry;
            }
            self.lengths[other] = length;
            self.values[other] += factor * value;
        }
        let factor = std::mem::replace(&mut self.adds[place], 0.0);
        for (add, p) in self.adds.iter_mut().zip(&pivot) {
            *add = (*add + factor * p).max(0.0);
        }
        self.lengths[row] = 1.0 + pivot.iter().map(|p| p * p).sum::<f64>();
        self.entries[row * width..][..width].copy_from_slice(&pivot);
        self.values[row] = value;
        std::mem::swap(&mut self.rows[row], &mut self.places[place]);
        Some(())
    }

    fn solution(&self, height: usize) -> Relaxed {
        let mut prices = vec![0.0; height];
        for (place, quantity) in self.places.iter().enumerate() {
            if let Some(demand) = quantity.checked_sub(self.width) {
                prices[demand] = self.adds[place];
            }
        }
        let mut values = vec![0.0; self.width];
        for (quantity, value) in self.rows.iter().zip(&self.values) {
            if *quantity < self.width {
                values[*quantity] = *value;
            }
        }
        let shares = values.iter().zip(&self.complemented);
        Relaxed {
            prices,
            shares: shares.map(|(v, c)| if *c { 1.0 - v } else { *v }).collect(),
        }
    }
}

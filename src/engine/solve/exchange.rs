//! The best choice of so many columns that exchanging them one by one finds: what then stays unmet
//! weighs least. It proves nothing. The answer depends neither on time nor on chance. No domain
//! words.

use std::cmp::Reverse;

use crate::engine::solve::allowance::{Allowance, unmet};
use crate::engine::solve::cover::CoverProblem;

/// What a row weighs while it is unmet: the first figure decides, the second among equals.
pub type Weight = [u64; 2];

/// How to search. `max_work` counts entries of rows and columns looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ExchangeOptions<'a> {
    /// Columns chosen at most, the fixed ones included.
    pub size: usize,
    pub max_work: u64,
    /// Their rows count as second figures, by the weights they have here and as far as those that
    /// are unmet go beyond what may be.
    pub allowances: &'a [Allowance],
}

/// A choice and what it leaves unmet.
#[derive(Debug, Clone, PartialEq)]
pub struct Exchanged {
    /// Places of the chosen columns, sorted.
    pub chosen: Vec<usize>,
    /// Places of the rows with fewer columns than they need, sorted.
    pub unmet: Vec<usize>,
    pub lost: Weight,
    /// Whether the search ran to its end: no exchange of one column makes it better.
    pub settled: bool,
}

/// Searches from each of `starts` (choices of columns, at most so many), from the fixed columns
/// alone and, while work is left, from each column; `weights` has one figure for each row. Among
/// choices that lose the same, the cheaper is preferred, then the one found first. `go_on` is asked
/// now and then.
pub fn exchange(
    problem: &CoverProblem,
    weights: &[Weight],
    starts: &[Vec<usize>],
    options: ExchangeOptions<'_>,
    go_on: &dyn Fn() -> bool,
) -> Exchanged {
    let mut search = Search::new(problem, weights, options, go_on);
    let mut ranked: Vec<(Key, &[usize])> = Vec::new();
    for start in starts {
        search.stand_at(start);
        ranked.push((search.key(), start));
    }
    ranked.sort_by_key(|(key, _)| *key);
    search.stand_at(&[]);
    search.fill();
    search.improve();
    let (mut best, mut key) = (search.chosen(), search.key());
    let mut look_from = |search: &mut Search<'_>, start: &[usize]| {
        search.stand_at(start);
        search.fill();
        search.improve();
        if search.key() < key {
            (best, key) = (search.chosen(), search.key());
        }
    };
    for (_, start) in ranked {
        if !search.is_over() {
            look_from(&mut search, start);
        }
    }
    let settled = !search.is_over();
    // Work that is left goes into choices that begin with each column in turn.
    let n_fixed = search.fixed.iter().filter(|fixed| **fixed).count();
    for column in 0..problem.columns.len() {
        let half_spent = search.work > options.max_work / 2;
        if n_fixed < options.size && !half_spent && !search.is_over() {
            look_from(&mut search, &[column]);
        }
    }
    search.stand_at(&best);
    Exchanged {
        unmet: unmet(problem, &best),
        lost: search.lost(),
        chosen: best,
        settled,
    }
}

/// What is lost, then what it costs, in hundredths.
type Key = (Weight, u64);

struct Search<'a> {
    problem: &'a CoverProblem,
    weights: Vec<Weight>,
    options: ExchangeOptions<'a>,
    go_on: &'a dyn Fn() -> bool,
    rows_of: Vec<Vec<usize>>,
    fixed: Vec<bool>,
    costs: Vec<u64>,
    taken: Vec<bool>,
    /// Columns of each row that are taken.
    count: Vec<u32>,
    /// The allowance of each row, by its place.
    allowance: Vec<Option<usize>>,
    /// What is unmet of each allowance, and of the rows in none.
    short: Vec<u64>,
    lost: Weight,
    work: u64,
    stopped: bool,
}

impl<'a> Search<'a> {
    fn new(
        problem: &'a CoverProblem,
        weights: &[Weight],
        options: ExchangeOptions<'a>,
        go_on: &'a dyn Fn() -> bool,
    ) -> Self {
        let mut weights = weights.to_vec();
        let mut allowance = vec![None; weights.len()];
        for (idx, one) in options.allowances.iter().enumerate() {
            for (row, weight) in one.rows.iter().zip(&one.weights) {
                (weights[*row], allowance[*row]) = ([0, *weight], Some(idx));
            }
        }
        let n = problem.columns.len();
        let mut rows_of = vec![Vec::new(); n];
        for (row, of) in problem.rows.iter().enumerate() {
            for column in of.columns.iter().filter(|column| **column < n) {
                rows_of[*column].push(row);
            }
        }
        let mut fixed = vec![false; n];
        for column in problem.fixed.iter().filter(|column| **column < n) {
            fixed[*column] = true;
        }
        let hundredths = |cost: f64| (cost.max(0.0) * 100.0).round() as u64;
        let columns = problem.columns.iter();
        Search {
            problem,
            weights,
            options,
            go_on,
            rows_of,
            fixed,
            costs: columns.map(|column| hundredths(column.cost)).collect(),
            taken: vec![false; n],
            count: vec![0; problem.rows.len()],
            allowance,
            short: vec![0; options.allowances.len()],
            lost: [0, 0],
            work: 0,
            stopped: false,
        }
    }

    /// Takes the fixed columns and those of `start`, no others.
    fn stand_at(&mut self, start: &[usize]) {
        self.taken.fill(false);
        self.count.fill(0);
        self.lost = [0, 0];
        self.short.fill(0);
        for row in 0..self.count.len() {
            if self.problem.rows[row].need > 0 {
                self.lose(row);
            }
        }
        let fixed = (0..self.fixed.len()).filter(|column| self.fixed[*column]);
        let all: Vec<usize> = fixed.chain(start.iter().copied()).collect();
        for column in all {
            if column < self.taken.len() && !self.taken[column] {
                self.add(column);
            }
        }
    }

    fn key(&self) -> Key {
        let taken = (0..self.taken.len()).filter(|column| self.taken[*column]);
        (self.lost(), taken.map(|column| self.costs[column]).sum())
    }

    /// What the unmet rows weigh, of each allowance what goes beyond it.
    fn lost(&self) -> Weight {
        let short = self.short.iter().zip(self.options.allowances);
        let beyond = short.map(|(short, one)| short.saturating_sub(one.most));
        plus(self.lost, [0, beyond.sum()])
    }

    fn lose(&mut self, row: usize) {
        match self.allowance[row] {
            Some(idx) => self.short[idx] += self.weights[row][1],
            None => self.lost = plus(self.lost, self.weights[row]),
        }
    }

    fn win(&mut self, row: usize) {
        match self.allowance[row] {
            Some(idx) => self.short[idx] -= self.weights[row][1],
            None => self.lost = minus(self.lost, self.weights[row]),
        }
    }

    /// Whether a row may be unmet as things stand.
    fn may_be_unmet(&self, row: usize) -> bool {
        self.allowance[row].is_some_and(|idx| self.short[idx] <= self.options.allowances[idx].most)
    }

    fn chosen(&self) -> Vec<usize> {
        let all = 0..self.taken.len();
        all.filter(|column| self.taken[*column]).collect()
    }

    fn add(&mut self, column: usize) {
        self.taken[column] = true;
        self.work += self.rows_of[column].len() as u64;
        for place in 0..self.rows_of[column].len() {
            let row = self.rows_of[column][place];
            self.count[row] += 1;
            if self.count[row] == self.problem.rows[row].need {
                self.win(row);
            }
        }
    }

    fn give_up(&mut self, column: usize) {
        self.taken[column] = false;
        self.work += self.rows_of[column].len() as u64;
        for place in 0..self.rows_of[column].len() {
            let row = self.rows_of[column][place];
            if self.count[row] == self.problem.rows[row].need {
                self.lose(row);
            }
            self.count[row] -= 1;
        }
    }

    /// Whether the work is spent, or somebody stopped it.
    fn is_over(&mut self) -> bool {
        self.stopped |= self.work > self.options.max_work || !(self.go_on)();
        self.stopped
    }

    /// Adds the best column again and again while there is room and one helps.
    fn fill(&mut self) {
        let n_taken = self.taken.iter().filter(|taken| **taken).count();
        for _ in n_taken..self.options.size {
            let Some(column) = self.best() else {
                return;
            };
            self.add(column);
        }
    }

    /// The column that makes the loss least; where none does at once, one that brings a row nearer
    /// to what it needs.
    fn best(&mut self) -> Option<usize> {
        let mut gains = vec![([0, 0], 0); self.taken.len()];
        for (row, of) in self.problem.rows.iter().enumerate() {
            if self.count[row] >= of.need || self.may_be_unmet(row) {
                continue;
            }
            self.work += of.columns.len() as u64;
            let last = self.count[row] + 1 == of.need;
            for &column in &of.columns {
                let Some((gain, nearer)) = gains.get_mut(column) else {
                    continue;
                };
                *nearer += 1;
                if last {
                    *gain = plus(*gain, self.weights[row]);
                }
            }
        }
        if !self.short.is_empty() {
            // No more can be gained than is lost; of those that gain as much the cheapest is best.
            let lost = self.lost();
            for (gain, nearer) in gains.iter_mut().filter(|(gain, _)| *gain > [0, 0]) {
                (*gain, *nearer) = ([gain[0], gain[1].min(lost[1])], 1);
            }
        }
        let free = (0..gains.len()).filter(|column| !self.taken[*column]);
        let helps = free.filter(|column| gains[*column].1 > 0);
        helps.max_by_key(|column| (gains[*column], Reverse((self.costs[*column], *column))))
    }

    /// Exchanges one column for a better one until none is better.
    fn improve(&mut self) {
        let mut better = true;
        while better {
            better = false;
            for column in self.chosen() {
                if self.fixed[column] || !self.taken[column] {
                    continue;
                }
                if self.is_over() {
                    return;
                }
                let before = self.key();
                self.give_up(column);
                let other = self.best().unwrap_or(column);
                self.add(other);
                if self.key() < before {
                    better = true;
                } else {
                    self.give_up(other);
                    self.add(column);
                }
            }
        }
    }
}

fn plus(a: Weight, b: Weight) -> Weight {
    [a[0] + b[0], a[1] + b[1]]
}

fn minus(a: Weight, b: Weight) -> Weight {
    [a[0] - b[0], a[1] - b[1]]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::solve::cover::{Column, Row};

    /// Places along a line, each in reach of the columns not farther than `reach` from it.
    fn line(n_rows: usize, n_columns: usize, reach: f64, need: u32) -> CoverProblem {
        let columns = (0..n_columns).map(|column| Column {
            id: format!("{column:03}"),
            cost: (column * 7 % 5) as f64,
        });
        let place = |row: usize| row as f64 * n_columns as f64 / n_rows as f64;
        let rows = (0..n_rows).map(|row| Row {
            id: format!("{row:03}"),
            need,
            columns: (0..n_columns)
                .filter(|column| (place(row) - *column as f64).abs() <= reach)
                .collect(),
        });
        CoverProblem {
            columns: columns.collect(),
            rows: rows.collect(),
            fixed: Vec::new(),
        }
    }

    fn lost(problem: &CoverProblem, weights: &[Weight], chosen: &[usize]) -> Weight {
        let rows = unmet(problem, chosen).into_iter();
        rows.fold([0, 0], |sum, row| plus(sum, weights[row]))
    }

    /// The least that any choice of `size` columns loses.
    fn by_trying_all(problem: &CoverProblem, weights: &[Weight], size: usize) -> Weight {
        fn go(
            problem: &CoverProblem,
            weights: &[Weight],
            from: usize,
            size: usize,
            chosen: &mut Vec<usize>,
        ) -> Weight {
            if chosen.len() == size {
                return lost(problem, weights, chosen);
            }
            let mut least = [u64::MAX, u64::MAX];
            for column in from..problem.columns.len() {
                chosen.push(column);
                least = least.min(go(problem, weights, column + 1, size, chosen));
                chosen.pop();
            }
            least
        }
        go(problem, weights, 0, size, &mut Vec::new())
    }

    fn weights(n_rows: usize) -> Vec<Weight> {
        let weight = |row: usize| match row % 6 {
            0 => [1, 0],
            left => [0, 100 + 13 * left as u64],
        };
        (0..n_rows).map(weight).collect()
    }

    const OPTIONS: ExchangeOptions<'static> = ExchangeOptions {
        size: 3,
        max_work: 10_000_000,
        allowances: &[],
    };

    #[test]
    fn it_loses_no_more_than_the_best_of_all_choices() {
        for (n_rows, reach, need) in [(24, 1.6, 1), (31, 2.2, 1), (24, 2.6, 2), (40, 3.1, 2)] {
            let problem = line(n_rows, 14, reach, need);
            let weights = weights(n_rows);
            let found = exchange(&problem, &weights, &[], OPTIONS, &|| true);
            let least = by_trying_all(&problem, &weights, 3);
            assert_eq!(found.lost, least, "{n_rows} rows, {reach}, {need}");
            assert_eq!(found.lost, lost(&problem, &weights, &found.chosen));
            assert_eq!(found.unmet, unmet(&problem, &found.chosen));
            assert!(found.settled && found.chosen.len() <= 3);
        }
    }

    #[test]
    fn the_first_figure_counts_before_the_second() {
        let mut problem = line(2, 2, 0.1, 1);
        problem.rows[0].columns = vec![0];
        problem.rows[1].columns = vec![1];
        let one = ExchangeOptions { size: 1, ..OPTIONS };
        let found = exchange(&problem, &[[0, 1_000_000], [1, 0]], &[], one, &|| true);
        assert_eq!((found.chosen, found.unmet), (vec![1], vec![0]));
    }

    #[test]
    fn what_is_fixed_stays_and_counts() {
        let mut problem = line(24, 14, 1.6, 1);
        problem.fixed = vec![13];
        let found = exchange(&problem, &weights(24), &[vec![2, 3]], OPTIONS, &|| true);
        assert!(found.chosen.contains(&13) && found.chosen.len() == 3);
    }

    #[test]
    fn a_search_that_is_stopped_says_so_and_still_gives_a_choice() {
        let problem = line(24, 14, 1.6, 1);
        let start = vec![vec![1, 5, 9]];
        let found = exchange(&problem, &weights(24), &start, OPTIONS, &|| false);
        assert!(!found.settled);
        let none = ExchangeOptions {
            max_work: 0,
            ..OPTIONS
        };
        assert!(!exchange(&problem, &weights(24), &start, none, &|| true).settled);
    }
}

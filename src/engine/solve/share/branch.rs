//! Depth-first branch and bound: with the first column of a row, without it but with the second,
//! and so on, at last with none of them.

use crate::engine::solve::share::bound::{Effort, Raised};
use crate::engine::solve::share::part::Part;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum State {
    Free,
    In,
    Out,
}

pub(super) struct Search<'a> {
    pub part: &'a Part,
    pub state: Vec<State>,
    /// What each row still lacks (0 or less: met) and how many free columns it has. It is lost when
    /// these are fewer.
    pub lacks: Vec<i32>,
    pub free: Vec<i32>,
    /// What is lost of each allowance, and what is not met yet.
    pub lost: Vec<u64>,
    open: Vec<u64>,
    /// Rows in no allowance that are lost, and that are not met yet.
    n_lost: usize,
    n_open: usize,
    pub n_in: usize,
    pub weight: f64,
    trail: Vec<usize>,
    /// Columns that may be taken.
    pub limit: usize,
    /// Whether every column weighs 1.
    count: bool,
    /// A choice is sought that weighs less.
    to_beat: f64,
    /// The best choice found, by places in the problem.
    pub found: Option<Vec<usize>>,
    pub nodes: u64,
    pub work: u64,
    budget: u64,
    pub stopped: bool,
    pub go_on: &'a dyn Fn(u64) -> bool,
}

/// How much is sought and may be done.
pub(super) struct Limits {
    /// Columns that may be taken.
    pub columns: usize,
    /// A choice is sought that weighs less.
    pub to_beat: f64,
    /// Whether every column weighs 1.
    pub count: bool,
    /// Entries of rows that may be looked at.
    pub work: u64,
}

impl<'a> Search<'a> {
    pub fn new(part: &'a Part, limits: Limits, go_on: &'a dyn Fn(u64) -> bool) -> Self {
        let mut open = vec![0; part.most.len()];
        for (row, heavy) in part.rows.iter().zip(&part.heavy) {
            row.group.into_iter().for_each(|group| open[group] += heavy);
        }
        Search {
            state: vec![State::Free; part.names.len()],
            lacks: part.rows.iter().map(|row| row.need as i32).collect(),
            free: (part.rows.iter())
                .map(|row| row.columns.len() as i32)
                .collect(),
            lost: vec![0; part.most.len()],
            n_lost: 0,
            n_open: part.rows.iter().filter(|row| row.group.is_none()).count(),
            open,
            n_in: 0,
            weight: 0.0,
            trail: Vec::new(),
            limit: limits.columns,
            count: limits.count,
            to_beat: limits.to_beat,
            found: None,
            nodes: 0,
            work: 0,
            budget: limits.work,
            stopped: false,
            go_on,
            part,
        }
    }

    /// Searches; a bound on every choice, and whether it is the best one's weight.
    pub fn run(&mut self) -> (f64, bool) {
        if self.weight >= self.to_close() {
            return (self.to_beat, true);
        }
        let mut prices = self.first_prices();
        let raised = self.raise(&mut prices, Effort::ROOT);
        let bound = raised.bound;
        self.try_taken(&raised);
        if self.closed(bound) {
            return (self.to_beat, true);
        }
        self.stopped |= self.work >= self.budget;
        if !self.stopped && self.fix(&raised) {
            self.branch(prices);
        }
        match !self.stopped || self.closed(bound) {
            true => (self.to_beat, true),
            false => (bound, false),
        }
    }

    /// What a bound must reach to rule out a better choice.
    pub fn to_close(&self) -> f64 {
        match self.count {
            true => self.to_beat - 1.0 + 1e-6,
            false => self.to_beat - 1e-9 * self.to_beat.max(1.0),
        }
    }

    pub fn closed(&self, bound: f64) -> bool {
        bound >= self.to_close()
    }

    pub fn free_columns(&self) -> Vec<usize> {
        let all = 0..self.state.len();
        all.filter(|column| self.state[*column] == State::Free)
            .collect()
    }

    /// Takes a column or leaves it out; false when no choice is left then.
    pub fn decide(&mut self, column: usize, state: State) -> bool {
        self.state[column] = state;
        self.trail.push(column);
        let is_in = state == State::In;
        let part = self.part;
        if is_in {
            self.n_in += 1;
            self.weight += part.weights[column];
        }
        self.work += part.serves[column].len() as u64;
        for &row in &part.serves[column] {
            self.free[row] -= 1;
            if is_in {
                self.lacks[row] -= 1;
                if self.lacks[row] == 0 {
                    self.open_by(row, false);
                }
            } else if self.lacks[row] > 0 && self.free[row] == self.lacks[row] - 1 {
                self.lost_by(row, true);
            }
        }
        !self.is_dead()
    }

    fn undo_to(&mut self, length: usize) {
        while self.trail.len() > length {
            let Some(column) = self.trail.pop() else {
                return;
            };
            let is_in = self.state[column] == State::In;
            let part = self.part;
            for &row in &part.serves[column] {
                if is_in {
                    if self.lacks[row] == 0 {
                        self.open_by(row, true);
                    }
                    self.lacks[row] += 1;
                } else if self.lacks[row] > 0 && self.free[row] == self.lacks[row] - 1 {
                    self.lost_by(row, false);
                }
                self.free[row] += 1;
            }
            if is_in {
                self.n_in -= 1;
                self.weight -= part.weights[column];
            }
            self.state[column] = State::Free;
        }
    }

    fn open_by(&mut self, row: usize, more: bool) {
        let heavy = self.part.heavy[row];
        match (self.part.rows[row].group, more) {
            (Some(group), true) => self.open[group] += heavy,
            (Some(group), false) => self.open[group] -= heavy,
            (None, true) => self.n_open += 1,
            (None, false) => self.n_open -= 1,
        }
    }

    fn lost_by(&mut self, row: usize, more: bool) {
        let heavy = self.part.heavy[row];
        match (self.part.rows[row].group, more) {
            (Some(group), true) => self.lost[group] += heavy,
            (Some(group), false) => self.lost[group] -= heavy,
            (None, true) => self.n_lost += 1,
            (None, false) => self.n_lost -= 1,
        }
    }

    /// Whether no choice is left: something is lost that must not be, or too much is taken.
    fn is_dead(&self) -> bool {
        let beyond = (self.lost.iter().zip(&self.part.most)).any(|(lost, most)| lost > most);
        self.n_lost > 0 || beyond || self.n_in > self.limit || self.closed(self.weight)
    }

    /// Whether what is taken is enough.
    fn is_met(&self) -> bool {
        let mut open = self.open.iter().zip(&self.part.most);
        self.n_open == 0 && open.all(|(open, most)| open <= most)
    }

    /// Takes what has become forced; false when no choice is left.
    fn propagate(&mut self) -> bool {
        let mut again = true;
        while again && !self.is_dead() {
            again = false;
            for row in 0..self.lacks.len() {
                let is_tight = self.lacks[row] > 0 && self.free[row] == self.lacks[row];
                if !is_tight || !self.must_be_met(row) {
                    continue;
                }
                again = true;
                for place in 0..self.part.rows[row].columns.len() {
                    let column = self.part.rows[row].columns[place];
                    if self.state[column] == State::Free && !self.decide(column, State::In) {
                        return false;
                    }
                }
            }
        }
        !self.is_dead()
    }

    fn must_be_met(&self, row: usize) -> bool {
        let group = self.part.rows[row].group;
        group.is_none_or(|of| self.lost[of] + self.part.heavy[row] > self.part.most[of])
    }

    /// Explores the choices that agree with the present one.
    fn branch(&mut self, mut prices: Vec<f64>) {
        let asked = self.nodes % 64 == 63 && !(self.go_on)(self.nodes);
        self.stopped |= asked || self.work >= self.budget;
        if self.stopped {
            return;
        }
        self.nodes += 1;
        let mark = self.trail.len();
        if self.propagate() {
            if self.is_met() {
                self.keep();
            } else if self.n_in < self.limit {
                let raised = self.raise(&mut prices, Effort::NODE);
                self.try_taken(&raised);
                if !self.closed(raised.bound) && self.fix(&raised) {
                    self.split(&prices, &raised);
                }
            }
        }
        self.undo_to(mark);
    }

    fn split(&mut self, prices: &[f64], raised: &Raised) {
        let Some(row) = self.row_to_split(prices) else {
            return self.branch(prices.to_vec());
        };
        let mut reduced = vec![0.0; self.state.len()];
        let known = raised.columns.iter().zip(&raised.reduced);
        known.for_each(|(column, weight)| reduced[*column] = *weight);
        let of = self.part.rows[row].columns.iter().copied();
        let mut columns: Vec<usize> = of.collect();
        columns.retain(|column| self.state[*column] == State::Free);
        columns.sort_by(|a, b| reduced[*a].total_cmp(&reduced[*b]).then(a.cmp(b)));
        for column in columns {
            let mark = self.trail.len();
            if self.decide(column, State::In) {
                self.branch(prices.to_vec());
            }
            self.undo_to(mark);
            if self.stopped || !self.decide(column, State::Out) {
                return;
            }
        }
        self.branch(prices.to_vec());
    }

    /// The open row with the fewest free columns beyond what it lacks; of these the dearest.
    fn row_to_split(&self, prices: &[f64]) -> Option<usize> {
        let all = 0..self.lacks.len();
        let open = all.filter(|row| self.lacks[*row] > 0 && self.free[*row] >= self.lacks[*row]);
        let slack = |row: usize| self.free[row] - self.lacks[row];
        open.min_by(|&a, &b| {
            let by_price = prices[b].total_cmp(&prices[a]);
            slack(a).cmp(&slack(b)).then(by_price).then(a.cmp(&b))
        })
    }

    /// Keeps what is taken with what a bound takes, where that is enough and better.
    fn try_taken(&mut self, raised: &Raised) {
        let mark = self.trail.len();
        let taken: Vec<usize> = raised
            .taken
            .iter()
            .map(|place| raised.columns[*place])
            .collect();
        for column in taken {
            if self.is_met() || self.state[column] != State::Free {
                break;
            }
            self.decide(column, State::In);
        }
        let is_better = self.is_met() && self.n_in <= self.limit && !self.closed(self.weight);
        if is_better {
            self.keep();
        }
        self.undo_to(mark);
    }

    /// Keeps what is taken as the best choice.
    fn keep(&mut self) {
        let inside = self
            .trail
            .iter()
            .filter(|column| self.state[**column] == State::In);
        let chosen = inside.map(|column| self.part.names[*column]).collect();
        self.found = Some(chosen);
        self.to_beat = self.weight;
        if self.count {
            self.limit = self.n_in.saturating_sub(1);
        }
    }
}

//! Sites shared out among open lines that start at depots, for the least total cost (the open
//! vehicle routing problem with several depots). No domain words.
//!
//! Regret insertion, then local search (chains moved, tails exchanged, stretches turned), exact
//! order of short lines, then neighbourhoods taken out and put back.
//! Deterministic: moves are tried in a fixed order. The bound is the spanning tree's.

mod insertion;
mod moves;

use crate::engine::solve::tour::spanning_tree;

/// What is to be solved. Costs may be infinite where there is no way.
pub struct Problem<'a> {
    /// From each depot to each site.
    pub from_depot: &'a [Vec<f64>],
    /// From site to site, symmetric.
    pub between: &'a [Vec<f64>],
    /// Most lines each depot may have.
    pub n_lines: &'a [usize],
    /// Weight of each site, and the most each depot carries.
    pub weights: &'a [f64],
    pub capacities: &'a [f64],
    /// Whether this depot may have a line through these sites in this order. A line cut short
    /// must stay allowed.
    pub allowed: &'a dyn Fn(usize, &[usize]) -> bool,
    /// Whether to stop improving.
    pub stop: &'a dyn Fn() -> bool,
}

/// A line: its depot and its sites in order.
pub type Line = (usize, Vec<usize>);

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    pub lines: Vec<Line>,
    /// Sites that no line may take.
    pub left_out: Vec<usize>,
    pub cost: f64,
    /// No lines through the same sites can cost less.
    pub bound: f64,
    /// Whether the search was stopped.
    pub stopped: bool,
}

/// Less than this is no gain.
const GAIN: f64 = 1e-6;

/// Finds lines through as many sites as the limits allow, then makes them cheaper.
pub fn solve(problem: &Problem) -> Solution {
    let n = problem.weights.len();
    let mut state = State {
        problem,
        lines: Vec::new(),
    };
    let mut left_out = state.insert((0..n).collect());
    state.improve();
    let rounds = 4000usize.checked_div(n).map_or(0, |most| most.min(2 * n));
    let mut stopped = false;
    for round in 0..rounds {
        if (problem.stop)() {
            stopped = true;
            break;
        }
        let centre = round % n;
        let size = if round < n { n.min(6) } else { n.min(12) };
        let mut near: Vec<usize> = (0..n).collect();
        let far = |site: usize| problem.between[centre][site];
        near.sort_by(|&a, &b| far(a).total_cmp(&far(b)).then(a.cmp(&b)));
        let mut taken: Vec<usize> = near.into_iter().take(size).collect();
        let mut trial = State {
            problem,
            lines: state.lines.clone(),
        };
        trial.take_out(&taken);
        taken.extend(&left_out);
        taken.sort_unstable();
        taken.dedup();
        let still_out = trial.insert(taken);
        if still_out.len() > left_out.len() {
            continue;
        }
        trial.improve();
        if still_out.len() < left_out.len() || trial.cost() < state.cost() - GAIN {
            state.lines = trial.lines;
            left_out = still_out;
        }
    }
    let cost = state.cost();
    let mut lines = state.lines;
    lines.sort();
    Solution {
        bound: bound(problem, &left_out),
        lines,
        left_out,
        cost,
        stopped,
    }
}

fn bound(problem: &Problem, left_out: &[usize]) -> f64 {
    let sites: Vec<usize> = (0..problem.weights.len())
        .filter(|site| !left_out.contains(site))
        .collect();
    let root: Vec<f64> = sites
        .iter()
        .map(|&site| {
            problem
                .from_depot
                .iter()
                .map(|row| row[site])
                .fold(f64::INFINITY, f64::min)
        })
        .collect();
    let between: Vec<Vec<f64>> = sites
        .iter()
        .map(|&a| sites.iter().map(|&b| problem.between[a][b]).collect())
        .collect();
    spanning_tree(&root, &between)
}

struct State<'a> {
    problem: &'a Problem<'a>,
    lines: Vec<Line>,
}

impl State<'_> {
    fn cost(&self) -> f64 {
        self.lines
            .iter()
            .map(|(depot, sites)| self.line_cost(*depot, sites))
            .sum()
    }

    fn line_cost(&self, depot: usize, sites: &[usize]) -> f64 {
        let Some(&first) = sites.first() else {
            return 0.0;
        };
        let between = self.problem.between;
        let hops: f64 = sites.windows(2).map(|pair| between[pair[0]][pair[1]]).sum();
        self.problem.from_depot[depot][first] + hops
    }

    fn allowed(&self, depot: usize, sites: &[usize]) -> bool {
        sites.is_empty()
            || self.line_cost(depot, sites).is_finite() && (self.problem.allowed)(depot, sites)
    }

    /// Weight on a depot, without the lines at two places.
    fn weight(&self, depot: usize, except: &[usize]) -> f64 {
        let others = self
            .lines
            .iter()
            .enumerate()
            .filter(|(at, _)| !except.contains(at));
        others
            .filter(|(_, line)| line.0 == depot)
            .map(|(_, line)| self.weight_of(&line.1))
            .sum()
    }

    fn weight_of(&self, sites: &[usize]) -> f64 {
        sites.iter().map(|&site| self.problem.weights[site]).sum()
    }

    /// Depots that may have one more line.
    fn free_depots(&self) -> Vec<usize> {
        (0..self.problem.n_lines.len())
            .filter(|&depot| {
                let used = self.lines.iter().filter(|line| line.0 == depot).count();
                used < self.problem.n_lines[depot]
            })
            .collect()
    }

    fn take_out(&mut self, sites: &[usize]) {
        for line in &mut self.lines {
            line.1.retain(|site| !sites.contains(site));
        }
        self.lines.retain(|line| !line.1.is_empty());
    }

    /// What a chain costs more at a place of a line; the chain's own cost counts.
    fn put_between(&self, (depot, sites): (usize, &[usize]), place: usize, chain: &[usize]) -> f64 {
        let (Some(&first), Some(&last)) = (chain.first(), chain.last()) else {
            return 0.0;
        };
        let before = place.checked_sub(1).map(|at| sites[at]);
        let after = sites.get(place).copied();
        let own: f64 = chain
            .windows(2)
            .map(|pair| self.problem.between[pair[0]][pair[1]])
            .sum();
        self.link(depot, before, Some(first)) + own + self.link(depot, Some(last), after)
            - self.link(depot, before, after)
    }

    /// From a site, or the depot, to a site; nothing where the line ends.
    fn link(&self, depot: usize, from: Option<usize>, to: Option<usize>) -> f64 {
        match (from, to) {
            (_, None) => 0.0,
            (None, Some(to)) => self.problem.from_depot[depot][to],
            (Some(from), Some(to)) => self.problem.between[from][to],
        }
    }
}

#[cfg(test)]
mod tests;

//! Sites shared out among open lines that start at depots, for the least total cost (the open
//! vehicle routing problem with several depots). No domain words.
//!
//! Regret insertion, then local search (chains moved, tails exchanged, stretches turned), exact
//! order of each line up to [`EXACT_MOST`] sites, then neighbourhoods taken out and put back.
//! Deterministic: moves are tried in a fixed order. The bound is the spanning tree's.

use crate::engine::solve::tour::{EXACT_MOST, shortest_path, spanning_tree};

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

/// The place of a line (or one beyond the last), its depot, and its sites with the new one.
type Placing = (usize, usize, Vec<usize>);

const GAIN: f64 = 1e-6;
const LONGEST_CHAIN: usize = 3;

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

    /// Puts sites where they cost least, first the one that would lose most by waiting; gives
    /// back those that no line may take.
    fn insert(&mut self, mut sites: Vec<usize>) -> Vec<usize> {
        let mut left_out = Vec::new();
        while !sites.is_empty() {
            let mut chosen: Option<(f64, f64, usize, Placing)> = None;
            let mut impossible = None;
            for (place, &site) in sites.iter().enumerate() {
                let mut options = self.options(site);
                if options.is_empty() {
                    impossible = Some(place);
                    break;
                }
                options.sort_by(|a, b| a.0.total_cmp(&b.0));
                let second = options.get(1).map_or(1e6, |option| option.0);
                let (cost, at, depot, line) = options.swap_remove(0);
                let regret = second - cost;
                let better = chosen.as_ref().is_none_or(|(most, least, ..)| {
                    regret > most + GAIN || (regret - most).abs() <= GAIN && cost < *least
                });
                if better {
                    chosen = Some((regret, cost, place, (at, depot, line)));
                }
            }
            if let Some(place) = impossible {
                left_out.push(sites.remove(place));
                continue;
            }
            let (_, _, place, (at, depot, line)) = chosen.expect("some site had an option");
            sites.remove(place);
            if at == self.lines.len() {
                self.lines.push((depot, line));
            } else {
                self.lines[at].1 = line;
            }
        }
        left_out
    }

    /// For each line, or a new one per depot, the cheapest way to take the site.
    fn options(&self, site: usize) -> Vec<(f64, usize, usize, Vec<usize>)> {
        let mut options = Vec::new();
        for (at, (depot, sites)) in self.lines.iter().enumerate() {
            let weight = self.weight(*depot, &[]) + self.problem.weights[site];
            if weight > self.problem.capacities[*depot] + GAIN {
                continue;
            }
            let before = self.line_cost(*depot, sites);
            let mut best: Option<(f64, Vec<usize>)> = None;
            for place in 0..=sites.len() {
                let mut longer = sites.clone();
                longer.insert(place, site);
                let cost = self.line_cost(*depot, &longer) - before;
                let cheaper = best.as_ref().is_none_or(|(least, _)| cost < *least);
                if cheaper && self.allowed(*depot, &longer) {
                    best = Some((cost, longer));
                }
            }
            options.extend(best.map(|(cost, line)| (cost, at, *depot, line)));
        }
        for depot in self.free_depots() {
            let weight = self.weight(depot, &[]) + self.problem.weights[site];
            if weight <= self.problem.capacities[depot] + GAIN && self.allowed(depot, &[site]) {
                let cost = self.problem.from_depot[depot][site];
                options.push((cost, self.lines.len(), depot, vec![site]));
            }
        }
        options
    }

    fn improve(&mut self) {
        loop {
            let better = self.move_chains() || self.exchange_tails() || self.turn_stretches();
            if !better && !self.order_exactly() && !self.change_depots() {
                break;
            }
        }
    }

    /// Replaces two lines when that is allowed and cheaper.
    fn replace(&mut self, (a, new_a): (usize, Line), (b, new_b): (usize, Line)) -> bool {
        let old = |at: usize| {
            self.lines
                .get(at)
                .map_or(0.0, |(depot, sites)| self.line_cost(*depot, sites))
        };
        let cost = self.line_cost(new_a.0, &new_a.1) + self.line_cost(new_b.0, &new_b.1);
        if cost >= old(a) + old(b) - GAIN
            || !self.allowed(new_a.0, &new_a.1)
            || !self.allowed(new_b.0, &new_b.1)
        {
            return false;
        }
        for depot in [new_a.0, new_b.0] {
            let here = |line: &Line| {
                if line.0 == depot {
                    self.weight_of(&line.1)
                } else {
                    0.0
                }
            };
            let weight = self.weight(depot, &[a, b]) + here(&new_a) + here(&new_b);
            if weight > self.problem.capacities[depot] + GAIN {
                return false;
            }
        }
        self.lines[a] = new_a;
        if b < self.lines.len() {
            self.lines[b] = new_b;
        } else {
            self.lines.push(new_b);
        }
        self.lines.retain(|line| !line.1.is_empty());
        true
    }

    /// A line, or an empty new one at a depot that may have one.
    fn lines_and_new(&self) -> Vec<(usize, Line)> {
        let new = self.lines.len();
        let fresh = self
            .free_depots()
            .into_iter()
            .map(|depot| (new, (depot, Vec::new())));
        self.lines
            .iter()
            .cloned()
            .enumerate()
            .chain(fresh)
            .collect()
    }

    fn move_chains(&mut self) -> bool {
        for a in 0..self.lines.len() {
            let (depot, sites) = self.lines[a].clone();
            for start in 0..sites.len() {
                for long in 1..=LONGEST_CHAIN.min(sites.len() - start) {
                    let mut rest = sites.clone();
                    let mut chain: Vec<usize> = rest.drain(start..start + long).collect();
                    for _ in 0..2 {
                        if self.move_chain((a, depot), &rest, &chain) {
                            return true;
                        }
                        chain.reverse();
                    }
                }
            }
        }
        false
    }

    fn move_chain(&mut self, (a, depot): (usize, usize), rest: &[usize], chain: &[usize]) -> bool {
        let old = self.line_cost(depot, &self.lines[a].1);
        for place in 0..=rest.len() {
            let mut line = rest.to_vec();
            line.splice(place..place, chain.iter().copied());
            if self.line_cost(depot, &line) < old - GAIN && self.allowed(depot, &line) {
                self.lines[a].1 = line;
                return true;
            }
        }
        for (b, (other, sites)) in self.lines_and_new() {
            if b == a {
                continue;
            }
            for place in 0..=sites.len() {
                let mut line = sites.clone();
                line.splice(place..place, chain.iter().copied());
                if self.replace((a, (depot, rest.to_vec())), (b, (other, line))) {
                    return true;
                }
            }
        }
        false
    }

    fn exchange_tails(&mut self) -> bool {
        for a in 0..self.lines.len() {
            let (depot_a, sites_a) = self.lines[a].clone();
            for (b, (depot_b, sites_b)) in self.lines_and_new() {
                if b <= a {
                    continue;
                }
                for i in 0..=sites_a.len() {
                    for j in 0..=sites_b.len() {
                        let new_a = [&sites_a[..i], &sites_b[j..]].concat();
                        let new_b = [&sites_b[..j], &sites_a[i..]].concat();
                        if self.replace((a, (depot_a, new_a)), (b, (depot_b, new_b))) {
                            return true;
                        }
                    }
                }
            }
        }
        false
    }

    fn turn_stretches(&mut self) -> bool {
        for at in 0..self.lines.len() {
            let (depot, sites) = self.lines[at].clone();
            let old = self.line_cost(depot, &sites);
            for from in 0..sites.len() {
                for to in from + 2..=sites.len() {
                    let mut line = sites.clone();
                    line[from..to].reverse();
                    if self.line_cost(depot, &line) < old - GAIN && self.allowed(depot, &line) {
                        self.lines[at].1 = line;
                        return true;
                    }
                }
            }
        }
        false
    }

    fn order_exactly(&mut self) -> bool {
        let mut better = false;
        for at in 0..self.lines.len() {
            let (depot, sites) = self.lines[at].clone();
            if sites.len() > EXACT_MOST {
                continue;
            }
            let start: Vec<f64> = sites
                .iter()
                .map(|&site| self.problem.from_depot[depot][site])
                .collect();
            let between: Vec<Vec<f64>> = sites
                .iter()
                .map(|&a| sites.iter().map(|&b| self.problem.between[a][b]).collect())
                .collect();
            let (order, cost) = shortest_path(&start, &between);
            let line: Vec<usize> = order.into_iter().map(|place| sites[place]).collect();
            if cost < self.line_cost(depot, &sites) - GAIN && self.allowed(depot, &line) {
                self.lines[at].1 = line;
                better = true;
            }
        }
        better
    }

    /// Starts a line, turned round if need be, at another depot.
    fn change_depots(&mut self) -> bool {
        for at in 0..self.lines.len() {
            let (depot, sites) = self.lines[at].clone();
            let turned: Vec<usize> = sites.iter().rev().copied().collect();
            for other in self
                .free_depots()
                .into_iter()
                .filter(|&other| other != depot)
            {
                for line in [&sites, &turned] {
                    let weight = self.weight(other, &[at]) + self.weight_of(line);
                    let fits = weight <= self.problem.capacities[other] + GAIN;
                    let gain = self.line_cost(depot, &sites) - self.line_cost(other, line);
                    if fits && gain > GAIN && self.allowed(other, line) {
                        self.lines[at] = (other, line.clone());
                        return true;
                    }
                }
            }
        }
        false
    }
}

#[cfg(test)]
mod tests;

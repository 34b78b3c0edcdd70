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

/// A line (or one beyond the last), its depot, and the place in it.
type Placing = (usize, usize, usize);

/// What is known of a site that is still to be put somewhere.
struct Known {
    /// For each line its cheapest place and what that costs.
    places: Vec<Option<(f64, usize)>>,
    /// Whether each depot may have a line through it alone.
    alone: Vec<bool>,
}

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
        let n_depots = self.problem.n_lines.len();
        let alone = |site: usize| -> Vec<bool> {
            let depots = 0..n_depots;
            depots.map(|depot| self.allowed(depot, &[site])).collect()
        };
        let mut known: Vec<Known> = sites
            .iter()
            .map(|&site| Known {
                places: (self.lines.iter().map(|line| self.best_place(line, site))).collect(),
                alone: alone(site),
            })
            .collect();
        while !sites.is_empty() {
            let used: Vec<f64> = (0..n_depots).map(|depot| self.weight(depot, &[])).collect();
            let free = self.free_depots();
            let mut chosen: Option<(f64, f64, usize, Placing)> = None;
            let mut impossible = None;
            for (place, &site) in sites.iter().enumerate() {
                let Some((second, cost, placing)) = self.options(site, &known[place], &used, &free)
                else {
                    impossible = Some(place);
                    break;
                };
                let regret = second - cost;
                let better = chosen.as_ref().is_none_or(|(most, least, ..)| {
                    regret > most + GAIN || (regret - most).abs() <= GAIN && cost < *least
                });
                if better {
                    chosen = Some((regret, cost, place, placing));
                }
            }
            if let Some(place) = impossible {
                left_out.push(sites.remove(place));
                known.remove(place);
                continue;
            }
            let (_, _, place, (at, depot, into)) = chosen.expect("some site had an option");
            let site = sites.remove(place);
            known.remove(place);
            if at == self.lines.len() {
                self.lines.push((depot, Vec::new()));
                known.iter_mut().for_each(|one| one.places.push(None));
            }
            self.lines[at].1.insert(into, site);
            for (one, &site) in known.iter_mut().zip(&sites) {
                one.places[at] = self.best_place(&self.lines[at], site);
            }
        }
        left_out
    }

    /// The cheapest place of a site in a line that may take it, with what it costs there.
    fn best_place(&self, (depot, sites): &Line, site: usize) -> Option<(f64, usize)> {
        let mut best: Option<(f64, usize)> = None;
        for place in 0..=sites.len() {
            let cost = self.put_between((*depot, sites), place, &[site]);
            if best.is_none_or(|(least, _)| cost < least) {
                let mut longer = sites.clone();
                longer.insert(place, site);
                if self.allowed(*depot, &longer) {
                    best = Some((cost, place));
                }
            }
        }
        best
    }

    /// The cheapest way to take the site, into a line or a new one of a depot in `free`, and what
    /// the second cheapest costs; `used` is the weight on each depot.
    fn options(
        &self,
        site: usize,
        known: &Known,
        used: &[f64],
        free: &[usize],
    ) -> Option<(f64, f64, Placing)> {
        let weight = self.problem.weights[site];
        let carries = |depot: usize| used[depot] + weight <= self.problem.capacities[depot] + GAIN;
        let lines = self.lines.iter().zip(&known.places).enumerate();
        let into = lines.filter_map(|(at, ((depot, _), place))| {
            let (cost, place) = (*place)?;
            Some((cost, (at, *depot, place)))
        });
        let fresh = free.iter().filter(|depot| known.alone[**depot]);
        let fresh = fresh.map(|&depot| {
            let cost = self.problem.from_depot[depot][site];
            (cost, (self.lines.len(), depot, 0))
        });
        let mut best: Option<(f64, Placing)> = None;
        let mut second = 1e6;
        for (cost, placing) in into.chain(fresh) {
            let (_, depot, _) = placing;
            if !carries(depot) {
                continue;
            }
            match best {
                Some((least, _)) if cost >= least => second = cost.min(second),
                _ => {
                    second = best.map_or(second, |(least, _)| least);
                    best = Some((cost, placing));
                }
            }
        }
        best.map(|(cost, placing)| (second, cost, placing))
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

    fn move_chains(&mut self) -> bool {
        let mut better = false;
        let mut a = 0;
        while a < self.lines.len() {
            match self.move_one_from(a) {
                true => better = true,
                false => a += 1,
            }
        }
        better
    }

    fn move_one_from(&mut self, a: usize) -> bool {
        let (depot, sites) = self.lines[a].clone();
        for start in 0..sites.len() {
            for long in 1..=LONGEST_CHAIN.min(sites.len() - start) {
                let mut rest = sites.clone();
                let mut chain: Vec<usize> = rest.drain(start..start + long).collect();
                let saved = self.put_between((depot, &rest), start, &chain);
                for _ in 0..2 {
                    if self.move_chain((a, depot), (&rest, saved), &chain) {
                        return true;
                    }
                    chain.reverse();
                }
            }
        }
        false
    }

    /// Moves a chain out of line `a`, where that saves `saved` and leaves `rest`.
    fn move_chain(
        &mut self,
        (a, depot): (usize, usize),
        (rest, saved): (&[usize], f64),
        chain: &[usize],
    ) -> bool {
        let worth = |cost: f64| cost < saved - GAIN / 2.0;
        let with = |sites: &[usize], place: usize| {
            let mut line = sites.to_vec();
            line.splice(place..place, chain.iter().copied());
            line
        };
        let old = self.line_cost(depot, &self.lines[a].1);
        for place in 0..=rest.len() {
            if !worth(self.put_between((depot, rest), place, chain)) {
                continue;
            }
            let line = with(rest, place);
            if self.line_cost(depot, &line) < old - GAIN && self.allowed(depot, &line) {
                self.lines[a].1 = line;
                return true;
            }
        }
        for b in (0..self.lines.len()).filter(|b| *b != a) {
            for place in 0..=self.lines[b].1.len() {
                let (other, sites) = &self.lines[b];
                if !worth(self.put_between((*other, sites), place, chain)) {
                    continue;
                }
                let line = (*other, with(sites, place));
                if self.replace((a, (depot, rest.to_vec())), (b, line)) {
                    return true;
                }
            }
        }
        let new = self.lines.len();
        self.free_depots().into_iter().any(|other| {
            worth(self.put_between((other, &[]), 0, chain))
                && self.replace((a, (depot, rest.to_vec())), (new, (other, chain.to_vec())))
        })
    }

    fn exchange_tails(&mut self) -> bool {
        let mut better = false;
        let mut a = 0;
        while a < self.lines.len() {
            match self.exchange_tail_of(a) {
                true => better = true,
                false => a += 1,
            }
        }
        better
    }

    /// Exchanges a tail of line `a` for one of a later line, or of an empty new one.
    fn exchange_tail_of(&mut self, a: usize) -> bool {
        let (depot_a, sites_a) = self.lines[a].clone();
        let new = self.lines.len();
        let fresh = self.free_depots().into_iter().map(|depot| (new, depot));
        let later = (a + 1..new).map(|b| (b, self.lines[b].0));
        let others: Vec<(usize, usize)> = later.chain(fresh).collect();
        for (b, depot_b) in others {
            let sites_b = self
                .lines
                .get(b)
                .map_or_else(Vec::new, |line| line.1.clone());
            for i in 0..=sites_a.len() {
                for j in 0..=sites_b.len() {
                    if !self.tails_may_gain((depot_a, &sites_a, i), (depot_b, &sites_b, j)) {
                        continue;
                    }
                    let new_a = [&sites_a[..i], &sites_b[j..]].concat();
                    let new_b = [&sites_b[..j], &sites_a[i..]].concat();
                    if self.replace((a, (depot_a, new_a)), (b, (depot_b, new_b))) {
                        return true;
                    }
                }
            }
        }
        false
    }

    fn tails_may_gain(
        &self,
        (depot_a, a, i): (usize, &[usize], usize),
        (depot_b, b, j): (usize, &[usize], usize),
    ) -> bool {
        let ends = |sites: &[usize], at: usize| {
            let head = at.checked_sub(1).map(|last| sites[last]);
            (head, sites.get(at).copied())
        };
        let ((head_a, tail_a), (head_b, tail_b)) = (ends(a, i), ends(b, j));
        let old = self.link(depot_a, head_a, tail_a) + self.link(depot_b, head_b, tail_b);
        let new = self.link(depot_a, head_a, tail_b) + self.link(depot_b, head_b, tail_a);
        new < old - GAIN / 2.0
    }

    fn turn_stretches(&mut self) -> bool {
        for at in 0..self.lines.len() {
            let (depot, sites) = self.lines[at].clone();
            let old = self.line_cost(depot, &sites);
            for from in 0..sites.len() {
                let before = from.checked_sub(1).map(|last| sites[last]);
                for to in from + 2..=sites.len() {
                    let (first, last) = (Some(sites[from]), Some(sites[to - 1]));
                    let after = sites.get(to).copied();
                    let now = self.link(depot, before, first) + self.link(depot, last, after);
                    let then = self.link(depot, before, last) + self.link(depot, first, after);
                    if then >= now - GAIN / 2.0 {
                        continue;
                    }
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

//! Local search: chains moved, tails exchanged, stretches turned, short lines ordered exactly.

use crate::engine::solve::lines::{GAIN, Line, State};
use crate::engine::solve::tour::{EXACT_MOST, shortest_path};

const LONGEST_CHAIN: usize = 3;

impl State<'_> {
    /// Until no move makes the lines cheaper.
    pub(super) fn improve(&mut self) {
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

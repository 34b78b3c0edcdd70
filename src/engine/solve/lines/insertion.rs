//! Regret insertion: sites put into lines, or into new ones, where they cost least.

use crate::engine::solve::lines::{GAIN, Line, State};

/// A line (or one beyond the last), its depot, and the place in it.
type Placing = (usize, usize, usize);

/// What is known of a site that is still to be put somewhere.
struct Known {
    /// For each line its cheapest place and what that costs.
    places: Vec<Option<(f64, usize)>>,
    /// Whether each depot may have a line through it alone.
    alone: Vec<bool>,
}

impl State<'_> {
    /// Puts sites where they cost least, first the one that would lose most by waiting; gives
    /// back those that no line may take.
    pub(super) fn insert(&mut self, mut sites: Vec<usize>) -> Vec<usize> {
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
}

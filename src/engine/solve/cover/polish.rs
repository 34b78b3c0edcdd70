//! Betters a cover: frees some of its columns at a time and covers what they served anew.
//!
//! The freed piece is a small cover problem of its own, bounded, narrowed and searched a little
//! like the whole, so that a piece of a dozen columns is often solved for good. After large
//! neighbourhood search (P. Shaw, CP98, 1998, from memory).

use crate::engine::solve::cover::bound::{Effort, Raised};
use crate::engine::solve::cover::numbers::Numbers;
use crate::engine::solve::cover::search::{Search, State};

/// Column-demand pairs looked at while a cover is polished; more where many nodes are allowed.
const POLISH_WORK: usize = 30_000_000;

/// Which pieces are freed, and how hard they are tried.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pieces {
    /// Columns of the best cover freed at a time, from and to.
    fewest: usize,
    most: usize,
    /// Nodes a piece is searched for.
    nodes: u64,
    /// Rounds without gain before it ends.
    idle: usize,
    /// Most column-demand pairs looked at.
    work: usize,
    /// Exchanges end when this part of `work` has been done without gain.
    exchanges: usize,
    /// Columns are tried whose reduced weight is at most this share of the gap, and those of the
    /// best cover.
    share: f64,
}

impl Pieces {
    pub(super) const SMALL: Pieces = Pieces {
        fewest: 6,
        most: 30,
        nodes: 40,
        idle: 150,
        work: 300_000_000,
        exchanges: 100,
        share: 0.3,
    };
    pub(super) const LARGE: Pieces = Pieces {
        fewest: 12,
        most: 60,
        nodes: 150,
        idle: 20_000,
        work: 20_000_000_000,
        exchanges: 20,
        share: 0.5,
    };
}

impl Search<'_> {
    /// Betters the best cover until it meets `bound`, or the work allowed is done, or nothing has
    /// come of it for long. `prices` are good prices of the demands, `raised` is of them.
    pub(super) fn polish(&mut self, bound: f64, prices: &[f64], raised: &Raised, how: Pieces) {
        let more = usize::try_from(self.budget).unwrap_or(usize::MAX);
        let allowed = POLISH_WORK.max(more.saturating_mul(self.size()) / 4);
        let gap = self.best_weight - bound;
        let mut inside = vec![false; self.part.weights.len()];
        self.best.iter().for_each(|c| inside[*c] = true);
        let core = self.rest(&|c| inside[c] || raised.reduced[c] <= gap * how.share);
        let prices: Vec<f64> = core.demands.iter().map(|d| prices[*d]).collect();
        let mut small = self.narrowed(&core);
        let work = allowed.min(how.work);
        small.exchange(bound, work / how.exchanges, &mut Numbers::from(1));
        small.better(bound, &prices, Pieces { work, ..how });
        self.stopped |= small.stopped;
        if small.best_weight < self.best_weight {
            self.best_weight = small.best_weight;
            self.best = small.best.iter().map(|c| core.names[*c]).collect();
        }
    }

    fn better(&mut self, bound: f64, prices: &[f64], how: Pieces) {
        let mut numbers = Numbers::from(1);
        let most = how.most.min(self.best.len()).max(how.fewest);
        let (mut done, mut idle, mut freed) = (0, 0, how.fewest);
        while done < how.work && idle < how.idle && !self.closed(bound) && !self.stopped {
            let before = self.best_weight;
            done += self.size() + self.piece(freed, how.nodes, prices, &mut numbers);
            idle += 1;
            if self.best_weight < before {
                idle = 0;
            } else if idle % 12 == 0 {
                freed = if freed + 3 > most {
                    how.fewest
                } else {
                    freed + 3
                };
            }
            self.stopped |= !(self.go_on)(self.nodes);
        }
    }

    /// Frees about `freed` columns of the best cover and covers anew; returns the work done.
    fn piece(&mut self, freed: usize, nodes: u64, prices: &[f64], numbers: &mut Numbers) -> usize {
        let kept = self.kept(freed, numbers);
        kept.into_iter().for_each(|c| self.decide(c, State::In));
        let taken: Vec<usize> = self.taken().collect();
        let (rest, weight) = (self.rest(&|_| true), self.weight());
        self.undo_to(0);
        if rest.part.demands.is_empty() {
            return 0;
        }
        let size: usize = rest.part.demands.iter().map(|d| d.columns.len()).sum();
        let mut inner = Search::new(rest.part, nodes, self.go_on);
        inner.best_weight = self.best_weight - weight;
        let mut own: Vec<f64> = rest.demands.iter().map(|d| prices[*d]).collect();
        let raised = inner.raise(&mut own, Effort::PIECE);
        let mut rounds = 80;
        if !inner.closed(raised.bound) && inner.fix(&raised) && inner.propagate() {
            inner.branch(own);
            rounds += 10 * inner.nodes as usize;
        }
        if !inner.best.is_empty() {
            self.best_weight = weight + inner.best_weight;
            self.best = taken;
            self.best.extend(inner.best.iter().map(|c| rest.names[*c]));
        }
        rounds * size
    }

    /// The columns of the best cover, less those nearest to one of them. Near are those whose
    /// demands are shared with columns that share demands with it.
    fn kept(&self, freed: usize, numbers: &mut Numbers) -> Vec<usize> {
        let start = self.best[numbers.below(self.best.len())];
        // The demand that lists all columns joins everything.
        let last = self.part.demands.len() - usize::from(self.part.head > 0.0);
        let mut near = vec![false; self.part.weights.len()];
        for d in self.served(start).filter(|d| *d < last) {
            let columns = &self.part.demands[d].columns;
            columns.iter().for_each(|c| near[*c] = true);
        }
        let touched = |d: &usize| {
            let columns = &self.part.demands[*d].columns;
            *d < last && columns.iter().any(|c| near[*c])
        };
        let mut ranked: Vec<(usize, usize)> = (self.best.iter())
            .map(|&c| {
                let shared = self.served(c).filter(touched).count();
                let of = self.served(c).count().max(1);
                let distance = if c == start {
                    0
                } else {
                    1000 - 900 * shared / of
                };
                (distance + numbers.below(200), c)
            })
            .collect();
        ranked.sort_unstable();
        ranked.into_iter().skip(freed).map(|r| r.1).collect()
    }
}

//! Shortest free paths inside a polygon round thin barriers. Metres only.
//!
//! A shortest path bends only at corners that stick out into the free space (Lozano-Pérez and
//! Wesley, Communications of the ACM 22(10), 1979), here the polygon's reflex corners and the ends
//! and joints of barriers. The graph of such corners that see each other is built once.

use crate::geometry::visibility::Sight;
use crate::geometry::{Point, Polygon};

/// The free space of a polygon with barriers, ready for distances.
#[derive(Debug, Clone)]
pub struct Airways {
    sight: Sight,
    bends: Vec<Bend>,
    /// For each bend the bends it sees, with their distance.
    links: Vec<Vec<(usize, f64)>>,
}

/// A place where a shortest path may bend.
#[derive(Debug, Clone, Copy)]
struct Bend {
    at: Point,
    /// The same place moved off the edges, for sight.
    probe: Point,
}

/// Shortest distances from one point to every bend.
struct Reach {
    from: Point,
    probes: Vec<Point>,
    /// Distance to each bend, infinite where there is no path, and the bend before it.
    bends: Vec<(f64, Option<usize>)>,
}

impl Airways {
    /// Free space inside `outline` round `barriers`: open polylines of no thickness, in metres,
    /// which may touch walls and each other (see [`Sight::new`]).
    pub fn new(outline: &Polygon, barriers: &[Vec<Point>]) -> Self {
        let sight = Sight::new(outline, barriers);
        let mut bends = Vec::new();
        for at in sight.corners() {
            for sector in sight.sectors(at).into_iter().filter(|s| s.angle > STRAIGHT) {
                bends.extend(sector.probes.into_iter().map(|probe| Bend { at, probe }));
            }
        }
        let mut links = vec![Vec::new(); bends.len()];
        for i in 0..bends.len() {
            for j in i + 1..bends.len() {
                if sight.clear(bends[i].probe, bends[j].probe) {
                    let distance = bends[i].at.distance(bends[j].at);
                    links[i].push((j, distance));
                    links[j].push((i, distance));
                }
            }
        }
        Airways {
            sight,
            bends,
            links,
        }
    }

    /// Whether the straight line from `a` to `b` is free.
    pub fn sees(&self, a: Point, b: Point) -> bool {
        self.sight.sees(a, b)
    }

    /// Length of the shortest free path in metres; `None` when there is none.
    pub fn distance(&self, a: Point, b: Point) -> Option<f64> {
        self.shortest(&self.reach(a), b)
            .map(|(distance, _)| distance)
    }

    /// [`Airways::distance`] from `a` to each of `targets`, in their order.
    pub fn distances_from(&self, a: Point, targets: &[Point]) -> Vec<Option<f64>> {
        let reach = self.reach(a);
        targets
            .iter()
            .map(|b| self.shortest(&reach, *b).map(|(distance, _)| distance))
            .collect()
    }

    /// The shortest free path from `a` to `b` with its bends, both ends included; `None` when there
    /// is none.
    pub fn path(&self, a: Point, b: Point) -> Option<Vec<Point>> {
        let reach = self.reach(a);
        let (_, mut bend) = self.shortest(&reach, b)?;
        let mut path = vec![b];
        while let Some(i) = bend {
            if path.last() != Some(&self.bends[i].at) {
                path.push(self.bends[i].at);
            }
            bend = reach.bends[i].1;
        }
        if path.last() != Some(&a) || path.len() == 1 {
            path.push(a);
        }
        path.reverse();
        Some(path)
    }

    /// Dijkstra's method from `from` over the bends.
    fn reach(&self, from: Point) -> Reach {
        let probes = self.sight.probes(from);
        let mut bends: Vec<(f64, Option<usize>)> = self
            .bends
            .iter()
            .map(
                |bend| match probes.iter().any(|p| self.sight.clear(*p, bend.probe)) {
                    true => (from.distance(bend.at), None),
                    false => (f64::INFINITY, None),
                },
            )
            .collect();
        let mut open: Vec<usize> = (0..bends.len()).collect();
        let nearest = |open: &[usize], bends: &[(f64, Option<usize>)]| {
            (0..open.len()).min_by(|&i, &j| bends[open[i]].0.total_cmp(&bends[open[j]].0))
        };
        while let Some(place) = nearest(&open, &bends) {
            let i = open.swap_remove(place);
            for &(j, length) in &self.links[i] {
                let through = bends[i].0 + length;
                if through < bends[j].0 {
                    bends[j] = (through, Some(i));
                }
            }
        }
        Reach {
            from,
            probes,
            bends,
        }
    }

    /// The shortest path to `b` and the last bend on it. Bends are tried in the order of the length
    /// their path would have, so that the first one in sight of `b` is the best.
    fn shortest(&self, reach: &Reach, b: Point) -> Option<(f64, Option<usize>)> {
        let probes = self.sight.probes(b);
        let in_sight = |from: Point| probes.iter().any(|q| self.sight.clear(from, *q));
        if reach.probes.iter().any(|p| in_sight(*p)) {
            return Some((reach.from.distance(b), None));
        }
        let mut through: Vec<(f64, usize)> = (0..self.bends.len())
            .map(|i| (reach.bends[i].0 + self.bends[i].at.distance(b), i))
            .filter(|(length, _)| length.is_finite())
            .collect();
        through.sort_by(|x, y| x.0.total_cmp(&y.0).then(x.1.cmp(&y.1)));
        let best = through
            .into_iter()
            .find(|&(_, i)| in_sight(self.bends[i].probe))?;
        Some((best.0, Some(best.1)))
    }
}

/// A sector wider than this, in radians, sticks out: half a turn and a little for rounding.
const STRAIGHT: f64 = std::f64::consts::PI + 1e-9;

#[cfg(test)]
mod tests;

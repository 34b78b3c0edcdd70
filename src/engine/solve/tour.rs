//! Shortest open paths and spanning trees over a full matrix of costs. No domain words.
//!
//! Held and Karp 1962 for the exact path (from memory); Prim 1957 for the tree (from memory).

/// Most sites [`shortest_path`] takes: the work doubles with each.
pub const EXACT_MOST: usize = 12;

/// The cheapest order that starts outside (cost `start[i]` to the first site i), visits every site
/// once and ends anywhere, with its cost. `between` is symmetric.
///
/// # Panics
/// With more than [`EXACT_MOST`] sites.
pub fn shortest_path(start: &[f64], between: &[Vec<f64>]) -> (Vec<usize>, f64) {
    let n = start.len();
    assert!(
        n <= EXACT_MOST,
        "an exact path has at most {EXACT_MOST} sites, got {n}"
    );
    if n == 0 {
        return (Vec::new(), 0.0);
    }
    let sets = 1usize << n;
    let mut cost = vec![f64::INFINITY; sets * n];
    let mut before = vec![usize::MAX; sets * n];
    for site in 0..n {
        cost[(1 << site) * n + site] = start[site];
    }
    for set in 1..sets {
        for last in (0..n).filter(|last| set >> last & 1 == 1) {
            let here = cost[set * n + last];
            if here.is_infinite() {
                continue;
            }
            for next in (0..n).filter(|next| set >> next & 1 == 0) {
                let at = (set | 1 << next) * n + next;
                if here + between[last][next] < cost[at] {
                    cost[at] = here + between[last][next];
                    before[at] = last;
                }
            }
        }
    }
    let mut set = sets - 1;
    let mut last = (0..n)
        .min_by(|&a, &b| cost[set * n + a].total_cmp(&cost[set * n + b]))
        .expect("there is at least one site");
    let total = cost[set * n + last];
    let mut order = vec![last];
    while before[set * n + last] != usize::MAX {
        let earlier = before[set * n + last];
        set &= !(1 << last);
        last = earlier;
        order.push(last);
    }
    order.reverse();
    (order, total)
}

/// Cost of the cheapest tree that joins every site to the root (cost `root[i]` to site i) or to
/// each other. No set of paths from the root through every site can cost less.
pub fn spanning_tree(root: &[f64], between: &[Vec<f64>]) -> f64 {
    let mut nearest = root.to_vec();
    let mut open: Vec<usize> = (0..root.len()).collect();
    let mut total = 0.0;
    while let Some(place) =
        (0..open.len()).min_by(|&a, &b| nearest[open[a]].total_cmp(&nearest[open[b]]))
    {
        let site = open.swap_remove(place);
        total += nearest[site];
        for &other in &open {
            nearest[other] = nearest[other].min(between[site][other]);
        }
    }
    total
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every order in turn.
    fn by_trying_all(start: &[f64], between: &[Vec<f64>]) -> f64 {
        fn go(last: usize, left: &[usize], so_far: f64, between: &[Vec<f64>]) -> f64 {
            left.iter().fold(
                if left.is_empty() {
                    so_far
                } else {
                    f64::INFINITY
                },
                |best, &next| {
                    let rest: Vec<usize> = left.iter().copied().filter(|&s| s != next).collect();
                    best.min(go(next, &rest, so_far + between[last][next], between))
                },
            )
        }
        (0..start.len()).fold(f64::INFINITY, |best, first| {
            let rest: Vec<usize> = (0..start.len()).filter(|&s| s != first).collect();
            best.min(go(first, &rest, start[first], between))
        })
    }

    fn places(n: usize, salt: usize) -> (Vec<f64>, Vec<Vec<f64>>) {
        let at = |i: usize| {
            let (i, salt) = (i as f64, salt as f64);
            (
                (7.3 * i + salt * 1.7).sin() * 20.0,
                (4.1 * i * i + salt).cos() * 11.0,
            )
        };
        let far = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() + (a.1 - b.1).abs();
        let start = (0..n).map(|i| far((0.0, 0.0), at(i))).collect();
        let rows = (0..n)
            .map(|i| (0..n).map(|j| far(at(i), at(j))).collect())
            .collect();
        (start, rows)
    }

    #[test]
    fn exact_path_is_as_short_as_the_best_of_all_orders() {
        for n in 1..=7 {
            for salt in 0..6 {
                let (start, between) = places(n, salt);
                let (order, cost) = shortest_path(&start, &between);
                let walked = order
                    .windows(2)
                    .fold(start[order[0]], |sum, pair| sum + between[pair[0]][pair[1]]);
                assert!((walked - cost).abs() < 1e-9);
                assert!((cost - by_trying_all(&start, &between)).abs() < 1e-9);
                assert!(spanning_tree(&start, &between) <= cost + 1e-9);
            }
        }
    }

    #[test]
    fn tree_of_a_cross_costs_its_four_arms() {
        let far = [3.0, 4.0, 5.0, 6.0];
        let between: Vec<Vec<f64>> = far
            .iter()
            .map(|a| far.iter().map(|b| a + b).collect())
            .collect();
        assert_eq!(spanning_tree(&far, &between), 18.0);
    }
}

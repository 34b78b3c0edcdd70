use super::*;

fn manhattan(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).abs() + (a.1 - b.1).abs()
}

fn matrices(depots: &[(f64, f64)], sites: &[(f64, f64)]) -> (Vec<Vec<f64>>, Vec<Vec<f64>>) {
    let row = |a: &(f64, f64)| sites.iter().map(|b| manhattan(*a, *b)).collect();
    (
        depots.iter().map(row).collect(),
        sites.iter().map(row).collect(),
    )
}

fn scattered(n: usize, salt: f64) -> Vec<(f64, f64)> {
    (0..n)
        .map(|i| {
            let i = i as f64;
            (
                (12.9 * i + salt).sin() * 30.0,
                (78.2 * i + 2.0 * salt).cos() * 12.0,
            )
        })
        .collect()
}

/// The cheapest lines of at most `most` sites each from one depot, by trying every order and
/// every way to cut it.
fn by_trying_all(start: &[f64], between: &[Vec<f64>], n_lines: usize, most: usize) -> f64 {
    struct All<'a>(&'a [f64], &'a [Vec<f64>], usize);
    impl All<'_> {
        fn go(&self, last: Option<usize>, run: usize, lines: usize, left: &[usize]) -> f64 {
            let mut best = if left.is_empty() { 0.0 } else { f64::INFINITY };
            for &next in left {
                let rest: Vec<usize> = left.iter().copied().filter(|&site| site != next).collect();
                if let Some(last) = last.filter(|_| run < self.2) {
                    best =
                        best.min(self.1[last][next] + self.go(Some(next), run + 1, lines, &rest));
                }
                if lines > 0 {
                    best = best.min(self.0[next] + self.go(Some(next), 1, lines - 1, &rest));
                }
            }
            best
        }
    }
    let sites: Vec<usize> = (0..start.len()).collect();
    All(start, between, most).go(None, 0, n_lines, &sites)
}

#[test]
fn lines_of_few_sites_are_as_short_as_the_best_of_all() {
    for salt in 0..8 {
        let sites = scattered(7, f64::from(salt));
        let (from_depot, between) = matrices(&[(0.0, 0.0)], &sites);
        let problem = Problem {
            from_depot: &from_depot,
            between: &between,
            n_lines: &[3],
            weights: &[1.0; 7],
            capacities: &[99.0],
            allowed: &|_, line| line.len() <= 4,
            stop: &|| false,
        };
        let found = solve(&problem);
        let best = by_trying_all(&from_depot[0], &between, 3, 4);
        assert!(found.left_out.is_empty());
        assert!(
            (found.cost - best).abs() < 1e-6,
            "salt {salt}: {} against {best}",
            found.cost
        );
        assert!(found.bound <= best + 1e-9);
    }
}

#[test]
fn every_site_is_on_one_line_and_no_limit_is_passed() {
    let sites = scattered(40, 0.7);
    let (from_depot, between) = matrices(&[(-20.0, 0.0), (20.0, 3.0)], &sites);
    let problem = Problem {
        from_depot: &from_depot,
        between: &between,
        n_lines: &[3, 2],
        weights: &[1.0; 40],
        capacities: &[30.0, 12.0],
        allowed: &|_, line| line.len() <= 10,
        stop: &|| false,
    };
    let found = solve(&problem);
    let mut seen: Vec<usize> = found.lines.iter().flat_map(|line| line.1.clone()).collect();
    seen.sort_unstable();
    assert_eq!(seen, (0..40).collect::<Vec<_>>());
    for depot in 0..2 {
        let here: Vec<_> = found.lines.iter().filter(|line| line.0 == depot).collect();
        assert!(here.len() <= problem.n_lines[depot]);
        let weight: usize = here.iter().map(|line| line.1.len()).sum();
        assert!(weight as f64 <= problem.capacities[depot]);
        assert!(here.iter().all(|line| line.1.len() <= 10));
    }
    assert!(found.bound <= found.cost);
    assert_eq!(found, solve(&problem));
}

#[test]
fn sites_beyond_every_limit_are_left_out_and_named() {
    let sites = [(1.0, 0.0), (2.0, 0.0), (3.0, 0.0)];
    let (mut from_depot, mut between) = matrices(&[(0.0, 0.0)], &sites);
    from_depot[0][2] = f64::INFINITY;
    between[2] = vec![f64::INFINITY; 3];
    for row in &mut between {
        row[2] = f64::INFINITY;
    }
    let problem = Problem {
        from_depot: &from_depot,
        between: &between,
        n_lines: &[2],
        weights: &[1.0; 3],
        capacities: &[9.0],
        allowed: &|_, _| true,
        stop: &|| false,
    };
    let found = solve(&problem);
    assert_eq!(found.left_out, [2]);
    assert_eq!(found.lines, [(0, vec![0, 1])]);
    assert_eq!((found.cost, found.bound), (2.0, 2.0));
}

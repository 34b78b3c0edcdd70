use std::ops::ControlFlow;

use super::*;
use crate::engine::solve::cover::{Column, Row};

/// Splitmix64 (Steele, Lea and Flood, 2014): repeatable numbers for the tests.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % n as u64) as usize
    }
}

/// A problem of up to 11 columns with one or two allowances for about three rows of four.
fn random(numbers: &mut Numbers, most_need: usize) -> (CoverProblem, Vec<Allowance>) {
    let (n_columns, n_rows) = (2 + numbers.below(10), 1 + numbers.below(14));
    let whole = numbers.below(2) == 0;
    let columns = (0..n_columns).map(|column| Column {
        id: format!("c{:03}", (column * 7) % n_columns.max(1)),
        cost: match whole {
            true => (1 + numbers.below(4)) as f64,
            false => (1.0 + numbers.below(1000) as f64) / 7.0,
        },
    });
    let columns = columns.collect();
    let density = 2 + numbers.below(3);
    let rows = (0..n_rows).map(|row| Row {
        id: format!("r{row:03}"),
        need: 1 + numbers.below(most_need) as u32,
        columns: (0..n_columns)
            .filter(|_| numbers.below(density) == 0)
            .collect(),
    });
    let rows: Vec<Row> = rows.collect();
    let fixed = (0..n_columns).filter(|_| numbers.below(12) == 0).collect();
    let problem = CoverProblem {
        columns,
        rows,
        fixed,
    };
    let mut allowances = vec![Vec::new(), Vec::new()];
    for row in 0..n_rows {
        let group = numbers.below(4);
        if group > 0 {
            allowances[group % 2].push((row, numbers.below(9) as u64));
        }
    }
    let allowance = |rows: Vec<(usize, u64)>| {
        let all: u64 = rows.iter().map(|(_, weight)| weight).sum();
        let share = [5, 10, 30, 50][numbers.below(4)];
        Allowance {
            most: all * share / 100,
            rows: rows.iter().map(|(row, _)| *row).collect(),
            weights: rows.iter().map(|(_, weight)| *weight).collect(),
        }
    };
    (problem, allowances.into_iter().map(allowance).collect())
}

fn run(problem: &CoverProblem, allowances: &[Allowance], objective: Objective) -> CoverSolution {
    limited(problem, allowances, objective, 100_000)
}

fn limited(
    problem: &CoverProblem,
    allowances: &[Allowance],
    objective: Objective,
    max_nodes: u64,
) -> CoverSolution {
    let options = CoverOptions {
        objective,
        max_nodes,
    };
    let go_on = |_: CoverProgress| ControlFlow::Continue(());
    solve(problem, allowances, &[], &options, &go_on)
}

fn is_hopeless(row: &Row) -> bool {
    row.columns.len() < row.need as usize
}

/// Whether a choice is allowed, written from the definition.
fn is_allowed(problem: &CoverProblem, allowances: &[Allowance], chosen: &[usize]) -> bool {
    let met = |row: &Row| {
        let n = row
            .columns
            .iter()
            .filter(|one| chosen.contains(one))
            .count();
        n >= row.need as usize
    };
    let mut may_be_short = vec![false; problem.rows.len()];
    for one in allowances {
        let sum = |counts: &dyn Fn(&Row) -> bool| -> u64 {
            let rows = one.rows.iter().zip(&one.weights);
            rows.filter(|(row, _)| counts(&problem.rows[**row]))
                .map(|(_, weight)| weight)
                .sum()
        };
        if sum(&is_hopeless) > one.most {
            continue;
        }
        if sum(&|row| !met(row)) > one.most {
            return false;
        }
        one.rows.iter().for_each(|row| may_be_short[*row] = true);
    }
    let rows = problem.rows.iter().zip(may_be_short);
    problem.fixed.iter().all(|one| chosen.contains(one))
        && rows
            .into_iter()
            .all(|(row, may)| may || is_hopeless(row) || met(row))
}

/// Least (count, cost) and least cost over all choices that are allowed.
fn brute_force(problem: &CoverProblem, allowances: &[Allowance]) -> ((usize, f64), f64) {
    let n = problem.columns.len();
    let (mut few, mut cheap) = ((usize::MAX, f64::INFINITY), f64::INFINITY);
    for mask in 0u32..1 << n {
        let chosen: Vec<usize> = (0..n).filter(|c| mask >> c & 1 == 1).collect();
        if !is_allowed(problem, allowances, &chosen) {
            continue;
        }
        let cost: f64 = chosen.iter().map(|c| problem.columns[*c].cost).sum();
        cheap = cheap.min(cost);
        if (chosen.len(), cost) < few {
            few = (chosen.len(), cost);
        }
    }
    (few, cheap)
}

#[test]
fn agrees_with_trying_every_choice() {
    let mut numbers = Numbers(7);
    let mut fewer = 0;
    for case in 0..600 {
        let (problem, allowances) = random(&mut numbers, 1 + case % 3);
        let ((count, cost), cheap) = brute_force(&problem, &allowances);
        let found = run(&problem, &allowances, Objective::CountThenCost);
        let told = format!("case {case}: {problem:?} {allowances:?} {found:?}");
        assert!(is_allowed(&problem, &allowances, &found.chosen), "{told}");
        assert!(found.proven_count && found.proven_cost, "{told}");
        assert_eq!((found.count, found.count_bound), (count, count), "{told}");
        assert!((found.cost - cost).abs() < 1e-9, "{cost}, {told}");
        assert_eq!(found.chosen.len(), count, "{told}");
        assert!((found.cost_bound - cost).abs() < 1e-6, "{told}");
        let found = run(&problem, &allowances, Objective::Cost);
        let told = format!("case {case}: {problem:?} {allowances:?} {found:?}");
        assert!(is_allowed(&problem, &allowances, &found.chosen), "{told}");
        assert!(
            found.proven_cost && (found.cost - cheap).abs() < 1e-9,
            "{cheap}, {told}"
        );
        assert!(found.count_bound <= count, "{told}");
        let whole = run(&problem, &[], Objective::CountThenCost);
        assert!(count <= whole.count);
        fewer += usize::from(count < whole.count);
    }
    assert!(fewer > 100, "allowances help in {fewer} of 600 cases");
}

/// Whatever the limit of work, the choice is allowed and the bounds are true.
#[test]
fn a_search_cut_short_tells_what_is_true() {
    let mut numbers = Numbers(99);
    for case in 0..300 {
        let (problem, allowances) = random(&mut numbers, 1 + case % 3);
        let ((count, cost), cheap) = brute_force(&problem, &allowances);
        for max_nodes in [0, 1, 5] {
            let found = limited(&problem, &allowances, Objective::CountThenCost, max_nodes);
            let told = format!("case {case}: {problem:?} {allowances:?} {found:?}");
            assert!(is_allowed(&problem, &allowances, &found.chosen), "{told}");
            assert!(found.count_bound <= count && count <= found.count, "{told}");
            assert!(!found.proven_count || found.count == count, "{told}");
            let is_least = (found.cost - cost).abs() < 1e-9;
            assert!(!found.proven_cost || is_least, "{told}");
            if found.count == count {
                assert!(found.cost_bound <= cost + 1e-6, "{cost} {told}");
            }
            let found = limited(&problem, &allowances, Objective::Cost, max_nodes);
            assert!(is_allowed(&problem, &allowances, &found.chosen));
            assert!(found.cost_bound <= cheap + 1e-6 && cheap <= found.cost + 1e-9);
            assert!(!found.proven_cost || (found.cost - cheap).abs() < 1e-9);
            assert!(found.count_bound <= found.count);
        }
    }
}

#[test]
fn more_that_may_be_short_never_asks_for_more_columns() {
    let mut numbers = Numbers(3);
    for case in 0..200 {
        let (problem, mut allowances) = random(&mut numbers, 1 + case % 2);
        let all: Vec<u64> = allowances
            .iter()
            .map(|one| one.weights.iter().sum())
            .collect();
        let mut before = run(&problem, &[], Objective::CountThenCost).count;
        for share in [0, 10, 25, 50, 100] {
            for (one, all) in allowances.iter_mut().zip(&all) {
                one.most = all * share / 100;
            }
            let found = run(&problem, &allowances, Objective::CountThenCost);
            assert!(found.count <= before, "case {case}, {share} %: {problem:?}");
            before = found.count;
        }
    }
}

#[test]
fn without_allowances_it_is_the_plain_cover() {
    let mut numbers = Numbers(11);
    for _ in 0..50 {
        let (problem, allowances) = random(&mut numbers, 2);
        let options = CoverOptions {
            objective: Objective::CountThenCost,
            max_nodes: 1000,
        };
        let go_on = |_: CoverProgress| ControlFlow::Continue(());
        let plain = cover::solve(&problem, &options, &go_on);
        assert_eq!(solve(&problem, &[], &[], &options, &go_on), plain);
        let none: Vec<Allowance> = (allowances.iter())
            .map(|one| Allowance {
                most: 0,
                ..one.clone()
            })
            .collect();
        let found = solve(&problem, &none, &[], &options, &go_on);
        assert!(found.count <= plain.count);
    }
}

#[test]
fn a_search_that_is_stopped_still_gives_a_choice_that_is_allowed() {
    let mut numbers = Numbers(5);
    for _ in 0..50 {
        let (problem, allowances) = random(&mut numbers, 2);
        let options = CoverOptions {
            objective: Objective::CountThenCost,
            max_nodes: 1000,
        };
        let stop = |_: CoverProgress| ControlFlow::Break(());
        let found = solve(&problem, &allowances, &[], &options, &stop);
        assert!(is_allowed(&problem, &allowances, &found.chosen));
    }
}

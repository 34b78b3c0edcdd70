use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

use super::*;

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

fn problem(costs: &[f64], rows: &[(u32, &[usize])], fixed: &[usize]) -> CoverProblem {
    let column = |(i, cost): (usize, &f64)| Column {
        id: format!("c{i:03}"),
        cost: *cost,
    };
    let row = |(i, (need, columns)): (usize, &(u32, &[usize]))| Row {
        id: format!("r{i:03}"),
        need: *need,
        columns: columns.to_vec(),
    };
    CoverProblem {
        columns: costs.iter().enumerate().map(column).collect(),
        rows: rows.iter().enumerate().map(row).collect(),
        fixed: fixed.to_vec(),
    }
}

fn random(numbers: &mut Numbers, columns: usize, rows: usize, most_need: usize) -> CoverProblem {
    let price = numbers.below(4);
    let cost = |numbers: &mut Numbers| match price {
        0 => 7.0,
        1 => (1 + numbers.below(9)) as f64,
        2 => numbers.below(400) as f64 / 100.0,
        _ => (1.0 + numbers.below(1000) as f64) / 7.0,
    };
    let costs: Vec<f64> = (0..columns).map(|_| cost(numbers)).collect();
    let density = 2 + numbers.below(4);
    let lists: Vec<(u32, Vec<usize>)> = (0..rows)
        .map(|_| {
            let need = 1 + numbers.below(most_need) as u32;
            (
                need,
                (0..columns)
                    .filter(|_| numbers.below(density + 1) == 0)
                    .collect(),
            )
        })
        .collect();
    let rows: Vec<(u32, &[usize])> = lists.iter().map(|(n, l)| (*n, l.as_slice())).collect();
    let fixed: Vec<usize> = (0..columns).filter(|_| numbers.below(12) == 0).collect();
    problem(&costs, &rows, &fixed)
}

fn run(problem: &CoverProblem, objective: Objective, max_nodes: u64) -> CoverSolution {
    solve(
        problem,
        &CoverOptions {
            objective,
            max_nodes,
        },
        &|_| ControlFlow::Continue(()),
    )
}

fn hopeless(problem: &CoverProblem) -> Vec<usize> {
    let short = |i: &usize| problem.rows[*i].columns.len() < problem.rows[*i].need as usize;
    (0..problem.rows.len()).filter(short).collect()
}

fn covers(problem: &CoverProblem, chosen: &[usize]) -> bool {
    let unmet = hopeless(problem);
    problem
        .rows
        .iter()
        .enumerate()
        .filter(|(i, _)| !unmet.contains(i))
        .all(|(_, row)| {
            row.columns.iter().filter(|c| chosen.contains(c)).count() >= row.need as usize
        })
        && problem.fixed.iter().all(|c| chosen.contains(c))
}

/// Least (count, cost) and least cost over all covers, by trying every choice.
fn brute_force(problem: &CoverProblem) -> ((usize, f64), f64) {
    let n = problem.columns.len();
    let (mut few, mut cheap) = ((usize::MAX, f64::INFINITY), f64::INFINITY);
    for mask in 0u32..1 << n {
        let chosen: Vec<usize> = (0..n).filter(|c| mask >> c & 1 == 1).collect();
        if !covers(problem, &chosen) {
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
    let mut numbers = Numbers(1);
    for case in 0..400 {
        let (columns, rows) = (1 + numbers.below(11), numbers.below(14));
        let problem = random(&mut numbers, columns, rows, 1 + case % 3);
        let (few, cheap) = brute_force(&problem);
        let found = run(&problem, Objective::CountThenCost, 10_000);
        assert!(
            covers(&problem, &found.chosen),
            "case {case}: {problem:?} {found:?}"
        );
        assert_eq!(found.unmet, hopeless(&problem), "case {case}");
        assert!(
            found.proven_count && found.proven_cost,
            "case {case}: {found:?}"
        );
        assert_eq!(
            (found.count, found.count_bound),
            (few.0, few.0),
            "case {case}: {problem:?}"
        );
        assert!(
            (found.cost - few.1).abs() < 1e-7,
            "case {case}: {found:?} {few:?} {problem:?}"
        );
        let found = run(&problem, Objective::Cost, 10_000);
        assert!(
            covers(&problem, &found.chosen) && found.proven_cost,
            "case {case}"
        );
        assert!(
            (found.cost - cheap).abs() < 1e-7,
            "case {case}: {found:?} {cheap}"
        );
        assert!(found.count_bound <= few.0);
        assert!(!found.proven_count || found.count == few.0);
    }
}

/// With hardly any nodes the answer is still a cover and its bounds are still true.
#[test]
fn bounds_stay_true_when_the_work_is_cut_short() {
    let mut numbers = Numbers(2);
    let mut cut = 0;
    for case in 0..150 {
        let problem = random(&mut numbers, 12, 24, 2);
        let (few, cheap) = brute_force(&problem);
        for nodes in [0, 1, 3] {
            let found = run(&problem, Objective::CountThenCost, nodes);
            assert!(covers(&problem, &found.chosen));
            assert!(
                found.count_bound <= few.0 && found.count >= few.0,
                "case {case}"
            );
            assert!(!found.proven_count || found.count == few.0, "case {case}");
            if found.count == few.0 {
                assert!(
                    found.cost_bound <= few.1 + 1e-7,
                    "case {case}: {found:?} {few:?}"
                );
            }
            if found.proven_cost {
                assert!((found.cost - few.1).abs() < 1e-7, "case {case}");
            }
            cut += usize::from(!found.proven_cost);
            let found = run(&problem, Objective::Cost, nodes);
            assert!(
                found.cost_bound <= cheap + 1e-7 && found.cost >= cheap - 1e-7,
                "case {case}"
            );
            assert!(
                !found.proven_cost || (found.cost - cheap).abs() < 1e-7,
                "case {case}"
            );
        }
    }
    assert!(cut > 0, "some case ought to be cut short");
}

#[test]
fn order_of_rows_and_of_columns_changes_nothing() {
    let mut numbers = Numbers(3);
    for _ in 0..60 {
        let problem = random(&mut numbers, 14, 20, 2);
        let mut other = problem.clone();
        for i in (1..other.rows.len()).rev() {
            other.rows.swap(i, numbers.below(i + 1));
        }
        let n = other.columns.len();
        other.columns.reverse();
        let places = other.rows.iter_mut().flat_map(|r| r.columns.iter_mut());
        places
            .chain(other.fixed.iter_mut())
            .for_each(|c| *c = n - 1 - *c);
        for objective in [Objective::CountThenCost, Objective::Cost] {
            let ids = |p: &CoverProblem| {
                let found = run(p, objective, 10_000);
                let mut ids: Vec<String> = found
                    .chosen
                    .iter()
                    .map(|c| p.columns[*c].id.clone())
                    .collect();
                ids.sort();
                ids
            };
            assert_eq!(ids(&problem), ids(&other));
        }
    }
}

#[test]
fn empty_problem_needs_nothing() {
    let found = run(&CoverProblem::default(), Objective::CountThenCost, 0);
    assert_eq!((found.count, found.cost, found.count_bound), (0, 0.0, 0));
    assert!(found.proven_count && found.proven_cost && found.unmet.is_empty());
}

#[test]
fn rows_that_cannot_be_met_are_left_out_and_reported() {
    let problem = problem(
        &[1.0, 1.0, 1.0],
        &[(1, &[]), (2, &[0]), (1, &[1]), (3, &[0, 2])],
        &[],
    );
    let found = run(&problem, Objective::CountThenCost, 100);
    assert_eq!((found.chosen, found.unmet), (vec![1], vec![0, 1, 3]));
}

#[test]
fn fixed_columns_count_towards_rows_and_totals() {
    let problem = problem(&[5.0, 1.0, 2.0], &[(2, &[0, 1, 2]), (1, &[0])], &[0]);
    let found = run(&problem, Objective::CountThenCost, 100);
    assert_eq!(
        (found.chosen, found.count, found.cost),
        (vec![0, 1], 2, 6.0)
    );
    assert_eq!((found.count_bound, found.cost_bound), (2, 6.0));
}

#[test]
fn fewest_and_cheapest_are_different_aims() {
    let problem = problem(&[10.0, 1.0, 1.0], &[(1, &[0, 1]), (1, &[0, 2])], &[]);
    assert_eq!(run(&problem, Objective::CountThenCost, 100).chosen, [0]);
    assert_eq!(run(&problem, Objective::Cost, 100).chosen, [1, 2]);
}

#[test]
fn bad_problems_are_named_and_survived() {
    let mut bad = problem(&[1.0, f64::NAN], &[(1, &[0, 9, 0])], &[7]);
    assert!(matches!(bad.check(), Err(CoverFault::Cost { .. })));
    assert_eq!(run(&bad, Objective::CountThenCost, 100).chosen, [0]);
    bad.columns[1].cost = 2.0;
    let message = bad.check().unwrap_err().to_string();
    assert_eq!(
        message,
        "row r000 lists column 9, but there are only 2; list existing ones"
    );
    bad.rows.clear();
    assert_eq!(
        bad.check(),
        Err(CoverFault::Fixed {
            column: 7,
            columns: 2
        })
    );
}

/// Lines of the Fano plane: any two meet in a point, so three points cover all lines (a line's
/// own), and two cannot, since each point is on three of the seven lines.
#[test]
fn fano_plane_needs_three_points() {
    let lines: [(u32, &[usize]); 7] = [
        (1, &[0, 1, 2]),
        (1, &[0, 3, 4]),
        (1, &[0, 5, 6]),
        (1, &[1, 3, 5]),
        (1, &[1, 4, 6]),
        (1, &[2, 3, 6]),
        (1, &[2, 4, 5]),
    ];
    let found = run(
        &problem(&[1.0; 7], &lines, &[]),
        Objective::CountThenCost,
        1000,
    );
    assert_eq!(
        (found.count, found.count_bound, found.proven_count),
        (3, 3, true)
    );
}

/// Fulkerson, Nemhauser and Trotter, "Two computationally difficult set covering problems", 1974
/// (from memory): the Steiner triple system of nine points (the affine plane of order 3) has least
/// cover 5.
#[test]
fn steiner_triples_of_nine_points_need_five() {
    let mut lines: Vec<Vec<usize>> = Vec::new();
    for (dx, dy) in [(1, 0), (0, 1), (1, 1), (1, 2)] {
        for start in 0..3 {
            let (x, y) = if dx == 0 { (start, 0) } else { (0, start) };
            let mut line: Vec<usize> = (0..3)
                .map(|k| (x + k * dx) % 3 * 3 + (y + k * dy) % 3)
                .collect();
            line.sort();
            lines.push(line);
        }
    }
    let rows: Vec<(u32, &[usize])> = lines.iter().map(|l| (1, l.as_slice())).collect();
    let found = run(
        &problem(&[1.0; 9], &rows, &[]),
        Objective::CountThenCost,
        1000,
    );
    assert_eq!((found.count, found.proven_count, rows.len()), (5, true, 12));
}

#[test]
fn progress_may_stop_the_work() {
    let mut numbers = Numbers(5);
    let problem = random(&mut numbers, 60, 200, 1);
    let stop = |_: CoverProgress| ControlFlow::Break(());
    let options = CoverOptions {
        objective: Objective::Cost,
        max_nodes: 1_000_000,
    };
    let found = solve(&problem, &options, &stop);
    assert!(covers(&problem, &found.chosen) && found.nodes < 100);
    assert!(found.cost_bound <= found.cost);
}

/// Places along a corridor that see three of their neighbours' rows either way, two needed a row:
/// long and narrow, and more than branching does soon.
fn corridor(numbers: &mut Numbers, columns: usize) -> CoverProblem {
    let costs: Vec<f64> = (0..columns)
        .map(|_| (1 + numbers.below(9)) as f64)
        .collect();
    let lists: Vec<Vec<usize>> = (0..columns)
        .map(|start| {
            let window = start..(start + 5).min(columns);
            let mut list: Vec<usize> = window.filter(|_| numbers.below(4) > 0).collect();
            list.extend((list.len() < 2).then_some((start + 7) % columns));
            list
        })
        .collect();
    let need = |list: &Vec<usize>| list.len().min(2) as u32;
    let rows: Vec<(u32, &[usize])> = lists.iter().map(|l| (need(l), l.as_slice())).collect();
    problem(&costs, &rows, &[])
}

#[test]
fn corridors_of_two_a_row_agree_with_trying_every_choice() {
    let mut numbers = Numbers(7);
    for case in 0..40 {
        let problem = corridor(&mut numbers, 10 + case % 6);
        let (few, _) = brute_force(&problem);
        let found = run(&problem, Objective::CountThenCost, 10_000);
        assert!(covers(&problem, &found.chosen) && found.proven_cost);
        assert_eq!((found.count, found.cost), few, "case {case}: {problem:?}");
    }
}

/// Columns of many rows each, so that comparing them takes long.
fn broad(numbers: &mut Numbers) -> CoverProblem {
    let costs: Vec<f64> = (0..4000).map(|_| (1 + numbers.below(9)) as f64).collect();
    let lists: Vec<Vec<usize>> = (0..300)
        .map(|_| (0..4000).filter(|_| numbers.below(10) == 0).collect())
        .collect();
    let rows: Vec<(u32, &[usize])> = lists.iter().map(|l| (1, l.as_slice())).collect();
    problem(&costs, &rows, &[])
}

#[test]
fn what_is_stopped_at_once_is_not_reduced_to_the_end() {
    let problem = broad(&mut Numbers(8));
    let asked = AtomicUsize::new(0);
    let stop = |so_far: CoverProgress| {
        asked.fetch_add(1, Relaxed);
        assert!(so_far.parts_done <= so_far.parts && so_far.nodes == 0);
        ControlFlow::Break(())
    };
    let options = CoverOptions {
        objective: Objective::Cost,
        max_nodes: 1_000_000,
    };
    let found = solve(&problem, &options, &stop);
    assert!(covers(&problem, &found.chosen) && !found.proven_cost);
    assert!(found.cost_bound <= found.cost && asked.into_inner() < 10);
}

/// Corridors that share no column are parts of their own.
#[test]
fn threads_change_nothing() {
    let mut numbers = Numbers(9);
    let mut rows = Vec::new();
    let mut columns = Vec::new();
    for n in 0..120 {
        let one = corridor(&mut numbers, 30 + n % 8);
        let first = columns.len();
        rows.extend(one.rows.into_iter().map(|row| Row {
            id: format!("{n}/{}", row.id),
            columns: row.columns.iter().map(|c| c + first).collect(),
            ..row
        }));
        columns.extend(one.columns.into_iter().map(|column| Column {
            id: format!("{n}/{}", column.id),
            ..column
        }));
    }
    let problem = CoverProblem {
        columns,
        rows,
        fixed: Vec::new(),
    };
    let stated = Stated::new(&problem);
    let left = reduce(stated.demands, &stated.costs, &|| true);
    let separate = parts(left.demands);
    let pool = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        pool.build().unwrap()
    };
    assert!(pool(4).install(|| threads_for(&separate).is_some()));
    let with = |threads: usize, max_nodes: u64| {
        let solved = || run(&problem, Objective::CountThenCost, max_nodes);
        pool(threads).install(solved)
    };
    let alone = with(1, 10_000);
    assert!(alone.proven_cost && covers(&problem, &alone.chosen));
    assert_eq!(with(4, 10_000), alone);
    // Cut short as well.
    assert_eq!(with(4, 2), with(1, 2));
}

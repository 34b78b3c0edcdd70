//! The choice of least weight: reduced, taken apart, each part searched.

use crate::engine::solve::cover::aims::{Limits, greatest_common_divisor};
use crate::engine::solve::cover::part::Part;
use crate::engine::solve::cover::reduce::{Demand, parts, reduce};
use crate::engine::solve::cover::root::{Found, search};

/// What is known of a cover before its cost is sought.
#[derive(Clone, Copy)]
pub(super) struct Known<'a> {
    /// Columns that every cover has at least.
    pub count: usize,
    /// What each column weighs beside its cost.
    pub head: f64,
    /// A good cover.
    pub cover: &'a [usize],
}

/// The least-weight choice that meets `demands`.
pub(super) fn minimise(
    demands: &[Demand],
    weights: &[f64],
    known: Option<Known>,
    limits: &Limits,
) -> Found {
    let reduced = reduce(demands.to_vec(), weights, &|| (limits.go_on)(0));
    let weigh = |chosen: &[usize]| chosen.iter().map(|c| weights[*c]).sum::<f64>();
    let mut all = Found {
        bound: weigh(&reduced.forced),
        chosen: reduced.forced,
        proven: true,
        nodes: 0,
    };
    let known = known.map(|known| Known {
        count: known.count.saturating_sub(all.chosen.len()),
        ..known
    });
    let separate = match known {
        Some(_) if !reduced.demands.is_empty() => vec![reduced.demands],
        _ => parts(reduced.demands),
    };
    let pieces = separate.len();
    for (done, demands) in separate.into_iter().enumerate() {
        let budget = limits.budget.saturating_sub(all.nodes) / (pieces - done) as u64;
        let nodes = all.nodes;
        let found = solve_part(demands, weights, known, budget, &|more| {
            (limits.go_on)(nodes + more)
        });
        all.chosen.extend(found.chosen);
        all.bound += found.bound;
        all.proven &= found.proven;
        all.nodes += found.nodes;
    }
    all.chosen.sort_unstable();
    all
}

fn solve_part(
    mut demands: Vec<Demand>,
    weights: &[f64],
    known: Option<Known>,
    budget: u64,
    go_on: &dyn Fn(u64) -> bool,
) -> Found {
    let mut columns: Vec<usize> = demands.iter().flat_map(|d| d.columns.clone()).collect();
    columns.sort_unstable();
    columns.dedup();
    for column in demands.iter_mut().flat_map(|d| d.columns.iter_mut()) {
        *column = columns.binary_search(column).unwrap_or(0);
    }
    let mut head = 0.0;
    let mut start = Vec::new();
    if let Some(known) = known.filter(|k| k.count > 0 && k.count <= columns.len()) {
        head = known.head;
        let place = |c: &usize| columns.binary_search(c).ok();
        start = known.cover.iter().filter_map(place).collect();
        demands.push(Demand {
            need: known.count,
            columns: (0..columns.len()).collect(),
        });
    }
    let weights: Vec<f64> = columns.iter().map(|c| weights[*c]).collect();
    let whole = weights.iter().all(|w| *w == w.round() && *w < 1e15);
    let divisor = |w: &[f64]| {
        w.iter()
            .fold(0, |d, w| greatest_common_divisor(d, *w as u64))
    };
    let step = if whole {
        divisor(&weights).max(1) as f64
    } else {
        0.0
    };
    let mut found = search(
        &Part {
            weights,
            demands,
            head,
            step,
        },
        &start,
        budget,
        go_on,
    );
    found.chosen.iter_mut().for_each(|c| *c = columns[*c]);
    found
}

//! The aims of a cover, one after the other: fewest columns, then least cost; or cost alone.

use crate::engine::solve::cover::least::{Known, minimise};
use crate::engine::solve::cover::reduce::Demand;

/// Nodes of branch and bound allowed; `go_on` is asked with those so far.
pub(super) struct Limits<'a> {
    pub budget: u64,
    pub go_on: &'a dyn Fn(u64) -> bool,
}

/// The answer for one separate part.
pub(super) struct Answer {
    pub chosen: Vec<usize>,
    pub count_bound: usize,
    /// Bound on the cost at the count found, and on the cost at any count.
    pub cost_bound: f64,
    pub any_cost_bound: f64,
    pub proven_count: bool,
    pub proven_cost: bool,
    pub nodes: u64,
}

pub(super) fn count_then_cost(demands: &[Demand], costs: &[f64], limits: &Limits) -> Answer {
    let units = vec![1.0; costs.len()];
    let half = Limits {
        budget: limits.budget - limits.budget / 2,
        go_on: limits.go_on,
    };
    let few = minimise(demands, &units, None, &half);
    let count_bound = few.bound.round() as usize;
    let cost = |chosen: &[usize]| chosen.iter().map(|c| costs[*c]).sum::<f64>();
    // A column more must weigh more than any cost that may be saved by it.
    let (unit, integers) = scale(demands, costs);
    let most = if few.proven {
        cost(&few.chosen)
    } else {
        costs.iter().sum()
    };
    let head = (most / unit).ceil() + 1.0;
    let head = if integers > 0.0 {
        (head / integers).ceil() * integers
    } else {
        head
    };
    let weights: Vec<f64> = costs
        .iter()
        .map(|c| head + scaled(*c, unit, integers))
        .collect();
    let rest = limits.budget.saturating_sub(few.nodes);
    let after = |more: u64| (limits.go_on)(few.nodes + more);
    let cheap = minimise(
        demands,
        &weights,
        Some(Known {
            count: count_bound,
            head,
            cover: &few.chosen,
        }),
        &Limits {
            budget: rest,
            go_on: &after,
        },
    );
    let weight = |chosen: &[usize]| chosen.iter().map(|c| weights[*c]).sum::<f64>();
    let better = weight(&cheap.chosen) <= weight(&few.chosen);
    let chosen = if better { cheap.chosen } else { few.chosen };
    let count_bound = if cheap.proven && better {
        chosen.len()
    } else {
        count_bound
    };
    let proven_count = chosen.len() == count_bound;
    let bound = (cheap.bound - chosen.len() as f64 * head) * unit;
    let any_cost_bound = if proven_count {
        0.0
    } else {
        cost_floor(demands, costs)
    };
    Answer {
        cost_bound: bound.clamp(0.0, cost(&chosen)),
        any_cost_bound,
        count_bound,
        proven_count,
        proven_cost: proven_count && cheap.proven && better,
        nodes: few.nodes + cheap.nodes,
        chosen,
    }
}

pub(super) fn cost_alone(demands: &[Demand], costs: &[f64], limits: &Limits) -> Answer {
    let (unit, integers) = scale(demands, costs);
    let weights: Vec<f64> = costs.iter().map(|c| scaled(*c, unit, integers)).collect();
    let cheap = minimise(demands, &weights, None, limits);
    let units = vec![1.0; costs.len()];
    let few = minimise(
        demands,
        &units,
        None,
        &Limits {
            budget: 0,
            go_on: limits.go_on,
        },
    );
    let count_bound = few.bound.round() as usize;
    let bound = cheap.bound * unit;
    Answer {
        proven_count: cheap.chosen.len() == count_bound,
        proven_cost: cheap.proven,
        count_bound,
        cost_bound: bound,
        any_cost_bound: bound,
        nodes: cheap.nodes,
        chosen: cheap.chosen,
    }
}

/// A bound on the cost of any cover.
fn cost_floor(demands: &[Demand], costs: &[f64]) -> f64 {
    minimise(
        demands,
        costs,
        None,
        &Limits {
            budget: 0,
            go_on: &|_| true,
        },
    )
    .bound
}

/// The unit that makes all costs whole numbers, and their greatest common divisor in that unit;
/// (1, 0) when neither whole, tenth nor hundredth units do.
fn scale(demands: &[Demand], costs: &[f64]) -> (f64, f64) {
    for per_unit in [1.0, 10.0, 100.0] {
        let used = demands
            .iter()
            .flat_map(|d| d.columns.iter().map(|c| costs[*c] * per_unit));
        let mut divisor: u64 = 0;
        let whole = used.into_iter().all(|c| {
            divisor = greatest_common_divisor(divisor, c.round() as u64);
            (c - c.round()).abs() <= 1e-9 * c.max(1.0) && c < 1e12
        });
        if whole {
            return (1.0 / per_unit, divisor.max(1) as f64);
        }
    }
    (1.0, 0.0)
}

fn scaled(cost: f64, unit: f64, integers: f64) -> f64 {
    if integers > 0.0 {
        (cost / unit).round()
    } else {
        cost
    }
}

pub(super) fn greatest_common_divisor(a: u64, b: u64) -> u64 {
    if b == 0 {
        a
    } else {
        greatest_common_divisor(b, a % b)
    }
}

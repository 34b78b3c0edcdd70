//! The answers for the separate parts, put together.

use crate::engine::solve::cover::aims::Answer;
use crate::engine::solve::cover::stated::Stated;
use crate::engine::solve::cover::{CoverProblem, CoverSolution, Objective};

/// The cover of a problem from the answers for its separate parts and the columns forced.
pub(super) fn put_together(
    problem: &CoverProblem,
    stated: &Stated,
    forced: &[usize],
    parts: &[Answer],
    objective: Objective,
) -> CoverSolution {
    let given = stated.fixed.len() + forced.len();
    let cost_of = |c: &usize| Some(problem.columns[*c].cost).filter(|c| c.is_finite() && *c > 0.0);
    let place = |c: &usize| stated.order[*c];
    let mut chosen: Vec<usize> = stated.fixed.clone();
    chosen.extend(forced.iter().map(place));
    let given_cost: f64 = chosen.iter().filter_map(cost_of).sum();
    chosen.extend(parts.iter().flat_map(|p| p.chosen.iter().map(place)));
    chosen.sort_unstable();
    let cost = chosen.iter().filter_map(cost_of).sum();
    let proven_count = parts.iter().all(|p| p.proven_count);
    let proven_cost = parts.iter().all(|p| p.proven_cost);
    let at_count = proven_count || objective == Objective::Cost;
    let bound = |p: &Answer| {
        if at_count {
            p.cost_bound
        } else {
            p.any_cost_bound
        }
    };
    let cost_bound = given_cost + parts.iter().map(bound).sum::<f64>();
    CoverSolution {
        count: chosen.len(),
        cost,
        count_bound: given + parts.iter().map(|p| p.count_bound).sum::<usize>(),
        cost_bound: if proven_cost {
            cost
        } else {
            cost_bound.min(cost)
        },
        proven_count,
        proven_cost,
        unmet: stated.unmet.clone(),
        nodes: parts.iter().map(|p| p.nodes).sum(),
        chosen,
    }
}

//! The answers for the separate parts, put together.

use crate::engine::solve::cover::aims::Answer;
use crate::engine::solve::cover::stated::Stated;
use crate::engine::solve::cover::{CoverProblem, CoverSolution, Objective};

#[derive(Default)]
pub(super) struct Total {
    pub parts: Vec<Answer>,
    pub nodes: u64,
    pub stopped: bool,
}

impl Total {
    pub fn finish(
        self,
        problem: &CoverProblem,
        stated: &Stated,
        forced: &[usize],
        objective: Objective,
    ) -> CoverSolution {
        let given = stated.fixed.len() + forced.len();
        let cost_of =
            |c: &usize| Some(problem.columns[*c].cost).filter(|c| c.is_finite() && *c > 0.0);
        let place = |c: &usize| stated.order[*c];
        let mut chosen: Vec<usize> = stated.fixed.clone();
        chosen.extend(forced.iter().map(place));
        let given_cost: f64 = chosen.iter().filter_map(cost_of).sum();
        chosen.extend(self.parts.iter().flat_map(|p| p.chosen.iter().map(place)));
        chosen.sort_unstable();
        let cost = chosen.iter().filter_map(cost_of).sum();
        let proven_count = self.parts.iter().all(|p| p.proven_count);
        let proven_cost = self.parts.iter().all(|p| p.proven_cost);
        let at_count = proven_count || objective == Objective::Cost;
        let bound = |p: &Answer| {
            if at_count {
                p.cost_bound
            } else {
                p.any_cost_bound
            }
        };
        let cost_bound = given_cost + self.parts.iter().map(bound).sum::<f64>();
        CoverSolution {
            count: chosen.len(),
            cost,
            count_bound: given + self.parts.iter().map(|p| p.count_bound).sum::<usize>(),
            cost_bound: if proven_cost {
                cost
            } else {
                cost_bound.min(cost)
            },
            proven_count,
            proven_cost,
            unmet: stated.unmet.clone(),
            nodes: self.nodes,
            chosen,
        }
    }
}

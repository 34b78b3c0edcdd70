//! A problem as it is solved: columns in the order of their identifiers, less what is fixed or
//! hopeless.

use crate::engine::solve::cover::CoverProblem;
use crate::engine::solve::cover::reduce::Demand;

pub(super) struct Stated {
    /// For each column in the new order its place in the problem.
    pub order: Vec<usize>,
    pub costs: Vec<f64>,
    pub demands: Vec<Demand>,
    pub fixed: Vec<usize>,
    pub unmet: Vec<usize>,
}

impl Stated {
    pub fn new(problem: &CoverProblem) -> Self {
        let n = problem.columns.len();
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|a, b| {
            problem.columns[*a]
                .id
                .cmp(&problem.columns[*b].id)
                .then(a.cmp(b))
        });
        let mut place = vec![0; n];
        order
            .iter()
            .enumerate()
            .for_each(|(new, old)| place[*old] = new);
        let cost = |c: &usize| Some(problem.columns[*c].cost).filter(|c| c.is_finite() && *c > 0.0);
        let costs = order.iter().map(|c| cost(c).unwrap_or(0.0)).collect();
        let mut fixed: Vec<usize> = problem.fixed.iter().copied().filter(|c| *c < n).collect();
        fixed.sort_unstable();
        fixed.dedup();
        let (mut demands, mut unmet) = (Vec::new(), Vec::new());
        for (i, row) in problem.rows.iter().enumerate() {
            let mut columns: Vec<usize> = row.columns.iter().copied().filter(|c| *c < n).collect();
            columns.sort_unstable();
            columns.dedup();
            let all = columns.len();
            columns.retain(|c| fixed.binary_search(c).is_err());
            let need = (row.need as usize).saturating_sub(all - columns.len());
            if need > columns.len() {
                unmet.push(i);
            } else if need > 0 {
                columns.iter_mut().for_each(|c| *c = place[*c]);
                columns.sort_unstable();
                demands.push(Demand { need, columns });
            }
        }
        demands.sort();
        demands.dedup();
        Stated {
            order,
            costs,
            demands,
            fixed,
            unmet,
        }
    }
}

//! What is left to choose: rows less what fixed columns meet and what no choice meets, columns less
//! those that others serve for.

use std::collections::BTreeMap;

use crate::engine::solve::allowance::Allowance;
use crate::engine::solve::cover::CoverProblem;

/// A row that may have to be met.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Open {
    pub columns: Vec<usize>,
    pub need: usize,
    /// The allowance it is in; `None` where it must be met.
    pub group: Option<usize>,
}

/// A problem with its allowances as they are solved.
pub(super) struct Stated {
    /// Columns of the problem in the order of their identifiers, less the fixed.
    pub order: Vec<usize>,
    pub fixed: Vec<usize>,
    /// Rows that no choice meets and no allowance lets be.
    pub unmet: Vec<usize>,
    /// Those that leave anything open, whole: rows that no choice meets count in them.
    pub allowances: Vec<Allowance>,
    /// Alike rows are one; with what they weigh.
    pub rows: Vec<(Open, u64)>,
    /// What of each allowance is left for the rows.
    pub most: Vec<u64>,
}

/// States `problem`. An allowance that rows without enough columns go beyond lets no row be short:
/// what can be met is to be met.
pub(super) fn stated(problem: &CoverProblem, allowances: &[Allowance]) -> Stated {
    let n = problem.columns.len();
    let columns = |row: usize| {
        let mut columns: Vec<usize> = problem.rows[row].columns.clone();
        columns.retain(|column| *column < n);
        columns.sort_unstable();
        columns.dedup();
        columns
    };
    let is_hopeless = |row: usize| columns(row).len() < problem.rows[row].need as usize;
    let mut fixed: Vec<usize> = problem.fixed.iter().copied().filter(|c| *c < n).collect();
    fixed.sort_unstable();
    fixed.dedup();
    let mut stated = Stated {
        order: (0..n).filter(|c| fixed.binary_search(c).is_err()).collect(),
        fixed,
        unmet: Vec::new(),
        allowances: Vec::new(),
        rows: Vec::new(),
        most: Vec::new(),
    };
    let id = |column: &usize| (&problem.columns[*column].id, *column);
    stated.order.sort_by(|a, b| id(a).cmp(&id(b)));
    let mut group: BTreeMap<usize, (usize, u64)> = BTreeMap::new();
    for allowance in allowances {
        let gone = allowance.weight(is_hopeless);
        if allowance.most >= gone {
            let rows = allowance.rows.iter().zip(&allowance.weights);
            let idx = stated.allowances.len();
            group.extend(rows.map(|(row, weight)| (*row, (idx, *weight))));
            stated.allowances.push(allowance.clone());
            stated.most.push(allowance.most - gone);
        }
    }
    let mut rows: BTreeMap<Open, u64> = BTreeMap::new();
    for (idx, row) in problem.rows.iter().enumerate() {
        let (of, weight) = match group.get(&idx) {
            Some((of, weight)) => (Some(*of), *weight),
            None => (None, 0),
        };
        if is_hopeless(idx) {
            stated.unmet.extend(of.is_none().then_some(idx));
            continue;
        }
        let all = columns(idx);
        let free = |column: &usize| stated.fixed.binary_search(column).is_err();
        let columns: Vec<usize> = all.iter().copied().filter(free).collect();
        let need = (row.need as usize).saturating_sub(all.len() - columns.len());
        if need > 0 && (of.is_none() || weight > 0) {
            let group = of.filter(|of| weight <= stated.most[*of]);
            let open = Open {
                columns,
                need,
                group,
            };
            *rows.entry(open).or_default() += weight;
        }
    }
    stated.rows = rows.into_iter().collect();
    stated
}

/// The stated problem with one weight for each column: columns are numbered anew.
pub(super) struct Part {
    /// Places of its columns in the problem.
    pub names: Vec<usize>,
    pub fixed: Vec<usize>,
    pub weights: Vec<f64>,
    pub rows: Vec<Open>,
    /// What each row weighs.
    pub heavy: Vec<u64>,
    /// The rows of each column.
    pub serves: Vec<Vec<usize>>,
    pub most: Vec<u64>,
}

impl Part {
    /// `weights` are of the columns of the problem.
    pub fn new(stated: &Stated, weights: &[f64]) -> Self {
        let mut served = vec![Vec::new(); weights.len()];
        for (idx, (row, _)) in stated.rows.iter().enumerate() {
            row.columns.iter().for_each(|c| served[*c].push(idx));
        }
        let names: Vec<usize> = (stated.order.iter().copied())
            .filter(|column| !is_replaceable(stated, &served, weights, *column))
            .collect();
        let mut place = vec![usize::MAX; weights.len()];
        (names.iter().enumerate()).for_each(|(new, column)| place[*column] = new);
        let kept = |columns: &[usize]| {
            let kept = columns.iter().map(|column| place[*column]);
            let mut kept: Vec<usize> = kept.filter(|column| *column != usize::MAX).collect();
            kept.sort_unstable();
            kept
        };
        let row = |row: &Open| Open {
            columns: kept(&row.columns),
            ..row.clone()
        };
        Part {
            weights: names.iter().map(|column| weights[*column]).collect(),
            serves: names.iter().map(|column| served[*column].clone()).collect(),
            rows: stated.rows.iter().map(|(open, _)| row(open)).collect(),
            heavy: stated.rows.iter().map(|(_, weight)| *weight).collect(),
            fixed: stated.fixed.clone(),
            most: stated.most.clone(),
            names,
        }
    }
}

/// Whether a column can be left out: it serves nothing, or at least as many others as the largest
/// need it serves serve all of its rows for no more weight. A choice that has it can have one of
/// those instead, or has all of them and does without it. Of equal columns the first stays.
fn is_replaceable(stated: &Stated, served: &[Vec<usize>], weights: &[f64], column: usize) -> bool {
    let rows = &served[column];
    let few = rows.iter().map(|row| &stated.rows[*row].0.columns);
    let Some(rarest) = few.min_by_key(|columns| columns.len()) else {
        return true;
    };
    let most = rows.iter().map(|row| stated.rows[*row].0.need).max();
    let place = |column: usize| stated.order.iter().position(|one| *one == column);
    let better = rarest.iter().filter(|other| {
        let (theirs, w, v) = (&served[**other], weights[**other], weights[column]);
        let first = || w < v || theirs.len() > rows.len() || place(**other) < place(column);
        **other != column && w <= v && is_subset(rows, theirs) && first()
    });
    better.count() >= most.unwrap_or(1)
}

/// Whether the sorted `small` is a subset of the sorted `large`.
fn is_subset(small: &[usize], large: &[usize]) -> bool {
    let mut rest = large.iter();
    let mut found = |one: &usize| rest.by_ref().find(|other| *other >= one) == Some(one);
    small.len() <= large.len() && small.iter().all(&mut found)
}

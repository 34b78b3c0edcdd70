//! Exact reductions of a cover: forced columns, implied rows, replaceable columns, separate parts.
//!
//! Sources: J. E. Beasley, "An algorithm for set covering problem", European Journal of Operational
//! Research 31(1), 1987, for one cover a row; the rule for replaceable columns is widened here.

use crate::engine::solve::cover::part::Serves;

/// Columns of which at least `need` are wanted. Columns are sorted and distinct.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Demand {
    pub need: usize,
    pub columns: Vec<usize>,
}

/// What is left to decide after reduction.
#[derive(Debug, Clone, Default)]
pub(super) struct Reduced {
    pub forced: Vec<usize>,
    pub demands: Vec<Demand>,
}

/// Comparisons of a row or column between questions whether to go on.
const ASK_EVERY: usize = 200_000;

/// Asks now and then whether to go on.
struct Asking<'a> {
    go_on: &'a dyn Fn() -> bool,
    done: usize,
    over: bool,
}

impl Asking<'_> {
    /// Whether it is over, after so many more comparisons.
    fn is_over(&mut self, comparisons: usize) -> bool {
        self.done += comparisons;
        if self.done >= ASK_EVERY {
            self.done = 0;
            self.over |= !(self.go_on)();
        }
        self.over
    }
}

/// Reduces `demands` until nothing more follows, or `go_on`, asked now and then, says no. Columns
/// that others can replace by `weights` (by column) are dropped: a least-weight choice survives,
/// and among those one of the fewest columns, though not every one.
pub(super) fn reduce(
    mut demands: Vec<Demand>,
    weights: &[f64],
    go_on: &dyn Fn() -> bool,
) -> Reduced {
    let mut asking = Asking {
        go_on,
        done: 0,
        over: false,
    };
    let mut forced = Vec::new();
    loop {
        demands = force(demands, &mut forced);
        demands = drop_implied(demands, &mut asking);
        let replaceable = replaceable(&demands, weights, &mut asking);
        if replaceable.is_empty() {
            break;
        }
        for demand in &mut demands {
            demand
                .columns
                .retain(|c| replaceable.binary_search(c).is_err());
        }
    }
    forced.sort_unstable();
    Reduced { forced, demands }
}

/// The parts of `demands` that share no column, each in the order given.
pub(super) fn parts(demands: Vec<Demand>) -> Vec<Vec<Demand>> {
    let columns = demands.iter().filter_map(|d| d.columns.last()).max();
    // The least column known to be joined to each.
    let mut joined: Vec<usize> = (0..columns.map_or(0, |c| c + 1)).collect();
    fn least(joined: &mut [usize], mut column: usize) -> usize {
        while joined[column] != column {
            joined[column] = joined[joined[column]];
            column = joined[column];
        }
        column
    }
    for demand in &demands {
        for pair in demand.columns.windows(2) {
            let (a, b) = (least(&mut joined, pair[0]), least(&mut joined, pair[1]));
            joined[a.max(b)] = a.min(b);
        }
    }
    let mut parts: Vec<Vec<Demand>> = vec![Vec::new(); joined.len()];
    for demand in demands {
        if let Some(&first) = demand.columns.first() {
            parts[least(&mut joined, first)].push(demand);
        }
    }
    parts.retain(|part| !part.is_empty());
    parts
}

/// Takes the columns of demands that need all of theirs, and drops what they meet.
fn force(mut demands: Vec<Demand>, forced: &mut Vec<usize>) -> Vec<Demand> {
    loop {
        let mut taken: Vec<usize> = demands
            .iter()
            .filter(|d| d.columns.len() <= d.need)
            .flat_map(|d| d.columns.iter().copied())
            .collect();
        taken.sort_unstable();
        taken.dedup();
        if taken.is_empty() {
            demands.retain(|d| d.need > 0);
            return demands;
        }
        for demand in &mut demands {
            let before = demand.columns.len();
            demand.columns.retain(|c| taken.binary_search(c).is_err());
            demand.need = demand.need.saturating_sub(before - demand.columns.len());
        }
        demands.retain(|d| d.need > 0 && !d.columns.is_empty());
        forced.extend(taken);
    }
}

/// Drops each demand that another one implies: a subset of its columns with no smaller need.
fn drop_implied(mut demands: Vec<Demand>, asking: &mut Asking) -> Vec<Demand> {
    demands.sort();
    demands.dedup();
    let listing = listing(&demands);
    let marks: Vec<u64> = demands.iter().map(|d| mark(d.columns.iter())).collect();
    let mut implied = vec![false; demands.len()];
    for (i, demand) in demands.iter().enumerate() {
        let rarest = demand.columns.iter().min_by_key(|c| listing.of(**c).len());
        let Some(column) = rarest.filter(|_| !implied[i]) else {
            continue;
        };
        let others = listing.of(*column);
        if asking.is_over(others.len()) {
            break;
        }
        for j in others.iter().map(|j| *j as usize) {
            let other = &demands[j];
            let may = i != j && marks[i] & !marks[j] == 0;
            if may && !implied[j] && other.need <= demand.need {
                implied[j] = is_subset(&demand.columns, &other.columns);
            }
        }
    }
    let mut keep = implied.iter().map(|i| !i);
    demands.retain(|_| keep.next().unwrap_or(true));
    demands
}

/// The columns that can be left out, sorted. A column can be left out when at least as many others
/// as the largest need it serves serve all of its demands for no more weight: a choice that has it
/// can have one of those instead, or has all of them and does without it. Of equal columns the
/// lower number stays.
fn replaceable(demands: &[Demand], weights: &[f64], asking: &mut Asking) -> Vec<usize> {
    let served = listing(demands);
    let marks: Vec<u64> = (0..served.columns())
        .map(|c| mark(served.of(c).iter()))
        .collect();
    let mut replaceable = Vec::new();
    for column in 0..served.columns() {
        let rows = served.of(column);
        let need = |r: &u32| demands[*r as usize].need;
        let most = rows.iter().map(need).max().unwrap_or(0);
        let few = rows.iter().map(|r| &demands[*r as usize].columns);
        let Some(rarest) = few.min_by_key(|columns| columns.len()) else {
            continue;
        };
        if asking.is_over(rarest.len()) {
            break;
        }
        let better = rarest.iter().filter(|other| {
            if marks[column] & !marks[**other] != 0 {
                return false;
            }
            let (theirs, w, v) = (served.of(**other), weights[**other], weights[column]);
            let first = w < v || theirs.len() > rows.len() || **other < column;
            **other != column && w <= v && first && is_subset(rows, theirs)
        });
        if better.take(most).count() >= most {
            replaceable.push(column);
        }
    }
    replaceable
}

/// One bit for each member; several share a bit. A subset has no bit that the whole has not.
fn mark<'a, T: Copy + TryInto<u64> + 'a>(members: impl Iterator<Item = &'a T>) -> u64 {
    let bit = |member: &T| 1 << ((*member).try_into().unwrap_or(0) % 64);
    members.map(bit).fold(0, |all: u64, one: u64| all | one)
}

/// For each column the demands that list it, in order.
fn listing(demands: &[Demand]) -> Serves {
    let last = demands.iter().filter_map(|d| d.columns.last()).max();
    Serves::new(last.map_or(0, |c| c + 1), demands)
}

/// Whether the sorted `small` is a subset of the sorted `large`.
fn is_subset<T: Ord>(small: &[T], large: &[T]) -> bool {
    if small.len() > large.len() {
        return false;
    }
    let mut rest = large.iter();
    small
        .iter()
        .all(|s| rest.by_ref().find(|l| *l >= s) == Some(s))
}

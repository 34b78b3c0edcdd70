//! The steps of solving a part, each alone against trying every choice.

use std::cell::Cell;

use super::bound::Effort;
use super::linear::relax;
use super::numbers::Numbers;
use super::part::Part;
use super::reduce::Demand;
use super::search::Search;
use super::sweep::LONG;

/// Columns in a row; each demand lists some that are near one another and needs up to `most_need`.
fn narrow(numbers: &mut Numbers, columns: usize, most_need: usize) -> Part {
    let list = |numbers: &mut Numbers, start: usize| -> Vec<usize> {
        let near = start..(start + 5).min(columns);
        let list: Vec<usize> = near.clone().filter(|_| numbers.below(4) > 0).collect();
        if list.is_empty() {
            near.collect()
        } else {
            list
        }
    };
    let demands = (0..columns).map(|start| {
        let columns = list(numbers, start);
        let need = (1 + numbers.below(most_need)).min(columns.len());
        Demand { need, columns }
    });
    Part {
        demands: demands.collect(),
        weights: (0..columns)
            .map(|_| (1 + numbers.below(9)) as f64)
            .collect(),
        head: 0.0,
        step: 1.0,
    }
}

fn covers(part: &Part, chosen: &[usize]) -> bool {
    let served = |d: &Demand| chosen.iter().filter(|c| d.columns.contains(c)).count();
    part.demands.iter().all(|d| served(d) >= d.need)
}

fn weigh(part: &Part, chosen: &[usize]) -> f64 {
    chosen.iter().map(|c| part.weights[*c]).sum()
}

fn least(part: &Part) -> f64 {
    let n = part.weights.len();
    let choices = (0_u32..1 << n).map(|mask| (0..n).filter(|c| mask >> c & 1 == 1).collect());
    let covers = choices.filter(|chosen: &Vec<usize>| covers(part, chosen));
    covers
        .map(|chosen| weigh(part, &chosen))
        .fold(f64::INFINITY, f64::min)
}

/// A search whose best cover is all columns.
fn begun<'a>(part: &Part, go_on: &'a dyn Fn(u64) -> bool) -> Search<'a> {
    let mut search = Search::new(part.clone(), u64::MAX, go_on);
    search.best = (0..part.weights.len()).collect();
    search.best_weight = part.weights.iter().sum();
    search
}

#[test]
fn sweep_finds_the_least_of_all_choices() {
    let mut numbers = Numbers::from(1);
    for case in 0..120 {
        let part = narrow(&mut numbers, 8 + case % 6, 1 + case % 3);
        let mut search = begun(&part, &|_| true);
        // Poor prices drop few choices, so that most is left to the sweep.
        let mut prices = vec![0.0; part.demands.len()];
        let effort = if case % 2 == 0 {
            Effort::ONCE
        } else {
            Effort::NODE
        };
        let raised = search.raise(&mut prices, effort);
        search.best = (0..part.weights.len()).collect();
        search.best_weight = part.weights.iter().sum::<f64>() + 1.0;
        assert!(search.sweep(&prices, &raised, LONG), "case {case}");
        assert!(covers(&part, &search.best), "case {case}: {part:?}");
        assert_eq!(
            weigh(&part, &search.best),
            search.best_weight,
            "case {case}"
        );
        assert_eq!(search.best_weight, least(&part), "case {case}: {part:?}");
    }
}

/// A count that every cover has may weigh on each column, as when cost follows count.
#[test]
fn sweep_with_a_known_count_finds_the_least() {
    let mut numbers = Numbers::from(2);
    for case in 0..60 {
        let mut part = narrow(&mut numbers, 8 + case % 6, 2);
        let costs = part.weights.clone();
        part.weights.iter_mut().for_each(|w| *w = 1.0);
        let count = least(&part) as usize;
        let head = 100.0;
        part.weights = costs.iter().map(|c| c + head).collect();
        part.head = head;
        part.demands.push(Demand {
            need: count,
            columns: (0..costs.len()).collect(),
        });
        let mut search = begun(&part, &|_| true);
        let mut prices = search.first_prices();
        let raised = search.raise(&mut prices, Effort::NODE);
        search.best = (0..part.weights.len()).collect();
        search.best_weight = part.weights.iter().sum::<f64>() + 1.0;
        assert!(search.sweep(&prices, &raised, LONG), "case {case}");
        assert_eq!(search.best_weight, least(&part), "case {case}: {part:?}");
    }
}

#[test]
fn sweep_can_be_stopped() {
    let mut numbers = Numbers::from(3);
    let mut part = narrow(&mut numbers, 300, 3);
    part.weights.iter_mut().for_each(|w| *w = 1.0);
    let asked = Cell::new(0);
    let go_on = |_: u64| {
        asked.set(asked.get() + 1);
        false
    };
    let mut search = begun(&part, &go_on);
    // Without prices nothing is dropped.
    let mut prices = vec![0.0; part.demands.len()];
    let raised = search.raise(&mut prices, Effort::ONCE);
    search.best_weight = 1e9;
    assert!(!search.sweep(&prices, &raised, LONG) && search.stopped);
    assert_eq!(asked.get(), 1);
}

/// Seven lines of three points, any two of which meet: a third of each point serves, and no less
/// than 7/3 does, each line being worth a third.
#[test]
fn relaxation_of_the_fano_plane_is_seven_thirds() {
    let lines = [
        [0, 1, 2],
        [0, 3, 4],
        [0, 5, 6],
        [1, 3, 5],
        [1, 4, 6],
        [2, 3, 6],
        [2, 4, 5],
    ];
    let part = Part {
        weights: vec![1.0; 7],
        demands: lines
            .map(|line| Demand {
                need: 1,
                columns: line.to_vec(),
            })
            .to_vec(),
        head: 0.0,
        step: 1.0,
    };
    let relaxed = relax(&part, &|| true).unwrap();
    let third = |x: &f64| (x - 1.0 / 3.0).abs() < 1e-6;
    assert!(relaxed.prices.iter().all(third), "{:?}", relaxed.prices);
    assert!(relaxed.shares.iter().all(third), "{:?}", relaxed.shares);
}

/// The weight of the shares is the bound of the prices: both are then the optimum.
#[test]
fn shares_and_prices_of_a_relaxation_agree() {
    let mut numbers = Numbers::from(4);
    for case in 0..100 {
        let part = narrow(&mut numbers, 4 + case % 40, 1 + case % 3);
        let relaxed = relax(&part, &|| true).unwrap();
        for demand in &part.demands {
            let served: f64 = demand.columns.iter().map(|c| relaxed.shares[*c]).sum();
            assert!(served > demand.need as f64 - 1e-6, "case {case}");
        }
        assert!(
            relaxed
                .shares
                .iter()
                .all(|s| (-1e-6..1.0 + 1e-6).contains(s))
        );
        let weights = relaxed.shares.iter().zip(&part.weights);
        let weight: f64 = weights.map(|(s, w)| s * w).sum();
        let mut search = begun(&part, &|_| true);
        let mut prices = relaxed.prices.clone();
        let bound = search.raise(&mut prices, Effort::ONCE).bound;
        assert!(
            (weight - bound).abs() < 1e-4,
            "case {case}: {weight} {bound}"
        );
    }
}

#[test]
fn exchanges_find_the_least_of_all_choices() {
    let mut numbers = Numbers::from(5);
    for case in 0..60 {
        let part = narrow(&mut numbers, 8 + case % 6, 1 + case % 3);
        let mut search = begun(&part, &|_| true);
        search.exchange(0.0, 200_000, &mut Numbers::from(1));
        assert!(covers(&part, &search.best), "case {case}");
        assert_eq!(
            weigh(&part, &search.best),
            search.best_weight,
            "case {case}"
        );
        assert_eq!(search.best_weight, least(&part), "case {case}: {part:?}");
    }
}

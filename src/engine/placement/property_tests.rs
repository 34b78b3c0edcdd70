//! Properties of coverage and of suggestions that hold for any room.

use std::collections::BTreeMap;

use proptest::prelude::*;

use crate::engine::drawn::{detector, empty, room, source};
use crate::engine::results::Results;
use crate::engine::{Scope, Silent, run, suggest};
use crate::geometry::{Point, Polygon};
use crate::model::*;

const HYDROGEN: &str = "1333-74-0";

/// A room of 6 to 14 m by 5 to 9 m in shares of its sides, with hydrogen, watched by sources alone
/// or over its whole floor, by one or two in reach of each.
#[derive(Debug, Clone)]
struct Made {
    side: (f64, f64),
    whole_floor: bool,
    need: f64,
    sources: Vec<Share>,
    detectors: Vec<Share>,
    partition: Option<(Share, Share)>,
}

/// A place in shares of the sides.
type Share = (f64, f64);

fn share() -> impl Strategy<Value = Share> {
    (0.03..0.97_f64, 0.03..0.97_f64)
}

fn made() -> impl Strategy<Value = Made> {
    (
        (6.0..14.0_f64, 5.0..9.0_f64),
        any::<bool>(),
        1..=2_u8,
        prop::collection::vec(share(), 1..5),
        prop::collection::vec(share(), 0..4),
        prop::option::of((share(), share())),
    )
        .prop_map(
            |(side, whole_floor, need, sources, detectors, partition)| Made {
                side,
                whole_floor,
                need: f64::from(need),
                sources,
                detectors,
                partition,
            },
        )
}

impl Made {
    fn place(&self, (x, y): Share) -> [f64; 2] {
        [x * self.side.0, y * self.side.1].map(|metres: f64| (metres * 100.0).round() / 100.0)
    }

    fn by_hand(&self, id: u32, at: Share) -> Detector {
        detector(id, self.place(at), 2.85, HYDROGEN, Band::High)
    }

    fn barrier(&self, id: u32, (a, b): (Share, Share)) -> Barrier {
        Barrier {
            id: BarrierId(id),
            floor: FloorId(1),
            line: vec![self.place(a).into(), self.place(b).into()],
            height: None,
            underside: None,
        }
    }

    fn project(&self) -> Project {
        let mut project = empty();
        let corner = [self.side.0, self.side.1];
        let room_use = match self.whole_floor {
            true => RoomUse::PlantRoom,
            false => RoomUse::Workshop,
        };
        project.rooms = [room(1, [0.0, 0.0], corner, room_use)]
            .into_iter()
            .collect();
        let sources = self.sources.iter().zip(1..);
        project.sources = sources
            .map(|(at, id)| source(id, self.place(*at), HYDROGEN, Holding::Gas))
            .collect();
        let detectors = self.detectors.iter().zip(1..);
        project.detectors = detectors.map(|(at, id)| self.by_hand(id, *at)).collect();
        let partition = self.partition.map(|ends| self.barrier(1, ends));
        project.barriers = partition.into_iter().collect();
        let (key, value) = ("need_flammable".to_owned(), Some(self.need));
        apply(&project, &Edit::SetBasis { key, value }).expect("one or two")
    }
}

/// Area that each detector is said to have in reach, m2.
fn areas(results: &Results) -> BTreeMap<DetectorId, f64> {
    let area = |rings: &[Vec<Point>]| {
        let signed = rings
            .iter()
            .map(|ring| Polygon::new(ring.clone()).signed_area());
        signed.sum::<f64>().abs()
    };
    let detectors = results.detectors.iter();
    detectors
        .map(|(id, found)| (*id, area(&found.coverage)))
        .collect()
}

/// Distances from each detector to each source it has in reach, m.
fn distances(results: &Results) -> BTreeMap<(String, DetectorId), f64> {
    let of_sources = results
        .demands
        .iter()
        .filter(|demand| demand.size.is_none());
    let pairs = of_sources.flat_map(|demand| {
        let by = demand.met_by.iter();
        by.map(|one| ((demand.id.clone(), one.detector), one.figure.value))
    });
    pairs.collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_further_detector_never_lowers_coverage(made in made(), further in share()) {
        let project = made.project();
        let before = run(&project, &Silent);
        let mut more = project.clone();
        more.detectors.put(made.by_hand(99, further));
        let after = run(&more, &Silent);
        prop_assert_eq!(before.demands.len(), after.demands.len());
        for (before, after) in before.demands.iter().zip(&after.demands) {
            prop_assert_eq!(&before.id, &after.id);
            prop_assert!(after.watching >= before.watching, "{}", after.title);
            prop_assert!(after.met || !before.met, "{}", after.title);
            let watched = |demand: &crate::engine::results::Demand| {
                demand.watched.map_or(0.0, |area| area.value)
            };
            prop_assert!(watched(after) >= watched(before), "{}", after.title);
        }
        let before = areas(&before);
        let after = areas(&after);
        prop_assert!(before.iter().all(|(id, area)| after[id] == *area));
    }

    #[test]
    fn a_further_partition_never_raises_reach(made in made(), ends in (share(), share())) {
        let project = made.project();
        let before = run(&project, &Silent);
        let mut divided = project.clone();
        divided.barriers.put(made.barrier(99, ends));
        let after = run(&divided, &Silent);
        let open = distances(&before);
        for (pair, length) in distances(&after) {
            let shorter = open.get(&pair).copied();
            prop_assert!(shorter.is_some_and(|open| open <= length + 1e-9), "{pair:?} {shorter:?}");
        }
        let open = areas(&before);
        for (id, area) in areas(&after) {
            // Rings are set out to the millimetre.
            prop_assert!(area <= open[&id] + 0.05, "{id}: {area} of {}", open[&id]);
        }
        for (before, after) in before.demands.iter().zip(&after.demands) {
            prop_assert!(after.watching <= before.watching, "{}", after.title);
        }
    }

    #[test]
    fn what_is_placed_by_hand_stays_and_is_enough_or_told(made in made()) {
        let project = made.project();
        let suggestion = suggest(&project, Scope::Project, &Silent);
        let after = apply(&project, &suggestion.edit).expect("a sound edit");
        for kept in &project.detectors {
            prop_assert_eq!(after.detectors.get(kept.id), Some(kept));
        }
        let results = run(&after, &Silent);
        for demand in results.demands.iter().filter(|demand| !demand.met) {
            let id = format!("coverage.unmet/{}", demand.id);
            prop_assert!(results.findings.iter().any(|finding| finding.id == id));
        }
        for cover in results.rooms.values().flat_map(|room| &room.covers) {
            prop_assert!(cover.bound.value <= cover.fewest.value);
            prop_assert!(cover.fewest.value >= project.detectors.len() as f64);
        }
    }

    /// Other ids for the same things: the same places are suggested.
    #[test]
    fn the_order_of_the_input_changes_nothing(made in made(), turn in 1..4_usize) {
        let mut turned = made.clone();
        let n = made.sources.len();
        turned.sources.rotate_left(turn % n);
        turned.detectors.reverse();
        let seats = |made: &Made| {
            let project = made.project();
            let suggestion = suggest(&project, Scope::Project, &Silent);
            let after = apply(&project, &suggestion.edit).expect("a sound edit");
            let seat = |one: &Detector| (one.at.x.to_string(), one.at.y.to_string());
            let mut seats: Vec<_> = after.detectors.iter().map(seat).collect();
            seats.sort();
            seats
        };
        prop_assert_eq!(seats(&made), seats(&turned));
    }
}

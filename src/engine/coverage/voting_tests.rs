use crate::engine::drawn::{detector, drawn, room, source};
use crate::engine::results::{Demand, DemandKind, Results};
use crate::engine::{Severity, Silent, run};
use crate::geometry::Point;
use crate::model::*;

const HYDROGEN: &str = "1333-74-0";

/// A room 12 m by 6 m with a source of hydrogen in its middle.
fn plain(room_use: RoomUse, need: f64) -> Project {
    let mut project = crate::engine::drawn::empty();
    project.rooms = [room(1, [0.0, 0.0], [12.0, 6.0], room_use)]
        .into_iter()
        .collect();
    project.sources = [source(1, [6.0, 3.0], HYDROGEN, Holding::Gas)]
        .into_iter()
        .collect();
    with(&project, "need_flammable", need)
}

fn with(project: &Project, key: &str, value: f64) -> Project {
    let (key, value) = (key.to_owned(), Some(value));
    apply(project, &Edit::SetBasis { key, value }).unwrap()
}

fn watched_from(project: &Project, places: &[[f64; 2]]) -> Results {
    let mut project = project.clone();
    let numbered = places.iter().zip(1..);
    project.detectors = numbered
        .map(|(at, id)| detector(id, *at, 2.7, HYDROGEN, Band::High))
        .collect();
    run(&project, &Silent)
}

fn of_source(results: &Results) -> &Demand {
    let is = |demand: &&Demand| matches!(demand.kind, DemandKind::Source(_));
    results.demands.iter().find(is).unwrap()
}

fn message(results: &Results) -> String {
    let unmet = |one: &&crate::engine::Finding| one.id.starts_with("coverage.unmet/source");
    results
        .findings
        .iter()
        .find(unmet)
        .map(|one| one.message.clone())
        .unwrap_or_default()
}

#[test]
fn a_demand_is_met_only_by_as_many_detectors_as_it_needs() {
    let project = plain(RoomUse::Workshop, 2.0);
    let one = watched_from(&project, &[[5.0, 3.0]]);
    assert!(!of_source(&one).met);
    assert!(
        message(&one).contains("by 1 of the 2 detectors"),
        "{}",
        message(&one)
    );
    let two = watched_from(&project, &[[5.0, 3.0], [7.0, 3.0]]);
    assert!(of_source(&two).met);
    let three = with(&project, "need_flammable", 3.0);
    assert!(!of_source(&watched_from(&three, &[[5.0, 3.0], [7.0, 3.0]])).met);
    let places = [[5.0, 3.0], [7.0, 3.0], [6.0, 4.5]];
    assert!(of_source(&watched_from(&three, &places)).met);
}

#[test]
fn detectors_closer_than_they_must_stand_apart_count_as_one() {
    let project = plain(RoomUse::Workshop, 2.0);
    let close = watched_from(&project, &[[5.0, 3.0], [5.3, 3.0]]);
    assert_eq!(of_source(&close).watching, 1);
    assert!(
        message(&close).contains("closer than 0.5 m"),
        "{}",
        message(&close)
    );
    // The middle one of three in a row, 0.3 m from each, takes no vote away from the outer two.
    let row = watched_from(&project, &[[5.0, 3.0], [5.3, 3.0], [5.6, 3.0]]);
    assert!(of_source(&row).met);
}

#[test]
fn of_a_floor_that_two_must_watch_only_what_both_reach_counts() {
    let project = plain(RoomUse::Store, 2.0);
    let floor = |results: Results| {
        let is = |demand: &Demand| demand.kind == DemandKind::Area;
        results
            .demands
            .into_iter()
            .find(is)
            .unwrap()
            .watched
            .unwrap()
            .value
    };
    assert!(floor(watched_from(&project, &[[1.0, 3.0]])) == 0.0);
    assert!(floor(watched_from(&project, &[[1.0, 3.0], [11.0, 3.0]])) == 0.0);
    let both = floor(watched_from(&project, &[[4.0, 3.0], [8.0, 3.0]]));
    // What is within 5 m of both: two segments of discs between the walls, by Simpson's rule on
    // their height at x = 3 to 9: min(3, sqrt(25 - (|x - 6| + 2)^2)) on each side.
    let half = |x: f64| {
        (25.0 - (x - 6.0_f64).abs().mul_add(1.0, 2.0).powi(2))
            .max(0.0)
            .sqrt()
    };
    let n = 6000;
    let step = 6.0 / f64::from(n);
    let area: f64 = (0..n)
        .map(|k| 2.0 * half(3.0 + (f64::from(k) + 0.5) * step).min(3.0) * step)
        .sum();
    assert!((both / area - 1.0).abs() < 0.05, "{both} of {area} m2");
}

/// Places that follow from a seed.
fn places(seed: u64, n: usize) -> Vec<[f64; 2]> {
    let mut state = seed;
    let mut next = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as f64 / f64::from(1_u32 << 31)
    };
    (0..n)
        .map(|_| [0.2 + 11.6 * next(), 0.2 + 5.6 * next()])
        .collect()
}

/// For each demand how many count for it and how much of it is watched.
fn coverage(results: &Results) -> Vec<(u32, f64)> {
    let figures = |demand: &Demand| {
        (
            demand.watching,
            demand.watched.map_or(0.0, |watched| watched.value),
        )
    };
    results.demands.iter().map(figures).collect()
}

#[test]
fn adding_a_detector_never_lowers_coverage() {
    for need in [1.0, 2.0, 3.0] {
        let project = plain(RoomUse::Store, need);
        for seed in 0..4 {
            let places = places(seed, 7);
            let mut before = coverage(&watched_from(&project, &[]));
            for n in 1..=places.len() {
                let after = coverage(&watched_from(&project, &places[..n]));
                for (before, after) in before.iter().zip(&after) {
                    assert!(
                        after.0 >= before.0 && after.1 >= before.1 - 1e-9,
                        "seed {seed}, {n}"
                    );
                }
                before = after;
            }
        }
    }
}

#[test]
fn moving_a_barrier_in_never_raises_reach() {
    let project = plain(RoomUse::Store, 1.0);
    for seed in 0..12 {
        let seats = places(seed, 3);
        let ends = places(seed + 100, 2);
        let mut parted = project.clone();
        let barrier = Barrier {
            id: BarrierId(1),
            floor: FloorId(1),
            line: ends.into_iter().map(Point::from).collect(),
            height: None,
            underside: None,
        };
        parted.barriers = [barrier].into_iter().collect();
        let (open, parted) = (
            watched_from(&project, &seats),
            watched_from(&parted, &seats),
        );
        for (before, after) in open.demands.iter().zip(&parted.demands) {
            assert!(after.watching <= before.watching, "seed {seed}");
            for met in &after.met_by {
                let same = |one: &&crate::engine::results::MetBy| one.detector == met.detector;
                let figure = before
                    .met_by
                    .iter()
                    .find(same)
                    .expect("in reach before")
                    .figure;
                match before.kind {
                    DemandKind::Source(_)
                    | DemandKind::Terminal(_)
                    | DemandKind::Opening(_)
                    | DemandKind::Pit(_) => {
                        assert!(met.figure.value >= figure.value - 1e-6)
                    }
                    DemandKind::Area => assert!(met.figure.value <= figure.value + 1e-9),
                }
            }
        }
    }
}

#[test]
fn what_would_be_lost_without_one_of_two_that_vote_is_told() {
    let project = plain(RoomUse::Workshop, 2.0);
    let results = watched_from(&project, &[[5.0, 3.0], [7.0, 3.0]]);
    assert_eq!(
        results.detectors[&DetectorId(1)].without,
        "Without AT-101 fewer than 2 would watch source 1."
    );
    let three = watched_from(&project, &[[5.0, 3.0], [7.0, 3.0], [6.0, 4.5]]);
    assert_eq!(
        three.detectors[&DetectorId(1)].without,
        "Without AT-101 everything it watches is still watched by others."
    );
}

/// Common practice (from memory: IEC 61511-1): a vote of two of two falls with one left out.
#[test]
fn a_vote_of_two_that_leaves_a_fault_out_is_a_warning_with_a_remedy() {
    let warned = |project: &Project| {
        let findings = run(project, &Silent).findings.into_iter();
        let mut of_voting = findings.filter(|one| one.id.starts_with("voting."));
        of_voting.next()
    };
    assert!(warned(&plain(RoomUse::Workshop, 1.0)).is_none());
    assert!(warned(&plain(RoomUse::Workshop, 3.0)).is_none());
    let two = plain(RoomUse::Workshop, 2.0);
    assert!(warned(&with(&two, "vote_fault", 1.0)).is_none());
    let finding = warned(&two).unwrap();
    assert_eq!(finding.severity, Severity::Warning);
    let fixed = apply(&two, &finding.fix.unwrap().edit).unwrap();
    assert!(warned(&fixed).is_none());
    // No toxic gas here: what the basis asks for it is nobody's concern.
    assert!(warned(&with(&plain(RoomUse::Workshop, 1.0), "need_toxic", 2.0)).is_none());
}

#[test]
fn a_gas_with_two_hazards_needs_as_many_as_the_more_demanding_asks_for() {
    let picture = "
        +----+
        | s  |
        +----+";
    let keys = [('s', "7664-41-7", Holding::LiquefiedGas)];
    let project = drawn(picture, RoomUse::Workshop, &keys);
    let project = with(&project, "need_flammable", 2.0);
    let demands = run(&project, &Silent).demands;
    let high = demands
        .iter()
        .find(|demand| demand.band == Band::High)
        .unwrap();
    assert_eq!((high.hazard, high.wanted()), (Hazard::Toxic, 2));
}

/// The screen that shades a floor by how many watch each place counts by the same cases.
#[test]
fn the_screen_counts_detectors_as_coverage_does() {
    #[derive(serde::Deserialize)]
    struct Case {
        what: String,
        apart: f64,
        places: Vec<Point>,
        counts: usize,
    }
    let text = include_str!("../../../tests/data/coverage/counting_cases.json");
    let cases: Vec<Case> = serde_json::from_str(text).unwrap();
    assert!(cases.len() >= 10);
    for case in cases {
        let standing = |at: &Point| super::InReach {
            at: *at,
            ..super::InReach::default()
        };
        let found: Vec<_> = case.places.iter().map(standing).collect();
        let found: Vec<_> = found.iter().collect();
        let counted = super::counting(&found, 3, case.apart).len();
        assert_eq!(counted, case.counts, "{}", case.what);
    }
}

use std::collections::BTreeSet;

use crate::engine::drawn::{detector, drawn, empty, room, source};
use crate::engine::results::{DemandKind, Results};
use crate::engine::{Severity, Silent, preview, run};
use crate::geometry::{Point, Polygon};
use crate::model::*;

const HYDROGEN: &str = "1333-74-0";

/// An L-shaped store, 10 m by 4 m and 5 m by 2 m, with hydrogen and one detector by hand.
fn store() -> Project {
    let mut project = empty();
    let mut store = room(1, [0.0, 0.0], [10.0, 6.0], RoomUse::Store);
    store.outline = [
        [0.0, 0.0],
        [10.0, 0.0],
        [10.0, 6.0],
        [5.0, 6.0],
        [5.0, 4.0],
        [0.0, 4.0],
    ]
    .map(Point::from)
    .to_vec();
    project.rooms = [store].into_iter().collect();
    project.sources = [source(1, [2.0, 1.0], HYDROGEN, Holding::Gas)]
        .into_iter()
        .collect();
    project.detectors = [detector(1, [4.0, 2.0], 2.7, HYDROGEN, Band::High)]
        .into_iter()
        .collect();
    project
}

fn has(results: &Results, id: &str) -> Option<Severity> {
    results
        .findings
        .iter()
        .find(|one| one.id == id)
        .map(|one| one.severity)
}

/// The ring against the sum of the cells whose middles lie in reach: two ways to one area.
#[test]
fn the_outline_of_the_reach_holds_the_area_that_the_cells_say() {
    let finer = Edit::SetBasis {
        key: "area_cell".to_owned(),
        value: Some(0.2),
    };
    let results = run(&apply(&store(), &finer).unwrap(), &Silent);
    let detector = &results.detectors[&DetectorId(1)];
    let [ring] = detector.coverage.as_slice() else {
        panic!("one ring")
    };
    let area = Polygon::new(ring.clone()).area();
    let floor = results
        .demands
        .iter()
        .find(|demand| demand.kind == DemandKind::Area)
        .unwrap();
    let watched = floor.watched.unwrap().value;
    assert!((area - watched).abs() < 0.4, "{area} and {watched} m2");
}

/// Behind a partition only what is left of the reach after the way round its end counts. Area by
/// hand: the half disc on this side and, beyond, a quarter disc of 5 m less the way to the end.
#[test]
fn the_outline_goes_round_the_end_of_a_partition() {
    let picture = "
        +--------------------+
        |          |         |
        |          |         |
        |          |         |
        |          |         |
        |          |         |
        |          |         |
        |      s   |         |
        |                    |
        |                    |
        |                    |
        |                    |
        |                    |
        |                    |
        +--------------------+";
    let mut project = drawn(
        picture,
        RoomUse::Laboratory,
        &[('s', HYDROGEN, Holding::Gas)],
    );
    // On the line of the partition's end at (10.5, 7), 3 m before it.
    let at = [7.5, 7.0];
    project.detectors = [detector(1, at, 2.7, HYDROGEN, Band::High)]
        .into_iter()
        .collect();
    let results = run(&project, &Silent);
    let [ring] = results.detectors[&DetectorId(1)].coverage.as_slice() else {
        panic!("one ring")
    };
    let area = Polygon::new(ring.clone()).area();
    let disc = std::f64::consts::PI * 25.0;
    // Of the segment of the disc beyond x = 10.5 the upper half is hidden, but for a quarter disc
    // of the 2 m that are left at the end.
    let half_angle = (3.0_f64 / 5.0).acos();
    let segment = 25.0 * (half_angle - half_angle.sin() * half_angle.cos());
    let expected = disc - segment / 2.0 + std::f64::consts::PI;
    // 96 rays: chords take a thousandth off a disc.
    assert!(
        (area / expected - 1.0).abs() < 0.002,
        "{area}, by hand {expected}"
    );
}

#[test]
fn a_source_in_the_next_room_is_reached_through_an_open_way_only() {
    let mut project = empty();
    project.rooms = [
        room(1, [0.0, 0.0], [4.0, 4.0], RoomUse::Laboratory),
        room(2, [4.0, 0.0], [8.0, 4.0], RoomUse::Laboratory),
    ]
    .into_iter()
    .collect();
    project.sources = [source(1, [3.0, 2.0], HYDROGEN, Holding::Gas)]
        .into_iter()
        .collect();
    project.detectors = [detector(1, [5.0, 2.0], 2.7, HYDROGEN, Band::High)]
        .into_iter()
        .collect();
    let mut opening = Opening {
        id: OpeningId(1),
        floor: FloorId(1),
        a: Point::new(4.0, 1.0),
        b: Point::new(4.0, 3.0),
        form: OpeningForm::OpenWay,
        head: None,
    };
    project.openings = [opening.clone()].into_iter().collect();
    let met = |project: &Project| {
        let demand = run(project, &Silent).demands.remove(0);
        demand.met_by.first().map(|by| by.figure.value)
    };
    assert_eq!(met(&project), Some(2.0));
    opening.form = OpeningForm::Door;
    project.openings = [opening].into_iter().collect();
    assert_eq!(met(&project), None);
}

#[test]
fn what_would_be_lost_without_a_detector_is_told() {
    let mut project = store();
    let without = |project: &Project| {
        run(project, &Silent).detectors[&DetectorId(1)]
            .without
            .clone()
    };
    assert_eq!(
        without(&project),
        "Without AT-101 nothing would watch source 1 and 41.5 m² of the floor of G.01 Room."
    );
    let twin = detector(2, [4.0, 2.0], 2.7, HYDROGEN, Band::High);
    let twin = Edit::Add {
        item: Item::Detector(twin),
    };
    project = apply(&project, &twin).unwrap();
    assert_eq!(
        without(&project),
        "Without AT-101 everything it watches is still watched by others."
    );
}

#[test]
fn a_detector_that_nothing_asks_for_is_noted_and_one_outside_is_a_blocker() {
    let mut project = store();
    for stray in [
        detector(2, [4.0, 2.0], 0.3, "74-98-6", Band::Low),
        detector(3, [40.0, 2.0], 2.7, HYDROGEN, Band::High),
    ] {
        project = apply(
            &project,
            &Edit::Add {
                item: Item::Detector(stray),
            },
        )
        .unwrap();
    }
    let results = run(&project, &Silent);
    assert_eq!(
        has(&results, "coverage.nothing_to_watch/detector-2"),
        Some(Severity::Note)
    );
    assert_eq!(
        has(&results, "coverage.detector_outside/detector-3"),
        Some(Severity::Blocker)
    );
    assert!(results.detectors[&DetectorId(3)].coverage.is_empty());
}

#[test]
fn a_detector_set_for_the_flammable_hazard_does_not_serve_the_toxic_one() {
    let mut project = drawn(
        "
        +----+
        | s  |
        +----+",
        RoomUse::Laboratory,
        &[('s', "7664-41-7", Holding::LiquefiedGas)],
    );
    let mut own = detector(1, [1.5, 0.5], 2.7, "7664-41-7", Band::High);
    let high = |own: &Detector| {
        let mut project = project.clone();
        project.detectors = [own.clone()].into_iter().collect();
        let demands = run(&project, &Silent).demands;
        demands
            .into_iter()
            .find(|demand| demand.band == Band::High)
            .unwrap()
    };
    assert_eq!(high(&own).hazard, Hazard::Toxic);
    assert!(!high(&own).met);
    own.hazard = Hazard::Toxic;
    assert!(high(&own).met);
    project.sources = Register::default();
    assert!(run(&project, &Silent).demands.is_empty());
}

#[test]
fn the_same_project_gives_the_same_results() {
    assert_eq!(run(&store(), &Silent), run(&store(), &Silent));
}

#[test]
fn a_preview_says_what_the_whole_calculation_says() {
    let project = store();
    let whole = run(&project, &Silent);
    let touched = BTreeSet::from([DetectorId(1)]);
    let Results {
        detectors, demands, ..
    } = preview(&project, &touched);
    let (one, other) = (&detectors[&DetectorId(1)], &whole.detectors[&DetectorId(1)]);
    assert_eq!(one.coverage, other.coverage);
    assert_eq!((&one.without, &one.meets), (&other.without, &other.meets));
    let ids = |demands: &[crate::engine::results::Demand]| {
        demands
            .iter()
            .map(|demand| (demand.id.clone(), demand.met))
            .collect::<Vec<_>>()
    };
    assert_eq!(ids(&demands), ids(&whole.demands));
}

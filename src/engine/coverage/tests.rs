use std::collections::BTreeSet;

use crate::engine::coverage::distance_lines;
use crate::engine::drawn::{detector, drawn, empty, room, source};
use crate::engine::results::{DemandKind, Results};
use crate::engine::{Scope, Severity, Silent, preview, run, suggest};
use crate::geometry::{Point, Polygon};
use crate::model::*;
use crate::units::Metres;

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
    let mut project = drawn(picture, RoomUse::Workshop, &[('s', HYDROGEN, Holding::Gas)]);
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
        room(1, [0.0, 0.0], [4.0, 4.0], RoomUse::Workshop),
        room(2, [4.0, 0.0], [8.0, 4.0], RoomUse::Workshop),
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
        RoomUse::Workshop,
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
    own.part = Some("D-NH3".to_owned());
    assert!(high(&own).met);
    project.sources = Register::default();
    assert!(run(&project, &Silent).demands.is_empty());
}

#[test]
fn a_part_whose_principle_is_blind_to_the_gas_is_refused_with_the_reason() {
    let mut project = store();
    let part = project.catalogue.items.iter_mut().next().unwrap();
    let ItemKind::DetectorDevice { principle, .. } = &mut part.kind else {
        panic!("the first part is a detector");
    };
    *principle = Principle::Infrared;
    let mut own = detector(77, [1.5, 0.5], 2.7, "1333-74-0", Band::High);
    own.part = Some(part.part.clone());
    project.detectors = [own].into_iter().collect();
    let findings = run(&project, &Silent).findings;
    let found = findings
        .iter()
        .find(|finding| finding.id == "placement.part_principle/detector-77")
        .unwrap();
    assert_eq!(found.severity, crate::engine::Severity::Blocker);
    assert!(
        found.message.contains("absorbs no infrared"),
        "{}",
        found.message
    );
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

/// A yard of 12 m by 6 m with a hydrogen source at each height, 2 m apart in a row.
fn yard(heights: &[f64]) -> Project {
    let mut project = empty();
    let mut yard = room(1, [0.0, 0.0], [12.0, 6.0], RoomUse::Outdoor);
    (yard.enclosure, yard.ceiling) = (Enclosure::Outdoor, None);
    project.rooms = [yard].into_iter().collect();
    let numbered = heights.iter().zip(1..);
    project.sources = numbered
        .map(|(height, id)| ReleaseSource {
            height: Some(Metres::new(*height)),
            ..source(id, [2.0 * f64::from(id), 3.0], HYDROGEN, Holding::Gas)
        })
        .collect();
    project
}

fn met(results: &Results) -> Vec<bool> {
    results.demands.iter().map(|demand| demand.met).collect()
}

/// A light gas in the open is sought within 2 m above its source (GB/T 50493-2019).
#[test]
fn outdoors_a_detector_counts_for_the_sources_below_its_own_height_only() {
    let mut project = yard(&[0.5, 5.0]);
    for (height, expected) in [
        (1.5, [true, false]),
        (6.0, [false, true]),
        (4.0, [false, false]),
    ] {
        project.detectors = [detector(1, [3.0, 3.0], height, HYDROGEN, Band::High)]
            .into_iter()
            .collect();
        let results = run(&project, &Silent);
        assert_eq!(met(&results), expected, "at {height} m");
        let off = has(&results, "mounting.height/detector-1");
        assert_eq!(off.is_some(), expected == [false, false], "at {height} m");
    }
}

/// By hand: one point must lie in each [h, h + 2 m].
#[test]
fn outdoors_as_few_heights_are_suggested_as_the_sources_allow() {
    for (heights, fewest) in [
        (vec![1.0, 1.0, 1.0], 1),
        (vec![1.0, 2.0, 2.9], 1),
        (vec![0.5, 5.0], 2),
        (vec![1.0, 2.5, 4.0], 2),
        (vec![0.5, 3.0, 5.5], 3),
    ] {
        let project = yard(&heights);
        let suggestion = suggest(&project, Scope::Project, &Silent);
        assert!(suggestion.proven, "{:?}", suggestion.remarks);
        let after = apply(&project, &suggestion.edit).unwrap();
        assert_eq!(after.detectors.len(), fewest, "{heights:?}");
        let results = run(&after, &Silent);
        assert!(met(&results).into_iter().all(|met| met), "{heights:?}");
        let again = suggest(&after, Scope::Project, &Silent);
        assert_eq!((again.n_added, again.n_removed), (0, 0), "{heights:?}");
        assert!(!has_prefix(&results, "mounting.height"), "{heights:?}");
    }
}

fn has_prefix(results: &Results, prefix: &str) -> bool {
    let mut findings = results.findings.iter();
    findings.any(|one| one.id.starts_with(prefix))
}

/// Heavier than air: 0.3 to 0.6 m above the floor (GB/T 50493-2019); 0.1 m is the basis's own.
#[test]
fn a_low_detector_counts_to_the_published_height_and_the_stated_tolerance() {
    let picture = "
        +----+
        | s  |
        +----+";
    let mut project = drawn(
        picture,
        RoomUse::Workshop,
        &[('s', "74-98-6", Holding::Gas)],
    );
    for (height, tolerance, counts, told) in [
        (0.6, None, true, false),
        (0.68, None, true, true),
        (0.75, None, false, true),
        (0.62, Some(0.0), false, true),
    ] {
        project.detectors = [detector(1, [3.0, 0.5], height, "74-98-6", Band::Low)]
            .into_iter()
            .collect();
        let edit = Edit::SetBasis {
            key: "height_tolerance".to_owned(),
            value: tolerance,
        };
        let results = run(&apply(&project, &edit).unwrap(), &Silent);
        assert_eq!(met(&results), [counts], "at {height} m");
        let warned = has(&results, "mounting.height/detector-1").is_some();
        assert_eq!(warned, told, "at {height} m");
    }
}

#[test]
fn the_whole_floor_of_an_ammonia_plant_room_is_watched_in_each_band_it_is_sought_in() {
    let picture = "
        +----------+
        |          |
        | s        |
        |          |
        +----------+";
    let keys = [('s', "7664-41-7", Holding::Gas)];
    let areas = |room_use| {
        let results = run(&drawn(picture, room_use, &keys), &Silent);
        let mut areas: Vec<(Band, Hazard)> = (results.demands.iter())
            .filter(|demand| demand.kind == DemandKind::Area)
            .map(|demand| (demand.band, demand.hazard))
            .collect();
        areas.sort();
        let mut bands: Vec<Band> = results.demands.iter().map(|demand| demand.band).collect();
        bands.sort();
        bands.dedup();
        (areas, bands)
    };
    let (plant, bands) = areas(RoomUse::PlantRoom);
    assert_eq!(bands, [Band::High, Band::Breathing]);
    assert_eq!(plant.iter().map(|one| one.0).collect::<Vec<_>>(), bands);
    assert!(plant.iter().all(|one| one.1 == Hazard::Toxic), "{plant:?}");
    assert!(areas(RoomUse::Workshop).0.is_empty());
}

#[test]
fn lines_of_equal_distance_bend_round_a_corner() {
    let project = store();
    let results = run(&project, &Silent);
    let lines = distance_lines(&project, &results, DetectorId(1));
    let metres: Vec<f64> = lines.iter().map(|line| line.metres).collect();
    assert_eq!(metres, [1.0, 2.0, 3.0, 4.0, 5.0]);
    assert_eq!(lines[4].rings, results.detectors[&DetectorId(1)].coverage);
    // 3.93 m as the crow flies, 4.04 m round the corner at (5, 4), by hand.
    let behind = Point::new(5.02, 5.8);
    let holds = |n: usize| Polygon::new(lines[n].rings[0].clone()).contains(behind);
    assert!(!holds(3) && holds(4));
    assert!(distance_lines(&project, &results, DetectorId(9)).is_empty());
}

use crate::engine::drawn::{detector, empty, room, source};
use crate::engine::results::{Demand, DemandKind, Results};
use crate::engine::{Scope, Silent, run, suggest};
use crate::geometry::Point;
use crate::model::*;
use crate::units::Unit;

const HYDROGEN: &str = "1333-74-0";

/// A workshop of 20 m by 6 m with a source that goes so far, watched by its sources alone.
fn workshop(extent: Option<Extent>) -> Project {
    let mut project = empty();
    let workshop = room(1, [0.0, 0.0], [20.0, 6.0], RoomUse::Workshop);
    project.rooms = [workshop].into_iter().collect();
    let at_one_place = source(1, [10.0, 1.0], HYDROGEN, Holding::Gas);
    let source = ReleaseSource {
        extent,
        ..at_one_place
    };
    project.sources = [source].into_iter().collect();
    project
}

fn points(corners: &[[f64; 2]]) -> Vec<Point> {
    corners.iter().copied().map(Point::from).collect()
}

fn pipe() -> Project {
    workshop(Some(Extent::Line(points(&[[1.0, 1.0], [19.0, 1.0]]))))
}

fn of_source(results: &Results) -> &Demand {
    let mut demands = results.demands.iter();
    let of = demands.find(|demand| matches!(demand.kind, DemandKind::Source(_)));
    of.expect("the source is to be watched")
}

fn suggested(project: &Project) -> Project {
    let suggestion = suggest(project, Scope::Project, &Silent);
    apply(project, &suggestion.edit).expect("a sound edit")
}

/// Reach 5 m: two detectors see at most 20 m of a straight pipe, and 18 m less than that by their
/// distance from it; by hand, 1 m off they see 2 sqrt(25 - 1) = 9.8 m each.
#[test]
fn a_pipe_run_needs_as_many_detectors_as_its_length_asks_for() {
    let at_one_place = suggested(&workshop(None));
    assert_eq!(at_one_place.detectors.len(), 1);
    let after = suggested(&pipe());
    assert_eq!(after.detectors.len(), 2);
    let results = run(&after, &Silent);
    let demand = of_source(&results);
    let (watched, size) = (demand.watched.unwrap(), demand.size.unwrap());
    assert_eq!((size.value, size.unit), (18.0, Unit::Metre));
    assert!((watched.value - 18.0).abs() < 1e-9 && demand.met);
    let cover = &results.rooms[&RoomId(1)].covers[0];
    assert!(cover.proven && cover.fewest.value == 2.0);
    // The gas may come from the far end of what a detector has in reach.
    let farthest = demand.met_by.iter().map(|one| one.figure.value);
    assert!(
        farthest.clone().all(|metres| (3.0..=5.0).contains(&metres)),
        "{farthest:?}"
    );
}

/// A detector at (4, 1) has the pipe from 1 to 9 m in reach: 8 of 18 m.
#[test]
fn a_pipe_run_watched_in_part_is_a_blocker_that_says_how_much_is_not() {
    let mut project = pipe();
    project.detectors = [detector(1, [4.0, 1.0], 2.85, HYDROGEN, Band::High)]
        .into_iter()
        .collect();
    let results = run(&project, &Silent);
    let demand = of_source(&results);
    assert!(!demand.met && (demand.watched.unwrap().value - 8.0).abs() < 0.26);
    let id = format!("coverage.unmet/{}", demand.id);
    let finding = results.findings.iter().find(|one| one.id == id).unwrap();
    assert!(
        finding
            .message
            .starts_with("10.0 m of the 18.0 m of source 1"),
        "{}",
        finding.message
    );
    let without = &results.detectors[&DetectorId(1)].without;
    assert!(without.contains("8.0 m of source 1"), "{without}");
}

/// A rack of 12 m by 4 m: every half metre of it must be in reach.
#[test]
fn an_area_is_watched_over_all_of_it() {
    let corners = [[4.0, 1.0], [16.0, 1.0], [16.0, 5.0], [4.0, 5.0]];
    let after = suggested(&workshop(Some(Extent::Area(points(&corners)))));
    assert_eq!(after.detectors.len(), 2);
    let results = run(&after, &Silent);
    let demand = of_source(&results);
    assert_eq!(demand.size.unwrap().unit, Unit::SquareMetre);
    assert!((demand.watched.unwrap().value - 48.0).abs() < 1e-9);
    assert!(
        results.rooms[&RoomId(1)]
            .scenario
            .as_ref()
            .unwrap()
            .floor
            .is_none()
    );
}

#[test]
fn what_of_a_run_leaves_the_room_is_told_and_left_out() {
    let mut project = workshop(Some(Extent::Line(points(&[[10.0, 1.0], [10.0, 9.0]]))));
    let next = room(2, [0.0, 6.2], [20.0, 10.0], RoomUse::Workshop);
    project.rooms.put(next);
    let results = run(&project, &Silent);
    let id = "coverage.extent_outside/source-1";
    let finding = results.findings.iter().find(|one| one.id == id).unwrap();
    assert!(
        finding
            .message
            .starts_with("3.0 m of the pipe run of source 1"),
        "{}",
        finding.message
    );
    assert!((of_source(&results).size.unwrap().value - 5.0).abs() < 1e-9);
}

/// A laboratory watched by its sources alone, with a cylinder in a gas cabinet.
fn cabinet() -> Project {
    let mut project = workshop(None);
    let extract = AirTerminal {
        id: AirTerminalId(1),
        floor: FloorId(1),
        kind: AirTerminalKind::Cupboard,
        at: Point::new(10.0, 0.5),
        height: None,
        flow: None,
    };
    project.terminals = [extract].into_iter().collect();
    project
}

#[test]
fn a_cabinet_is_watched_in_its_extract_and_the_room_beside_it() {
    let after = suggested(&cabinet());
    let at: Vec<Point> = after.detectors.iter().map(|one| one.at).collect();
    let in_extract = |at: &Point| at.distance(Point::new(10.0, 0.5)) <= 0.3;
    assert_eq!(at.iter().filter(|at| in_extract(at)).count(), 1, "{at:?}");
    assert_eq!(
        at.len(),
        2,
        "one in the extract watches nothing of the room"
    );
    assert!(run(&after, &Silent).demands.iter().all(|demand| demand.met));
    let (key, value) = ("watch_cupboards".to_owned(), Some(0.0));
    let off = apply(&cabinet(), &Edit::SetBasis { key, value }).unwrap();
    assert_eq!(suggested(&off).detectors.len(), 1);
}

#[test]
fn a_detector_in_an_extract_does_not_watch_the_source_in_the_room() {
    let mut project = cabinet();
    project.detectors = [detector(1, [10.0, 0.5], 2.85, HYDROGEN, Band::High)]
        .into_iter()
        .collect();
    let results = run(&project, &Silent);
    let met: Vec<(DemandKind, bool)> = results
        .demands
        .iter()
        .map(|one| (one.kind, one.met))
        .collect();
    let expected = [
        (DemandKind::Source(SourceId(1)), false),
        (DemandKind::Terminal(AirTerminalId(1)), true),
    ];
    assert_eq!(met, expected);
    assert!(results.detectors[&DetectorId(1)].reach.value <= 0.3);
}

#[test]
fn a_run_of_one_corner_and_an_outline_that_crosses_itself_are_refused() {
    let refused = |extent: Extent| {
        let item = Item::Source(ReleaseSource {
            extent: Some(extent),
            ..source(2, [1.0, 1.0], HYDROGEN, Holding::Gas)
        });
        apply(&workshop(None), &Edit::Add { item })
            .unwrap_err()
            .to_string()
    };
    let one = refused(Extent::Line(points(&[[1.0, 1.0]])));
    assert!(
        one.contains("pipe run of release source source 2 is 1 corners"),
        "{one}"
    );
    let bow = [[1.0, 1.0], [4.0, 4.0], [4.0, 1.0], [1.0, 4.0]];
    assert!(refused(Extent::Area(points(&bow))).contains("crossed by itself"));
}

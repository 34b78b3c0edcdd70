use crate::engine::airspace::Airspaces;
use crate::engine::drawn::{detector, empty, room, source};
use crate::engine::placement::{HardToReach, hard_to_reach};
use crate::engine::{Scope, Silent, run, suggest};
use crate::geometry::{Point, Polygon};
use crate::model::*;
use crate::units::Metres;

const METHANE: &str = "74-82-8";
const PROPANE: &str = "74-98-6";

fn area(kind: MarkedKind, from: [f64; 2], to: [f64; 2], level: Option<f64>) -> MarkedArea {
    let corners = [from, [to[0], from[1]], to, [from[0], to[1]]];
    MarkedArea {
        id: MarkedAreaId(1),
        floor: FloorId(1),
        kind,
        outline: corners.map(Point::from).to_vec(),
        level: level.map(Metres::new),
    }
}

/// A room of 12 m by 8 m and so high, with a source in the middle.
fn hall(gas: &str, ceiling: f64) -> Project {
    let mut project = empty();
    let mut hall = room(1, [0.0, 0.0], [12.0, 8.0], RoomUse::Workshop);
    hall.ceiling = Some(Metres::new(ceiling));
    project.rooms = [hall].into_iter().collect();
    project.sources = [source(1, [6.0, 4.0], gas, Holding::Gas)]
        .into_iter()
        .collect();
    project
}

fn with(mut project: Project, area: MarkedArea) -> Project {
    project.marked = [area].into_iter().collect();
    project
}

fn suggested(project: &Project) -> Project {
    let suggestion = suggest(project, Scope::Project, &Silent);
    apply(project, &suggestion.edit).expect("a sound edit")
}

fn says(project: &Project, id: &str) -> bool {
    run(project, &Silent)
        .findings
        .iter()
        .any(|one| one.id.starts_with(id))
}

#[test]
fn suggestions_keep_out_of_hot_wet_and_forbidden_areas() {
    let plain = suggested(&hall(METHANE, 3.0));
    let at = plain.detectors.iter().next().unwrap().at;
    let (from, to) = ([at.x - 1.0, at.y - 1.0], [at.x + 1.0, at.y + 1.0]);
    let clear = [
        (MarkedKind::Heat, 0.5),
        (MarkedKind::Water, 0.3),
        (MarkedKind::KeepOut, 0.0),
    ];
    for (kind, clear) in clear {
        let marked = with(hall(METHANE, 3.0), area(kind, from, to, None));
        let there = with(plain.clone(), area(kind, from, to, None));
        assert!(
            says(&there, "marked.in_the_way"),
            "{kind:?} is told of what stands in it"
        );
        assert!(
            !says(&suggested(&there), "marked.in_the_way"),
            "{kind:?}: it moves out"
        );
        let after = suggested(&marked);
        assert_eq!(after.detectors.len(), 1);
        let outline = Polygon::new(area(kind, from, to, None).outline);
        for one in &after.detectors {
            assert!(!outline.contains(one.at), "{kind:?}");
            assert!(
                outline.boundary_distance(one.at) >= clear - 1e-6,
                "{kind:?}"
            );
        }
        assert!(!says(&after, "marked.in_the_way") && !says(&after, "coverage.unmet"));
    }
}

#[test]
fn platforms_obstruct_nothing() {
    let (from, to) = ([0.0, 0.0], [12.0, 8.0]);
    for kind in [MarkedKind::Platform, MarkedKind::Obstructed] {
        let there = with(suggested(&hall(METHANE, 3.0)), area(kind, from, to, None));
        assert!(!says(&there, "marked.in_the_way"), "{kind:?}");
    }
}

#[test]
fn what_is_high_or_hidden_is_hard_to_reach() {
    let at = |x: f64| Point::new(x, 4.0);
    let project = with(
        hall(METHANE, 8.0),
        area(MarkedKind::Platform, [2.0, 2.0], [4.0, 6.0], Some(4.5)),
    );
    let spaces = Airspaces::new(&project);
    let reach = |at: Point, height: f64| hard_to_reach(&spaces, 0, at, height);
    assert_eq!(reach(at(8.0), 4.0), None, "to 4 m from the floor");
    assert_eq!(reach(at(8.0), 4.5), Some(HardToReach::High { above: 4.5 }));
    // By hand: 7.7 - 4.5 = 3.2 m above the platform, reached 0.6 m beyond its edge as well.
    assert_eq!(reach(at(3.0), 7.7), None);
    assert_eq!(reach(at(4.5), 7.7), None);
    assert_eq!(reach(at(4.7), 7.7), Some(HardToReach::High { above: 7.7 }));
    assert_eq!(
        reach(at(3.0), 4.2),
        Some(HardToReach::High { above: 4.2 }),
        "below"
    );
    let bench = with(
        hall(PROPANE, 3.0),
        area(MarkedKind::Obstructed, [2.0, 2.0], [4.0, 6.0], None),
    );
    let spaces = Airspaces::new(&bench);
    let reach = |at: Point, height: f64| hard_to_reach(&spaces, 0, at, height);
    assert_eq!(reach(at(3.0), 0.3), Some(HardToReach::Obstructed));
    assert_eq!(reach(at(3.0), 1.2), None);
    assert_eq!(reach(at(5.0), 0.3), None);
}

/// Of places that serve as well, the one that can be reached is taken, and the price of the other
/// is what the basis of design says.
#[test]
fn a_place_that_is_hard_to_reach_costs_more() {
    let plain = suggested(&hall(PROPANE, 3.0));
    let at = plain.detectors.iter().next().unwrap().at;
    let bench = area(
        MarkedKind::Obstructed,
        [at.x - 0.4, at.y - 0.4],
        [at.x + 0.4, at.y + 0.4],
        None,
    );
    let marked = with(hall(PROPANE, 3.0), bench.clone());
    assert!(says(&with(plain, bench.clone()), "marked.hidden"));
    let after = suggested(&marked);
    let outline = Polygon::new(bench.outline);
    assert!(after.detectors.iter().all(|one| !outline.contains(one.at)));
    assert!(!says(&after, "marked.hidden"));
    // Where nothing is to be paid for it, it is where it was.
    let free = Edit::SetBasis {
        key: "access".to_owned(),
        value: Some(0.0),
    };
    let after = suggested(&apply(&marked, &free).unwrap());
    assert_eq!(after.detectors.iter().next().unwrap().at, at);
}

#[test]
fn a_high_hall_is_told_once_and_its_platform_is_preferred() {
    let high = suggested(&hall(METHANE, 8.0));
    let results = run(&high, &Silent);
    let notes = results
        .findings
        .iter()
        .filter(|one| one.id == "marked.high/room-1");
    assert_eq!(notes.count(), 1);
    let platform = area(MarkedKind::Platform, [4.0, 5.5], [9.0, 6.5], Some(4.5));
    let after = suggested(&with(hall(METHANE, 8.0), platform));
    assert!(
        !says(&after, "marked.high"),
        "the one under the roof hangs over the platform"
    );
}

#[test]
fn a_pit_outside_every_room_is_told() {
    let project = with(
        hall(PROPANE, 3.0),
        area(MarkedKind::Pit, [20.0, 2.0], [22.0, 4.0], None),
    );
    assert!(says(&project, "marked.nowhere/marked-1"));
    let inside = with(
        hall(PROPANE, 3.0),
        area(MarkedKind::Pit, [2.0, 2.0], [4.0, 4.0], None),
    );
    assert!(!says(&inside, "marked.nowhere"));
}

/// A detector stays where it is marked bad by hand; only a suggestion avoids it.
#[test]
fn what_is_placed_by_hand_stays_in_a_hot_area() {
    let mut project = with(
        hall(METHANE, 3.0),
        area(MarkedKind::Heat, [5.0, 3.0], [7.0, 5.0], None),
    );
    let own = detector(1, [6.0, 3.5], 2.7, METHANE, Band::High);
    project.detectors = [own].into_iter().collect();
    let after = suggested(&project);
    assert_eq!(
        after.detectors.iter().next().unwrap().at,
        Point::new(6.0, 3.5)
    );
    assert!(says(&after, "marked.in_the_way/detector-1"));
}

/// A hall of 6 m by 8 m and another beside it behind a wall of 0.1 m, and what is marked along that
/// wall in the first.
fn two_halls(gas: &str, ceiling: f64, kind: MarkedKind, level: Option<f64>) -> Project {
    let mut project = with(
        hall(gas, ceiling),
        area(kind, [4.0, 0.0], [6.0, 8.0], level),
    );
    let hall = |id: u32, from: f64| {
        let mut hall = room(id, [from, 0.0], [from + 6.0, 8.0], RoomUse::Workshop);
        hall.ceiling = Some(Metres::new(ceiling));
        hall
    };
    project.rooms = [hall(1, 0.0), hall(2, 6.1)].into_iter().collect();
    project
}

fn open_way(project: &mut Project, from: f64, to: f64) {
    let way = Opening {
        id: OpeningId(1),
        floor: FloorId(1),
        form: OpeningForm::OpenWay,
        a: Point::new(6.0, from),
        b: Point::new(6.0, to),
        head: None,
    };
    project.openings = [way].into_iter().collect();
}

#[test]
fn heat_and_water_do_not_act_through_a_wall() {
    for kind in [MarkedKind::Heat, MarkedKind::Water] {
        let mut project = two_halls(METHANE, 3.0, kind, None);
        let stand = |project: &mut Project, at: [f64; 2]| {
            let one = detector(1, at, 2.7, METHANE, Band::High);
            project.detectors = [one].into_iter().collect();
            says(project, "marked.in_the_way")
        };
        assert!(stand(&mut project, [3.8, 4.0]), "{kind:?}: 0.2 m off");
        assert!(!stand(&mut project, [6.3, 4.0]), "{kind:?}: past the wall");
        open_way(&mut project, 3.0, 5.0);
        assert!(
            stand(&mut project, [6.25, 4.0]),
            "{kind:?}: the way is open"
        );
        assert!(!stand(&mut project, [6.25, 7.0]), "{kind:?}: beside it");
    }
}

/// The one that stands just past the wall is where it would be with nothing marked.
#[test]
fn what_is_kept_clear_in_the_next_room_takes_no_point() {
    let bare = |project: &Project| {
        let mut project = project.clone();
        project
            .sources
            .put(source(1, [7.0, 4.0], METHANE, Holding::Gas));
        project
    };
    let marked = bare(&two_halls(METHANE, 3.0, MarkedKind::Heat, None));
    let mut plain = marked.clone();
    plain.marked = Register::default();
    let points = |project: &Project| {
        let mut beside = project.clone();
        let clear = Edit::SetBasis {
            key: "heat_clear".to_owned(),
            value: Some(2.0),
        };
        beside = apply(&beside, &clear).unwrap();
        let result = run(&beside, &Silent);
        result.rooms[&RoomId(2)].covers[0].holds_for.clone()
    };
    assert_eq!(points(&marked), points(&plain));
}

#[test]
fn a_platform_is_not_stepped_off_through_a_wall() {
    let project = two_halls(METHANE, 8.0, MarkedKind::Platform, Some(4.5));
    let spaces = Airspaces::new(&project);
    let at = |x: f64| Point::new(x, 4.0);
    assert_eq!(hard_to_reach(&spaces, 0, at(3.8), 7.7), None);
    assert_eq!(
        hard_to_reach(&spaces, 1, at(6.3), 7.7),
        Some(HardToReach::High { above: 7.7 })
    );
}

/// Drawn over the wall, it is in both rooms.
#[test]
fn a_hot_area_drawn_over_a_wall_acts_in_both_rooms() {
    let mut project = two_halls(METHANE, 3.0, MarkedKind::Heat, None);
    project.marked = [area(MarkedKind::Heat, [4.0, 0.0], [8.0, 8.0], None)]
        .into_iter()
        .collect();
    for x in [3.8, 5.0, 7.0, 8.2] {
        let one = detector(1, [x, 4.0], 2.7, METHANE, Band::High);
        project.detectors = [one].into_iter().collect();
        assert!(says(&project, "marked.in_the_way"), "at {x}");
    }
}

use crate::engine::drawn::{detector, drawn, empty, room, source};
use crate::engine::finding::Finding;
use crate::engine::{Silent, run};
use crate::model::*;

const HYDROGEN: &str = "1333-74-0";
const KEYS: [(char, &str, Holding); 1] = [('s', HYDROGEN, Holding::Gas)];

fn with_detectors(project: &Project, places: &[[f64; 2]]) -> Project {
    let mut project = project.clone();
    let numbered = places.iter().zip(1..);
    project.detectors = numbered
        .map(|(at, id)| detector(id, *at, 2.7, HYDROGEN, Band::High))
        .collect();
    project
}

/// The finding about the one demand that is not met.
fn unmet(project: &Project) -> Finding {
    let findings = run(project, &Silent).findings.into_iter();
    let mut unmet = findings.filter(|one| one.id.starts_with("coverage.unmet/"));
    let found = unmet.next().expect("something is not met");
    assert!(unmet.next().is_none(), "one demand is not met");
    found
}

fn fixed(project: &Project, finding: &Finding) -> Project {
    let fix = finding.fix.as_ref().expect("a button");
    apply(project, &fix.edit).unwrap()
}

fn all_met(project: &Project) -> bool {
    run(project, &Silent).demands.iter().all(|one| one.met)
}

const LONG: &str = "
    +----------------+
    |                |
    | s              |
    |                |
    +----------------+";

#[test]
fn a_detector_just_out_of_reach_is_moved_no_farther_than_it_must() {
    let project = drawn(LONG, RoomUse::Workshop, &KEYS);
    let project = with_detectors(&project, &[[8.0, 1.5]]);
    let finding = unmet(&project);
    let remedy = &finding.remedy;
    assert!(remedy.starts_with("Move AT-101 "), "{remedy}");
    assert!(remedy.contains(" towards the source, to x "), "{remedy}");
    assert!(remedy.contains("Or place a further one: "), "{remedy}");
    let after = fixed(&project, &finding);
    assert_eq!(after.detectors.len(), 1);
    assert!(all_met(&after));
    let at = |project: &Project| project.detectors.get(DetectorId(1)).unwrap().at;
    // 6.5 m off with 5 m of reach: at least 1.5 m, and no more than the step of the points beyond.
    let by = at(&project).distance(at(&after));
    assert!((1.5..3.0).contains(&by), "{by}");
    assert!(
        remedy.contains(&format!("Move AT-101 {by:.1} m")),
        "{remedy}"
    );
}

const TWO: &str = "
    +----------------+
    |                |
    | s       s      |
    |                |
    +----------------+";

const FAR: &str = "
    +----------------+
    |                |
    | s            s |
    |                |
    +----------------+";

#[test]
fn a_detector_is_moved_only_where_it_keeps_all_that_it_watches() {
    let both = drawn(TWO, RoomUse::Workshop, &KEYS);
    let both = with_detectors(&both, &[[11.0, 1.5]]);
    let finding = unmet(&both);
    assert!(finding.remedy.contains("all that it watched before"));
    let after = fixed(&both, &finding);
    assert!(after.detectors.len() == 1 && all_met(&after));

    let far = drawn(FAR, RoomUse::Workshop, &KEYS);
    let far = with_detectors(&far, &[[11.0, 1.5]]);
    let finding = unmet(&far);
    assert!(
        finding
            .remedy
            .starts_with("Place a detector for hydrogen: ")
    );
    let after = fixed(&far, &finding);
    assert!(after.detectors.len() == 2 && all_met(&after));
}

/// The floor that it alone watches would be lost, though its source would not.
#[test]
fn a_move_takes_no_watcher_from_a_floor() {
    let project = drawn(TWO, RoomUse::Store, &KEYS);
    let project = with_detectors(&project, &[[11.5, 1.5]]);
    let findings = run(&project, &Silent).findings;
    let of_source = |one: &&Finding| one.id.starts_with("coverage.unmet/source");
    let finding = findings.iter().find(of_source).unwrap();
    assert!(
        finding.remedy.starts_with("Place a detector"),
        "{}",
        finding.remedy
    );
}

#[test]
fn what_is_there_already_is_not_moved() {
    let project = drawn(LONG, RoomUse::Workshop, &KEYS);
    let mut project = with_detectors(&project, &[[8.0, 1.5]]);
    let mut existing = project.detectors.get(DetectorId(1)).unwrap().clone();
    existing.origin = Origin::Existing;
    project.detectors = [existing].into_iter().collect();
    assert!(unmet(&project).remedy.starts_with("Place a detector"));
}

#[test]
fn a_detector_at_the_wrong_height_is_put_right() {
    let project = drawn(LONG, RoomUse::Workshop, &KEYS);
    let mut project = with_detectors(&project, &[[5.0, 1.5]]);
    let mut low = project.detectors.get(DetectorId(1)).unwrap().clone();
    low.height = crate::units::Metres::new(1.0);
    project.detectors = [low].into_iter().collect();
    let finding = unmet(&project);
    let says = "Set AT-101 to 2.70 m: there it watches the source as well.";
    assert!(finding.remedy.starts_with(says), "{}", finding.remedy);
    assert!(all_met(&fixed(&project, &finding)));
}

#[test]
fn detectors_that_stand_too_close_to_vote_are_moved_apart() {
    let project = drawn(LONG, RoomUse::Workshop, &KEYS);
    let (key, value) = ("need_flammable".to_owned(), Some(2.0));
    let project = apply(&project, &Edit::SetBasis { key, value }).unwrap();
    let project = with_detectors(&project, &[[3.0, 1.5], [3.3, 1.5]]);
    let finding = unmet(&project);
    assert!(
        finding.remedy.starts_with("Move AT-10"),
        "{}",
        finding.remedy
    );
    let after = fixed(&project, &finding);
    assert!(after.detectors.len() == 2 && all_met(&after));
}

#[test]
fn a_partition_in_the_way_is_named_with_the_way_round_it() {
    let shut = "
        +--------+
        |    |   |
        | s  |   |
        |    |   |
        +--------+";
    let project = drawn(shut, RoomUse::Workshop, &KEYS);
    let remedy = unmet(&with_detectors(&project, &[[5.5, 1.5]])).remedy;
    let says = "AT-101 is 4.0 m from the source, but a partition stands between: no air comes that \
                way.";
    assert!(remedy.starts_with(says), "{remedy}");
    let open = "
        +--------+
        |        |
        |        |
        |        |
        |    |   |
        |    |   |
        |    |   |
        | s  |   |
        +--------+";
    let project = drawn(open, RoomUse::Workshop, &KEYS);
    let remedy = unmet(&with_detectors(&project, &[[5.5, 6.5]])).remedy;
    // Up to the end of the partition at (4.5, 3) and down: hypot(3, 3.5) + hypot(1, 3.5), 8.25 m.
    let says = "AT-101 is 4.0 m from the source, but a partition stands between: the way round it \
                is 8.2 m.";
    assert!(remedy.starts_with(says), "{remedy}");
    assert!(
        !remedy.contains("to x 4.50 m"),
        "not into the partition: {remedy}"
    );
}

#[test]
fn a_wall_or_a_door_to_the_next_room_is_named() {
    let mut project = empty();
    project.rooms = [
        room(1, [0.0, 0.0], [6.0, 4.0], RoomUse::Workshop),
        room(2, [6.2, 0.0], [12.0, 4.0], RoomUse::Workshop),
    ]
    .into_iter()
    .collect();
    project.sources = [source(1, [5.0, 2.0], HYDROGEN, Holding::Gas)]
        .into_iter()
        .collect();
    let project = with_detectors(&project, &[[8.0, 2.0]]);
    let remedy = unmet(&project).remedy;
    let says = "AT-101 is 3.0 m from the source, but the wall of G.02 Room stands between";
    assert!(remedy.starts_with(says), "{remedy}");
    let mut with_door = project;
    with_door.openings = [Opening {
        id: OpeningId(1),
        floor: FloorId(1),
        a: [6.1, 1.5].into(),
        b: [6.1, 2.5].into(),
        form: OpeningForm::Door,
        head: None,
    }]
    .into_iter()
    .collect();
    let remedy = unmet(&with_door).remedy;
    let says = "but the door to G.02 Room, taken as shut, stands between: no air comes that way.";
    assert!(remedy.contains(says), "{remedy}");
}

const PROPANE: &str = "74-98-6";

fn marked(id: u32, kind: MarkedKind, from: [f64; 2], to: [f64; 2]) -> MarkedArea {
    MarkedArea {
        id: MarkedAreaId(id),
        floor: FloorId(1),
        kind,
        outline: [from, [to[0], from[1]], to, [from[0], to[1]]]
            .map(Into::into)
            .to_vec(),
        level: None,
    }
}

/// A hall of 12 m by 8 m with a source, a pit of 2 m by 2 m, and what is marked beside it.
fn with_pit(beside: &[MarkedArea]) -> Project {
    let mut project = empty();
    project.rooms = [room(1, [0.0, 0.0], [12.0, 8.0], RoomUse::Workshop)]
        .into_iter()
        .collect();
    project.sources = [source(1, [1.0, 1.0], PROPANE, Holding::Gas)]
        .into_iter()
        .collect();
    let pit = marked(1, MarkedKind::Pit, [8.0, 4.0], [10.0, 6.0]);
    project.marked = beside.iter().cloned().chain([pit]).collect();
    project
}

fn remedy_of_pit(project: &Project) -> String {
    let findings = run(project, &Silent).findings.into_iter();
    let mut of_pit = findings.filter(|one| one.id.starts_with("coverage.unmet/pit-1"));
    of_pit.next().expect("the pit is not watched").remedy
}

#[test]
fn a_point_in_a_pit_is_on_its_side() {
    let remedy = remedy_of_pit(&with_pit(&[]));
    assert!(remedy.contains("is on its side, at -"), "{remedy}");
    assert!(!remedy.contains("wall"), "{remedy}");
}

#[test]
fn marked_areas_that_keep_all_points_away_are_named() {
    let wet = marked(2, MarkedKind::Water, [7.0, 3.0], [9.0, 7.0]);
    let shut = marked(3, MarkedKind::KeepOut, [9.0, 3.0], [11.0, 7.0]);
    let elsewhere = marked(4, MarkedKind::Heat, [0.5, 6.0], [1.5, 7.0]);
    let remedy = remedy_of_pit(&with_pit(&[wet.clone(), shut, elsewhere]));
    let names = "wet area 2 and area without detectors 3 are kept free of detectors";
    assert!(remedy.contains(names), "{remedy}");
    assert!(!remedy.contains("hot area"), "{remedy}");
    // In the basis of design the reach is enough for the whole pit from its other half.
    let remedy = remedy_of_pit(&with_pit(&[wet]));
    assert!(!remedy.contains("wet area"), "{remedy}");
}

#[test]
fn a_marked_area_that_leaves_part_of_a_pit_out_of_reach_is_named() {
    let mut project = with_pit(&[marked(2, MarkedKind::Water, [7.0, 3.0], [9.4, 7.0])]);
    let (key, value) = ("reach_area".to_owned(), Some(1.0));
    project = apply(&project, &Edit::SetBasis { key, value }).unwrap();
    let remedy = remedy_of_pit(&project);
    assert!(remedy.contains("on its side"), "{remedy}");
    assert!(remedy.contains("wet area 2 is kept free"), "{remedy}");
}

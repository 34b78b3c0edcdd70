use std::collections::BTreeSet;

use super::*;
use crate::engine::drawn::{detector, drawn, empty, room, source};
use crate::engine::{Scope, Severity, Silent, run, suggest};

/// The project after its suggestion, and the remarks.
fn suggested(project: &Project) -> (Project, Vec<String>) {
    let suggestion = suggest(project, Scope::Project, &Silent);
    assert!(suggestion.proven, "{:?}", suggestion.remarks);
    (
        apply(project, &suggestion.edit).unwrap(),
        suggestion.remarks,
    )
}

/// Band, height and gas of every detector, in the order of their ids.
fn placed(project: &Project) -> Vec<(Band, f64, &str)> {
    let detectors = project.detectors.iter();
    detectors
        .map(|one| (one.band, one.height.get(), one.watches.as_str()))
        .collect()
}

fn blockers(project: &Project) -> Vec<String> {
    let findings = run(project, &Silent).findings;
    let blockers = findings
        .into_iter()
        .filter(|one| one.severity == Severity::Blocker);
    blockers.map(|one| one.id).collect()
}

const LABORATORY: &str = "
    +------+
    |      |
    |  s   |
    |      |
    |      |
    +------+";

#[test]
fn a_hydrogen_room_gets_one_detector_under_the_ceiling() {
    let keys = [('s', "1333-74-0", Holding::Gas)];
    let (after, _) = suggested(&drawn(LABORATORY, RoomUse::Workshop, &keys));
    assert_eq!(placed(&after), [(Band::High, 2.7, "1333-74-0")]);
    assert_eq!(blockers(&after), Vec::<String>::new());
}

#[test]
fn a_bench_with_acetone_gets_one_detector_near_the_floor() {
    let keys = [('s', "67-64-1", Holding::Liquid)];
    let (after, _) = suggested(&drawn(LABORATORY, RoomUse::Workshop, &keys));
    assert_eq!(placed(&after), [(Band::Low, 0.3, "67-64-1")]);
}

#[test]
fn hydrogen_sulfide_is_watched_low_and_where_people_breathe() {
    let keys = [('s', "7783-06-4", Holding::Gas)];
    let (after, _) = suggested(&drawn(LABORATORY, RoomUse::Workshop, &keys));
    let expected = [
        (Band::Breathing, 1.5, "7783-06-4"),
        (Band::Low, 0.3, "7783-06-4"),
    ];
    assert_eq!(placed(&after), expected);
    assert!(
        after
            .detectors
            .iter()
            .all(|one| one.hazard == Hazard::Toxic)
    );
}

#[test]
fn liquid_nitrogen_is_watched_as_oxygen_low_and_where_people_breathe() {
    let keys = [('s', "7727-37-9", Holding::CryogenicLiquid)];
    let (after, _) = suggested(&drawn(LABORATORY, RoomUse::Workshop, &keys));
    let expected = [
        (Band::Breathing, 1.5, "7782-44-7"),
        (Band::Low, 0.3, "7782-44-7"),
    ];
    assert_eq!(placed(&after), expected);
    let points = &run(&after, &Silent).detectors[&DetectorId(1)].set_points;
    assert!(points.iter().all(|point| !point.rising));
}

#[test]
fn a_partition_forces_a_second_detector() {
    let keys = [('s', "74-98-6", Holding::Gas)];
    let open = "
        +------+
        |      |
        | s  s |
        |      |
        +------+";
    let parted = "
        +------+
        |   |  |
        | s |s |
        |   |  |
        +------+";
    let count = |picture| {
        suggested(&drawn(picture, RoomUse::Workshop, &keys))
            .0
            .detectors
            .len()
    };
    assert_eq!((count(open), count(parted)), (1, 2));
}

#[test]
fn a_detector_placed_by_hand_is_kept_and_counted() {
    let keys = [('s', "1333-74-0", Holding::Gas)];
    let picture = "
        +----------------+
        |                |
        | s            s |
        |                |
        +----------------+";
    let mut project = drawn(picture, RoomUse::Workshop, &keys);
    project.detectors = [detector(7, [3.0, 1.5], 2.7, "1333-74-0", Band::High)]
        .into_iter()
        .collect();
    let before = project.detectors.get(DetectorId(7)).cloned();
    let (after, remarks) = suggested(&project);
    assert_eq!(after.detectors.get(DetectorId(7)).cloned(), before);
    assert_eq!(after.detectors.len(), 2, "{remarks:?}");
    assert!(
        remarks
            .iter()
            .any(|one| one.contains("1 of them placed by hand")),
        "{remarks:?}"
    );
}

#[test]
fn accepting_a_suggestion_leaves_nothing_to_suggest() {
    let keys = [
        ('s', "natural-gas", Holding::Gas),
        ('c', "630-08-0", Holding::FlueGas),
    ];
    let picture = "
        +------------+
        | s          |
        |     |   c  |
        |     |      |
        |  c  |    s |
        |            |
        +------------+";
    let (after, _) = suggested(&drawn(picture, RoomUse::BoilerRoom, &keys));
    assert!(after.detectors.len() >= 3);
    let again = suggest(&after, Scope::Project, &Silent);
    assert_eq!(
        again.edit,
        Edit::All {
            label: label_of(&again.edit),
            edits: Vec::new()
        }
    );
    assert_eq!((again.n_added, again.n_removed), (0, 0));
}

fn label_of(edit: &Edit) -> String {
    match edit {
        Edit::All { label, .. } => label.clone(),
        _ => panic!("a suggestion is several edits as one"),
    }
}

#[test]
fn the_order_of_the_sources_changes_nothing() {
    let places = [[1.0, 1.0], [9.0, 1.5], [5.0, 4.0], [13.0, 4.5], [2.0, 5.0]];
    let project = |order: [usize; 5]| {
        let mut project = empty();
        project.rooms = [room(1, [0.0, 0.0], [14.0, 6.0], RoomUse::Workshop)]
            .into_iter()
            .collect();
        let numbered = order.into_iter().zip(1..);
        project.sources = numbered
            .map(|(place, id)| source(id, places[place], "7783-06-4", Holding::Gas))
            .collect();
        suggested(&project).0
    };
    let seats = |project: Project| {
        let detectors = project.detectors.iter().cloned();
        detectors
            .map(|one| (one.tag, one.at.x.to_string(), one.at.y.to_string()))
            .collect()
    };
    let first: BTreeSet<_> = seats(project([0, 1, 2, 3, 4]));
    assert_eq!(first, seats(project([4, 2, 0, 3, 1])));
}

#[test]
fn a_boiler_room_is_watched_over_its_whole_floor() {
    let keys = [('s', "natural-gas", Holding::Gas)];
    let picture = "
        +----------------+
        |                |
        | s              |
        |                |
        |                |
        +----------------+";
    let (after, remarks) = suggested(&drawn(picture, RoomUse::BoilerRoom, &keys));
    assert_eq!(blockers(&after), Vec::<String>::new());
    // 16 m by 4 m with 5 m of reach: two detectors on the centre line reach corners 4.58 m off.
    assert_eq!(after.detectors.len(), 2, "{remarks:?}");
}

#[test]
fn a_detector_at_the_wrong_height_is_told_and_can_be_put_right() {
    let keys = [('s', "1333-74-0", Holding::Gas)];
    let mut project = drawn(LABORATORY, RoomUse::Workshop, &keys);
    project.detectors = [detector(1, [3.0, 1.5], 1.0, "1333-74-0", Band::High)]
        .into_iter()
        .collect();
    assert_eq!(
        blockers(&project),
        ["coverage.unmet/source-1/1333-74-0/high"]
    );
    let findings = run(&project, &Silent).findings;
    let wrong = findings
        .iter()
        .find(|one| one.id == "mounting.height/detector-1")
        .unwrap();
    let fixed = apply(&project, &wrong.fix.as_ref().unwrap().edit).unwrap();
    assert_eq!(
        fixed.detectors.get(DetectorId(1)).unwrap().height.get(),
        2.7
    );
    assert_eq!(blockers(&fixed), Vec::<String>::new());
}

#[test]
fn the_remedy_of_an_unmet_demand_places_a_detector_that_meets_it() {
    let keys = [('s', "7664-41-7", Holding::LiquefiedGas)];
    let mut project = drawn(LABORATORY, RoomUse::Workshop, &keys);
    let fix = |project: &Project| {
        let findings = run(project, &Silent).findings;
        findings
            .into_iter()
            .find_map(|one| one.fix)
            .map(|fix| fix.edit)
    };
    for _ in 0..2 {
        project = apply(&project, &fix(&project).unwrap()).unwrap();
    }
    assert_eq!(blockers(&project), Vec::<String>::new());
    let parts: Vec<_> = project
        .detectors
        .iter()
        .map(|one| one.part.clone())
        .collect();
    assert_eq!(
        parts,
        vec![Some("D-NH3".to_owned()); 2],
        "0 to 100 %LFL is too coarse for 20 ppm"
    );
}

#[test]
fn a_gas_nobody_sells_a_detector_for_is_a_blocker() {
    let keys = [('s', "7782-50-5", Holding::LiquefiedGas)];
    let project = drawn(LABORATORY, RoomUse::Workshop, &keys);
    assert!(blockers(&project).contains(&"placement.no_part/7782-50-5".to_owned()));
}

#[test]
fn a_tag_in_use_is_not_given_twice() {
    let keys = [('s', "7783-06-4", Holding::Gas)];
    let mut project = drawn(LABORATORY, RoomUse::Workshop, &keys);
    project.detectors = [detector(1, [3.0, 1.5], 2.7, "1333-74-0", Band::High)]
        .into_iter()
        .collect();
    let (after, _) = suggested(&project);
    let tags: Vec<&str> = after.detectors.iter().map(|one| one.tag.as_str()).collect();
    assert_eq!(tags, ["AT-101", "AT-102", "AT-103"]);
}

struct Impatient;

impl Progress for Impatient {
    fn report(&self, _: &str, _: usize, _: usize, _: Option<usize>) {}
    fn cancelled(&self) -> bool {
        true
    }
}

#[test]
fn a_suggestion_that_is_stopped_says_so_and_takes_nothing_away() {
    let keys = [('s', "1333-74-0", Holding::Gas)];
    let (project, _) = suggested(&drawn(LABORATORY, RoomUse::Workshop, &keys));
    let stopped = suggest(&project, Scope::Project, &Impatient);
    assert!(!stopped.proven);
    assert_eq!((stopped.n_added, stopped.n_removed), (0, 0));
}

/// What is kept though it adds nothing is told, with the count without it; the newest first.
#[test]
fn a_detector_kept_by_hand_that_adds_nothing_is_noted_with_the_count_without_it() {
    let keys = [('s', "1333-74-0", Holding::Gas)];
    let picture = "
        +----------------+
        |                |
        | s            s |
        |                |
        +----------------+";
    let mut project = drawn(picture, RoomUse::Workshop, &keys);
    let notes = |project: &Project| -> Vec<(String, bool)> {
        let findings = run(project, &Silent).findings.into_iter();
        let notes = findings.filter(|one| one.id.starts_with("placement.needless/"));
        notes
            .map(|one| {
                assert_eq!(one.severity, Severity::Note);
                let says = "with it there are 3 detectors, without it 2.";
                let fixed = apply(project, &one.fix.expect("a button").edit).unwrap();
                assert!(run(&fixed, &Silent).demands.iter().all(|demand| demand.met));
                (one.id, one.message.ends_with(says))
            })
            .collect()
    };
    let placed = |id, x: f64| detector(id, [x, 1.5], 2.7, "1333-74-0", Band::High);
    project.detectors = [placed(1, 2.0), placed(2, 14.0)].into_iter().collect();
    assert_eq!(notes(&project), []);
    project.detectors = [placed(1, 2.0), placed(2, 14.0), placed(3, 3.0)]
        .into_iter()
        .collect();
    let expected = ("placement.needless/detector-3".to_owned(), true);
    assert_eq!(notes(&project), [expected]);
    // A suggested one is never kept for its own sake, but it counts for what it watches.
    let mut third = placed(3, 3.0);
    third.origin = Origin::Suggested;
    project.detectors = [placed(1, 2.0), placed(2, 14.0), third]
        .into_iter()
        .collect();
    let expected = ("placement.needless/detector-1".to_owned(), true);
    assert_eq!(notes(&project), [expected]);
}

fn with(project: &Project, key: &str, value: f64) -> Project {
    let (key, value) = (key.to_owned(), Some(value));
    apply(project, &Edit::SetBasis { key, value }).unwrap()
}

const STORE: &str = "
    +----------------+
    |                |
    | s     |      s |
    |       |        |
    |                |
    +----------------+";

/// With one, two or three in reach: all is met, all of one demand stand apart, and accepting it
/// leaves nothing to suggest.
#[test]
fn a_suggestion_meets_every_demand_as_often_as_it_needs() {
    let keys = [('s', "1333-74-0", Holding::Gas)];
    for room_use in [RoomUse::Workshop, RoomUse::Store] {
        let mut counts = Vec::new();
        for need in [1.0, 2.0, 3.0] {
            let project = with(&drawn(STORE, room_use, &keys), "need_flammable", need);
            let (after, _) = suggested(&project);
            assert_eq!(blockers(&after), Vec::<String>::new(), "{need}");
            let stand: Vec<_> = after.detectors.iter().map(|one| one.at).collect();
            for (place, at) in stand.iter().enumerate() {
                let near = |other: &crate::geometry::Point| other.distance(*at) < 0.5 - 1e-6;
                assert!(!stand[..place].iter().any(near), "{stand:?}");
            }
            let again = suggest(&after, Scope::Project, &Silent);
            assert_eq!(
                (again.n_added, again.n_removed),
                (0, 0),
                "{:?}",
                again.remarks
            );
            counts.push(after.detectors.len());
        }
        assert!(counts[0] < counts[1] && counts[1] < counts[2], "{counts:?}");
    }
}

#[test]
fn detectors_kept_by_hand_that_stand_close_count_as_one_vote() {
    let keys = [('s', "1333-74-0", Holding::Gas)];
    let mut project = with(
        &drawn(LABORATORY, RoomUse::Workshop, &keys),
        "need_flammable",
        2.0,
    );
    let by_hand = |id, x: f64| detector(id, [x, 1.5], 2.7, "1333-74-0", Band::High);
    project.detectors = [by_hand(1, 2.0), by_hand(2, 2.3)].into_iter().collect();
    let kept: Vec<_> = project.detectors.iter().cloned().collect();
    let (after, remarks) = suggested(&project);
    assert_eq!(after.detectors.len(), 3, "{remarks:?}");
    assert!(
        kept.iter()
            .all(|one| after.detectors.get(one.id) == Some(one))
    );
    assert_eq!(blockers(&after), Vec::<String>::new());
}

#[test]
fn a_demand_that_no_layout_meets_often_enough_is_a_blocker_that_says_how_many_there_are() {
    let keys = [('s', "1333-74-0", Holding::Gas)];
    let picture = "
        +--+
        |s |
        |  |
        +--+";
    let project = drawn(picture, RoomUse::Workshop, &keys);
    let project = with(&with(&project, "need_flammable", 3.0), "vote_apart", 2.0);
    let suggestion = suggest(&project, Scope::Project, &Silent);
    assert!(!suggestion.proven);
    let after = apply(&project, &suggestion.edit).unwrap();
    let n = after.detectors.len();
    assert!((1..3).contains(&n), "{:?}", suggestion.remarks);
    let findings = run(&after, &Silent).findings;
    let unmet = findings
        .iter()
        .find(|one| one.id.starts_with("coverage.unmet/"))
        .unwrap();
    assert_eq!(unmet.severity, Severity::Blocker);
    let has = if n == 1 { "has" } else { "have" };
    let says = format!("Of the candidate points, taken 2 m apart or more, only {n} {has} it in");
    assert!(unmet.remedy.starts_with(&says), "{}", unmet.remedy);
}

#[test]
fn the_remedy_of_a_demand_for_two_places_the_second_apart_from_the_first() {
    let keys = [('s', "1333-74-0", Holding::Gas)];
    let mut project = with(
        &drawn(LABORATORY, RoomUse::Workshop, &keys),
        "need_flammable",
        2.0,
    );
    for _ in 0..2 {
        let findings = run(&project, &Silent).findings;
        let unmet = findings
            .into_iter()
            .find(|one| one.id.starts_with("coverage.unmet/"));
        project = apply(&project, &unmet.unwrap().fix.unwrap().edit).unwrap();
    }
    assert_eq!(blockers(&project), Vec::<String>::new());
}

#[test]
fn the_order_of_the_sources_changes_nothing_where_two_must_watch_each() {
    let places = [[1.0, 1.0], [9.0, 1.5], [5.0, 4.0], [13.0, 4.5]];
    let seats = |order: [usize; 4]| -> BTreeSet<_> {
        let mut project = empty();
        let laboratory = room(1, [0.0, 0.0], [14.0, 6.0], RoomUse::Workshop);
        project.rooms = [laboratory].into_iter().collect();
        let numbered = order.into_iter().zip(1..);
        project.sources = numbered
            .map(|(place, id)| source(id, places[place], "7783-06-4", Holding::Gas))
            .collect();
        let (after, _) = suggested(&with(&project, "need_toxic", 2.0));
        let seat = |one: &Detector| (one.tag.clone(), one.at.x.to_string(), one.at.y.to_string());
        after.detectors.iter().map(seat).collect()
    };
    assert_eq!(seats([0, 1, 2, 3]), seats([3, 1, 0, 2]));
}

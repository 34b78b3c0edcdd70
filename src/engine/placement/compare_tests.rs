use super::*;
use crate::engine::drawn::{detector, drawn};
use crate::engine::results::{Comparison, Layout};
use crate::engine::{Scope, Silent, suggest};
use crate::geometry::Point;

const HYDROGEN: &str = "1333-74-0";
const KEYS: [(char, &str, Holding); 1] = [('s', HYDROGEN, Holding::Gas)];

const FAR: &str = "
    +----------------+
    |                |
    | s            s |
    |                |
    +----------------+";

const ONE: &str = "
    +------+
    |      |
    |  s   |
    |      |
    +------+";

fn compared_with(project: &Project, progress: &dyn Progress) -> Comparison {
    let key = CoverKey {
        room: RoomId(1),
        measures: HYDROGEN.to_owned(),
        band: Band::High,
    };
    compare(project, &key, progress).expect("there is such a cover")
}

fn compared(project: &Project) -> Comparison {
    compared_with(project, &Silent)
}

fn with(project: &Project, key: &str, value: f64) -> Project {
    let (key, value) = (key.to_owned(), Some(value));
    apply(project, &Edit::SetBasis { key, value }).unwrap()
}

fn count(layout: &Layout) -> f64 {
    layout.detectors.value
}

fn lost(layout: &Layout) -> Vec<&str> {
    layout.lost.iter().map(|one| &*one.title).collect()
}

#[test]
fn one_fewer_loses_one_of_two_sources_that_lie_far_apart() {
    let found = compared(&drawn(FAR, RoomUse::Workshop, &KEYS));
    assert_eq!(count(&found.proposed), 2.0);
    assert!(found.proposed.proven && found.proposed.lost.is_empty());
    let fewer = found.fewer.unwrap();
    assert_eq!(count(&fewer), 1.0);
    assert_eq!(fewer.lost.len(), 1, "{:?}", fewer.lost);
    assert!(lost(&fewer)[0].starts_with("source "));
    assert!(!fewer.proven, "an exchange proves nothing");
    for told in [
        "Fewer than 2 cannot watch all of it: that is proven",
        "is not proven.",
    ] {
        assert!(fewer.says.contains(told), "{}", fewer.says);
    }
}

/// A source counts before any floor, and of the floor no more is lost than with the best of all
/// candidate points.
#[test]
fn one_fewer_keeps_the_source_and_loses_the_least_of_the_floor() {
    let picture = "
        +----------------+
        |                |
        | s              |
        |                |
        |                |
        +----------------+";
    let project = drawn(picture, RoomUse::BoilerRoom, &KEYS);
    let found = compared(&project);
    let fewer = found.fewer.unwrap();
    assert_eq!((count(&found.proposed), count(&fewer)), (2.0, 1.0));
    assert_eq!(lost(&fewer), ["floor of G.01 Room"]);
    let area = fewer.lost[0].area.unwrap().value;
    // By trying every point: cells are 0.25 m2 all over this floor.
    let cover = covers(&project, &Silent).remove(0);
    let left = |column: usize| {
        let mut rows = cover
            .rows
            .iter()
            .filter(|row| !row.columns.contains(&column));
        let source = cover.rows.iter().find(|row| !row.id.starts_with("area-"));
        let kept = source.is_some_and(|row| row.columns.contains(&column));
        kept.then(|| rows.by_ref().count() as f64 * 0.25)
    };
    let all = (0..cover.columns.len()).filter_map(left);
    let least = all.min_by(f64::total_cmp).unwrap();
    assert!((area - least).abs() < 1e-9, "{area} m2, {least} m2");
    let share = fewer.lost[0].share.unwrap().value;
    assert!((share - area / 64.0 * 100.0).abs() < 1e-9, "{share} %");
}

/// What a search for so many in reach suggests is what the comparison says.
#[test]
fn voting_takes_as_many_as_are_suggested_for_it() {
    let project = drawn(FAR, RoomUse::Workshop, &KEYS);
    let found = compared(&project);
    let names: Vec<&str> = found.votes.iter().map(|one| &*one.name).collect();
    assert_eq!(names, ["2 in reach (2oo2)", "3 in reach (2oo3)"]);
    for (layout, need) in found.votes.iter().zip([2.0, 3.0]) {
        let project = with(&project, "need_flammable", need);
        let suggestion = suggest(&project, Scope::Project, &Silent);
        assert_eq!(count(layout), suggestion.n_added as f64, "{need}");
        assert!(layout.proven && layout.lost.is_empty());
    }
    assert!(found.votes[0].says.contains("does not survive one failure"));
    assert!(found.votes[1].says.contains("survives one failure"));
}

#[test]
fn a_fault_that_counts_as_a_vote_makes_two_enough() {
    let project = with(&drawn(ONE, RoomUse::Workshop, &KEYS), "vote_fault", 1.0);
    let names = |project: &Project| -> Vec<String> {
        let votes = compared(project).votes.into_iter();
        votes.map(|one| one.name).collect()
    };
    assert_eq!(names(&project), ["2 in reach (2oo2)"]);
    let project = with(&project, "need_flammable", 2.0);
    assert_eq!(names(&project), ["1 in reach (1oo1)"]);
}

/// Where there is no cable to price and no way to run it, a price is so many parts.
#[test]
fn prices_are_held_against_the_proposed_layout() {
    let found = compared(&drawn(FAR, RoomUse::Workshop, &KEYS));
    let fewer = found.fewer.as_ref().unwrap();
    assert_eq!(found.proposed.price.unwrap().value, 600.0);
    assert_eq!(fewer.price_change.unwrap().value, -300.0);
    assert_eq!(found.votes[0].price_change.unwrap().value, 600.0);
    assert!(
        found.price_holds.contains("part D-FLAM"),
        "{}",
        found.price_holds
    );
    let grounds = found.grounds();
    let has = |id: &str| grounds.iter().any(|entry| entry.id == id);
    for id in [
        "placement.layout_price",
        "placement.metre_laid",
        "placement.one_fewer",
    ] {
        assert!(has(id), "{id}");
    }
    assert!(grounds.len() < 40, "{}", grounds.len());
}

/// 10 m from the only panel, a detector is priced with 10 m of cable, laid at 0.08 h of 60 each.
#[test]
fn a_price_holds_the_estimated_spur() {
    let mut project = drawn(ONE, RoomUse::Workshop, &KEYS);
    let beside = [4.0, 1.5];
    project.detectors = [detector(1, beside, 2.7, HYDROGEN, Band::High)]
        .into_iter()
        .collect();
    project.panels = [ControlPanel {
        id: PanelId(1),
        tag: "CP-1".to_owned(),
        floor: FloorId(1),
        at: Point::new(14.0, 1.5),
        height: crate::units::Metres::new(1.5),
        part: "none".to_owned(),
        existing: false,
    }]
    .into_iter()
    .collect();
    let price = compared(&project).proposed.price.unwrap().value;
    assert!(
        (price - (300.0 + 10.0 * 0.08 * 60.0)).abs() < 1e-6,
        "{price}"
    );
    let mut there = project.detectors.get(DetectorId(1)).unwrap().clone();
    there.origin = Origin::Existing;
    project.detectors = [there].into_iter().collect();
    assert_eq!(compared(&project).proposed.price.unwrap().value, 0.0);
}

#[test]
fn one_fewer_than_one_is_none() {
    let found = compared(&drawn(ONE, RoomUse::Workshop, &KEYS));
    let fewer = found.fewer.unwrap();
    assert_eq!(count(&fewer), 0.0);
    assert_eq!(lost(&fewer), ["source 1"]);
    assert_eq!(
        fewer.says,
        "One fewer is none: nothing of it would be watched."
    );
}

#[test]
fn where_all_are_kept_the_one_that_is_missed_least_is_named() {
    let mut project = drawn(FAR, RoomUse::Workshop, &KEYS);
    let placed = |id, x: f64| detector(id, [x, 1.5], 2.7, HYDROGEN, Band::High);
    project.detectors = [placed(1, 2.0), placed(2, 14.0), placed(3, 3.0)]
        .into_iter()
        .collect();
    let fewer = compared(&project).fewer.unwrap();
    assert!(fewer.lost.is_empty() && count(&fewer) == 2.0);
    assert!(
        fewer.says.starts_with("All 3 were placed by hand"),
        "{}",
        fewer.says
    );
    assert!(
        fewer.says.contains("AT-101 is missed least"),
        "{}",
        fewer.says
    );
}

#[test]
fn where_nothing_can_be_watched_there_is_nothing_fewer() {
    let mut project = drawn(ONE, RoomUse::Workshop, &KEYS);
    project.terminals = [AirTerminal {
        id: AirTerminalId(1),
        floor: FloorId(1),
        at: Point::new(3.0, 1.5),
        kind: AirTerminalKind::Supply,
        height: None,
        flow: None,
    }]
    .into_iter()
    .collect();
    let found = compared(&with(&project, "supply_clear", 5.0));
    assert!(found.fewer.is_none());
    assert_eq!(
        (count(&found.proposed), lost(&found.proposed)),
        (0.0, vec!["source 1"])
    );
    assert!(!found.proposed.proven);
}

struct Impatient;

impl Progress for Impatient {
    fn report(&self, _: &str, _: usize, _: usize, _: Option<usize>) {}
    fn cancelled(&self) -> bool {
        true
    }
}

#[test]
fn a_comparison_that_is_stopped_claims_no_proof() {
    let hall = drawn(FAR, RoomUse::BoilerRoom, &KEYS);
    let found = compared_with(&hall, &Impatient);
    assert!(found.stopped && !found.proposed.proven && found.votes.is_empty());
    let fewer = found.fewer.unwrap();
    assert!(!fewer.says.contains("that is proven"), "{}", fewer.says);
}

#[test]
fn a_cover_that_is_not_there_is_none() {
    let project = drawn(ONE, RoomUse::Workshop, &KEYS);
    let key = |room: u32, measures: &str, band: Band| CoverKey {
        room: RoomId(room),
        measures: measures.to_owned(),
        band,
    };
    for key in [
        key(9, HYDROGEN, Band::High),
        key(1, "no such gas", Band::High),
        key(1, HYDROGEN, Band::Low),
    ] {
        assert!(compare(&project, &key, &Silent).is_none(), "{key:?}");
    }
}

#[test]
fn comparing_twice_gives_the_same() {
    let project = drawn(FAR, RoomUse::BoilerRoom, &KEYS);
    assert_eq!(compared(&project), compared(&project));
}

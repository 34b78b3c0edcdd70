use crate::engine::drawn::{detector, empty, room, source};
use crate::engine::placement::{CoverKey, compare, covers};
use crate::engine::results::{Demand, DemandKind, Results};
use crate::engine::{Scope, Silent, run, suggest};
use crate::geometry::Point;
use crate::model::*;

const METHANE: &str = "74-82-8";

/// A boiler room so wide and deep with one source, its whole floor watched to this share, %.
fn boiler_room(size: [f64; 2], share: f64) -> Project {
    let mut project = empty();
    project.rooms = [room(1, [0.0, 0.0], size, RoomUse::BoilerRoom)]
        .into_iter()
        .collect();
    let at = [1.0, 1.0];
    project.sources = [source(1, at, METHANE, Holding::Gas)].into_iter().collect();
    with_basis(&project, "floor_share", share)
}

fn with_basis(project: &Project, key: &str, value: f64) -> Project {
    let edit = Edit::SetBasis {
        key: key.to_owned(),
        value: Some(value),
    };
    apply(project, &edit).expect("a legal value")
}

fn suggested(project: &Project) -> Project {
    let suggestion = suggest(project, Scope::Project, &Silent);
    apply(project, &suggestion.edit).expect("a sound edit")
}

fn floor(results: &Results) -> &Demand {
    let mut demands = results.demands.iter();
    demands
        .find(|demand| demand.kind == DemandKind::Area)
        .expect("the floor is watched")
}

fn share(demand: &Demand) -> f64 {
    100.0 * demand.watched.unwrap().value / demand.size.unwrap().value
}

fn has(results: &Results, id: &str) -> bool {
    results
        .findings
        .iter()
        .any(|finding| finding.id.starts_with(id))
}

#[test]
fn a_lower_share_needs_fewer_detectors_and_is_kept() {
    let mut before = usize::MAX;
    let mut counts = Vec::new();
    for percent in [100.0, 90.0, 50.0] {
        let project = suggested(&boiler_room([13.0, 10.0], percent));
        let results = run(&project, &Silent);
        let demand = floor(&results);
        assert!(
            demand.met && share(demand) >= percent - 1e-6,
            "{percent}: {}",
            share(demand)
        );
        assert!(
            results.demands.iter().all(|demand| demand.met),
            "the source is met too"
        );
        assert!(!has(&results, "coverage.unmet") && !has(&results, "placement.needless"));
        let cover = &results.rooms[&RoomId(1)].covers[0];
        assert!(cover.bound.value <= project.detectors.len() as f64);
        assert_eq!(cover.holds_for.contains("of each floor"), percent < 100.0);
        assert!(project.detectors.len() <= before, "{percent}");
        before = project.detectors.len();
        counts.push(before);
        // Suggested once more, it stays.
        assert_eq!(suggested(&project), project, "{percent}");
        for file in covers(&project, &Silent) {
            assert_eq!(file.allowances.is_empty(), percent == 100.0);
        }
    }
    assert!(counts[2] < counts[0], "{counts:?}");
}

/// From the middle of a room of 8 m by 8 m, 5 m reach all cells of 0.5 m but the four in the corners,
/// whose middles lie 5.30 m off (the next 4.96 m): 63 of 64 m2, by hand.
#[test]
fn a_floor_is_met_at_its_share_and_not_below() {
    let mut project = boiler_room([8.0, 8.0], 100.0);
    project.detectors = [detector(1, [4.0, 4.0], 2.7, METHANE, Band::High)]
        .into_iter()
        .collect();
    let watched = share(floor(&run(&project, &Silent)));
    assert!((watched - 100.0 * 63.0 / 64.0).abs() < 1e-9, "{watched}");
    for (asked, met) in [(watched - 0.01, true), (watched + 0.01, false)] {
        let results = run(&with_basis(&project, "floor_share", asked), &Silent);
        assert_eq!(floor(&results).met, met, "{asked} of {watched}");
        assert_eq!(has(&results, "coverage.unmet/area"), !met);
        let scenario = results.rooms[&RoomId(1)].scenario.as_ref().unwrap();
        assert!(
            (scenario.floor.unwrap().value - watched).abs() < 1e-9,
            "told as it is"
        );
    }
}

/// Where exactly what is asked for is watched, the cover says so too: no detector more is needed.
#[test]
fn the_cover_and_the_coverage_agree_on_the_border() {
    let mut project = boiler_room([8.0, 8.0], 100.0);
    project.detectors = [detector(1, [4.0, 4.0], 2.7, METHANE, Band::High)]
        .into_iter()
        .collect();
    let watched = share(floor(&run(&project, &Silent)));
    let fewest = |asked: f64| {
        let results = run(&with_basis(&project, "floor_share", asked), &Silent);
        let demand = floor(&results);
        assert_eq!(demand.watching, u32::from(demand.met));
        (demand.met, results.rooms[&RoomId(1)].covers[0].fewest.value)
    };
    assert_eq!(fewest(watched), (true, 1.0));
    assert_eq!(fewest(watched + 0.01), (false, 2.0));
}

/// At 100 % nothing speaks of a share.
#[test]
fn nothing_is_said_of_a_share_where_the_whole_floor_is_asked_for() {
    for (percent, said) in [(100.0, false), (90.0, true)] {
        let project = suggested(&boiler_room([8.0, 8.0], percent));
        let results = run(&project, &Silent);
        let text = serde_json::to_string(&results).unwrap();
        assert_eq!(text.contains("asked\""), said, "{percent}");
        assert_eq!(text.contains("Share of a floor that is"), said, "{percent}");
        let without = &results.detectors[&DetectorId(1)].without;
        assert!(!without.contains("may stay unwatched"), "{without}");
    }
}

/// What one fewer loses is held against the share; the proposed layout does not claim the whole.
#[test]
fn a_comparison_counts_the_share() {
    let project = boiler_room([13.0, 6.0], 90.0);
    let key = CoverKey {
        room: RoomId(1),
        measures: METHANE.to_owned(),
        band: Band::High,
    };
    let found = compare(&project, &key, &Silent).expect("there is such a cover");
    assert!(found.proposed.lost.is_empty() && found.proposed.proven);
    assert_eq!(found.floor_asked.map(|asked| asked.value), Some(90.0));
    let fewer = found.fewer.expect("one fewer watches something");
    let lost = fewer
        .lost
        .iter()
        .find(|lost| lost.demand.starts_with("area"));
    let lost = lost.and_then(|lost| lost.share).expect("the floor is lost");
    assert!(lost.value > 10.0, "{}", lost.value);
    assert!(fewer.says.contains("as much of it as is asked for"));
}

#[test]
fn what_stands_only_for_the_rest_of_the_floor_is_needless() {
    let mut project = boiler_room([8.0, 8.0], 90.0);
    let stand = |id, at: [f64; 2]| detector(id, at, 2.7, METHANE, Band::High);
    project.detectors = [stand(1, [4.0, 4.0]), stand(2, [7.5, 7.5])]
        .into_iter()
        .collect();
    let results = run(&project, &Silent);
    assert!(has(&results, "placement.needless/detector-2"));
    let mut findings = results.findings.iter();
    let said = findings.any(|one| {
        one.message
            .contains("nothing that must be watched would be unwatched without AT-102")
    });
    assert!(said, "{:?}", results.findings);
    let without = &results.detectors[&DetectorId(2)].without;
    assert!(without.contains("which may stay unwatched"), "{without}");
    let whole = with_basis(&project, "floor_share", 100.0);
    assert!(!has(&run(&whole, &Silent), "placement.needless/detector-2"));
}

/// Sources are met whatever the share, with two to vote as well.
#[test]
fn the_share_holds_for_the_floor_alone() {
    let mut project = boiler_room([15.0, 12.0], 60.0);
    for (id, at) in [(2, [14.0, 1.0]), (3, [14.0, 11.0]), (4, [1.0, 11.0])] {
        project.sources.put(source(id, at, METHANE, Holding::Gas));
    }
    for votes in [1.0, 2.0] {
        let project = suggested(&with_basis(&project, "need_flammable", votes));
        let results = run(&project, &Silent);
        assert!(results.demands.iter().all(|demand| demand.met), "{votes}");
        assert!(
            project
                .detectors
                .iter()
                .any(|one| one.at.distance(Point::new(14.0, 11.0)) < 5.0)
        );
    }
}

use crate::engine::drawn::{detector, empty, room, source};
use crate::engine::results::{Results, Scenario};
use crate::engine::{Silent, run};
use crate::model::release::{FlowUnit, KnownFlow};
use crate::model::*;

const HYDROGEN: &str = "1333-74-0";

/// A store of 12 m by 6 m with hydrogen at both ends, 20 m3/h at the first and 10 m3/h at the
/// second, and detectors at `places`.
fn store(places: &[[f64; 2]]) -> Results {
    let mut project = empty();
    project.rooms = [
        room(1, [0.0, 0.0], [12.0, 6.0], RoomUse::Store),
        room(2, [12.0, 0.0], [16.0, 6.0], RoomUse::Store),
    ]
    .into_iter()
    .collect();
    project.sources = [[2.0, 3.0], [10.5, 3.0]]
        .into_iter()
        .zip(1..)
        .map(|(at, id)| ReleaseSource {
            release: Some(Release::Flow(KnownFlow {
                rate: Some(20.0 / f64::from(id)),
                per: FlowUnit::CubicMetresPerHour,
            })),
            ..source(id, at, HYDROGEN, Holding::Gas)
        })
        .collect();
    let numbered = places.iter().zip(1..);
    project.detectors = numbered
        .map(|(at, id)| detector(id, *at, 2.7, HYDROGEN, Band::High))
        .collect();
    let finer = Edit::SetBasis {
        key: "area_cell".to_owned(),
        value: Some(0.2),
    };
    run(&apply(&project, &finer).unwrap(), &Silent)
}

fn scenario(results: &Results) -> &Scenario {
    results.rooms[&RoomId(1)].scenario.as_ref().unwrap()
}

#[test]
fn a_room_without_a_source_has_no_scenario() {
    assert!(store(&[]).rooms[&RoomId(2)].scenario.is_none());
}

#[test]
fn without_a_detector_no_source_is_met_and_none_raises_an_alarm() {
    let results = store(&[]);
    let found = scenario(&results);
    assert_eq!(
        (found.sources.value, found.met.value, found.share.value),
        (2.0, 0.0, 0.0)
    );
    assert_eq!(found.floor.unwrap().value, 0.0);
    assert!(found.alarm.is_none());
    assert_eq!(found.silent, [SourceId(1), SourceId(2)]);
}

/// Area by hand: the disc of 5 m about (6, 3) between walls at 3 m on both sides of its middle, four
/// times the integral of min(3, sqrt(25 - x^2)) from 0 to 5 is 4 (12 + 2.0437) = 56.17 m2 of 72.
#[test]
fn the_share_of_the_floor_is_that_of_the_disc_between_the_walls() {
    let results = store(&[[6.0, 3.0]]);
    let found = scenario(&results);
    assert_eq!(found.share.value, 100.0);
    let quarter = 12.5 * (std::f64::consts::FRAC_PI_2 - 0.8_f64.asin()) - 6.0;
    let by_hand = 100.0 * 4.0 * (12.0 + quarter) / 72.0;
    let floor = found.floor.unwrap().value;
    assert!(
        (floor - by_hand).abs() < 0.5,
        "{floor} %, by hand {by_hand} %"
    );
}

#[test]
fn the_latest_alarm_is_that_of_the_source_noticed_last() {
    let results = store(&[[2.6, 3.0]]);
    let found = scenario(&results);
    assert_eq!((found.met.value, found.share.value), (1.0, 50.0));
    // Out of reach of every detector: it may alarm some day, but nothing watches for it.
    assert_eq!(found.silent, [SourceId(2)]);
    let both = store(&[[2.6, 3.0], [8.0, 3.0]]);
    let found = scenario(&both);
    let first = |id: u32| {
        let cases = both.releases[&SourceId(id)].cases.iter();
        let first = cases.map(|case| {
            let alarms = case.alarms.iter().filter_map(|one| one.alarm);
            alarms
                .map(|alarm| alarm.value)
                .fold(f64::INFINITY, f64::min)
        });
        first.fold(0.0, f64::max)
    };
    let (near, far) = (first(1), first(2));
    assert!(far.is_finite() && near < far, "{near} s and {far} s");
    assert_eq!(found.alarm.unwrap().value, far);
    assert_eq!(found.last, Some(SourceId(2)));
    assert!(found.silent.is_empty());
}

//! Every rule fires in a case, and prints where it comes from.

use std::collections::BTreeMap;

use super::rules;
use crate::engine::drawn::{detector, drawn, empty, room, source};
use crate::engine::gas;
use crate::engine::results::Results;
use crate::engine::{Silent, run};
use crate::model::*;
use crate::units::Metres;

const ROOM: &str = "
    +------+
    |      |
    |  s   |
    |      |
    +------+";

fn case(substance: &str, held: Holding) -> Project {
    let key = gas::find(substance).unwrap().key.as_ref();
    drawn(ROOM, RoomUse::Laboratory, &[('s', key, held)])
}

fn change(project: &Project, item: Item) -> Project {
    apply(project, &Edit::Change { item }).unwrap()
}

/// The same room with other features.
fn with(substance: &str, held: Holding, set: impl Fn(&mut Room)) -> Project {
    let project = case(substance, held);
    let mut room = project.rooms.get(RoomId(1)).unwrap().clone();
    set(&mut room);
    change(&project, Item::Room(room))
}

fn unknown_holding(substance: &str) -> Project {
    let project = case(substance, Holding::Gas);
    let mut source = project.sources.get(SourceId(1)).unwrap().clone();
    source.holding = None;
    change(&project, Item::Source(source))
}

/// Two rooms joined by an open way without a stated head.
fn joined() -> Project {
    let mut project = empty();
    let rooms = [
        room(1, [0.0, 0.0], [4.0, 4.0], RoomUse::Laboratory),
        room(2, [4.0, 0.0], [8.0, 4.0], RoomUse::Laboratory),
    ];
    project.rooms = rooms.into_iter().collect();
    project.sources = [source(1, [1.0, 1.0], "1333-74-0", Holding::Gas)]
        .into_iter()
        .collect();
    let way = Opening {
        id: OpeningId(1),
        floor: FloorId(1),
        a: [4.0, 1.0].into(),
        b: [4.0, 2.0].into(),
        form: OpeningForm::OpenWay,
        head: None,
    };
    project.openings = [way].into_iter().collect();
    project
}

/// A beam across the room from `underside` up to the ceiling at 3 m.
fn beam(underside: f64) -> Project {
    let mut project = case("hydrogen", Holding::Gas);
    let beam = Barrier {
        id: BarrierId(1),
        floor: FloorId(1),
        line: vec![[4.0, 0.0].into(), [4.0, 3.0].into()],
        height: None,
        underside: Some(Metres::new(underside)),
    };
    project.barriers = [beam].into_iter().collect();
    project
}

fn yard() -> Project {
    with("hydrogen", Holding::Gas, |room| {
        room.enclosure = Enclosure::Outdoor;
        room.ceiling = None;
    })
}

fn cases() -> Vec<Project> {
    let metres = |value| Some(Metres::new(value));
    vec![
        case("methane", Holding::Gas),
        case("propane", Holding::Gas),
        case("toluene", Holding::Liquid),
        case("nitrogen", Holding::CryogenicLiquid),
        case("helium", Holding::CryogenicLiquid),
        case("carbon monoxide", Holding::FlueGas),
        case("hydrogen fluoride", Holding::Gas),
        case("hydrogen sulfide", Holding::Gas),
        case("carbon monoxide", Holding::Gas),
        case("acetylene", Holding::Gas),
        case("R134a", Holding::LiquefiedGas),
        case("chlorine", Holding::Gas),
        case("LPG 60/40 propane/butane", Holding::LiquefiedGas),
        yard(),
        unknown_holding("hydrogen"),
        joined(),
        beam(2.2),
        with("propane", Holding::Gas, |room| {
            room.features.pit = metres(1.0)
        }),
        with("propane", Holding::Gas, |room| {
            room.features.raised_floor = metres(0.4)
        }),
        with("hydrogen", Holding::Gas, |room| {
            room.features.ceiling_void = metres(0.5)
        }),
        with("hydrogen", Holding::Gas, |room| {
            room.features.warm_ceiling = true
        }),
        with("hydrogen", Holding::Gas, |room| {
            room.features.extract_duct = true
        }),
        with("hydrogen", Holding::Gas, |room| {
            room.features.air_intake = true
        }),
        with("hydrogen", Holding::Gas, |room| {
            room.features.fast_supply = true
        }),
        with("hydrogen", Holding::Gas, |room| {
            room.air_changes = Some(10.0)
        }),
    ]
}

/// Citation that each rule printed, by the rule's id: in a watch's grounds or in the trace.
fn fired(results: &Results) -> BTreeMap<String, String> {
    let watches = results.sources.values().flat_map(|source| &source.watches);
    let grounds = watches.flat_map(|watch| &watch.grounds);
    let grounds = grounds.map(|ground| (ground.rule.to_owned(), ground.citation.clone()));
    let entries = results.trace.entries().iter();
    let traced = entries.map(|entry| (entry.id.clone(), entry.citation.text()));
    traced.chain(grounds).collect()
}

#[test]
fn every_rule_of_mounting_fires_in_a_case_and_prints_its_citation() {
    let mut all = BTreeMap::new();
    for project in cases() {
        all.extend(fired(&run(&project, &Silent)));
    }
    let mut wrong = Vec::new();
    for rule in rules::RULES {
        match all.get(rule.id) {
            None => wrong.push(format!("{} fires in no case", rule.id)),
            Some(printed) if *printed != rule.citation.text() => {
                wrong.push(format!("{} prints {printed:?}", rule.id));
            }
            Some(_) => {}
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

fn bands(project: &Project) -> Vec<Band> {
    let results = run(project, &Silent);
    let mut bands: Vec<Band> = results.sources[&SourceId(1)]
        .watches
        .iter()
        .map(|watch| watch.band)
        .collect();
    bands.sort();
    bands.dedup();
    bands
}

/// Hydrogen comes as gas or as a cryogenic liquid: high for the one, high and low for the other
/// (common practice, no source).
#[test]
fn an_unknown_holding_takes_the_bands_of_every_usual_one() {
    let project = unknown_holding("hydrogen");
    assert_eq!(bands(&project), [Band::High, Band::Low]);
    assert_eq!(
        bands(&unknown_holding("nitrogen")),
        [Band::Breathing, Band::Low]
    );
    let results = run(&project, &Silent);
    let asked = &results.questions[0].question;
    assert!(
        asked.contains("gas in a pipe or cylinder, or cryogenic liquid"),
        "{asked}"
    );
    let sentence = &results.sources[&SourceId(1)].sentence;
    assert!(
        sentence.contains("If held as cryogenic liquid"),
        "{sentence}"
    );
}

fn has(project: &Project, id: &str) -> bool {
    run(project, &Silent)
        .findings
        .iter()
        .any(|one| one.id.starts_with(id))
}

#[test]
fn an_open_way_without_a_head_is_a_question() {
    let questions = run(&joined(), &Silent).questions;
    let about = ItemKey::Opening(OpeningId(1));
    let asked = questions.iter().find(|one| one.about == about).unwrap();
    assert!(asked.question.contains("head of the open way"));
    assert_eq!(asked.assumed.value, 3.0);
}

/// 0.3 m above the floor of a pit 1 m deep is 0.7 m below the floor, by hand.
#[test]
fn a_pit_asks_for_a_detector_in_it_until_one_hangs_there() {
    let deep = |room: &mut Room| room.features.pit = Some(Metres::new(1.0));
    let mut project = with("propane", Holding::Gas, deep);
    let results = run(&project, &Silent);
    let id = "mounting.pit/room-1/74-98-6";
    let found = results.findings.iter().find(|one| one.id == id).unwrap();
    assert!((found.value.unwrap().value + 0.7).abs() < 1e-9);
    let inside = detector(1, [2.0, 2.0], -0.7, "74-98-6", Band::Low);
    project.detectors = [inside].into_iter().collect();
    assert!(!has(&project, "mounting.pit"));
    assert!(
        !has(&project, "mounting.height"),
        "the height in the pit is no mistake"
    );
}

#[test]
fn light_gas_does_not_ask_for_the_pit_nor_heavy_gas_for_the_ceiling() {
    let all = |room: &mut Room| {
        room.features.pit = Some(Metres::new(1.0));
        room.features.ceiling_void = Some(Metres::new(0.5));
        room.features.warm_ceiling = true;
    };
    let light = with("hydrogen", Holding::Gas, all);
    assert!(!has(&light, "mounting.pit") && has(&light, "mounting.ceiling_void"));
    let heavy = with("propane", Holding::Gas, all);
    assert!(has(&heavy, "mounting.pit") && !has(&heavy, "mounting.warm_ceiling"));
}

/// Japan Fire Service Rule, article 24-2-3 (seen quoted): a beam of 0.6 m parts the ceiling.
#[test]
fn a_deep_beam_parts_the_ceiling_and_a_shallow_one_does_not() {
    let watched = |underside: f64| {
        let mut project = beam(underside);
        let beyond = detector(1, [5.5, 1.5], 2.7, "1333-74-0", Band::High);
        project.detectors = [beyond].into_iter().collect();
        run(&project, &Silent).demands[0].met
    };
    assert!(watched(2.5), "0.5 m deep: gas flows under it");
    assert!(
        !watched(2.2),
        "0.8 m deep: the detector hangs in the next pocket"
    );
    assert!(has(&beam(2.2), "mounting.beams") && !has(&beam(2.5), "mounting.beams"));
}

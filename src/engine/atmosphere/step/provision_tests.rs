//! Vents, cells on charge, refrigerant and oxygen in the room of the other tests: 5 m by 4 m, 3 m
//! high, 2 air changes, with a source 1 m above the floor. Figures by hand where no source is named.

use super::tests::{METHANE, Out, one, run};
use crate::engine::finding::{Finding, Severity};
use crate::engine::gas;
use crate::model::release::*;
use crate::model::*;
use crate::units::Metres;

/// The same project with other facts of its room.
fn room_with(mut project: Project, change: impl Fn(&mut Room)) -> Project {
    let mut room = project.rooms.get(RoomId(1)).unwrap().clone();
    change(&mut room);
    project.rooms.put(room);
    project
}

fn vented(low: Option<f64>, high: Option<f64>, rise: Option<f64>) -> Project {
    room_with(one(METHANE, Holding::Gas), |room| {
        room.features.low_vent = low;
        room.features.high_vent = high;
        room.features.vent_rise = rise.map(Metres::new);
        room.air_changes = Some(0.0);
    })
}

fn releasing(substance: &str, held: Holding, release: Release) -> Project {
    let mut project = one(substance, held);
    let source = project.sources.get(SourceId(1)).unwrap().clone();
    let release = Some(release);
    project.sources.put(ReleaseSource { release, ..source });
    project
}

fn battery(cells: Option<u32>) -> Project {
    let battery = Battery {
        cells,
        capacity: Some(200.0),
        cell: Some(Cell::VentedLead),
        charge: Some(ChargeMode::Boost),
    };
    releasing("1333-74-0", Holding::Gas, Release::Battery(battery))
}

fn the<'a>(findings: &'a [Finding], id: &str) -> Option<&'a Finding> {
    findings.iter().find(|finding| finding.id.starts_with(id))
}

#[track_caller]
fn near(found: f64, expected: f64, part: f64) {
    assert!(
        (found / expected - 1.0).abs() < part,
        "{found} for {expected}"
    );
}

/// Linden, Lane-Serff & Smeed 1990: A* = 0.03 m² and 2 m of way, C = 0.1637 for 0.13: ξ = 0.3803,
/// found by hand from A* / H² = C^(3/2) √(ξ⁵ / (1 - ξ)).
#[test]
fn a_layer_comes_to_rest_between_stated_vents() {
    let out = Out(3.6, 0.5539, None);
    let said = run(&vented(Some(0.05), Some(0.05), Some(2.5)), out);
    let case = &said.release.cases[0];
    let rest = case.vented.as_ref().expect("a pair of vents");
    near(rest.vents.value, 0.03, 1e-9);
    near(rest.front.value, 1.0 + 2.0 * 0.3803, 1e-3);
    near(rest.gas.value, 100.0 * 1e-3 / rest.flow.value, 1e-9);
    near(*case.front.last().unwrap(), rest.front.value, 2e-3);
    near(*case.layer.last().unwrap(), rest.gas.value, 2e-3);
    near(
        *case.mixed.last().unwrap(),
        case.steady.unwrap().value,
        2e-2,
    );
    let told = said.release.sentences.join(" ");
    assert!(told.contains("the layer comes to rest"), "{told}");
    assert!(said.release.notes.join(" ").contains("without wind"));
    let shut = run(&vented(None, None, None), out);
    assert!(shut.release.cases[0].vented.is_none());
    assert!(shut.release.cases[0].highest.value > 2.0 * case.highest.value);
}

#[test]
fn vents_of_unknown_height_are_assumed_and_one_alone_is_not_counted() {
    let out = Out(3.6, 0.5539, None);
    let said = run(&vented(Some(0.05), Some(0.05), None), out);
    let notes = said.release.notes.join(" ");
    assert!(
        notes.contains("vents of G.01 Room is not known: 1.50 m"),
        "{notes}"
    );
    let alone = run(&vented(Some(0.05), None, None), out);
    assert!(alone.release.cases[0].vented.is_none());
    let notes = alone.release.notes.join(" ");
    assert!(notes.contains("no high one"), "{notes}");
    assert!(the(&alone.findings, "room.assumed").is_some());
}

#[test]
fn strong_ventilation_takes_the_place_of_vents() {
    let project = room_with(vented(Some(0.05), Some(0.05), Some(2.0)), |room| {
        room.air_changes = Some(20.0);
    });
    let said = run(&project, Out(3.6, 0.5539, None));
    assert!(said.release.cases[0].vented.is_none());
}

/// EN 62485-2: 24 vented cells of 200 Ah on boost charge require 4.8 m³/h, openings of 134.4 cm².
#[test]
fn cells_on_charge_block_where_stated_air_does_not_suffice() {
    let out = Out(0.04, 0.0696, None);
    let enough = run(&battery(Some(24)), out);
    let needs = enough.release.battery.expect("cells on charge");
    near(needs.airflow.value, 4.8, 1e-9);
    near(needs.opening.value, 134.4, 1e-9);
    assert!(
        the(&enough.findings, "room.battery_air").is_none(),
        "120 m³/h"
    );
    let still = |changes, vents: Option<f64>, cells| {
        let project = room_with(battery(cells), |room| {
            room.air_changes = changes;
            (room.features.low_vent, room.features.high_vent) = (vents, vents);
        });
        the(&run(&project, out).findings, "room.battery_air").cloned()
    };
    let blocks = still(Some(0.05), None, Some(24)).expect("3 m³/h");
    assert_eq!(blocks.severity, Severity::Blocker);
    assert!(
        blocks.message.contains("4.80 m³/h") && blocks.message.contains("3.00 m³/h"),
        "{}",
        blocks.message
    );
    assert!(
        blocks.remedy.contains("0.0800 air changes") && blocks.remedy.contains("134 cm²"),
        "{}",
        blocks.remedy
    );
    let warns = still(Some(0.05), None, None).expect("the number of cells is assumed");
    assert_eq!(warns.severity, Severity::Warning);
    let unknown = still(None, None, Some(600)).expect("120 m³/h against 30 assumed");
    assert_eq!(unknown.severity, Severity::Warning);
    assert!(unknown.remedy.starts_with("State the air changes"));
    assert!(
        still(Some(0.05), Some(0.0135), Some(24)).is_none(),
        "vents suffice"
    );
}

/// EN 378-1 annex C: R134a, 0.25 kg/m³ in 60 m³: 15 kg.
#[test]
fn a_charge_beyond_the_practical_limit_is_said() {
    let of = |key: &str, mass, room_use| {
        let charge = RefrigerantCharge {
            mass,
            ..RefrigerantCharge::default()
        };
        let project = releasing(key, Holding::LiquefiedGas, Release::Charge(charge));
        let project = room_with(project, |room| room.room_use = room_use);
        run(&project, Out(60.0, 4.0, Some(3.0)))
    };
    let r134a = "811-97-2";
    let large = of(r134a, Some(20.0), RoomUse::Store);
    near(
        large.release.charge.expect("a limit").limit.value,
        15.0,
        1e-9,
    );
    let finding = the(&large.findings, "room.charge").expect("too much");
    assert_eq!(finding.severity, Severity::Warning);
    assert_eq!(finding.limit.unwrap().value, 15.0);
    let machinery = of(r134a, Some(20.0), RoomUse::RefrigerationRoom);
    let finding = the(&machinery.findings, "room.charge").expect("too much");
    assert_eq!(finding.severity, Severity::Note);
    let small = of(r134a, Some(14.0), RoomUse::Store);
    assert!(the(&small.findings, "room.charge").is_none());
    let told = small.release.sentences.join(" ");
    assert!(told.contains("may hold 15.0 kg"), "{told}");
    let bare = gas::substances()
        .iter()
        .find(|known| known.practical_limit.is_none() && known.family == gas::Family::Refrigerant);
    let bare = of(
        &bare.expect("such a refrigerant").key,
        Some(1.0),
        RoomUse::Store,
    );
    assert!(bare.release.charge.is_none());
    let finding = the(&bare.findings, "room.charge_limit_unknown").expect("it is said");
    assert!(
        finding.message.contains("practical limit of"),
        "{}",
        finding.message
    );
}

#[test]
fn every_asphyxiant_with_an_inventory_has_its_last_oxygen() {
    let mut seen = 0;
    for known in gas::substances().iter().filter(|known| known.asphyxiant) {
        let said = run(&one(&known.key, Holding::Gas), Out(6.0, 1.3, Some(6.0)));
        let oxygen = said
            .release
            .final_oxygen
            .unwrap_or_else(|| panic!("{}", known.name));
        // Ten per cent of the room: 20.9 x 0.9 as a plug.
        near(oxygen.plug.value, 18.81, 1e-9);
        let told = said.release.sentences.join(" ");
        assert!(told.contains("18.8 %vol of oxygen"), "{told}");
        seen += 1;
    }
    assert!(seen > 20, "{seen}");
}

/// What a watching detector meets stands with its alarm: nothing until the alarm's gas is there.
#[test]
fn the_course_at_each_watching_detector_is_in_the_results() {
    let said = run(&one(METHANE, Holding::Gas), Out(20.0, 0.5539, None));
    let case = &said.release.cases[0];
    let alarm = &case.alarms[0];
    let course = &alarm.at_detector;
    assert!(course.is_sorted_by(|a, b| a.0 <= b.0));
    let first = course
        .iter()
        .position(|(_, gas)| *gas > 0.0)
        .expect("gas comes");
    let arrives = alarm.gas_layered.expect("it alarms").value;
    near(course[first].0, arrives, 0.1);
    assert!(course[first].0 >= arrives || course[first].1 < alarm.set_point_gas.value);
    assert_eq!(
        course.last().map(|point| point.1),
        case.layer.last().copied()
    );
    let size = serde_json::to_string(&said.release).unwrap().len();
    assert!(size < 8_000, "{size} bytes of results a source");
    let mixes = run(&one("630-08-0", Holding::Gas), Out(20.0, 0.967, None));
    assert!(mixes.release.cases[0].alarms[0].at_detector.is_empty());
}

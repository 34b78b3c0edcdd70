use super::*;
use crate::engine::progress::Silent;
use crate::engine::results::{BillGroup, BillRow, CrossingKind, Results};
use crate::engine::test_building::{Plan, building};
use crate::model::*;

fn wired() -> Project {
    let project = building(&Plan {
        floors: 1,
        bays: 4,
        wall: 0.0,
        devices_per_room: 1,
    });
    let offer = crate::engine::wire(&project, &Silent);
    apply(&project, &offer.edit).expect("the offer is a legal edit")
}

fn run(project: &Project) -> Results {
    crate::engine::run(project, &Silent)
}

fn row<'r>(results: &'r Results, group: BillGroup, part: &str) -> &'r BillRow {
    let mut rows = results.take_off.bill.iter();
    rows.find(|row| row.group == group && row.part == part)
        .expect("the bill has the row")
}

#[test]
fn every_formula_of_the_take_off_gives_its_worked_example() {
    for formula in FORMULAS {
        let (inputs, result) = formula.example;
        let found = (formula.compute)(inputs);
        assert!(
            (found - result).abs() < 1e-9,
            "{}: {found} against {result}",
            formula.id
        );
    }
}

#[test]
fn bill_counts_what_is_drawn_and_price_is_its_sum() {
    let results = run(&wired());
    assert_eq!(
        row(&results, BillGroup::FieldDevices, "FD").amount.value,
        8.0 * 400.0
    );
    assert_eq!(row(&results, BillGroup::Panels, "CP").amount.value, 3000.0);
    // Two 12 V blocks make the panel's 24 V.
    let batteries = row(&results, BillGroup::Panels, "BA");
    assert_eq!(batteries.quantity.value, 2.0);
    assert!(batteries.description.contains("not sized yet"));
    assert_eq!(
        row(&results, BillGroup::Accessories, "ADAPTOR")
            .quantity
            .value,
        2.0
    );
    let ends = 2.0 * results.take_off.cables.len() as f64;
    assert_eq!(
        row(&results, BillGroup::Accessories, "GLAND")
            .quantity
            .value,
        ends
    );
    let cable = row(&results, BillGroup::Cable, "C075");
    let metres: f64 = results
        .segments
        .values()
        .map(|segment| segment.length.value)
        .sum();
    let billed = (metres * 10.0).round() / 10.0;
    assert!((cable.quantity.value - billed).abs() < 1e-9);
    let amount = (billed * 0.9 * 100.0).round() / 100.0;
    assert!((cable.amount.value - amount).abs() < 1e-9);
    let totals = results
        .take_off
        .totals
        .as_ref()
        .expect("there is a take-off");
    let sum: f64 = results
        .take_off
        .bill
        .iter()
        .map(|row| row.amount.value)
        .sum();
    assert!((totals.price.value - sum).abs() < 1e-9);
    assert_eq!(
        (totals.detectors.value, totals.field_devices.value),
        (8.0, 8.0)
    );
}

#[test]
fn a_price_of_invented_prices_says_so() {
    let mut project = wired();
    let holds = |project: &Project| run(project).take_off.totals.unwrap().price_holds;
    assert!(!holds(&project).contains("invented"));
    project.catalogue.sample = true;
    assert!(holds(&project).ends_with("this price is a sample, no offer."));
}

#[test]
fn walls_are_sealed_once_where_two_cables_go_through_at_one_place() {
    let results = run(&wired());
    let walls = results
        .take_off
        .cables
        .iter()
        .flat_map(|row| &row.cable.crossings)
        .filter(|crossing| crossing.through != CrossingKind::Slab)
        .map(|crossing| format!("{:.1} {:.1}", crossing.at.x, crossing.at.y));
    let places: std::collections::BTreeSet<String> = walls.collect();
    let seals = row(&results, BillGroup::Accessories, "SEAL").quantity.value;
    assert_eq!(seals, places.len() as f64);
    assert!(seals >= 1.0);
}

#[test]
fn a_slab_gone_through_is_sealed_like_a_wall() {
    let project = building(&Plan {
        floors: 2,
        bays: 2,
        wall: 0.0,
        devices_per_room: 1,
    });
    let offer = crate::engine::wire(&project, &Silent);
    let project = apply(&project, &offer.edit).expect("the offer is a legal edit");
    let results = run(&project);
    let cables = results.take_off.cables.iter();
    let places: std::collections::BTreeSet<String> = cables
        .flat_map(|row| &row.cable.crossings)
        .map(|c| format!("{} {:?} {:.1} {:.1}", c.floor, c.through, c.at.x, c.at.y))
        .collect();
    let slabs = places.iter().filter(|place| place.contains("Slab")).count();
    assert_eq!(slabs, 1, "{places:?}");
    let seals = row(&results, BillGroup::Accessories, "SEAL").quantity.value;
    assert_eq!(seals, places.len() as f64);
    let mut labour = results.take_off.bill.iter();
    let hours = labour
        .find(|row| row.description.contains("crossings of walls and slabs"))
        .expect("the bill has the hours");
    assert!((hours.quantity.value - 0.5 * places.len() as f64).abs() < 1e-9);
}

#[test]
fn what_is_on_site_is_counted_and_not_bought() {
    let mut project = wired();
    let before = run(&project).take_off.totals.expect("there is a take-off");
    for device in project.devices.iter_mut().take(3) {
        device.existing = true;
    }
    let results = run(&project);
    let totals = results
        .take_off
        .totals
        .as_ref()
        .expect("there is a take-off");
    assert_eq!(totals.field_devices.value, before.field_devices.value);
    assert!(totals.price.value < before.price.value - 3.0 * 400.0);
    let rows: Vec<&BillRow> = results
        .take_off
        .bill
        .iter()
        .filter(|row| row.part == "FD")
        .collect();
    assert_eq!(
        rows.iter()
            .map(|row| row.quantity.value)
            .collect::<Vec<_>>(),
        [5.0, 3.0]
    );
    assert_eq!(rows[1].amount.value, 0.0);
}

#[test]
fn before_the_wiring_the_device_of_each_detector_is_bought_and_cable_is_nothing() {
    let mut project = wired();
    project.segments.retain(|_| false);
    project.devices.retain(|device| device.id == DeviceId(1));
    let results = run(&project);
    let totals = results
        .take_off
        .totals
        .as_ref()
        .expect("there is a take-off");
    assert_eq!((totals.field_devices.value, totals.cable.value), (1.0, 0.0));
    assert!(
        totals
            .price_holds
            .contains("each of the 7 detectors that lack one")
    );
    assert_eq!(
        row(&results, BillGroup::FieldDevices, "FD").quantity.value,
        8.0
    );
    assert!(totals.price_holds.contains("nothing is wired yet"));
    assert!(
        results
            .findings
            .iter()
            .any(|finding| finding.id == "wiring.no_device")
    );
    assert_eq!(results.take_off.detectors.len(), 8);
    assert_eq!(results.take_off.detectors[0].room, "1.02 room");
}

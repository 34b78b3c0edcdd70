use super::*;
use crate::engine::progress::{Progress, Silent};
use crate::engine::results::{CrossingKind, Results};
use crate::engine::routing::Terminal;
use crate::engine::test_building::{Plan, building, segment};
use crate::model::basis::SPARE;
use crate::model::catalogue::ItemKind;
use crate::model::*;
use crate::units::{Amperes, Volts};

fn example() -> Project {
    building(&Plan {
        floors: 2,
        bays: 5,
        wall: 0.0,
        devices_per_room: 1,
    })
}

fn results(project: &Project) -> Results {
    crate::engine::run(project, &Silent)
}

/// The project with the offered wiring accepted.
fn wired(project: &Project) -> Project {
    apply(project, &wire(project, &Silent).edit).expect("the offer is a legal edit")
}

fn panel_limits_of(project: &mut Project, change: impl Fn(&mut catalogue::PanelLimits)) {
    for item in &mut project.catalogue.items {
        if let ItemKind::Panel(limits) = &mut item.kind {
            change(limits);
        }
    }
}

#[test]
fn every_formula_of_the_bus_gives_its_worked_example() {
    for formula in FORMULAS {
        let (inputs, result) = formula.example;
        let found = (formula.compute)(inputs);
        let close = (found - result).abs() <= 5e-5 * result.abs().max(1.0);
        assert!(
            close,
            "{}: {found} against {result} ({})",
            formula.id, formula.example_from
        );
    }
}

#[test]
fn every_device_is_wired_once_within_every_limit() {
    let project = wired(&example());
    let results = results(&project);
    for device in &project.devices {
        assert!(
            project.segment_of(device.id).is_some(),
            "{} is wired",
            device.tag
        );
    }
    for (id, result) in &results.segments {
        assert!(result.n_devices.value <= result.device_limit.unwrap().value);
        assert!(result.current.value <= result.current_limit.unwrap().value);
        assert!(result.length.value <= result.length_limit.unwrap().value);
        assert_eq!(result.cables.len(), result.volts.len(), "{id}");
        for at in &result.volts {
            assert!(at.volts.value >= at.least.value, "{}", at.tag);
        }
    }
    let blockers = results
        .findings
        .iter()
        .filter(|f| f.severity == crate::engine::Severity::Blocker);
    assert_eq!(
        blockers.map(|f| &f.message).collect::<Vec<_>>(),
        Vec::<&String>::new()
    );
}

#[test]
fn segment_shows_each_part_of_each_length_and_they_add_up() {
    let project = wired(&example());
    let results = results(&project);
    let mut total = 0.0;
    for result in results.segments.values() {
        for (hop, cable) in result.cables.iter().enumerate() {
            let ends = if hop == 0 { 2.0 + 0.5 } else { 0.5 + 0.5 };
            assert_eq!(cable.terminations.value, ends);
            let route = cable.horizontal.value + cable.vertical.value;
            assert!((cable.slack.value - 0.05 * route).abs() < 1e-9);
            assert!((cable.length.value - 1.05 * route - ends).abs() < 1e-9);
            total += cable.length.value;
        }
        let last = result.volts.last().expect("a segment has devices");
        assert!((last.distance.value - result.length.value).abs() < 1e-9);
    }
    let totals = results.take_off.totals.expect("there is a take-off");
    assert!((totals.cable.value - total).abs() < 1e-6);
}

#[test]
fn traced_volts_are_those_of_the_plain_arithmetic() {
    let project = wired(&example());
    let results = results(&project);
    for (id, result) in &results.segments {
        let part = &project.segments.get(*id).expect("as computed").cable;
        let cable = conductor::cable(project.catalogue.item(part).expect("listed")).expect("cable");
        let ohms = conductor::resistance(&project, cable, &mut Trace::default()).value;
        let lengths: Vec<f64> = result
            .cables
            .iter()
            .map(|cable| cable.length.value)
            .collect();
        let loads: Vec<f64> = result.volts.iter().map(|at| at.current.value).collect();
        let plain = line::volts(result.supply.unwrap().value, ohms, &lengths, &loads);
        for (at, volts) in result.volts.iter().zip(plain) {
            assert!((at.volts.value - volts).abs() < 1e-9);
        }
    }
}

#[test]
fn detectors_without_a_field_device_get_one_with_the_next_free_tag() {
    let mut project = example();
    let lost = project.devices.take(DeviceId(3)).expect("it was there");
    let suggestion = wire(&project, &Silent);
    let project = apply(&project, &suggestion.edit).expect("the offer is a legal edit");
    let device = project
        .device_of(lost.detectors[0])
        .expect("it has one again");
    assert_eq!((device.tag.as_str(), device.part.as_str()), ("FD-03", "FD"));
    assert_eq!((device.at, device.height), (lost.at, lost.height));
    assert!(project.segment_of(device.id).is_some());
}

#[test]
fn wiring_again_changes_no_metre() {
    let project = wired(&example());
    let again = wire(&project, &Silent);
    assert!(again.cable_change_m.expect("it is about wiring").abs() < 1e-6);
    assert_eq!(
        apply(&project, &again.edit).expect("legal").segments,
        project.segments
    );
}

#[test]
fn segments_with_existing_devices_are_left_alone() {
    let mut project = example();
    let ids: Vec<DeviceId> = project
        .devices
        .iter()
        .map(|device| device.id)
        .take(3)
        .collect();
    for device in project
        .devices
        .iter_mut()
        .filter(|device| ids.contains(&device.id))
    {
        device.existing = true;
    }
    let kept = segment(&mut project, "C075", ids);
    let before = project.segments.get(kept).cloned();
    let after = wired(&project);
    assert_eq!(after.segments.get(kept).cloned(), before);
    assert!(
        after
            .devices
            .iter()
            .all(|device| after.segment_of(device.id).is_some())
    );
}

#[test]
fn thinnest_cable_that_holds_the_volts_is_chosen() {
    let mut project = example();
    let first = wired(&project);
    assert!(first.segments.iter().all(|segment| segment.cable == "C075"));
    for item in &mut project.catalogue.items {
        if let ItemKind::DetectorDevice { load, .. } = &mut item.kind {
            load.least = Volts::new(20.6);
            load.alarm = Amperes::new(0.045);
        }
    }
    panel_limits_of(&mut project, |limits| limits.connections = 1);
    let second = wired(&project);
    let computed = results(&second);
    for segment in &second.segments {
        assert_ne!(segment.cable, "C075");
        let volts = &computed.segments[&segment.id].volts;
        assert!(volts.iter().all(|at| at.volts.value >= 20.6));
    }
}

#[test]
fn what_no_panel_can_take_is_named_and_spare_is_given_up_before_devices_are() {
    let mut project = example();
    panel_limits_of(&mut project, |limits| limits.measuring_points = 20);
    let suggestion = wire(&project, &Silent);
    assert!(
        suggestion
            .remarks
            .iter()
            .any(|r| r.contains("cannot keep the spare"))
    );
    assert!(
        !suggestion
            .remarks
            .iter()
            .any(|r| r.starts_with("Not wired"))
    );
    panel_limits_of(&mut project, |limits| limits.measuring_points = 15);
    let suggestion = wire(&project, &Silent);
    let remark = suggestion
        .remarks
        .iter()
        .find(|r| r.starts_with("Not wired"));
    assert_eq!(remark.expect("five are too many").matches("FD-").count(), 5);
}

#[test]
fn without_a_panel_the_offer_is_empty_and_says_what_to_do() {
    let mut project = example();
    project.panels.take(PanelId(1));
    let suggestion = wire(&project, &Silent);
    assert_eq!((suggestion.n_added, suggestion.cable_change_m), (0, None));
    assert!(matches!(suggestion.edit, Edit::All { edits, .. } if edits.is_empty()));
    assert!(suggestion.remarks[0].contains("place a control panel"));
}

#[test]
fn a_cable_without_a_way_is_a_blocker_and_the_rest_is_computed() {
    let mut project = example();
    let on = |floor: u32| {
        project
            .devices
            .iter()
            .find(|device| device.floor == FloorId(floor))
            .expect("one")
            .id
    };
    let ids = vec![on(1), on(2)];
    let made = segment(&mut project, "C150", ids);
    project.risers.take(RiserId(1));
    let results = results(&project);
    let finding = results
        .findings
        .iter()
        .find(|f| f.id == format!("routing.no_way/segment-{made}"));
    assert!(finding.expect("it is found").remedy.contains("riser"));
    assert_eq!(results.segments[&made].cables.len(), 1);
    assert_eq!(results.segments[&made].n_devices.value, 2.0);
}

#[test]
fn crossings_of_the_wiring_are_those_of_its_routes() {
    let project = wired(&example());
    let results = results(&project);
    let router = crate::engine::routing::Router::new(&project);
    let segment = project.segments.iter().next().expect("there is one");
    let (from, to) = (
        Terminal::Panel(segment.panel),
        Terminal::Device(segment.devices[0]),
    );
    let route = router.route(from, to).expect("there is a way");
    let cable = &results.segments[&segment.id].cables[0];
    assert_eq!(
        (&cable.path, &cable.crossings),
        (&route.path, &route.crossings)
    );
    let all: Vec<CrossingKind> = results
        .segments
        .values()
        .flat_map(|segment| &segment.cables)
        .flat_map(|cable| cable.crossings.iter().map(|crossing| crossing.through))
        .collect();
    assert!(all.contains(&CrossingKind::Slab));
}

#[test]
fn a_stopped_search_says_so() {
    struct Stop;
    impl Progress for Stop {
        fn report(&self, _: &str, _: usize, _: usize, _: Option<usize>) {}
        fn cancelled(&self) -> bool {
            true
        }
    }
    let suggestion = wire(&example(), &Stop);
    assert!(!suggestion.proven);
    assert!(
        suggestion
            .remarks
            .iter()
            .any(|remark| remark.contains("stopped"))
    );
}

#[test]
fn spare_of_the_basis_limits_devices_of_a_segment() {
    let mut project = example();
    panel_limits_of(&mut project, |limits| limits.devices_per_connection = 14);
    project.basis.set(SPARE.key, Some(50.0));
    let project = wired(&project);
    assert!(
        project
            .segments
            .iter()
            .all(|segment| segment.devices.len() <= 7)
    );
}

#[test]
fn wiring_that_leaves_devices_out_is_not_proven() {
    let mut project = building(&Plan {
        floors: 1,
        bays: 1,
        wall: 0.0,
        devices_per_room: 1,
    });
    project.devices.retain(|device| device.id == DeviceId(1));
    project
        .detectors
        .retain(|detector| detector.id == DetectorId(1));
    assert!(wire(&project, &Silent).proven, "one device has one line");
    let mut unknown = project.clone();
    let mut other = project
        .devices
        .get(DeviceId(1))
        .expect("it is there")
        .clone();
    other.id = DeviceId(2);
    other.tag = "FD-02".to_owned();
    other.part = "NONE".to_owned();
    other.detectors.clear();
    unknown.devices.put(other.clone());
    assert!(!wire(&unknown, &Silent).proven, "its part is not known");
    let mut full = project.clone();
    panel_limits_of(&mut full, |limits| {
        limits.connections = 1;
        limits.devices_per_connection = 1;
    });
    other.part = "FD".to_owned();
    full.devices.put(other);
    assert!(!wire(&full, &Silent).proven, "the panel has no room for it");
}

#[test]
fn wiring_chooses_a_part_whose_range_holds_the_set_points() {
    let mut project = example();
    project.devices.retain(|_| false);
    for detector in project.detectors.iter_mut() {
        detector.part = None;
    }
    // Cheaper, but its range ends below the set-points of 20 and 40 %LFL.
    let mut short = project.catalogue.item("FD").expect("it is there").clone();
    short.part = "SHORT".to_owned();
    short.price = crate::units::Money::new(100.0);
    if let ItemKind::DetectorDevice { range_high, .. } = &mut short.kind {
        *range_high = 10.0;
    }
    project.catalogue.items.push(short);
    let after = wired(&project);
    assert!(!after.devices.is_empty());
    assert!(after.devices.iter().all(|device| device.part == "FD"));
}

#[test]
fn without_the_panels_part_no_volts_are_given_and_only_the_part_is_missing() {
    let mut project = wired(&example());
    for panel in project.panels.iter_mut() {
        panel.part = "NONE".to_owned();
    }
    let results = results(&project);
    for result in results.segments.values() {
        assert!(result.volts.is_empty() && result.worst.is_none());
        assert!(!result.cables.is_empty());
    }
    let blockers = results.findings.iter();
    let blockers: Vec<&str> = blockers
        .filter(|found| found.severity == crate::engine::Severity::Blocker)
        .map(|found| found.id.as_str())
        .filter(|id| !id.starts_with("coverage"))
        .collect();
    assert_eq!(blockers, ["catalogue.part/control_panel-1"]);
}

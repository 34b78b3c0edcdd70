//! The example project from end to end, against checks that know nothing of the engine's insides.

use std::path::Path;
use std::process::Command;

use brattice::documents::{RowKind, Table, content};
use brattice::engine::results::CrossingKind;
use brattice::engine::{self, Results, Scope, Severity, Silent};
use brattice::geometry::{Meeting, Point, Segment};
use brattice::model::*;
use brattice::units::Unit;
use serde_json::Value;

const DEMO: &str = include_str!("../../static/demo/research-building.json");

fn demo() -> Project {
    ProjectFile::read(DEMO)
        .expect("the demo is a sound project")
        .project
}

fn run(project: &Project) -> Results {
    engine::run(project, &Silent)
}

/// The demo without its detectors, their field devices and its segments.
fn stripped() -> Project {
    let project = demo();
    let detectors = project.detectors.iter().map(|it| ItemKey::Detector(it.id));
    let segments = project.segments.iter().map(|it| ItemKey::Segment(it.id));
    let edits = segments
        .chain(detectors)
        .map(|key| Edit::Remove { key })
        .collect();
    let edit = Edit::All {
        label: "strip".to_owned(),
        edits,
    };
    let project = apply(&project, &edit).expect("things can be removed");
    assert!(project.detectors.is_empty() && project.segments.is_empty());
    assert!(
        project
            .devices
            .iter()
            .all(|device| device.detectors.is_empty())
    );
    project
}

fn accept(project: &Project, suggestion: &engine::Suggestion) -> Project {
    apply(project, &suggestion.edit).expect("a suggestion is a sound edit")
}

fn assert_finished(project: &Project) {
    let results = run(project);
    let blockers: Vec<&str> = (results.findings.iter())
        .filter(|finding| finding.severity == Severity::Blocker)
        .map(|finding| finding.message.as_str())
        .collect();
    assert!(blockers.is_empty(), "{blockers:#?}");
    let unmet: Vec<&str> = (results.demands.iter())
        .filter(|demand| !demand.met)
        .map(|demand| demand.title.as_str())
        .collect();
    assert!(unmet.is_empty(), "{unmet:#?}");
    assert!(results.demands.len() >= 30);
}

#[test]
fn the_demo_is_a_finished_design_of_the_promised_size() {
    let project = demo();
    assert!(project.rooms.len() >= 20, "{} rooms", project.rooms.len());
    assert!(
        project.detectors.len() >= 30,
        "{} detectors",
        project.detectors.len()
    );
    assert!(
        project.segments.len() >= 3,
        "{} segments",
        project.segments.len()
    );
    assert!(project.panels.len() >= 2, "{} panels", project.panels.len());
    assert_finished(&project);
}

#[test]
fn stripped_of_its_detectors_the_demo_is_suggested_and_proven_again() {
    let project = stripped();
    let suggestion = engine::suggest(&project, Scope::Project, &Silent);
    assert!(suggestion.proven, "{:#?}", suggestion.remarks);
    let project = accept(&project, &suggestion);
    let project = accept(&project, &engine::wire(&project, &Silent));
    assert_finished(&project);
    let results = run(&project);
    for (id, room) in &results.rooms {
        for cover in &room.covers {
            assert!(cover.proven, "room {id}, {} {:?}", cover.name, cover.band);
        }
    }
    assert_eq!(project.detectors.len(), demo().detectors.len());
}

#[test]
fn what_is_placed_by_hand_is_kept_and_counted() {
    let project = demo();
    let mut by_hand = project.detectors.iter().next().expect("a detector").clone();
    by_hand.origin = Origin::ByHand;
    let edit = Edit::Change {
        item: Item::Detector(by_hand.clone()),
    };
    let project = apply(&project, &edit).expect("a sound edit");
    let after = accept(
        &project,
        &engine::suggest(&project, Scope::Project, &Silent),
    );
    assert_eq!(after.detectors.get(by_hand.id), Some(&by_hand));
    assert_eq!(after.detectors.len(), project.detectors.len());
}

#[test]
fn suggested_detectors_hang_clear_of_sources_panels_and_other_devices() {
    let project = demo();
    let clear = project.basis.get(&basis::THING_CLEAR) - 1e-6;
    let devices = project
        .devices
        .iter()
        .filter(|device| device.detectors.is_empty());
    let things: Vec<(FloorId, Point)> = (project.sources.iter().map(|it| (it.floor, it.at)))
        .chain(project.panels.iter().map(|it| (it.floor, it.at)))
        .chain(devices.map(|it| (it.floor, it.at)))
        .collect();
    for detector in project.detectors.iter() {
        for (floor, at) in things.iter().filter(|(floor, _)| *floor == detector.floor) {
            let distance = at.distance(detector.at);
            assert!(
                distance >= clear,
                "{} on floor {floor}: {distance} m",
                detector.tag
            );
        }
    }
}

fn with(project: &Project, change: impl Fn(&mut Detector)) -> Project {
    let mut detector = project
        .detectors
        .get(DetectorId(1))
        .expect("a detector")
        .clone();
    change(&mut detector);
    apply(
        project,
        &Edit::Change {
            item: Item::Detector(detector),
        },
    )
    .expect("a sound edit")
}

fn blockers(project: &Project) -> Vec<String> {
    let findings = run(project).findings.into_iter();
    findings
        .filter(|it| it.severity == Severity::Blocker)
        .map(|it| it.id)
        .collect()
}

#[test]
fn a_detector_whose_part_does_not_measure_its_gas_does_not_count() {
    let project = demo();
    let device = project
        .device_of(DetectorId(1))
        .expect("a field device")
        .clone();
    let blind = FieldDevice {
        part: "FD-EC-O2".to_owned(),
        ..device
    };
    let edit = Edit::Change {
        item: Item::Device(blind),
    };
    let found = blockers(&apply(&project, &edit).expect("a sound edit"));
    assert!(
        found
            .iter()
            .any(|id| id == "placement.part_measures/detector-1"),
        "{found:?}"
    );
    assert!(
        found.iter().any(|id| id.contains("source-1")),
        "its demand is unmet: {found:?}"
    );
}

#[test]
fn a_set_point_that_alarms_too_late_or_the_wrong_way_is_a_blocker() {
    let point = |value, rising| SetPoint {
        value,
        unit: Unit::PercentLfl,
        rising,
        averaging: Averaging::Instant,
    };
    let laxer = "setpoints.laxer/detector-1".to_owned();
    for points in [
        vec![point(90.0, true), point(95.0, true)],
        vec![point(20.0, false), point(40.0, true)],
        vec![point(20.0, true)],
    ] {
        let project = with(&demo(), |it| it.set_points = points.clone());
        assert!(blockers(&project).contains(&laxer), "{points:?}");
    }
    let sooner = vec![point(10.0, true), point(25.0, true)];
    assert!(blockers(&with(&demo(), |it| it.set_points = sooner.clone())).is_empty());
}

#[test]
fn a_proof_names_the_detectors_that_were_kept() {
    let project = with(&demo(), |it| it.origin = Origin::ByHand);
    let results = run(&project);
    let cover = (results.rooms.values().flat_map(|room| &room.covers))
        .find(|cover| cover.detectors.contains(&DetectorId(1)))
        .expect("its cover");
    assert!(
        cover.holds_for.contains("with the one placed by hand"),
        "{}",
        cover.holds_for
    );
}

/// A printed figure as somebody with a calculator reads it: no currency, spaces or unit.
fn typed_in(text: &str) -> f64 {
    let digits = text.chars().filter(|c| c.is_ascii_digit() || *c == '.');
    digits.collect::<String>().parse().expect(text)
}

fn cents(value: f64) -> i64 {
    (value * 100.0).round() as i64
}

/// Every row of the printed bill, multiplied and added up again from what is printed. The way back
/// is grade-school arithmetic.
fn recalculate(table: &Table) {
    let (mut group, mut total, mut n_rows) = (0, 0, 0);
    for row in &table.rows {
        let printed: Vec<String> = row.cells.iter().map(|cell| table.print(cell)).collect();
        match row.kind {
            RowKind::Heading => group = 0,
            RowKind::Plain => {
                let [quantity, price, amount] = [3, 4, 5].map(|at: usize| &printed[at]);
                let price = price.trim_end_matches("/h");
                let product = typed_in(quantity) * typed_in(price);
                // A product that falls on half a cent may be taken up or down.
                let off = (product * 100.0 - cents(typed_in(amount)) as f64).abs();
                assert!(off <= 0.5 + 1e-6, "{printed:?}: {product}");
                group += cents(typed_in(amount));
                n_rows += 1;
            }
            RowKind::Subtotal => {
                assert_eq!(cents(typed_in(&printed[5])), group, "{printed:?}");
                total += group;
            }
            RowKind::Total => assert_eq!(cents(typed_in(&printed[5])), total, "{printed:?}"),
        }
    }
    assert!(n_rows > 15, "{n_rows} rows");
}

#[test]
fn the_printed_bill_multiplies_and_adds_up_to_the_cent() {
    for units in [UnitSystem::Metric, UnitSystem::UsCustomary] {
        let mut project = demo();
        project.head.units = units;
        let bill = content::bill_of_materials(&project, &run(&project));
        recalculate(&bill);
        assert!(
            bill.notes
                .iter()
                .any(|note| note.contains("prices of the catalogue are invented"))
        );
    }
}

/// The walls of a floor: the edges of its rooms and its full-height barriers.
fn walls(project: &Project, floor: FloorId) -> Vec<Segment> {
    let mut walls = Vec::new();
    for room in project
        .rooms_on(floor)
        .filter(|room| room.enclosure != Enclosure::Outdoor)
    {
        for (idx, &from) in room.outline.iter().enumerate() {
            walls.push(Segment::new(
                from,
                room.outline[(idx + 1) % room.outline.len()],
            ));
        }
    }
    for barrier in project.barriers.iter() {
        if barrier.floor == floor && barrier.height.is_none() {
            walls.extend(
                barrier
                    .line
                    .windows(2)
                    .map(|pair| Segment::new(pair[0], pair[1])),
            );
        }
    }
    walls
}

/// Where a stretch of cable meets a wall, were it only to touch it or to run in it.
fn met(stretch: Segment, wall: Segment) -> Option<Point> {
    match stretch.meeting(&wall)? {
        Meeting::Crossing { first, .. } | Meeting::Touch { first, .. } => {
            Some(stretch.point_at(first))
        }
        Meeting::Overlap { first, .. } => Some(stretch.point_at((first[0] + first[1]) / 2.0)),
    }
}

#[test]
fn no_cable_goes_through_a_wall_that_is_not_counted() {
    let project = demo();
    let results = run(&project);
    let mut n_met = 0;
    for segment in results.segments.values() {
        for cable in &segment.cables {
            for pair in cable
                .path
                .windows(2)
                .filter(|pair| pair[0].floor == pair[1].floor)
            {
                let floor = pair[0].floor;
                let stretch = Segment::new(pair[0].at, pair[1].at);
                for at in walls(&project, floor)
                    .iter()
                    .filter_map(|&wall| met(stretch, wall))
                {
                    n_met += 1;
                    let counted = cable
                        .crossings
                        .iter()
                        .any(|crossing| crossing.floor == floor && crossing.at.distance(at) < 0.05);
                    assert!(
                        counted,
                        "{} goes through a wall at {at:?} uncounted",
                        cable.tag
                    );
                }
            }
        }
    }
    assert!(n_met > 20, "the test must meet walls at all, met {n_met}");
}

#[test]
fn the_take_off_seals_every_place_where_cables_go_through_a_wall_or_slab() {
    let project = demo();
    let results = run(&project);
    let mut places: Vec<(FloorId, Point)> = Vec::new();
    let mut n_slabs = 0;
    for crossing in results
        .segments
        .values()
        .flat_map(|it| &it.cables)
        .flat_map(|it| &it.crossings)
    {
        let known = |place: &&(FloorId, Point)| {
            place.0 == crossing.floor && place.1.distance(crossing.at) < 0.1
        };
        if places.iter().find(known).is_none() {
            places.push((crossing.floor, crossing.at));
            n_slabs += usize::from(crossing.through == CrossingKind::Slab);
        }
    }
    let seals: f64 = (results.take_off.bill.iter())
        .filter(|row| row.part == "AC-SEAL")
        .map(|row| row.quantity.value)
        .sum();
    assert_eq!(seals, places.len() as f64);
    assert!(places.len() > 10 && n_slabs > 0);
}

/// Volts by hand: constant current, both cores, IEC 60228 class 1 and 2 at 20 °C, and the
/// temperature coefficient 0.00393 /K of IEC 60287 (both from memory).
#[test]
fn the_volts_of_the_demo_agree_with_a_calculation_by_hand() {
    let project = demo();
    let results = run(&project);
    let ohm_per_km = |part: &str| match part {
        "CB-075" => 24.5,
        "CB-100" => 18.1,
        "CB-150" => 12.1,
        "CB-250" => 7.41,
        other => panic!("{other} is no cable of the demo"),
    };
    let alarm = |device: DeviceId| {
        let device = project
            .devices
            .get(device)
            .expect("a device of the segment");
        let item = project
            .catalogue
            .item(&device.part)
            .expect("a part of the catalogue");
        item.load().expect("a field device").alarm.get()
    };
    let temperature = project.basis.get(&basis::CONDUCTOR_TEMPERATURE);
    for segment in project.segments.iter() {
        let result = &results.segments[&segment.id];
        let r = ohm_per_km(&segment.cable) / 1000.0 * (1.0 + 0.00393 * (temperature - 20.0));
        let mut volts = 21.6;
        for (hop, cable) in result.cables.iter().enumerate() {
            let beyond: f64 = segment.devices[hop..]
                .iter()
                .map(|&device| alarm(device))
                .sum();
            volts -= 2.0 * r * cable.length.value * beyond;
            let computed = result.volts[hop].volts.value;
            assert!(
                (computed - volts).abs() < 1e-6,
                "{}: {computed} V, {volts} V",
                segment.tag
            );
        }
    }
}

/// Every object with value, unit and why, anywhere in the results.
fn quantities(value: &Value, found: &mut Vec<(f64, usize)>) {
    match value {
        Value::Object(map) => {
            if let (Some(figure), Some(why)) = (map.get("value"), map.get("why")) {
                let figure = figure.as_f64().expect("a figure is a finite number");
                let why = why.as_u64().expect("a trace id is a whole number");
                found.push((figure, usize::try_from(why).expect("small")));
            }
            map.values().for_each(|value| quantities(value, found));
        }
        Value::Array(values) => values.iter().for_each(|value| quantities(value, found)),
        _ => {}
    }
}

#[test]
fn every_figure_of_the_results_leads_to_a_ground() {
    let results = serde_json::to_value(run(&demo())).expect("results are JSON");
    let trace = results["trace"].as_array().expect("a list").clone();
    let mut found = Vec::new();
    quantities(&results, &mut found);
    assert!(found.len() > 1000, "{} figures", found.len());
    for (figure, why) in found {
        let entry = &trace[why];
        assert_eq!(
            entry["value"].as_f64(),
            Some(figure),
            "entry {why}: {entry}"
        );
        let kind = entry["citation"]["kind"].as_str().expect("a citation");
        if kind == "published" {
            assert!(
                !entry["citation"]["work"]
                    .as_str()
                    .expect("a work")
                    .is_empty(),
                "{entry}"
            );
        }
    }
}

fn calculate(input: &Path, out: &Path) {
    let status = Command::new(env!("CARGO_BIN_EXE_brattice"))
        .args([
            "calculate".as_ref(),
            input.as_os_str(),
            "--out".as_ref(),
            out.as_os_str(),
        ])
        .env("SOURCE_DATE_EPOCH", "1700000000")
        .status()
        .expect("the program starts");
    assert!(status.success());
}

#[test]
fn the_same_demo_gives_the_same_bytes() {
    let folder = tempfile::tempdir().expect("a folder");
    let input = folder.path().join("demo.json");
    std::fs::write(&input, DEMO).expect("written");
    let (first, second) = (folder.path().join("first"), folder.path().join("second"));
    calculate(&input, &first);
    calculate(&input, &second);
    for name in [
        "results.json",
        "detector-schedule.csv",
        "cable-schedule.csv",
        "bill-of-materials.csv",
        "project.pdf",
    ] {
        let bytes = std::fs::read(first.join(name)).expect(name);
        assert!(bytes.len() > 500, "{name} has {} bytes", bytes.len());
        assert!(
            bytes == std::fs::read(second.join(name)).expect(name),
            "{name} differs"
        );
    }
}

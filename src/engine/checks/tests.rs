use crate::engine::finding::{Finding, Severity};
use crate::engine::progress::Silent;
use crate::engine::results::Results;
use crate::engine::test_building::{Plan, building, room, segment};
use crate::geometry::Point;
use crate::model::catalogue::ItemKind;
use crate::model::*;
use crate::units::{Amperes, Volts};

fn example() -> Project {
    building(&Plan {
        floors: 1,
        bays: 6,
        wall: 0.0,
        devices_per_room: 1,
    })
}

fn run(project: &Project) -> Results {
    crate::engine::run(project, &Silent)
}

fn find<'r>(results: &'r Results, id: &str) -> Option<&'r Finding> {
    results.findings.iter().find(|finding| finding.id == id)
}

/// All devices on one segment in the order of their ids, drawing so much each.
fn on_one_segment(cable: &str, amperes: f64, least: f64) -> (Project, SegmentId) {
    let mut project = example();
    for item in &mut project.catalogue.items {
        if let ItemKind::DetectorDevice { load, .. } = &mut item.kind {
            load.alarm = Amperes::new(amperes);
            load.least = Volts::new(least);
        }
    }
    let ids = project.devices.iter().map(|device| device.id).collect();
    let id = segment(&mut project, cable, ids);
    (project, id)
}

#[test]
fn low_volts_are_a_blocker_that_one_button_mends() {
    let (project, id) = on_one_segment("C075", 0.06, 18.0);
    let results = run(&project);
    let finding = find(&results, "bus.volts/segment-1").expect("the volts are low");
    assert_eq!(finding.severity, Severity::Blocker);
    let fix = finding.fix.as_ref().expect("a thicker cable mends it");
    assert_eq!(fix.label, "use 1.5 mm²");
    let mended = run(&apply(&project, &fix.edit).expect("the fix is legal"));
    assert!(find(&mended, "bus.volts/segment-1").is_none());
    let worst = results.segments[&id].worst;
    let at = mended.segments[&id]
        .volts
        .iter()
        .find(|at| Some(at.device) == worst)
        .expect("it");
    let printed = format!("1.5 mm² gives {} {:.1} V", at.tag, at.volts.value);
    assert!(
        finding.message.contains(&printed),
        "{}: {printed}",
        finding.message
    );
}

#[test]
fn low_volts_that_no_cable_mends_offer_no_button() {
    let (project, _) = on_one_segment("C250", 0.08, 21.5);
    let results = run(&project);
    let finding = find(&results, "bus.volts/segment-1").expect("the volts are low");
    assert_eq!(finding.fix, None);
    assert!(finding.remedy.contains("more segments"));
}

#[test]
fn a_segment_beyond_a_limit_is_a_blocker_and_beyond_the_spare_a_warning() {
    // Twelve devices; the connection takes 1.0 A, 0.8 A with spare.
    for (amperes, severity) in [
        (0.06, None),
        (0.07, Some(Severity::Warning)),
        (0.09, Some(Severity::Blocker)),
    ] {
        let (project, _) = on_one_segment("C250", amperes, 5.0);
        let results = run(&project);
        let finding = find(&results, "bus.current/segment-1");
        assert_eq!(
            finding.map(|finding| finding.severity),
            severity,
            "{amperes} A"
        );
    }
}

#[test]
fn a_panel_beyond_its_measuring_points_is_a_blocker() {
    let (mut project, _) = on_one_segment("C250", 0.01, 5.0);
    for item in &mut project.catalogue.items {
        if let ItemKind::Panel(limits) = &mut item.kind {
            limits.measuring_points = 11;
        }
    }
    let results = run(&project);
    let finding = find(&results, "control.measuring_points/panel-1").expect("12 are too many");
    assert_eq!(finding.severity, Severity::Blocker);
    assert_eq!(finding.value.map(|value| value.value), Some(12.0));
    assert_eq!(finding.limit.map(|limit| limit.value), Some(11.0));
}

#[test]
fn parts_outside_the_catalogue_are_blockers() {
    let (mut project, _) = on_one_segment("no such cable", 0.01, 5.0);
    project
        .panels
        .iter_mut()
        .for_each(|panel| panel.part = "no such panel".to_owned());
    let device = project.devices.iter_mut().next().expect("there is one");
    device.part = "no such device".to_owned();
    let results = run(&project);
    for id in [
        "catalogue.part/segment-1",
        "catalogue.part/control_panel-1",
        "catalogue.part/field_device-1",
    ] {
        assert_eq!(
            find(&results, id).map(|f| f.severity),
            Some(Severity::Blocker),
            "{id}"
        );
    }
    assert!(results.segments[&SegmentId(1)].volts.is_empty());
}

#[test]
fn a_sheet_without_scale_under_rooms_is_a_blocker() {
    let mut project = example();
    let sheet = PlanSheet {
        image: "00".to_owned(),
        name: "ground.png".to_owned(),
        page: 1,
        width_px: 1000,
        height_px: 500,
        scale: None,
        rotation: 0.0,
        origin: Point::new(0.0, 0.0),
        fade: 0.5,
    };
    project
        .floors
        .iter_mut()
        .for_each(|floor| floor.sheet = Some(sheet.clone()));
    let finding = run(&project)
        .findings
        .into_iter()
        .find(|f| f.id == "plan.scale/floor-1");
    assert!(
        finding
            .expect("it is found")
            .remedy
            .starts_with("Set the scale")
    );
    project.rooms.retain(|_| false);
    assert!(find(&run(&project), "plan.scale/floor-1").is_none());
}

#[test]
fn rooms_that_share_floor_are_warned_of_and_rooms_that_share_a_wall_are_not() {
    let mut project = example();
    assert!(
        !run(&project)
            .findings
            .iter()
            .any(|f| f.id.starts_with("room.overlap"))
    );
    let outline = [(1.0, 5.0), (3.0, 5.0), (3.0, 8.2), (1.0, 8.2)];
    let outline = outline.map(|(x, y)| Point::new(x, y)).to_vec();
    room(&mut project, 1, "closet", RoomUse::Store, outline);
    let results = run(&project);
    // 2 m by 2.2 m of room 2, 2 m by 1 m of the corridor.
    for (id, area) in [
        ("room.overlap/room-2-14", 4.4),
        ("room.overlap/room-1-14", 2.0),
    ] {
        let finding = find(&results, id).expect(id);
        let shared = finding.value.expect("the area is named").value;
        assert!((shared - area).abs() < 1e-6, "{id}: {shared}");
    }
}

#[test]
fn what_is_not_known_is_asked_with_what_is_assumed() {
    let mut project = example();
    let room = project.rooms.iter_mut().nth(1).expect("there is one");
    (room.ceiling, room.air_changes) = (None, None);
    let source = ReleaseSource {
        id: SourceId(1),
        floor: FloorId(1),
        name: "regulator".to_owned(),
        at: Point::new(2.0, 3.0),
        height: None,
        substance: "74-82-8".to_owned(),
        called: None,
        extent: None,
        holding: None,
        release: None,
    };
    project.sources.put(source);
    let results = run(&project);
    let asked = |question: &str| {
        let found = results.questions.iter().find(|q| q.question == question);
        found.map(|question| question.assumed.value)
    };
    assert_eq!(asked("What is the ceiling height of 1.02 room?"), Some(3.0));
    assert_eq!(
        asked("How many air changes an hour has 1.02 room?"),
        Some(0.5)
    );
    let height = "At what height can gas get out of the regulator in 1.02 room?";
    assert_eq!(asked(height), Some(1.0));
    let held = results
        .questions
        .iter()
        .find(|q| q.question.starts_with("How is the methane"));
    assert!(held.is_some(), "{:?}", results.questions);
}

#[test]
fn findings_stand_in_the_order_of_their_weight_then_id() {
    let (mut project, _) = on_one_segment("C075", 0.09, 18.0);
    project
        .detectors
        .iter_mut()
        .take(2)
        .for_each(|d| d.tag = format!("GD-{}", d.id));
    let findings = run(&project).findings;
    let keys: Vec<(Severity, &str)> = findings
        .iter()
        .map(|f| (f.severity, f.id.as_str()))
        .collect();
    assert!(keys.is_sorted() && keys.len() >= 4, "{keys:?}");
    assert_eq!(keys.last().expect("some").0, Severity::Note);
}

#[test]
fn a_watched_floor_without_a_sounder_is_noted_until_one_stands_there() {
    let mut project = example();
    let id = "alarm.silent/floor-1";
    let silent = run(&project);
    let finding = find(&silent, id).expect("nothing sounds there");
    assert_eq!(finding.severity, Severity::Note);
    let mut sounder = project.devices.iter().next().expect("a device").clone();
    sounder.id = DeviceId(900);
    sounder.tag = "XA-901".to_owned();
    sounder.part = "a part the catalogue lacks".to_owned();
    sounder.detectors.clear();
    project.devices.put(sounder.clone());
    assert!(find(&run(&project), id).is_none());
    // In no room: the rooms that are watched are named.
    sounder.at = Point::new(-50.0, 0.0);
    project.devices.put(sounder);
    let results = run(&project);
    let elsewhere = find(&results, "alarm.sounder_elsewhere/floor-1").expect("it stands elsewhere");
    assert_eq!(elsewhere.severity, Severity::Note);
    let watched = project.detectors.iter().next().expect("a detector");
    let room = &results.detectors[&watched.id]
        .room
        .expect("it is in a room");
    let number = &project.rooms.get(*room).expect("the room").number;
    assert!(
        elsewhere.message.contains(number.as_str()),
        "{}",
        elsewhere.message
    );
}

#[test]
fn a_cable_outside_of_all_rooms_is_noted_with_its_length() {
    let (mut project, _) = on_one_segment("C075", 0.01, 12.0);
    let id = "routing.undrawn/segment-1";
    assert!(
        find(&run(&project), id).is_none(),
        "all of it lies in rooms"
    );
    // A device 30 m away from the building, with nothing drawn between.
    let first = project.devices.iter().next().expect("there is one").id;
    let device = project.devices.iter_mut().find(|device| device.id == first);
    let device = device.expect("there is one");
    device.at = Point::new(-30.0, device.at.y);
    let results = run(&project);
    let finding = find(&results, id).expect("it leaves the rooms");
    assert_eq!(finding.severity, Severity::Note);
    let figure = finding.message.split(" runs ").nth(1).expect("a length");
    let length: f64 = figure
        .split('\u{202f}')
        .next()
        .and_then(|figure| figure.parse().ok())
        .expect("a number");
    // 30 m out, and back where the segment goes on, less what lies along the wall.
    assert!((28.0..62.0).contains(&length), "{length}");
}

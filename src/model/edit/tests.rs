//! What edits do, and what they refuse.

use super::*;
use crate::geometry::Point;
use crate::model::basis;
use crate::model::{
    AirTerminalKind, Band, Enclosure, Hazard, Holding, MarkedAreaId, MarkedKind, Origin, RoomUse,
    Topology,
};
use crate::units::Metres;

fn floor(id: u32) -> Item {
    Item::Floor(Floor {
        id: FloorId(id),
        name: format!("Floor {id}"),
        elevation: Metres::new(4.0 * f64::from(id)),
        sheet: None,
    })
}

fn room(outline: &[[f64; 2]]) -> Room {
    Room {
        id: RoomId(1),
        floor: FloorId(1),
        number: "G.01".to_owned(),
        name: "Store".to_owned(),
        room_use: RoomUse::Store,
        enclosure: Enclosure::Enclosed,
        outline: outline.iter().map(|&at| at.into()).collect(),
        ceiling: None,
        air_changes: None,
        features: crate::model::RoomFeatures::default(),
    }
}

fn detector(id: u32, x: f64) -> Item {
    Item::Detector(Detector {
        id: DetectorId(id),
        tag: format!("AT-10{id}"),
        floor: FloorId(1),
        at: [x, 1.0].into(),
        height: Metres::new(2.7),
        watches: "1333-74-0".to_owned(),
        hazard: Hazard::Flammable,
        band: Band::High,
        part: None,
        origin: Origin::ByHand,
        set_points: Vec::new(),
        set_points_reason: String::new(),
        tag_offset: None,
    })
}

fn device(id: u32, x: f64) -> Item {
    Item::Device(FieldDevice {
        id: DeviceId(id),
        tag: format!("FD-0{id}"),
        floor: FloorId(1),
        at: [x, 1.0].into(),
        height: Metres::new(2.7),
        part: "FD".to_owned(),
        detectors: vec![DetectorId(id)],
        existing: false,
    })
}

fn panel() -> Item {
    Item::Panel(ControlPanel {
        id: PanelId(1),
        tag: "CP-1".to_owned(),
        floor: FloorId(1),
        at: [0.0, 0.0].into(),
        height: Metres::new(1.5),
        part: "CP".to_owned(),
        existing: false,
    })
}

fn segment(id: u32, connection: u32, devices: &[u32]) -> Item {
    Item::Segment(Segment {
        id: SegmentId(id),
        tag: format!("S{id}"),
        panel: PanelId(1),
        connection,
        topology: Topology::Line,
        cable: "CB".to_owned(),
        devices: devices.iter().map(|&id| DeviceId(id)).collect(),
    })
}

fn add(item: Item) -> Edit {
    Edit::Add { item }
}

fn all(items: impl IntoIterator<Item = Item>) -> Edit {
    Edit::All {
        label: "several".to_owned(),
        edits: items.into_iter().map(add).collect(),
    }
}

/// A floor with two wired detectors.
fn wired() -> Project {
    let mut project = Project::default();
    project.head.name = "Plant".to_owned();
    let items = [
        floor(1),
        detector(1, 1.0),
        detector(2, 5.0),
        device(1, 1.0),
        device(2, 5.0),
        panel(),
        segment(1, 1, &[1, 2]),
    ];
    apply(&project, &all(items)).expect("a sound project")
}

fn refused(project: &Project, edit: &Edit) -> String {
    apply(project, edit)
        .expect_err("the edit must be refused")
        .to_string()
}

#[test]
fn a_room_that_crosses_itself_is_refused_by_its_walls() {
    let bow_tie = room(&[[0.0, 0.0], [4.0, 4.0], [4.0, 0.0], [0.0, 4.0]]);
    let message = refused(&wired(), &add(Item::Room(bow_tie)));
    assert!(
        message.starts_with("outline of room G.01 Store is crossed by itself"),
        "{message}"
    );
    assert!(message.contains("move a corner"), "{message}");
}

#[test]
fn a_room_on_no_floor_a_short_outline_and_a_far_corner_are_refused() {
    let mut elsewhere = room(&[[0.0, 0.0], [4.0, 0.0], [4.0, 4.0]]);
    elsewhere.floor = FloorId(7);
    assert!(refused(&wired(), &add(Item::Room(elsewhere))).contains("there is no such floor"));
    let line = room(&[[0.0, 0.0], [4.0, 0.0]]);
    assert!(refused(&wired(), &add(Item::Room(line))).contains("at least three corners"));
    let far = room(&[[0.0, 0.0], [4.0e7, 0.0], [4.0, 4.0]]);
    assert!(refused(&wired(), &add(Item::Room(far))).contains("coordinates are metres"));
}

#[test]
fn vents_without_area_or_taller_than_the_room_are_refused_by_name() {
    let with = |change: &dyn Fn(&mut crate::model::RoomFeatures)| {
        let mut room = room(&[[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]]);
        room.ceiling = Some(Metres::new(3.0));
        change(&mut room.features);
        add(Item::Room(room))
    };
    let project = wired();
    let said = refused(&project, &with(&|it| it.low_vent = Some(0.0)));
    assert!(
        said.starts_with("free area of the low vents of room") && said.contains("0 m²"),
        "{said}"
    );
    let said = refused(&project, &with(&|it| it.high_vent = Some(f64::NAN)));
    assert!(
        said.starts_with("free area of the high vents of room"),
        "{said}"
    );
    let said = refused(&project, &with(&|it| it.vent_rise = Some(Metres::new(3.5))));
    assert!(
        said.contains("height between the vents") && said.contains("0 to 3 m"),
        "{said}"
    );
}

#[test]
fn a_refused_edit_among_several_changes_nothing() {
    let project = wired();
    let before = project.clone();
    let edit = all([floor(2), floor(1)]);
    assert_eq!(
        apply(&project, &edit),
        Err(EditError::Taken(ItemKey::Floor(FloorId(1))))
    );
    assert_eq!(project, before);
}

#[test]
fn changing_what_is_gone_is_refused() {
    let edit = Edit::Change {
        item: detector(9, 1.0),
    };
    let gone = ItemKey::Detector(DetectorId(9));
    assert_eq!(apply(&wired(), &edit), Err(EditError::Missing(gone)));
}

#[test]
fn a_field_device_moves_with_its_detector() {
    let moved = apply(
        &wired(),
        &Edit::Change {
            item: detector(1, 3.5),
        },
    )
    .expect("a sound edit");
    assert_eq!(
        moved.devices.get(DeviceId(1)).expect("kept").at,
        [3.5, 1.0].into()
    );
    assert_eq!(
        moved.devices.get(DeviceId(2)).expect("kept").at,
        [5.0, 1.0].into()
    );
}

#[test]
fn removing_a_detector_takes_its_device_off_the_segment() {
    let edit = Edit::Remove {
        key: ItemKey::Detector(DetectorId(1)),
    };
    let project = apply(&wired(), &edit).expect("a sound edit");
    assert!(!project.devices.has(DeviceId(1)));
    assert_eq!(
        project.segments.get(SegmentId(1)).expect("kept").devices,
        [DeviceId(2)]
    );
}

#[test]
fn removing_the_panel_takes_its_segments_along() {
    let edit = Edit::Remove {
        key: ItemKey::Panel(PanelId(1)),
    };
    assert!(
        apply(&wired(), &edit)
            .expect("a sound edit")
            .segments
            .is_empty()
    );
}

#[test]
fn removing_a_floor_leaves_nothing_on_it() {
    let edit = Edit::Remove {
        key: ItemKey::Floor(FloorId(1)),
    };
    let project = apply(&wired(), &edit).expect("a sound edit");
    assert!(project.detectors.is_empty() && project.devices.is_empty());
    assert!(project.panels.is_empty() && project.segments.is_empty());
}

#[test]
fn a_device_is_wired_once_and_a_connection_used_once() {
    assert!(refused(&wired(), &add(segment(2, 1, &[2]))).contains("choose a free one"));
    assert!(refused(&wired(), &add(segment(2, 2, &[2]))).contains("wired already"));
}

#[test]
fn a_tag_is_given_once() {
    let Item::Detector(mut twin) = detector(3, 8.0) else {
        unreachable!()
    };
    twin.tag = "AT-101".to_owned();
    assert!(refused(&wired(), &add(Item::Detector(twin))).contains("already in use"));
}

#[test]
fn the_basis_of_design_keeps_its_ranges() {
    let set = |key: &str, value| Edit::SetBasis {
        key: key.to_owned(),
        value,
    };
    let message = refused(&wired(), &set("slack", Some(90.0)));
    assert!(message.contains("Slack on the route is 90") && message.contains("0 to 30"));
    assert!(refused(&wired(), &set("luck", Some(1.0))).contains("no assumption has that key"));
    let message = refused(&wired(), &set("need_toxic", Some(1.5)));
    assert!(message.contains("is 1.5") && message.contains("a whole number from 1 to 4"));
    let changed = apply(&wired(), &set("slack", Some(10.0))).expect("in range");
    assert_eq!(changed.basis.get(&basis::SLACK), 10.0);
    let back = apply(&changed, &set("slack", None)).expect("back to the default");
    assert_eq!(back.basis.get(&basis::SLACK), 5.0);
}

#[test]
fn a_source_without_substance_is_refused() {
    let source = ReleaseSource {
        id: SourceId(1),
        floor: FloorId(1),
        name: "bench".to_owned(),
        at: [1.0, 1.0].into(),
        height: None,
        substance: " ".to_owned(),
        called: None,
        extent: None,
        holding: Some(Holding::Gas),
        release: None,
    };
    let message = refused(&wired(), &add(Item::Source(source)));
    assert_eq!(
        message,
        "substance of release source bench is empty: choose a substance from the list."
    );
}

#[test]
fn every_edit_reads_back_from_its_json() {
    let edit = all([floor(1), detector(1, 1.0), segment(1, 1, &[1])]);
    let json = serde_json::to_string(&edit).expect("an edit is JSON");
    assert_eq!(serde_json::from_str::<Edit>(&json).expect("own JSON"), edit);
}

/// A message about a text that is too long names its field and its length, not the text.
fn check_too_long(project: &Project, edit: &Edit, field: &str, letters: usize) {
    let message = refused(project, edit);
    let told = format!("{field} is {letters} letters long");
    assert!(message.starts_with(&told), "{message}");
    assert!(message.contains("letters at most"), "{message}");
}

#[test]
fn texts_longer_than_their_limit_are_refused_by_field_and_length() {
    let (project, long) = (wired(), "é".repeat(201));
    let square = [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0]];
    let mut named = room(&square);
    named.name = long.clone();
    check_too_long(&project, &add(Item::Room(named)), "name of room 1", 201);
    let mut numbered = room(&square);
    numbered.number = long.clone();
    check_too_long(
        &project,
        &add(Item::Room(numbered)),
        "number of room 1",
        201,
    );
    let Item::Detector(mut tagged) = detector(3, 2.0) else {
        unreachable!("it is a detector")
    };
    tagged.tag = long.clone();
    let edit = add(Item::Detector(tagged));
    check_too_long(&project, &edit, "tag of detector 3", 201);
    let mut head = project.head.clone();
    head.reference = long.clone();
    check_too_long(&project, &Edit::SetHead { head }, "project reference", 201);
    let part = crate::model::catalogue::CatalogueItem {
        part: "FD".to_owned(),
        description: "d".repeat(501),
        price: crate::units::Money::new(1.0),
        kind: crate::model::catalogue::ItemKind::Cable {
            cross_section_mm2: 1.5,
            class: crate::model::catalogue::CableClass::Fixed,
        },
    };
    let catalogue = Catalogue {
        items: vec![part],
        ..Catalogue::default()
    };
    let edit = Edit::SetCatalogue { catalogue };
    let field = "description of catalogue part \"FD\"";
    check_too_long(&project, &edit, field, 501);
    let mut just = room(&square);
    just.name = "é".repeat(200);
    apply(&project, &add(Item::Room(just))).expect("200 letters are allowed");
}

#[test]
fn an_outline_of_more_than_500_corners_is_refused() {
    let circle = |n: u32| -> Vec<[f64; 2]> {
        let angle = |i: u32| f64::from(i) * std::f64::consts::TAU / f64::from(n);
        let at = |i: u32| [20.0 * angle(i).cos(), 20.0 * angle(i).sin()];
        (0..n).map(at).collect()
    };
    let message = refused(&wired(), &add(Item::Room(room(&circle(501)))));
    let told = "outline of room G.01 Store is 501 points long: draw it with 500";
    assert!(message.starts_with(told), "{message}");
    apply(&wired(), &add(Item::Room(room(&circle(500))))).expect("500 corners are allowed");
}

#[test]
fn ids_above_half_of_their_range_are_refused_in_every_register() {
    let project = wired();
    for item in [floor(u32::MAX), detector((1 << 31) + 1, 3.0)] {
        let message = refused(&project, &add(item));
        assert!(
            message.contains("give it an id of 2147483648 at most"),
            "{message}"
        );
    }
    let mut panel = panel();
    if let Item::Panel(panel) = &mut panel {
        (panel.id, panel.tag) = (PanelId(u32::MAX), "CP-2".to_owned());
    }
    assert!(refused(&project, &add(panel)).starts_with("id of control panel is 4294967295"));
    apply(&project, &add(detector(1 << 31, 3.0))).expect("2^31 is allowed");
}

fn terminal(flow: Option<f64>) -> Item {
    Item::Terminal(AirTerminal {
        id: AirTerminalId(1),
        floor: FloorId(1),
        kind: AirTerminalKind::Supply,
        at: Point::new(1.0, 1.0),
        height: None,
        flow,
    })
}

#[test]
fn an_air_terminal_has_a_floor_a_place_and_no_flow_below_nothing() {
    let project = apply(&wired(), &add(terminal(Some(120.0)))).unwrap();
    let refusal = refused(
        &project,
        &Edit::Change {
            item: terminal(Some(-1.0)),
        },
    );
    assert!(
        refusal.starts_with("flow of air terminal 1 is -1 m³/h: type 0 to"),
        "{refusal}"
    );
    let key = ItemKey::Floor(FloorId(1));
    let cleared = apply(&project, &Edit::Remove { key }).unwrap();
    assert_eq!(cleared.terminals.iter().count(), 0);
}

#[test]
fn a_project_of_before_there_were_terminals_and_marked_areas_reads_as_one_without() {
    let mut before = serde_json::to_value(wired()).unwrap();
    for register in ["terminals", "marked"] {
        let gone = before.as_object_mut().unwrap().remove(register);
        assert!(gone.is_some(), "{register}");
    }
    let read: Project = serde_json::from_value(before).unwrap();
    assert_eq!(read, wired());
}

fn marked(outline: &[[f64; 2]], level: Option<f64>) -> Item {
    Item::Marked(MarkedArea {
        id: MarkedAreaId(1),
        floor: FloorId(1),
        kind: MarkedKind::Pit,
        outline: outline.iter().map(|&at| at.into()).collect(),
        level: level.map(Metres::new),
    })
}

#[test]
fn a_marked_area_is_an_outline_on_a_floor_and_its_pit_has_a_depth() {
    let square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let project = apply(&wired(), &add(marked(&square, Some(1.2)))).unwrap();
    let change = |item| refused(&project, &Edit::Change { item });
    assert!(
        change(marked(&square, Some(-1.2)))
            .starts_with("depth of pit 1 is -1.2 m: type above 0 to 20 m")
    );
    assert!(change(marked(&square[..2], None)).starts_with("outline of pit 1 is 2 corners"));
    let crossed = [[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]];
    assert!(change(marked(&crossed, None)).starts_with("outline of pit 1 is crossed by itself"));
    let far = [[0.0, 0.0], [1.0, 0.0], [1.0, 1e9]];
    assert!(change(marked(&far, None)).contains("outline of pit 1"));
    let nowhere = match marked(&square, None) {
        Item::Marked(area) => Item::Marked(MarkedArea {
            floor: FloorId(9),
            ..area
        }),
        other => other,
    };
    assert!(change(nowhere).contains("pit 1"));
    let many: Vec<[f64; 2]> = (0..501).map(|n| [f64::from(n), f64::from(n * n)]).collect();
    assert!(change(marked(&many, None)).starts_with("outline of pit 1 is 501 points long"));
    let without = Edit::Remove {
        key: ItemKey::Floor(FloorId(1)),
    };
    let cleared = apply(&project, &without).unwrap();
    assert_eq!(cleared.marked.iter().count(), 0);
}

//! What edits do, and what they refuse.

use super::*;
use crate::model::basis;
use crate::model::{Band, Enclosure, Hazard, Holding, Origin, RoomUse, Topology};
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
        holding: Some(Holding::Gas),
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

#[test]
fn ids_texts_and_corners_have_an_end() {
    assert!(refused(&wired(), &add(detector(u32::MAX, 9.0))).contains("count ids up from 1"));
    let mut long = room(&[[0.0, 0.0], [4.0, 0.0], [4.0, 4.0]]);
    long.name = "x".repeat(201);
    let message = refused(&wired(), &add(Item::Room(long)));
    assert!(
        message.contains("is 201 letters long: shorten it to 200"),
        "{message}"
    );
    let mut many = room(&[]);
    many.outline = (0..501)
        .map(|n| [f64::from(n), f64::from(n).powi(2)].into())
        .collect();
    assert!(refused(&wired(), &add(Item::Room(many))).contains("501 corners"));
}

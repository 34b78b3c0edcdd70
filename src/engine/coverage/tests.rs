use crate::engine::results::DemandKind;
use crate::engine::{Silent, run};
use crate::geometry::Polygon;
use crate::model::*;
use crate::units::Metres;

fn hydrogen_room() -> Project {
    let mut project = Project::default();
    project.head.name = "Test".to_owned();
    project.floors = [Floor {
        id: FloorId(1),
        name: "Ground".to_owned(),
        elevation: Metres::new(0.0),
        sheet: None,
    }]
    .into_iter()
    .collect();
    project.rooms = [Room {
        id: RoomId(1),
        floor: FloorId(1),
        number: "G.01".to_owned(),
        name: "Store".to_owned(),
        room_use: RoomUse::Store,
        enclosure: Enclosure::Enclosed,
        outline: [
            [0.0, 0.0],
            [10.0, 0.0],
            [10.0, 6.0],
            [5.0, 6.0],
            [5.0, 4.0],
            [0.0, 4.0],
        ]
        .map(Into::into)
        .to_vec(),
        ceiling: Some(Metres::new(3.0)),
        air_changes: None,
    }]
    .into_iter()
    .collect();
    project.sources = [ReleaseSource {
        id: SourceId(1),
        floor: FloorId(1),
        name: "H2 regulator".to_owned(),
        at: [2.0, 1.0].into(),
        height: None,
        substance: "1333-74-0".to_owned(),
        holding: Some(Holding::Gas),
    }]
    .into_iter()
    .collect();
    project.detectors = [Detector {
        id: DetectorId(1),
        tag: "AT-101".to_owned(),
        floor: FloorId(1),
        at: [4.0, 2.0].into(),
        height: Metres::new(2.7),
        watches: "1333-74-0".to_owned(),
        hazard: Hazard::Flammable,
        band: Band::High,
        part: None,
        origin: Origin::ByHand,
        set_points: Vec::new(),
        tag_offset: None,
    }]
    .into_iter()
    .collect();
    project
}

/// The ring against the sum of the cells whose middles lie in reach: two ways to one area.
#[test]
fn the_outline_of_the_reach_holds_the_area_that_the_cells_say() {
    let mut project = hydrogen_room();
    let finer = Edit::SetBasis {
        key: "area_cell".to_owned(),
        value: Some(0.2),
    };
    project = apply(&project, &finer).unwrap();
    let results = run(&project, &Silent);
    let detector = &results.detectors[&DetectorId(1)];
    let [ring] = detector.coverage.as_slice() else {
        panic!("one ring")
    };
    let area = Polygon::new(ring.clone()).area();
    let floor = results
        .demands
        .iter()
        .find(|demand| demand.kind == DemandKind::Area)
        .unwrap();
    let watched = floor.watched.unwrap().value;
    assert!((area - watched).abs() < 0.4, "{area} and {watched} m2");
}

#[test]
fn the_same_project_gives_the_same_results() {
    let project = hydrogen_room();
    assert_eq!(run(&project, &Silent), run(&project, &Silent));
}

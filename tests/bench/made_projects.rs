//! Large projects made by rule, with the demo's catalogue.

use brattice::geometry::Point;
use brattice::model::*;
use brattice::units::Metres;

const DEMO: &str = include_str!("../../static/demo/research-building.json");

/// A project with the demo's catalogue and nothing drawn, and the demo it is from.
pub fn bare() -> (Project, Project) {
    let demo = ProjectFile::read(DEMO).expect("the demo is sound").project;
    let mut project = Project {
        catalogue: demo.catalogue.clone(),
        ..Project::default()
    };
    project.head.name = "Made by rule".to_owned();
    (project, demo)
}

pub fn floor(id: u32) -> Floor {
    Floor {
        id: FloorId(id),
        name: format!("Floor {id}"),
        elevation: Metres::new(4.5 * f64::from(id)),
        sheet: None,
    }
}

pub fn room(id: u32, floor: FloorId, a: [f64; 2], b: [f64; 2], room_use: RoomUse) -> Room {
    Room {
        id: RoomId(id),
        floor,
        number: format!("{id}"),
        name: "Room".to_owned(),
        room_use,
        enclosure: Enclosure::Enclosed,
        outline: [a, [b[0], a[1]], b, [a[0], b[1]]].map(Point::from).to_vec(),
        ceiling: Some(Metres::new(3.0)),
        air_changes: Some(2.0),
        features: RoomFeatures::default(),
    }
}

/// A plant room with hydrogen.
pub fn hall(width: f64, depth: f64) -> Project {
    let (mut project, demo) = bare();
    project.floors = [floor(1)].into_iter().collect();
    let (a, b) = ([0.0, 0.0], [width, depth]);
    project.rooms = [room(1, FloorId(1), a, b, RoomUse::PlantRoom)]
        .into_iter()
        .collect();
    let like = demo.sources.iter().next().expect("a source").clone();
    let source = ReleaseSource {
        id: SourceId(1),
        floor: FloorId(1),
        at: Point::new(6.0, 5.0),
        ..like
    };
    project.sources = [source].into_iter().collect();
    project
}

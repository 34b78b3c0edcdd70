use super::*;
use crate::units::Metres;

fn room(id: u32, outline: &[[f64; 2]]) -> Room {
    Room {
        id: RoomId(id),
        floor: FloorId(1),
        number: format!("G.0{id}"),
        name: "Room".to_owned(),
        room_use: RoomUse::Laboratory,
        enclosure: Enclosure::Enclosed,
        outline: outline.iter().copied().map(Point::from).collect(),
        ceiling: Some(Metres::new(3.0)),
        air_changes: None,
        features: crate::model::RoomFeatures::default(),
    }
}

fn rectangle(id: u32, x0: f64, y0: f64, x1: f64, y1: f64) -> Room {
    room(id, &[[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
}

fn opening(form: OpeningForm, a: [f64; 2], b: [f64; 2], head: Option<f64>) -> Opening {
    Opening {
        id: OpeningId(1),
        floor: FloorId(1),
        a: a.into(),
        b: b.into(),
        form,
        head: head.map(Metres::new),
    }
}

/// Two rooms of 4 m by 4 m with a wall of 0.2 m between them.
fn pair(form: OpeningForm, head: Option<f64>) -> Project {
    Project {
        rooms: [
            rectangle(1, 0.0, 0.0, 4.0, 4.0),
            rectangle(2, 4.2, 0.0, 8.2, 4.0),
        ]
        .into_iter()
        .collect(),
        openings: [opening(form, [4.0, 1.0], [4.0, 2.0], head)]
            .into_iter()
            .collect(),
        ..Project::default()
    }
}

#[test]
fn an_open_way_joins_two_rooms_and_a_door_does_not() {
    let joined = pair(OpeningForm::OpenWay, None);
    assert_eq!(Airspaces::new(&joined).spaces.len(), 1);
    let apart = pair(OpeningForm::Door, None);
    assert_eq!(Airspaces::new(&apart).spaces.len(), 2);
}

#[test]
fn the_path_through_an_open_way_is_straight_or_bends_at_its_jambs() {
    let project = pair(OpeningForm::OpenWay, None);
    let spaces = Airspaces::new(&project);
    let ways = spaces.ways(0, 1.5);
    let distance = |a: [f64; 2], b: [f64; 2]| ways.airways.distance(a.into(), b.into());
    assert_eq!(distance([3.0, 1.5], [5.2, 1.5]), Some(2.2));
    // Round the jambs at y = 2: by Pythagoras, twice hypot(1, 1) and the wall's 0.2 m.
    let round = distance([3.0, 3.0], [5.2, 3.0]).unwrap();
    assert!(
        (round - (2.0 * 2.0_f64.sqrt() + 0.2)).abs() < 1e-3,
        "{round}"
    );
}

#[test]
fn an_open_way_with_a_low_head_keeps_light_gas_back() {
    let project = pair(OpeningForm::OpenWay, Some(2.1));
    let spaces = Airspaces::new(&project);
    let (a, b) = (Point::new(3.0, 1.5), Point::new(5.2, 1.5));
    assert!(spaces.ways(0, 1.5).airways.distance(a, b).is_some());
    assert!(spaces.ways(0, 2.7).airways.distance(a, b).is_none());
}

#[test]
fn gas_goes_over_a_partition_that_is_lower_than_it() {
    let mut project = Project {
        rooms: [rectangle(1, 0.0, 0.0, 6.0, 4.0)].into_iter().collect(),
        ..Project::default()
    };
    project.barriers = [Barrier {
        id: BarrierId(1),
        floor: FloorId(1),
        line: vec![Point::new(3.0, 0.0), Point::new(3.0, 3.0)],
        height: Some(Metres::new(2.0)),
        underside: None,
    }]
    .into_iter()
    .collect();
    let spaces = Airspaces::new(&project);
    let (a, b) = (Point::new(2.0, 1.0), Point::new(4.0, 1.0));
    assert_eq!(spaces.ways(0, 2.7).airways.distance(a, b), Some(2.0));
    let round = spaces.ways(0, 0.3).airways.distance(a, b).unwrap();
    assert!((round - 2.0 * 5.0_f64.sqrt()).abs() < 1e-9);
}

#[test]
fn a_point_in_a_room_within_an_outdoor_area_is_in_the_room() {
    let mut yard = rectangle(1, -10.0, -10.0, 20.0, 20.0);
    yard.enclosure = Enclosure::Outdoor;
    let project = Project {
        rooms: [yard, rectangle(2, 0.0, 0.0, 4.0, 4.0)]
            .into_iter()
            .collect(),
        ..Project::default()
    };
    let spaces = Airspaces::new(&project);
    let room = |x: f64, y: f64| {
        spaces
            .room_at(FloorId(1), Point::new(x, y))
            .map(|room| room.id)
    };
    assert_eq!(room(2.0, 2.0), Some(RoomId(2)));
    assert_eq!(room(-2.0, 2.0), Some(RoomId(1)));
    assert_eq!(room(-12.0, 2.0), None);
    let around = spaces.ways(spaces.space_of(RoomId(1)), 1.0);
    let detour = around
        .airways
        .distance(Point::new(-1.0, 2.0), Point::new(5.0, 2.0))
        .unwrap();
    assert!(detour > 6.5, "round the building, not through it: {detour}");
}

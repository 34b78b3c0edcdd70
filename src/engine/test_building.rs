//! A building for tests: rooms on both sides of a corridor, floor above floor. All invented.

use crate::geometry::Point;
use crate::model::catalogue::{DeviceLoad, GoesWith, PanelLimits};
use crate::model::project::Head;
use crate::model::*;
use crate::units::{AmpereHours, Amperes, Metres, Money, Unit, Volts};

/// Rooms are this wide, m.
pub const BAY: f64 = 6.0;

/// What to build.
pub struct Plan {
    pub floors: u32,
    /// Rooms on each side of the corridor.
    pub bays: u32,
    /// Thickness of the walls, m; rooms are drawn to their inner faces.
    pub wall: f64,
    pub devices_per_room: u32,
}

/// The building with a panel at the corridor's left end on the lowest floor, a riser at its right
/// end, and devices on the rooms' walls.
pub fn building(plan: &Plan) -> Project {
    let mut project = Project {
        head: Head {
            name: "Test building".to_owned(),
            ..Head::default()
        },
        catalogue: catalogue(),
        ..Project::default()
    };
    let long = BAY * f64::from(plan.bays);
    for floor in 1..=plan.floors {
        project.floors.put(Floor {
            id: FloorId(floor),
            name: format!("Floor {floor}"),
            elevation: Metres::new(4.8 * f64::from(floor - 1)),
            sheet: None,
        });
        let half = plan.wall / 2.0;
        let rectangle = |x0: f64, y0: f64, x1: f64, y1: f64| {
            let (x0, y0, x1, y1) = (x0 + half, y0 + half, x1 - half, y1 - half);
            [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
                .map(|(x, y)| Point::new(x, y))
                .to_vec()
        };
        room(
            &mut project,
            floor,
            "corridor",
            RoomUse::Corridor,
            rectangle(0.0, 7.2, long, 9.6),
        );
        for bay in 0..plan.bays {
            let (x0, x1) = (BAY * f64::from(bay), BAY * f64::from(bay + 1));
            for (y0, y1, wall) in [(0.0, 7.2, 7.2), (9.6, 17.0, 9.6)] {
                room(
                    &mut project,
                    floor,
                    "room",
                    RoomUse::Laboratory,
                    rectangle(x0, y0, x1, y1),
                );
                let id = project.openings.next_id();
                let (a, b) = (Point::new(x0 + 2.5, wall), Point::new(x0 + 3.5, wall));
                let (on, form) = (FloorId(floor), OpeningForm::Door);
                project.openings.put(Opening {
                    id,
                    floor: on,
                    a,
                    b,
                    form,
                    head: None,
                });
                for number in 0..plan.devices_per_room {
                    let along = (f64::from(number) * 2.3 + f64::from(bay) * 0.7) % 5.0 + 0.5;
                    let far = if y0 == 0.0 {
                        y0 + half + 0.1
                    } else {
                        y1 - half - 0.1
                    };
                    let near = if y0 == 0.0 {
                        y1 - half - 0.1
                    } else {
                        y0 + half + 0.1
                    };
                    let y = if number % 2 == 0 { far } else { near };
                    let height = [0.3, 1.5, 2.7][(number % 3) as usize];
                    device(&mut project, floor, Point::new(x0 + along, y), height);
                }
            }
        }
    }
    panel(&mut project, 1, Point::new(0.1 + plan.wall / 2.0, 8.0));
    if plan.floors > 1 {
        project.risers.put(Riser {
            id: RiserId(1),
            name: "riser".to_owned(),
            at: Point::new(long - 0.5, 8.2),
            lowest: FloorId(1),
            highest: FloorId(plan.floors),
        });
    }
    project
}

/// Adds a room.
pub fn room(project: &mut Project, floor: u32, name: &str, room_use: RoomUse, outline: Vec<Point>) {
    let id = project.rooms.next_id();
    project.rooms.put(Room {
        id,
        floor: FloorId(floor),
        number: format!("{floor}.{id:02}"),
        name: name.to_owned(),
        room_use,
        enclosure: Enclosure::Enclosed,
        outline,
        ceiling: Some(Metres::new(3.0)),
        air_changes: Some(2.0),
        features: crate::model::RoomFeatures::default(),
    });
}

/// Adds a field device with a detector.
pub fn device(project: &mut Project, floor: u32, at: Point, height: f64) -> DeviceId {
    let detector = project.detectors.next_id();
    let (floor, height) = (FloorId(floor), Metres::new(height));
    project.detectors.put(Detector {
        id: detector,
        tag: format!("AT-{}", 100 + detector.0),
        floor,
        at,
        height,
        watches: "74-82-8".to_owned(),
        hazard: Hazard::Flammable,
        band: Band::High,
        part: Some("FD".to_owned()),
        origin: Origin::Suggested,
        set_points: Vec::new(),
        set_points_reason: String::new(),
        tag_offset: None,
    });
    let id = project.devices.next_id();
    project.devices.put(FieldDevice {
        id,
        tag: format!("FD-{:02}", id.0),
        floor,
        at,
        height,
        part: "FD".to_owned(),
        detectors: vec![detector],
        existing: false,
    });
    id
}

/// Adds a panel.
pub fn panel(project: &mut Project, floor: u32, at: Point) -> PanelId {
    let id = project.panels.next_id();
    project.panels.put(ControlPanel {
        id,
        tag: format!("CP-{id}"),
        floor: FloorId(floor),
        at,
        height: Metres::new(1.5),
        part: "CP".to_owned(),
        existing: false,
    });
    id
}

/// Adds a segment from panel 1.
pub fn segment(project: &mut Project, cable: &str, devices: Vec<DeviceId>) -> SegmentId {
    let id = project.segments.next_id();
    project.segments.put(Segment {
        id,
        tag: format!("S{id}"),
        panel: PanelId(1),
        connection: id.0,
        topology: Topology::Line,
        cable: cable.to_owned(),
        devices,
    });
    id
}

/// Invented parts.
pub fn catalogue() -> Catalogue {
    let load = DeviceLoad {
        normal: Amperes::new(0.030),
        alarm: Amperes::new(0.030),
        least: Volts::new(18.0),
    };
    let cable = |cross_section_mm2: f64, class| ItemKind::Cable {
        cross_section_mm2,
        class,
    };
    let item = |part: &str, price: f64, kind| CatalogueItem {
        part: part.to_owned(),
        description: format!("example part {part}"),
        price: Money::new(price),
        kind,
    };
    Catalogue {
        name: "test".to_owned(),
        currency: "€".to_owned(),
        sample: false,
        items: vec![
            item(
                "FD",
                400.0,
                ItemKind::DetectorDevice {
                    measures: vec!["74-82-8".to_owned()],
                    principle: Principle::Catalytic,
                    range_low: 0.0,
                    range_high: 100.0,
                    range_unit: Unit::PercentLfl,
                    t90: None,
                    load,
                },
            ),
            item(
                "CP",
                3000.0,
                ItemKind::Panel(PanelLimits {
                    connections: 6,
                    devices_per_connection: 32,
                    measuring_points: 128,
                    current_per_connection: Amperes::new(1.0),
                    longest_segment_m: 800.0,
                    bus_voltage: Volts::new(24.0),
                    bus_voltage_least: Volts::new(21.6),
                }),
            ),
            item("C075", 0.9, cable(0.75, CableClass::Fixed)),
            item("C150", 1.5, cable(1.5, CableClass::Fixed)),
            item("F150", 1.6, cable(1.5, CableClass::Flexible)),
            item("C250", 2.2, cable(2.5, CableClass::Fixed)),
            item(
                "BA",
                40.0,
                ItemKind::Battery {
                    voltage: Volts::new(12.0),
                    capacity: AmpereHours::new(12.0),
                },
            ),
            item(
                "GLAND",
                3.0,
                ItemKind::Accessory {
                    goes_with: GoesWith::CableEnd,
                    each: 1.0,
                },
            ),
            item(
                "SEAL",
                19.0,
                ItemKind::Accessory {
                    goes_with: GoesWith::WallCrossing,
                    each: 1.0,
                },
            ),
            item(
                "ADAPTOR",
                22.0,
                ItemKind::Accessory {
                    goes_with: GoesWith::Detector,
                    each: 0.25,
                },
            ),
        ],
    }
}

//! Rooms drawn in text, for tests: one character is one metre.
//!
//! A frame of `+`, `-` and `|` is a room 3 m high; inside it a run of `|` or `-` is a partition up
//! to the ceiling, a letter a release source, `.` or a blank is floor.

use crate::geometry::Point;
use crate::model::catalogue::DeviceLoad;
use crate::model::*;
use crate::units::{Amperes, Metres, Money, Unit, Volts};

/// What a letter stands for: substance and how it is held.
pub type Key<'a> = (char, &'a str, Holding);

/// A project of one room.
pub fn drawn(picture: &str, room_use: RoomUse, keys: &[Key<'_>]) -> Project {
    let lines: Vec<Vec<char>> = picture
        .lines()
        .map(|line| line.trim().chars().collect())
        .filter(|l: &Vec<_>| !l.is_empty())
        .collect();
    let inside: Vec<&[char]> = lines[1..lines.len() - 1]
        .iter()
        .map(|line| &line[1..line.len() - 1])
        .collect();
    let (width, depth) = (inside[0].len() as f64, inside.len() as f64);
    let mut project = empty();
    project.rooms = [room(1, [0.0, 0.0], [width, depth], room_use)]
        .into_iter()
        .collect();
    let mut sources = Vec::new();
    for (row, line) in inside.iter().enumerate() {
        for (column, letter) in line.iter().enumerate() {
            if let Some((_, substance, held)) = keys.iter().find(|key| key.0 == *letter) {
                let at = [column as f64 + 0.5, row as f64 + 0.5];
                sources.push(source(sources.len() as u32 + 1, at, substance, *held));
            }
        }
    }
    project.sources = sources.into_iter().collect();
    project.barriers = partitions(&inside).into_iter().collect();
    project
}

/// A project with a floor and a catalogue and nothing else.
pub fn empty() -> Project {
    let mut project = Project::default();
    project.head.name = "Drawn".to_owned();
    let elevation = Metres::new(0.0);
    let floor = Floor {
        id: FloorId(1),
        name: "Ground floor".to_owned(),
        elevation,
        sheet: None,
    };
    project.floors = [floor].into_iter().collect();
    project.catalogue = catalogue();
    project
}

/// A room 3 m high between two corners.
pub fn room(id: u32, a: [f64; 2], b: [f64; 2], room_use: RoomUse) -> Room {
    Room {
        id: RoomId(id),
        floor: FloorId(1),
        number: format!("G.{id:02}"),
        name: "Room".to_owned(),
        room_use,
        enclosure: Enclosure::Enclosed,
        outline: [a, [b[0], a[1]], b, [a[0], b[1]]].map(Point::from).to_vec(),
        ceiling: Some(Metres::new(3.0)),
        air_changes: Some(2.0),
        features: crate::model::RoomFeatures::default(),
    }
}

/// A release source 1 m above the floor.
pub fn source(id: u32, at: [f64; 2], substance: &str, holding: Holding) -> ReleaseSource {
    ReleaseSource {
        id: SourceId(id),
        floor: FloorId(1),
        name: format!("source {id}"),
        at: at.into(),
        height: Some(Metres::new(1.0)),
        substance: substance.to_owned(),
        called: None,
        extent: None,
        holding: Some(holding),
        release: None,
    }
}

/// A detector placed by hand.
pub fn detector(id: u32, at: [f64; 2], height: f64, watches: &str, band: Band) -> Detector {
    Detector {
        id: DetectorId(id),
        tag: format!("AT-{}", 100 + id),
        floor: FloorId(1),
        at: at.into(),
        height: Metres::new(height),
        watches: watches.to_owned(),
        hazard: Hazard::Flammable,
        band,
        part: Some("D-FLAM".to_owned()),
        origin: Origin::ByHand,
        set_points: Vec::new(),
        set_points_reason: String::new(),
        tag_offset: None,
    }
}

fn catalogue() -> Catalogue {
    let part = |part: &str, price: f64, measures: &[&str], range: (f64, f64, Unit)| CatalogueItem {
        part: part.to_owned(),
        description: part.to_owned(),
        price: Money::new(price),
        kind: ItemKind::DetectorDevice {
            measures: measures.iter().map(|key| (*key).to_owned()).collect(),
            principle: match range.2 {
                Unit::PercentLfl => Principle::Catalytic,
                _ => Principle::Electrochemical,
            },
            range_low: range.0,
            range_high: range.1,
            range_unit: range.2,
            t90: None,
            load: DeviceLoad {
                normal: Amperes::new(0.02),
                alarm: Amperes::new(0.05),
                least: Volts::new(15.0),
            },
        },
    };
    let fuels = [
        "1333-74-0",
        "74-82-8",
        "natural-gas",
        "74-98-6",
        "67-64-1",
        "7664-41-7",
    ];
    Catalogue {
        name: "Invented".to_owned(),
        currency: "€".to_owned(),
        sample: false,
        items: vec![
            part("D-FLAM", 300.0, &fuels, (0.0, 100.0, Unit::PercentLfl)),
            part(
                "D-OXY",
                350.0,
                &["7782-44-7"],
                (0.0, 25.0, Unit::PercentVolume),
            ),
            part("D-H2S", 400.0, &["7783-06-4"], (0.0, 50.0, Unit::Ppm)),
            part("D-NH3", 420.0, &["7664-41-7"], (0.0, 300.0, Unit::Ppm)),
        ],
    }
}

fn partitions(inside: &[&[char]]) -> Vec<Barrier> {
    let (width, depth) = (inside[0].len(), inside.len());
    let mut lines = Vec::new();
    for column in 0..width {
        for (from, to) in runs(depth, |row| inside[row].get(column) == Some(&'|')) {
            let x = column as f64 + 0.5;
            lines.push(vec![Point::new(x, from as f64), Point::new(x, to as f64)]);
        }
    }
    for (row, line) in inside.iter().enumerate() {
        for (from, to) in runs(width, |column| line[column] == '-') {
            let y = row as f64 + 0.5;
            lines.push(vec![Point::new(from as f64, y), Point::new(to as f64, y)]);
        }
    }
    let barrier = |(idx, line): (usize, Vec<Point>)| Barrier {
        id: BarrierId(idx as u32 + 1),
        floor: FloorId(1),
        line,
        height: None,
        underside: None,
    };
    lines.into_iter().enumerate().map(barrier).collect()
}

/// First and past-last places of the runs for which `is` holds.
fn runs(n: usize, is: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
    let mut runs = Vec::new();
    let mut start = None;
    for k in 0..=n {
        match (k < n && is(k), start) {
            (true, None) => start = Some(k),
            (false, Some(from)) => {
                runs.push((from, k));
                start = None;
            }
            _ => {}
        }
    }
    runs
}

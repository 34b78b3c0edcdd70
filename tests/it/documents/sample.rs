//! A small project with results made up by hand, for the tests of documents. All is invented.

use serde_json::json;

use brattice::documents::{Issue, Sheets};
use brattice::engine::results::*;
use brattice::engine::{Finding, Quantity, Results, Severity, Trace};
use brattice::geometry::Point;
use brattice::model::*;
use brattice::units::Unit;

pub fn issue() -> Issue {
    Issue {
        date: "2026-03-31".to_owned(),
        author: "A. Designer".to_owned(),
    }
}

pub fn no_sheets() -> Sheets {
    Sheets::new()
}

/// Six rooms and a corridor on the ground floor, an empty first floor.
pub fn project() -> Project {
    let room = |id: u32, number: &str, name: &str, x: f64, y: f64, w: f64, h: f64| {
        json!({"id": id, "floor": 1, "number": number, "name": name, "room_use": "laboratory",
               "outline": [[x, y], [x + w, y], [x + w, y + h], [x, y + h]], "ceiling": 3.0})
    };
    let source = |id: u32, name: &str, x: f64, y: f64, key: &str| json!({"id": id, "floor": 1, "name": name, "at": [x, y], "substance": key});
    let detector = |id: u32, x: f64, y: f64, height: f64, key: &str, hazard: &str, band: &str| {
        json!({"id": id, "tag": format!("AT-{}", 100 + id), "floor": 1, "at": [x, y],
               "height": height, "watches": key, "hazard": hazard, "band": band,
               "part": "D-FL", "origin": if id == 4 { "existing" } else { "suggested" }})
    };
    let device = |id: u32, tag: &str, x: f64, y: f64, detectors: &[u32]| {
        json!({"id": id, "tag": tag, "floor": 1, "at": [x, y], "height": 2.7, "part": "D-FL",
               "detectors": detectors})
    };
    let load = json!({"normal": 0.01, "alarm": 0.02, "least": 16.0});
    serde_json::from_value(json!({
        "head": {"name": "Research building, example", "client": "Example client",
                 "site": "North site, block 4", "reference": "GD-0042", "revision": "P2"},
        "catalogue": {"name": "invented parts", "currency": "€", "items": [
            {"part": "D-FL", "description": "Field device with one flammable-gas detector",
             "price": 420.0, "kind": {"is": "detector_device", "measures": ["1333-74-0"],
             "principle": "catalytic", "range_low": 0.0, "range_high": 100.0,
             "range_unit": "%LFL", "load": load}},
            {"part": "C-15", "description": "Two-core cable 1.5 mm², screened", "price": 1.9,
             "kind": {"is": "cable", "cross_section_mm2": 1.5, "class": "fixed"}}]},
        "floors": [{"id": 1, "name": "Ground floor", "elevation": 0.0},
                   {"id": 2, "name": "First floor", "elevation": 4.0}],
        "rooms": [
            room(1, "G.01", "Reception", 0.0, 0.0, 7.0, 7.0),
            room(2, "G.02", "Gas laboratory", 7.2, 0.0, 9.8, 7.0),
            room(3, "G.03", "Solvent laboratory", 17.2, 0.0, 8.8, 7.0),
            room(4, "G.04", "Corridor", 0.0, 7.2, 26.0, 2.3),
            room(5, "G.05", "Boiler room", 0.0, 9.7, 8.0, 7.3),
            room(6, "G.06", "Ammonia plant room", 8.2, 9.7, 10.8, 7.3),
            room(7, "G.07", "Cylinder store", 19.2, 9.7, 6.8, 7.3)],
        "openings": [
            {"id": 1, "floor": 1, "a": [3.0, 7.0], "b": [4.0, 7.0], "form": "door"},
            {"id": 2, "floor": 1, "a": [12.0, 7.0], "b": [13.0, 7.0], "form": "door"},
            {"id": 3, "floor": 1, "a": [20.0, 7.2], "b": [21.0, 7.2], "form": "open_way"},
            {"id": 4, "floor": 1, "a": [9.0, 0.0], "b": [11.0, 0.0], "form": "window"}],
        "barriers": [{"id": 1, "floor": 1, "line": [[12.0, 13.0], [15.0, 13.0]]}],
        "sources": [
            source(1, "hydrogen regulator", 9.5, 2.0, "1333-74-0"),
            source(2, "methane tap", 14.5, 4.0, "74-82-8"),
            source(3, "solvent bench", 20.0, 4.6, "67-64-1"),
            source(4, "gas train", 2.0, 12.0, "74-82-8"),
            source(5, "compressor", 11.0, 12.0, "7664-41-7")],
        "detectors": [
            detector(1, 10.5, 0.3, 2.7, "1333-74-0", "flammable", "high"),
            detector(2, 14.6, 5.2, 2.7, "74-82-8", "flammable", "high"),
            detector(3, 22.6, 6.3, 0.3, "67-64-1", "flammable", "low"),
            detector(4, 4.6, 12.8, 2.7, "74-82-8", "flammable", "high"),
            detector(5, 11.6, 13.4, 1.5, "7664-41-7", "toxic", "breathing"),
            detector(6, 23.0, 15.0, 0.3, "124-38-9", "toxic", "low")],
        "devices": [
            device(1, "FD-01", 10.5, 0.3, &[1]), device(2, "FD-02", 14.6, 5.2, &[2]),
            device(3, "FD-03", 22.6, 6.3, &[3]), device(4, "FD-04", 4.6, 12.8, &[4]),
            device(5, "FD-05", 11.6, 13.4, &[5]), device(6, "FD-06", 23.0, 15.0, &[6]),
            device(7, "XA-201", 9.0, 7.9, &[]), device(8, "UI-1", 1.0, 8.8, &[])],
        "panels": [{"id": 1, "tag": "CP-1", "floor": 1, "at": [1.2, 7.6], "height": 1.5,
                    "part": "P-1"}],
        "containments": [{"id": 1, "floor": 1, "kind": "tray",
                          "line": [[1.2, 8.35], [25.5, 8.35]]}],
        "segments": [
            {"id": 1, "tag": "S1", "panel": 1, "connection": 1, "topology": "line",
             "cable": "C-15", "devices": [1, 2, 3]},
            {"id": 2, "tag": "S2", "panel": 1, "connection": 2, "topology": "line",
             "cable": "C-15", "devices": [4, 5, 6]}]
    }))
    .expect("the sample fits the schema")
}

/// Results for [`project`], by hand: their figures are not engineering.
pub fn results(project: &Project) -> Results {
    let mut trace = Trace::default();
    let mut results = Results::default();
    for detector in &project.detectors {
        let row = detector_row(project, detector, &mut trace);
        results
            .detectors
            .insert(detector.id, detector_result(detector, &row, &mut trace));
        results.take_off.detectors.push(row);
    }
    for source in &project.sources {
        results
            .sources
            .insert(source.id, source_result(source, &mut trace));
    }
    for segment in &project.segments {
        let result = segment_result(project, segment, &mut trace);
        for cable in &result.cables {
            let description = "Two-core cable 1.5 mm², screened".to_owned();
            let cable = cable.clone();
            results.take_off.cables.push(CableRow {
                segment: segment.id,
                cable,
                description,
            });
        }
        results.segments.insert(segment.id, result);
    }
    bill(&mut results, &mut trace);
    let assumed = trace.basis(&project.basis, &brattice::model::basis::AIR_CHANGES_UNKNOWN);
    results.questions.push(Question {
        about: ItemKey::Room(RoomId(5)),
        question: "How many air changes an hour has G.05 Boiler room?".to_owned(),
        assumed,
    });
    let at = Point::new(10.5, 0.3);
    let (value, limit) = (metres(&mut trace, 0.4), metres(&mut trace, 1.5));
    results.findings.push(
        Finding::new(
            "place.grille/detector-1",
            Severity::Warning,
            "AT-101 hangs 0.4 m from a supply grille, whose air would keep the gas away.",
            "Move it 1.1 m west, or accept it and say why.",
        )
        .about(ItemKey::Detector(DetectorId(1)))
        .at(FloorId(1), at)
        .held_against(value, limit),
    );
    results.trace = trace;
    results
}

fn metres(trace: &mut Trace, value: f64) -> Quantity {
    trace.measured("length on the drawing", value, Unit::Metre)
}

fn stated(trace: &mut Trace, value: f64, unit: Unit) -> Quantity {
    trace.given("stated figure", value, unit, Citation::Catalogue)
}

fn substance(key: &str) -> &'static str {
    match key {
        "1333-74-0" => "hydrogen",
        "74-82-8" => "methane",
        "67-64-1" => "acetone",
        "7664-41-7" => "ammonia",
        _ => "carbon dioxide",
    }
}

fn detector_row(project: &Project, detector: &Detector, trace: &mut Trace) -> DetectorRow {
    let device = project.device_of(detector.id).expect("each has a device");
    let segment = project.segment_of(device.id).expect("each is wired");
    let toxic = detector.hazard == Hazard::Toxic;
    let (unit, levels) = if toxic {
        (Unit::Ppm, [20.0, 35.0])
    } else {
        (Unit::PercentLfl, [20.0, 40.0])
    };
    let set_points = levels
        .into_iter()
        .zip(["first", "second"])
        .map(|(level, rank)| {
            let reason = format!(
                "The {rank} set-point for a {} gas.",
                detector.hazard.label()
            );
            let value = stated(trace, level, unit);
            SetPointResult {
                averaging: brattice::model::Averaging::Instant,
                value,
                rising: true,
                rank: rank.to_owned(),
                reason,
            }
        });
    DetectorRow {
        detector: detector.id,
        tag: detector.tag.clone(),
        device: device.tag.clone(),
        address: device.id.to_string(),
        floor: "Ground floor".to_owned(),
        room: project
            .rooms
            .iter()
            .find(|room| {
                brattice::geometry::Polygon::new(room.outline.clone()).contains(detector.at)
            })
            .map_or(String::new(), |room| {
                format!("{} {}", room.number, room.name)
            }),
        substance: substance(&detector.watches).to_owned(),
        hazard: detector.hazard,
        band: detector.band,
        set_points: set_points.collect(),
        height: metres(trace, detector.height.get()),
        principle: if toxic {
            "electrochemical"
        } else {
            "catalytic"
        }
        .to_owned(),
        range: Some(Range {
            low: stated(trace, 0.0, unit),
            high: stated(trace, 100.0, unit),
        }),
        part: "D-FL".to_owned(),
        segment: segment.tag.clone(),
        origin: detector.origin,
    }
}

fn detector_result(detector: &Detector, row: &DetectorRow, trace: &mut Trace) -> DetectorResult {
    let ring = (0..40).map(|step| {
        let (sin, cos) = (f64::from(step) * 9.0).to_radians().sin_cos();
        Point::new(detector.at.x + 2.8 * cos, detector.at.y + 2.8 * sin)
    });
    DetectorResult {
        room: None,
        substance: row.substance.clone(),
        counted: true,
        principle: Some(Principle::Catalytic),
        range: row.range.clone(),
        height: row.height,
        height_reason: "Hydrogen is 0.07 times as dense as air. It collects under the ceiling: \
                        watch it within 0.3 m of the ceiling."
            .to_owned(),
        set_points: row.set_points.clone(),
        rule_set_points: vec![],
        reach: metres(trace, 5.0),
        meets: vec![],
        without: "Without it 38 m² and one source are unwatched.".to_owned(),
        coverage: vec![ring.collect()],
    }
}

fn source_result(source: &ReleaseSource, trace: &mut Trace) -> SourceResult {
    let watch = Watch {
        grounds: vec![],
        hazard: Hazard::Flammable,
        measures: source.substance.clone(),
        band: Band::High,
        relative_density: None,
        height: metres(trace, 2.7),
        reason: String::new(),
    };
    SourceResult {
        room: None,
        substance: substance(&source.substance).to_owned(),
        composition: String::new(),
        watches: vec![watch],
        sentence: String::new(),
    }
}

fn segment_result(project: &Project, segment: &Segment, trace: &mut Trace) -> SegmentResult {
    let panel = project
        .panels
        .get(segment.panel)
        .expect("the panel is there");
    let (mut from, mut at, mut total) = (panel.tag.clone(), panel.at, 0.0);
    let (mut cables, mut volts) = (Vec::new(), Vec::new());
    for (idx, id) in segment.devices.iter().enumerate() {
        let device = project.devices.get(*id).expect("the device is there");
        let corner = |x: f64, y: f64| PathPoint {
            floor: FloorId(1),
            at: Point::new(x, y),
            height: 2.8,
        };
        let way = 8.25 + 0.2 * f64::from(segment.id.0);
        let path = vec![
            corner(at.x, at.y),
            corner(at.x, way),
            corner(device.at.x, way),
            corner(device.at.x, device.at.y),
        ];
        let horizontal =
            (at.y - way).abs() + (at.x - device.at.x).abs() + (device.at.y - way).abs();
        let figures = [horizontal, 1.4, 1.0, horizontal * 0.05];
        let length: f64 = figures.iter().sum();
        total += length;
        let [horizontal, vertical, terminations, slack] =
            figures.map(|figure| metres(trace, figure));
        let wall = Crossing {
            floor: FloorId(1),
            at: Point::new(device.at.x, 7.1),
            through: CrossingKind::Wall,
        };
        cables.push(CableResult {
            tag: format!("W{}.{:02}", segment.id, idx + 1),
            from: std::mem::replace(&mut from, device.tag.clone()),
            to: device.tag.clone(),
            part: "C-15".to_owned(),
            path,
            horizontal,
            vertical,
            terminations,
            slack,
            length: metres(trace, length),
            crossings: vec![wall],
            resistance: stated(trace, 0.5, Unit::Ohm),
            drop: stated(trace, 0.2, Unit::Volt),
        });
        at = device.at;
        volts.push(DeviceVolts {
            device: *id,
            tag: device.tag.clone(),
            distance: metres(trace, total),
            volts: stated(trace, 22.0 - 0.4 * idx as f64, Unit::Volt),
            least: stated(trace, 16.0, Unit::Volt),
            current: stated(trace, 0.02, Unit::Ampere),
        });
    }
    SegmentResult {
        cables,
        length: metres(trace, total),
        length_limit: Some(stated(trace, 500.0, Unit::Metre)),
        worst: segment.devices.last().copied(),
        volts,
        current: stated(trace, 0.06, Unit::Ampere),
        current_limit: Some(stated(trace, 1.0, Unit::Ampere)),
        n_devices: stated(trace, 3.0, Unit::One),
        device_limit: Some(stated(trace, 32.0, Unit::One)),
        measuring_points: stated(trace, 3.0, Unit::One),
        supply: Some(stated(trace, 22.4, Unit::Volt)),
    }
}

fn bill(results: &mut Results, trace: &mut Trace) {
    let mut row = |group, part: &str, description: &str, n: f64, unit, price: f64| BillRow {
        group,
        part: part.to_owned(),
        description: description.to_owned(),
        quantity: stated(trace, n, unit),
        unit_price: stated(trace, price, Unit::Money),
        amount: stated(trace, n * price, Unit::Money),
    };
    let one = Unit::One;
    let device = "Field device with one flammable-gas detector";
    let rows = vec![
        row(BillGroup::FieldDevices, "D-FL", device, 5.0, one, 420.0),
        row(
            BillGroup::FieldDevices,
            "XA-B",
            "Sounder with beacon",
            1.0,
            one,
            160.0,
        ),
        row(
            BillGroup::Cable,
            "C-15",
            "Two-core cable 1.5 mm², screened",
            118.4,
            Unit::Metre,
            1.9,
        ),
        row(
            BillGroup::Labour,
            "",
            "Fix and connect field devices",
            9.0,
            Unit::Hour,
            60.0,
        ),
    ];
    let price = rows.iter().map(|row| row.amount.value).sum();
    results.take_off.bill = rows;
    results.take_off.totals = Some(Totals {
        detectors: stated(trace, 6.0, one),
        field_devices: stated(trace, 8.0, one),
        cable: metres(trace, 118.4),
        price: stated(trace, price, Unit::Money),
        price_holds: "The price holds parts, cable, labour and commissioning; taxes, builder's \
                      work and the hazardous-area classification are not in it."
            .to_owned(),
    });
}

/// A floor with twelve rooms and sixty detectors, five a room.
pub fn crowded() -> Project {
    let mut project = project();
    let (mut rooms, mut sources, mut detectors) = (Vec::new(), Vec::new(), Vec::new());
    for idx in 0..12_u32 {
        let (x, y) = (f64::from(idx % 4) * 10.0, f64::from(idx / 4) * 8.0);
        rooms.push(
            json!({"id": idx + 1, "floor": 1, "number": format!("G.{:02}", idx + 1),
            "name": "Laboratory", "room_use": "laboratory", "ceiling": 3.0, "outline":
            [[x, y], [x + 10.0, y], [x + 10.0, y + 8.0], [x, y + 8.0]]}),
        );
        for place in 0..5_u32 {
            let id = idx * 5 + place + 1;
            let at = [
                x + 1.0 + 1.9 * f64::from(place),
                y + 1.5 + f64::from(place * 7 % 5) * 1.2,
            ];
            let key = ["1333-74-0", "74-82-8", "7782-44-7", "7664-41-7", "67-64-1"];
            let band = ["high", "high", "breathing", "high", "low"][place as usize];
            sources.push(json!({"id": id, "floor": 1, "name": "tap", "substance":
                key[place as usize], "at": [at[0] + 0.5, at[1] + 1.0]}));
            detectors.push(
                json!({"id": id, "tag": format!("AT-{}", 100 + id), "floor": 1,
                "at": at, "height": 2.7, "watches": key[place as usize], "hazard": "flammable",
                "band": band, "part": null, "origin": "suggested"}),
            );
        }
    }
    let mut value = serde_json::to_value(&project).expect("a project is JSON");
    for key in [
        "openings",
        "barriers",
        "devices",
        "panels",
        "segments",
        "containments",
    ] {
        value[key] = json!([]);
    }
    value["rooms"] = json!(rooms);
    value["sources"] = json!(sources);
    value["detectors"] = json!(detectors);
    project = serde_json::from_value(value).expect("the sample fits the schema");
    project
}

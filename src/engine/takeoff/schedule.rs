//! Rows of the detector schedule and of the cable schedule.

use std::collections::BTreeMap;

use crate::engine::gas::Substances;
use crate::engine::results::{
    CableRow, DetectorResult, DetectorRow, Range, SegmentResult, SetPointResult,
};
use crate::engine::trace::Trace;
use crate::geometry::Polygon;
use crate::model::{
    Citation, Detector, DetectorId, FieldDevice, ItemKind, Project, Room, SegmentId,
};
use crate::units::Unit;

/// One row per detector, in the order of their tags.
pub fn detectors(
    project: &Project,
    results: &BTreeMap<DetectorId, DetectorResult>,
    trace: &mut Trace,
) -> Vec<DetectorRow> {
    let mut rows: Vec<DetectorRow> = project
        .detectors
        .iter()
        .map(|detector| row(project, detector, results.get(&detector.id), trace))
        .collect();
    rows.sort_by(|a, b| a.tag.cmp(&b.tag));
    rows
}

/// One row per cable.
pub fn cables(project: &Project, segments: &BTreeMap<SegmentId, SegmentResult>) -> Vec<CableRow> {
    let described = |part: &str| {
        project
            .catalogue
            .item(part)
            .map_or_else(String::new, |item| item.description.clone())
    };
    segments
        .iter()
        .flat_map(|(&segment, result)| result.cables.iter().map(move |cable| (segment, cable)))
        .map(|(segment, cable)| CableRow {
            segment,
            cable: cable.clone(),
            description: described(&cable.part),
        })
        .collect()
}

fn row(
    project: &Project,
    detector: &Detector,
    result: Option<&DetectorResult>,
    trace: &mut Trace,
) -> DetectorRow {
    let device = project.device_of(detector.id);
    let segment = device.and_then(|device| project.segment_of(device.id));
    let place = segment.and_then(|segment| {
        let device = device?;
        let place = segment.devices.iter().position(|&id| id == device.id)?;
        Some(format!("{}.{:02}", segment.tag, place + 1))
    });
    let part = part(detector, device);
    let (principle, range) = measured_by(project, &part, detector, trace);
    let title = format!("Height of {}", detector.tag);
    DetectorRow {
        detector: detector.id,
        tag: detector.tag.clone(),
        device: device.map_or_else(String::new, |device| device.tag.clone()),
        address: place.unwrap_or_default(),
        floor: project
            .floors
            .get(detector.floor)
            .map_or_else(String::new, |f| f.name.clone()),
        room: room(project, detector, result).map_or_else(String::new, |room| {
            format!("{} {}", room.number, room.name).trim().to_owned()
        }),
        substance: result.map_or_else(
            || Substances::of(project).name(&detector.watches).into_owned(),
            |r| r.substance.clone(),
        ),
        hazard: detector.hazard,
        band: detector.band,
        height: match result {
            Some(result) => result.height,
            None => trace.given(
                title,
                detector.height.get(),
                Unit::Metre,
                Citation::Designer,
            ),
        },
        principle,
        range: result.and_then(|result| result.range.clone()).or(range),
        set_points: match result {
            Some(result) => result.set_points.clone(),
            None => stated_set_points(detector, trace),
        },
        part,
        segment: segment.map_or_else(String::new, |segment| segment.tag.clone()),
        origin: detector.origin,
    }
}

fn part(detector: &Detector, device: Option<&FieldDevice>) -> String {
    let of_device = device.map(|device| device.part.clone());
    of_device
        .or_else(|| detector.part.clone())
        .unwrap_or_default()
}

fn room<'p>(
    project: &'p Project,
    detector: &Detector,
    result: Option<&DetectorResult>,
) -> Option<&'p Room> {
    if let Some(room) = result.and_then(|result| result.room) {
        return project.rooms.get(room);
    }
    project
        .rooms_on(detector.floor)
        .find(|room| Polygon::new(room.outline.clone()).contains(detector.at))
}

fn measured_by(
    project: &Project,
    part: &str,
    detector: &Detector,
    trace: &mut Trace,
) -> (String, Option<Range>) {
    let Some(item) = project.catalogue.item(part) else {
        return (String::new(), None);
    };
    let ItemKind::DetectorDevice {
        principle,
        range_low,
        range_high,
        range_unit,
        ..
    } = item.kind
    else {
        return (String::new(), None);
    };
    let mut end = |which: &str, value: f64| {
        let title = format!("{which} end of the range of {}", detector.tag);
        trace.given(title, value, range_unit, Citation::Catalogue)
    };
    let range = Range {
        low: end("Lower", range_low),
        high: end("Upper", range_high),
    };
    (principle.label().to_owned(), Some(range))
}

fn stated_set_points(detector: &Detector, trace: &mut Trace) -> Vec<SetPointResult> {
    let ranks = ["first", "second", "third"];
    detector
        .set_points
        .iter()
        .zip(ranks)
        .map(|(point, rank)| {
            let title = format!("{rank} set-point of {}", detector.tag);
            SetPointResult {
                value: trace.given(title, point.value, point.unit, Citation::Designer),
                rising: point.rising,
                rank: rank.to_owned(),
                averaging: point.averaging,
                reason: "Stated by the designer.".to_owned(),
            }
        })
        .collect()
}

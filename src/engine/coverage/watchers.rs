//! What watches each release source: its detectors, or the suggested height where there is none
//! yet.

use std::collections::BTreeMap;

use crate::engine::atmosphere::Watcher;
use crate::engine::coverage::demands::Need;
use crate::engine::mounting::OXYGEN;
use crate::engine::results::{DemandKind, DetectorResult, MetBy};
use crate::engine::setpoints;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// Detectors of one watch that are looked at, nearest first.
const LOOKED_AT: usize = 4;

/// What watches the sources of `needs`, by source. `detectors` hold the set-points of those that
/// meet a demand.
pub fn watchers(
    project: &Project,
    needs: &[Need],
    detectors: &BTreeMap<DetectorId, DetectorResult>,
    trace: &mut Trace,
) -> BTreeMap<SourceId, Vec<Watcher>> {
    let mut watchers: BTreeMap<SourceId, Vec<Watcher>> = BTreeMap::new();
    for need in needs {
        let DemandKind::Source(source) = need.demand.kind else {
            continue;
        };
        let of = watchers.entry(source).or_default();
        let before = of.len();
        for met in need.demand.met_by.iter().take(LOOKED_AT) {
            of.extend(by_detector(project, need, met, detectors, trace));
        }
        if of.len() == before {
            of.push(suggested(project, need, trace));
        }
    }
    watchers
}

fn by_detector(
    project: &Project,
    need: &Need,
    met: &MetBy,
    detectors: &BTreeMap<DetectorId, DetectorResult>,
    trace: &mut Trace,
) -> Option<Watcher> {
    let detector = project.detectors.get(met.detector)?;
    let result = detectors.get(&met.detector)?;
    Some(Watcher {
        hazard: need.demand.hazard,
        hazards: need.hazards.clone(),
        measures: need.demand.measures.clone(),
        oxygen: need.demand.measures == OXYGEN,
        band: need.demand.band,
        detector: Some(detector.id),
        name: detector.tag.clone(),
        height: result.height,
        distance: met.figure,
        set_points: result.set_points.clone(),
        t90: t90(project, Some(detector), trace),
    })
}

fn suggested(project: &Project, need: &Need, trace: &mut Trace) -> Watcher {
    let demand = &need.demand;
    let title = format!("Suggested height, {} band", demand.band.label());
    let room = project.rooms.get(demand.room);
    let uses: Vec<RoomUse> = room.map(|room| room.room_use).into_iter().collect();
    let source = need.source.and_then(|id| project.sources.get(id));
    let released: Vec<String> = source
        .map(|source| source.substance.clone())
        .into_iter()
        .collect();
    let asked = setpoints::Asked {
        measures: &demand.measures,
        hazards: &need.hazards,
        uses: &uses,
        released: &released,
        stated: &[],
    };
    Watcher {
        hazard: demand.hazard,
        hazards: need.hazards.clone(),
        measures: demand.measures.clone(),
        oxygen: demand.measures == OXYGEN,
        band: demand.band,
        detector: None,
        name: "A detector at the suggested height".to_owned(),
        height: trace.given(title, need.height, Unit::Metre, Citation::CommonPractice),
        // As far off as its reach lets it be.
        distance: demand.reach,
        set_points: setpoints::set_points(project, trace, &asked),
        t90: t90(project, None, trace),
    }
}

/// Time to 90 % of the reading, as the catalogue states it for the part, else the basis of design.
fn t90(project: &Project, detector: Option<&Detector>, trace: &mut Trace) -> Quantity {
    let part = detector.and_then(|detector| project.part_of(detector));
    let item = part.and_then(|part| project.catalogue.item(part));
    match item.map(|item| &item.kind) {
        Some(ItemKind::DetectorDevice { t90: Some(t90), .. }) => trace.given(
            "Time to 90 % of the reading",
            t90.get(),
            Unit::Second,
            Citation::Catalogue,
        ),
        _ => trace.basis(&project.basis, &basis::DETECTOR_T90),
    }
}

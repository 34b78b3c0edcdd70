//! The take-off: schedules, bill of materials and price. It counts what the other steps decided
//! and decides nothing itself.

mod bill;
mod formulas;
mod schedule;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use crate::engine::bus::TOTAL_LENGTH;
use crate::engine::formula::Formula;
use crate::engine::results::{DetectorResult, SegmentResult, TakeOff, Totals};
use crate::engine::trace::{Quantity, Trace};
use crate::model::{DetectorId, Project, Segment, SegmentId};
use crate::units::Unit;

/// The formulas of this module.
pub static FORMULAS: &[&Formula] = &[
    &formulas::AMOUNT_OF_PARTS,
    &formulas::AMOUNT_OF_CABLE,
    &formulas::AMOUNT_OF_CABLE_IN_FEET,
    &formulas::AMOUNT_OF_HOURS,
    &formulas::BILLED_LENGTH,
    &formulas::BILLED_FEET,
    &formulas::BILLED_HOURS,
    &formulas::BILLED_PRICE,
    &formulas::BILLED_RATE,
    &formulas::PRICE_OF_FOOT,
    &formulas::HOURS_OF_COUNT,
    &formulas::HOURS_OF_CABLE,
    &formulas::ACCESSORIES,
    &formulas::PRICE_SUM,
];

/// Schedules, bill and totals.
pub fn step(
    project: &Project,
    detectors: &BTreeMap<DetectorId, DetectorResult>,
    segments: &BTreeMap<SegmentId, SegmentResult>,
    trace: &mut Trace,
) -> TakeOff {
    let rows = schedule::detectors(project, detectors, trace);
    let cables = schedule::cables(project, segments);
    let bill = bill::bill(project, segments, trace);
    let totals = totals(project, segments, &bill, trace);
    TakeOff {
        detectors: rows,
        cables,
        bill,
        totals: Some(totals),
    }
}

/// Whether all of a segment is on site already: its panel and every device.
fn is_existing(project: &Project, segment: &Segment) -> bool {
    let device = |id| {
        project
            .devices
            .get(id)
            .is_some_and(|device| device.existing)
    };
    project
        .panels
        .get(segment.panel)
        .is_some_and(|panel| panel.existing)
        && segment.devices.iter().all(|&id| device(id))
}

/// The detectors that no field device carries: each counts as one device of its part.
fn without_device(project: &Project) -> impl Iterator<Item = &crate::model::Detector> {
    project
        .detectors
        .iter()
        .filter(|detector| project.device_of(detector.id).is_none())
}

fn totals(
    project: &Project,
    segments: &BTreeMap<SegmentId, SegmentResult>,
    bill: &[crate::engine::results::BillRow],
    trace: &mut Trace,
) -> Totals {
    let n_devices = project.devices.len();
    let lengths: Vec<Quantity> = segments.values().map(|segment| segment.length).collect();
    let amounts: Vec<Quantity> = bill.iter().map(|row| row.amount).collect();
    Totals {
        detectors: trace.measured("Detectors", project.detectors.len() as f64, Unit::One),
        field_devices: trace.measured("Field devices", n_devices as f64, Unit::One),
        cable: trace.eval(&TOTAL_LENGTH, &lengths),
        price: trace.eval(&formulas::PRICE_SUM, &amounts),
        price_holds: price_holds(project, segments),
    }
}

fn price_holds(project: &Project, segments: &BTreeMap<SegmentId, SegmentResult>) -> String {
    let has_devices = !project.devices.is_empty() || !project.detectors.is_empty();
    let cable = match segments.is_empty() && has_devices {
        true => "no cable, for nothing is wired yet",
        false => "cable",
    };
    let devices = match without_device(project).count() {
        0 => "field devices".to_owned(),
        1 => "field devices (one more for the detector that lacks one yet)".to_owned(),
        n => format!("field devices (one more for each of the {n} detectors that lack one yet)"),
    };
    let invented = match project.catalogue.sample {
        true => " The prices of the catalogue are invented: this price is a sample, no offer.",
        false => "",
    };
    format!(
        "The price holds {devices}, control panels with batteries not yet sized, {cable}, \
         accessories, labour and commissioning at the catalogue's prices and the rates of the \
         basis of design; it does not hold value added tax, building work, mains supply, \
         containment and what is on site already.{invented}"
    )
}

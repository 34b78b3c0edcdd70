//! Every device gets its least voltage with all outputs on and the battery at its end.

use std::collections::BTreeMap;

use crate::engine::bus::{conductor, line};
use crate::engine::finding::{Finding, Severity};
use crate::engine::results::{DeviceVolts, SegmentResult};
use crate::engine::trace::Trace;
use crate::model::{Edit, Item, ItemKey, Project, Segment, SegmentId};

/// A blocker per segment with a device below its least voltage, and the thinnest cable that
/// mends it.
pub fn check(project: &Project, segments: &BTreeMap<SegmentId, SegmentResult>) -> Vec<Finding> {
    let mut found = Vec::new();
    for (id, result) in segments {
        let Some(segment) = project.segments.get(*id) else {
            continue;
        };
        let low: Vec<&DeviceVolts> = result
            .volts
            .iter()
            .filter(|at| at.volts.value < at.least.value)
            .collect();
        let margin = |at: &DeviceVolts| at.volts.value - at.least.value;
        let worst = low.iter().min_by(|a, b| margin(a).total_cmp(&margin(b)));
        if let Some(worst) = worst {
            found.push(too_low(project, segment, result, low.len(), worst));
        }
    }
    found
}

fn too_low(
    project: &Project,
    segment: &Segment,
    result: &SegmentResult,
    n_low: usize,
    worst: &DeviceVolts,
) -> Finding {
    let devices = if n_low == 1 {
        "1 device gets"
    } else {
        &format!("{n_low} devices get")
    };
    let mut message = format!(
        "{}: {devices} less than the least voltage; {} gets {:.1} V and needs {:.1} V.",
        segment.tag, worst.tag, worst.volts.value, worst.least.value
    );
    let mend = thicker(project, segment, result, worst);
    let remedy = match &mend {
        Some(mend) => {
            message += &format!(
                " {} mm² gives {} {:.1} V and costs {} {:.0} more.",
                mend.area, worst.tag, mend.volts, project.catalogue.currency, mend.costs
            );
            "Use the thicker cable, or share the devices out among more segments."
        }
        None => "Share the devices out among more segments, or place a panel nearer to them.",
    };
    let id = format!("bus.volts/segment-{}", segment.id);
    let finding = Finding::new(id, Severity::Blocker, message, remedy)
        .about(ItemKey::Segment(segment.id))
        .held_against(worst.volts, worst.least);
    let finding = match project.devices.get(worst.device) {
        Some(device) => finding.at(device.floor, device.at),
        None => finding,
    };
    match mend {
        Some(mend) => {
            let segment = Segment {
                cable: mend.part,
                ..segment.clone()
            };
            let edit = Edit::Change {
                item: Item::Segment(segment),
            };
            finding.with_fix(format!("use {} mm²", mend.area), edit)
        }
        None => finding,
    }
}

struct Mend {
    part: String,
    area: f64,
    volts: f64,
    costs: f64,
}

/// The thinnest, then cheapest cable with which every device of the segment holds.
fn thicker(
    project: &Project,
    segment: &Segment,
    result: &SegmentResult,
    worst: &DeviceVolts,
) -> Option<Mend> {
    let now = project.catalogue.item(&segment.cable)?;
    let (area_now, _) = conductor::cable(now)?;
    let supply = result.supply?.value;
    let lengths: Vec<f64> = result
        .cables
        .iter()
        .map(|cable| cable.length.value)
        .collect();
    let loads: Vec<f64> = result.volts.iter().map(|at| at.current.value).collect();
    let place = result
        .volts
        .iter()
        .position(|at| at.device == worst.device)?;
    let mut scratch = Trace::default();
    let mut mends: Vec<Mend> = Vec::new();
    for item in &project.catalogue.items {
        let Some((area, class)) = conductor::cable(item) else {
            continue;
        };
        let ohms = conductor::resistance(project, (area, class), &mut scratch).value;
        let volts = line::volts(supply, ohms, &lengths, &loads);
        let holds = volts
            .iter()
            .zip(&result.volts)
            .all(|(v, at)| *v >= at.least.value);
        if area > area_now && holds {
            let costs = (item.price.get() - now.price.get()) * result.length.value;
            mends.push(Mend {
                part: item.part.clone(),
                area,
                volts: volts[place],
                costs,
            });
        }
    }
    mends.into_iter().min_by(|a, b| {
        a.area
            .total_cmp(&b.area)
            .then(a.costs.total_cmp(&b.costs))
            .then(a.part.cmp(&b.part))
    })
}

//! A segment keeps the limits of its panel's connection: devices, current, length, and the spare.

use std::collections::BTreeMap;

use crate::engine::bus::panel_limits;
use crate::engine::finding::{Finding, Severity};
use crate::engine::results::SegmentResult;
use crate::engine::trace::{Quantity, Trace};
use crate::model::{Citation, ItemKey, Project, Segment, SegmentId};

/// Blockers beyond a limit, warnings where only the spare is used up.
pub fn check(
    project: &Project,
    segments: &BTreeMap<SegmentId, SegmentResult>,
    trace: &mut Trace,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for (id, result) in segments {
        let Some(segment) = project.segments.get(*id) else {
            continue;
        };
        let Some(limits) = panel_limits(project, segment.panel) else {
            continue;
        };
        if segment.connection > limits.connections {
            found.push(no_connection(project, segment, limits.connections));
        }
        let devices = f64::from(limits.devices_per_connection);
        let amperes = limits.current_per_connection.get();
        for (what, used, with_spare, most, unit) in [
            (
                "devices",
                result.n_devices,
                result.device_limit,
                devices,
                "devices",
            ),
            (
                "current",
                result.current,
                result.current_limit,
                amperes,
                "A",
            ),
            (
                "length",
                result.length,
                result.length_limit,
                limits.longest_segment_m,
                "m of cable",
            ),
        ] {
            found.extend(over(segment, (what, unit), used, with_spare, most, trace));
        }
    }
    found
}

fn over(
    segment: &Segment,
    (what, unit): (&str, &str),
    used: Quantity,
    with_spare: Option<Quantity>,
    most: f64,
    trace: &mut Trace,
) -> Option<Finding> {
    let with_spare = with_spare?;
    if used.value <= with_spare.value + 1e-9 {
        return None;
    }
    let decimals = match what {
        "current" => 2,
        _ => 0,
    };
    let tag = &segment.tag;
    let words = format!("{tag} has {:.decimals$} {unit}", used.value);
    let (severity, message, limit) = if used.value > most + 1e-9 {
        let title = format!("Limit of one connection, {what}");
        let limit = trace.given(title, most, used.unit, Citation::Catalogue);
        let message = format!("{words}; its connection takes {most:.decimals$}.");
        (Severity::Blocker, message, limit)
    } else {
        let (most_with, of) = (with_spare.value, most);
        let message = format!(
            "{words}; with the spare of the basis of design its connection takes \
             {most_with:.decimals$} of {of:.decimals$}."
        );
        (Severity::Warning, message, with_spare)
    };
    let id = format!("bus.{what}/segment-{}", segment.id);
    let remedy = "Share the devices out among more segments, or wire again.";
    let finding = Finding::new(id, severity, message, remedy);
    Some(
        finding
            .about(ItemKey::Segment(segment.id))
            .held_against(used, limit),
    )
}

fn no_connection(project: &Project, segment: &Segment, connections: u32) -> Finding {
    let panel = project
        .panels
        .get(segment.panel)
        .map_or("its panel", |panel| &panel.tag);
    Finding::new(
        format!("bus.connection/segment-{}", segment.id),
        Severity::Blocker,
        format!(
            "{} is on connection {} of {panel}, which has {connections}.",
            segment.tag, segment.connection
        ),
        "Put it on a free connection, choose a larger panel, or wire again.",
    )
    .about(ItemKey::Segment(segment.id))
}

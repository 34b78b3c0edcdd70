//! Control panels: what they carry and what they could. Batteries and outputs are not sized here.

use std::collections::BTreeMap;

use crate::engine::bus::{COUNT_LESS_SPARE, panel_limits};
use crate::engine::finding::{Finding, Severity};
use crate::engine::results::PanelResult;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis::SPARE;
use crate::model::{Citation, ControlPanel, ItemKey, PanelId, Project};
use crate::units::Unit;

/// Counts each panel's connections and measuring points against its limits. A panel whose part
/// is not in the catalogue has no limits; `checks` says so.
pub fn step(
    project: &Project,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
) -> BTreeMap<PanelId, PanelResult> {
    let spare = trace.basis(&project.basis, &SPARE);
    let mut results = BTreeMap::new();
    for panel in &project.panels {
        let segments: Vec<_> = project
            .segments
            .iter()
            .filter(|segment| segment.panel == panel.id)
            .collect();
        let n_points: usize = segments
            .iter()
            .flat_map(|segment| &segment.devices)
            .filter_map(|&id| project.devices.get(id))
            .map(|device| device.detectors.len())
            .sum();
        let mut count = |what: &str, n: usize| {
            trace.measured(
                format!("{what} of {} in use", panel.tag),
                n as f64,
                Unit::One,
            )
        };
        let connections = count("Connections", segments.len());
        let measuring_points = count("Measuring points", n_points);
        let limits = panel_limits(project, panel.id);
        let mut limit = |what: &str, n: u32| {
            let title = format!("{what} of {}", panel.tag);
            let given = trace.given(title, f64::from(n), Unit::One, Citation::Catalogue);
            (given, trace.eval(&COUNT_LESS_SPARE, &[given, spare]))
        };
        let of_connections = limits.map(|of| limit("Connections", of.connections));
        let of_points = limits.map(|of| limit("Measuring points", of.measuring_points));
        if let Some(most) = of_connections {
            findings.extend(over(panel, "connections", connections, most));
        }
        if let Some(most) = of_points {
            findings.extend(over(panel, "measuring points", measuring_points, most));
        }
        let result = PanelResult {
            connections,
            connection_limit: of_connections.map(|(_, kept)| kept),
            measuring_points,
            measuring_point_limit: of_points.map(|(_, kept)| kept),
        };
        results.insert(panel.id, result);
    }
    results
}

fn over(
    panel: &ControlPanel,
    what: &str,
    used: Quantity,
    (most, with_spare): (Quantity, Quantity),
) -> Option<Finding> {
    if used.value <= with_spare.value {
        return None;
    }
    let tag = &panel.tag;
    let (severity, limit, words) = if used.value > most.value {
        (
            Severity::Blocker,
            most,
            format!("{tag} has {} {what}", most.value),
        )
    } else {
        let words = format!(
            "{tag} has {} {what}, with spare {}",
            most.value, with_spare.value
        );
        (Severity::Warning, with_spare, words)
    };
    let finding = Finding::new(
        format!("control.{}/panel-{}", what.replace(' ', "_"), panel.id),
        severity,
        format!("{words}; the design uses {}.", used.value),
        "Choose a larger panel, or place another and wire again.",
    );
    let about = ItemKey::Panel(panel.id);
    Some(
        finding
            .about(about)
            .at(panel.floor, panel.at)
            .held_against(used, limit),
    )
}

//! One segment: a cable for each hop, and the volts at each device, all through the trace.

use crate::engine::bus::{conductor, formulas};
use crate::engine::finding::{Finding, Severity};
use crate::engine::results::{CableResult, DeviceVolts, SegmentResult};
use crate::engine::routing::{Route, Router, Terminal};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis::{SLACK, SPARE, TERMINATION, TERMINATION_PANEL};
use crate::model::catalogue::PanelLimits;
use crate::model::{
    CatalogueItem, Citation, FieldDevice, ItemKey, ItemKind, PanelId, Project, Segment,
};
use crate::units::Unit;

/// Assumptions that every segment uses, traced once.
pub struct Shared {
    slack: Quantity,
    spare: Quantity,
    termination: Quantity,
    termination_panel: Quantity,
}

impl Shared {
    /// Reads them from the project's basis.
    pub fn new(project: &Project, trace: &mut Trace) -> Self {
        Shared {
            slack: trace.basis(&project.basis, &SLACK),
            spare: trace.basis(&project.basis, &SPARE),
            termination: trace.basis(&project.basis, &TERMINATION),
            termination_panel: trace.basis(&project.basis, &TERMINATION_PANEL),
        }
    }
}

/// The limits of a panel; `None` where its part is not in the catalogue or is no panel.
pub fn panel_limits(project: &Project, panel: PanelId) -> Option<&PanelLimits> {
    let part = &project.panels.get(panel)?.part;
    match &project.catalogue.item(part)?.kind {
        ItemKind::Panel(limits) => Some(limits),
        _ => None,
    }
}

/// Number that a segment's cables carry: of "S3" it is "3"; else the id.
fn cable_stem(segment: &Segment) -> String {
    let digits = segment
        .tag
        .trim_start_matches(|c: char| !c.is_ascii_digit());
    if !digits.is_empty() && digits.chars().all(|c| c.is_ascii_digit()) {
        digits.to_owned()
    } else {
        segment.id.to_string()
    }
}

/// Routes and computes one segment.
pub fn compute(
    project: &Project,
    segment: &Segment,
    router: &Router,
    shared: &Shared,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
) -> SegmentResult {
    let devices: Vec<&FieldDevice> = segment
        .devices
        .iter()
        .filter_map(|&id| project.devices.get(id))
        .collect();
    let routes = routes(project, segment, &devices, router, findings);
    let currents: Vec<Quantity> = devices
        .iter()
        .map(|device| current(project, device, trace))
        .collect();
    let cable = project
        .catalogue
        .item(&segment.cable)
        .and_then(conductor::cable);
    let ohm_per_km = cable.map(|cable| conductor::resistance(project, cable, trace));
    let supply = supply(project, segment.panel, trace);
    let fed = (supply, ohm_per_km, currents.as_slice());
    let (cables, volts) = hops(project, segment, (&devices, routes), fed, shared, trace);
    let lengths: Vec<Quantity> = cables.iter().map(|cable| cable.length).collect();
    let margin = |at: &DeviceVolts| at.volts.value - at.least.value;
    let worst = volts
        .iter()
        .min_by(|a, b| margin(a).total_cmp(&margin(b)))
        .map(|at| at.device);
    let limits = limits(project, segment.panel, shared.spare, trace);
    let n_points: usize = devices.iter().map(|device| device.detectors.len()).sum();
    SegmentResult {
        length: trace.eval(&formulas::TOTAL_LENGTH, &lengths),
        length_limit: limits.map(|of| of.2),
        worst,
        current: trace.eval(&formulas::CURRENT_SUM, &currents),
        current_limit: limits.map(|of| of.1),
        n_devices: trace.measured("Devices on the segment", devices.len() as f64, Unit::One),
        device_limit: limits.map(|of| of.0),
        measuring_points: trace.measured("Detectors on the segment", n_points as f64, Unit::One),
        supply,
        cables,
        volts,
    }
}

/// The cable of each hop, and the volts at the device it leads to where panel and cable have parts.
fn hops(
    project: &Project,
    segment: &Segment,
    (devices, routes): (&[&FieldDevice], Vec<Route>),
    (supply, ohm_per_km, currents): (Option<Quantity>, Option<Quantity>, &[Quantity]),
    shared: &Shared,
    trace: &mut Trace,
) -> (Vec<CableResult>, Vec<DeviceVolts>) {
    let mut cables = Vec::with_capacity(routes.len());
    let mut volts = Vec::new();
    let mut drops: Vec<Quantity> = supply.into_iter().collect();
    let known = supply.is_some() && ohm_per_km.is_some();
    let mut lengths = Vec::new();
    for (hop, route) in routes.into_iter().enumerate() {
        let beyond = trace.eval(&formulas::CURRENT_SUM, &currents[hop..]);
        let ends = (hop == 0, ends(project, segment, devices, hop));
        let cable = cable_of(
            segment,
            hop,
            ends,
            route,
            shared,
            (ohm_per_km, beyond),
            trace,
        );
        lengths.push(cable.length);
        drops.push(cable.drop);
        if known {
            let device = devices[hop];
            volts.push(DeviceVolts {
                device: device.id,
                tag: device.tag.clone(),
                distance: trace.eval(&formulas::TOTAL_LENGTH, &lengths),
                volts: trace.eval(&formulas::VOLTS, &drops),
                least: least(project, device, trace),
                current: currents[hop],
            });
        }
        cables.push(cable);
    }
    (cables, volts)
}

/// The route of each hop up to the first that has none.
fn routes(
    project: &Project,
    segment: &Segment,
    devices: &[&FieldDevice],
    router: &Router,
    findings: &mut Vec<Finding>,
) -> Vec<Route> {
    let mut from = Terminal::Panel(segment.panel);
    let mut routes = Vec::with_capacity(devices.len());
    for (hop, device) in devices.iter().enumerate() {
        let to = Terminal::Device(device.id);
        match router.route(from, to) {
            Some(route) => routes.push(route),
            None => {
                findings.push(no_way(project, segment, devices, hop));
                break;
            }
        }
        from = to;
    }
    routes
}

fn no_way(project: &Project, segment: &Segment, devices: &[&FieldDevice], hop: usize) -> Finding {
    let (from, to) = ends(project, segment, devices, hop);
    let device = devices[hop];
    let floor = project
        .floors
        .get(device.floor)
        .map_or("another floor", |floor| &floor.name);
    let beyond = devices.len() - hop;
    let others = match beyond {
        1 => String::new(),
        2 => " and the device beyond it".to_owned(),
        n => format!(" and the {} devices beyond it", n - 1),
    };
    Finding::new(
        format!("routing.no_way/segment-{}", segment.id),
        Severity::Blocker,
        format!(
            "The cable of {} from {from} has no way to {to} on {floor}; {to}{others} cannot be \
             reached.",
            segment.tag
        ),
        "Draw a riser that joins the two floors.",
    )
    .about(ItemKey::Segment(segment.id))
    .at(device.floor, device.at)
}

fn ends(
    project: &Project,
    segment: &Segment,
    devices: &[&FieldDevice],
    hop: usize,
) -> (String, String) {
    let from = match hop.checked_sub(1) {
        Some(before) => devices[before].tag.clone(),
        None => project
            .panels
            .get(segment.panel)
            .map_or_else(String::new, |p| p.tag.clone()),
    };
    (from, devices[hop].tag.clone())
}

fn cable_of(
    segment: &Segment,
    hop: usize,
    (at_panel, (from, to)): (bool, (String, String)),
    route: Route,
    shared: &Shared,
    (ohm_per_km, beyond): (Option<Quantity>, Quantity),
    trace: &mut Trace,
) -> CableResult {
    let tag = format!("W{}.{:02}", cable_stem(segment), hop + 1);
    let horizontal = trace.measured(
        format!("{tag}, along the floors"),
        route.horizontal,
        Unit::Metre,
    );
    let vertical = trace.measured(format!("{tag}, up and down"), route.vertical, Unit::Metre);
    let first = if at_panel {
        shared.termination_panel
    } else {
        shared.termination
    };
    let terminations = trace.eval(&formulas::TERMINATIONS, &[first, shared.termination]);
    let slack = trace.eval(&formulas::SLACK, &[horizontal, vertical, shared.slack]);
    let parts = [horizontal, vertical, terminations, slack];
    let length = trace.eval(&formulas::CABLE_LENGTH, &parts);
    let ohm_per_km = ohm_per_km.unwrap_or_else(|| {
        let title = "Resistance of a part that is no cable of the catalogue: not known, taken as 0";
        trace.given(title, 0.0, Unit::OhmPerKilometre, Citation::Catalogue)
    });
    let resistance = trace.eval(&formulas::CABLE_RESISTANCE, &[ohm_per_km, length]);
    let drop = trace.eval(&formulas::DROP, &[resistance, beyond]);
    CableResult {
        tag,
        from,
        to,
        part: segment.cable.clone(),
        path: route.path,
        horizontal,
        vertical,
        terminations,
        slack,
        length,
        crossings: route.crossings,
        resistance,
        drop,
    }
}

fn load_of<'a>(project: &'a Project, device: &FieldDevice) -> Option<&'a CatalogueItem> {
    project
        .catalogue
        .item(&device.part)
        .filter(|item| item.load().is_some())
}

fn current(project: &Project, device: &FieldDevice, trace: &mut Trace) -> Quantity {
    let amperes = load_of(project, device).and_then(CatalogueItem::load);
    let value = amperes.map_or(0.0, |load| load.alarm.get());
    let title = match amperes {
        Some(_) => format!("Current of {} in alarm", device.tag),
        None => format!(
            "Current of {}: its part is no device of the catalogue",
            device.tag
        ),
    };
    trace.given(title, value, Unit::Ampere, Citation::Catalogue)
}

fn least(project: &Project, device: &FieldDevice, trace: &mut Trace) -> Quantity {
    let load = load_of(project, device).and_then(CatalogueItem::load);
    let title = format!("Least voltage of {}", device.tag);
    trace.given(
        title,
        load.map_or(0.0, |load| load.least.get()),
        Unit::Volt,
        Citation::Catalogue,
    )
}

/// Volts of the panel with its battery at the end; `None` for a panel without a part.
fn supply(project: &Project, panel: PanelId, trace: &mut Trace) -> Option<Quantity> {
    let volts = panel_limits(project, panel)?.bus_voltage_least.get();
    let title = "Bus voltage with the battery at its end";
    Some(trace.given(title, volts, Unit::Volt, Citation::Catalogue))
}

/// Devices, current and length that a connection may have, spare kept; `None` for a panel without
/// a part.
fn limits(
    project: &Project,
    panel: PanelId,
    spare: Quantity,
    trace: &mut Trace,
) -> Option<(Quantity, Quantity, Quantity)> {
    let limits = panel_limits(project, panel)?;
    let mut limit = |title: &str, value: f64, unit: Unit| {
        trace.given(
            format!("{title} of one connection"),
            value,
            unit,
            Citation::Catalogue,
        )
    };
    let devices = f64::from(limits.devices_per_connection);
    let devices = limit("Most devices", devices, Unit::One);
    let amperes = limits.current_per_connection.get();
    let amperes = limit("Greatest current", amperes, Unit::Ampere);
    let metres = limit("Longest cable", limits.longest_segment_m, Unit::Metre);
    Some((
        trace.eval(&formulas::COUNT_LESS_SPARE, &[devices, spare]),
        trace.eval(&formulas::CURRENT_LESS_SPARE, &[amperes, spare]),
        trace.eval(&formulas::LENGTH_LESS_SPARE, &[metres, spare]),
    ))
}

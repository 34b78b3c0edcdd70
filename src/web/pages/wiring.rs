//! `/projects/{id}/wiring`: each segment drawn to length and to volts.

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use crate::documents::Decimals;
use crate::engine::results::SegmentResult;
use crate::engine::{Finding, Quantity, Severity};
use crate::model::{ControlPanel, ItemKey, Project, Segment};
use crate::store::{ProjectId, Version};
use crate::web::diagram;
use crate::web::error::WebError;
use crate::web::extract::Place;
use crate::web::figures::{Figure, Figures};
use crate::web::layout::{Top, html};
use crate::web::pages::table::{anchor, place};
use crate::workflow::{Opened, Workflow};

#[derive(Template)]
#[template(path = "wiring/show.html")]
struct WiringPage {
    top: Top,
    project: ProjectId,
    floor: Option<u32>,
    next: Option<&'static str>,
    panels: Vec<PanelPart>,
    unwired: Vec<(String, String)>,
}

struct PanelPart {
    /// Names it for the script, such as "panel-1".
    key: String,
    place: String,
    tag: String,
    anchor: String,
    gauges: Vec<Gauge>,
    findings: Vec<FindingBox>,
    segments: Vec<SegmentPart>,
}

struct SegmentPart {
    key: String,
    tag: String,
    anchor: String,
    lines: Vec<String>,
    blocked: bool,
    facts: Vec<(&'static str, Figure)>,
    gauges: Vec<Gauge>,
    findings: Vec<FindingBox>,
    diagram: String,
}

/// How much of what there is is used.
struct Gauge {
    text: String,
    value: f64,
    most: f64,
    over: bool,
    why: String,
}

struct FindingBox {
    project: ProjectId,
    version: Version,
    id: String,
    severity: &'static str,
    word: &'static str,
    message: String,
    remedy: String,
    fix: Option<String>,
}

/// `GET /projects/{id}/wiring`
pub(crate) async fn show(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    let project = opened.project();
    let next = match () {
        () if project.detectors.is_empty() => Some(
            "Detectors come first: draw rooms and release sources on a floor and have detectors \
             suggested. Then place a control panel.",
        ),
        () if project.panels.is_empty() => Some(
            "Place a control panel on a floor with the tool “panels and cables”; then have the \
             cable routed there.",
        ),
        () if project.segments.is_empty() => Some(
            "The panel is placed. Have the cable routed on the floor, with the tool “panels and \
             cables”, and each segment is drawn here.",
        ),
        () => None,
    };
    html(&WiringPage {
        top: Top::of(&opened, "wiring"),
        project: id,
        floor: project.floors_upwards().first().map(|floor| floor.id.0),
        next,
        panels: project
            .panels
            .iter()
            .map(|panel| panel_part(&opened, panel))
            .collect(),
        unwired: unwired(&opened),
    })
}

/// Detectors that no segment reaches, with the address of their place.
fn unwired(opened: &Opened) -> Vec<(String, String)> {
    let project = opened.project();
    let wired = |detector| {
        let device = project.device_of(detector);
        device.is_some_and(|device| project.segment_of(device.id).is_some())
    };
    let detectors = project
        .detectors
        .iter()
        .filter(|detector| !wired(detector.id));
    let part = |detector: &crate::model::Detector| {
        let place = place(opened, ItemKey::Detector(detector.id));
        (detector.tag.clone(), place.unwrap_or_default())
    };
    detectors.map(part).collect()
}

fn panel_part(opened: &Opened, panel: &ControlPanel) -> PanelPart {
    let figures = Figures::of(opened);
    let mut segments: Vec<&Segment> = opened.project().segments.iter().collect();
    segments.retain(|segment| segment.panel == panel.id);
    segments.sort_by_key(|segment| (segment.connection, segment.id));
    let result = opened.results.panels.get(&panel.id);
    let gauges = result.map(|result| {
        let (connections, points) = (result.connection_limit, result.measuring_point_limit);
        vec![
            gauge(&figures, result.connections, connections, "connections"),
            gauge(
                &figures,
                result.measuring_points,
                points,
                "measuring points",
            ),
        ]
    });
    PanelPart {
        key: format!("panel-{}", panel.id),
        place: place(opened, ItemKey::Panel(panel.id)).unwrap_or_default(),
        findings: findings_about(opened, ItemKey::Panel(panel.id)),
        tag: panel.tag.clone(),
        anchor: anchor(&panel.tag),
        gauges: gauges.unwrap_or_default(),
        segments: segments
            .iter()
            .map(|segment| segment_part(opened, panel, segment))
            .collect(),
    }
}

fn segment_part(opened: &Opened, panel: &ControlPanel, segment: &Segment) -> SegmentPart {
    let figures = Figures::of(opened);
    let project = opened.project();
    let cable = project.catalogue.item(&segment.cable);
    let result = opened.results.segments.get(&segment.id);
    let findings = findings_about(opened, ItemKey::Segment(segment.id));
    SegmentPart {
        key: format!("segment-{}", segment.id),
        tag: segment.tag.clone(),
        anchor: anchor(&segment.tag),
        lines: vec![
            format!("{} connection {}", panel.tag, segment.connection),
            format!(
                "line, {}",
                cable.map_or(&segment.cable, |item| &item.description)
            ),
        ],
        blocked: findings.iter().any(|finding| finding.severity == "blocker"),
        facts: result
            .map(|result| facts(project, &figures, result))
            .unwrap_or_default(),
        gauges: result
            .map(|result| gauges(&figures, result))
            .unwrap_or_default(),
        findings,
        diagram: result
            .map(|result| diagram::draw(project, &figures, panel, segment, result))
            .unwrap_or_default(),
    }
}

fn facts(
    project: &Project,
    figures: &Figures,
    result: &SegmentResult,
) -> Vec<(&'static str, Figure)> {
    let mut volts = result.volts.iter();
    let Some(worst) = volts.find(|volts| Some(volts.device) == result.worst) else {
        return Vec::new();
    };
    let mut lowest = figures.figure(worst.volts, Decimals::OfUnit);
    lowest.text = format!("{} at {}", lowest.text, diagram::shown_tag(project, worst));
    vec![
        ("tightest", lowest),
        ("it needs", figures.figure(worst.least, Decimals::OfUnit)),
    ]
}

fn gauges(figures: &Figures, result: &SegmentResult) -> Vec<Gauge> {
    vec![
        gauge(figures, result.n_devices, result.device_limit, "devices"),
        gauge(figures, result.current, result.current_limit, ""),
        gauge(figures, result.length, result.length_limit, ""),
    ]
}

fn gauge(figures: &Figures, used: Quantity, limit: Option<Quantity>, noun: &str) -> Gauge {
    let text = |quantity: Quantity| figures.text(quantity.value, quantity.unit, Decimals::OfUnit);
    let why = figures.why(used);
    let Some(limit) = limit else {
        return Gauge {
            text: format!("{} {noun}, of a number not known", text(used)),
            value: 0.0,
            most: 1.0,
            over: false,
            why,
        };
    };
    let words = match noun {
        "" => {
            let used = text(used);
            let bare = used
                .split(crate::documents::number::THIN)
                .next()
                .unwrap_or("");
            format!("{bare} of {} usable", text(limit))
        }
        noun => format!("{} of {} usable {noun}", text(used), text(limit)),
    };
    Gauge {
        text: words,
        value: used.value.clamp(0.0, limit.value.max(0.0)),
        most: if limit.value > 0.0 { limit.value } else { 1.0 },
        over: used.value > limit.value,
        why,
    }
}

fn findings_about(opened: &Opened, key: ItemKey) -> Vec<FindingBox> {
    let findings = opened.results.findings.iter();
    let about = findings.filter(|finding| finding.about == Some(key));
    about.map(|finding| finding_box(opened, finding)).collect()
}

fn finding_box(opened: &Opened, finding: &Finding) -> FindingBox {
    let (severity, word) = match finding.severity {
        Severity::Blocker => ("blocker", "Blocker."),
        Severity::Warning => ("warning", "Warning."),
        Severity::Note => ("note", "Note."),
    };
    FindingBox {
        project: opened.id,
        version: opened.standing.version,
        id: finding.id.clone(),
        severity,
        word,
        message: finding.message.clone(),
        remedy: finding.remedy.clone(),
        fix: finding.fix.as_ref().map(|fix| fix.label.clone()),
    }
}

//! What must hold of the things that stand at one place.

use std::collections::BTreeSet;

use crate::geometry::{Point, Polygon};
use crate::model::detector::Detector;
use crate::model::edit::EditError;
use crate::model::edit::check::{height, line_points, on_floor, point};
use crate::model::marked::{MarkedArea, MarkedKind};
use crate::model::project::Project;
use crate::model::source::{Extent, ReleaseSource};
use crate::model::terminal::AirTerminal;
use crate::units::{Metres, Unit};

/// Letters of the longest refrigerant number that a source may be called by.
const LONGEST_NUMBER: usize = 24;

/// More air than this goes through no single terminal, m3/h.
const MOST_FLOW_M3_H: f64 = 1_000_000.0;

const DEEPEST_PIT_M: f64 = 20.0;
const HIGHEST_PLATFORM_M: f64 = 60.0;

/// Checks sources, air terminals, marked areas, detectors, field devices and panels.
///
/// # Errors
/// The first that cannot be as it is, by its field.
pub fn check(project: &Project) -> Result<(), EditError> {
    for source in &project.sources {
        let name = format!("release source {}", source.name);
        on_floor(project, &name, source.floor)?;
        point(&name, source.at)?;
        height(&format!("height of {name}"), source.height, -20.0)?;
        extent(&name, source.extent.as_ref())?;
        if source.substance.trim().is_empty() {
            return Err(EditError::field(
                format!("substance of {name}"),
                "empty",
                "choose a substance from the list.",
            ));
        }
        if let Some(called) = source.called.as_deref()
            && called.chars().count() > LONGEST_NUMBER
        {
            return Err(EditError::field(
                format!("refrigerant number of {name}"),
                called,
                "choose the substance from the list.",
            ));
        }
        release(source)?;
    }
    project
        .terminals
        .iter()
        .try_for_each(|one| terminal(project, one))?;
    project
        .marked
        .iter()
        .try_for_each(|one| marked(project, one))?;
    for detector in &project.detectors {
        on_floor(project, &detector.tag, detector.floor)?;
        point(&detector.tag, detector.at)?;
        height(
            &format!("height of {}", detector.tag),
            Some(detector.height),
            -20.0,
        )?;
        set_points(detector)?;
    }
    for device in &project.devices {
        on_floor(project, &device.tag, device.floor)?;
        point(&device.tag, device.at)?;
        height(
            &format!("height of {}", device.tag),
            Some(device.height),
            -20.0,
        )?;
    }
    for panel in &project.panels {
        on_floor(project, &panel.tag, panel.floor)?;
        point(&panel.tag, panel.at)?;
        height(
            &format!("height of {}", panel.tag),
            Some(panel.height),
            -20.0,
        )?;
    }
    unique_tags(project)
}

/// A run is a line and an area an outline; neither is a point.
fn extent(name: &str, extent: Option<&Extent>) -> Result<(), EditError> {
    let Some(extent) = extent else {
        return Ok(());
    };
    let (points, outline) = (extent.points(), matches!(extent, Extent::Area(_)));
    let field = format!("{} of {name}", extent.label());
    let least = if outline { 3 } else { 2 };
    if points.len() < least {
        let corners = format!("{} corners", points.len());
        let remedy = format!("draw at least {least} corners.");
        return Err(EditError::field(field, corners, remedy));
    }
    line_points(&field, points, outline)?;
    if outline {
        uncrossed(&field, points)?;
    }
    Ok(())
}

fn uncrossed(field: &str, points: &[Point]) -> Result<(), EditError> {
    match Polygon::new(points.to_vec()).first_crossing() {
        Some(_) => Err(EditError::field(
            field,
            "crossed by itself",
            "move a corner so that no side crosses another.",
        )),
        None => Ok(()),
    }
}

fn marked(project: &Project, marked: &MarkedArea) -> Result<(), EditError> {
    let name = marked.name();
    let outline = format!("outline of {name}");
    on_floor(project, &name, marked.floor)?;
    if marked.outline.len() < 3 {
        let corners = format!("{} corners", marked.outline.len());
        return Err(EditError::field(
            outline,
            corners,
            "draw at least 3 corners.",
        ));
    }
    line_points(&outline, &marked.outline, true)?;
    uncrossed(&outline, &marked.outline)?;
    let (what, most) = match marked.kind {
        MarkedKind::Pit => ("depth", DEEPEST_PIT_M),
        _ => ("height", HIGHEST_PLATFORM_M),
    };
    match marked.level.map(Metres::get) {
        Some(level) if !(0.0 < level && level <= most) => Err(EditError::field(
            format!("{what} of {name}"),
            format!("{level} m"),
            format!("type above 0 to {most} m, or say that it is not known."),
        )),
        _ => Ok(()),
    }
}

fn terminal(project: &Project, terminal: &AirTerminal) -> Result<(), EditError> {
    let name = format!("air terminal {}", terminal.id);
    on_floor(project, &name, terminal.floor)?;
    point(&name, terminal.at)?;
    height(&format!("height of {name}"), terminal.height, -20.0)?;
    match terminal.flow {
        Some(flow) if !(0.0..=MOST_FLOW_M3_H).contains(&flow) => Err(EditError::field(
            format!("flow of {name}"),
            format!("{flow} m³/h"),
            format!("type 0 to {MOST_FLOW_M3_H}, or leave it empty where it is not known."),
        )),
        _ => Ok(()),
    }
}

/// Figures of a release beyond their limits, by name, value and remedy.
fn release(source: &ReleaseSource) -> Result<(), EditError> {
    let figures = source.release.iter().flat_map(|release| release.figures());
    for figure in figures {
        if !(figure.least <= figure.value && figure.value <= figure.most) {
            return Err(EditError::field(
                format!("{} of release source {}", figure.name, source.name),
                format!("{} {}", figure.value, figure.unit).trim(),
                format!(
                    "type {} to {} {}, or leave it unknown.",
                    figure.least, figure.most, figure.unit
                )
                .replace(" ,", ","),
            ));
        }
    }
    Ok(())
}

/// Set-points are concentrations.
fn set_points(detector: &Detector) -> Result<(), EditError> {
    const UNITS: [Unit; 4] = [
        Unit::PercentLfl,
        Unit::Ppm,
        Unit::PercentVolume,
        Unit::MilligramPerCubicMetre,
    ];
    for point in &detector.set_points {
        let field = format!("set-point of {}", detector.tag);
        if !point.value.is_finite() || point.value < 0.0 {
            return Err(EditError::field(
                field,
                point.value,
                "type a number, 0 or more.",
            ));
        }
        if !UNITS.contains(&point.unit) {
            let remedy = "state it in %LFL, ppm, %vol or mg/m3.";
            return Err(EditError::field(field, point.unit, remedy));
        }
    }
    Ok(())
}

fn unique_tags(project: &Project) -> Result<(), EditError> {
    let tags = (project.detectors.iter().map(|thing| &thing.tag))
        .chain(project.devices.iter().map(|thing| &thing.tag))
        .chain(project.panels.iter().map(|thing| &thing.tag))
        .chain(project.segments.iter().map(|thing| &thing.tag));
    let mut seen = BTreeSet::new();
    for tag in tags {
        if tag.trim().is_empty() {
            return Err(EditError::field(
                "tag",
                "empty",
                "type a tag, such as AT-101.",
            ));
        }
        if !seen.insert(tag) {
            return Err(EditError::field(
                "tag",
                format!("{tag:?}, already in use"),
                "give each thing a tag of its own.",
            ));
        }
    }
    Ok(())
}

//! The chart of a release: readings against time, set-points, harm, and when each comes.

use crate::documents::drawing::caption::{SMALL, text, text_width};
use crate::documents::drawing::release::axes::{Plot, axis};
use crate::documents::drawing::release::course::{Event, events_of, horizon, time_text};
use crate::documents::drawing::release::{FIGURE_WIDTH, figure, ink_of};
use crate::documents::drawing::{Drawing, Ink, Mark, Pen, Spot};
use crate::documents::number::{self, Decimals};
use crate::engine::results::{AlarmResult, HarmResult, Motion, Picture, ReleaseCase, Scale};
use crate::engine::{Quantity, Results};
use crate::model::Project;
use crate::units::Unit;

const HEIGHT: f64 = 66.0;
const PEOPLE: Pen = Pen::MEDIUM.dashed(&[2.4, 1.2]);
const MIXED: Pen = Pen::solid(0.3, Ink::Grey).dashed(&[0.5, 1.0]);
const EVENT: Pen = Pen::solid(0.35, Ink::Black);
/// The same of gas mixed through the room, as its curve.
const EVENT_MIXED: Pen = Pen::solid(0.3, Ink::Black).dashed(&[0.5, 1.0]);
/// Between the rows of words over the plot, mm.
const LANE: f64 = 3.8;

/// The readings of one watch against time; without a watch the gas itself.
pub fn chart_figure(
    project: &Project,
    results: &Results,
    case: &ReleaseCase,
    alarm: Option<&AlarmResult>,
) -> Drawing {
    let scale = alarm.map_or(
        Scale {
            unit: Unit::PercentVolume,
            at_zero: 0.0,
            per_percent: 1.0,
        },
        |alarm| alarm.scale,
    );
    let harm = alarm.and_then(|alarm| case.harm_of(alarm));
    let events = events_of(alarm, harm);
    let limits = limits(project, results, case, alarm);
    let curves = curves(project, case, alarm);
    let peak = curves.iter().flat_map(|curve| &curve.points);
    let peak = peak.map(|point| point.1).fold(0.0, f64::max);
    let values: Vec<f64> = limits.iter().map(|limit| limit.1).collect();
    let (low, high) = axis(&scale, &values, peak);
    let lanes = lanes(case.motion, &events);
    let top = 6.0 + LANE * (lanes.len().max(1) - 1) as f64;
    let plot = Plot {
        corner: Spot::new(16.0, top),
        width: FIGURE_WIDTH - 20.0,
        height: HEIGHT - 12.0 - top,
        across: horizon(case, &events).max(1.0),
        low,
        high,
    };
    let mut marks = plot.frame(number::symbol(scale.unit, project.head.units));
    marks.extend(plot.below([
        "0".to_owned(),
        time_text(plot.across / 2.0),
        time_text(plot.across),
    ]));
    for curve in &curves {
        let read = curve
            .points
            .iter()
            .map(|(time, gas)| (*time, scale.reading(*gas)));
        marks.extend(plot.curve(&read.collect::<Vec<_>>(), curve.pen));
    }
    for (row, lane) in lanes.iter().rev().enumerate() {
        marks.extend(lane_marks(&plot, lane, LANE * row as f64));
    }
    marks.extend(crossings(&plot, case, alarm, harm));
    marks.extend(plot.limits(&limits));
    marks.extend(key(&curves, Spot::new(plot.corner.x, HEIGHT - 2.0)));
    let shows = "Readings against time with set-points, harm, time to alarm and time to harm";
    figure("Chart".to_owned(), shows.to_owned(), HEIGHT, marks)
}

struct Curve {
    name: String,
    /// s and %vol.
    points: Vec<(f64, f64)>,
    pen: Pen,
}

fn curves(project: &Project, case: &ReleaseCase, alarm: Option<&AlarmResult>) -> Vec<Curve> {
    let along = |values: &[f64]| {
        let times = case.times.iter().copied();
        times.zip(values.iter().copied()).collect::<Vec<_>>()
    };
    let mut curves = vec![Curve {
        name: "mixed through the room".to_owned(),
        points: along(&case.mixed),
        pen: MIXED,
    }];
    if !case.front.is_empty() {
        curves.push(Curve {
            name: "mean, floor to head, layer".to_owned(),
            points: along(&case.occupied),
            pen: PEOPLE,
        });
        if let Some(alarm) = alarm {
            curves.push(Curve {
                name: format!("at {}, layer", watcher(project, alarm)),
                points: alarm.at_detector.clone(),
                pen: Pen::solid(0.6, ink_of(case.motion)),
            });
        }
    }
    curves
}

/// The detector's tag, or a detector that is not there yet.
pub fn watcher(project: &Project, alarm: &AlarmResult) -> String {
    let detector = alarm.detector.and_then(|id| project.detectors.get(id));
    match detector {
        Some(detector) => detector.tag.clone(),
        None => format!("a detector at {}", height(project, alarm.height)),
    }
}

fn height(project: &Project, quantity: Quantity) -> String {
    let units = project.head.units;
    number::text(
        quantity.value,
        quantity.unit,
        Decimals::Places(2),
        units,
        "",
    )
}

/// Set-points of the detector in the unit of the scale, and what harms.
fn limits(
    project: &Project,
    results: &Results,
    case: &ReleaseCase,
    alarm: Option<&AlarmResult>,
) -> Vec<(String, f64)> {
    let Some(alarm) = alarm else {
        return Vec::new();
    };
    let as_set = |quantity: Quantity| {
        let units = project.head.units;
        number::text(quantity.value, quantity.unit, Decimals::AsSet, units, "")
    };
    let detector = alarm.detector.and_then(|id| results.detectors.get(&id));
    let points = detector.map_or(&[][..], |detector| &detector.set_points);
    let mut limits: Vec<(String, f64)> = points
        .iter()
        .filter(|point| point.value.unit == alarm.scale.unit)
        .map(|point| {
            let words = format!("{} set-point {}", point.rank, as_set(point.value));
            (words, point.value.value)
        })
        .collect();
    if limits.is_empty() {
        let words = format!("first set-point {}", as_set(alarm.set_point));
        limits.push((words, alarm.set_point.value));
    }
    if let Some(harm) = case.harm_of(alarm) {
        let value = alarm.scale.reading(harm.scale.gas(harm.level.value));
        let unit = alarm.scale.unit;
        let words = match harm.level.unit == unit {
            true => as_set(harm.level),
            false => number::text(
                value,
                unit,
                Decimals::Significant(3),
                project.head.units,
                "",
            ),
        };
        limits.push((format!("harm {words}"), value));
    }
    limits
}

/// A row of words over the plot: the alarm and the harm of one picture.
struct Lane {
    name: &'static str,
    pen: Pen,
    events: Vec<Event>,
}

/// A row for each picture; without words for the picture where there is only one.
fn lanes(motion: Motion, events: &[Event]) -> Vec<Lane> {
    let of = |picture: Picture, name, pen| {
        let mut events: Vec<Event> = events.to_vec();
        events.retain(|event| event.picture == picture);
        events.sort_by(|a, b| a.seconds.total_cmp(&b.seconds));
        Lane { name, pen, events }
    };
    match motion {
        _ if events.is_empty() => Vec::new(),
        Motion::Mixes => vec![of(Picture::Mixed, "", EVENT)],
        _ => vec![
            of(Picture::Layered, "in a layer:", EVENT),
            of(Picture::Mixed, "mixed:", EVENT_MIXED),
        ],
    }
}

/// Where alarm and harm come, named `up` mm over the plot; what lies beyond it has an arrow.
fn lane_marks(plot: &Plot, lane: &Lane, up: f64) -> Vec<Mark> {
    let (left, right) = (plot.corner.x, plot.corner.x + plot.width);
    let base = plot.corner.y - 1.6 - up;
    let mut marks = Vec::new();
    let mut taken = left;
    if !lane.name.is_empty() {
        marks.push(text(Spot::new(left, base), SMALL, lane.name).mark());
        taken = left + text_width(lane.name, SMALL) + 2.0;
    }
    let mut placed: Vec<(f64, String)> = Vec::new();
    for Event { name, seconds, .. } in &lane.events {
        let beyond = *seconds > plot.across;
        let x = plot.spot(seconds.min(plot.across), plot.low).x;
        let arrow = if beyond { " →" } else { "" };
        let words = format!("{name} {}{arrow}", time_text(*seconds));
        let wide = text_width(&words, SMALL);
        let at = (x - wide / 2.0).min(right - wide).max(taken);
        taken = at + wide + 2.0;
        if !beyond {
            let foot = Spot::new(x, plot.corner.y + plot.height);
            marks.push(Mark::line(vec![foot, Spot::new(x, base + 0.6)], lane.pen));
        }
        placed.push((at, words));
    }
    // What was pushed out at the right pushes back.
    let mut free = right;
    for (at, words) in placed.into_iter().rev() {
        let at = at.min(free - text_width(&words, SMALL));
        free = at - 2.0;
        marks.push(text(Spot::new(at, base), SMALL, words).bold().rim().mark());
    }
    if lane.events.is_empty() && !lane.name.is_empty() {
        let at = Spot::new(taken, base);
        marks.push(text(at, SMALL, "neither alarm nor harm").mark());
    }
    marks
}

/// A dot where each curve meets the set-point or the level that harms.
fn crossings(
    plot: &Plot,
    case: &ReleaseCase,
    alarm: Option<&AlarmResult>,
    harm: Option<&HarmResult>,
) -> Vec<Mark> {
    let Some(alarm) = alarm else {
        return Vec::new();
    };
    let level = harm.map(|harm| alarm.scale.reading(harm.scale.gas(harm.level.value)));
    let point = Some(alarm.set_point.value);
    let solid = ink_of(case.motion);
    let times = [
        (alarm.gas_layered, point, solid),
        (alarm.gas_mixed, point, Ink::Grey),
        (harm.and_then(|harm| harm.harm_layered), level, Ink::Black),
        (harm.and_then(|harm| harm.harm_mixed), level, Ink::Grey),
    ];
    let dots = times.into_iter().filter_map(|(time, level, ink)| {
        let time = time.filter(|time| time.value <= plot.across)?;
        Some(Mark::Circle {
            at: plot.spot(time.value, level?),
            radius: 0.9,
            pen: Pen::solid(0.25, Ink::Black),
            fill: Some(ink),
        })
    });
    dots.collect()
}

fn key(curves: &[Curve], mut at: Spot) -> Vec<Mark> {
    let mut marks = Vec::new();
    for curve in curves.iter().rev() {
        let line = vec![at.plus(0.0, -1.0), at.plus(9.0, -1.0)];
        marks.push(Mark::line(line, curve.pen));
        marks.push(text(at.plus(11.0, 0.0), SMALL, &curve.name).mark());
        at = at.plus(17.0 + text_width(&curve.name, SMALL), 0.0);
    }
    marks
}

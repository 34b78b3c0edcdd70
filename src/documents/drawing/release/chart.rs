//! The chart of a release: readings against time, set-points, harm, and when each comes.

use crate::documents::drawing::caption::{SMALL, text, text_width};
use crate::documents::drawing::release::axes::{Plot, axis};
use crate::documents::drawing::release::course::{
    course_at, harm_of, horizon, marks_of, time_text,
};
use crate::documents::drawing::release::{FIGURE_WIDTH, figure, ink_of};
use crate::documents::drawing::{Drawing, Ink, Mark, Pen, Spot};
use crate::documents::number::{self, Decimals};
use crate::engine::results::{AlarmResult, ReleaseCase, Scale};
use crate::engine::{Quantity, Results};
use crate::model::Project;
use crate::units::Unit;

const HEIGHT: f64 = 66.0;
const PEOPLE: Pen = Pen::MEDIUM.dashed(&[2.4, 1.2]);
const MIXED: Pen = Pen::solid(0.3, Ink::Grey).dashed(&[0.5, 1.0]);
const EVENT: Pen = Pen::solid(0.35, Ink::Black);

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
    let harm = alarm.and_then(|alarm| harm_of(case, alarm));
    let events = marks_of(alarm, harm);
    let limits = limits(project, results, case, alarm);
    let curves = curves(project, case, alarm);
    let peak = curves.iter().flat_map(|curve| &curve.points);
    let peak = peak.map(|point| point.1).fold(0.0, f64::max);
    let values: Vec<f64> = limits.iter().map(|limit| limit.1).collect();
    let (low, high) = axis(&scale, &values, peak);
    let plot = Plot {
        corner: Spot::new(16.0, 6.0),
        width: FIGURE_WIDTH - 20.0,
        height: HEIGHT - 18.0,
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
    marks.extend(event_marks(&plot, &events));
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
        name: "room mixed".to_owned(),
        points: along(&case.mixed),
        pen: MIXED,
    }];
    if !case.front.is_empty() {
        curves.push(Curve {
            name: "where people breathe".to_owned(),
            points: along(&case.occupied),
            pen: PEOPLE,
        });
        if let Some(alarm) = alarm {
            curves.push(Curve {
                name: format!("at {}", watcher(project, alarm)),
                points: course_at(case, alarm.height.value),
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
    if let Some(harm) = harm_of(case, alarm) {
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

/// Where alarm and harm come, named over the plot; what lies beyond it has an arrow.
fn event_marks(plot: &Plot, events: &[(&'static str, f64)]) -> Vec<Mark> {
    let mut sorted: Vec<&(&str, f64)> = events.iter().collect();
    sorted.sort_by(|a, b| a.1.total_cmp(&b.1));
    let (left, right) = (plot.corner.x, plot.corner.x + plot.width);
    let mut taken = f64::NEG_INFINITY;
    let mut marks = Vec::new();
    for (name, seconds) in sorted {
        let beyond = *seconds > plot.across;
        let x = plot.spot(seconds.min(plot.across), plot.low).x;
        let arrow = if beyond { " →" } else { "" };
        let words = format!("{name} {}{arrow}", time_text(*seconds));
        let wide = text_width(&words, SMALL);
        let at = (x - wide / 2.0).max(left).min(right - wide).max(taken);
        taken = at + wide + 2.0;
        if !beyond {
            let foot = Spot::new(x, plot.corner.y + plot.height);
            marks.push(Mark::line(
                vec![foot, Spot::new(x, plot.corner.y - 1.0)],
                EVENT,
            ));
        }
        let place = Spot::new(at, plot.corner.y - 1.6);
        marks.push(text(place, SMALL, words).bold().mark());
    }
    marks
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

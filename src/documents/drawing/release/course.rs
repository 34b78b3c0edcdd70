//! What a release does at a time, read off its samples; between them it goes straight.
//!
//! `static/js/core/release.js` reads the same; `tests/data/release/section_cases.json` holds both
//! to the same figures. The radius of a plume is 6/5 α z with top-hat profiles (Morton, Taylor &
//! Turner 1956, from memory).

use crate::documents::number::THIN;
use crate::engine::results::{
    AlarmResult, HarmResult, Motion, Picture, ReleaseCase, ReleaseResult,
};

const SPREAD: f64 = 1.2;

/// What a chart may reach to, s.
const HORIZONS: [f64; 11] = [
    60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0, 14_400.0, 28_800.0, 86_400.0,
];

/// A time beyond so many times the first one does not stretch the chart.
const FAR: f64 = 20.0;

/// The gas in the room at a time; heights in m above the floor, gas in %vol.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Shape {
    pub layer: Option<Layer>,
    pub cone: Option<Cone>,
    /// Where it mixes with the whole room.
    pub mixed: Option<f64>,
}

/// Gas under the ceiling or on the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    pub low: f64,
    pub high: f64,
    pub gas: f64,
}

/// A plume from the release to the front, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cone {
    pub from: f64,
    pub to: f64,
    pub radius: f64,
}

/// The gas at `seconds` in a room of height `ceiling`, m.
pub fn shape_at(
    release: &ReleaseResult,
    case: &ReleaseCase,
    seconds: f64,
    ceiling: f64,
    entrainment: f64,
) -> Shape {
    if case.motion == Motion::Mixes || case.front.is_empty() {
        let mixed = Some(value_at(&case.times, &case.mixed, seconds));
        return Shape {
            mixed,
            ..Shape::default()
        };
    }
    let front = value_at(&case.times, &case.front, seconds).clamp(0.0, ceiling);
    let gas = value_at(&case.times, &case.layer, seconds);
    let from = case.from.value.clamp(0.0, ceiling);
    let rises = case.motion == Motion::Rises;
    let (low, high) = if rises {
        (front, ceiling)
    } else {
        (0.0, front)
    };
    let to = if rises {
        front.max(from)
    } else {
        front.min(from)
    };
    let flows = seconds > 0.0 && to != from && !all_out(release, seconds);
    let radius = SPREAD * entrainment * (to - from).abs();
    Shape {
        layer: (seconds > 0.0).then_some(Layer { low, high, gas }),
        cone: flows.then_some(Cone { from, to, radius }),
        mixed: None,
    }
}

/// Whether nothing to speak of comes out any more.
fn all_out(release: &ReleaseResult, seconds: f64) -> bool {
    release.ends.is_some_and(|end| seconds >= end.value)
}

/// The value at a time; the ends hold beyond the samples.
pub fn value_at(times: &[f64], values: &[f64], seconds: f64) -> f64 {
    let after = times
        .iter()
        .take(values.len())
        .position(|time| *time >= seconds);
    match after {
        Some(0) => values[0],
        Some(at) => {
            let (from, to) = (times[at - 1], times[at]);
            let share = if to > from {
                (seconds - from) / (to - from)
            } else {
                1.0
            };
            values[at - 1] + share * (values[at] - values[at - 1])
        }
        None => values.last().copied().unwrap_or(0.0),
    }
}

/// Something a chart marks at its time, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    pub name: &'static str,
    pub seconds: f64,
    pub picture: Picture,
}

/// The times a chart marks: alarm and harm of each picture, where they come.
pub fn events_of(alarm: Option<&AlarmResult>, harm: Option<&HarmResult>) -> Vec<Event> {
    let times = [
        (
            "alarm",
            Picture::Layered,
            alarm.and_then(|one| one.alarm_layered),
        ),
        (
            "harm",
            Picture::Layered,
            harm.and_then(|one| one.harm_layered),
        ),
        (
            "alarm",
            Picture::Mixed,
            alarm.and_then(|one| one.alarm_mixed),
        ),
        ("harm", Picture::Mixed, harm.and_then(|one| one.harm_mixed)),
    ];
    let events = times.into_iter().filter_map(|(name, picture, time)| {
        Some(Event {
            name,
            seconds: time?.value,
            picture,
        })
    });
    events.collect()
}

/// How far the chart goes, s: past what is marked, not so far that the first mark is lost.
pub fn horizon(case: &ReleaseCase, events: &[Event]) -> f64 {
    let last = case.times.last().copied().unwrap_or(0.0);
    let times = || {
        events
            .iter()
            .map(|one| one.seconds)
            .filter(|time| *time > 0.0)
    };
    let first = times().fold(f64::INFINITY, f64::min);
    if first.is_infinite() {
        let want = 2.0 * peak_time(case);
        return HORIZONS
            .into_iter()
            .find(|nice| *nice >= want)
            .unwrap_or(last)
            .min(last);
    }
    let want = 1.25
        * times()
            .filter(|time| *time <= FAR * first)
            .fold(0.0, f64::max);
    let nice = HORIZONS.into_iter().find(|nice| *nice >= want);
    nice.unwrap_or(last).min(last)
}

/// When the mean of the room is highest, s.
pub fn peak_time(case: &ReleaseCase) -> f64 {
    let samples = case.times.iter().zip(&case.mixed);
    let highest = samples.reduce(|most, one| if one.1 > most.1 { one } else { most });
    highest.map_or(0.0, |(time, _)| *time)
}

/// A time as one says it.
pub fn time_text(seconds: f64) -> String {
    crate::units::time_text(seconds, THIN)
}

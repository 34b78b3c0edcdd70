//! Set-points by hazard, substance and jurisdiction, and whether a measuring range holds them.
//!
//! Figures from the basis of design and the exposure limits of `gas` (each cites its table). A
//! designer's own set-points take their place. Must not choose a part.

mod departure;
mod fitness;
mod rules;
#[cfg(test)]
mod tests;
mod toxic;

use crate::engine::gas::{Substance, Substances, density};
use crate::engine::mounting::OXYGEN;
use crate::engine::results::SetPointResult;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis::{self, BasisItem};
use crate::model::*;
use crate::units::Unit;

pub use departure::{departure, with_reason};
pub use fitness::{FORMULAS, noise, unfit};
pub use rules::RULES;
use rules::*;

/// What set-points are asked for.
#[derive(Debug, Clone, Copy, Default)]
pub struct Asked<'a> {
    /// Key of what is measured.
    pub measures: &'a str,
    pub hazards: &'a [Hazard],
    /// Uses of the rooms it is measured in.
    pub uses: &'a [RoomUse],
    /// Keys of the substances whose release it watches.
    pub released: &'a [String],
    /// Those of the designer; empty: those of the rules.
    pub stated: &'a [SetPoint],
}

/// The set-points asked for; those of the designer first, if any. Time-weighted alarms beside the
/// ranked ones come last. Empty where no table has a limit for the substance.
pub fn set_points(project: &Project, trace: &mut Trace, asked: &Asked<'_>) -> Vec<SetPointResult> {
    if !asked.stated.is_empty() {
        return designers(trace, asked.stated);
    }
    let hazards = asked.hazards;
    let mut points = Vec::new();
    if asked.measures == OXYGEN {
        oxygen(project, trace, hazards, &mut points);
    } else if let Some(substance) = Substances::of(project).find(asked.measures) {
        let substance = substance.as_ref();
        if hazards.contains(&Hazard::Toxic) {
            points = toxic::points(project, trace, substance, asked);
        } else if hazards.contains(&Hazard::Flammable) {
            flammable(project, trace, &mut points);
            if toxic::is_ammonia_plant(project, asked) {
                plant_main_alarm(project, trace, substance, &mut points);
            }
        } else if hazards.contains(&Hazard::OxygenDepletion) {
            refrigerant(project, trace, substance, &mut points);
        }
    }
    ranked(points)
}

/// Whether the range of `part` holds every set-point; the first it does not, with the range's end
/// in the set-point's unit. `None` also where the units cannot be compared.
pub fn beyond_range(
    part: &ItemKind,
    measures: &str,
    project: &Project,
    points: &[SetPointResult],
) -> Option<(Quantity, f64)> {
    let ItemKind::DetectorDevice {
        range_low,
        range_high,
        range_unit,
        ..
    } = part
    else {
        return None;
    };
    let lfl = lfl_of(project, measures);
    points.iter().find_map(|point| {
        let low = converted(*range_low, *range_unit, point.value.unit, lfl)?;
        let high = converted(*range_high, *range_unit, point.value.unit, lfl)?;
        match point.value.value {
            value if value > high * (1.0 + 1e-9) => Some((point.value, high)),
            value if value < low => Some((point.value, low)),
            _ => None,
        }
    })
}

/// Lower flammable limit of what `key` names, %vol, where the jurisdiction's tables have one.
pub fn lfl_of(project: &Project, key: &str) -> Option<f64> {
    let known = Substances::of(project).figures(key)?;
    let limit = known.lfl_in(project.head.jurisdiction)?;
    Some(limit.figure.value)
}

/// `value` in another unit of concentration; `lfl` in %vol.
pub fn converted(value: f64, from: Unit, to: Unit, lfl: Option<f64>) -> Option<f64> {
    let in_ppm = |unit: Unit| match unit {
        Unit::Ppm => Some(1.0),
        Unit::PercentVolume => Some(1e4),
        Unit::PercentLfl => lfl.map(|lfl| lfl * 100.0),
        _ => None,
    };
    if from == to {
        return Some(value);
    }
    Some(value * in_ppm(from)? / in_ppm(to)?)
}

/// A set-point before it has a rank.
struct Point {
    value: Quantity,
    rising: bool,
    averaging: Averaging,
    /// A time-weighted alarm beside the ranked ones.
    beside: bool,
    reason: String,
}

impl Point {
    /// One that alarms at once as the reading rises.
    fn rising(value: Quantity, reason: String) -> Self {
        Point {
            value,
            rising: true,
            averaging: Averaging::Instant,
            beside: false,
            reason,
        }
    }
}

fn ranked(points: Vec<Point>) -> Vec<SetPointResult> {
    let mut ranks = ["first", "second", "third", "fourth", "fifth"].into_iter();
    let made = |point: Point| {
        let rank = match point.beside {
            true => point.averaging.label(),
            false => ranks.next()?,
        };
        Some(SetPointResult {
            value: point.value,
            rising: point.rising,
            rank: rank.to_owned(),
            averaging: point.averaging,
            reason: point.reason,
        })
    };
    points.into_iter().filter_map(made).collect()
}

fn designers(trace: &mut Trace, stated: &[SetPoint]) -> Vec<SetPointResult> {
    let points = stated.iter().map(|point| Point {
        value: trace.given("Set-point", point.value, point.unit, Citation::Designer),
        rising: point.rising,
        averaging: point.averaging,
        beside: false,
        reason: "Chosen by the designer.".to_owned(),
    });
    ranked(points.collect())
}

fn by_rule(
    project: &Project,
    trace: &mut Trace,
    rule: &'static crate::engine::formula::Rule,
    item: &BasisItem,
) -> Quantity {
    let from = trace.basis(&project.basis, item);
    trace.rule(rule, from.value, from.unit, &[("basis of design", from)])
}

fn flammable(project: &Project, trace: &mut Trace, points: &mut Vec<Point>) {
    for (item, what) in [
        (
            &basis::FLAMMABLE_FIRST,
            "Warns while there is time to find the leak",
        ),
        (
            &basis::FLAMMABLE_SECOND,
            "Time to shut off and ventilate, well below the flammable range",
        ),
    ] {
        let value = by_rule(project, trace, &FLAMMABLE, item);
        let reason = format!("{what}: {:.0} % of the lower flammable limit.", value.value);
        points.push(Point::rising(value, reason));
    }
}

/// The main alarm of an ammonia plant in place of a first set-point that lies above it.
fn plant_main_alarm(
    project: &Project,
    trace: &mut Trace,
    substance: &Substance,
    points: &mut [Point],
) {
    let main = trace.basis(&project.basis, &basis::AMMONIA_PLANT_MAIN_ALARM);
    let lfl = lfl_of(project, &substance.key);
    let percent = converted(main.value, main.unit, Unit::PercentLfl, lfl);
    let (Some(percent), Some(first)) = (percent, points.first_mut()) else {
        return;
    };
    // 30000 ppm are 20 %LFL of 15 %vol: where both are the same, the standard is the reason.
    if percent > first.value.value * (1.0 + 1e-9) {
        return;
    }
    let inputs = [("basis of design", main)];
    first.value = trace.rule(&AMMONIA_PLANT_LEVELS, percent, Unit::PercentLfl, &inputs);
    first.reason = format!(
        "Main alarm of the plant, EN 378-3: {} ppm stop it.",
        number(main.value)
    );
}

fn oxygen(project: &Project, trace: &mut Trace, hazards: &[Hazard], points: &mut Vec<Point>) {
    if hazards.contains(&Hazard::OxygenDepletion) {
        for (item, what) in [
            (
                &basis::OXYGEN_FIRST,
                "Below this nobody enters without measures",
            ),
            (&basis::OXYGEN_SECOND, "Evacuate"),
        ] {
            let value = by_rule(project, trace, &OXYGEN_FALLING, item);
            let reason = format!(
                "{what}: oxygen falls to {:.1} %vol (air has 20.9).",
                value.value
            );
            points.push(Point {
                rising: false,
                ..Point::rising(value, reason)
            });
        }
    }
    if hazards.contains(&Hazard::OxygenEnrichment) {
        let value = by_rule(project, trace, &OXYGEN_RISING, &basis::OXYGEN_HIGH);
        let reason = format!(
            "Enriched air feeds fire: oxygen rises to {:.1} %vol.",
            value.value
        );
        points.push(Point::rising(value, reason));
    }
}

fn refrigerant(
    project: &Project,
    trace: &mut Trace,
    substance: &Substance,
    points: &mut Vec<Point>,
) {
    let Some(limit) = &substance.practical_limit else {
        return;
    };
    let name = substance.name.as_ref();
    let limit = trace.given(
        format!("Practical limit of {name}"),
        limit.value,
        limit.unit,
        limit.citation.clone(),
    );
    let mass = &substance.molar_mass;
    let title = format!("Molar mass of {name}");
    let mass = trace.given(title, mass.value, mass.unit, mass.citation.clone());
    let citation = Citation::from_memory("EN 378-1", "practical limits at 25 degC");
    let kelvin = trace.given("Temperature of the limit", 298.15, Unit::Kelvin, citation);
    let ppm = trace.eval(&density::MASS_TO_PPM, &[limit, mass, kelvin]);
    for item in [&basis::REFRIGERANT_FIRST, &basis::REFRIGERANT_SECOND] {
        let share = trace.basis(&project.basis, item);
        let inputs = [("practical limit", ppm), ("share", share)];
        let value = rounded(ppm.value * share.value / 100.0);
        let value = trace.rule(&REFRIGERANT, value, Unit::Ppm, &inputs);
        let percent = number(share.value);
        let reason = format!("{percent} % of the practical limit of {name}, rounded down.");
        points.push(Point::rising(value, reason));
    }
}

/// Rounded down to two significant figures.
fn rounded(value: f64) -> f64 {
    let step = 10f64.powf(value.log10().floor() - 1.0);
    (value / step).floor() * step
}

fn number(value: f64) -> String {
    format!("{}", (value * 1000.0).round() / 1000.0)
}

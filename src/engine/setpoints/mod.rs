//! Set-points by hazard, substance and jurisdiction, and whether a measuring range holds them.
//!
//! Figures from the basis of design and the exposure limits of `gas` (each cites its table). A
//! designer's own set-points take their place. Must not choose a part.

mod departure;
mod rules;
#[cfg(test)]
mod tests;

use crate::engine::gas::{Substance, Substances, density};
use crate::engine::mounting::{OXYGEN, within_sentence};
use crate::engine::results::SetPointResult;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis::{self, BasisItem};
use crate::model::*;
use crate::units::Unit;

pub use departure::{departure, with_reason};
pub use rules::RULES;
use rules::*;

const CARBON_DIOXIDE: &str = "124-38-9";

/// The set-points for `measures` (key) because of `hazards`; those of the designer first, if any.
/// Empty where no table has a limit for the substance.
pub fn set_points(
    project: &Project,
    trace: &mut Trace,
    measures: &str,
    hazards: &[Hazard],
    stated: &[SetPoint],
) -> Vec<SetPointResult> {
    if !stated.is_empty() {
        return designers(trace, stated);
    }
    let mut points = Vec::new();
    if measures == OXYGEN {
        oxygen(project, trace, hazards, &mut points);
    } else if let Some(substance) = Substances::of(project).find(measures) {
        let substance = substance.as_ref();
        if hazards.contains(&Hazard::Toxic) {
            toxic(project, trace, substance, &mut points);
        } else if hazards.contains(&Hazard::Flammable) {
            flammable(project, trace, &mut points);
        } else if hazards.contains(&Hazard::OxygenDepletion) {
            refrigerant(trace, substance, &mut points);
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
    let known = Substances::of(project).find(key)?;
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
    reason: String,
}

fn ranked(points: Vec<Point>) -> Vec<SetPointResult> {
    let ranks = ["first", "second", "third", "fourth", "fifth"];
    points
        .into_iter()
        .zip(ranks)
        .map(|(point, rank)| SetPointResult {
            value: point.value,
            rising: point.rising,
            rank: rank.to_owned(),
            reason: point.reason,
        })
        .collect()
}

fn designers(trace: &mut Trace, stated: &[SetPoint]) -> Vec<SetPointResult> {
    let points = stated.iter().map(|point| Point {
        value: trace.given("Set-point", point.value, point.unit, Citation::Designer),
        rising: point.rising,
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
        points.push(Point {
            value,
            rising: true,
            reason,
        });
    }
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
                value,
                rising: false,
                reason,
            });
        }
    }
    if hazards.contains(&Hazard::OxygenEnrichment) {
        let value = by_rule(project, trace, &OXYGEN_RISING, &basis::OXYGEN_HIGH);
        let reason = format!(
            "Enriched air feeds fire: oxygen rises to {:.1} %vol.",
            value.value
        );
        points.push(Point {
            value,
            rising: true,
            reason,
        });
    }
}

fn toxic(project: &Project, trace: &mut Trace, substance: &Substance, points: &mut Vec<Point>) {
    let jurisdiction = project.head.jurisdiction;
    if substance.key == CARBON_DIOXIDE {
        return carbon_dioxide(jurisdiction, trace, points);
    }
    let name = within_sentence(&substance.name);
    let mut point = |value: Quantity, rising, reason| {
        points.push(Point {
            value,
            rising,
            reason,
        })
    };
    let Some(limit) = substance.limit_in(jurisdiction) else {
        if let Some(idlh) = &substance.idlh {
            let title = format!("Immediately dangerous to life or health, {name}");
            let idlh = trace.given(title, idlh.value, idlh.unit, idlh.citation.clone());
            for percent in [5.0, 10.0] {
                let value = idlh.value * percent / 100.0;
                let inputs = [("immediately dangerous to life or health", idlh)];
                let value = trace.rule(&TOXIC_IDLH, value, Unit::Ppm, &inputs);
                let reason = format!(
                    "No exposure limit is known: {percent:.0} % of what is immediately dangerous."
                );
                point(value, true, reason);
            }
        }
        return;
    };
    let whose = limit.regime.label();
    let own = match limit.regime.applies_in(jurisdiction) {
        true => String::new(),
        false => " (the jurisdiction has none of its own)".to_owned(),
    };
    let long = limit.long_ppm();
    let kind = match (limit.twa_ppm, limit.stel_ppm) {
        (Some(_), _) => "8-hour average",
        (None, Some(_)) => "15-minute average",
        _ => "ceiling",
    };
    let cited = limit.citation.clone();
    let title = format!("{whose} of {name}, {kind}");
    let from = trace.given(title, long, Unit::Ppm, cited.clone());
    let first = trace.rule(&TOXIC_FIRST, long, Unit::Ppm, &[("exposure limit", from)]);
    point(
        first,
        true,
        format!("{whose}, {kind}{own}: {} ppm.", number(long)),
    );
    match limit.short_ppm().filter(|short| *short > long) {
        Some(short) => {
            let from = trace.given(
                format!("{whose} of {name}, short"),
                short,
                Unit::Ppm,
                cited.clone(),
            );
            let value = trace.rule(&TOXIC_SECOND, short, Unit::Ppm, &[("exposure limit", from)]);
            point(
                value,
                true,
                format!("{whose}, short exposure{own}: {} ppm.", number(short)),
            );
        }
        None => {
            let inputs = [("first set-point", first)];
            let value = trace.rule(&TOXIC_TWICE, 2.0 * long, Unit::Ppm, &inputs);
            point(
                value,
                true,
                format!("Twice the {kind}, as no higher short limit is stated."),
            );
        }
    }
}

fn carbon_dioxide(jurisdiction: Jurisdiction, trace: &mut Trace, points: &mut Vec<Point>) {
    let (rule, second) = match jurisdiction {
        Jurisdiction::Us => (&CARBON_DIOXIDE_US, 30_000.0),
        Jurisdiction::Eu | Jurisdiction::Uk => (&CARBON_DIOXIDE_EUROPE, 15_000.0),
    };
    for (value, what) in [
        (5_000.0, "8-hour limit: find the leak and ventilate"),
        (second, "Short exposure: evacuate"),
    ] {
        let quantity = trace.rule(rule, value, Unit::Ppm, &[]);
        let reason = format!("{what}, {} ppm.", number(value));
        points.push(Point {
            value: quantity,
            rising: true,
            reason,
        });
    }
}

fn refrigerant(trace: &mut Trace, substance: &Substance, points: &mut Vec<Point>) {
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
    for percent in [25.0, 50.0] {
        let inputs = [("practical limit", ppm)];
        let value = trace.rule(
            &REFRIGERANT,
            rounded(ppm.value * percent / 100.0),
            Unit::Ppm,
            &inputs,
        );
        let reason = format!("{percent:.0} % of the practical limit of {name}, rounded down.");
        points.push(Point {
            value,
            rising: true,
            reason,
        });
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

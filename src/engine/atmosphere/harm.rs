//! What harms people, by hazard and substance, and how gas in air reads in its unit.
//!
//! Flammable: the lower flammable limit. Toxic: what is immediately dangerous to life or health,
//! else the limit for short exposure. Oxygen: the basis of design. A refrigerant that displaces
//! oxygen: its practical limit. Must not choose a set-point.

use crate::engine::formula::Rule;
use crate::engine::gas::density::OXYGEN_IN_AIR;
use crate::engine::gas::{Substance, density};
use crate::engine::results::Scale;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// Every rule of this module.
pub static RULES: &[&Rule] = &[&LFL_UNKNOWN];

pub static LFL_UNKNOWN: Rule = Rule {
    id: "atmosphere.lfl_unknown",
    title: "No lower flammable limit is known",
    statement: "A substance that burns, of which no table states a lower flammable limit, is taken \
        to burn from 1 %vol: few gases burn below.",
    citation: Citation::CommonPractice,
};

/// A level that harms.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    pub scale: Scale,
    pub value: Quantity,
    /// What it is, such as "lower flammable limit of methane".
    pub name: String,
    /// Datum that was missing and what was taken instead, in a sentence.
    pub missing: Option<String>,
}

/// Gas as it is.
const VOLUME: Scale = Scale {
    unit: Unit::PercentVolume,
    at_zero: 0.0,
    per_percent: 1.0,
};

/// How oxygen reads beside the gas released, or with oxygen added.
pub fn oxygen_scale(enriches: bool) -> Scale {
    let per_percent = match enriches {
        true => (100.0 - OXYGEN_IN_AIR) / 100.0,
        false => -OXYGEN_IN_AIR / 100.0,
    };
    Scale {
        unit: Unit::PercentVolume,
        at_zero: OXYGEN_IN_AIR,
        per_percent,
    }
}

/// How a release of `substance` reads on a detector for `measures` in `unit`. `oxygen` says that it
/// is oxygen that is measured. `None` for a unit that is no concentration.
pub fn scale(
    project: &Project,
    substance: &Substance,
    measures: &str,
    oxygen: bool,
    unit: Unit,
) -> Option<Scale> {
    if oxygen {
        return Some(oxygen_scale(substance.enriches));
    }
    let part = substance
        .composition
        .iter()
        .find(|part| part.key == measures);
    let share = part.map_or(1.0, |part| part.mole_fraction);
    let per_percent = match unit {
        Unit::PercentVolume => share,
        Unit::Ppm => 1e4 * share,
        Unit::PercentLfl => 100.0 / lfl(project, substance).unwrap_or(LFL_TAKEN),
        _ => return None,
    };
    Some(Scale {
        unit,
        at_zero: 0.0,
        per_percent,
    })
}

/// The level at which `hazard` of `substance` harms; `None` where nothing is known, not even a
/// set-point.
pub fn level(
    project: &Project,
    trace: &mut Trace,
    substance: &Substance,
    name: &str,
    hazard: Hazard,
    set_points: &[(Scale, Quantity)],
) -> Option<Level> {
    match hazard {
        Hazard::Flammable => Some(flammable(project, trace, substance, name)),
        Hazard::Toxic => toxic(project, trace, substance, name)
            .or_else(|| last_set_point(trace, name, set_points)),
        Hazard::OxygenDepletion => practical_limit(trace, substance)
            .or_else(|| Some(oxygen(project, trace, &basis::HARM_OXYGEN_LOW, false))),
        Hazard::OxygenEnrichment => Some(oxygen(project, trace, &basis::HARM_OXYGEN_HIGH, true)),
    }
}

/// Taken where no table states a lower flammable limit, %vol.
const LFL_TAKEN: f64 = 1.0;

fn lfl(project: &Project, substance: &Substance) -> Option<f64> {
    let limit = substance.lfl_in(project.head.jurisdiction);
    limit
        .map(|limit| limit.figure.value)
        .filter(|lfl| *lfl > 0.0)
}

fn flammable(project: &Project, trace: &mut Trace, substance: &Substance, name: &str) -> Level {
    let limit = substance.lfl_in(project.head.jurisdiction);
    let title = format!("Lower flammable limit of {name}");
    let (value, missing) = match limit.map(|limit| &limit.figure) {
        Some(figure) => {
            let cited = figure.citation.clone();
            (
                trace.given(title.clone(), figure.value, figure.unit, cited),
                None,
            )
        }
        None => {
            let taken = trace.rule(&LFL_UNKNOWN, LFL_TAKEN, Unit::PercentVolume, &[]);
            let missing = format!(
                "No table states a lower flammable limit of {name}: {LFL_TAKEN:.0} %vol is taken."
            );
            (taken, Some(missing))
        }
    };
    Level {
        scale: VOLUME,
        value,
        name: format!("lower flammable limit of {name}"),
        missing,
    }
}

fn toxic(project: &Project, trace: &mut Trace, substance: &Substance, name: &str) -> Option<Level> {
    let scale = Scale {
        unit: Unit::Ppm,
        at_zero: 0.0,
        per_percent: 1e4,
    };
    if let Some(idlh) = &substance.idlh {
        let title = format!("Immediately dangerous to life or health, {name}");
        return Some(Level {
            scale,
            value: trace.given(title, idlh.value, idlh.unit, idlh.citation.clone()),
            name: format!("concentration of {name} immediately dangerous to life or health"),
            missing: None,
        });
    }
    let limit = substance.limit_in(project.head.jurisdiction)?;
    let short = limit.short_ppm()?;
    let kind = limit.short_kind();
    let whose = limit.whose(kind);
    let title = format!("{whose} of {name}, short exposure");
    Some(Level {
        scale,
        value: trace.given(title, short, Unit::Ppm, limit.citation_of(kind)),
        name: format!("{whose} of {name} for short exposure"),
        missing: None,
    })
}

fn last_set_point(
    trace: &mut Trace,
    name: &str,
    set_points: &[(Scale, Quantity)],
) -> Option<Level> {
    let (scale, point) = set_points.last()?;
    let title = format!("Highest set-point, as no limit of {name} is known");
    let missing = format!(
        "No table says what concentration of {name} harms at once: the highest set-point is taken."
    );
    Some(Level {
        scale: *scale,
        value: trace.given(title, point.value, point.unit, Citation::CommonPractice),
        name: format!("highest set-point for {name}"),
        missing: Some(missing),
    })
}

fn practical_limit(trace: &mut Trace, substance: &Substance) -> Option<Level> {
    let limit = substance.practical_limit.as_ref()?;
    let name = &substance.name;
    let title = format!("Practical limit of {name}");
    let limit = trace.given(title, limit.value, limit.unit, limit.citation.clone());
    let mass = &substance.molar_mass;
    let title = format!("Molar mass of {name}");
    let mass = trace.given(title, mass.value, mass.unit, mass.citation.clone());
    let citation = Citation::from_memory("EN 378-1", "practical limits at 25 degC");
    let kelvin = trace.given("Temperature of the limit", 298.15, Unit::Kelvin, citation);
    let value = trace.eval(&density::MASS_TO_PPM, &[limit, mass, kelvin]);
    Some(Level {
        scale: Scale {
            unit: Unit::Ppm,
            at_zero: 0.0,
            per_percent: 1e4,
        },
        value,
        name: format!("practical limit of {name}"),
        missing: None,
    })
}

fn oxygen(project: &Project, trace: &mut Trace, item: &basis::BasisItem, enriches: bool) -> Level {
    let value = trace.basis(&project.basis, item);
    let name = match enriches {
        true => format!("oxygen above {:.1} %vol", value.value),
        false => format!("oxygen below {:.1} %vol", value.value),
    };
    Level {
        scale: oxygen_scale(enriches),
        value,
        name,
        missing: None,
    }
}

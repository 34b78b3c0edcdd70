//! The figures that a project states of substances, laid over those of the tables.
//!
//! A stated figure cites its reason and the published figure that it replaces. Must not judge
//! whether a figure is right: `report` says where one is less safe than the published one.

mod report;
#[cfg(test)]
mod tests;

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::engine::gas::substance::{
    AIR_MOLAR_MASS, ExposureLimit, Family, Figure, FlammabilityTable, FlammableLimit, LimitKind,
    Regime, Substance, SubstanceOrigin,
};
use crate::engine::gas::vapour;
use crate::model::{
    Citation, FigureKind, Hazard, Holding, Jurisdiction, Principle, Project, StatedFigure,
    StatedSubstance,
};

pub use report::step;

/// Below this boiling point, degC, a substance of the project's own is taken for a gas.
const GAS_BELOW_C: f64 = 15.0;

/// A substance that no table has.
pub fn own(stated: &StatedSubstance) -> Substance {
    let hazards = stated.hazards.as_ref();
    let hazards = hazards.map_or(&[][..], |hazards| hazards.value.as_slice());
    let mut known = blank(stated);
    lay(&mut known, stated, None, Jurisdiction::default());
    known.usual_holdings = holdings(stated, &known);
    known.family = family(&known, hazards);
    known
}

/// A substance of the tables with the project's figures over its own.
pub fn over(project: &Project, base: &Substance, stated: &StatedSubstance) -> Substance {
    let mut known = base.clone();
    lay(&mut known, stated, Some(base), project.head.jurisdiction);
    known.origin = SubstanceOrigin::Overridden;
    known
}

/// The figure of this kind that stands without the project's statement.
pub fn published(base: &Substance, kind: FigureKind, jurisdiction: Jurisdiction) -> Option<Figure> {
    let limit = |kind: LimitKind| {
        let limit = base.limit_in(jurisdiction)?;
        Some((limit.ppm(kind)?, limit.citation_of(kind)))
    };
    let figure = |(value, citation): (f64, Citation)| Figure {
        value,
        unit: kind.unit(),
        citation,
    };
    let flammable = |limit: &FlammableLimit| limit.figure.clone();
    match kind {
        FigureKind::MolarMass => Some(base.molar_mass.clone()),
        FigureKind::Lfl => base.lfl_in(jurisdiction).map(flammable),
        FigureKind::Ufl => base.ufl_in(jurisdiction).map(flammable),
        FigureKind::LongLimit => limit(LimitKind::Long).map(figure),
        FigureKind::ShortLimit => limit(LimitKind::Short).map(figure),
        FigureKind::CeilingLimit => limit(LimitKind::Ceiling).map(figure),
        FigureKind::Idlh => base.idlh.clone(),
        FigureKind::PracticalLimit => base.practical_limit.clone(),
        FigureKind::BoilingPoint => base.boiling_point.clone(),
        FigureKind::VapourPressure => {
            let found = vapour::vapour_pressure(base, vapour::STATED_AT_CELSIUS).ok()?;
            Some(figure((found.pascals, found.citation)))
        }
        FigureKind::AutoIgnition => base.auto_ignition.clone(),
        FigureKind::IonisationEnergy => base.ionisation.clone(),
    }
}

/// Four significant figures, as a figure is quoted.
pub fn quoted(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let step = 10_f64.powf(3.0 - value.abs().log10().floor());
    format!("{}", (value * step).round() / step)
}

/// Lays what is stated over `known`; `base` is what it replaces.
fn lay(
    known: &mut Substance,
    stated: &StatedSubstance,
    base: Option<&Substance>,
    jurisdiction: Jurisdiction,
) {
    for one in &stated.figures {
        let replaced = base.and_then(|base| published(base, one.figure, jurisdiction));
        lay_figure(known, one, replaced.as_ref(), jurisdiction);
    }
    let hazards = stated.hazards.as_ref();
    for hazard in hazards.map_or(&[][..], |hazards| hazards.value.as_slice()) {
        match hazard {
            Hazard::Flammable => known.burns = true,
            Hazard::Toxic => known.harms = true,
            Hazard::OxygenDepletion => known.asphyxiant = true,
            Hazard::OxygenEnrichment => known.enriches = true,
        }
    }
    if let Some(group) = &stated.gas_group {
        known.gas_group = Some(group.value);
    }
    if let Some(class) = &stated.temperature_class {
        known.temperature_class = Some(class.value);
    }
    let sensing = stated.sensing.iter().map(|one| {
        let citation = cited(&one.reason, None);
        (one.principle, one.sees, citation)
    });
    known.sensing = sensing.collect();
    let has_cell = |(principle, sees, _): &(Principle, bool, Citation)| {
        *principle == Principle::Electrochemical && *sees
    };
    if known.sensing.iter().any(has_cell) && known.cell.is_none() {
        known.cell = Some("");
    }
}

fn lay_figure(
    known: &mut Substance,
    one: &StatedFigure,
    replaced: Option<&Figure>,
    jurisdiction: Jurisdiction,
) {
    let figure = Figure {
        value: one.value,
        unit: one.figure.unit(),
        citation: cited(&one.reason, replaced),
    };
    let flammable = |figure| FlammableLimit {
        table: FlammabilityTable::Project,
        figure,
    };
    match one.figure {
        FigureKind::MolarMass => known.molar_mass = figure,
        FigureKind::Lfl => known.lfl.insert(0, flammable(figure)),
        FigureKind::Ufl => known.ufl.insert(0, flammable(figure)),
        FigureKind::LongLimit => lay_limit(known, LimitKind::Long, figure, jurisdiction),
        FigureKind::ShortLimit => lay_limit(known, LimitKind::Short, figure, jurisdiction),
        FigureKind::CeilingLimit => lay_limit(known, LimitKind::Ceiling, figure, jurisdiction),
        FigureKind::Idlh => known.idlh = Some(figure),
        FigureKind::PracticalLimit => known.practical_limit = Some(figure),
        FigureKind::BoilingPoint => known.boiling_point = Some(figure),
        FigureKind::VapourPressure => known.stated_vapour = Some(figure),
        FigureKind::AutoIgnition => known.auto_ignition = Some(figure),
        FigureKind::IonisationEnergy => known.ionisation = Some(figure),
    }
}

/// Puts one figure into the exposure limit that applies, or makes the project's own.
fn lay_limit(known: &mut Substance, kind: LimitKind, figure: Figure, jurisdiction: Jurisdiction) {
    let applying = known.limit_in(jurisdiction).map(|limit| limit.regime);
    let of = |limit: &&mut ExposureLimit| Some(limit.regime) == applying;
    if known.limits.iter_mut().find(of).is_none() {
        known.limits.push(ExposureLimit {
            regime: Regime::Project,
            twa_ppm: None,
            stel_ppm: None,
            ceiling_ppm: None,
            citation: figure.citation.clone(),
            stated: BTreeMap::new(),
        });
    }
    let applying = applying.unwrap_or(Regime::Project);
    let limit = known.limits.iter_mut().find(|one| one.regime == applying);
    let limit = limit.expect("it was put there where it lacked");
    match kind {
        LimitKind::Long => limit.twa_ppm = Some(figure.value),
        LimitKind::Short => limit.stel_ppm = Some(figure.value),
        LimitKind::Ceiling => limit.ceiling_ppm = Some(figure.value),
    }
    limit.stated.insert(kind, figure.citation);
}

fn cited(reason: &str, replaced: Option<&Figure>) -> Citation {
    let replaces = |of: &Figure| {
        format!(
            "{} {} of {}",
            quoted(of.value),
            of.unit.symbol(),
            of.citation.text()
        )
    };
    Citation::Stated {
        reason: reason.trim().to_owned(),
        replaces: replaced.map(replaces),
    }
}

/// As stated, else by the boiling point; both ways where neither is known.
fn holdings(stated: &StatedSubstance, known: &Substance) -> Vec<Holding> {
    if let Some(held) = stated.holding {
        return vec![held];
    }
    match known.boiling_point.as_ref().map(|figure| figure.value) {
        Some(boils) if boils >= GAS_BELOW_C => vec![Holding::Liquid],
        Some(_) => vec![Holding::Gas, Holding::LiquefiedGas],
        None => vec![Holding::Gas, Holding::Liquid],
    }
}

fn family(known: &Substance, hazards: &[Hazard]) -> Family {
    let is_liquid = known.usual_holdings.first() == Some(&Holding::Liquid);
    if known.practical_limit.is_some() {
        return Family::Refrigerant;
    }
    match hazards {
        _ if is_liquid => Family::Solvent,
        all if all.contains(&Hazard::Flammable) => Family::FuelGas,
        all if all.contains(&Hazard::Toxic) => Family::ToxicGas,
        all if all.contains(&Hazard::OxygenEnrichment) => Family::OxidisingGas,
        _ => Family::InertGas,
    }
}

/// A substance of which nothing is known but its names.
fn blank(stated: &StatedSubstance) -> Substance {
    Substance {
        key: Cow::Owned(stated.key()),
        cas: stated.cas.clone().map(Cow::Owned),
        name: Cow::Owned(stated.name.trim().to_owned()),
        synonyms: Vec::new(),
        formula: stated.formula.clone().map(Cow::Owned),
        composition: Vec::new(),
        family: Family::InertGas,
        usual_holdings: Vec::new(),
        molar_mass: Figure {
            value: AIR_MOLAR_MASS,
            unit: FigureKind::MolarMass.unit(),
            citation: Citation::CommonPractice,
        },
        lfl: Vec::new(),
        ufl: Vec::new(),
        limits: Vec::new(),
        idlh: None,
        practical_limit: None,
        safety_class: None,
        antoine: None,
        critical: None,
        stated_vapour: None,
        boiling_point: None,
        melting_point: None,
        auto_ignition: None,
        ionisation: None,
        cell: None,
        gas_group: None,
        nec_group: None,
        temperature_class: None,
        inhalation_statements: Vec::new(),
        burns: false,
        pyrophoric: false,
        asphyxiant: false,
        oxidiser: false,
        enriches: false,
        harms: false,
        associates: false,
        sensing: Vec::new(),
        origin: SubstanceOrigin::Own,
    }
}

//! What a stated mixture is: a substance made of its parts, each figure traced.
//!
//! Molar mass by mole fractions; lower flammable limit by Le Chatelier's rule, inert parts only
//! diluting; exposure by the additive rule (US 29 CFR 1910.1000 (d)(2)(i), from memory); vapour of
//! a liquid mixture by Raoult's law. Real mixtures depart from all four: a certificate goes first.
//! Must not know of rooms.

mod burning;
mod formulas;
mod harm;
#[cfg(test)]
mod tests;

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::engine::finding::{Finding, Severity};
use crate::engine::gas::substance::{Component, Family, Figure, Substance, SubstanceOrigin};
use crate::engine::gas::{Substances, density, hazards, is_toxic, sensing, vapour};
use crate::engine::results::{MixtureResult, MixtureWatch, PartResult};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::{
    Citation, FractionOf, Hazard, Holding, ItemKey, Mixture, MixtureId, Principle, Project,
};
use crate::units::Unit;

use formulas::*;
pub use formulas::{FORMULAS, RULES};

/// Key of oxygen.
const OXYGEN: &str = "7782-44-7";

/// A part with its traced share of the gas.
#[derive(Debug, Clone, Copy)]
struct Part<'a> {
    known: &'a Substance,
    /// %vol.
    share: Quantity,
}

/// What the stated mixtures mean, with findings about what could not be found.
pub fn step(
    project: &Project,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
) -> BTreeMap<MixtureId, MixtureResult> {
    let mut results = BTreeMap::new();
    for stated in &project.mixtures {
        let about = ItemKey::Mixture(stated.id);
        let id = |what: &str| format!("gas.mixture_{what}/mixture-{}", stated.id);
        let Some((_, result)) = explained(project, trace, stated) else {
            let keys = unknown(project, stated).join(", ");
            let message = format!("{}: no table knows its component {keys}.", stated.name);
            let remedy = "Choose a substance from the list for it.";
            let finding = Finding::new(id("unknown"), Severity::Blocker, message, remedy);
            findings.push(finding.about(about));
            continue;
        };
        if !result.notes.is_empty() {
            let message = format!("{}: {}", stated.name, result.notes.join(" "));
            let remedy = "Hold it against the certificate or an analysis of the mixture.";
            let finding = Finding::new(id("notes"), Severity::Note, message, remedy);
            findings.push(finding.about(about));
        }
        if let Some(critical) = result.critical.filter(|critical| critical.value <= 1.0) {
            let value = trace.rule(
                &NEVER_FLAMMABLE,
                critical.value,
                Unit::One,
                &[("Σ c", critical)],
            );
            let limit = Citation::from_memory("ISO 10156", "flammability of a gas mixture");
            let limit = trace.given("Burns above", 1.0, Unit::One, limit);
            let message = format!(
                "{} is inerted so far that by ISO 10156 it does not burn in air at room \
                 temperature ({:.2}, burns above 1); it is still watched as flammable.",
                stated.name, critical.value
            );
            let remedy = "Decide with the supplier's certificate whether it needs a flammable \
                          detector; the pure gas it is blended from does.";
            let finding = Finding::new(id("inerted"), Severity::Note, message, remedy);
            findings.push(finding.about(about).held_against(value, limit));
        }
        results.insert(stated.id, result);
    }
    results
}

/// The mixture as a substance; `None` where no table knows one of its components.
pub fn substance(project: &Project, mixture: &Mixture) -> Option<Substance> {
    explained(project, &mut Trace::default(), mixture).map(|(substance, _)| substance)
}

/// The components of a mixture that neither the tables nor the project know.
pub fn unknown<'a>(project: &Project, mixture: &'a Mixture) -> Vec<&'a str> {
    let keys = mixture
        .components
        .iter()
        .map(|part| part.substance.as_str());
    let known = |key: &str| Substances::of(project).part(key).is_some();
    keys.filter(|key| !known(key)).collect()
}

/// The substances that a mixture is made of, and the parts of those that are mixtures themselves,
/// as the project knows them; `None` where one of them is unknown.
type Pool = BTreeMap<String, Cow<'static, Substance>>;

fn pool(project: &Project, mixture: &Mixture) -> Option<Pool> {
    let substances = Substances::of(project);
    let mut pool = Pool::new();
    for component in &mixture.components {
        let known = substances.part(&component.substance)?;
        for inner in &known.composition {
            pool.insert(inner.key.to_string(), substances.part(&inner.key)?);
        }
        pool.insert(component.substance.clone(), known);
    }
    Some(pool)
}

/// The mixture as a substance, with every figure traced.
pub fn explained(
    project: &Project,
    trace: &mut Trace,
    mixture: &Mixture,
) -> Option<(Substance, MixtureResult)> {
    let mut notes = Vec::new();
    let pool = pool(project, mixture)?;
    let parts = parts(project, trace, mixture, &pool, &mut notes);
    let masses: Vec<Quantity> = parts
        .iter()
        .map(|part| {
            let mass = given(trace, "Molar mass", part.known, &part.known.molar_mass);
            trace.eval(&MASS_TERM, &[part.share, mass])
        })
        .collect();
    let molar_mass = trace.eval(&MASS_SUM, &masses);
    let relative_density = trace.eval(&density::RELATIVE_DENSITY, &[molar_mass]);
    let burning = burning::of(project, trace, &parts, &mut notes);
    let harm = harm::of(
        project,
        trace,
        &parts,
        burning.governing_ppm(project),
        &mut notes,
    );
    let known = built(mixture, &parts, molar_mass, &burning, &harm, trace);
    let mut watch = Vec::new();
    for hazard in hazards(&known) {
        let found = match hazard {
            Hazard::Flammable => burning.watch(trace),
            Hazard::Toxic => harm.watch(trace),
            Hazard::OxygenDepletion | Hazard::OxygenEnrichment => None,
        };
        watch.push(found.unwrap_or_else(|| oxygen_watch(trace, hazard)));
    }
    if watch.is_empty() {
        notes.push(
            "By its parts it neither burns nor harms, and leaves the oxygen as it is.".to_owned(),
        );
    }
    let result = MixtureResult {
        molar_mass,
        relative_density,
        lfl: burning.lfl,
        limit: harm.long,
        critical: burning.critical,
        parts: parts.iter().map(listed).collect(),
        watch,
        notes,
    };
    Some((known, result))
}

/// Keys of the parts that make up a hazard of a mixture of any kind, the largest contribution
/// first, each with its fraction of the whole.
pub fn contributions(
    project: &Project,
    substance: &Substance,
    hazard: Hazard,
) -> Vec<(String, f64)> {
    let jurisdiction = project.head.jurisdiction;
    let weight = |known: &Substance| match hazard {
        Hazard::Flammable => known
            .lfl_in(jurisdiction)
            .map(|limit| 1.0 / limit.figure.value),
        Hazard::Toxic if is_toxic(known) => {
            harm::long_ppm(known, jurisdiction).map(|limit| 1.0 / limit)
        }
        _ => None,
    };
    let mut found: Vec<(String, f64)> = substance
        .composition
        .iter()
        .filter_map(|part| {
            let known = part.known()?;
            Some((part.key.to_string(), part.mole_fraction * weight(known)?))
        })
        .collect();
    let sum: f64 = found.iter().map(|(_, term)| term).sum();
    found.iter_mut().for_each(|(_, term)| *term /= sum);
    found.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    found
}

/// The parts with their shares of the gas, largest first; parts of parts are counted together.
fn parts<'a>(
    project: &Project,
    trace: &mut Trace,
    mixture: &Mixture,
    pool: &'a Pool,
    notes: &mut Vec<String>,
) -> Vec<Part<'a>> {
    let mut amounts: BTreeMap<&'a str, (&'a Substance, f64)> = BTreeMap::new();
    for component in &mixture.components {
        let known: &Substance = &pool[&component.substance];
        let stated = trace.given(
            format!("Share of {} in {}, as stated", known.name, mixture.name),
            100.0 * component.fraction,
            Unit::Percent,
            Citation::Designer,
        );
        let amount = match mixture.by {
            FractionOf::Mole => stated.value,
            FractionOf::Mass => {
                let mass = given(trace, "Molar mass", known, &known.molar_mass);
                trace.eval(&MOLES_OF_MASS, &[stated, mass]).value
            }
        };
        let inner: Vec<(&Substance, f64)> = match known.composition.as_slice() {
            [] => vec![(known, 1.0)],
            inner => inner
                .iter()
                .map(|part| (pool[part.key.as_ref()].as_ref(), part.mole_fraction))
                .collect(),
        };
        for (part, fraction) in inner {
            amounts.entry(part.key.as_ref()).or_insert((part, 0.0)).1 += amount * fraction;
        }
    }
    let title = |known: &Substance| format!("Amount of {} in {}", known.name, mixture.name);
    let mut amounts: Vec<(&Substance, Quantity)> = amounts
        .into_values()
        .map(|(known, amount)| {
            (
                known,
                trace.given(title(known), amount, Unit::One, Citation::Designer),
            )
        })
        .collect();
    if amounts.iter().all(|(known, _)| is_liquid(known)) {
        evaporate(project, trace, &mut amounts, notes);
    }
    let all: Vec<Quantity> = amounts.iter().map(|(_, amount)| *amount).collect();
    let mut parts: Vec<Part> = amounts
        .into_iter()
        .map(|(known, amount)| {
            let share = trace.eval(&SHARE, &[&[amount], all.as_slice()].concat());
            Part { known, share }
        })
        .collect();
    parts.sort_by(|a, b| {
        let larger = b.share.value.total_cmp(&a.share.value);
        larger.then_with(|| a.known.key.cmp(&b.known.key))
    });
    parts
}

/// Amounts in the vapour over a liquid mixture, in the place of those in the liquid.
fn evaporate(
    project: &Project,
    trace: &mut Trace,
    amounts: &mut [(&Substance, Quantity)],
    notes: &mut Vec<String>,
) {
    let temperature = trace.basis(&project.basis, &basis::ROOM_TEMPERATURE);
    let room = temperature.value;
    let lacking: Vec<&str> = amounts
        .iter()
        .filter(|(known, _)| vapour::vapour_pressure(known, room).is_err())
        .map(|(known, _)| known.name.as_ref())
        .collect();
    if !lacking.is_empty() {
        notes.push(format!(
            "No table has the vapour pressure of {}, so the vapour is taken to be made up like \
             the liquid.",
            lacking.join(", ")
        ));
        return;
    }
    let sum: f64 = amounts.iter().map(|(_, amount)| amount.value).sum();
    for (known, amount) in amounts.iter_mut() {
        let Ok(pressure) = vapour::traced(trace, known, temperature) else {
            continue;
        };
        let liquid = trace.given(
            format!("Share of {} in the liquid by mole", known.name),
            100.0 * amount.value / sum,
            Unit::Percent,
            Citation::Designer,
        );
        *amount = trace.eval(&RAOULT_TERM, &[liquid, pressure]);
    }
    notes.push(format!(
        "The vapour over the liquid at {room} °C is made up by Raoult's law; what evaporates \
         first is richer in the more volatile parts."
    ));
}

fn is_liquid(known: &Substance) -> bool {
    known.usual_holdings.first() == Some(&Holding::Liquid)
}

/// The substance that the parts make up.
fn built(
    mixture: &Mixture,
    parts: &[Part<'_>],
    molar_mass: Quantity,
    burning: &burning::Burning<'_>,
    harm: &harm::Harm<'_>,
    trace: &mut Trace,
) -> Substance {
    let of = |test: &dyn Fn(&Substance) -> bool| -> f64 {
        let those = parts.iter().filter(|part| test(part.known));
        those.map(|part| part.share.value).sum()
    };
    let oxygen = of(&|known| known.key == OXYGEN);
    let burns = burning.has_any();
    let members = || parts.iter().map(|part| part.known);
    let burning_members = || members().filter(|known| burning::burns(known));
    let of_mixture = |value: f64, unit: Unit, clause: &'static str| Figure {
        value,
        unit,
        citation: Citation::from_memory(clause, "over the parts the designer states"),
    };
    Substance {
        key: Cow::Owned(mixture.key()),
        cas: None,
        name: Cow::Owned(mixture.name.trim().to_owned()),
        synonyms: Vec::new(),
        formula: None,
        composition: composition(parts),
        family: family(parts, burns, harm.harms),
        usual_holdings: holdings(parts),
        molar_mass: of_mixture(molar_mass.value, Unit::GramPerMole, "Mean molar mass"),
        lfl: burning.limits.clone(),
        ufl: Vec::new(),
        limits: harm.limits.clone(),
        idlh: harm
            .idlh
            .map(|idlh| of_mixture(idlh.value, Unit::Ppm, "Additive rule")),
        practical_limit: None,
        safety_class: None,
        antoine: None,
        critical: None,
        stated_vapour: None,
        melting_point: None,
        ionisation: None,
        cell: None,
        boiling_point: boiling_point(parts, trace),
        auto_ignition: burning_members()
            .filter_map(|known| known.auto_ignition.clone())
            .min_by(|a, b| a.value.total_cmp(&b.value)),
        gas_group: burning_members().filter_map(|known| known.gas_group).max(),
        nec_group: burning_members().filter_map(|known| known.nec_group).min(),
        temperature_class: burning_members()
            .filter_map(|known| known.temperature_class)
            .max(),
        inhalation_statements: Vec::new(),
        burns,
        pyrophoric: members().any(|known| known.pyrophoric),
        asphyxiant: of(&|known| known.asphyxiant) >= 50.0 && oxygen < 19.5,
        oxidiser: members().any(|known| known.oxidiser),
        enriches: oxygen > 23.5,
        harms: harm.harms,
        associates: of(&|known| known.associates) >= 50.0,
        sensing: Vec::new(),
        origin: SubstanceOrigin::Own,
    }
}

fn composition(parts: &[Part<'_>]) -> Vec<Component> {
    let component = |part: &Part<'_>| Component {
        key: part.known.key.clone(),
        mole_fraction: part.share.value / 100.0,
        stated: (part.known.origin != SubstanceOrigin::Tables)
            .then(|| Box::new(part.known.clone())),
    };
    parts.iter().map(component).collect()
}

fn family(parts: &[Part<'_>], burns: bool, harms: bool) -> Family {
    let first = parts[0].known.family;
    let all = |family| parts.iter().all(|part| part.known.family == family);
    match (burns, harms) {
        _ if all(first) => first,
        (true, _) if parts.iter().all(|part| is_liquid(part.known)) => Family::Solvent,
        (true, _) => Family::FuelGas,
        (false, true) => Family::ToxicGas,
        (false, false) => Family::InertGas,
    }
}

/// Liquid where all parts are, a gas liquefied under pressure where all but little is, else a gas.
fn holdings(parts: &[Part<'_>]) -> Vec<Holding> {
    let share = |holding| -> f64 {
        let held = |part: &&Part<'_>| part.known.usual_holdings.first() == Some(&holding);
        parts.iter().filter(held).map(|part| part.share.value).sum()
    };
    if share(Holding::Liquid) > 99.9 {
        return vec![Holding::Liquid];
    }
    if share(Holding::LiquefiedGas) + share(Holding::Liquid) > 90.0 {
        return vec![Holding::LiquefiedGas];
    }
    vec![Holding::Gas]
}

fn boiling_point(parts: &[Part<'_>], trace: &mut Trace) -> Option<Figure> {
    let largest = parts[0].known;
    let boils = largest.boiling_point.as_ref()?;
    let of = given(trace, "Boiling point", largest, boils);
    let value = trace.rule(&BOILING, of.value, of.unit, &[("its largest part", of)]);
    Some(Figure {
        value: value.value,
        unit: value.unit,
        citation: boils.citation.clone(),
    })
}

fn oxygen_watch(trace: &mut Trace, hazard: Hazard) -> MixtureWatch {
    MixtureWatch {
        hazard,
        measures: OXYGEN.to_owned(),
        name: "Oxygen".to_owned(),
        response: trace.rule(&GOVERNING, 1.0, Unit::One, &[]),
    }
}

fn listed(part: &Part<'_>) -> PartResult {
    PartResult {
        key: part.known.key.to_string(),
        name: part.known.name.to_string(),
        share: part.share,
    }
}

/// A figure of a part, traced with its citation.
fn given(trace: &mut Trace, what: &str, known: &Substance, figure: &Figure) -> Quantity {
    let title = format!("{what} of {}", known.name);
    trace.given(title, figure.value, figure.unit, figure.citation.clone())
}

/// Of the stated mixtures among the substances released, the name and share of toxic hazard where
/// the part `key` makes up least of it; `None` where it is a part of none.
pub fn least_share(project: &Project, released: &[String], key: &str) -> Option<(String, f64)> {
    let shares = released.iter().filter_map(|released| {
        let stated = project.mixtures.get(Mixture::id_of(released)?)?;
        let known = substance(project, stated)?;
        let parts = contributions(project, &known, Hazard::Toxic);
        let share = parts.into_iter().find(|(part, _)| part == key)?.1;
        Some((stated.name.trim().to_owned(), share))
    });
    shares.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// Share of a stated mixture's flammable hazard that a detector of `principle` for `watched` sees.
pub fn seen_share(
    project: &Project,
    released: &str,
    principle: Principle,
    watched: &str,
) -> Option<(String, f64)> {
    let stated = project.mixtures.get(Mixture::id_of(released)?)?;
    let known = substance(project, stated)?;
    let parts = contributions(project, &known, Hazard::Flammable);
    let watched = Substances::of(project).find(watched)?;
    let part = |key: &str| {
        known
            .composition
            .iter()
            .find(|part| part.key == key)?
            .known()
    };
    let is_seen =
        |key: &str| part(key).is_some_and(|part| sensing::also_sees(principle, &watched, part));
    let seen = parts.iter().filter(|(key, _)| is_seen(key));
    Some((
        stated.name.trim().to_owned(),
        seen.map(|(_, share)| share).sum(),
    ))
}

use super::*;
use crate::engine::gas::lookup;
use crate::engine::{Silent, run};
use crate::model::*;

/// A project with one mixture, parts by share in per cent.
fn stating(by: FractionOf, parts: &[(&str, f64)]) -> Project {
    let mut project = crate::engine::drawn::empty();
    let part = |(name, share): &(&str, f64)| MixturePart {
        substance: lookup::find(name).unwrap().key.to_string(),
        fraction: share / 100.0,
    };
    let mixture = Mixture {
        id: MixtureId(3),
        name: "Test gas".to_owned(),
        by,
        components: parts.iter().map(part).collect(),
    };
    project.mixtures = [mixture].into_iter().collect();
    project
}

fn made(project: &Project) -> (Substance, MixtureResult, Trace) {
    let mut trace = Trace::default();
    let stated = project.mixtures.get(MixtureId(3)).unwrap();
    let (known, result) = explained(project, &mut trace, stated).unwrap();
    (known, result, trace)
}

fn by_mole(parts: &[(&str, f64)]) -> (Substance, MixtureResult, Trace) {
    made(&stating(FractionOf::Mole, parts))
}

const BIOGAS: [(&str, f64); 3] = [
    ("methane", 59.8),
    ("carbon dioxide", 40.0),
    ("hydrogen sulfide", 0.2),
];

#[test]
fn every_formula_gives_the_result_of_its_example() {
    for formula in FORMULAS {
        let (inputs, expected) = formula.example;
        let found = (formula.compute)(inputs);
        assert!(
            (found / expected - 1.0).abs() < 1e-4,
            "{}: {found}",
            formula.id
        );
    }
}

/// 90/6/2/2 methane, ethane, propane, nitrogen: 0.6106 with the molar masses of CoolProp 8.0.0.
#[test]
fn density_of_natural_gas_is_that_of_its_parts() {
    let parts = [
        ("methane", 90.0),
        ("ethane", 6.0),
        ("propane", 2.0),
        ("nitrogen", 2.0),
    ];
    let (known, result, _) = by_mole(&parts);
    assert!((result.relative_density.value - 0.6106).abs() < 1e-4);
    assert_eq!(known.molar_mass.value, result.molar_mass.value);
    assert_eq!(hazards(&known), [Hazard::Flammable]);
    assert_eq!(known.key, "mixture-3");
}

/// R410A is 50/50 by mass: 72.585 g/mol (ANSI/ASHRAE 34, from memory).
#[test]
fn shares_by_mass_become_shares_by_mole() {
    let project = stating(FractionOf::Mass, &[("R32", 50.0), ("R125", 50.0)]);
    let (known, result, _) = made(&project);
    assert!(
        (known.molar_mass.value - 72.585).abs() < 0.01,
        "{}",
        known.molar_mass.value
    );
    assert!((result.parts[0].share.value - 69.76).abs() < 0.02);
}

/// Forming gas with 5 % hydrogen: 4.0 %vol over its share; ISO 10156 calls it not flammable.
#[test]
fn inert_parts_only_dilute_the_flammable_limit() {
    let project = stating(FractionOf::Mole, &[("hydrogen", 5.0), ("nitrogen", 95.0)]);
    let (known, result, _) = made(&project);
    assert!((result.lfl.unwrap().value - 80.0).abs() < 1e-9);
    assert_eq!(
        hazards(&known),
        [Hazard::Flammable, Hazard::OxygenDepletion]
    );
    let found = run(&project, &Silent);
    let note = found
        .findings
        .iter()
        .find(|one| one.id == "gas.mixture_inerted/mixture-3");
    assert!(note.unwrap().message.contains("0.91, burns above 1"));
    let (_, hot, _) = by_mole(&[("hydrogen", 10.0), ("nitrogen", 90.0)]);
    assert!(hot.critical.unwrap().value > 1.0);
}

/// Additive rule of 29 CFR 1910.1000 (d)(2)(i) with the British limits of 5 and 5000 ppm, by hand:
/// 100 / (0.2/5 + 40/5000) = 2083 ppm of biogas, 4.17 ppm of hydrogen sulfide.
#[test]
fn biogas_is_watched_by_its_hydrogen_sulfide_and_its_methane() {
    let mut project = stating(FractionOf::Mole, &BIOGAS);
    project.head.jurisdiction = Jurisdiction::Uk;
    let (known, result, trace) = made(&project);
    assert_eq!(hazards(&known), [Hazard::Flammable, Hazard::Toxic]);
    assert!((result.limit.unwrap().value - 2083.33).abs() < 0.01);
    let watch: Vec<(&str, f64)> = result
        .watch
        .iter()
        .map(|one| (one.name.as_str(), one.response.value))
        .collect();
    assert_eq!(watch[1].0, "Hydrogen sulfide");
    assert!((watch[1].1 - 0.04 / 0.048).abs() < 1e-9);
    assert_eq!(watch[0].0, "Methane");
    assert!(watch[0].1 > 0.99);
    let entry = trace.entry(result.watch[1].response.why).unwrap();
    assert_eq!(entry.id, "mixture.governing");
    assert!(
        trace
            .entry(result.limit.unwrap().why)
            .unwrap()
            .citation
            .text()
            .contains("1910.1000")
    );
}

/// 1 % carbon dioxide reaches its 5000 ppm only at half a room of natural gas.
#[test]
fn a_toxic_part_that_another_alarm_forestalls_is_not_watched() {
    let (known, result, _) = by_mole(&[("methane", 99.0), ("carbon dioxide", 1.0)]);
    assert_eq!(hazards(&known), [Hazard::Flammable]);
    assert!(
        result.notes[0].contains("another alarm has come first"),
        "{:?}",
        result.notes
    );
}

/// Raoult's law by hand with CoolProp's vapour pressures at 20 degC (24662 and 2919 Pa): half
/// acetone, half toluene by mole gives vapour of 89.4 % acetone.
#[test]
fn vapour_of_a_solvent_mixture_is_richer_in_the_volatile_part() {
    let (known, result, _) = by_mole(&[("acetone", 50.0), ("toluene", 50.0)]);
    assert_eq!(result.parts[0].name, "Acetone");
    assert!(
        (result.parts[0].share.value - 89.42).abs() < 0.2,
        "{}",
        result.parts[0].share.value
    );
    assert_eq!(known.usual_holdings, [Holding::Liquid]);
    assert_eq!(known.family, Family::Solvent);
}

#[test]
fn a_mixture_of_the_tables_is_taken_apart() {
    let (_, result, _) = by_mole(&[("natural gas", 50.0), ("methane", 50.0)]);
    assert_eq!(result.parts[0].name, "Methane");
    assert!((result.parts[0].share.value - 95.0).abs() < 1e-9);
}

#[test]
fn an_unknown_component_is_a_blocker_and_not_a_panic() {
    let mut project = stating(FractionOf::Mole, &BIOGAS);
    let mut odd = project.mixtures.get(MixtureId(3)).unwrap().clone();
    odd.components[0].substance = "no such gas".to_owned();
    let edit = Edit::Change {
        item: Item::Mixture(odd),
    };
    project = apply(&project, &edit).unwrap();
    let found = run(&project, &Silent);
    assert!(found.mixtures.is_empty());
    assert!(
        found
            .findings
            .iter()
            .any(|one| one.id == "gas.mixture_unknown/mixture-3")
    );
    assert!(Substances::of(&project).find("mixture-3").is_none());
}

use crate::engine::gas::Substances;

#[test]
fn infrared_sees_what_has_carbon_and_hydrogen() {
    let methane = lookup::find("74-82-8").unwrap();
    let seen =
        |principle, part: &str| sensing::also_sees(principle, methane, lookup::find(part).unwrap());
    assert!(seen(Principle::Infrared, "ethane"));
    assert!(!seen(Principle::Infrared, "hydrogen"));
    assert!(!seen(Principle::Infrared, "carbon monoxide"));
    assert!(seen(Principle::Catalytic, "hydrogen"));
    assert!(!seen(Principle::Electrochemical, "hydrogen"));
}

//! Mixtures and averages against worked examples published by others, each named beside its check.

use brattice::engine::gas::mixture::explained;
use brattice::engine::gas::{self, Substances};
use brattice::engine::trace::Trace;
use brattice::engine::{formulas, setpoints};
use brattice::model::*;

use crate::worst::Worst;

fn formula(id: &str) -> impl Fn(&[f64]) -> f64 {
    let found = formulas()
        .into_iter()
        .find(|formula| formula.id == id)
        .unwrap();
    found.compute
}

fn stated(parts: &[(&str, f64)], jurisdiction: Jurisdiction) -> Project {
    let part = |(name, fraction): &(&str, f64)| MixturePart {
        substance: gas::find(name).unwrap().key.to_string(),
        fraction: *fraction,
    };
    let mixture = Mixture {
        id: MixtureId(1),
        name: "Example".to_owned(),
        by: FractionOf::Mole,
        components: parts.iter().map(part).collect(),
    };
    let mut project = Project::default();
    project.head.jurisdiction = jurisdiction;
    project.mixtures = [mixture].into_iter().collect();
    project
}

/// D. A. Crowl, J. F. Louvar: Chemical Process Safety, 3rd edition, example 6-2 (from memory):
/// 0.8 % hexane, 2.0 % methane and 0.5 % ethylene in air, limits 1.2, 5.3 and 3.1 %vol; shares of
/// what burns 0.24, 0.61 and 0.15; lower flammable limit of the mixture 2.75 %vol.
#[test]
fn le_chatelier_gives_the_limit_of_the_published_example() {
    let terms: Vec<f64> = [(0.8, 1.2), (2.0, 5.3), (0.5, 3.1)]
        .map(|(share, limit)| formula("gas.le_chatelier_term")(&[100.0 * share / 3.3, limit]))
        .to_vec();
    let found = formula("gas.le_chatelier")(&terms);
    let mut worst = Worst::of("Le Chatelier and the textbook's example, printed as 2.75 %vol");
    worst.hold(found, 2.75, 0.7, "hexane, methane, ethylene");
}

/// 70/20/10 methane, ethane, propane with the 4.4, 2.4 and 1.7 %vol of IEC 60079-20-1 (from
/// memory): 3.320 %vol by hand; with a fifth of nitrogen in it, that over 0.8.
#[test]
fn a_stated_fuel_gas_has_the_limit_of_its_parts_and_nitrogen_dilutes_it() {
    let lfl = |parts: &[(&str, f64)]| {
        let project = stated(parts, Jurisdiction::Eu);
        let known = Substances::of(&project).find("mixture-1").unwrap();
        known.lfl_in(Jurisdiction::Eu).unwrap().figure.value
    };
    let neat = [("methane", 0.7), ("ethane", 0.2), ("propane", 0.1)];
    assert!((lfl(&neat) - 3.320).abs() < 0.001, "{}", lfl(&neat));
    let diluted = [
        ("methane", 0.56),
        ("ethane", 0.16),
        ("propane", 0.08),
        ("nitrogen", 0.2),
    ];
    assert!(
        (lfl(&diluted) - 3.320 / 0.8).abs() < 0.002,
        "{}",
        lfl(&diluted)
    );
}

/// US 29 CFR 1910.1000 (d)(2)(ii) (from memory): 500, 45 and 40 ppm of substances with limits of
/// 1000, 200 and 200 ppm come to 0.925 of what is allowed.
#[test]
fn the_additive_rule_gives_the_figure_of_the_regulations_example() {
    let exposures = [(500.0, 1000.0), (45.0, 200.0), (40.0, 200.0)];
    let sum: f64 = exposures.iter().map(|(ppm, _)| ppm).sum();
    let terms: Vec<f64> = exposures
        .map(|(ppm, limit)| formula("mixture.additive_term")(&[100.0 * ppm / sum, limit]))
        .to_vec();
    let limit = formula("mixture.additive")(&terms);
    assert!((sum / limit - 0.925).abs() < 1e-9, "{}", sum / limit);
}

/// US 29 CFR 1910.1000 (d)(1)(ii) (from memory): 2 h at 150, 2 h at 75 and 4 h at 50 ppm average
/// 81.25 ppm over 8 h. Each stretch alone trips an alarm set to what it adds to that average just
/// when it ends.
#[test]
fn an_average_trips_when_concentration_times_duration_says_so() {
    let stretches = [(150.0, 2.0), (75.0, 2.0), (50.0, 4.0)];
    let mut average = 0.0;
    for (ppm, hours) in stretches {
        let adds = ppm * hours / 8.0;
        let trips = formula("setpoints.average_trips")(&[480.0, adds, ppm]);
        assert!((trips - 60.0 * hours).abs() < 1e-9);
        average += adds;
    }
    assert!((average - 81.25).abs() < 1e-9);
}

/// Density of a stated mixture against CoolProp 8.0.0's molar masses: 0.6106 (natural gas).
#[test]
fn a_stated_natural_gas_is_as_light_as_the_library_says() {
    let parts = [
        ("methane", 0.9),
        ("ethane", 0.06),
        ("propane", 0.02),
        ("nitrogen", 0.02),
    ];
    let project = stated(&parts, Jurisdiction::Eu);
    let mixture = project.mixtures.get(MixtureId(1)).unwrap();
    let (_, result) = explained(&project, &mut Trace::default(), mixture).unwrap();
    assert!((result.relative_density.value / 0.6106 - 1.0).abs() < 0.001);
}

#[test]
fn every_formula_of_set_points_gives_the_result_of_its_example() {
    for formula in setpoints::FORMULAS {
        let (inputs, expected) = formula.example;
        assert!(
            ((formula.compute)(inputs) - expected).abs() < 1e-9,
            "{}",
            formula.id
        );
    }
}

/// Molar masses by CoolProp 8.0.0 over 28.9647 g/mol: ideal relative density within 0.1 %.
#[test]
fn mixtures_that_a_user_states_are_as_dense_as_the_library_says() {
    let mut worst = Worst::of("ideal relative density of stated mixtures and CoolProp");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(include_str!("cases/coolprop_8_mixtures.csv").as_bytes());
    for case in reader.deserialize() {
        let (name, mass, parts): (String, f64, String) = case.unwrap();
        let part = |part: &'_ str| {
            let (name, fraction) = part.rsplit_once(' ').unwrap();
            (name.to_owned(), fraction.parse().unwrap())
        };
        let parts: Vec<(String, f64)> = parts.split(';').map(part).collect();
        let parts: Vec<(&str, f64)> = parts.iter().map(|(of, x)| (of.as_str(), *x)).collect();
        let project = stated(&parts, Jurisdiction::Eu);
        let known = Substances::of(&project).find("mixture-1").unwrap();
        worst.hold(known.relative_density(), mass / 28.9647, 0.1, &name);
    }
    assert_eq!(worst.n_held(), 11);
}

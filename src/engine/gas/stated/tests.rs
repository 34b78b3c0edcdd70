use super::*;
use crate::engine::drawn;
use crate::engine::gas::sensing::{Sensing, unfit};
use crate::engine::gas::{Substances, hazards};
use crate::engine::{Finding, Results, Severity, Silent, run};
use crate::model::*;

const REASON: &str = "supplier's certificate 12/24";

fn figure(figure: FigureKind, value: f64) -> StatedFigure {
    let reason = REASON.to_owned();
    StatedFigure {
        figure,
        value,
        reason,
    }
}

fn stating(stated: StatedSubstance) -> Project {
    let mut project = drawn::empty();
    project.substances = [stated].into_iter().collect();
    project
}

/// A project with figures over those of a substance of the tables.
fn over_tables(name: &str, figures: &[(FigureKind, f64)]) -> Project {
    let key = crate::engine::gas::find(name).unwrap().key.to_string();
    let figures = figures.iter().map(|(kind, value)| figure(*kind, *value));
    stating(StatedSubstance {
        figures: figures.collect(),
        ..StatedSubstance::blank(SubstanceId(1), Some(key))
    })
}

fn thinner(figures: &[(FigureKind, f64)]) -> Project {
    let figures = figures.iter().map(|(kind, value)| figure(*kind, *value));
    stating(StatedSubstance {
        name: "Thinner 12".to_owned(),
        hazards: Some(Stated {
            value: vec![Hazard::Flammable, Hazard::Toxic],
            reason: REASON.to_owned(),
        }),
        figures: figures.collect(),
        ..StatedSubstance::blank(SubstanceId(1), None)
    })
}

fn findings<'a>(results: &'a Results, id: &str) -> Vec<&'a Finding> {
    results
        .findings
        .iter()
        .filter(|one| one.id.starts_with(id))
        .collect()
}

#[test]
fn a_stated_limit_goes_before_the_published_one_and_names_it() {
    let project = over_tables("propane", &[(FigureKind::Lfl, 2.1)]);
    let known = Substances::of(&project).find("propane").unwrap();
    let limit = known.lfl_in(Jurisdiction::Eu).unwrap();
    assert_eq!(limit.figure.value, 2.1);
    // IEC 60079-20-1:2010, Table B.1, from memory: propane 1.7 %vol.
    assert_eq!(
        limit.figure.citation.text(),
        "stated for this project: supplier's certificate 12/24; in place of 1.7 %vol of IEC \
         60079-20-1:2010, Annex B, Table B.1 (from memory, check the edition)"
    );
    assert_eq!(known.origin, SubstanceOrigin::Overridden);
    assert!(known.lfl.len() > 1, "the published figures stay beside it");
    let upper = known.ufl_in(Jurisdiction::Eu).unwrap();
    assert_eq!(upper.table, FlammabilityTable::Iec);
}

#[test]
fn a_laxer_figure_is_a_warning_with_both_and_a_stricter_one_is_none() {
    let results = run(&over_tables("propane", &[(FigureKind::Lfl, 2.1)]), &Silent);
    let found = findings(&results, "gas.stated_laxer");
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].severity, Severity::Warning);
    assert_eq!(found[0].value.unwrap().value, 2.1);
    assert_eq!(found[0].limit.unwrap().value, 1.7);
    assert!(
        found[0].message.contains("2.1 %vol; published is 1.7 %vol"),
        "{}",
        found[0].message
    );
    let results = run(&over_tables("propane", &[(FigureKind::Lfl, 1.5)]), &Silent);
    assert!(findings(&results, "gas.stated_laxer").is_empty());
}

#[test]
fn every_kind_of_figure_is_judged_the_safe_way() {
    use FigureKind::*;
    // A substance that has the figure, a laxer value and a stricter one.
    let cases = [
        (MolarMass, "propane", 50.0, 44.1),
        (Lfl, "propane", 2.0, 1.5),
        (Ufl, "propane", 8.0, 12.0),
        (LongLimit, "ammonia", 30.0, 10.0),
        (ShortLimit, "ammonia", 60.0, 30.0),
        (CeilingLimit, "hydrogen chloride", 6.0, 4.0),
        (Idlh, "ammonia", 500.0, 200.0),
        (PracticalLimit, "R32", 0.1, 0.01),
        (BoilingPoint, "acetone", 60.0, 50.0),
        (VapourPressure, "acetone", 2e4, 3e4),
        (AutoIgnition, "acetone", 600.0, 400.0),
        (IonisationEnergy, "acetone", 9.0, 10.0),
    ];
    assert_eq!(cases.len(), FigureKind::ALL.len());
    for (kind, name, laxer, stricter) in cases {
        for (value, n_findings) in [(laxer, 1), (stricter, 0)] {
            let mut project = over_tables(name, &[(kind, value)]);
            if kind == CeilingLimit {
                project.head.jurisdiction = Jurisdiction::Us;
            }
            let results = run(&project, &Silent);
            let found = findings(&results, "gas.stated_laxer");
            assert_eq!(
                found.len(),
                n_findings,
                "{kind:?} of {name} {value}: {found:?}"
            );
        }
    }
}

#[test]
fn one_exposure_limit_leaves_the_others_as_they_are_published() {
    // Directive 2000/39/EC, from memory: ammonia 20 ppm, short 50 ppm.
    let project = over_tables("ammonia", &[(FigureKind::LongLimit, 10.0)]);
    let known = Substances::of(&project).find("ammonia").unwrap();
    let limit = known.limit_in(Jurisdiction::Eu).unwrap();
    assert_eq!((limit.long_ppm(), limit.short_ppm()), (10.0, Some(50.0)));
    assert!(
        limit
            .citation_of(LimitKind::Long)
            .text()
            .contains("in place of 20 ppm")
    );
    assert!(
        limit
            .citation_of(LimitKind::Short)
            .text()
            .contains("2000/39/EC")
    );
    assert_eq!(limit.whose(LimitKind::Short), "EU indicative limit value");
}

#[test]
fn set_points_follow_the_stated_figure_and_their_trace_says_so() {
    let mut project = over_tables("ammonia", &[(FigureKind::LongLimit, 10.0)]);
    let key = "7664-41-7";
    project.rooms = [drawn::room(1, [0.0, 0.0], [8.0, 6.0], RoomUse::Other)]
        .into_iter()
        .collect();
    let detector = drawn::detector(1, [4.0, 3.0], 2.7, key, Band::High);
    let detector = Detector {
        hazard: Hazard::Toxic,
        ..detector
    };
    project.detectors = [detector].into_iter().collect();
    project.sources = [drawn::source(1, [4.0, 3.0], key, Holding::Gas)]
        .into_iter()
        .collect();
    let results = run(&project, &Silent);
    let points = &results.detectors[&DetectorId(1)].set_points;
    assert_eq!(points[0].value.value, 10.0);
    assert!(
        points[0].reason.contains("stated for this project"),
        "{}",
        points[0].reason
    );
    let said = results.trace.entries().iter().any(|entry| {
        entry.title.contains("of ammonia, 8-hour average")
            && entry
                .citation
                .text()
                .starts_with("stated for this project: supplier's")
    });
    assert!(said);
}

#[test]
fn a_substance_of_the_projects_own_is_sought_by_its_density() {
    let mut project = thinner(&[
        (FigureKind::MolarMass, 92.0),
        (FigureKind::BoilingPoint, 110.0),
    ]);
    project.rooms = [drawn::room(1, [0.0, 0.0], [8.0, 6.0], RoomUse::Other)]
        .into_iter()
        .collect();
    let source = drawn::source(1, [4.0, 3.0], "substance-1", Holding::Liquid);
    project.sources = [source].into_iter().collect();
    let results = run(&project, &Silent);
    let result = &results.sources[&SourceId(1)];
    assert_eq!(result.substance, "Thinner 12");
    assert!(
        result.watches.iter().any(|watch| watch.band == Band::Low),
        "{result:?}"
    );
    let lacks = findings(&results, "gas.stated_lacks");
    assert_eq!(lacks.len(), 1);
    for words in [
        "lower flammable limit",
        "toxic set-point",
        "vapour pressure",
    ] {
        assert!(lacks[0].message.contains(words), "{}", lacks[0].message);
    }
}

#[test]
fn a_substance_of_the_projects_own_is_found_by_key_name_and_number() {
    let mut project = thinner(&[(FigureKind::MolarMass, 92.0)]);
    let mut stated = project.substances.get(SubstanceId(1)).unwrap().clone();
    stated.cas = Some("64742-95-6".to_owned());
    project.substances = [stated].into_iter().collect();
    let substances = Substances::of(&project);
    for text in ["substance-1", "thinner 12", "Thinner-12", "64742-95-6"] {
        assert_eq!(substances.find(text).unwrap().key, "substance-1", "{text}");
    }
    assert_eq!(substances.name("substance-1"), "Thinner 12");
    assert_eq!(substances.search("thin")[0].key, "substance-1");
    assert!(substances.find("substance-2").is_none());
    assert_eq!(
        substances.find("propane").unwrap().origin,
        SubstanceOrigin::Tables
    );
}

#[test]
fn mixtures_are_made_of_the_projects_figures() {
    let mut project = over_tables("methane", &[(FigureKind::Lfl, 5.0)]);
    let part = |substance: &str, fraction| MixturePart {
        substance: substance.to_owned(),
        fraction,
    };
    let mixture = Mixture {
        id: MixtureId(1),
        name: "Biogas".to_owned(),
        by: FractionOf::Mole,
        components: vec![part("74-82-8", 0.5), part("124-38-9", 0.5)],
    };
    project.mixtures = [mixture].into_iter().collect();
    let known = Substances::of(&project).find("mixture-1").unwrap();
    // Le Chatelier by hand: 5.0 / 0.5.
    assert!((known.lfl_in(Jurisdiction::Eu).unwrap().figure.value - 10.0).abs() < 1e-9);
    // Natural gas of the tables is remade of it as well; the published figures give less.
    let natural = Substances::of(&project).find("natural-gas").unwrap();
    let before = crate::engine::gas::find("natural-gas").unwrap();
    let lfl = |known: &Substance| known.lfl_in(Jurisdiction::Eu).unwrap().figure.value;
    assert!(
        lfl(&natural) > lfl(before),
        "{} {}",
        lfl(&natural),
        lfl(before)
    );
    assert!((natural.molar_mass.value / before.molar_mass.value - 1.0).abs() < 1e-12);
}

#[test]
fn a_stated_vapour_pressure_is_met_at_20_degrees_and_at_the_boiling_point() {
    let project = over_tables("acetone", &[(FigureKind::VapourPressure, 20_000.0)]);
    let known = Substances::of(&project).find("acetone").unwrap();
    let at = |celsius| vapour::vapour_pressure(&known, celsius).unwrap().pascals;
    let boils = known.boiling_point.as_ref().unwrap().value;
    assert!((at(20.0) - 20_000.0).abs() < 1e-6);
    assert!((at(boils) / 101_325.0 - 1.0).abs() < 1e-9);
    assert!(at(10.0) < 20_000.0);
    let own = thinner(&[
        (FigureKind::MolarMass, 92.0),
        (FigureKind::VapourPressure, 2_000.0),
    ]);
    let known = Substances::of(&own).find("substance-1").unwrap();
    let at = |celsius| vapour::vapour_pressure(&known, celsius);
    assert_eq!(at(15.0).unwrap().pascals, 2_000.0);
    assert!(at(25.0).unwrap_err().contains("state its boiling point"));
}

#[test]
fn a_principle_sees_a_substance_of_the_projects_own_only_where_somebody_said_so() {
    let project = thinner(&[(FigureKind::MolarMass, 92.0)]);
    let known = Substances::of(&project).find("substance-1").unwrap();
    let room = Sensing::room(Hazard::Flammable);
    let said = unfit(Principle::Infrared, &known, room).unwrap();
    assert!(said.contains("nothing is stated"), "{said}");
    let mut stated = project.substances.get(SubstanceId(1)).unwrap().clone();
    stated.sensing.push(StatedSensing {
        principle: Principle::Infrared,
        sees: true,
        reason: REASON.to_owned(),
    });
    let known = own(&stated);
    assert_eq!(unfit(Principle::Infrared, &known, room), None);
    assert!(unfit(Principle::Catalytic, &known, room).is_some());
    stated.formula = Some("C7H8".to_owned());
    assert_eq!(unfit(Principle::Catalytic, &own(&stated), room), None);
}

#[test]
fn sight_that_the_tables_deny_is_a_warning() {
    let mut project = over_tables("hydrogen", &[]);
    let mut stated = project.substances.get(SubstanceId(1)).unwrap().clone();
    let reason = REASON.to_owned();
    stated.sensing.push(StatedSensing {
        principle: Principle::Infrared,
        sees: true,
        reason,
    });
    project.substances = [stated].into_iter().collect();
    let results = run(&project, &Silent);
    assert_eq!(findings(&results, "gas.stated_laxer_word").len(), 1);
}

#[test]
fn hazards_add_to_those_of_the_tables() {
    let mut project = over_tables("propane", &[]);
    let mut stated = project.substances.get(SubstanceId(1)).unwrap().clone();
    let reason = REASON.to_owned();
    stated.hazards = Some(Stated {
        value: vec![Hazard::Toxic],
        reason,
    });
    project.substances = [stated].into_iter().collect();
    let known = Substances::of(&project).find("74-98-6").unwrap();
    assert_eq!(hazards(&known), [Hazard::Flammable, Hazard::Toxic]);
}

#[test]
fn a_statement_of_what_no_table_knows_is_a_blocker() {
    let of = Some("no such thing".to_owned());
    let figures = vec![figure(FigureKind::Lfl, 1.0)];
    let stated = StatedSubstance {
        figures,
        ..StatedSubstance::blank(SubstanceId(1), of)
    };
    let results = run(&stating(stated), &Silent);
    let found = findings(&results, "gas.stated_unknown");
    assert_eq!(found[0].severity, Severity::Blocker);
}

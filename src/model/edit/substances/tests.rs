use crate::model::*;

fn figure(kind: FigureKind, value: f64) -> StatedFigure {
    StatedFigure {
        figure: kind,
        value,
        reason: "data sheet of the supplier, 2024".to_owned(),
    }
}

fn over(figures: &[(FigureKind, f64)]) -> StatedSubstance {
    let figures = figures.iter().map(|(kind, value)| figure(*kind, *value));
    StatedSubstance {
        figures: figures.collect(),
        ..StatedSubstance::blank(SubstanceId(1), Some("74-98-6".to_owned()))
    }
}

fn thinner() -> StatedSubstance {
    StatedSubstance {
        name: "Thinner 12".to_owned(),
        hazards: Some(Stated {
            value: vec![Hazard::Flammable],
            reason: "label".to_owned(),
        }),
        figures: vec![figure(FigureKind::MolarMass, 92.0)],
        ..StatedSubstance::blank(SubstanceId(1), None)
    }
}

fn add(stated: StatedSubstance) -> Result<Project, EditError> {
    let mut project = Project::default();
    project.head.name = "Plant".to_owned();
    let item = Item::Substance(stated);
    apply(&project, &Edit::Add { item })
}

#[track_caller]
fn refused(stated: StatedSubstance, words: &str) {
    let said = add(stated).expect_err("it must be refused").to_string();
    assert!(said.contains(words), "{said}");
}

#[test]
fn figures_of_a_known_substance_and_one_of_the_projects_own_are_taken() {
    let project = add(over(&[(FigureKind::Lfl, 1.5), (FigureKind::Ufl, 10.0)])).unwrap();
    assert_eq!(
        project.substances.get(SubstanceId(1)).unwrap().key(),
        "74-98-6"
    );
    let project = add(thinner()).unwrap();
    assert_eq!(
        project.substances.get(SubstanceId(1)).unwrap().key(),
        "substance-1"
    );
}

#[test]
fn a_project_file_without_statements_still_reads() {
    let project: Project = serde_json::from_str(r#"{"head":{"name":"Plant"}}"#).unwrap();
    assert!(project.substances.is_empty());
    let stated = add(thinner()).unwrap();
    let text = serde_json::to_string(&stated).unwrap();
    assert_eq!(serde_json::from_str::<Project>(&text).unwrap(), stated);
}

#[test]
fn a_figure_that_cannot_be_is_named_with_its_value_and_the_remedy() {
    use FigureKind::{Idlh, Lfl, LongLimit, MolarMass, ShortLimit, Ufl};
    refused(
        over(&[(Lfl, -1.0)]),
        "lower flammable limit of 74-98-6 is -1: type a value from 0.01",
    );
    refused(
        over(&[(MolarMass, 0.0)]),
        "molar mass of 74-98-6 is 0: type a value from 1 to 1000",
    );
    refused(over(&[(Lfl, f64::NAN)]), "is NaN");
    refused(over(&[(Lfl, 5.0), (Lfl, 6.0)]), "stated twice");
    refused(
        over(&[(Lfl, 15.0), (Ufl, 15.0)]),
        "15 %vol: it must lie below the upper flammable limit, which is 15 %vol.",
    );
    refused(
        over(&[(LongLimit, 50.0), (ShortLimit, 20.0)]),
        "must lie below",
    );
    refused(over(&[(ShortLimit, 50.0), (Idlh, 20.0)]), "must lie below");
    assert!(add(over(&[(LongLimit, 20.0), (ShortLimit, 20.0)])).is_ok());
}

#[test]
fn a_reason_is_required_and_kept_short() {
    for (reason, words) in [
        ("  ", "is empty: say where"),
        (&"x".repeat(401), "401 letters"),
    ] {
        let mut stated = over(&[(FigureKind::Lfl, 1.5)]);
        stated.figures[0].reason = reason.to_owned();
        refused(stated, words);
        let mut stated = thinner();
        stated.hazards.as_mut().unwrap().reason = reason.to_owned();
        refused(stated, words);
    }
    let mut stated = over(&[]);
    stated.sensing.push(StatedSensing {
        principle: Principle::Infrared,
        sees: true,
        reason: String::new(),
    });
    refused(stated, "ground of the infrared sensor for");
}

#[test]
fn a_substance_of_the_projects_own_needs_name_mass_and_hazard() {
    refused(
        StatedSubstance {
            name: " ".to_owned(),
            ..thinner()
        },
        "type a name",
    );
    refused(
        StatedSubstance {
            figures: Vec::new(),
            ..thinner()
        },
        "molar mass of Thinner 12",
    );
    refused(
        StatedSubstance {
            hazards: None,
            ..thinner()
        },
        "hazards of Thinner 12",
    );
    let with = |formula: Option<&str>, cas: Option<&str>| StatedSubstance {
        formula: formula.map(str::to_owned),
        cas: cas.map(str::to_owned),
        ..thinner()
    };
    refused(with(Some("c7h8"), None), "write atoms");
    refused(with(None, Some("74-98-7")), "its last digit must check");
    refused(with(None, Some("propane")), "its last digit must check");
    // Propane, toluene, water: numbers as they are registered, from memory.
    for cas in ["74-98-6", "108-88-3", "7732-18-5"] {
        assert!(add(with(Some("C7H8"), Some(cas))).is_ok(), "{cas}");
    }
}

#[test]
fn what_the_tables_say_of_a_known_substance_is_not_stated_beside_its_figures() {
    refused(over(&[]), "state at least one figure");
    refused(
        StatedSubstance {
            name: "Gas".to_owned(),
            ..over(&[(FigureKind::Lfl, 1.5)])
        },
        "the tables say these",
    );
    for key in ["", "mixture-1", "substance-2"] {
        let of = Some(key.to_owned());
        let stated = StatedSubstance {
            of,
            ..over(&[(FigureKind::Lfl, 1.5)])
        };
        assert!(add(stated).is_err(), "{key}");
    }
}

#[test]
fn one_statement_a_substance_and_one_name_each() {
    let project = add(over(&[(FigureKind::Lfl, 1.5)])).unwrap();
    let again = StatedSubstance {
        id: SubstanceId(2),
        ..over(&[(FigureKind::Ufl, 9.0)])
    };
    let item = Item::Substance(again);
    let said = apply(&project, &Edit::Add { item })
        .unwrap_err()
        .to_string();
    assert!(said.contains("74-98-6 twice"), "{said}");
    let project = add(thinner()).unwrap();
    let item = Item::Substance(StatedSubstance {
        id: SubstanceId(2),
        ..thinner()
    });
    let said = apply(&project, &Edit::Add { item })
        .unwrap_err()
        .to_string();
    assert!(said.contains("a name of its own"), "{said}");
}

#[test]
fn a_substance_in_use_cannot_go_and_one_that_is_gone_cannot_be_used() {
    let mut project = add(thinner()).unwrap();
    let ground = Floor {
        id: FloorId(1),
        name: "Ground".to_owned(),
        elevation: crate::units::Metres::new(0.0),
        sheet: None,
    };
    project.floors = [ground].into_iter().collect();
    let text = r#"{"id":1,"floor":1,"name":"spray booth","at":[1,1],"substance":"substance-1"}"#;
    let source: ReleaseSource = serde_json::from_str(text).unwrap();
    let item = Item::Source(source.clone());
    let used = apply(&project, &Edit::Add { item }).unwrap();
    let key = ItemKey::Substance(SubstanceId(1));
    let said = apply(&used, &Edit::Remove { key }).unwrap_err().to_string();
    assert_eq!(
        said,
        "substance Thinner 12 is in use by release source spray booth: choose another substance \
         there first."
    );
    assert!(apply(&project, &Edit::Remove { key }).is_ok());
    let lost = ReleaseSource {
        substance: "substance-9".to_owned(),
        called: None,
        ..source
    };
    let item = Item::Source(lost);
    let said = apply(&project, &Edit::Add { item })
        .unwrap_err()
        .to_string();
    assert!(said.contains("no such substance"), "{said}");
}

#[test]
fn figures_over_those_of_the_tables_can_always_go() {
    let project = add(over(&[(FigureKind::Lfl, 1.5)])).unwrap();
    let key = ItemKey::Substance(SubstanceId(1));
    assert!(
        apply(&project, &Edit::Remove { key })
            .unwrap()
            .substances
            .is_empty()
    );
}

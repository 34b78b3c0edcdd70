//! What a release reads back as, and what its edits refuse.

use super::*;
use crate::model::edit::check;
use crate::model::{Floor, FloorId, Project, ProjectFile, ReleaseSource, SourceId};

fn source(release: Option<Release>) -> ReleaseSource {
    ReleaseSource {
        id: SourceId(1),
        floor: FloorId(1),
        name: "regulator".to_owned(),
        at: [1.0, 1.0].into(),
        height: None,
        substance: "1333-74-0".to_owned(),
        called: None,
        extent: None,
        holding: None,
        release,
    }
}

fn project(release: Release) -> Project {
    let mut project = Project::default();
    project.head.name = "Plant".to_owned();
    project.floors.put(Floor {
        id: FloorId(1),
        name: "Ground".to_owned(),
        elevation: crate::units::Metres::new(0.0),
        sheet: None,
    });
    project.sources.put(source(Some(release)));
    project
}

fn every_kind() -> Vec<Release> {
    vec![
        Release::Flow(KnownFlow {
            rate: Some(1.5),
            per: FlowUnit::KilogramsPerHour,
        }),
        Release::Leak(Leak {
            hole: None,
            joint: Some(Joint::ValveStem),
            bore: Some(15.0),
            pressure: Some(5.0),
            temperature: Some(-20.0),
        }),
        Release::LowPressure(LowPressure {
            rating: Some(70.0),
            bore: None,
            pressure: Some(20.0),
        }),
        Release::Cylinder(Cylinder {
            litres: Some(50.0),
            pressure: Some(200.0),
            contents: None,
            number: Some(4),
            outlet: Outlet::ValveOpened,
            hole: None,
        }),
        Release::Dewar(Dewar {
            litres: Some(25.0),
            loss: DewarLoss::BoilOff,
            boil_off: Some(0.2),
        }),
        Release::Spill(Spill {
            litres: Some(2.5),
            area: None,
            air_speed: Some(0.3),
            temperature: None,
        }),
        Release::Battery(Battery {
            cells: Some(24),
            capacity: Some(200.0),
            cell: Some(Cell::VentedLead),
            charge: Some(ChargeMode::Boost),
        }),
        Release::Charge(RefrigerantCharge {
            mass: Some(12.0),
            ..RefrigerantCharge::default()
        }),
    ]
}

#[test]
fn every_release_travels_in_the_project_file() {
    for release in every_kind() {
        let file = ProjectFile::new(project(release), Default::default());
        assert_eq!(ProjectFile::read(&file.write()).expect("own file"), file);
    }
}

#[test]
fn every_figure_may_be_unknown() {
    for kind in [
        "flow",
        "leak",
        "low_pressure",
        "cylinder",
        "dewar",
        "spill",
        "battery",
        "charge",
    ] {
        let text = format!(r#"{{"kind":"{kind}"}}"#);
        let release: Release = serde_json::from_str(&text).expect("nothing is required");
        assert!(release.figures().is_empty(), "{kind}");
        check(&project(release)).expect("nothing is wrong with what is not known");
    }
}

#[test]
fn a_source_of_an_older_file_has_no_release() {
    let mut json = serde_json::to_value(source(None)).expect("a source is JSON");
    json.as_object_mut().expect("an object").remove("release");
    assert_eq!(
        serde_json::from_value::<ReleaseSource>(json).expect("an older source"),
        source(None)
    );
}

#[test]
fn an_unknown_field_of_a_release_is_refused() {
    let text = r#"{"kind":"leak","size":2}"#;
    let refused = serde_json::from_str::<Release>(text).unwrap_err();
    assert!(refused.to_string().contains("`size`"), "{refused}");
}

#[track_caller]
fn refused(release: Release, expected: &str) {
    let message = check(&project(release)).unwrap_err().to_string();
    assert_eq!(message, expected);
}

#[test]
fn a_figure_beyond_its_limits_is_named_with_value_and_remedy() {
    refused(
        Release::Leak(Leak {
            pressure: Some(-1.0),
            ..Leak::default()
        }),
        "pressure of release source regulator is -1 bar(g): type 0.001 to 1000 bar(g), \
         or leave it unknown.",
    );
    refused(
        Release::Spill(Spill {
            temperature: Some(-300.0),
            ..Spill::default()
        }),
        "temperature of release source regulator is -300 °C: type -100 to 300 °C, \
         or leave it unknown.",
    );
    refused(
        Release::Battery(Battery {
            cells: Some(0),
            ..Battery::default()
        }),
        "number of cells of release source regulator is 0: type 1 to 10000, or leave it unknown.",
    );
    refused(
        Release::Flow(KnownFlow {
            rate: Some(f64::NAN),
            per: FlowUnit::CubicMetresPerHour,
        }),
        "flow of release source regulator is NaN m³/h: type 0.000001 to 100000 m³/h, \
         or leave it unknown.",
    );
}

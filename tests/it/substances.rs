//! One substance asked for by command and by address: the same figures, and plain refusals.

use std::process::{Command, Output};

use serde_json::Value;

use crate::support::App;

fn command(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_brattice"));
    command.arg("substance").args(arguments);
    command.output().unwrap()
}

fn printed(arguments: &[&str]) -> Value {
    let done = command(arguments);
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    serde_json::from_slice(&done.stdout).unwrap()
}

/// Names as people type them, with figures of CoolProp 8.0.0 (kg/m3): R134a at 0 degC and 80 kPa,
/// propane at 50 degC and 101.325 kPa, chlorine at 20 degC.
#[tokio::test]
async fn command_and_address_give_the_same_figures() {
    let app = App::new().await;
    let cases = [
        ("R-134a", "811-97-2", "0", "80", 3.677),
        ("1,1,1,2-TETRAFLUOROETHANE", "811-97-2", "0", "80", 3.677),
        ("hfc-134a", "811-97-2", "0", "80", 3.677),
        ("C3H8", "74-98-6", "50", "101.325", 1.684),
        ("chlorine", "7782-50-5", "20", "101.325", 2.988),
    ];
    for (name, cas, celsius, kilopascals, expected) in cases {
        let conditions = ["--temperature-c", celsius, "--pressure-kpa", kilopascals];
        let told = printed(&[&[name, "--json"], &conditions[..]].concat());
        let path =
            format!("/api/substances/{cas}?temperature_c={celsius}&pressure_kpa={kilopascals}");
        assert_eq!(told, app.get(&path).await.json(), "{name}");
        assert_eq!(told["cas"], cas);
        let density = told["density_kg_per_m3"].as_f64().unwrap();
        assert!((density / expected - 1.0).abs() < 0.01, "{name} {density}");
    }
}

#[tokio::test]
async fn keys_that_others_read_are_there() {
    let told = printed(&["67-64-1", "--json"]);
    for key in [
        "cas",
        "molar_mass_g_per_mol",
        "relative_density",
        "density_kg_per_m3",
        "lfl_percent_volume",
        "ufl_percent_volume",
        "vapour_pressure_pa",
        "band",
        "citations",
    ] {
        assert!(told.get(key).is_some(), "{key}");
    }
    assert_eq!(told["state"], "liquid");
    let text = command(&["carbon", "monoxide"]);
    let text = String::from_utf8(text.stdout).unwrap();
    assert!(text.contains("630-08-0"), "{text}");
}

#[tokio::test]
async fn what_cannot_be_answered_is_refused_in_words() {
    let app = App::new().await;
    let check = |arguments: &[&str], words: &[&str]| {
        let done = command(arguments);
        assert_eq!(done.status.code(), Some(1), "{arguments:?}");
        let said = String::from_utf8(done.stderr).unwrap();
        for word in words {
            assert!(said.contains(word), "{arguments:?}: {said}");
        }
    };
    check(&["unobtainium", "--json"], &["unobtainium", "CAS number"]);
    check(&["C4H10"], &["n-Butane", "Isobutane"]);
    let cold = ["methane", "--temperature-c", "-300"];
    check(&cold, &["emperature_c", "-300", "absolute zero"]);
    check(
        &["methane", "--pressure-kpa", "-5"],
        &["ressure_kpa", "-5", "101.325"],
    );
    check(
        &["methane", "--pressure-kpa", "one"],
        &["\"one\"", "number"],
    );
    for (path, status) in [
        ("/api/substances/unobtainium", 404),
        ("/api/substances/74-82-8?temperature_c=-300", 422),
        ("/api/substances/74-82-8?temperature_c=NaN", 422),
        ("/api/substances/74-82-8?pressure_kpa=1e9", 422),
        ("/api/substances/74-82-8?jurisdiction=mars", 422),
    ] {
        let answer = app.get(path).await;
        assert_eq!(answer.status.as_u16(), status, "{path}");
        let error = &answer.json()["error"];
        assert!(!error["message"].as_str().unwrap().is_empty(), "{path}");
        assert_eq!(error["remedy"].is_string(), status == 422, "{path}");
    }
}

/// The demo's acetone (EN 60079-20-1: LFL 2.5 %vol) with a figure of the project's own.
#[tokio::test]
async fn a_figure_of_the_project_replaces_the_published_one_everywhere_and_is_shown_as_its_own() {
    let app = App::new().await;
    let id = app.project("Own figures").await;
    let base = format!("/projects/{id}");
    let own = [
        ("version", "1"),
        ("of", "acetone"),
        ("lfl", "2.9"),
        ("lfl_reason", "safety data sheet of the supplier"),
    ];
    let answer = app.post_form(&format!("{base}/substances"), &own).await;
    assert_eq!(answer.status.as_u16(), 303, "{}", answer.text());
    let state = app.state(id).await;
    let result = &state["results"]["substances"]["1"];
    let figure = &result["figures"][0];
    assert_eq!(figure["value"]["value"], 2.9);
    assert_eq!(figure["published"]["value"], 2.5);
    assert_eq!(figure["laxer"], true);
    let findings = state["results"]["findings"].as_array().unwrap();
    let warned = findings.iter().any(|one| {
        let message = one["message"].as_str().unwrap();
        one["severity"] == "warning" && message.contains("2.9") && message.contains("2.5")
    });
    assert!(warned, "{findings:?}");
    let page = app.get(&base).await.text();
    assert!(page.contains("yours is less safe") && page.contains("of the supplier"));
    let pdf = app.get(&format!("{base}/documents/project.pdf")).await;
    assert_eq!(pdf.status.as_u16(), 200);
}

#[tokio::test]
async fn figures_of_a_project_that_cannot_be_are_refused_by_their_field() {
    let app = App::new().await;
    let id = app.project("Own figures").await;
    let path = format!("/projects/{id}/substances");
    let refused: [(&[(&str, &str)], &str); 5] = [
        (&[], "choose a substance"),
        (&[("of", "unobtainium"), ("lfl", "2")], "unobtainium"),
        (
            &[("of", "acetone"), ("lfl", "15"), ("lfl_reason", "x")],
            "upper flammable limit",
        ),
        (&[("of", "acetone"), ("lfl", "2")], "lower flammable limit"),
        (&[("name", "Thinner 12")], "Molar mass of Thinner 12"),
    ];
    for (fields, says) in refused {
        let fields = [&[("version", "1")], fields].concat();
        let answer = app.post_form(&path, &fields).await;
        assert_eq!(answer.status.as_u16(), 422, "{fields:?}: {}", answer.text());
        assert!(
            answer.text().contains(says),
            "{fields:?}: {}",
            answer.text()
        );
    }
    assert_eq!(app.state(id).await["version"], 1);
}

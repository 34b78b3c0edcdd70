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

//! The life of a project: made, edited, undone, exported, imported, deleted, over restarts.

use axum::http::StatusCode;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use crate::support::{App, laboratory};

#[tokio::test]
async fn a_new_project_has_one_floor_and_nothing_to_undo() {
    let app = App::new().await;
    let id = app.project("Cold store").await;
    let state = app.state(id).await;
    assert_eq!(state["version"], 1);
    assert_eq!(state["project"]["head"]["name"], "Cold store");
    assert_eq!(state["project"]["floors"][0]["name"], "Ground floor");
    assert_eq!(state["undo"], json!(null));
    assert_eq!(state["last_edit"], json!(null));
}

#[tokio::test]
async fn a_new_project_starts_with_the_catalogue_that_was_chosen() {
    let app = App::new().await.with_demo().await;
    let index = app.get("/projects").await.text();
    assert!(
        index.contains("<option value=\"1\">Invented example catalogue"),
        "{index}"
    );
    let fields = [("name", "Cold store"), ("catalogue_of", "1")];
    let answer = app.post_form("/projects", &fields).await;
    assert_eq!(answer.location(), "/projects/2");
    let catalogue = |state: &serde_json::Value| state["project"]["catalogue"].clone();
    assert_eq!(
        catalogue(&app.state(2).await),
        catalogue(&app.state(1).await)
    );
    let missing = [("name", "Cold store"), ("catalogue_of", "77")];
    let answer = app.post_form("/projects", &missing).await;
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_project_without_a_name_is_refused_with_field_and_remedy() {
    let app = App::new().await;
    let answer = app.post_form("/projects", &[("name", "  ")]).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    let page = answer.text();
    assert!(
        page.contains("Project name is empty: type a name"),
        "{page}"
    );
}

#[tokio::test]
async fn undo_and_redo_survive_a_restart() {
    let app = App::new().await;
    let id = app.project("Cold store").await;
    for slack in [6, 7, 8] {
        let version = app.state(id).await["version"].clone();
        let edit = json!({"do": "set_basis", "key": "slack", "value": slack});
        let answer = app
            .edit(id, &version, edit, &format!("slack {slack}"))
            .await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    }
    let undo = format!("/api/projects/{id}/undo");
    app.post_json(&undo, &json!({"version": 4})).await;
    app.post_json(&undo, &json!({"version": 5})).await;

    let app = app.restart().await;
    let state = app.state(id).await;
    assert_eq!(state["version"], 6, "undo is written into the log, too");
    assert_eq!(state["project"]["basis"]["slack"], 6.0);
    assert_eq!(state["undo"], "slack 6");
    assert_eq!(state["redo"], "slack 7");
    assert_eq!(state["last_edit"], "Undone: slack 7");

    let redo = format!("/api/projects/{id}/redo");
    app.post_json(&redo, &json!({"version": 6})).await;
    let state = app.post_json(&redo, &json!({"version": 7})).await.json();
    assert_eq!(state["project"]["basis"]["slack"], 8.0);
    assert_eq!(state["redo"], json!(null));
    let nothing = app.post_json(&redo, &json!({"version": 8})).await;
    assert_eq!(nothing.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn an_edit_after_undo_starts_a_new_line() {
    let app = App::new().await;
    let id = app.project("Cold store").await;
    let set = |slack: i32| json!({"do": "set_basis", "key": "slack", "value": slack});
    app.edit(id, &json!(1), set(6), "six").await;
    app.post_json(&format!("/api/projects/{id}/undo"), &json!({"version": 2}))
        .await;
    let state = app.edit(id, &json!(3), set(9), "nine").await.json();
    assert_eq!(state["project"]["basis"]["slack"], 9.0);
    assert_eq!(state["redo"], json!(null));
    let state = app
        .post_json(&format!("/api/projects/{id}/undo"), &json!({"version": 4}))
        .await;
    assert_eq!(state.json()["project"]["basis"], json!({}));
}

#[tokio::test]
async fn many_edits_are_undone_one_by_one_across_snapshots() {
    let app = App::new().await;
    let id = app.project("Cold store").await;
    for n in 1..=45 {
        let edit = json!({"do": "set_basis", "key": "slack", "value": f64::from(n) / 2.0});
        let answer = app.edit(id, &json!(n), edit, "slack").await;
        assert_eq!(answer.status, StatusCode::OK);
    }
    let app = app.restart().await;
    for n in (1..45).rev() {
        let version = json!({"version": 46 + (44 - n)});
        let answer = app
            .post_json(&format!("/api/projects/{id}/undo"), &version)
            .await;
        assert_eq!(
            answer.json()["project"]["basis"]["slack"],
            f64::from(n) / 2.0
        );
    }
}

#[tokio::test]
async fn export_import_export_gives_equal_bytes() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let sheet = std::fs::read(
        crate::support::root()
            .join("tests/data/plans/")
            .join(first_plan()),
    );
    let path = format!("/api/projects/{id}/floors/1/sheet");
    let answer = app
        .post_file(&path, &sheet.unwrap(), &[("page", "1")])
        .await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let first = app.get(&format!("/projects/{id}/export")).await;
    assert_eq!(first.status, StatusCode::OK);
    let again = app.import(&first.json()).await;
    let second = app.get(&format!("/projects/{again}/export")).await;
    assert_eq!(first.body, second.body);
    assert!(first.json()["sheets"].as_object().unwrap().len() == 1);
}

/// The project file with another picture under its floor, and the size the floor says it has.
fn with_picture(file: &Value, png: &[u8], (width, height): (u32, u32)) -> Value {
    let digest = Sha256::digest(png);
    let image: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    let mut file = file.clone();
    let sheet = &mut file["project"]["floors"][0]["sheet"];
    sheet["image"] = json!(image);
    (sheet["width_px"], sheet["height_px"]) = (json!(width), json!(height));
    file["sheets"] = json!({image: BASE64.encode(png)});
    file
}

fn png(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    let picture = image::GrayImage::from_pixel(width, height, image::Luma([200]));
    picture
        .write_to(&mut bytes, image::ImageFormat::Png)
        .unwrap();
    bytes.into_inner()
}

#[tokio::test]
async fn pictures_of_a_project_file_are_read_whole_before_they_are_taken() {
    let app = App::new().await;
    let mut file = laboratory();
    file["project"]["floors"][0]["sheet"] = json!({"image": "", "name": "plan", "page": 1,
        "width_px": 1, "height_px": 1});
    let (sound, long) = (png(40, 30), png(6100, 2));
    let cut = &sound[..sound.len() - 20];
    // The header of a PNG says 200 000 by 200 000 pixels (width and height: bytes 16 to 23, W3C PNG
    // section 11.2.1; the checksum over them is wrong as well).
    let mut huge = sound.clone();
    huge[16..24].copy_from_slice(&[0, 3, 13, 64, 0, 3, 13, 64]);
    let cases = [
        (with_picture(&file, cut, (40, 30)), "sheets."),
        (with_picture(&file, &huge, (200_000, 200_000)), "sheets."),
        (with_picture(&file, &long, (6100, 2)), "6000 px a side"),
        (
            with_picture(&file, &sound, (40, 31)),
            "the picture has 40 by 30 px",
        ),
    ];
    for (file, told) in cases {
        let (bytes, path) = (file.to_string(), "/projects/import");
        let answer = app.post_file(path, bytes.as_bytes(), &[]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{told}");
        let page = answer.text();
        assert!(page.contains(told), "{told:?} is not in {page}");
        let calculated = brattice::workflow::calculate(bytes.as_bytes(), false, "tester");
        let message = calculated.unwrap_err().to_string();
        assert!(message.contains(told), "{message}");
    }
    app.import(&with_picture(&file, &sound, (40, 30))).await;
}

fn first_plan() -> String {
    let folder = crate::support::root().join("tests/data/plans");
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".png"))
        .collect();
    names.sort();
    names.remove(0)
}

#[tokio::test]
async fn a_project_is_deleted_only_by_its_name() {
    let app = App::new().await;
    let id = app.project("Cold store").await;
    let path = format!("/projects/{id}/delete");
    let answer = app.post_form(&path, &[("confirm", "warm store")]).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    app.state(id).await;
    let answer = app.post_form(&path, &[("confirm", "Cold store")]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
    assert_eq!(
        app.get(&format!("/projects/{id}")).await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn the_forms_of_the_project_page_make_edits() {
    let app = App::new().await;
    let id = app.project("Cold store").await;
    let base = format!("/projects/{id}");
    let head = [
        ("version", "1"),
        ("name", "Warm store"),
        ("client", "Example client"),
        ("site", ""),
        ("reference", ""),
        ("revision", "P2"),
        ("jurisdiction", "us"),
        ("units", "us_customary"),
    ];
    let answer = app.post_form(&format!("{base}/head"), &head).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    let basis = [("version", "2"), ("key", "slack"), ("value", "7,5")];
    app.post_form(&format!("{base}/basis"), &basis).await;
    let floor = [
        ("version", "3"),
        ("name", "First floor"),
        ("elevation", "3.6"),
    ];
    app.post_form(&format!("{base}/floors"), &floor).await;
    let rename = [
        ("version", "4"),
        ("name", "Upper floor"),
        ("elevation", "3.6"),
    ];
    app.post_form(&format!("{base}/floors/2"), &rename).await;
    let state = app.state(id).await;
    assert_eq!(state["project"]["head"]["name"], "Warm store");
    assert_eq!(state["project"]["head"]["units"], "us_customary");
    assert_eq!(state["project"]["basis"]["slack"], 7.5);
    assert_eq!(state["project"]["floors"][1]["name"], "Upper floor");
    assert_eq!(state["last_edit"], "First floor is now Upper floor");
    app.post_form(
        &format!("{base}/basis"),
        &[("version", "5"), ("key", "slack"), ("back", "1")],
    )
    .await;
    app.post_form(&format!("{base}/floors/2/remove"), &[("version", "6")])
        .await;
    let state = app.state(id).await;
    assert_eq!(state["project"]["basis"], json!({}));
    assert_eq!(state["project"]["floors"].as_array().unwrap().len(), 1);
}

#[tokio::test]
async fn a_catalogue_is_taken_and_given_back() {
    let app = App::new().await;
    let id = app.project("Cold store").await;
    let catalogue = json!({"name": "invented parts", "currency": "€", "items": [
        {"part": "C-15", "description": "Two-core cable 1.5 mm²", "price": 1.9,
         "kind": {"is": "cable", "cross_section_mm2": 1.5, "class": "fixed"}}]});
    let path = format!("/projects/{id}/catalogue");
    let bytes = catalogue.to_string();
    let answer = app
        .post_file(&path, bytes.as_bytes(), &[("version", "1")])
        .await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    let given = app.get(&format!("/projects/{id}/catalogue.json")).await;
    assert_eq!(given.json(), catalogue);
    let answer = app.post_file(&path, b"not JSON", &[("version", "2")]).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
}

//! The editor's routes: state, edits, previews, searches, sheets; bad input changes nothing.

use axum::http::StatusCode;
use serde_json::{Value, json};

use crate::support::{Answer, App, laboratory};

fn room(outline: Value) -> Value {
    json!({"do": "add", "item": {"kind": "room", "value": {
        "id": 2, "floor": 1, "number": "G.03", "name": "Store", "room_use": "store",
        "outline": outline}}})
}

fn check_refused(answer: &Answer, status: StatusCode, field: &str) {
    let error = answer.json()["error"].clone();
    assert_eq!(answer.status, status, "{error}");
    let told = error["field"].as_str().unwrap_or("");
    assert!(told.contains(field), "field {told:?} of {error}");
    let message = error["message"].as_str().unwrap();
    assert!(message.len() > 20 && message.ends_with('.'), "{message:?}");
    assert!(
        error["remedy"]
            .as_str()
            .is_some_and(|remedy| remedy.len() > 5),
        "{error}"
    );
}

#[tokio::test]
async fn a_stale_version_is_a_conflict_and_changes_nothing() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let edit = json!({"do": "set_basis", "key": "slack", "value": 7});
    app.edit(id, &json!(1), edit.clone(), "slack").await;
    let answer = app.edit(id, &json!(1), edit, "slack").await;
    check_refused(&answer, StatusCode::CONFLICT, "version");
    assert!(
        answer.json()["error"]["message"]
            .as_str()
            .unwrap()
            .contains("Reload")
    );
    let undo = app
        .post_json(&format!("/api/projects/{id}/undo"), &json!({"version": 1}))
        .await;
    assert_eq!(undo.status, StatusCode::CONFLICT);
    assert_eq!(app.state(id).await["version"], 2);
}

#[tokio::test]
async fn bad_edits_name_field_value_and_remedy_and_change_nothing() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let before = app.state(id).await;
    let floor = |scale: Value| {
        let sheet = json!({"image": "a", "name": "plan", "page": 1, "width_px": 100,
            "height_px": 100, "scale": scale});
        let value = json!({"id": 1, "name": "Ground floor", "elevation": 0.0, "sheet": sheet});
        json!({"do": "change", "item": {"kind": "floor", "value": value}})
    };
    let crossing = room(json!([[0.0, 8.0], [4.0, 12.0], [4.0, 8.0], [0.0, 12.0]]));
    let cases = [
        (crossing, "outline"),
        (room(json!([[0.0, 8.0], [4.0, 8.0]])), "outline"),
        (
            floor(json!({"a": [0.0, 0.0], "b": [50.0, 0.0], "length": 0.0})),
            "scale",
        ),
        (
            floor(json!({"a": [9.0, 9.0], "b": [9.0, 9.0], "length": 5.0})),
            "scale",
        ),
        (
            json!({"do": "set_basis", "key": "slack", "value": 400}),
            "Slack",
        ),
        (
            json!({"do": "set_basis", "key": "no_such", "value": 4}),
            "basis",
        ),
    ];
    for (edit, field) in cases {
        let answer = app.edit(id, &before["version"], edit, "bad").await;
        check_refused(&answer, StatusCode::UNPROCESSABLE_ENTITY, field);
    }
    assert_eq!(app.state(id).await, before);
}

#[tokio::test]
async fn a_request_that_is_no_edit_is_refused() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    for body in [
        json!({}),
        json!([]),
        json!({"version": 1, "edit": {"do": "burn"}, "label": ""}),
    ] {
        let answer = app
            .post_json(&format!("/api/projects/{id}/edits"), &body)
            .await;
        check_refused(&answer, StatusCode::UNPROCESSABLE_ENTITY, "body");
    }
    let missing = json!({"do": "remove", "key": {"kind": "room", "id": 77}});
    let answer = app.edit(id, &json!(1), missing, "gone").await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(app.state(id).await["version"], 1);
}

#[tokio::test]
async fn bad_sheets_are_refused_and_change_nothing() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let path = format!("/api/projects/{id}/floors/1/sheet");
    let plan = app
        .post_file(&path, b"these are no pixels", &[("page", "1")])
        .await;
    check_refused(&plan, StatusCode::UNPROCESSABLE_ENTITY, "file");
    let empty = app.post_file(&path, b"", &[("page", "1")]).await;
    assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
    let page = app.post_file(&path, b"x", &[("page", "first")]).await;
    check_refused(&page, StatusCode::UNPROCESSABLE_ENTITY, "page");
    let large = vec![0u8; 64 * 1024 * 1024 + 1];
    let answer = app.post_file(&path, &large, &[("page", "1")]).await;
    check_refused(&answer, StatusCode::PAYLOAD_TOO_LARGE, "file");
    let elsewhere = format!("/api/projects/{id}/floors/9/sheet");
    let answer = app.post_file(&elsewhere, b"x", &[("page", "1")]).await;
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
    assert_eq!(app.state(id).await["version"], 1);
}

#[tokio::test]
async fn bad_project_files_are_refused_and_make_no_project() {
    let app = App::new().await;
    let changed = |key: &str, value: Value| {
        let mut file = laboratory();
        file[key] = value;
        file.to_string()
    };
    let mut stranger = laboratory();
    stranger["project"]["rooms"][0]["colour"] = json!("red");
    let mut crossed = laboratory();
    crossed["project"]["rooms"][0]["outline"] = json!([[0, 0], [4, 4], [4, 0], [0, 4]]);
    let cases = [
        (changed("version", json!(2)), "`version` is 2"),
        (changed("format", json!("other")), "brattice-project"),
        ("{\"format\":".to_owned(), "not JSON"),
        (stranger.to_string(), "colour"),
        (crossed.to_string(), "crossed by itself"),
    ];
    for (file, told) in cases {
        let answer = app
            .post_file("/projects/import", file.as_bytes(), &[])
            .await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        let page = answer.text();
        assert!(page.contains(told), "{told:?} is not in {page}");
    }
    let list = app.get("/projects").await.text();
    assert!(list.contains("No project yet"), "{list}");
}

#[tokio::test]
async fn an_unknown_substance_is_refused_and_changes_nothing() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let before = app.state(id).await;
    let mut source = laboratory()["project"]["sources"][0].clone();
    source["substance"] = json!("unobtainium");
    let change = json!({"do": "change", "item": {"kind": "source", "value": source}});
    let detector = json!({"id": 1, "tag": "AT-101", "floor": 1, "at": [2.0, 0.1], "height": 2.7,
        "watches": "unobtainium", "hazard": "flammable", "band": "high", "origin": "by_hand"});
    let add = json!({"do": "add", "item": {"kind": "detector", "value": detector}});
    for (edit, field) in [
        (change, "substance of release source hydrogen regulator"),
        (add, "substance of detector AT-101"),
    ] {
        let answer = app.edit(id, &json!(1), edit.clone(), "unknown").await;
        check_refused(&answer, StatusCode::UNPROCESSABLE_ENTITY, field);
        let error = answer.json()["error"].clone();
        assert!(
            error["value"].as_str().unwrap().contains("unobtainium"),
            "{error}"
        );
        assert!(
            error["remedy"]
                .as_str()
                .unwrap()
                .contains("choose one from the list")
        );
        let path = format!("/api/projects/{id}/preview");
        let answer = app
            .post_json(&path, &json!({"version": 1, "edit": edit}))
            .await;
        check_refused(&answer, StatusCode::UNPROCESSABLE_ENTITY, field);
    }
    assert_eq!(app.state(id).await, before);
    let mut file = laboratory();
    file["project"]["sources"][0]["substance"] = json!("unobtainium");
    let file = file.to_string();
    let answer = app
        .post_file("/projects/import", file.as_bytes(), &[])
        .await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.text().contains("unobtainium"), "{}", answer.text());
}

#[tokio::test]
async fn a_preview_answers_and_writes_nothing() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let detector = json!({"id": 1, "tag": "AT-101", "floor": 1, "at": [2.0, 0.1], "height": 2.7,
        "watches": "1333-74-0", "hazard": "flammable", "band": "high", "origin": "by_hand"});
    let add = json!({"do": "add", "item": {"kind": "detector", "value": detector}});
    let body = json!({"version": 1, "edit": add});
    let preview = app
        .post_json(&format!("/api/projects/{id}/preview"), &body)
        .await;
    assert_eq!(preview.status, StatusCode::OK, "{}", preview.text());
    let preview = preview.json();
    assert!(
        preview["detectors"]["1"]["height"]["value"].is_number(),
        "{preview}"
    );
    assert!(
        preview["demands"]
            .as_array()
            .is_some_and(|demands| !demands.is_empty())
    );
    assert_eq!(app.state(id).await["version"], 1);
}

#[tokio::test]
async fn a_search_runs_and_its_result_is_only_offered() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let wish = json!({"version": 1, "what": "detectors", "floor": 1, "room": null});
    let answer = app
        .post_json(&format!("/api/projects/{id}/suggest"), &wish)
        .await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let job = answer.json()["job"].as_str().unwrap().to_owned();
    let report = loop {
        let report = app.get(&format!("/api/jobs/{job}")).await.json();
        if report["state"] != "running" {
            break report;
        }
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    };
    assert_eq!(report["state"], "done", "{report}");
    let before = app.state(id).await;
    assert_eq!(before["version"], 1);
    let edit = report["suggestion"]["edit"].clone();
    let accepted = app
        .edit(id, &report["version"], edit, "suggested detectors")
        .await;
    assert_eq!(accepted.status, StatusCode::OK, "{}", accepted.text());
    let after = accepted.json();
    assert!(!after["project"]["detectors"].as_array().unwrap().is_empty());
    for (of, told) in [("price", "price_change"), ("cable", "cable_change_m")] {
        let total = |state: &Value| state["results"]["take_off"]["totals"][of]["value"].as_f64();
        let change = total(&after).unwrap() - total(&before).unwrap();
        assert_eq!(report["suggestion"][told].as_f64(), Some(change), "{told}");
    }
    assert_eq!(
        app.get("/api/jobs/none").await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn substances_and_basis_can_be_chosen_from() {
    let app = App::new().await;
    let found = app.get("/api/substances?q=hydrogen").await.json();
    let first = &found.as_array().unwrap()[0];
    assert_eq!(first["key"], "1333-74-0");
    assert_eq!(first["hazards"], json!(["flammable"]));
    let basis = app.get("/api/basis").await.json();
    let slack = basis
        .as_array()
        .unwrap()
        .iter()
        .find(|item| item["key"] == "slack")
        .unwrap();
    assert_eq!(slack["unit"], "%");
    assert!(slack["citation"].as_str().is_some());
}

#[tokio::test]
async fn an_air_terminal_is_placed_changed_undone_and_asks_for_a_detector() {
    let app = App::new().await;
    let mut file = laboratory();
    file["project"]["rooms"][0]["air_changes"] = json!(8.0);
    let id = app.import(&file).await;
    let terminal = |kind: &str, flow: Value| {
        json!({"kind": "terminal", "value": {"id": 1, "floor": 1, "kind": kind, "at": [2.0, 0.1],
            "height": null, "flow": flow}})
    };
    let add = json!({"do": "add", "item": terminal("extract", Value::Null)});
    let added = app.edit(id, &json!(1), add, "extract grille placed").await;
    assert_eq!(added.status, StatusCode::OK, "{}", added.text());
    let asked = |state: &Value| {
        let demands = state["results"]["demands"].as_array().unwrap().iter();
        let at_grille = demands.filter(|one| one["kind"]["kind"] == "terminal");
        at_grille.count()
    };
    assert!(asked(&added.json()) >= 1);
    let change = json!({"do": "change", "item": terminal("supply", json!(250.0))});
    let changed = app.edit(id, &json!(2), change, "supply").await.json();
    assert_eq!(changed["project"]["terminals"][0]["kind"], "supply");
    assert_eq!(changed["project"]["terminals"][0]["flow"], 250.0);
    assert_eq!(asked(&changed), 0);
    let wrong = json!({"do": "change", "item": terminal("supply", json!(-3.0))});
    let refused = app.edit(id, &json!(3), wrong, "wrong").await;
    check_refused(&refused, StatusCode::UNPROCESSABLE_ENTITY, "flow");
    let undo = app
        .post_json(&format!("/api/projects/{id}/undo"), &json!({"version": 3}))
        .await;
    assert_eq!(undo.status, StatusCode::OK, "{}", undo.text());
    assert_eq!(asked(&app.state(id).await), asked(&added.json()));
    let remove = json!({"do": "remove", "key": {"kind": "terminal", "id": 1}});
    let gone = app.edit(id, &json!(4), remove, "removed").await.json();
    assert_eq!(gone["project"]["terminals"], json!([]));
}

#[tokio::test]
async fn a_cover_is_compared_on_demand_and_a_wrong_question_is_answered_in_words() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let route = format!("/api/projects/{id}/rooms/1/comparison");
    let asked = |query: &str| format!("{route}?{query}");
    let answer = app.get(&asked("measures=1333-74-0&band=high")).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let found = answer.json();
    assert_eq!(found["version"], app.state(id).await["version"]);
    assert_eq!(found["proposed"]["detectors"]["value"], 1.0, "{found}");
    assert_eq!(found["fewer"]["detectors"]["value"], 0.0);
    assert_eq!(found["fewer"]["lost"][0]["title"], "hydrogen regulator");
    assert_eq!(found["votes"][0]["detectors"]["value"], 2.0);
    assert!(found["votes"][1]["says"].as_str().unwrap().contains("2oo3"));
    let grounds = found["grounds"].as_array().unwrap();
    let cited = |ground: &Value| !ground["citation"].as_str().unwrap().is_empty();
    assert!(
        grounds.len() > 3 && grounds.iter().all(cited),
        "{grounds:?}"
    );

    let answer = app.get(&asked("measures=1333-74-0&band=upper")).await;
    check_refused(&answer, StatusCode::UNPROCESSABLE_ENTITY, "band");
    let answer = app.get(&asked("measures=1333-74-0")).await;
    check_refused(&answer, StatusCode::UNPROCESSABLE_ENTITY, "address");
    for gone in [
        asked("measures=7664-41-7&band=high"),
        asked("measures=%27%3B%00&band=low"),
        format!("/api/projects/{id}/rooms/77/comparison?measures=1333-74-0&band=high"),
        "/api/projects/99/rooms/1/comparison?measures=1333-74-0&band=high".to_owned(),
        format!("/api/projects/{id}/rooms/x/comparison?measures=1333-74-0&band=high"),
    ] {
        let answer = app.get(&gone).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{gone}");
        let message = answer.json()["error"]["message"].clone();
        assert!(
            message.as_str().is_some_and(|one| one.len() > 20),
            "{message}"
        );
    }
}

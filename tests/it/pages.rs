//! Every page answers with a title, and no link on it leads nowhere.

use std::collections::BTreeSet;

use axum::http::StatusCode;
use scraper::{Html, Selector};

use crate::support::{App, laboratory};

/// Addresses of a page: links, pictures, sheets of style, scripts, forms that only ask.
fn addresses(page: &str) -> BTreeSet<String> {
    let html = Html::parse_document(page);
    let mut found = BTreeSet::new();
    for (selector, attribute) in [
        ("a[href]", "href"),
        ("link[href]", "href"),
        ("img[src]", "src"),
        ("script[src]", "src"),
    ] {
        for element in html.select(&Selector::parse(selector).unwrap()) {
            let address = element.attr(attribute).unwrap();
            let address = address.split('#').next().unwrap();
            if address.starts_with('/') {
                found.insert(address.to_owned());
            }
        }
    }
    found
}

fn title(page: &str) -> String {
    let html = Html::parse_document(page);
    let title = html
        .select(&Selector::parse("title").unwrap())
        .next()
        .unwrap();
    title.text().collect::<String>().trim().to_owned()
}

/// Follows every address reachable from `start`; gives the pages seen.
async fn crawl(app: &App, start: &str) -> BTreeSet<String> {
    let mut seen = BTreeSet::new();
    let mut waiting = vec![start.to_owned()];
    while let Some(address) = waiting.pop() {
        // The editor's module is tested in a browser.
        if !seen.insert(address.clone()) || address.ends_with("/js/editor.js") {
            continue;
        }
        let answer = app.get(&address).await;
        assert_eq!(answer.status, StatusCode::OK, "{address}");
        let kind = answer.headers["content-type"].to_str().unwrap().to_owned();
        if kind.starts_with("text/html") && !address.contains("/why/") {
            let page = answer.text();
            assert!(
                title(&page).ends_with("- Brattice"),
                "{address}: {:?}",
                title(&page)
            );
            assert!(
                title(&page).len() > "- Brattice".len() + 2,
                "{address} has a title"
            );
            waiting.extend(addresses(&page));
        } else if address.contains("/why/") {
            waiting.extend(addresses(&answer.text()));
        }
    }
    seen
}

#[tokio::test]
async fn every_page_of_an_empty_project_answers_and_links_lead_somewhere() {
    let app = App::new().await;
    let id = app.project("Cold store").await;
    let seen = crawl(&app, "/projects").await;
    for page in [
        "",
        "/floors/1",
        "/wiring",
        "/schedules",
        "/findings",
        "/documents",
    ] {
        let address = format!("/projects/{id}{page}");
        assert!(seen.contains(&address), "{address} is not linked");
    }
    assert!(seen.contains("/help"));
}

#[tokio::test]
async fn every_page_of_a_laboratory_answers_and_every_figure_has_a_reason() {
    let app = App::new().await;
    app.import(&laboratory()).await;
    crawl(&app, "/projects").await;
}

#[tokio::test]
async fn every_page_of_the_example_answers_and_every_figure_has_a_reason() {
    let app = App::new().await.with_demo().await;
    let seen = crawl(&app, "/projects").await;
    assert!(seen.contains("/projects"));
}

#[tokio::test]
async fn names_are_escaped_and_the_caution_stands_on_every_page() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    for page in ["", "/wiring", "/schedules", "/findings", "/documents"] {
        let text = app.get(&format!("/projects/{id}{page}")).await.text();
        assert!(!text.contains("<one>"), "{page}");
        assert!(text.contains("The app advises. Local codes, the hazardous-area classification"));
    }
}

#[tokio::test]
async fn schedules_have_their_views() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    for view in ["detectors", "cables", "materials", "questions"] {
        let answer = app
            .get(&format!("/projects/{id}/schedules?view={view}"))
            .await;
        assert_eq!(answer.status, StatusCode::OK);
    }
    let answer = app
        .get(&format!("/projects/{id}/schedules?view=other"))
        .await;
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_reason_is_a_piece_for_the_dialog_and_a_page_by_itself() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let piece = app.get(&format!("/projects/{id}/why/0?v=1")).await.text();
    assert!(
        piece.contains("class=\"citation\"") && !piece.contains("<html"),
        "{piece}"
    );
    let request = crate::support::request("GET", &format!("/projects/{id}/why/0?v=1"));
    let request = request.header("sec-fetch-dest", "document");
    let page = app
        .send(request.body(axum::body::Body::empty()).unwrap())
        .await
        .text();
    assert!(page.contains("<html") && page.contains("class=\"citation\""));
    let answer = app.get(&format!("/projects/{id}/why/9999999")).await;
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn documents_are_files_with_names() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let magic: [(&str, &[u8]); 6] = [
        ("detector-schedule.csv", b"tag"),
        ("cable-schedule.csv", b"cable"),
        ("bill-of-materials.csv", b""),
        ("schedules.xlsx", b"PK"),
        ("covers.json", b"[{\"format\":\"cover-1\""),
        ("project.pdf", b"%PDF-"),
    ];
    for (name, begins) in magic {
        let answer = app.get(&format!("/projects/{id}/documents/{name}")).await;
        assert_eq!(answer.status, StatusCode::OK, "{name}");
        let start = answer
            .body
            .strip_prefix(b"\xef\xbb\xbf")
            .unwrap_or(&answer.body);
        assert!(start.starts_with(begins), "{name}");
        let disposition = answer.headers["content-disposition"].to_str().unwrap();
        assert!(
            disposition.contains(&format!("laboratory-one-two-{name}")),
            "{disposition}"
        );
    }
}

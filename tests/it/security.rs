//! The door: only this computer's own pages get in, and answers say what a browser may do.

use axum::body::Body;
use axum::http::{Request, StatusCode, header};

use crate::support::{App, request};

#[tokio::test]
async fn a_strange_host_is_refused() {
    let app = App::new().await;
    for host in [
        "example.com",
        "example.com:7420",
        "127.0.0.1.example.com",
        "",
    ] {
        let request = Request::builder()
            .uri("/projects")
            .header(header::HOST, host);
        let answer = app.send(request.body(Body::empty()).unwrap()).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{host:?}");
        assert!(answer.text().contains("answers only on this computer"));
    }
    let request = Request::builder()
        .uri("/projects")
        .body(Body::empty())
        .unwrap();
    assert_eq!(app.send(request).await.status, StatusCode::FORBIDDEN);
    for host in ["localhost:1234", "127.0.0.1:7420", "[::1]:7420"] {
        let request = Request::builder()
            .uri("/projects")
            .header(header::HOST, host);
        let answer = app.send(request.body(Body::empty()).unwrap()).await;
        assert_eq!(answer.status, StatusCode::OK, "{host:?}");
    }
}

#[tokio::test]
async fn a_change_asked_for_by_another_site_is_refused() {
    let app = App::new().await;
    let cases = [
        ("origin", "http://example.com"),
        ("origin", "null"),
        ("origin", "http://localhost:9999"),
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-site", "same-site"),
    ];
    for (name, value) in cases {
        let request = request("POST", "/projects")
            .header(name, value)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        let answer = app
            .send(request.body(Body::from("name=planted")).unwrap())
            .await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{name}: {value}");
    }
    assert!(!app.get("/projects").await.text().contains("planted"));
    let own = request("POST", "/projects")
        .header("origin", "http://localhost:7420")
        .header("sec-fetch-site", "same-origin")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
    let answer = app.send(own.body(Body::from("name=own")).unwrap()).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn every_answer_is_marked() {
    let app = App::new().await;
    for path in ["/projects", "/nothing", "/api/nothing", "/api/basis"] {
        let answer = app.get(path).await;
        let policy = answer.headers["content-security-policy"].to_str().unwrap();
        assert!(
            policy.contains("default-src 'self'") && !policy.contains("unsafe"),
            "{path}"
        );
        assert_eq!(
            answer.headers["x-content-type-options"], "nosniff",
            "{path}"
        );
        // What was true before an edit must not come back with the browser's Back.
        assert_eq!(answer.headers["cache-control"], "no-store", "{path}");
    }
}

#[tokio::test]
async fn pages_hold_no_script_or_style_of_their_own() {
    let app = App::new().await;
    app.project("Cold store").await;
    for path in [
        "/projects",
        "/projects/1",
        "/projects/1/floors/1",
        "/projects/1/wiring",
        "/help",
    ] {
        let page = app.get(path).await.text();
        assert!(
            !page.contains(" style=\"") && !page.contains(" onclick="),
            "{path}"
        );
        assert!(
            !page.contains("<style") && !page.contains("<script>"),
            "{path}"
        );
    }
}

#[tokio::test]
async fn odd_requests_never_break_the_server() {
    let app = App::new().await;
    let id = app.project("Cold store").await;
    let paths = [
        "/projects/99999999999999999999999".to_owned(),
        "/projects/-1".to_owned(),
        "/projects/x".to_owned(),
        format!("/projects/{id}/floors/-1"),
        format!("/projects/{id}/floors/1/thumbnail.svg/x"),
        format!("/projects/{id}/sheets/..%2F..%2Fetc%2Fpasswd"),
        format!("/projects/{id}/documents/%00"),
        format!("/projects/{id}/why/1?v=x"),
        "/static/x/../../Cargo.toml".to_owned(),
        "/static/x/%2e%2e/Cargo.toml".to_owned(),
        "/api/projects/%ff".to_owned(),
        "/api/substances?q=%ff%fe".to_owned(),
    ];
    for path in paths {
        let answer = app.get(&path).await;
        assert!(answer.status.as_u16() < 500, "{path}: {}", answer.status);
    }
    let answer = app
        .send(request("DELETE", "/projects").body(Body::empty()).unwrap())
        .await;
    assert_eq!(answer.status, StatusCode::METHOD_NOT_ALLOWED);
    assert!(answer.text().contains("does not take DELETE"));
}

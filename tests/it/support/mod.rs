//! The app over a database in a folder of its own, driven without a socket.

#![allow(clippy::disallowed_methods, reason = "tests read and write files")]

use std::path::{Path, PathBuf};

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Request, StatusCode, header};
use brattice::store::Store;
use brattice::web;
use brattice::workflow::Workflow;
use http_body_util::BodyExt as _;
use serde_json::{Value, json};
use tower::ServiceExt as _;

/// An app, and the folder its database lies in.
pub struct App {
    folder: tempfile::TempDir,
    workflow: Workflow,
    router: Router,
}

/// What the app answered.
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub body: Vec<u8>,
}

impl App {
    pub async fn new() -> App {
        let folder = tempfile::tempdir().unwrap();
        let workflow = open(folder.path()).await;
        let router = web::app(workflow.clone());
        App {
            folder,
            workflow,
            router,
        }
    }

    /// The same database, opened by a program started anew.
    pub async fn restart(self) -> App {
        self.workflow.close().await;
        let workflow = open(self.folder.path()).await;
        let router = web::app(workflow.clone());
        App {
            folder: self.folder,
            workflow,
            router,
        }
    }

    /// Fills a new database as the first start does.
    pub async fn with_demo(self) -> App {
        self.workflow.ensure_demo().await.unwrap();
        self
    }

    pub async fn send(&self, request: Request<Body>) -> Answer {
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        Answer {
            status: parts.status,
            headers: parts.headers,
            body: body.collect().await.unwrap().to_bytes().to_vec(),
        }
    }

    pub async fn get(&self, path: &str) -> Answer {
        self.send(request("GET", path).body(Body::empty()).unwrap())
            .await
    }

    pub async fn post_json(&self, path: &str, body: &Value) -> Answer {
        let request = request("POST", path).header(header::CONTENT_TYPE, "application/json");
        self.send(request.body(Body::from(body.to_string())).unwrap())
            .await
    }

    pub async fn post_form(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let coded: Vec<String> = fields
            .iter()
            .map(|(k, v)| format!("{k}={}", coded(v)))
            .collect();
        let kind = "application/x-www-form-urlencoded";
        let request = request("POST", path).header(header::CONTENT_TYPE, kind);
        self.send(request.body(Body::from(coded.join("&"))).unwrap())
            .await
    }

    /// Sends a form with a file and other fields.
    pub async fn post_file(&self, path: &str, file: &[u8], fields: &[(&str, &str)]) -> Answer {
        let mut body = Vec::new();
        for (name, value) in fields {
            let part = format!(
                "--limit\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n"
            );
            body.extend_from_slice(part.as_bytes());
        }
        body.extend_from_slice(
            b"--limit\r\nContent-Disposition: form-data; name=\"file\"; filename=\"plan.bin\"\r\n\
              Content-Type: application/octet-stream\r\n\r\n",
        );
        body.extend_from_slice(file);
        body.extend_from_slice(b"\r\n--limit--\r\n");
        let kind = "multipart/form-data; boundary=limit";
        let request = request("POST", path).header(header::CONTENT_TYPE, kind);
        self.send(request.body(Body::from(body)).unwrap()).await
    }

    /// Makes an empty project; gives its number.
    pub async fn project(&self, name: &str) -> i64 {
        let answer = self.post_form("/projects", &[("name", name)]).await;
        answer.project_id()
    }

    /// Imports a project file; gives the project's number.
    pub async fn import(&self, file: &Value) -> i64 {
        let answer = self
            .post_file("/projects/import", file.to_string().as_bytes(), &[])
            .await;
        answer.project_id()
    }

    pub async fn state(&self, id: i64) -> Value {
        let answer = self.get(&format!("/api/projects/{id}")).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
        answer.json()
    }

    pub async fn edit(&self, id: i64, version: &Value, edit: Value, label: &str) -> Answer {
        let body = json!({"version": version, "edit": edit, "label": label});
        self.post_json(&format!("/api/projects/{id}/edits"), &body)
            .await
    }
}

impl Answer {
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|_| panic!("no JSON: {}", self.text()))
    }

    pub fn location(&self) -> &str {
        self.headers
            .get(header::LOCATION)
            .map_or("", |value| value.to_str().unwrap())
    }

    fn project_id(&self) -> i64 {
        assert_eq!(self.status, StatusCode::SEE_OTHER, "{}", self.text());
        self.location()
            .strip_prefix("/projects/")
            .unwrap()
            .parse()
            .unwrap()
    }
}

/// A request as a browser on this computer sends it.
pub fn request(method: &str, path: &str) -> axum::http::request::Builder {
    Request::builder()
        .method(method)
        .uri(path)
        .header(header::HOST, "localhost:7420")
}

/// A project file with a laboratory, a hydrogen source and no detector.
pub fn laboratory() -> Value {
    json!({
        "format": "brattice-project", "version": 1,
        "project": {
            "head": {"name": "Laboratory <one> & two"},
            "floors": [{"id": 1, "name": "Ground floor", "elevation": 0.0}],
            "rooms": [{"id": 1, "floor": 1, "number": "G.02", "name": "Gas laboratory",
                       "room_use": "laboratory", "ceiling": 3.0,
                       "outline": [[0.0, 0.0], [7.0, 0.0], [7.0, 6.0], [0.0, 6.0]]}],
            "sources": [{"id": 1, "floor": 1, "name": "hydrogen regulator", "at": [2.0, 1.0],
                         "height": 1.2, "substance": "1333-74-0", "holding": "gas"}]
        }
    })
}

async fn open(folder: &Path) -> Workflow {
    let store = Store::open(&folder.join("brattice.sqlite")).await.unwrap();
    Workflow::new(store, "tester")
}

fn coded(text: &str) -> String {
    let code = |byte: u8| match byte {
        b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' => {
            char::from(byte).to_string()
        }
        _ => format!("%{byte:02X}"),
    };
    text.bytes().map(code).collect()
}

/// The folder of this crate.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

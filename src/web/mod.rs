//! The local web server: pages for people, JSON for the editor. One file per page or resource.
//!
//! It holds no engineering and no state but the workshop it is given.

mod error;
mod assets;
mod layout;
mod guard;
mod extract;
mod api;
mod words;
mod figures;
mod diagram;
mod pages;

use std::any::Any;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware::from_fn;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{delete, get, post};
use tower_http::catch_panic::CatchPanicLayer;

use crate::workflow::Workflow;
use error::WebError;

/// A file and the form around it, bytes.
const FILE_BODY: usize = (extract::FILE_MIB + 1) * 1024 * 1024;

/// An edit, at most: a room's outline, a catalogue, a suggestion for a campus.
const EDIT_BODY: usize = 16 * 1024 * 1024;

/// The whole site.
pub fn app(workflow: Workflow) -> Router {
    Router::new()
        .route("/", get(|| async { Redirect::to("/projects") }))
        .route("/favicon.ico", get(assets::favicon))
        .route("/static/{build}/{*path}", get(assets::get))
        .merge(api_routes())
        .merge(pages::routes(FILE_BODY))
        .fallback(|| async { WebError::not_found() })
        .with_state(workflow)
        .layer(CatchPanicLayer::custom(caught))
        .layer(from_fn(guard::door))
        .layer(from_fn(error::render))
        .layer(from_fn(guard::mark))
}

fn api_routes() -> Router<Workflow> {
    Router::new()
        .route("/api/projects/{id}", get(api::state::get))
        .route("/api/projects/{id}/edits", post(api::edits::edit))
        .route("/api/projects/{id}/undo", post(api::edits::undo))
        .route("/api/projects/{id}/redo", post(api::edits::redo))
        .route("/api/projects/{id}/preview", post(api::edits::preview))
        .route("/api/projects/{id}/suggest", post(api::jobs::start))
        .route(
            "/api/projects/{id}/floors/{floor}/labels",
            get(api::labels::get),
        )
        .route(
            "/api/projects/{id}/detectors/{detector}/distances",
            get(api::distances::get),
        )
        .route(
            "/api/projects/{id}/rooms/{room}/comparison",
            get(api::comparison::get),
        )
        .route("/api/jobs/{job}", get(api::jobs::get))
        .route("/api/jobs/{job}", delete(api::jobs::cancel))
        .route(
            "/api/jobs/{job}/floors/{floor}/labels",
            get(api::labels::suggested),
        )
        .route("/api/substances", get(api::reference::substances))
        .route("/api/substances/{name}", get(api::reference::substance))
        .route("/api/basis", get(api::reference::basis))
        .layer(DefaultBodyLimit::max(EDIT_BODY))
        .route(
            "/api/projects/{id}/floors/{floor}/sheet",
            post(api::sheet::put).layer(DefaultBodyLimit::max(FILE_BODY)),
        )
}

/// A panic is a fault of the program: it is logged by the panic hook and told as a fault.
fn caught(_: Box<dyn Any + Send>) -> Response {
    WebError::new(StatusCode::INTERNAL_SERVER_ERROR, error::FAULT).into_response()
}

//! Pages for people. Each holds its page struct beside its handler; the template's path mirrors it.

mod projects;
mod floor;
mod thumbnail;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::routing::{get, post};

use crate::web::api::sheet;
use crate::workflow::Workflow;

/// Every page and the forms on it; `file_body` is the largest form with a file, bytes.
pub(crate) fn routes(file_body: usize) -> Router<Workflow> {
    let large = || DefaultBodyLimit::max(file_body);
    Router::new()
        .route("/projects", get(projects::index).post(projects::create))
        .route("/projects/import", post(projects::import).layer(large()))
        .route("/projects/{id}/export", get(projects::export))
        .route("/projects/{id}/delete", post(projects::delete))
        .route("/projects/{id}/undo", post(projects::undo))
        .route("/projects/{id}/redo", post(projects::redo))
        .route("/projects/{id}/floors/{floor}", get(floor::show))
        .route(
            "/projects/{id}/floors/{floor}/thumbnail.svg",
            get(thumbnail::get),
        )
        .route("/projects/{id}/sheets/{image}", get(sheet::picture))
}

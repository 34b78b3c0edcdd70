//! Pages for people. Each holds its page struct beside its handler; the template's path mirrors it.

mod table;
mod next;
mod projects;
mod project;
mod project_forms;
mod mixtures;
mod substances;
mod floor;
mod thumbnail;
mod wiring;
mod schedules;
mod findings;
mod documents;
mod calculation;
mod why;
mod help;

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
        .route("/projects/{id}", get(project::show))
        .route("/projects/{id}/head", post(project_forms::head))
        .route("/projects/{id}/basis", post(project_forms::basis))
        .route("/projects/{id}/floors", post(project_forms::add_floor))
        .route(
            "/projects/{id}/floors/{floor}/remove",
            post(project_forms::remove_floor),
        )
        .route("/projects/{id}/mixtures", post(mixtures::add))
        .route("/projects/{id}/mixtures/{mixture}", post(mixtures::change))
        .route(
            "/projects/{id}/mixtures/{mixture}/remove",
            post(mixtures::remove),
        )
        .route("/projects/{id}/substances", post(substances::add))
        .route(
            "/projects/{id}/substances/{substance}",
            post(substances::change),
        )
        .route(
            "/projects/{id}/substances/{substance}/remove",
            post(substances::remove),
        )
        .route(
            "/projects/{id}/catalogue.json",
            get(project_forms::catalogue),
        )
        .route(
            "/projects/{id}/catalogue",
            post(project_forms::put_catalogue).layer(large()),
        )
        .route("/projects/{id}/wiring", get(wiring::show))
        .route("/projects/{id}/schedules", get(schedules::show))
        .route("/projects/{id}/findings", get(findings::show))
        .route("/projects/{id}/fix", post(findings::fix))
        .route("/projects/{id}/documents", get(documents::show))
        .route("/projects/{id}/documents/{name}", get(documents::get))
        .route("/projects/{id}/calculation", get(calculation::show))
        .route("/projects/{id}/why/{step}", get(why::show))
        .route("/help", get(help::show))
        .route("/projects/{id}/export", get(projects::export))
        .route("/projects/{id}/delete", post(projects::delete))
        .route("/projects/{id}/undo", post(projects::undo))
        .route("/projects/{id}/redo", post(projects::redo))
        .route(
            "/projects/{id}/floors/{floor}",
            get(floor::show).post(project_forms::change_floor),
        )
        .route(
            "/projects/{id}/floors/{floor}/thumbnail.svg",
            get(thumbnail::get),
        )
        .route("/projects/{id}/sheets/{image}", get(sheet::picture))
}

//! `/api/projects/{id}`: a project with everything computed of it.

use axum::Json;
use axum::extract::State;
use axum::response::{IntoResponse, Response};
use serde::Serialize;

use crate::documents::title_totals;
use crate::engine::Results;
use crate::model::Project;
use crate::store::{ProjectId, Version};
use crate::web::error::WebError;
use crate::web::extract::Place;
use crate::workflow::{Opened, Workflow};

/// The wire shape of a project's state.
#[derive(Serialize)]
struct StateOut<'a> {
    version: Version,
    project: &'a Project,
    results: &'a Results,
    /// Label and figure of what the title block counts.
    totals: [(String, String); 4],
    undo: Option<&'a str>,
    redo: Option<&'a str>,
    last_edit: Option<String>,
}

/// `GET /api/projects/{id}`
pub(crate) async fn get(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
) -> Result<Response, WebError> {
    Ok(answer(&*workflow.open(id).await?))
}

/// A state as an answer.
pub(crate) fn answer(opened: &Opened) -> Response {
    let standing = &opened.standing;
    let state = StateOut {
        version: standing.version,
        project: &standing.project,
        results: &opened.results,
        totals: title_totals(&standing.project, &opened.results),
        undo: standing.undo.as_deref(),
        redo: standing.redo.as_deref(),
        last_edit: opened.last_edit(),
    };
    Json(state).into_response()
}

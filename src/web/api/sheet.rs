//! `/api/projects/{id}/floors/{floor}/sheet` takes a plan file; `/projects/{id}/sheets/{image}`
//! gives its picture.

use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};

use crate::model::FloorId;
use crate::store::{ProjectId, Version};
use crate::web::api::state::answer;
use crate::web::error::WebError;
use crate::web::extract::{FileForm, Place};
use crate::workflow::{PlanFile, Workflow};

/// `POST /api/projects/{id}/floors/{floor}/sheet`: multipart `file`, `page`, and `version` if the
/// edit must be refused where somebody else edited meanwhile.
pub(crate) async fn put(
    State(workflow): State<Workflow>,
    Place((id, floor)): Place<(ProjectId, FloorId)>,
    mut form: FileForm,
) -> Result<Response, WebError> {
    let (name, bytes) = form.take_file()?;
    let page = match form.field("page").map(str::trim).unwrap_or("") {
        "" => 1,
        text => text.parse().map_err(|_| {
            WebError::refused("page", format!("{text:?}"), "type a page number from 1.")
        })?,
    };
    let version: Option<Version> =
        match form.field("version").map(str::trim).unwrap_or("") {
            "" => None,
            text => Some(text.parse().map_err(|_| {
                WebError::refused("version", format!("{text:?}"), "reload the page.")
            })?),
        };
    let file = PlanFile { name, bytes, page };
    Ok(answer(
        &*workflow.put_sheet(id, version, floor, file).await?,
    ))
}

/// `GET /projects/{id}/sheets/{image}`
pub(crate) async fn picture(
    State(workflow): State<Workflow>,
    Place((id, image)): Place<(ProjectId, String)>,
) -> Result<Response, WebError> {
    let png = workflow.sheet(id, image.trim_end_matches(".png")).await?;
    let headers = [
        (header::CONTENT_TYPE, "image/png"),
        (
            header::CACHE_CONTROL,
            "private, max-age=31536000, immutable",
        ),
    ];
    Ok((headers, png).into_response())
}

//! `/api/projects/{id}/detectors/{detector}/distances`: the distance field of a detector.

use axum::Json;
use axum::extract::State;
use serde::Serialize;

use crate::engine::results::DistanceLine;
use crate::model::DetectorId;
use crate::store::{ProjectId, Version};
use crate::web::error::WebError;
use crate::web::extract::Place;
use crate::workflow::Workflow;

/// Lines of equal distance along free air paths, nearest first; the last is the reach.
#[derive(Serialize)]
pub(crate) struct DistancesOut {
    version: Version,
    lines: Vec<DistanceLine>,
}

/// `GET /api/projects/{id}/detectors/{detector}/distances`
pub(crate) async fn get(
    State(workflow): State<Workflow>,
    Place((id, detector)): Place<(ProjectId, DetectorId)>,
) -> Result<Json<DistancesOut>, WebError> {
    let found = workflow.distance_lines(id, detector).await?;
    let (version, lines) = found.ok_or_else(WebError::not_found)?;
    Ok(Json(DistancesOut { version, lines }))
}

//! `/api/projects/{id}/rooms/{room}/comparison`: a cover beside one detector fewer and other votes.

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use serde::{Deserialize, Serialize};

use crate::engine::placement::CoverKey;
use crate::engine::results::Comparison;
use crate::engine::trace::{TraceEntry, TraceInput};
use crate::model::{Band, RoomId};
use crate::store::{ProjectId, Version};
use crate::units::Unit;
use crate::web::error::WebError;
use crate::web::extract::{Asked, Place};
use crate::web::words::capital;
use crate::workflow::Workflow;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CoverIn {
    /// Key of what is measured, as the covers of the room have it.
    measures: String,
    band: String,
}

/// The comparison with the steps behind its figures.
#[derive(Serialize)]
pub(crate) struct ComparisonOut {
    version: Version,
    #[serde(flatten)]
    comparison: Comparison,
    grounds: Vec<GroundOut>,
}

#[derive(Serialize)]
struct GroundOut {
    title: String,
    /// The formula, or the rule's sentence; empty for what was stated or measured.
    statement: String,
    value: f64,
    unit: Unit,
    inputs: Vec<InputOut>,
    citation: String,
}

#[derive(Serialize)]
struct InputOut {
    symbol: String,
    meaning: String,
    value: f64,
    unit: Unit,
}

/// `GET /api/projects/{id}/rooms/{room}/comparison?measures=1333-74-0&band=high`
pub(crate) async fn get(
    State(workflow): State<Workflow>,
    Place((id, room)): Place<(ProjectId, RoomId)>,
    Asked(asked): Asked<CoverIn>,
) -> Result<Json<ComparisonOut>, WebError> {
    let Some(band) = Band::ALL
        .into_iter()
        .find(|band| band.label() == asked.band)
    else {
        let remedy = "ask for high, breathing or low.";
        return Err(WebError::refused(
            "band",
            format!("{:?}", asked.band),
            remedy,
        ));
    };
    let key = CoverKey {
        room,
        measures: asked.measures,
        band,
    };
    let found = workflow.compare(id, key).await?;
    let (version, comparison) = found.ok_or_else(|| {
        let message = "Nothing of that gas is to be watched in that band of this room any more. \
                       Reload the page.";
        WebError::new(StatusCode::NOT_FOUND, message)
    })?;
    Ok(Json(ComparisonOut {
        version,
        grounds: comparison.grounds().into_iter().map(ground).collect(),
        comparison,
    }))
}

fn ground(entry: &TraceEntry) -> GroundOut {
    let input = |input: &TraceInput| InputOut {
        symbol: input.symbol.clone(),
        meaning: input.meaning.clone(),
        value: input.value,
        unit: input.unit,
    };
    GroundOut {
        title: capital(&entry.title),
        statement: entry.statement.clone(),
        value: entry.value,
        unit: entry.unit,
        inputs: entry.inputs.iter().map(input).collect(),
        citation: entry.citation.text(),
    }
}

//! `/api/projects/{id}/suggest` and `/api/jobs/{job}`: long searches beside the drawing.

use std::collections::BTreeMap;

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use serde::{Deserialize, Serialize};

use crate::engine::results::{Crossing, PathPoint};
use crate::engine::{Results, Scope, Suggestion};
use crate::model::{FloorId, RoomId, SegmentId};
use crate::store::{ProjectId, Version};
use crate::web::error::WebError;
use crate::web::extract::{JsonBody, Place};
use crate::workflow::{JobReport, Work, Workflow};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WishIn {
    version: Version,
    what: String,
    #[serde(default)]
    floor: Option<FloorId>,
    #[serde(default)]
    room: Option<RoomId>,
}

#[derive(Serialize)]
pub(crate) struct JobOut {
    job: String,
}

/// The wire shape of a job's report.
#[derive(Serialize)]
#[serde(tag = "state", rename_all = "snake_case")]
pub(crate) enum ReportOut {
    Running {
        step: String,
        done: usize,
        of: usize,
        bound: Option<usize>,
    },
    Done {
        suggestion: Box<Suggestion>,
        version: Version,
        /// The cables as they will run, by segment, with what the sheet shows of them.
        routes: BTreeMap<SegmentId, Vec<RouteOut>>,
    },
    Cancelled,
    Failed {
        message: String,
    },
}

/// One cable of a suggestion.
#[derive(Serialize)]
pub(crate) struct RouteOut {
    path: Vec<PathPoint>,
    crossings: Vec<Crossing>,
}

/// `POST /api/projects/{id}/suggest`
pub(crate) async fn start(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    JsonBody(wish): JsonBody<WishIn>,
) -> Result<Json<JobOut>, WebError> {
    let opened = workflow.open(id).await?;
    let work = match (wish.what.as_str(), wish.room, wish.floor) {
        ("wiring", ..) => Work::Wiring,
        ("detectors", Some(room), _) => Work::Detectors(Scope::Room(room)),
        ("detectors", None, Some(floor)) => Work::Detectors(Scope::Floor(floor)),
        ("detectors", None, None) => Work::Detectors(Scope::Project),
        (other, ..) => {
            let remedy = "ask for detectors or wiring.";
            return Err(WebError::refused("what", format!("{other:?}"), remedy));
        }
    };
    let there = match work {
        Work::Detectors(Scope::Room(room)) => opened.project().rooms.has(room),
        Work::Detectors(Scope::Floor(floor)) => opened.project().floors.has(floor),
        _ => true,
    };
    if !there {
        let message = "That room or floor is not in this project any more. Reload the page.";
        return Err(WebError::new(StatusCode::NOT_FOUND, message));
    }
    let job = workflow.start(id, wish.version, work).await?;
    Ok(Json(JobOut { job }))
}

/// `GET /api/jobs/{job}`
pub(crate) async fn get(
    State(workflow): State<Workflow>,
    Place(job): Place<String>,
) -> Result<Json<ReportOut>, WebError> {
    Ok(Json(match workflow.job(&job)? {
        JobReport::Running {
            step,
            done,
            of,
            bound,
        } => ReportOut::Running {
            step,
            done,
            of,
            bound,
        },
        JobReport::Done {
            suggestion,
            version,
            after,
        } => ReportOut::Done {
            suggestion,
            version,
            routes: after.map_or_else(BTreeMap::new, |after| routes(&after.results)),
        },
        JobReport::Cancelled => ReportOut::Cancelled,
        JobReport::Failed(message) => ReportOut::Failed { message },
    }))
}

fn routes(results: &Results) -> BTreeMap<SegmentId, Vec<RouteOut>> {
    let segments = results.segments.iter();
    let routes = segments.map(|(id, segment)| {
        let cables = segment.cables.iter().map(|cable| RouteOut {
            path: cable.path.clone(),
            crossings: cable.crossings.clone(),
        });
        (*id, cables.collect())
    });
    routes.collect()
}

/// `DELETE /api/jobs/{job}`
pub(crate) async fn cancel(
    State(workflow): State<Workflow>,
    Place(job): Place<String>,
) -> Result<StatusCode, WebError> {
    workflow.cancel(&job)?;
    Ok(StatusCode::NO_CONTENT)
}

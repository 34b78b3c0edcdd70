//! `/api/projects/{id}/edits`, `undo`, `redo` and `preview`.

use std::collections::{BTreeMap, BTreeSet};

use axum::Json;
use axum::extract::State;
use axum::response::Response;
use serde::{Deserialize, Serialize};

use crate::engine::results::{Demand, DetectorResult, Releases};
use crate::engine::{Finding, Results};
use crate::model::{DetectorId, Edit, ItemKey};
use crate::store::{ProjectId, Version};
use crate::web::api::state::answer;
use crate::web::error::WebError;
use crate::web::extract::{JsonBody, Place};
use crate::workflow::Workflow;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct EditIn {
    version: Version,
    edit: Edit,
    #[serde(default)]
    label: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct TurnIn {
    version: Version,
}

/// What an edit would touch.
#[derive(Serialize)]
pub(crate) struct PreviewOut {
    detectors: BTreeMap<DetectorId, DetectorResult>,
    demands: Vec<Demand>,
    findings: Vec<Finding>,
    /// The first few releases that the touched detectors watch.
    releases: Releases,
}

/// `POST /api/projects/{id}/edits`
pub(crate) async fn edit(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    JsonBody(asked): JsonBody<EditIn>,
) -> Result<Response, WebError> {
    let opened = workflow
        .edit(id, asked.version, &asked.edit, &asked.label)
        .await?;
    Ok(answer(&opened))
}

/// `POST /api/projects/{id}/undo`
pub(crate) async fn undo(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    JsonBody(asked): JsonBody<TurnIn>,
) -> Result<Response, WebError> {
    Ok(answer(&*workflow.undo(id, asked.version).await?))
}

/// `POST /api/projects/{id}/redo`
pub(crate) async fn redo(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    JsonBody(asked): JsonBody<TurnIn>,
) -> Result<Response, WebError> {
    Ok(answer(&*workflow.redo(id, asked.version).await?))
}

/// `POST /api/projects/{id}/preview`: what an edit would give; nothing is written.
pub(crate) async fn preview(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    JsonBody(asked): JsonBody<EditIn>,
) -> Result<Json<PreviewOut>, WebError> {
    let results = workflow.preview(id, asked.version, &asked.edit).await?;
    let mut touched = BTreeSet::new();
    touch(&asked.edit, &mut touched);
    Ok(Json(about(results, &touched)))
}

/// The things an edit names.
fn touch(edit: &Edit, touched: &mut BTreeSet<ItemKey>) {
    match edit {
        Edit::Add { item } | Edit::Change { item } => drop(touched.insert(item.key())),
        Edit::Remove { key } => drop(touched.insert(*key)),
        Edit::All { edits, .. } => edits.iter().for_each(|edit| touch(edit, touched)),
        Edit::SetHead { .. } | Edit::SetBasis { .. } | Edit::SetCatalogue { .. } => {}
    }
}

/// The part of a preview that is about the things touched.
fn about(results: Results, touched: &BTreeSet<ItemKey>) -> PreviewOut {
    let mut detectors = results.detectors;
    detectors.retain(|&id, _| touched.contains(&ItemKey::Detector(id)));
    let rooms: BTreeSet<_> = detectors
        .values()
        .filter_map(|result| result.room)
        .collect();
    let in_touched_room = |demand: &Demand| {
        rooms.contains(&demand.room) || touched.contains(&ItemKey::Room(demand.room))
    };
    let demands: Vec<Demand> = results
        .demands
        .into_iter()
        .filter(in_touched_room)
        .collect();
    let concerns = |finding: &Finding| match finding.about {
        Some(ItemKey::Room(room)) => rooms.contains(&room),
        Some(key) => touched.contains(&key),
        None => false,
    };
    let findings = results.findings.into_iter();
    let findings = findings
        .filter(|finding| {
            concerns(finding) || finding.about.is_some_and(|key| touched.contains(&key))
        })
        .collect();
    PreviewOut {
        detectors,
        demands,
        findings,
        releases: results.releases,
    }
}

//! `/api/projects/{id}/floors/{floor}/labels`: where the words of a floor stand at a scale.

use axum::Json;
use axum::extract::State;
use serde::{Deserialize, Serialize};

use crate::documents::drawing::{Anchor, SymbolAside, Words};
use crate::geometry::Point;
use crate::model::{FloorId, ItemKey};
use crate::store::{ProjectId, Version};
use crate::web::error::WebError;
use crate::web::extract::{Asked, Place};
use crate::workflow::Workflow;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LabelsIn {
    pixels_per_metre: f64,
}

/// The words of a floor.
#[derive(Serialize)]
pub(crate) struct LabelsOut {
    version: Version,
    /// The scale they were placed for; they hold for a little more, too.
    pixels_per_metre: f64,
    labels: Vec<LabelOut>,
    asides: Vec<AsideOut>,
}

#[derive(Serialize)]
struct LabelOut {
    about: ItemKey,
    lines: Vec<String>,
    bold: bool,
    /// Middle of the block, m.
    at: Point,
    /// As in SVG: `start`, `middle`, `end`.
    anchor: Anchor,
    /// Size of the block, px.
    width: f64,
    height: f64,
    leader: bool,
}

#[derive(Serialize)]
struct AsideOut {
    about: ItemKey,
    /// From the true place to the symbol, px.
    by: [f64; 2],
}

/// `GET /api/projects/{id}/floors/{floor}/labels?pixels_per_metre=20`
pub(crate) async fn get(
    State(workflow): State<Workflow>,
    Place((id, floor)): Place<(ProjectId, FloorId)>,
    Asked(asked): Asked<LabelsIn>,
) -> Result<Json<LabelsOut>, WebError> {
    let scale = asked.pixels_per_metre;
    if !(scale.is_finite() && scale > 0.0) {
        let remedy = "give the pixels of the screen for a metre of floor, such as 20.";
        return Err(WebError::refused("pixels_per_metre", scale, remedy));
    }
    let found = workflow.floor_labels(id, floor, scale).await?;
    let (opened, labels) = found.ok_or_else(WebError::not_found)?;
    Ok(Json(LabelsOut {
        version: opened.standing.version,
        pixels_per_metre: labels.pixels_per_metre,
        labels: labels.words.iter().map(label).collect(),
        asides: labels.asides.iter().map(aside).collect(),
    }))
}

fn label(words: &Words) -> LabelOut {
    LabelOut {
        about: words.about,
        lines: words.lines.clone(),
        bold: words.bold,
        at: words.at,
        anchor: words.anchor,
        width: tenth(words.width),
        height: tenth(words.height),
        leader: words.leader,
    }
}

fn aside(symbol: &SymbolAside) -> AsideOut {
    AsideOut {
        about: symbol.about,
        by: [tenth(symbol.right), tenth(symbol.down)],
    }
}

/// To a tenth of a pixel.
fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

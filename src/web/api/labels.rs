//! `/api/projects/{id}/floors/{floor}/labels`: where the words of a floor stand at a scale.

use axum::Json;
use axum::extract::State;
use serde::{Deserialize, Serialize};

use crate::documents::drawing::{Anchor, BlockerMark, FloorLabels, SymbolAside, Words};
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
    /// Below 1 symbols are drawn so much smaller, without letters.
    symbol_size: f64,
    labels: Vec<LabelOut>,
    asides: Vec<AsideOut>,
    blockers: Vec<BlockerOut>,
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

#[derive(Serialize)]
struct BlockerOut {
    about: ItemKey,
    /// The place of the thing it is about, m.
    home: Point,
    /// From there to the middle of the mark, px.
    by: [f64; 2],
    half: f64,
    /// Ids of findings.
    findings: Vec<String>,
}

/// `GET /api/projects/{id}/floors/{floor}/labels?pixels_per_metre=20`
pub(crate) async fn get(
    State(workflow): State<Workflow>,
    Place((id, floor)): Place<(ProjectId, FloorId)>,
    Asked(asked): Asked<LabelsIn>,
) -> Result<Json<LabelsOut>, WebError> {
    let scale = checked(asked.pixels_per_metre)?;
    let found = workflow.floor_labels(id, floor, scale).await?;
    let (opened, labels) = found.ok_or_else(WebError::not_found)?;
    Ok(Json(out(opened.standing.version, &labels)))
}

/// `GET /api/jobs/{job}/floors/{floor}/labels?pixels_per_metre=20`: the same for the floor as a
/// suggestion would leave it.
pub(crate) async fn suggested(
    State(workflow): State<Workflow>,
    Place((job, floor)): Place<(String, FloorId)>,
    Asked(asked): Asked<LabelsIn>,
) -> Result<Json<LabelsOut>, WebError> {
    let scale = checked(asked.pixels_per_metre)?;
    let found = workflow.suggested_labels(&job, floor, scale).await?;
    let (version, labels) = found.ok_or_else(WebError::not_found)?;
    Ok(Json(out(version, &labels)))
}

fn checked(scale: f64) -> Result<f64, WebError> {
    if scale.is_finite() && scale > 0.0 {
        return Ok(scale);
    }
    let remedy = "give the pixels of the screen for a metre of floor, such as 20.";
    Err(WebError::refused("pixels_per_metre", scale, remedy))
}

fn out(version: Version, labels: &FloorLabels) -> LabelsOut {
    LabelsOut {
        version,
        pixels_per_metre: labels.pixels_per_metre,
        symbol_size: labels.symbol_size,
        labels: labels.words.iter().map(label).collect(),
        asides: labels.asides.iter().map(aside).collect(),
        blockers: labels.blockers.iter().map(blocker).collect(),
    }
}

fn blocker(mark: &BlockerMark) -> BlockerOut {
    BlockerOut {
        about: mark.about,
        home: mark.home,
        by: [tenth(mark.right), tenth(mark.down)],
        half: tenth(mark.half),
        findings: mark.findings.clone(),
    }
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

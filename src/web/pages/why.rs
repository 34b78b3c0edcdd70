//! `/projects/{id}/why/{step}`: the reason behind a figure, as a piece of page for the dialog or,
//! where a browser opens it by itself, as a page.

use askama::Template;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use serde::Deserialize;

use crate::engine::trace::{TraceEntry, TraceId};
use crate::store::{ProjectId, Version};
use crate::web::error::WebError;
use crate::web::extract::{Asked, Place};
use crate::web::figures::Figures;
use crate::web::layout::{Top, html};
use crate::workflow::{Opened, Workflow};

#[derive(Template)]
#[template(path = "why/show.html")]
struct WhyPage {
    top: Top,
    why: Why,
}

#[derive(Template)]
#[template(path = "why/_why.html")]
struct Why {
    title: String,
    result: String,
    /// The formula or the rule's sentence; empty for what was stated or measured.
    statement: String,
    is_formula: bool,
    inputs: Vec<Input>,
    has_symbols: bool,
    citation: String,
    outside: Option<String>,
}

struct Input {
    symbol: String,
    meaning: String,
    value: String,
    why: String,
    from: &'static str,
}

#[derive(Deserialize)]
pub(crate) struct WhyIn {
    #[serde(default)]
    v: Option<Version>,
}

/// `GET /projects/{id}/why/{step}?v={version}`
pub(crate) async fn show(
    State(workflow): State<Workflow>,
    Place((id, step)): Place<(ProjectId, u32)>,
    Asked(asked): Asked<WhyIn>,
    headers: HeaderMap,
) -> Result<Response, WebError> {
    let opened = match asked.v {
        Some(version) => workflow.open_at(id, version).await?,
        None => workflow.open(id).await?,
    };
    let Some(entry) = opened.results.trace.entry(TraceId(step)) else {
        let message = "There is no such figure in this version of the project. Reload the page.";
        return Err(WebError::new(StatusCode::NOT_FOUND, message));
    };
    let why = why(&opened, entry);
    let by_itself = headers
        .get("sec-fetch-dest")
        .is_some_and(|dest| dest == "document");
    match by_itself {
        true => html(&WhyPage {
            top: Top::of(&opened, "why"),
            why,
        }),
        false => html(&why),
    }
}

fn why(opened: &Opened, entry: &TraceEntry) -> Why {
    let figures = Figures::of(opened);
    let from = |step: TraceId| match opened.results.trace.entry(step).map(|entry| &*entry.id) {
        Some("given") => "stated or measured",
        Some("basis") => "basis of design",
        _ => "computed",
    };
    let inputs = entry.inputs.iter().map(|input| Input {
        symbol: input.symbol.clone(),
        meaning: input.meaning.clone(),
        value: figures.in_reason(input.value, input.unit),
        why: figures.why_of(input.why.0),
        from: from(input.why),
    });
    let inputs: Vec<Input> = inputs.collect();
    let has_symbols = inputs.iter().any(|input| !input.symbol.is_empty());
    Why {
        title: crate::web::words::capital(&entry.title),
        result: figures.in_reason(entry.value, entry.unit),
        statement: entry.statement.clone(),
        is_formula: has_symbols,
        inputs,
        has_symbols,
        citation: entry.citation.text(),
        outside: entry.outside.clone(),
    }
}

//! `/projects/{id}/calculation`: the calculation sheets on screen, a list and one at a time.

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;

use crate::documents::{CAUTION, CalculationSheet, Step, VerdictLine, writers};
use crate::store::ProjectId;
use crate::web::error::WebError;
use crate::web::extract::{Asked, Place};
use crate::web::figures::{Figure, Figures};
use crate::web::layout::{Top, html};
use crate::web::pages::table::{HtmlTable, html_table};
use crate::workflow::{Opened, Workflow};

#[derive(Template)]
#[template(path = "calculation/list.html")]
struct ListPage {
    top: Top,
    project: ProjectId,
    sheets: Vec<CalculationSheet>,
    missing: Vec<Missing>,
}

struct Missing {
    sentence: String,
    place: String,
}

#[derive(Template)]
#[template(path = "calculation/show.html")]
struct SheetPage {
    top: Top,
    project: ProjectId,
    title: String,
    room: String,
    /// Where the source stands on its floor.
    place: Option<String>,
    verdicts: Vec<VerdictLine>,
    headlines: Vec<(String, Figure)>,
    sentences: Vec<String>,
    notes: Vec<String>,
    /// Caption and SVG.
    figures: Vec<(String, String)>,
    tables: Vec<HtmlTable>,
    steps: Vec<StepView>,
    caution: &'static str,
}

struct StepView {
    step: Step,
    why: String,
}

#[derive(Deserialize)]
pub(crate) struct SheetIn {
    #[serde(default)]
    source: Option<u32>,
}

/// `GET /projects/{id}/calculation?source=3`
pub(crate) async fn show(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    Asked(asked): Asked<SheetIn>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    let sheets = workflow.calculation(opened.clone()).await?;
    let Some(wanted) = asked.source else {
        let missing = sheets.missing.into_iter().map(|one| Missing {
            place: place(id, one.floor.0, one.source.0),
            sentence: one.sentence,
        });
        return html(&ListPage {
            top: Top::of(&opened, "documents"),
            project: id,
            sheets: sheets.sheets,
            missing: missing.collect(),
        });
    };
    let found = sheets
        .sheets
        .into_iter()
        .find(|sheet| sheet.source.0 == wanted);
    let sheet = found.ok_or_else(WebError::not_found)?;
    html(&page(id, &opened, sheet))
}

fn place(project: ProjectId, floor: u32, source: u32) -> String {
    format!("/projects/{project}/floors/{floor}?select=source-{source}")
}

fn page(id: ProjectId, opened: &Opened, sheet: CalculationSheet) -> SheetPage {
    let shown = Figures::of(opened);
    let source = opened.project().sources.get(sheet.source);
    let headlines = sheet.headlines.into_iter().map(|line| {
        let why = line.quantity.map(|quantity| shown.why(quantity));
        (
            line.label,
            Figure {
                text: line.text,
                why,
            },
        )
    });
    let figures = sheet.figures.into_iter().enumerate().map(|(idx, figure)| {
        let svg = writers::svg(&figure.drawing, &crate::documents::Sheets::new());
        (format!("Figure {}. {}", idx + 1, figure.caption), svg)
    });
    let steps = sheet.steps.into_iter().map(|step| StepView {
        why: shown.why_of(step.why.0),
        step,
    });
    SheetPage {
        top: Top::of(opened, "documents"),
        project: id,
        title: sheet.title,
        room: sheet.place,
        place: source.map(|source| place(id, source.floor.0, source.id.0)),
        verdicts: sheet.verdicts,
        headlines: headlines.collect(),
        sentences: sheet.sentences,
        notes: sheet.notes,
        figures: figures.collect(),
        tables: [&sheet.harms, &sheet.alarms, &sheet.inputs]
            .into_iter()
            .map(|table| html_table(opened, table))
            .collect(),
        steps: steps.collect(),
        caution: CAUTION,
    }
}

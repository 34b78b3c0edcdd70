//! `/projects/{id}/calculation`: the calculation sheets on screen, a list and one at a time.

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;

use crate::documents::{
    CAUTION, CalculationSheet, Chosen, Step, VerdictLine, inputs_table, writers,
};
use crate::model::{FloorId, Project, RoomId, SourceId};
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
    groups: Vec<Group>,
    missing: Vec<Missing>,
}

/// The releases of one room.
struct Group {
    place: String,
    /// What to ask for: "room=3"; empty where they stand in no room.
    ask: String,
    sheets: Vec<CalculationSheet>,
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
    source: u32,
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

/// Which releases are asked for; the narrowest counts.
#[derive(Deserialize)]
pub(crate) struct SheetIn {
    #[serde(default)]
    source: Option<u32>,
    #[serde(default)]
    room: Option<u32>,
    #[serde(default)]
    floor: Option<u32>,
}

impl SheetIn {
    /// What is asked for, if the project has it.
    pub(crate) fn chosen(&self, project: &Project) -> Result<Chosen, WebError> {
        let source = self.source.map(|id| Chosen::Source(SourceId(id)));
        let room = self.room.map(|id| Chosen::Room(RoomId(id)));
        let floor = self.floor.map(|id| Chosen::Floor(FloorId(id)));
        let chosen = source.or(room).or(floor).unwrap_or_default();
        match chosen.exists(project) {
            true => Ok(chosen),
            false => Err(WebError::not_found()),
        }
    }
}

/// `GET /projects/{id}/calculation?source=3`
pub(crate) async fn show(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    Asked(asked): Asked<SheetIn>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    let chosen = asked.chosen(opened.project())?;
    let sheets = workflow.calculation(opened.clone(), chosen).await?;
    if matches!(chosen, Chosen::Source(_)) {
        let sheet = sheets.sheets.into_iter().next();
        return html(&page(id, &opened, sheet.ok_or_else(WebError::not_found)?));
    }
    let missing = sheets.missing.into_iter().map(|one| Missing {
        place: place(id, one.floor.0, one.source.0),
        sentence: one.sentence,
    });
    html(&ListPage {
        top: Top::of(&opened, "documents"),
        project: id,
        groups: grouped(&opened, sheets.sheets),
        missing: missing.collect(),
    })
}

/// By room, in the order of the first source of each.
fn grouped(opened: &Opened, sheets: Vec<CalculationSheet>) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for sheet in sheets {
        let release = opened.results.releases.get(&sheet.source);
        let room = release.and_then(|release| release.room);
        let ask = room.map_or(String::new(), |room| format!("room={}", room.0));
        let place = sheet.place.clone();
        match groups
            .iter()
            .position(|group| (&group.ask, &group.place) == (&ask, &place))
        {
            Some(at) => groups[at].sheets.push(sheet),
            None => groups.push(Group {
                place,
                ask,
                sheets: vec![sheet],
            }),
        }
    }
    groups
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
        source: sheet.source.0,
        title: sheet.title,
        room: sheet.place,
        place: source.map(|source| place(id, source.floor.0, source.id.0)),
        verdicts: sheet.verdicts,
        headlines: headlines.collect(),
        sentences: sheet.sentences,
        notes: sheet.notes,
        figures: figures.collect(),
        tables: [
            &sheet.harms,
            &sheet.alarms,
            &inputs_table(opened.project(), &sheet.inputs),
        ]
        .into_iter()
        .map(|table| html_table(opened, table))
        .collect(),
        steps: steps.collect(),
        caution: CAUTION,
    }
}

//! `/projects/{id}/schedules`: detectors, cables, bill of materials, questions to the client.

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;

use crate::documents::content;
use crate::store::ProjectId;
use crate::web::error::WebError;
use crate::web::extract::{Asked, Place};
use crate::web::layout::{Top, html};
use crate::web::pages::table::{HtmlTable, html_table};
use crate::workflow::Workflow;

#[derive(Template)]
#[template(path = "schedules/show.html")]
struct SchedulesPage {
    top: Top,
    project: ProjectId,
    view: View,
    views: [View; 4],
    tables: Vec<HtmlTable>,
}

#[derive(Deserialize)]
pub(crate) struct ViewIn {
    #[serde(default)]
    view: Option<String>,
}

/// One of the schedules.
#[derive(Clone, Copy, PartialEq, Eq)]
struct View {
    key: &'static str,
    label: &'static str,
    /// Name of its CSV; empty where there is none.
    csv: &'static str,
    /// What to do where there is nothing to list.
    next: &'static str,
}

const VIEWS: [View; 4] = [
    View {
        key: "detectors",
        label: "Detectors",
        csv: "detector-schedule.csv",
        next: "Draw rooms and release sources on a floor, then have detectors suggested there.",
    },
    View {
        key: "cables",
        label: "Cables",
        csv: "cable-schedule.csv",
        next: "Place a control panel on a floor, then have the cable routed there.",
    },
    View {
        key: "materials",
        label: "Bill of materials",
        csv: "bill-of-materials.csv",
        next: "Detectors and cable fill it; prices come from the project's catalogue.",
    },
    View {
        key: "questions",
        label: "Questions",
        csv: "",
        next: "What is marked as not known on a floor becomes a question to the client here.",
    },
];

/// `GET /projects/{id}/schedules?view=detectors`
pub(crate) async fn show(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    Asked(asked): Asked<ViewIn>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    let wanted = asked.view.as_deref().unwrap_or(VIEWS[0].key);
    let Some(view) = VIEWS.into_iter().find(|view| view.key == wanted) else {
        return Err(WebError::not_found());
    };
    let (project, results) = (opened.project(), &opened.results);
    let tables = match view.key {
        "detectors" => vec![
            content::detector_schedule(project, results),
            content::detector_reasons(project, results),
            content::scenarios(project, results),
            content::watched(project, results),
        ],
        "cables" => vec![
            content::segment_schedule(project, results),
            content::cable_schedule(project, results),
        ],
        "materials" => vec![content::bill_of_materials(project, results)],
        _ => vec![content::questions(project, results)],
    };
    let mut tables: Vec<HtmlTable> = tables
        .iter()
        .map(|table| html_table(&opened, table))
        .collect();
    if tables.iter().all(|table| table.rows.is_empty()) {
        tables.truncate(1);
    }
    html(&SchedulesPage {
        top: Top::of(&opened, "schedules"),
        project: id,
        view,
        views: VIEWS,
        tables,
    })
}

//! `/projects/{id}/documents`: what can be taken away as a file.

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use crate::documents::content;
use crate::engine::Severity;
use crate::store::ProjectId;
use crate::web::error::WebError;
use crate::web::extract::{Asked, Place};
use crate::web::layout::{Top, html};
use crate::web::pages::calculation::SheetIn;
use crate::web::pages::projects::{download, file_name};
use crate::web::words::counted;
use crate::workflow::{Opened, Workflow};

#[derive(Template)]
#[template(path = "documents/show.html")]
struct DocumentsPage {
    top: Top,
    project: ProjectId,
    revision: String,
    /// Said where the design has blockers.
    blocked: Option<String>,
    documents: &'static [DocumentItem],
}

struct DocumentItem {
    title: &'static str,
    about: &'static str,
    formats: &'static [(&'static str, &'static str)],
    /// The page that shows it; empty where there is none.
    page: &'static str,
    caution: &'static str,
}

static DOCUMENTS: &[DocumentItem] = &[
    DocumentItem {
        title: "Project document",
        about: "The whole design in one PDF: every floor's drawing, schedules with reasons, bill of \
                materials, questions to the client, basis of design, findings.",
        formats: &[("PDF", "project.pdf")],
        page: "",
        caution: "",
    },
    DocumentItem {
        title: "Calculation sheet",
        about: "For every release: what comes out, section of the room and chart, alarm against \
                harm, every formula with its inputs and citation.",
        formats: &[("PDF", "calculation-sheet.pdf")],
        page: "calculation",
        caution: "",
    },
    DocumentItem {
        title: "Detector schedule",
        about: "Tag, room, substance, band, height, principle, range and set-points.",
        formats: &[("CSV", "detector-schedule.csv")],
        page: "",
        caution: "",
    },
    DocumentItem {
        title: "Cable schedule",
        about: "Every cable with route, vertical runs, terminations, slack and the length to order.",
        formats: &[("CSV", "cable-schedule.csv")],
        page: "",
        caution: "Measure on site before you cut.",
    },
    DocumentItem {
        title: "Bill of materials",
        about: "Parts, cable, labour and commissioning with prices from the project's catalogue.",
        formats: &[("CSV", "bill-of-materials.csv")],
        page: "",
        caution: "A price of the design as it stands, not an offer.",
    },
    DocumentItem {
        title: "All schedules",
        about: "One workbook with a sheet for each schedule.",
        formats: &[("XLSX", "schedules.xlsx")],
        page: "",
        caution: "",
    },
    DocumentItem {
        title: "Covers",
        about: "For each airspace, gas and band: the candidate points, what each of them watches, \
                the points chosen and the bound, for a check of the placement by other means.",
        formats: &[("JSON", "covers.json")],
        page: "",
        caution: "Solved anew from the project: large halls take some seconds.",
    },
];

/// `GET /projects/{id}/documents`
pub(crate) async fn show(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    let findings = opened.results.findings.iter();
    let n = findings
        .filter(|finding| finding.severity == Severity::Blocker)
        .count();
    html(&DocumentsPage {
        top: Top::of(&opened, "documents"),
        project: id,
        revision: opened.project().head.revision.clone(),
        blocked: (n > 0).then(|| counted(n, "blocker")),
        documents: DOCUMENTS,
    })
}

/// `GET /projects/{id}/documents/{name}`
pub(crate) async fn get(
    State(workflow): State<Workflow>,
    Place((id, name)): Place<(ProjectId, String)>,
    Asked(asked): Asked<SheetIn>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    let (project, results) = (opened.project(), &opened.results);
    match name.as_str() {
        "detector-schedule.csv" => {
            let bytes = workflow.csv(&content::detector_schedule(project, results))?;
            Ok(download(CSV, &named(&opened, &name), bytes))
        }
        "cable-schedule.csv" => {
            let bytes = workflow.csv(&content::cable_schedule(project, results))?;
            Ok(download(CSV, &named(&opened, &name), bytes))
        }
        "bill-of-materials.csv" => {
            let bytes = workflow.csv(&content::bill_of_materials(project, results))?;
            Ok(download(CSV, &named(&opened, &name), bytes))
        }
        "schedules.xlsx" => {
            let bytes = workflow.workbook(opened.clone()).await?;
            const KIND: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
            Ok(download(KIND, &named(&opened, &name), bytes))
        }
        "covers.json" => {
            let bytes = workflow.covers(opened.clone()).await?;
            let name = named(&opened, &name);
            Ok(download("application/json", &name, bytes))
        }
        "project.pdf" => {
            let bytes = workflow.project_pdf(opened.clone()).await?;
            Ok(download("application/pdf", &named(&opened, &name), bytes))
        }
        "calculation-sheet.pdf" => {
            let chosen = asked.chosen(project)?;
            let bytes = workflow.calculation_pdf(opened.clone(), chosen).await?;
            let stem = format!("{} calculation sheet", chosen.words(project));
            let stem = format!("{} {}", project.head.name, stem.trim());
            Ok(download("application/pdf", &file_name(&stem, "pdf"), bytes))
        }
        _ => Err(WebError::not_found()),
    }
}

const CSV: &str = "text/csv; charset=utf-8";

/// "research-building-detector-schedule.csv"
fn named(opened: &Opened, name: &str) -> String {
    let (stem, extension) = name.rsplit_once('.').unwrap_or((name, ""));
    file_name(&format!("{} {stem}", opened.project().head.name), extension)
}

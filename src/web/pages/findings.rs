//! `/projects/{id}/findings`: what the checks say, the gravest first, with a remedy each.

use askama::Template;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::{Redirect, Response};
use serde::Deserialize;

use crate::documents::content::names;
use crate::documents::number::Decimals;
use crate::engine::{Finding, Quantity, Severity};
use crate::store::{ProjectId, Version};
use crate::units::Unit;
use crate::web::error::WebError;
use crate::web::extract::{FormBody, Place};
use crate::web::figures::{Figure, Figures};
use crate::web::layout::{Top, html};
use crate::web::pages::projects::back;
use crate::web::pages::table::place;
use crate::web::words::{capital, counted};
use crate::workflow::{Opened, Refusal, Workflow, WorkflowError};

#[derive(Template)]
#[template(path = "findings/show.html")]
struct FindingsPage {
    top: Top,
    project: ProjectId,
    version: Version,
    summary: String,
    nothing_drawn: bool,
    n_questions: usize,
    open_questions: String,
    findings: Vec<FindingItem>,
}

struct FindingItem {
    id: String,
    severity: &'static str,
    message: String,
    remedy: String,
    value: Option<Figure>,
    limit: Option<Figure>,
    place: Option<String>,
    place_name: String,
    fix: Option<String>,
}

#[derive(Deserialize)]
pub(crate) struct FixIn {
    version: Version,
    finding: String,
}

/// `GET /projects/{id}/findings`
pub(crate) async fn show(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    let mut sorted: Vec<&Finding> = opened.results.findings.iter().collect();
    sorted.sort_by_key(|finding| finding.severity);
    let of = |severity| {
        sorted
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    };
    let open_questions = counted(opened.results.questions.len(), "question");
    let summary = format!(
        "{}, {}, {}; {open_questions} to the client open",
        counted(of(Severity::Blocker), "blocker"),
        counted(of(Severity::Warning), "warning"),
        counted(of(Severity::Note), "note"),
    );
    html(&FindingsPage {
        top: Top::of(&opened, "findings"),
        project: id,
        version: opened.standing.version,
        summary: capital(&summary),
        n_questions: opened.results.questions.len(),
        open_questions,
        nothing_drawn: opened.project().rooms.is_empty(),
        findings: sorted
            .into_iter()
            .map(|finding| item(&opened, finding))
            .collect(),
    })
}

fn item(opened: &Opened, finding: &Finding) -> FindingItem {
    let figures = Figures::of(opened);
    let project = opened.project();
    let figure = |quantity: Quantity| Figure {
        text: match quantity.unit {
            Unit::Second => figures.text(quantity.value, quantity.unit, Decimals::OfUnit),
            unit => figures.in_reason(quantity.value, unit),
        },
        why: Some(figures.why(quantity)),
    };
    let floor = finding
        .floor
        .map(|floor| names::floor(project, floor))
        .unwrap_or_default();
    let about = finding
        .about
        .map(|key| names::thing(project, key))
        .unwrap_or_default();
    let place_name = match (about.as_str(), floor.as_str()) {
        (about, "") => about.to_owned(),
        ("", floor) => floor.to_owned(),
        (about, floor) if about == floor => about.to_owned(),
        (about, floor) => format!("{about}, {floor}"),
    };
    let on_floor = finding
        .floor
        .map(|floor| format!("/projects/{}/floors/{floor}", opened.id));
    FindingItem {
        id: finding.id.clone(),
        severity: severity(finding.severity),
        message: finding.message.clone(),
        remedy: finding.remedy.clone(),
        value: finding.value.map(figure),
        limit: finding.limit.map(figure),
        place: finding
            .about
            .and_then(|key| place(opened, key))
            .or(on_floor),
        place_name,
        fix: finding.fix.as_ref().map(|fix| fix.label.clone()),
    }
}

fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Blocker => "blocker",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
}

/// `POST /projects/{id}/fix`: carries out the remedy of a finding, as an edit that can be undone.
pub(crate) async fn fix(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    headers: HeaderMap,
    FormBody(asked): FormBody<FixIn>,
) -> Result<Redirect, WebError> {
    let opened = workflow.open_at(id, asked.version).await?;
    let mut findings = opened.results.findings.iter();
    let fix = findings
        .find(|finding| finding.id == asked.finding)
        .and_then(|f| f.fix.as_ref());
    let Some(fix) = fix else {
        let remedy = "reload the page; the findings have changed.";
        return Err(
            WorkflowError::from(Refusal::field("finding", "settled already", remedy)).into(),
        );
    };
    workflow
        .edit(id, asked.version, &fix.edit, &fix.label)
        .await?;
    Ok(back(&headers, id))
}

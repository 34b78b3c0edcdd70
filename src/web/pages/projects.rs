//! `/projects`: all projects; made, imported, exported, deleted here.

use askama::Template;
use axum::extract::State;
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use crate::engine::Severity;
use crate::model::{Jurisdiction, UnitSystem};
use crate::store::{ProjectId, ProjectRow, Version};
use crate::web::error::WebError;
use crate::web::extract::{FileForm, FormBody, Place};
use crate::web::layout::{Top, html};
use crate::web::words::counted;
use crate::workflow::{NewHead, Opened, Workflow};

#[derive(Template)]
#[template(path = "projects/index.html")]
struct ProjectsPage {
    top: Top,
    projects: Vec<ProjectItem>,
    catalogues: Vec<CatalogueChoice>,
}

/// A catalogue that a new project may start with.
struct CatalogueChoice {
    of: ProjectId,
    name: String,
}

struct ProjectItem {
    id: ProjectId,
    version: Version,
    name: String,
    demo: bool,
    summary: String,
    floors: Vec<FloorItem>,
}

/// A floor in a row of thumbnails.
pub(super) struct FloorItem {
    pub(super) id: u32,
    pub(super) name: String,
    /// Whether there is a room to show.
    pub(super) drawn: bool,
    pub(super) detectors: String,
}

#[derive(Deserialize)]
pub(crate) struct NewIn {
    name: String,
    #[serde(default)]
    client: String,
    #[serde(default)]
    site: String,
    #[serde(default)]
    reference: String,
    #[serde(default)]
    jurisdiction: Jurisdiction,
    #[serde(default)]
    units: UnitSystem,
    /// Number of a project, or empty.
    #[serde(default)]
    catalogue_of: String,
}

#[derive(Deserialize)]
pub(crate) struct ConfirmIn {
    confirm: String,
}

#[derive(Deserialize)]
pub(crate) struct TurnIn {
    version: Version,
}

/// `GET /projects`
pub(crate) async fn index(State(workflow): State<Workflow>) -> Result<Response, WebError> {
    let (mut projects, mut catalogues) = (Vec::new(), Vec::new());
    for row in workflow.projects().await? {
        let opened = workflow.open(row.id).await?;
        catalogues.extend(catalogue_choice(&row, &opened));
        projects.push(item(row, &opened));
    }
    let top = Top::plain("projects");
    html(&ProjectsPage {
        top,
        projects,
        catalogues,
    })
}

fn catalogue_choice(row: &ProjectRow, opened: &Opened) -> Option<CatalogueChoice> {
    let catalogue = &opened.project().catalogue;
    let name = match catalogue.name.as_str() {
        "" => format!("that of {}", row.name),
        name => format!("{name}, of {}", row.name),
    };
    (!catalogue.items.is_empty()).then_some(CatalogueChoice { of: row.id, name })
}

fn item(row: ProjectRow, opened: &Opened) -> ProjectItem {
    ProjectItem {
        id: row.id,
        version: opened.standing.version,
        name: row.name,
        demo: row.demo,
        summary: summary(opened),
        floors: floors(opened),
    }
}

/// The floors of a project from the lowest up, for thumbnails.
pub(super) fn floors(opened: &Opened) -> Vec<FloorItem> {
    let project = opened.project();
    let on = |floor| {
        project
            .detectors
            .iter()
            .filter(|thing| thing.floor == floor)
            .count()
    };
    let item = |floor: &&crate::model::Floor| FloorItem {
        id: floor.id.0,
        name: floor.name.clone(),
        drawn: project.rooms_on(floor.id).next().is_some(),
        detectors: counted(on(floor.id), "detector"),
    };
    project.floors_upwards().iter().map(item).collect()
}

/// "Northfield, P1; 26 detectors; no blocker, 3 warnings."
pub(super) fn summary(opened: &Opened) -> String {
    let head = &opened.project().head;
    let of = |severity| {
        let findings = opened.results.findings.iter();
        findings
            .filter(|finding| finding.severity == severity)
            .count()
    };
    let place = [&head.site, &head.client, &head.revision];
    let place: Vec<&str> = place
        .into_iter()
        .map(|text| text.as_str())
        .filter(|t| !t.is_empty())
        .collect();
    let dot = if place.is_empty() { "" } else { ". " };
    let n_detectors = opened.project().detectors.len();
    let detectors = counted(n_detectors, "detector");
    let blockers = counted(of(Severity::Blocker), "blocker");
    let warnings = counted(of(Severity::Warning), "warning");
    format!(
        "{}{dot}{}; {blockers}, {warnings}.",
        place.join(", "),
        crate::web::words::capital(&detectors)
    )
}

/// `POST /projects`
pub(crate) async fn create(
    State(workflow): State<Workflow>,
    FormBody(new): FormBody<NewIn>,
) -> Result<Redirect, WebError> {
    let id = workflow
        .create(NewHead {
            name: new.name,
            client: new.client,
            site: new.site,
            reference: new.reference,
            jurisdiction: new.jurisdiction,
            units: new.units,
            catalogue_of: new.catalogue_of.parse().ok(),
        })
        .await?;
    Ok(to_project(id))
}

/// `POST /projects/import`
pub(crate) async fn import(
    State(workflow): State<Workflow>,
    mut form: FileForm,
) -> Result<Redirect, WebError> {
    let (_, bytes) = form.take_file()?;
    Ok(to_project(workflow.import(bytes).await?))
}

/// `GET /projects/{id}/export`
pub(crate) async fn export(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
) -> Result<Response, WebError> {
    let file = workflow.export(id).await?;
    let name = file_name(&file.project.head.name, "json");
    Ok(download("application/json", &name, file.write()))
}

/// `POST /projects/{id}/delete`
pub(crate) async fn delete(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    FormBody(asked): FormBody<ConfirmIn>,
) -> Result<Redirect, WebError> {
    workflow.delete(id, &asked.confirm).await?;
    Ok(Redirect::to("/projects"))
}

/// `POST /projects/{id}/undo`
pub(crate) async fn undo(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    headers: HeaderMap,
    FormBody(asked): FormBody<TurnIn>,
) -> Result<Redirect, WebError> {
    workflow.undo(id, asked.version).await?;
    Ok(back(&headers, id))
}

/// `POST /projects/{id}/redo`
pub(crate) async fn redo(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    headers: HeaderMap,
    FormBody(asked): FormBody<TurnIn>,
) -> Result<Redirect, WebError> {
    workflow.redo(id, asked.version).await?;
    Ok(back(&headers, id))
}

fn to_project(id: ProjectId) -> Redirect {
    Redirect::to(&format!("/projects/{id}"))
}

/// Back to the page of the project that a form was on.
pub(super) fn back(headers: &HeaderMap, id: ProjectId) -> Redirect {
    let referer = headers
        .get(header::REFERER)
        .and_then(|value| value.to_str().ok())
        .unwrap_or("");
    let path = referer
        .split_once("://")
        .and_then(|(_, rest)| rest.find('/').map(|at| &rest[at..]));
    let project = format!("/projects/{id}");
    match path {
        Some(path) if path == project || path.starts_with(&format!("{project}/")) => {
            Redirect::to(path)
        }
        _ => Redirect::to(&project),
    }
}

/// A file to be saved under this name.
pub(super) fn download(kind: &'static str, name: &str, bytes: impl IntoResponse) -> Response {
    let disposition = format!("attachment; filename=\"{name}\"");
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, disposition),
    ];
    (headers, bytes).into_response()
}

/// A file name made of a project's name: letters, digits and hyphens.
pub(super) fn file_name(name: &str, extension: &str) -> String {
    let mut stem = String::new();
    for letter in name.to_lowercase().chars() {
        match letter.is_ascii_alphanumeric() {
            true => stem.push(letter),
            false if !stem.ends_with('-') && !stem.is_empty() => stem.push('-'),
            false => {}
        }
    }
    let stem: String = stem.trim_matches('-').chars().take(60).collect();
    match stem.as_str() {
        "" => format!("project.{extension}"),
        stem => format!("{stem}.{extension}"),
    }
}

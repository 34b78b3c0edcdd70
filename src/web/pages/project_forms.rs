//! The forms of the project page: each makes one edit that can be undone.

use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use crate::model::basis;
use crate::model::project::Head;
use crate::model::{Catalogue, Edit, Floor, FloorId, Item, ItemKey, Jurisdiction, UnitSystem};
use crate::store::{ProjectId, Version};
use crate::units::Metres;
use crate::web::error::WebError;
use crate::web::extract::{FileForm, FormBody, Place};
use crate::web::pages::projects::{download, file_name};
use crate::workflow::Workflow;

#[derive(Deserialize)]
pub(crate) struct HeadIn {
    version: Version,
    name: String,
    client: String,
    site: String,
    reference: String,
    revision: String,
    jurisdiction: Jurisdiction,
    units: UnitSystem,
}

#[derive(Deserialize)]
pub(crate) struct BasisIn {
    version: Version,
    key: String,
    /// Empty: back to the default.
    #[serde(default)]
    value: String,
    #[serde(default)]
    back: Option<String>,
}

#[derive(Deserialize)]
pub(crate) struct FloorIn {
    version: Version,
    name: String,
    #[serde(default)]
    elevation: String,
}

#[derive(Deserialize)]
pub(crate) struct RemoveIn {
    pub version: Version,
}

/// `POST /projects/{id}/head`
pub(crate) async fn head(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    FormBody(asked): FormBody<HeadIn>,
) -> Result<Redirect, WebError> {
    let before = workflow.open(id).await?.project().head.clone();
    let head = Head {
        name: asked.name.trim().to_owned(),
        client: asked.client.trim().to_owned(),
        site: asked.site.trim().to_owned(),
        reference: asked.reference.trim().to_owned(),
        revision: asked.revision.trim().to_owned(),
        jurisdiction: asked.jurisdiction,
        units: asked.units,
    };
    let changed = [
        ("name", before.name != head.name),
        ("client", before.client != head.client),
        ("site", before.site != head.site),
        ("reference", before.reference != head.reference),
        ("revision", before.revision != head.revision),
        ("jurisdiction", before.jurisdiction != head.jurisdiction),
        ("units", before.units != head.units),
    ];
    let changed: Vec<&str> = changed
        .iter()
        .filter(|(_, is)| *is)
        .map(|(name, _)| *name)
        .collect();
    if !changed.is_empty() {
        let label = format!("project's {} changed", changed.join(", "));
        workflow
            .edit(id, asked.version, &Edit::SetHead { head }, &label)
            .await?;
    }
    Ok(to(id, ""))
}

/// `POST /projects/{id}/basis`
pub(crate) async fn basis(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    FormBody(asked): FormBody<BasisIn>,
) -> Result<Redirect, WebError> {
    let item = basis::item(&asked.key);
    let label = item
        .map_or(asked.key.as_str(), |item| item.label)
        .trim_end_matches(" (1 yes)");
    let value = match asked.back.is_some() || asked.value.trim().is_empty() {
        true => None,
        false => Some(number(label, &asked.value)?),
    };
    let project = workflow.open(id).await?;
    let in_force = item.map(|item| project.project().basis.get(item));
    if value.is_some() && value == in_force {
        return Ok(to(id, "#basis"));
    }
    let sentence = match (value, item) {
        (None, _) => format!("{label}: back to the default"),
        (Some(value), Some(item)) => format!("{label}: {value} {}", item.unit).trim().to_owned(),
        (Some(value), None) => format!("{label}: {value}"),
    };
    let edit = Edit::SetBasis {
        key: asked.key.clone(),
        value,
    };
    workflow.edit(id, asked.version, &edit, &sentence).await?;
    Ok(to(id, &format!("#{}", asked.key)))
}

/// `POST /projects/{id}/floors`
pub(crate) async fn add_floor(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    FormBody(asked): FormBody<FloorIn>,
) -> Result<Redirect, WebError> {
    let opened = workflow.open(id).await?;
    let floor = Floor {
        id: opened.project().floors.next_id(),
        name: asked.name.trim().to_owned(),
        elevation: Metres::new(number("elevation", &asked.elevation)?),
        sheet: None,
    };
    let label = format!("{} added", floor.name);
    let item = Item::Floor(floor);
    workflow
        .edit(id, asked.version, &Edit::Add { item }, &label)
        .await?;
    Ok(to(id, "#floors"))
}

/// `POST /projects/{id}/floors/{floor}`
pub(crate) async fn change_floor(
    State(workflow): State<Workflow>,
    Place((id, floor)): Place<(ProjectId, FloorId)>,
    FormBody(asked): FormBody<FloorIn>,
) -> Result<Redirect, WebError> {
    let opened = workflow.open(id).await?;
    let Some(before) = opened.project().floors.get(floor) else {
        return Err(WebError::not_found());
    };
    let after = Floor {
        name: asked.name.trim().to_owned(),
        elevation: Metres::new(number("elevation", &asked.elevation)?),
        ..before.clone()
    };
    if after != *before {
        let label = match after.name == before.name {
            true => format!("{} at {} m", after.name, after.elevation.get()),
            false => format!("{} is now {}", before.name, after.name),
        };
        let item = Item::Floor(after);
        workflow
            .edit(id, asked.version, &Edit::Change { item }, &label)
            .await?;
    }
    Ok(to(id, "#floors"))
}

/// `POST /projects/{id}/floors/{floor}/remove`
pub(crate) async fn remove_floor(
    State(workflow): State<Workflow>,
    Place((id, floor)): Place<(ProjectId, FloorId)>,
    FormBody(asked): FormBody<RemoveIn>,
) -> Result<Redirect, WebError> {
    let opened = workflow.open(id).await?;
    let name = opened
        .project()
        .floors
        .get(floor)
        .map(|floor| floor.name.clone());
    let label = format!("{} removed with what is on it", name.unwrap_or_default());
    let key = ItemKey::Floor(floor);
    workflow
        .edit(id, asked.version, &Edit::Remove { key }, &label)
        .await?;
    Ok(to(id, "#floors"))
}

/// `GET /projects/{id}/catalogue.json`
pub(crate) async fn catalogue(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    let catalogue = &opened.project().catalogue;
    let mut text = serde_json::to_string_pretty(catalogue).expect("a catalogue has string keys");
    text.push('\n');
    let name = file_name(&format!("{} catalogue", opened.project().head.name), "json");
    Ok(download("application/json", &name, text).into_response())
}

/// `POST /projects/{id}/catalogue`: multipart `file`, `version`.
pub(crate) async fn put_catalogue(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    mut form: FileForm,
) -> Result<Redirect, WebError> {
    let (_, bytes) = form.take_file()?;
    let version = form
        .field("version")
        .and_then(|text| text.trim().parse().ok());
    let version =
        version.ok_or_else(|| WebError::refused("version", "missing", "reload the page."))?;
    let catalogue: Catalogue = serde_json::from_slice(&bytes).map_err(|error| {
        let remedy = "download the catalogue, change that file and send it back.";
        WebError::refused("catalogue", format!("no catalogue ({error})"), remedy)
    })?;
    let n_parts = catalogue.items.len();
    let label = format!("catalogue {} with {n_parts} parts", catalogue.name);
    workflow
        .edit(id, version, &Edit::SetCatalogue { catalogue }, &label)
        .await?;
    Ok(to(id, "#catalogue"))
}

pub(super) fn to(id: ProjectId, anchor: &str) -> Redirect {
    Redirect::to(&format!("/projects/{id}{anchor}"))
}

/// The version that a form of many fields was made for.
pub(super) fn version(fields: &[(String, String)]) -> Result<Version, WebError> {
    let text = field(fields, "version");
    let version = text.trim().parse().ok();
    version.ok_or_else(|| WebError::refused("version", "missing", "reload the page."))
}

/// What a form of many fields says under a name; empty where it says nothing.
pub(super) fn field<'a>(fields: &'a [(String, String)], name: &str) -> &'a str {
    let found = fields.iter().find(|(key, _)| key == name);
    found.map_or("", |(_, value)| value.as_str())
}

/// A number as people type it: with "." or ",", and with blanks about it.
pub(super) fn number(field: &str, text: &str) -> Result<f64, WebError> {
    let clean = text.trim().replace(',', ".").replace('−', "-");
    match clean.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(WebError::refused(
            field,
            format!("{text:?}"),
            "type a number, such as 2.70.",
        )),
    }
}

//! `/projects/{id}/floors/{floor}`: the drawing. The page is a frame that the editor fills.

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use crate::model::FloorId;
use crate::store::ProjectId;
use crate::web::error::WebError;
use crate::web::extract::Place;
use crate::web::layout::{Top, html};
use crate::workflow::Workflow;

#[derive(Template)]
#[template(path = "floor/show.html")]
struct FloorPage {
    top: Top,
    project: ProjectId,
    floor: u32,
    name: String,
    floors: Vec<Pick>,
}

/// A floor in the picker.
struct Pick {
    id: u32,
    name: String,
    here: bool,
}

/// `GET /projects/{id}/floors/{floor}`
pub(crate) async fn show(
    State(workflow): State<Workflow>,
    Place((id, floor)): Place<(ProjectId, FloorId)>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    let project = opened.project();
    let Some(here) = project.floors.get(floor) else {
        return Err(WebError::new(
            axum::http::StatusCode::NOT_FOUND,
            format!("There is no floor {floor} in this project. It may have been removed."),
        ));
    };
    let floors = project.floors_upwards();
    let pick = |other: &&crate::model::Floor| Pick {
        id: other.id.0,
        name: other.name.clone(),
        here: other.id == floor,
    };
    html(&FloorPage {
        top: Top::of(&opened, "floor"),
        project: id,
        floor: floor.0,
        name: here.name.clone(),
        floors: floors.iter().map(pick).collect(),
    })
}

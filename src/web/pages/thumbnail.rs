//! `/projects/{id}/floors/{floor}/thumbnail.svg`: a floor at a glance: walls, detectors, cable.

use std::fmt::Write as _;

use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};

use crate::geometry::Point;
use crate::model::{Band, FloorId, Project, Room};
use crate::store::ProjectId;
use crate::web::error::WebError;
use crate::web::extract::Place;
use crate::workflow::Workflow;

/// Of the picture, px.
const WIDTH: f64 = 190.0;
const HEIGHT: f64 = 118.0;
const MARGIN: f64 = 8.0;

/// `GET /projects/{id}/floors/{floor}/thumbnail.svg`
pub(crate) async fn get(
    State(workflow): State<Workflow>,
    Place((id, floor)): Place<(ProjectId, FloorId)>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    if !opened.project().floors.has(floor) {
        return Err(WebError::not_found());
    }
    let headers = [
        (header::CONTENT_TYPE, "image/svg+xml"),
        (header::CACHE_CONTROL, "no-cache"),
    ];
    Ok((headers, draw(opened.project(), floor)).into_response())
}

fn draw(project: &Project, floor: FloorId) -> String {
    let rooms: Vec<&Room> = project.rooms_on(floor).collect();
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" \
         width=\"{WIDTH}\" height=\"{HEIGHT}\">"
    );
    let corners = rooms.iter().flat_map(|room| room.outline.iter().copied());
    let Some(scale) = Scale::fitting(corners) else {
        svg.push_str("</svg>");
        return svg;
    };
    for room in rooms {
        let outline: Vec<String> = room.outline.iter().map(|&at| scale.text(at)).collect();
        let _ = write!(
            svg,
            "<polygon points=\"{}\" fill=\"none\" stroke=\"#14191e\" stroke-width=\"1.5\"/>",
            outline.join(" ")
        );
    }
    for detector in project
        .detectors
        .iter()
        .filter(|thing| thing.floor == floor)
    {
        let (x, y) = scale.at(detector.at);
        let colour = match detector.band {
            Band::High => "#0072b2",
            Band::Breathing => "#009e73",
            Band::Low => "#d55e00",
        };
        let _ = write!(
            svg,
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3\" fill=\"#fffffc\" stroke=\"{colour}\" \
             stroke-width=\"2\"/>"
        );
    }
    svg.push_str("</svg>");
    svg
}

struct Scale {
    px_per_m: f64,
    left: f64,
    top: f64,
}

impl Scale {
    /// The scale that shows all these points, in the middle; `None` where there is none.
    fn fitting(points: impl Iterator<Item = Point>) -> Option<Scale> {
        let mut bounds: Option<[f64; 4]> = None;
        for at in points {
            let [x0, y0, x1, y1] = bounds.unwrap_or([at.x, at.y, at.x, at.y]);
            bounds = Some([x0.min(at.x), y0.min(at.y), x1.max(at.x), y1.max(at.y)]);
        }
        let [x0, y0, x1, y1] = bounds?;
        let (w, h) = ((x1 - x0).max(0.1), (y1 - y0).max(0.1));
        let px_per_m = ((WIDTH - 2.0 * MARGIN) / w).min((HEIGHT - 2.0 * MARGIN) / h);
        Some(Scale {
            px_per_m,
            left: x0 - (WIDTH / px_per_m - w) / 2.0,
            top: y0 - (HEIGHT / px_per_m - h) / 2.0,
        })
    }

    fn at(&self, at: Point) -> (f64, f64) {
        (
            (at.x - self.left) * self.px_per_m,
            (at.y - self.top) * self.px_per_m,
        )
    }

    fn text(&self, at: Point) -> String {
        let (x, y) = self.at(at);
        format!("{x:.1},{y:.1}")
    }
}

//! What stands around every page: the bar with the project's tabs, and the line that offers undo.

use askama::Template;
use axum::response::{Html, IntoResponse, Response};

use crate::engine::Severity;
use crate::model::Jurisdiction;
use crate::store::{ProjectId, Version};
use crate::web::assets;
use crate::web::error::WebError;
use crate::workflow::Opened;

/// The bar at the top of a page.
#[derive(Debug, Clone)]
pub struct Top {
    /// Where the static files of this build lie, such as "/static/1a2b3c4d".
    pub assets: &'static str,
    /// The tab that is open.
    pub tab: &'static str,
    pub project: Option<TopProject>,
}

/// What the bar says of the open project.
#[derive(Debug, Clone)]
pub struct TopProject {
    pub id: ProjectId,
    pub version: Version,
    pub name: String,
    /// The floor the tab "Floor" opens.
    pub floor: Option<u32>,
    pub revision: String,
    pub jurisdiction: &'static str,
    /// Blockers and warnings.
    pub n_open: usize,
    pub undo: Option<String>,
    pub redo: Option<String>,
    pub last_edit: Option<String>,
}

impl Top {
    /// The bar of a page that belongs to no project.
    pub fn plain(tab: &'static str) -> Self {
        Top {
            assets: assets::base(),
            tab,
            project: None,
        }
    }

    /// The bar of a page of this project.
    pub fn of(opened: &Opened, tab: &'static str) -> Self {
        let project = opened.project();
        let open = |severity| severity != Severity::Note;
        let findings = opened.results.findings.iter();
        Top {
            assets: assets::base(),
            tab,
            project: Some(TopProject {
                id: opened.id,
                version: opened.standing.version,
                name: project.head.name.clone(),
                floor: project.floors_upwards().first().map(|floor| floor.id.0),
                revision: project.head.revision.clone(),
                jurisdiction: jurisdiction_short(project.head.jurisdiction),
                n_open: findings.filter(|finding| open(finding.severity)).count(),
                undo: opened.standing.undo.clone(),
                redo: opened.standing.redo.clone(),
                last_edit: opened.last_edit(),
            }),
        }
    }
}

/// A jurisdiction in the bar.
pub fn jurisdiction_short(jurisdiction: Jurisdiction) -> &'static str {
    match jurisdiction {
        Jurisdiction::Eu => "EU",
        Jurisdiction::Uk => "UK",
        Jurisdiction::Us => "US",
    }
}

/// A page as an answer.
pub fn html(page: &impl Template) -> Result<Response, WebError> {
    let text = page.render().map_err(|error| {
        tracing::error!(%error, "a page did not render");
        WebError::new(
            axum::http::StatusCode::INTERNAL_SERVER_ERROR,
            crate::web::error::FAULT,
        )
    })?;
    Ok(Html(text).into_response())
}

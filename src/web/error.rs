//! What went wrong, as a page or as JSON, always with what to do.
//!
//! A handler gives a [`WebError`]; it is rendered by the middleware [`render`], which knows whether
//! a page or the editor asked.

use askama::Template;
use axum::Json;
use axum::extract::Request;
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};
use serde::Serialize;

use crate::web::layout::Top;
use crate::workflow::{Refusal, WorkflowError};

/// An answer that is no success.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WebError {
    pub status: StatusCode,
    pub message: String,
    pub field: Option<String>,
    pub value: Option<String>,
    pub remedy: Option<String>,
}

/// The wire shape of an error.
#[derive(Serialize)]
struct Envelope<'a> {
    error: Inner<'a>,
}

#[derive(Serialize)]
struct Inner<'a> {
    message: &'a str,
    field: Option<&'a str>,
    value: Option<&'a str>,
    remedy: Option<&'a str>,
}

#[derive(Template)]
#[template(path = "error.html")]
struct ErrorPage<'a> {
    top: Top,
    title: &'a str,
    error: &'a WebError,
    project: Option<String>,
    can_reload: bool,
}

impl WebError {
    /// An error of this status in one sentence.
    pub fn new(status: StatusCode, message: impl Into<String>) -> Self {
        WebError {
            status,
            message: message.into(),
            field: None,
            value: None,
            remedy: None,
        }
    }

    /// Something in a request cannot be as it is.
    pub fn refused(field: &str, value: impl ToString, remedy: &str) -> Self {
        WorkflowError::from(Refusal::field(field, value, remedy)).into()
    }

    /// There is nothing at this address.
    pub fn not_found() -> Self {
        WebError::new(
            StatusCode::NOT_FOUND,
            "There is nothing at this address. It may have been deleted, or mistyped.",
        )
    }

    /// A request's body is larger than the route takes.
    pub fn too_large(limit_mib: usize) -> Self {
        WebError {
            status: StatusCode::PAYLOAD_TOO_LARGE,
            message: format!(
                "The file is larger than {limit_mib} MiB. Choose a smaller one: export only the \
                 floor you need, or save the picture at a lower resolution."
            ),
            field: Some("file".to_owned()),
            value: Some(format!("more than {limit_mib} MiB")),
            remedy: Some(
                "Export only the floor you need, or save the picture at a lower resolution."
                    .to_owned(),
            ),
        }
    }
}

impl From<WorkflowError> for WebError {
    fn from(error: WorkflowError) -> Self {
        match error {
            WorkflowError::Missing(message) => WebError::new(StatusCode::NOT_FOUND, message),
            WorkflowError::Stale(message) => WebError {
                remedy: Some("Reload the page and try again.".to_owned()),
                field: Some("version".to_owned()),
                ..WebError::new(StatusCode::CONFLICT, message)
            },
            WorkflowError::Refused(refusal) => WebError {
                status: StatusCode::UNPROCESSABLE_ENTITY,
                message: refusal.message,
                field: refusal.field,
                value: refusal.value,
                remedy: refusal.remedy,
            },
            WorkflowError::Machine(reason) => {
                tracing::error!(reason, "the machine failed");
                WebError::new(StatusCode::INTERNAL_SERVER_ERROR, FAULT)
            }
        }
    }
}

/// Said for every fault of the program or the machine; the reason is in the program's own output.
pub(crate) const FAULT: &str = "The program met a fault of its own or of the computer, and nothing was changed. See that the \
     disk is not full, then try again; the window the program was started from says more.";

impl IntoResponse for WebError {
    fn into_response(self) -> Response {
        let mut response = self.status.into_response();
        response.extensions_mut().insert(self);
        response
    }
}

/// Renders errors: JSON below /api/ and to a script that asks for it, a page elsewhere.
pub(crate) async fn render(request: Request, next: Next) -> Response {
    let accept = request.headers().get(header::ACCEPT).cloned();
    let path = request.uri().path().to_owned();
    let method = request.method().clone();
    let response = next.run(request).await;
    let (mut parts, body) = response.into_parts();
    let error = match parts.extensions.remove::<WebError>() {
        Some(error) => error,
        None if parts.status == StatusCode::METHOD_NOT_ALLOWED => WebError::new(
            StatusCode::METHOD_NOT_ALLOWED,
            format!("This address does not take {method}. Go back and use the page's own buttons."),
        ),
        None => return Response::from_parts(parts, body),
    };
    let asks_for_json = accept.is_some_and(|accept| accept == "application/json");
    let mut response = match path.starts_with("/api/") || asks_for_json {
        true => json(&error),
        false => page(&error, &path, &method),
    };
    copy_allow(&parts.headers, response.headers_mut());
    *response.status_mut() = error.status;
    response
}

fn copy_allow(from: &HeaderMap, to: &mut HeaderMap) {
    if let Some(allow) = from.get(header::ALLOW) {
        to.insert(header::ALLOW, allow.clone());
    }
}

fn json(error: &WebError) -> Response {
    let error = Inner {
        message: &error.message,
        field: error.field.as_deref(),
        value: error.value.as_deref(),
        remedy: error.remedy.as_deref(),
    };
    Json(Envelope { error }).into_response()
}

fn page(error: &WebError, path: &str, method: &Method) -> Response {
    let project = path
        .strip_prefix("/projects/")
        .and_then(|rest| rest.split('/').next())
        .filter(|id| id.parse::<i64>().is_ok() && path != format!("/projects/{id}"))
        .map(str::to_owned);
    let title = match error.status {
        StatusCode::NOT_FOUND => "Nothing is here",
        StatusCode::CONFLICT => "The project was changed elsewhere",
        StatusCode::UNPROCESSABLE_ENTITY | StatusCode::BAD_REQUEST => "That was not taken",
        StatusCode::PAYLOAD_TOO_LARGE => "The file is too large",
        StatusCode::FORBIDDEN => "Not from there",
        StatusCode::METHOD_NOT_ALLOWED => "Not this way",
        _ => "Something broke",
    };
    let page = ErrorPage {
        top: Top::plain(""),
        title,
        error,
        project,
        can_reload: method == Method::GET,
    };
    match page.render() {
        Ok(text) => Html(text).into_response(),
        Err(error) => {
            tracing::error!(%error, "the error page did not render");
            let kind = HeaderValue::from_static("text/plain; charset=utf-8");
            ([(header::CONTENT_TYPE, kind)], FAULT).into_response()
        }
    }
}

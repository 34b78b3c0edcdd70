//! The door: this server is for this computer only, and pages of other sites must not use it.
//!
//! The socket is bound to the loopback address; here the name asked for is checked (against
//! names that an attacker points at 127.0.0.1), and where a change comes from.

use axum::extract::Request;
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::web::error::WebError;

const POLICY: &str = "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; \
     base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

/// Lets in only what this computer's own pages ask.
pub(crate) async fn door(request: Request, next: Next) -> Response {
    match refuse(request.method(), request.headers()) {
        Some(error) => error.into_response(),
        None => next.run(request).await,
    }
}

/// Marks every answer with what the browser may do with it.
pub(crate) async fn mark(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    let fixed: [(HeaderName, &'static str); 6] = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (header::REFERRER_POLICY, "same-origin"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers
        .entry(header::CACHE_CONTROL)
        // What was true before an edit must not come back with the browser's Back.
        .or_insert(HeaderValue::from_static("no-store"));
    response
}

fn refuse(method: &Method, headers: &HeaderMap) -> Option<WebError> {
    let text = |name: HeaderName| headers.get(name).map(|value| value.to_str().unwrap_or(""));
    let host = text(header::HOST).unwrap_or("");
    if !is_local(host) {
        return Some(WebError::new(
            StatusCode::FORBIDDEN,
            "This program answers only on this computer, by the name localhost or 127.0.0.1. \
             Open it by the address it printed when it started.",
        ));
    }
    if matches!(*method, Method::GET | Method::HEAD) {
        return None;
    }
    let origin = text(header::ORIGIN);
    let from_elsewhere = origin.is_some_and(|origin| origin != format!("http://{host}"));
    let site = text(HeaderName::from_static("sec-fetch-site"));
    let from_other_site = site.is_some_and(|site| !matches!(site, "same-origin" | "none"));
    (from_elsewhere || from_other_site).then(|| {
        WebError::new(
            StatusCode::FORBIDDEN,
            "This change was asked for by a page of another site, so nothing was done. \
             Use the program's own pages.",
        )
    })
}

/// Whether a Host header names this computer: localhost, 127.0.0.1 or [::1], with or without port.
fn is_local(host: &str) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if port.parse::<u16>().is_ok() => name,
        _ => host,
    };
    matches!(
        name.to_ascii_lowercase().as_str(),
        "localhost" | "127.0.0.1" | "[::1]"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_this_computer_are_local() {
        for host in [
            "localhost",
            "localhost:7420",
            "127.0.0.1:80",
            "[::1]:7420",
            "LOCALHOST",
        ] {
            assert!(is_local(host), "{host}");
        }
        for host in [
            "",
            "example.com",
            "localhost.example.com",
            "127.0.0.1.example.com:80",
            "evil:7420",
        ] {
            assert!(!is_local(host), "{host}");
        }
    }
}

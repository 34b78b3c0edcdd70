//! The static files, carried in the program; their address holds a hash of all of them.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};

use crate::web::error::WebError;

#[derive(rust_embed::Embed)]
#[folder = "static/"]
struct Static;

static BASE: LazyLock<String> = LazyLock::new(|| {
    let mut hash = Sha256::new();
    let mut names: Vec<_> = Static::iter().collect();
    names.sort();
    for name in names {
        if let Some(file) = Static::get(&name) {
            hash.update(name.as_bytes());
            hash.update(file.metadata.sha256_hash());
        }
    }
    let digest = hash.finalize();
    let build: String = digest[..6]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    format!("/static/{build}")
});

/// Where the static files of this build lie.
pub fn base() -> &'static str {
    &BASE
}

/// `GET /static/{build}/{path}`
pub(crate) async fn get(Path((build, path)): Path<(String, String)>) -> Result<Response, WebError> {
    let file = Static::get(&path).ok_or_else(WebError::not_found)?;
    let of_this_build = BASE.strip_prefix("/static/") == Some(build.as_str());
    let cache = match of_this_build {
        true => "public, max-age=31536000, immutable",
        false => "no-cache",
    };
    let headers = [
        (header::CONTENT_TYPE, kind(&path)),
        (header::CACHE_CONTROL, cache),
    ];
    Ok((headers, file.data.into_owned()).into_response())
}

/// `GET /favicon.ico`: browsers ask for it whatever the page says.
pub(crate) async fn favicon() -> Result<Response, WebError> {
    get(Path(("".to_owned(), "img/favicon.svg".to_owned()))).await
}

fn kind(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or("") {
        "css" => "text/css; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "woff2" => "font/woff2",
        "ttf" => "font/ttf",
        "json" => "application/json",
        "txt" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

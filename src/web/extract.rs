//! What handlers take from a request; what cannot be read is refused in our own words.

use axum::body::Bytes;
use axum::extract::multipart::{Multipart, MultipartError};
use axum::extract::{FromRequest, FromRequestParts, Path, Request};
use axum::http::StatusCode;
use axum::http::request::Parts;
use serde::de::DeserializeOwned;

use crate::web::error::WebError;

/// The largest file a form takes, MiB.
pub const FILE_MIB: usize = 64;

/// The parts of the address; one that cannot be is no address of ours.
pub struct Place<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned + Send> FromRequestParts<S> for Place<T> {
    type Rejection = WebError;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, WebError> {
        match Path::<T>::from_request_parts(parts, state).await {
            Ok(Path(place)) => Ok(Place(place)),
            Err(_) => Err(WebError::not_found()),
        }
    }
}

/// The part of the address after "?".
pub struct Asked<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequestParts<S> for Asked<T> {
    type Rejection = WebError;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, WebError> {
        let query = axum::extract::Query::<T>::try_from_uri(&parts.uri);
        let query = query.map_err(|_| {
            let remedy = "follow a link of the page instead of typing the address.";
            WebError::refused("address", parts.uri.query().unwrap_or(""), remedy)
        })?;
        Ok(Asked(query.0))
    }
}

/// A JSON body.
pub struct JsonBody<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for JsonBody<T> {
    type Rejection = WebError;

    async fn from_request(request: Request, state: &S) -> Result<Self, WebError> {
        let bytes = whole(request, state).await?;
        serde_json::from_slice(&bytes)
            .map(JsonBody)
            .map_err(|error| WebError {
                field: Some("body".to_owned()),
                remedy: Some("Reload the page; if it stays, report what you did.".to_owned()),
                ..WebError::new(
                    StatusCode::UNPROCESSABLE_ENTITY,
                    format!("The request does not fit: {error}. Reload the page and try again."),
                )
            })
    }
}

/// The fields of a form without files.
pub struct FormBody<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for FormBody<T> {
    type Rejection = WebError;

    async fn from_request(request: Request, state: &S) -> Result<Self, WebError> {
        match axum::extract::Form::<T>::from_request(request, state).await {
            Ok(form) => Ok(FormBody(form.0)),
            Err(rejection) if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE => {
                Err(WebError::too_large(2))
            }
            Err(_) => {
                let remedy = "load the page again and fill in its form.";
                Err(WebError::refused(
                    "form",
                    "incomplete or of another shape",
                    remedy,
                ))
            }
        }
    }
}

/// A form with one file, and its other fields as text.
#[derive(Debug, Default)]
pub struct FileForm {
    pub file: Option<(String, Vec<u8>)>,
    pub fields: Vec<(String, String)>,
}

impl FileForm {
    /// The text of a field.
    pub fn field(&self, name: &str) -> Option<&str> {
        let mut fields = self.fields.iter();
        fields
            .find(|(key, _)| key == name)
            .map(|(_, value)| value.as_str())
    }

    /// The file chosen, by its name and bytes.
    pub fn take_file(&mut self) -> Result<(String, Vec<u8>), WebError> {
        let chosen = self
            .file
            .take()
            .filter(|(name, bytes)| !name.is_empty() || !bytes.is_empty());
        chosen.ok_or_else(|| WebError::refused("file", "missing", "choose a file first."))
    }
}

impl<S: Send + Sync> FromRequest<S> for FileForm {
    type Rejection = WebError;

    async fn from_request(request: Request, state: &S) -> Result<Self, WebError> {
        let Ok(mut parts) = Multipart::from_request(request, state).await else {
            let remedy = "send it as multipart/form-data, as the page's form does.";
            return Err(WebError::refused("form", "of another kind", remedy));
        };
        let mut form = FileForm::default();
        while let Some(part) = parts.next_field().await.map_err(broken)? {
            let name = part.name().unwrap_or("").to_owned();
            if name == "file" {
                let file_name = part.file_name().unwrap_or("").to_owned();
                let bytes = part.bytes().await.map_err(broken)?;
                if bytes.len() > FILE_MIB * 1024 * 1024 {
                    return Err(WebError::too_large(FILE_MIB));
                }
                form.file = Some((file_name, bytes.to_vec()));
            } else {
                form.fields.push((name, part.text().await.map_err(broken)?));
            }
        }
        Ok(form)
    }
}

async fn whole<S: Send + Sync>(request: Request, state: &S) -> Result<Bytes, WebError> {
    Bytes::from_request(request, state)
        .await
        .map_err(|rejection| match rejection.status() {
            StatusCode::PAYLOAD_TOO_LARGE => WebError::too_large(FILE_MIB),
            _ => cut_off(),
        })
}

fn broken(error: MultipartError) -> WebError {
    match error.status() {
        StatusCode::PAYLOAD_TOO_LARGE => WebError::too_large(FILE_MIB),
        _ => cut_off(),
    }
}

fn cut_off() -> WebError {
    WebError::refused("form", "cut off or damaged", "send it once more.")
}

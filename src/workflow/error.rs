//! Why something was not done, in words that say what to do.

use crate::model::{EditError, FileError};
use crate::plan::SheetError;
use crate::store::StoreError;

/// Something that cannot be as it was given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    pub message: String,
    pub field: Option<String>,
    pub value: Option<String>,
    pub remedy: Option<String>,
}

/// Why the workshop did not do it. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum WorkflowError {
    /// What was asked for is not there.
    #[error("{0}")]
    Missing(String),
    /// The project moved on since the page was loaded.
    #[error("{0}")]
    Stale(String),
    #[error("{}", .0.message)]
    Refused(Refusal),
    /// The machine, not the user: disk, memory, database.
    #[error("{0}")]
    Machine(String),
}

impl Refusal {
    /// A refusal that names the field, its value and the remedy.
    pub fn field(
        field: impl Into<String>,
        value: impl ToString,
        remedy: impl Into<String>,
    ) -> Self {
        let (field, value, remedy) = (field.into(), value.to_string(), remedy.into());
        Refusal {
            message: format!("{} is {value}: {remedy}", capital(&field)),
            field: Some(field),
            value: Some(value),
            remedy: Some(remedy),
        }
    }

    /// A refusal in one sentence, about this field.
    pub fn sentence(field: &str, message: impl Into<String>) -> Self {
        Refusal {
            message: message.into(),
            field: Some(field.to_owned()),
            value: None,
            remedy: None,
        }
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

impl From<Refusal> for WorkflowError {
    fn from(refusal: Refusal) -> Self {
        WorkflowError::Refused(refusal)
    }
}

impl From<EditError> for WorkflowError {
    fn from(error: EditError) -> Self {
        match error {
            EditError::Field {
                field,
                value,
                remedy,
            } => Refusal::field(field, value, remedy).into(),
            EditError::Taken(key) | EditError::Missing(key) => WorkflowError::Refused(Refusal {
                message: error.to_string(),
                field: Some(key.noun().to_owned()),
                value: Some(key.number().to_string()),
                remedy: None,
            }),
        }
    }
}

impl From<FileError> for WorkflowError {
    fn from(error: FileError) -> Self {
        let (field, value) = match &error {
            FileError::OtherFormat(format) => ("format", Some(format.clone())),
            FileError::OtherVersion(version) => ("version", Some(version.to_string())),
            FileError::NotJson(_) | FileError::Shape(_) => ("file", None),
            FileError::Project(edit) => return edit.clone().into(),
        };
        let message = error.to_string();
        // The messages of `FileError` end with what to do.
        let remedy = message
            .trim_end_matches('.')
            .rsplit_once(". ")
            .map(|(_, last)| last);
        let remedy = remedy.or_else(|| message.rsplit_once("; ").map(|(_, last)| last));
        WorkflowError::Refused(Refusal {
            field: Some(field.to_owned()),
            value,
            remedy: remedy.map(str::to_owned),
            message,
        })
    }
}

impl From<SheetError> for WorkflowError {
    fn from(error: SheetError) -> Self {
        let message = error.to_string();
        let remedy = message.split_once(". ").map(|(_, rest)| rest.to_owned());
        WorkflowError::Refused(Refusal {
            field: Some(error.field().to_owned()),
            value: None,
            remedy,
            message,
        })
    }
}

impl From<StoreError> for WorkflowError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::NoProject(id) => WorkflowError::Missing(format!(
                "There is no project {id}. It may have been deleted; the list of projects shows those there are."
            )),
            StoreError::Stale { .. } => WorkflowError::Stale(
                "The project was changed elsewhere since this page was loaded, so nothing was done. \
                 Reload the page and try again."
                    .to_owned(),
            ),
            StoreError::NothingToUndo | StoreError::NothingToRedo => {
                Refusal::sentence("version", error.to_string()).into()
            }
            other => WorkflowError::Machine(other.to_string()),
        }
    }
}

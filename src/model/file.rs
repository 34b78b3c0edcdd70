//! The project file: one project, whole, with the pictures of its plan sheets.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model::edit::{EditError, check};
use crate::model::project::Project;

/// The version this program writes and reads.
pub const FILE_VERSION: u32 = 1;

/// Name of the format, the first thing in every project file.
pub const FILE_FORMAT: &str = "brattice-project";

/// What an export holds and an import reads.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ProjectFile {
    /// Always "brattice-project".
    pub format: String,
    /// Version of the format.
    pub version: u32,
    pub project: Project,
    /// The pictures of the plan sheets by fingerprint: PNG in base64.
    #[serde(default)]
    pub sheets: BTreeMap<String, String>,
}

/// Why a project file was refused.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    #[error("The file is not JSON: {0}. Export the project again, or mend that place.")]
    NotJson(String),
    #[error(
        "`format` is {0:?}; it must be \"brattice-project\". Choose a file that this program exported."
    )]
    OtherFormat(String),
    #[error(
        "`version` is {0}; this program reads version {FILE_VERSION}. Export the project again with a program of the same version."
    )]
    OtherVersion(u64),
    #[error(
        "The project file does not fit its schema: {0}. `brattice schema` prints what may stand there."
    )]
    Shape(String),
    #[error(transparent)]
    Project(#[from] EditError),
}

impl ProjectFile {
    /// A file of this project and these pictures.
    pub fn new(project: Project, sheets: BTreeMap<String, String>) -> Self {
        ProjectFile {
            format: FILE_FORMAT.to_owned(),
            version: FILE_VERSION,
            project,
            sheets,
        }
    }

    /// Reads and checks a project file.
    pub fn read(text: &str) -> Result<ProjectFile, FileError> {
        let value: serde_json::Value =
            serde_json::from_str(text).map_err(|error| FileError::NotJson(error.to_string()))?;
        let format = value
            .get("format")
            .and_then(|format| format.as_str())
            .unwrap_or("");
        if format != FILE_FORMAT {
            return Err(FileError::OtherFormat(format.to_owned()));
        }
        let version = value
            .get("version")
            .and_then(|version| version.as_u64())
            .unwrap_or(0);
        if version != u64::from(FILE_VERSION) {
            return Err(FileError::OtherVersion(version));
        }
        let file: ProjectFile =
            serde_json::from_str(text).map_err(|error| FileError::Shape(error.to_string()))?;
        check(&file.project)?;
        Ok(file)
    }

    /// The file as JSON, the same bytes for the same project.
    pub fn write(&self) -> String {
        let mut text = serde_json::to_string_pretty(self).expect("a project has only string keys");
        text.push('\n');
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(text: &str) -> String {
        ProjectFile::read(text)
            .expect_err("the file must be refused")
            .to_string()
    }

    #[test]
    fn a_project_reads_back_as_it_was_written() {
        let mut project = Project::default();
        project.head.name = "Plant".to_owned();
        let file = ProjectFile::new(project, BTreeMap::new());
        assert_eq!(ProjectFile::read(&file.write()).expect("own file"), file);
    }

    #[test]
    fn what_is_no_project_file_is_refused_with_the_remedy() {
        assert!(refused("{").starts_with("The file is not JSON"));
        assert!(refused(r#"{"format":"other"}"#).contains("Choose a file that this program"));
        let other_version = r#"{"format":"brattice-project","version":9}"#;
        assert!(refused(other_version).starts_with("`version` is 9; this program reads version 1"));
    }

    #[test]
    fn an_unknown_field_is_named() {
        let text = r#"{"format":"brattice-project","version":1,
            "project":{"head":{"name":"A","colour":"red"}}}"#;
        assert!(refused(text).contains("`colour`"));
    }

    #[test]
    fn two_rooms_with_one_id_are_refused() {
        let room = r#"{"id":1,"floor":1,"number":"1","name":"A","room_use":"office",
            "outline":[[0,0],[1,0],[1,1]]}"#;
        let text = format!(
            r#"{{"format":"brattice-project","version":1,"project":{{"head":{{"name":"A"}},
            "floors":[{{"id":1,"name":"Ground","elevation":0}}],"rooms":[{room},{room}]}}}}"#
        );
        assert!(refused(&text).contains("two entries are room 1"));
    }
}

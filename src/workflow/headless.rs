//! A project file calculated without browser or database: bytes in, named files out.

use serde::Serialize;

use crate::documents::{CAUTION, Issue, Table, content, project_document, writers};
use crate::engine::{self, Results, Scope, Silent, Suggestion, placement};
use crate::model::{Project, ProjectFile, apply};
use crate::workflow::projects::read_file;
use crate::workflow::{Refusal, WorkflowError, clock};

/// What a calculation gives.
#[derive(Debug)]
pub struct Calculated {
    /// Name and bytes of every file.
    pub files: Vec<(String, Vec<u8>)>,
    /// Sentences for the person at the terminal: what was suggested and what could not be met.
    pub remarks: Vec<String>,
}

/// What results.json holds.
#[derive(Serialize)]
struct IssuedResults<'a> {
    /// Year, month and day.
    issued: &'a str,
    caution: &'a str,
    #[serde(flatten)]
    results: &'a Results,
}

/// Calculates a project file. With `suggest`, detectors are suggested for the whole project and
/// wired first, as if both suggestions were accepted; the completed project is a file, too. Equal
/// bytes give equal bytes, where SOURCE_DATE_EPOCH sets the date.
///
/// # Errors
/// [`WorkflowError::Refused`] names the field, its value and the remedy.
pub fn calculate(bytes: &[u8], suggest: bool, author: &str) -> Result<Calculated, WorkflowError> {
    let (mut project, sheets) = read_file(bytes)?;
    let date = clock::issue_date();
    let issue = Issue {
        date: date.map_err(|message| Refusal::sentence("SOURCE_DATE_EPOCH", message))?,
        author: author.to_owned(),
    };
    let mut remarks = Vec::new();
    if suggest {
        let detectors = engine::suggest(&project, Scope::Project, &Silent);
        project = accept(&project, detectors, &mut remarks)?;
        let wiring = engine::wire(&project, &Silent);
        project = accept(&project, wiring, &mut remarks)?;
    }
    let results = engine::run(&project, &Silent);
    let document = project_document(&project, &results, &sheets, &issue);
    let fault = |error: String| WorkflowError::Machine(error);
    let pdf = writers::pdf(&document).map_err(|error| fault(error.to_string()))?;
    let issued = IssuedResults {
        issued: &issue.date,
        caution: CAUTION,
        results: &results,
    };
    let mut text =
        serde_json::to_string_pretty(&issued).map_err(|error| fault(error.to_string()))?;
    text.push('\n');
    let csv = |table: Table| writers::csv(&table, &issue);
    let mut files = vec![
        ("results.json".to_owned(), text.into_bytes()),
        (
            "detector-schedule.csv".to_owned(),
            csv(content::detector_schedule(&project, &results)),
        ),
        (
            "cable-schedule.csv".to_owned(),
            csv(content::cable_schedule(&project, &results)),
        ),
        (
            "bill-of-materials.csv".to_owned(),
            csv(content::bill_of_materials(&project, &results)),
        ),
        ("project.pdf".to_owned(), pdf),
    ];
    for (cover, number) in placement::covers(&project, &Silent).iter().zip(1..) {
        let text = serde_json::to_vec(cover).map_err(|error| fault(error.to_string()))?;
        files.push((format!("cover-{number:02}.json"), text));
    }
    if suggest {
        let coded = sheets
            .iter()
            .map(|(image, png)| (image.clone(), base64_of(png)))
            .collect();
        let file = ProjectFile::new(project, coded);
        files.push(("project.json".to_owned(), file.write().into_bytes()));
    }
    Ok(Calculated { files, remarks })
}

fn accept(
    project: &Project,
    suggestion: Suggestion,
    remarks: &mut Vec<String>,
) -> Result<Project, WorkflowError> {
    remarks.push(suggestion.summary);
    remarks.extend(suggestion.remarks);
    Ok(apply(project, &suggestion.edit)?)
}

fn base64_of(png: &[u8]) -> String {
    use base64::Engine as _;
    base64::engine::general_purpose::STANDARD.encode(png)
}

//! Documents of a project: the sheets fetched, the date set, the writing done off the async pool.

use std::sync::Arc;

use crate::documents::{
    CalculationSheets, Chosen, Issue, Table, calculation_sheets, content, project_document, writers,
};
use crate::engine::{Silent, placement};
use crate::workflow::{Opened, Refusal, Workflow, WorkflowError, clock, recalculate};

impl Workflow {
    /// All schedules as one XLSX workbook.
    pub async fn workbook(&self, opened: Arc<Opened>) -> Result<Vec<u8>, WorkflowError> {
        let issue = self.issue()?;
        let write = move || {
            let tables = content::tables(opened.project(), &opened.results);
            writers::xlsx(&tables, &issue)
        };
        let written = recalculate::off_pool(write).await?;
        written.map_err(|error| WorkflowError::Machine(error.to_string()))
    }

    /// Every cover problem with its solution, a JSON array of the form `cover-1`.
    pub async fn covers(&self, opened: Arc<Opened>) -> Result<Vec<u8>, WorkflowError> {
        let solve = move || serde_json::to_vec(&placement::covers(opened.project(), &Silent));
        let written = recalculate::off_pool(solve).await?;
        written.map_err(|error| WorkflowError::Machine(error.to_string()))
    }

    /// The whole design as one PDF.
    pub async fn project_pdf(&self, opened: Arc<Opened>) -> Result<Vec<u8>, WorkflowError> {
        let issue = self.issue()?;
        let sheets = self.sheets_of(opened.id, opened.project()).await?;
        let write = move || {
            let (project, results) = (opened.project(), &opened.results);
            writers::pdf(&project_document(project, results, &sheets, &issue))
        };
        let written = recalculate::off_pool(write).await?;
        written.map_err(|error| WorkflowError::Machine(error.to_string()))
    }

    /// The calculation sheets of the chosen releases as one PDF.
    pub async fn calculation_pdf(
        &self,
        opened: Arc<Opened>,
        chosen: Chosen,
    ) -> Result<Vec<u8>, WorkflowError> {
        let issue = self.issue()?;
        let write = move || {
            let sheets = calculation_sheets(opened.project(), &opened.results, &issue, chosen);
            writers::calculation_pdf(&sheets)
        };
        let written = recalculate::off_pool(write).await?;
        written.map_err(|error| WorkflowError::Machine(error.to_string()))
    }

    /// The calculation sheets of the chosen releases, to be shown.
    pub async fn calculation(
        &self,
        opened: Arc<Opened>,
        chosen: Chosen,
    ) -> Result<CalculationSheets, WorkflowError> {
        let issue = self.issue()?;
        let make = move || calculation_sheets(opened.project(), &opened.results, &issue, chosen);
        recalculate::off_pool(make).await
    }

    /// One table as CSV.
    pub fn csv(&self, table: &Table) -> Result<Vec<u8>, WorkflowError> {
        Ok(writers::csv(table, &self.issue()?))
    }

    fn issue(&self) -> Result<Issue, WorkflowError> {
        let date = clock::issue_date();
        Ok(Issue {
            date: date.map_err(|message| Refusal::sentence("SOURCE_DATE_EPOCH", message))?,
            author: self.author().to_owned(),
        })
    }
}

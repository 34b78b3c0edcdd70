//! What a person does with projects: make, edit, recalculate, import, export.
//!
//! The clock lives here, and heavy work is taken off the async pool here. It knows no HTTP.

mod clock;
mod error;
mod projects;
mod edits;
mod sheets;
mod substances;
mod recalculate;
mod jobs;
mod documents;
mod labels;
mod compare;
mod headless;
mod inquiry;

use std::sync::Arc;

use tokio::sync::Semaphore;

pub use clock::issue_date;
pub use edits::Opened;
pub use error::{Refusal, WorkflowError};
pub use headless::{Calculated, calculate};
pub use inquiry::{Inquiry, inquire};
pub use jobs::{JobReport, Work};
pub use projects::NewHead;
pub use sheets::PlanFile;

use crate::store::Store;

/// Plan sheets read at the same time: each may take some hundred megabytes.
const SHEETS_AT_ONCE: usize = 1;

/// Comparisons of covers at the same time.
const COMPARISONS_AT_ONCE: usize = 1;

/// Long searches at the same time.
const JOBS_AT_ONCE: usize = 1;

/// The workshop: one database and what is being calculated of it. Cheap to clone.
#[derive(Clone)]
pub struct Workflow {
    inner: Arc<Inner>,
}

struct Inner {
    store: Store,
    author: String,
    cache: recalculate::Cache,
    jobs: jobs::Jobs,
    sheets: Semaphore,
    comparisons: Semaphore,
}

impl Workflow {
    /// Works on this database; the log names `author`.
    pub fn new(store: Store, author: impl Into<String>) -> Self {
        Workflow {
            inner: Arc::new(Inner {
                store,
                author: author.into(),
                cache: recalculate::Cache::default(),
                jobs: jobs::Jobs::new(JOBS_AT_ONCE),
                sheets: Semaphore::new(SHEETS_AT_ONCE),
                comparisons: Semaphore::new(COMPARISONS_AT_ONCE),
            }),
        }
    }

    /// Who the log and the documents name.
    pub fn author(&self) -> &str {
        &self.inner.author
    }

    /// Cancels what is being searched and closes the database.
    pub async fn close(&self) {
        self.inner.jobs.cancel_all();
        self.inner.store.close().await;
    }

    fn store(&self) -> &Store {
        &self.inner.store
    }
}

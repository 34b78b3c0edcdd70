//! Results of the present version of a project, calculated once.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use crate::engine::{self, Results, Silent};
use crate::model::Project;
use crate::store::{ProjectId, Version};
use crate::workflow::WorkflowError;
use crate::workflow::edits::Opened;

/// So many versions are kept; a person works on one project, or compares two.
const KEPT: usize = 8;

/// What was opened last, with results.
#[derive(Default)]
pub(crate) struct Cache {
    opened: Mutex<VecDeque<Arc<Opened>>>,
    /// One calculation at a time, so that two tabs do not calculate the same thing twice.
    pub(crate) busy: tokio::sync::Mutex<()>,
}

impl Cache {
    pub(crate) fn get(&self, id: ProjectId, version: Version) -> Option<Arc<Opened>> {
        let opened = self.opened.lock().unwrap_or_else(PoisonError::into_inner);
        opened
            .iter()
            .find(|entry| entry.id == id && entry.standing.version == version)
            .cloned()
    }

    pub(crate) fn put(&self, entry: Arc<Opened>) {
        let mut opened = self.opened.lock().unwrap_or_else(PoisonError::into_inner);
        opened.push_front(entry);
        opened.truncate(KEPT);
    }
}

/// Runs the engine off the async pool.
pub(crate) async fn run(project: Arc<Project>) -> Result<Results, WorkflowError> {
    off_pool(move || engine::run(&project, &Silent)).await
}

/// Does heavy work off the async pool. A panic there is a fault of the program: it is reported as
/// such, and the log keeps it.
pub(crate) async fn off_pool<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, WorkflowError> {
    tokio::task::spawn_blocking(work).await.map_err(|error| {
        tracing::error!(%error, "a calculation broke off");
        WorkflowError::Machine("The calculation broke off; the project is as it was.".to_owned())
    })
}

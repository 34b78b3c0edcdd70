//! A cover beside one detector fewer and other votes, worked out when somebody asks.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::engine::Progress;
use crate::engine::placement::{CoverKey, compare};
use crate::engine::results::Comparison;
use crate::store::{ProjectId, Version};
use crate::workflow::{Workflow, WorkflowError, recalculate};

impl Workflow {
    /// The comparison of a cover, with the version it holds for; `None` where there is no such
    /// cover. It is stopped where nobody waits for the answer any more.
    pub async fn compare(
        &self,
        id: ProjectId,
        key: CoverKey,
    ) -> Result<Option<(Version, Comparison)>, WorkflowError> {
        let opened = self.open(id).await?;
        let version = opened.standing.version;
        let wanted = Wanted(Arc::default());
        let told = Unwanted(wanted.0.clone());
        // One at a time, and those that nobody waits for any more give up their turn.
        let _turn = self.inner.comparisons.acquire().await;
        let found = recalculate::off_pool(move || compare(opened.project(), &key, &told)).await?;
        Ok(found.map(|comparison| (version, comparison)))
    }
}

/// Held as long as somebody waits for the answer.
struct Wanted(Arc<AtomicBool>);

impl Drop for Wanted {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

/// Learns that nobody waits any more.
struct Unwanted(Arc<AtomicBool>);

impl Progress for Unwanted {
    fn report(&self, _: &str, _: usize, _: usize, _: Option<usize>) {}

    fn cancelled(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_waits_no_more_stops_it() {
        let wanted = Wanted(Arc::default());
        let told = Unwanted(wanted.0.clone());
        assert!(!told.cancelled());
        drop(wanted);
        assert!(told.cancelled());
    }
}

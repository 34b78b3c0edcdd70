//! The substances of a project are known ones, before they are written.

use crate::engine::gas;
use crate::model::{Detector, Project, ReleaseSource};
use crate::workflow::{Refusal, WorkflowError};

/// Refuses a substance that no table knows, where `after` adds it or changes to it. What `before`
/// holds already stays, so that an old project can still be edited; the findings name it.
///
/// # Errors
/// [`WorkflowError::Refused`] names the field, its value and the remedy.
pub(crate) fn check(before: &Project, after: &Project) -> Result<(), WorkflowError> {
    for source in &after.sources {
        let was = before.sources.get(source.id);
        let same = was.is_some_and(|was: &ReleaseSource| was.substance == source.substance);
        let field = || format!("substance of release source {}", source.name);
        known(same, field, &source.substance)?;
    }
    for detector in &after.detectors {
        let was = before.detectors.get(detector.id);
        let same = was.is_some_and(|was: &Detector| was.watches == detector.watches);
        let field = || format!("substance of detector {}", detector.tag);
        known(same, field, &detector.watches)?;
    }
    Ok(())
}

fn known(same: bool, field: impl Fn() -> String, key: &str) -> Result<(), WorkflowError> {
    match same || gas::find(key).is_some() {
        true => Ok(()),
        false => {
            let remedy = "no table knows it; choose one from the list.";
            Err(Refusal::field(field(), format!("{key:?}"), remedy).into())
        }
    }
}

//! The substances of a project are known ones, before they are written.

use crate::engine::gas::Substances;
use crate::engine::gas::mixture;
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
        known(after, same, field, &source.substance)?;
    }
    for detector in &after.detectors {
        let was = before.detectors.get(detector.id);
        let same = was.is_some_and(|was: &Detector| was.watches == detector.watches);
        let field = || format!("substance of detector {}", detector.tag);
        known(after, same, field, &detector.watches)?;
    }
    for stated in &after.mixtures {
        let same = before.mixtures.get(stated.id) == Some(stated);
        if let Some(key) = mixture::unknown(stated).first().filter(|_| !same) {
            let field = format!("component of mixture {}", stated.name);
            let remedy = "no table knows it; choose one from the list.";
            return Err(Refusal::field(field, format!("{key:?}"), remedy).into());
        }
    }
    Ok(())
}

fn known(
    project: &Project,
    same: bool,
    field: impl Fn() -> String,
    key: &str,
) -> Result<(), WorkflowError> {
    match same || Substances::of(project).find(key).is_some() {
        true => Ok(()),
        false => {
            let remedy = "no table knows it; choose one from the list.";
            Err(Refusal::field(field(), format!("{key:?}"), remedy).into())
        }
    }
}

//! The substances of a project are known ones, before they are written.

use crate::engine::gas::{self, Substances, mixture};
use crate::model::{Detector, Project, ReleaseSource, StatedSubstance};
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
    for stated in &after.substances {
        if before.substances.get(stated.id) != Some(stated) {
            own_figures(after, stated)?;
        }
    }
    for stated in &after.mixtures {
        let same = before.mixtures.get(stated.id) == Some(stated);
        if let Some(key) = mixture::unknown(after, stated).first().filter(|_| !same) {
            let field = format!("component of mixture {}", stated.name);
            let remedy = "no table knows it; choose one from the list.";
            return Err(Refusal::field(field, format!("{key:?}"), remedy).into());
        }
    }
    Ok(())
}

/// What is stated of a substance, held against what the tables know.
fn own_figures(project: &Project, stated: &StatedSubstance) -> Result<(), WorkflowError> {
    let called = stated.called();
    let of_tables = match &stated.of {
        Some(key) => gas::find(key).filter(|known| known.key == key.as_str()),
        None => None,
    };
    if !stated.is_own() && of_tables.is_none() {
        let remedy = "no table knows it; choose one from the list, or state one of your own.";
        return Err(Refusal::field("substance", format!("{called:?}"), remedy).into());
    }
    if stated.is_own() {
        let names = [Some(called), stated.cas.as_deref()];
        let taken = names.into_iter().flatten().find_map(|name| {
            let known = gas::find(name)?;
            Some((name, known.name.as_ref()))
        });
        if let Some((name, known)) = taken {
            let field = format!("name or CAS number of {called}");
            let remedy = format!("that is {known}, which is known; state figures of it instead.");
            return Err(Refusal::field(field, format!("{name:?}"), &remedy).into());
        }
    }
    let Some(known) = Substances::of(project).find(&stated.key()) else {
        return Ok(());
    };
    let jurisdiction = project.head.jurisdiction;
    let limits = (known.lfl_in(jurisdiction), known.ufl_in(jurisdiction));
    if let (Some(lower), Some(upper)) = limits {
        let (lower, upper) = (lower.figure.value, upper.figure.value);
        if lower >= upper {
            let field = format!("lower flammable limit of {}", known.name);
            let remedy =
                format!("it must lie below the upper flammable limit, which is {upper} %vol.");
            return Err(Refusal::field(field, format!("{lower} %vol"), &remedy).into());
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

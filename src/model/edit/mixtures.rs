//! What must hold of the mixtures that the designer states, and of what uses them.

use std::collections::BTreeSet;

use crate::model::edit::{EditError, ItemKey};
use crate::model::mixture::{Mixture, SUM_TOLERANCE};
use crate::model::project::Project;

/// So many parts are as many as a gas certificate lists.
pub const MOST_PARTS: usize = 40;

/// Checks every mixture, and that what names a mixture names one of the project.
///
/// # Errors
/// The first thing that cannot be as it is, by its field.
pub fn check(project: &Project) -> Result<(), EditError> {
    let mut names = BTreeSet::new();
    for mixture in &project.mixtures {
        let name = mixture.name.trim().to_lowercase();
        if name.is_empty() {
            let remedy = "type a name, such as Biogas.";
            return Err(EditError::field(
                format!("name of mixture {}", mixture.id),
                "empty",
                remedy,
            ));
        }
        if !names.insert(name) {
            return Err(EditError::field(
                "name of a mixture",
                format!("{:?} twice", mixture.name.trim()),
                "give each mixture a name of its own.",
            ));
        }
        parts(mixture)?;
    }
    used(project)
}

/// Whether `key` may be taken away: a mixture only when nothing uses it.
///
/// # Errors
/// Names what uses it.
pub fn may_go(project: &Project, key: ItemKey) -> Result<(), EditError> {
    let ItemKey::Mixture(id) = key else {
        return Ok(());
    };
    let Some(mixture) = project.mixtures.get(id) else {
        return Ok(());
    };
    let key = mixture.key();
    let mut users: Vec<String> = (project.sources.iter())
        .filter(|source| source.substance == key)
        .map(|source| format!("release source {}", source.name))
        .collect();
    let watching = project.detectors.iter().filter(|one| one.watches == key);
    users.extend(watching.map(|detector| detector.tag.clone()));
    match users.as_slice() {
        [] => Ok(()),
        users => Err(EditError::field(
            format!("mixture {}", mixture.name),
            format!("in use by {}", users.join(", ")),
            "choose another substance there first.",
        )),
    }
}

fn parts(mixture: &Mixture) -> Result<(), EditError> {
    let of = format!("mixture {}", mixture.name.trim());
    let n_parts = mixture.components.len();
    if !(2..=MOST_PARTS).contains(&n_parts) {
        return Err(EditError::field(
            format!("components of {of}"),
            format!("{n_parts} of them"),
            format!("state 2 to {MOST_PARTS}, each with its share."),
        ));
    }
    let mut seen = BTreeSet::new();
    for part in &mixture.components {
        let key = part.substance.trim();
        if key.is_empty() || Mixture::id_of(key).is_some() {
            return Err(EditError::field(
                format!("component of {of}"),
                format!("{key:?}"),
                "choose a substance of the list; a mixture of mixtures is stated by its parts.",
            ));
        }
        if !seen.insert(key) {
            return Err(EditError::field(
                format!("component of {of}"),
                format!("{key:?} twice"),
                "state each component once, with its whole share.",
            ));
        }
        if !(0.0 < part.fraction && part.fraction <= 1.0) {
            return Err(EditError::field(
                format!("share of {key} in {of}"),
                format!("{} %", percent(part.fraction)),
                "type a share above 0 and up to 100 %.",
            ));
        }
    }
    let sum: f64 = mixture.components.iter().map(|part| part.fraction).sum();
    if (sum - 1.0).abs() > SUM_TOLERANCE + 1e-12 {
        let off = percent((sum - 1.0).abs());
        let way = if sum < 1.0 { "missing" } else { "too much" };
        return Err(EditError::field(
            format!("sum of the shares of {of}"),
            format!("{} %", percent(sum)),
            format!("the shares must add up to 100 % within 0.1 %; {off} % is {way}."),
        ));
    }
    Ok(())
}

fn used(project: &Project) -> Result<(), EditError> {
    let gone = |key: &str| Mixture::id_of(key).is_some_and(|id| !project.mixtures.has(id));
    let remedy = "the project has no such mixture; state it, or choose another substance.";
    for source in &project.sources {
        if gone(&source.substance) {
            let field = format!("substance of release source {}", source.name);
            return Err(EditError::field(field, &source.substance, remedy));
        }
    }
    for detector in &project.detectors {
        if gone(&detector.watches) {
            let field = format!("substance of {}", detector.tag);
            return Err(EditError::field(field, &detector.watches, remedy));
        }
    }
    Ok(())
}

/// A fraction in per cent without the dust of binary arithmetic.
fn percent(fraction: f64) -> f64 {
    (fraction * 1e6).round() / 1e4
}

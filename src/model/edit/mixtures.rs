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

#[cfg(test)]
mod tests {
    use crate::model::*;

    fn stated(shares: &[f64]) -> Mixture {
        let keys = ["74-82-8", "124-38-9", "7783-06-4"];
        let part = |(key, fraction): (&&str, &f64)| MixturePart {
            substance: (*key).to_owned(),
            fraction: *fraction,
        };
        Mixture {
            id: MixtureId(1),
            name: "Biogas".to_owned(),
            by: FractionOf::Mole,
            components: keys.iter().zip(shares).map(part).collect(),
        }
    }

    fn add(mixture: Mixture) -> Result<Project, EditError> {
        let mut project = Project::default();
        project.head.name = "Plant".to_owned();
        let item = Item::Mixture(mixture);
        apply(&project, &Edit::Add { item })
    }

    fn refused(mixture: Mixture) -> String {
        add(mixture).expect_err("it must be refused").to_string()
    }

    #[test]
    fn shares_must_add_up_and_the_message_names_sum_and_remedy() {
        assert!(add(stated(&[0.6, 0.4])).is_ok());
        assert!(add(stated(&[0.6, 0.3995])).is_ok());
        assert_eq!(
            refused(stated(&[0.6, 0.38])),
            "sum of the shares of mixture Biogas is 98 %: the shares must add up to 100 % within \
             0.1 %; 2 % is missing."
        );
        assert!(refused(stated(&[0.7, 0.4])).contains("10 % is too much"));
    }

    #[test]
    fn a_share_that_cannot_be_is_named() {
        for share in [0.0, -0.1, 1.5, f64::NAN] {
            let said = refused(stated(&[1.0 - share, share]));
            assert!(said.contains("share of"), "{share}: {said}");
        }
        assert!(refused(stated(&[1.0])).contains("1 of them"));
        let mut twice = stated(&[0.5, 0.5]);
        twice.components[1].substance = "74-82-8".to_owned();
        assert!(refused(twice).contains("twice"));
        let mut nested = stated(&[0.5, 0.5]);
        nested.components[1].substance = "mixture-2".to_owned();
        assert!(refused(nested).contains("stated by its parts"));
        let mut nameless = stated(&[0.5, 0.5]);
        nameless.name = " ".to_owned();
        assert!(refused(nameless).contains("type a name"));
    }

    #[test]
    fn a_mixture_in_use_cannot_go_and_one_that_is_gone_cannot_be_used() {
        let mut project = add(stated(&[0.6, 0.4])).unwrap();
        let ground = Floor {
            id: FloorId(1),
            name: "Ground".to_owned(),
            elevation: crate::units::Metres::new(0.0),
            sheet: None,
        };
        project.floors = [ground].into_iter().collect();
        let text = r#"{"id":1,"floor":1,"name":"gas holder","at":[1,1],"substance":"mixture-1"}"#;
        let source: ReleaseSource = serde_json::from_str(text).unwrap();
        let item = Item::Source(source.clone());
        let project = apply(&project, &Edit::Add { item }).unwrap();
        let key = ItemKey::Mixture(MixtureId(1));
        let said = apply(&project, &Edit::Remove { key })
            .unwrap_err()
            .to_string();
        assert_eq!(
            said,
            "mixture Biogas is in use by release source gas holder: choose another substance \
             there first."
        );
        let lost = ReleaseSource {
            substance: "mixture-9".to_owned(),
            called: None,
            ..source
        };
        let item = Item::Source(lost);
        let said = apply(&project, &Edit::Change { item })
            .unwrap_err()
            .to_string();
        assert!(said.contains("no such mixture"), "{said}");
        let key = ItemKey::Source(SourceId(1));
        let project = apply(&project, &Edit::Remove { key }).unwrap();
        let key = ItemKey::Mixture(MixtureId(1));
        assert!(apply(&project, &Edit::Remove { key }).is_ok());
    }
}

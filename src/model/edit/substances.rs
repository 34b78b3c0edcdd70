//! What must hold of the figures that the designer states of substances.
//!
//! Only what can be told without the tables; what they know is checked in `workflow`.

use std::collections::BTreeSet;

use crate::model::edit::{EditError, ItemKey};
use crate::model::mixture::Mixture;
use crate::model::project::Project;
use crate::model::stated::{FigureKind, StatedSubstance};

/// A reason may be so long, in characters.
const LONGEST_REASON: usize = 400;

/// Checks what is stated of every substance, and that what names one of the project's own names
/// one that is there.
///
/// # Errors
/// The first thing that cannot be as it is, by its field.
pub fn check(project: &Project) -> Result<(), EditError> {
    let (mut names, mut keys) = (BTreeSet::new(), BTreeSet::new());
    names.extend(
        project
            .mixtures
            .iter()
            .map(|mixture| mixture.name.trim().to_lowercase()),
    );
    for stated in &project.substances {
        match &stated.of {
            Some(key) => {
                of_the_tables(stated, key)?;
                if !keys.insert(key.as_str()) {
                    let remedy = "state all figures of a substance in one place.";
                    return Err(EditError::field(
                        "substance",
                        format!("{key} twice"),
                        remedy,
                    ));
                }
            }
            None => {
                own(stated)?;
                if !names.insert(stated.name.trim().to_lowercase()) {
                    return Err(EditError::field(
                        "name of a substance",
                        format!("{:?} twice", stated.name.trim()),
                        "give each substance and mixture a name of its own.",
                    ));
                }
            }
        }
        figures(stated)?;
        orders(stated)?;
        words(stated)?;
    }
    used(project)
}

/// Whether `key` may be taken away: a substance of the project's own only when nothing uses it.
///
/// # Errors
/// Names what uses it.
pub fn may_go(project: &Project, key: ItemKey) -> Result<(), EditError> {
    let ItemKey::Substance(id) = key else {
        return Ok(());
    };
    let own = project.substances.get(id).filter(|stated| stated.is_own());
    let Some(stated) = own else { return Ok(()) };
    let key = stated.key();
    let mut users: Vec<String> = (project.sources.iter())
        .filter(|source| source.substance == key)
        .map(|source| format!("release source {}", source.name))
        .collect();
    let watching = project.detectors.iter().filter(|one| one.watches == key);
    users.extend(watching.map(|detector| detector.tag.clone()));
    let holds = |mixture: &&Mixture| mixture.components.iter().any(|part| part.substance == key);
    let mixtures = project.mixtures.iter().filter(holds);
    users.extend(mixtures.map(|mixture| format!("mixture {}", mixture.name.trim())));
    match users.as_slice() {
        [] => Ok(()),
        users => Err(EditError::field(
            format!("substance {}", stated.called()),
            format!("in use by {}", users.join(", ")),
            "choose another substance there first.",
        )),
    }
}

fn of_the_tables(stated: &StatedSubstance, key: &str) -> Result<(), EditError> {
    let refuse = |value: String, remedy: &str| {
        let field = format!("substance of statement {}", stated.id);
        Err(EditError::field(field, value, remedy))
    };
    if key.trim().is_empty() {
        return refuse("empty".to_owned(), "choose a substance of the list.");
    }
    if Mixture::id_of(key).is_some() || StatedSubstance::id_of(key).is_some() {
        return refuse(
            format!("{key:?}"),
            "it is the project's own; change its figures where it is stated.",
        );
    }
    let identity = [&stated.formula, &stated.cas]
        .into_iter()
        .any(Option::is_some);
    if identity || !stated.name.trim().is_empty() || stated.holding.is_some() {
        return refuse(
            format!("{key} with a name, formula, CAS number or holding of its own"),
            "the tables say these; state a substance of your own instead.",
        );
    }
    if stated.says_nothing() {
        return refuse(
            format!("{key} without a figure"),
            "state at least one figure, or remove the statement.",
        );
    }
    Ok(())
}

fn own(stated: &StatedSubstance) -> Result<(), EditError> {
    let name = stated.name.trim();
    if name.is_empty() {
        let remedy = "type a name, such as Thinner 12.";
        let field = format!("name of substance {}", stated.id);
        return Err(EditError::field(field, "empty", remedy));
    }
    if stated.figure(FigureKind::MolarMass).is_none() {
        return Err(EditError::field(
            format!("molar mass of {name}"),
            "not stated",
            "state it; without it nothing tells whether the gas rises or sinks.",
        ));
    }
    if stated
        .hazards
        .as_ref()
        .is_none_or(|hazards| hazards.value.is_empty())
    {
        return Err(EditError::field(
            format!("hazards of {name}"),
            "not stated",
            "state at least one: flammable, toxic, oxygen depletion or oxygen enrichment.",
        ));
    }
    if let Some(formula) = &stated.formula
        && !is_formula(formula)
    {
        return Err(EditError::field(
            format!("formula of {name}"),
            format!("{formula:?}"),
            "write atoms and their numbers, such as C3H8O, or leave it empty.",
        ));
    }
    match &stated.cas {
        Some(cas) if !is_cas(cas) => Err(EditError::field(
            format!("CAS number of {name}"),
            format!("{cas:?}"),
            "its last digit must check, as in 74-98-6; leave it empty where there is none.",
        )),
        _ => Ok(()),
    }
}

fn figures(stated: &StatedSubstance) -> Result<(), EditError> {
    let of = stated.called();
    let mut kinds = BTreeSet::new();
    for figure in &stated.figures {
        let kind = figure.figure;
        let field = format!("{} of {of}", kind.label());
        if !kinds.insert(kind) {
            return Err(EditError::field(field, "stated twice", "state it once."));
        }
        let (least, most) = kind.range();
        if !(least <= figure.value && figure.value <= most) {
            let remedy = format!("type a value from {least} to {most} {}.", kind.unit());
            return Err(EditError::field(field, figure.value, remedy));
        }
        reason(&field, &figure.reason)?;
    }
    Ok(())
}

/// Pairs of which the first must be below the second, or at most at it.
fn orders(stated: &StatedSubstance) -> Result<(), EditError> {
    use FigureKind::{CeilingLimit, Idlh, Lfl, LongLimit, ShortLimit, Ufl};
    let pairs = [
        (Lfl, Ufl, true),
        (LongLimit, ShortLimit, false),
        (LongLimit, CeilingLimit, false),
        (ShortLimit, CeilingLimit, false),
        (LongLimit, Idlh, false),
        (ShortLimit, Idlh, false),
    ];
    for (low, high, strictly) in pairs {
        let (Some(below), Some(above)) = (stated.figure(low), stated.figure(high)) else {
            continue;
        };
        let fits = below.value < above.value || !strictly && below.value == above.value;
        if !fits {
            return Err(EditError::field(
                format!("{} of {}", low.label(), stated.called()),
                format!("{} {}", below.value, low.unit()),
                format!(
                    "it must lie below the {}, which is {} {}.",
                    high.label(),
                    above.value,
                    high.unit()
                ),
            ));
        }
    }
    Ok(())
}

fn words(stated: &StatedSubstance) -> Result<(), EditError> {
    let of = stated.called();
    if let Some(hazards) = &stated.hazards {
        reason(&format!("hazards of {of}"), &hazards.reason)?;
    }
    if let Some(group) = &stated.gas_group {
        reason(&format!("gas group of {of}"), &group.reason)?;
    }
    if let Some(class) = &stated.temperature_class {
        reason(&format!("temperature class of {of}"), &class.reason)?;
    }
    let mut principles = BTreeSet::new();
    for sensing in &stated.sensing {
        let field = format!("{} sensor for {of}", sensing.principle.label());
        if !principles.insert(sensing.principle) {
            return Err(EditError::field(field, "stated twice", "state it once."));
        }
        reason(&field, &sensing.reason)?;
    }
    Ok(())
}

fn reason(field: &str, text: &str) -> Result<(), EditError> {
    let n_letters = text.trim().chars().count();
    let field = format!("ground of the {field}");
    if n_letters == 0 {
        let remedy = "say where the figure comes from, such as a safety data sheet and its date.";
        return Err(EditError::field(field, "empty", remedy));
    }
    if n_letters > LONGEST_REASON {
        let remedy = format!("{LONGEST_REASON} letters are enough; name the paper and its place.");
        return Err(EditError::field(
            field,
            format!("{n_letters} letters long"),
            remedy,
        ));
    }
    Ok(())
}

fn used(project: &Project) -> Result<(), EditError> {
    let is_gone = |key: &str| {
        let own = |id| {
            project
                .substances
                .get(id)
                .is_some_and(StatedSubstance::is_own)
        };
        StatedSubstance::id_of(key).is_some_and(|id| !own(id))
    };
    let remedy = "the project has no such substance; state it, or choose another.";
    let refuse = |field: String, key: &str| Err(EditError::field(field, key, remedy));
    if let Some(source) = (project.sources.iter()).find(|one| is_gone(&one.substance)) {
        let field = format!("substance of release source {}", source.name);
        return refuse(field, &source.substance);
    }
    if let Some(detector) = (project.detectors.iter()).find(|one| is_gone(&one.watches)) {
        return refuse(format!("substance of {}", detector.tag), &detector.watches);
    }
    for mixture in &project.mixtures {
        let gone = mixture
            .components
            .iter()
            .find(|part| is_gone(&part.substance));
        if let Some(part) = gone {
            return refuse(
                format!("component of mixture {}", mixture.name),
                &part.substance,
            );
        }
    }
    Ok(())
}

/// Atoms and their numbers.
fn is_formula(text: &str) -> bool {
    let starts = text.starts_with(|first: char| first.is_ascii_uppercase());
    let fits = text.chars().all(|letter| letter.is_ascii_alphanumeric());
    starts && fits && text.len() <= 40
}

/// Three groups of digits whose last is the sum of the others, each times its place from the right,
/// modulo 10 (CAS Registry check digit, from memory).
fn is_cas(text: &str) -> bool {
    let groups: Vec<&str> = text.split('-').collect();
    let [first, second, check] = groups.as_slice() else {
        return false;
    };
    let lengths = (2..=7).contains(&first.len()) && second.len() == 2 && check.len() == 1;
    let digits: Option<Vec<u32>> = format!("{first}{second}")
        .chars()
        .map(|digit| digit.to_digit(10))
        .collect();
    let Some(digits) = digits.filter(|_| lengths) else {
        return false;
    };
    let weighted = digits
        .iter()
        .rev()
        .zip(1..)
        .map(|(digit, place)| digit * place);
    check.parse() == Ok(weighted.sum::<u32>() % 10)
}

#[cfg(test)]
mod tests;

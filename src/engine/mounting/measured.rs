//! What is measured because of a release: the substance, a part of it, or oxygen.

use crate::engine::gas::{Component, Substance, Substances, mixture};
use crate::engine::mounting::bands;
use crate::model::*;

/// Key of oxygen.
pub const OXYGEN: &str = "7782-44-7";

/// What is measured because of a hazard of a substance: the substance, a part of it, or oxygen.
pub fn measured(project: &Project, substance: &Substance, hazard: Hazard) -> String {
    let catalogue = &project.catalogue;
    let itself = match hazard {
        Hazard::OxygenEnrichment => false,
        Hazard::OxygenDepletion => bands::is_refrigerant(substance),
        Hazard::Flammable | Hazard::Toxic => true,
    };
    if !itself {
        return OXYGEN.to_owned();
    }
    if catalogue.measures(&substance.key) {
        return substance.key.to_string();
    }
    let parts = mixture::contributions(project, substance, hazard);
    let governing = parts.first().map(|(key, _)| key.clone());
    let offered = parts.into_iter().map(|(key, _)| key);
    let offered = offered.into_iter().find(|key| catalogue.measures(key));
    let stated = Mixture::id_of(&substance.key).is_some();
    let chosen = match hazard {
        Hazard::Toxic if stated => governing,
        _ if stated => offered.or(governing),
        _ => offered,
    };
    chosen.unwrap_or_else(|| substance.key.to_string())
}

/// Whether a detector for `one` reads `other` as well: the same key, or a mixture that is nine
/// tenths the other.
pub fn same_gas(project: &Project, one: &str, other: &str) -> bool {
    let essence = |key: &str| {
        let known = Substances::of(project).figures(key);
        let part = known.and_then(|known| main_part(&known));
        part.unwrap_or_else(|| key.to_owned())
    };
    one == other || essence(one) == essence(other)
}

/// The burning part that is at least nine tenths of a mixture.
fn main_part(substance: &Substance) -> Option<String> {
    let burns = |part: &Component| part.known().is_some_and(|known| !known.lfl.is_empty());
    let mut parts = substance.composition.iter();
    let part = parts.find(|part| part.mole_fraction >= 0.9 - 1e-9 && burns(part))?;
    Some(part.key.to_string())
}

/// Name of what a key stands for; the key itself where it is unknown.
pub fn name_of(project: &Project, key: &str) -> String {
    Substances::of(project).name(key).into_owned()
}

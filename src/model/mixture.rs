//! Mixtures that the designer states: named parts by mole or by mass.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model::ids::MixtureId;
use crate::model::register::Entry;

/// How every key of a stated mixture begins; its number follows.
const KEY_PREFIX: &str = "mixture-";

/// Fractions must add up to 1 within this much.
pub const SUM_TOLERANCE: f64 = 0.001;

/// A mixture of the project, used like a substance under [`Mixture::key`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Mixture {
    pub id: MixtureId,
    /// Such as "Biogas, digester 2".
    pub name: String,
    /// What the fractions count.
    #[serde(default)]
    pub by: FractionOf,
    pub components: Vec<MixturePart>,
}

/// One part of a mixture.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MixturePart {
    /// Key of a substance of the tables; not another stated mixture.
    pub substance: String,
    /// Share of the whole, above 0 and up to 1; all of them add up to 1.
    pub fraction: f64,
}

/// What the fractions of a mixture count.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum FractionOf {
    /// Moles; for gases that is the volume.
    #[default]
    Mole,
    Mass,
}

impl FractionOf {
    /// Every kind, in the order of a picker.
    pub const ALL: [FractionOf; 2] = [FractionOf::Mole, FractionOf::Mass];

    /// The kind in words.
    pub const fn label(self) -> &'static str {
        match self {
            FractionOf::Mole => "mole (gas volume)",
            FractionOf::Mass => "mass",
        }
    }
}

impl Mixture {
    /// The key that release sources and detectors name it by: "mixture-3".
    pub fn key(&self) -> String {
        format!("{KEY_PREFIX}{}", self.id)
    }

    /// The mixture that `key` names, whether or not the project has it.
    pub fn id_of(key: &str) -> Option<MixtureId> {
        let number = key.strip_prefix(KEY_PREFIX)?;
        number.parse().ok().map(MixtureId)
    }
}

impl Entry for Mixture {
    type Id = MixtureId;
    const NOUN: &'static str = "mixture";
    fn id(&self) -> MixtureId {
        self.id
    }
}

//! What a stated mixture is made to mean.

use serde::Serialize;

use crate::engine::trace::Quantity;
use crate::model::Hazard;

/// What the engine makes of a stated mixture.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MixtureResult {
    pub molar_mass: Quantity,
    /// At the temperature of the air.
    pub relative_density: Quantity,
    /// %vol of the mixture, after the table of the jurisdiction.
    pub lfl: Option<Quantity>,
    /// Concentration of the mixture at which its toxic parts together reach their limits, ppm.
    pub limit: Option<Quantity>,
    /// Below 1 it does not burn in air at room temperature (ISO 10156); where all parts are known.
    pub critical: Option<Quantity>,
    /// Share of each part in the gas or vapour, %vol, largest first.
    pub parts: Vec<PartResult>,
    /// What to watch, by hazard.
    pub watch: Vec<MixtureWatch>,
    /// What the engine took for granted or could not find, in sentences.
    pub notes: Vec<String>,
}

/// A part of a mixture.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartResult {
    pub key: String,
    pub name: String,
    pub share: Quantity,
}

/// The part that a hazard of the mixture is watched by.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MixtureWatch {
    pub hazard: Hazard,
    /// Key of the part, or of oxygen.
    pub measures: String,
    pub name: String,
    /// Share of the hazard that this part makes up: a detector that sees it alone, reading per cent
    /// of the part's own limit, reads this fraction of the mixture's.
    pub response: Quantity,
}

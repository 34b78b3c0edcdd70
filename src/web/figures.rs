//! How the pages print a figure: through `documents::number`, with the address of its reason.

use crate::documents::number::{self, Decimals};
use crate::engine::Quantity;
use crate::model::{FloorId, UnitSystem};
use crate::store::{ProjectId, Version};
use crate::units::Unit;
use crate::workflow::Opened;

/// A printed figure; `why` is the address of its reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    pub text: String,
    pub why: Option<String>,
}

/// Prints the figures of one version of a project.
#[derive(Debug, Clone)]
pub struct Figures {
    project: ProjectId,
    version: Version,
    pub units: UnitSystem,
    pub currency: String,
}

impl Figures {
    /// For this version.
    pub fn of(opened: &Opened) -> Self {
        Figures {
            project: opened.id,
            version: opened.standing.version,
            units: opened.project().head.units,
            currency: opened.project().catalogue.currency.clone(),
        }
    }

    /// For figures without a project.
    #[cfg(test)]
    pub(crate) fn for_tests(units: UnitSystem) -> Self {
        Figures {
            project: 1,
            version: 1,
            units,
            currency: String::new(),
        }
    }

    /// The figure with the digits of its unit.
    pub fn text(&self, value: f64, unit: Unit, decimals: Decimals) -> String {
        number::text(value, unit, decimals, self.units, &self.currency)
    }

    /// A computed figure with its reason.
    pub fn figure(&self, quantity: Quantity, decimals: Decimals) -> Figure {
        Figure {
            text: self.text(quantity.value, quantity.unit, decimals),
            why: Some(self.why(quantity)),
        }
    }

    /// The address of a figure's reason.
    pub fn why(&self, quantity: Quantity) -> String {
        self.why_of(quantity.why.0)
    }

    /// The address of a step of the calculation.
    pub fn why_of(&self, step: u32) -> String {
        format!("/projects/{}/why/{step}?v={}", self.project, self.version)
    }

    /// The address of a thing on its floor, by a key such as "detector-3".
    pub fn place(&self, floor: Option<FloorId>, key: &str) -> String {
        match floor {
            Some(floor) => format!("/projects/{}/floors/{floor}?select={key}", self.project),
            None => String::new(),
        }
    }

    /// A step's figure as a reason shows it.
    pub fn in_reason(&self, value: f64, unit: Unit) -> String {
        self.text(value, unit, number::reason_decimals(value, unit))
    }
}

//! What the project's own figures of substances are made to mean.

use serde::Serialize;

use crate::engine::trace::Quantity;
use crate::model::{FigureKind, Hazard};

/// What the engine makes of what is stated of a substance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SubstanceResult {
    pub key: String,
    pub name: String,
    /// Whether no table has it.
    pub own: bool,
    pub hazards: Vec<Hazard>,
    /// By molar mass.
    pub relative_density: Quantity,
    pub figures: Vec<StatedFigureResult>,
    pub words: Vec<StatedWord>,
    /// What is not stated, and what is taken instead, in sentences.
    pub lacks: Vec<String>,
}

/// A number that the project states.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StatedFigureResult {
    pub figure: FigureKind,
    pub value: Quantity,
    pub reason: String,
    /// The published figure that it stands in the place of.
    pub published: Option<Quantity>,
    /// Whether it is less safe than the published one.
    pub laxer: bool,
}

/// A class, a hazard or a principle that the project states.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StatedWord {
    /// Such as "gas group".
    pub what: String,
    pub value: String,
    pub reason: String,
    pub published: Option<String>,
    pub laxer: bool,
}

//! The trace: every number with its formula or rule, its inputs and its citation.

use serde::Serialize;

use crate::engine::formula::{Formula, Rule};
use crate::model::Citation;
use crate::model::basis::BasisItem;
use crate::model::{Basis, Project};
use crate::units::Unit;

/// Place of an entry in the trace.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(transparent)]
pub struct TraceId(pub u32);

/// A number that knows its unit and why it is so.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Quantity {
    pub value: f64,
    pub unit: Unit,
    pub why: TraceId,
}

/// One step of the calculation.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TraceEntry {
    /// Id of the formula or rule; "given" for what was stated, "basis" for an assumption.
    pub id: String,
    pub title: String,
    /// The expression, or the rule's sentence.
    pub statement: String,
    pub inputs: Vec<TraceInput>,
    pub value: f64,
    pub unit: Unit,
    pub citation: Citation,
    /// Set where an input lies outside the formula's validity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outside: Option<String>,
}

/// An input of a step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TraceInput {
    pub symbol: String,
    pub meaning: String,
    pub value: f64,
    pub unit: Unit,
    pub why: TraceId,
}

/// The record of a whole calculation.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
#[serde(transparent)]
pub struct Trace {
    entries: Vec<TraceEntry>,
}

impl Trace {
    /// The entries in the order they were made.
    pub fn entries(&self) -> &[TraceEntry] {
        &self.entries
    }

    /// The entry behind a quantity.
    pub fn entry(&self, id: TraceId) -> Option<&TraceEntry> {
        self.entries.get(id.0 as usize)
    }

    /// A number somebody stated: the designer, the catalogue, a table.
    pub fn given(
        &mut self,
        title: impl Into<String>,
        value: f64,
        unit: Unit,
        citation: Citation,
    ) -> Quantity {
        self.push(TraceEntry {
            id: "given".to_owned(),
            title: title.into(),
            statement: String::new(),
            inputs: Vec::new(),
            value,
            unit,
            citation,
            outside: None,
        })
    }

    /// An assumption of the basis of design, as it stands in this project.
    pub fn basis(&mut self, basis: &Basis, item: &BasisItem) -> Quantity {
        let changed = basis.is_changed(item);
        let citation = if changed {
            Citation::Designer
        } else {
            item.citation.clone()
        };
        self.push(TraceEntry {
            id: "basis".to_owned(),
            title: item.label.to_owned(),
            statement: format!("basis of design, {}", item.group),
            inputs: Vec::new(),
            value: basis.get(item),
            unit: item.unit,
            citation,
            outside: None,
        })
    }

    /// What the designer stated, or the conservative assumption where it is not known.
    pub fn stated_or(
        &mut self,
        project: &Project,
        title: impl Into<String>,
        stated: Option<f64>,
        item: &BasisItem,
    ) -> Quantity {
        match stated {
            Some(value) => self.given(title, value, item.unit, Citation::Designer),
            None => self.basis(&project.basis, item),
        }
    }

    /// Evaluates a formula and records it. Units of the inputs must be those of the symbols.
    pub fn eval(&mut self, formula: &Formula, inputs: &[Quantity]) -> Quantity {
        assert!(
            inputs.len() == formula.inputs.len()
                || formula.repeats && formula.inputs.len() <= inputs.len() + 1,
            "{} takes {} inputs, got {}",
            formula.id,
            formula.inputs.len(),
            inputs.len()
        );
        let values: Vec<f64> = inputs.iter().map(|input| input.value).collect();
        let last = formula.inputs.len().saturating_sub(1);
        let symbols = (0..inputs.len()).map(|idx| &formula.inputs[idx.min(last)]);
        let mut outside = None;
        let mut recorded = Vec::with_capacity(inputs.len());
        for (symbol, input) in symbols.zip(inputs) {
            debug_assert_eq!(
                symbol.unit, input.unit,
                "unit of {} in {}",
                symbol.symbol, formula.id
            );
            if !(symbol.least <= input.value && input.value <= symbol.most) {
                outside = Some(format!(
                    "{} is {} {}; the formula holds from {} to {}",
                    symbol.meaning, input.value, symbol.unit, symbol.least, symbol.most
                ));
            }
            recorded.push(TraceInput {
                symbol: symbol.symbol.to_owned(),
                meaning: symbol.meaning.to_owned(),
                value: input.value,
                unit: input.unit,
                why: input.why,
            });
        }
        self.push(TraceEntry {
            id: formula.id.to_owned(),
            title: formula.title.to_owned(),
            statement: formula.expression.to_owned(),
            inputs: recorded,
            value: (formula.compute)(&values),
            unit: formula.output.unit,
            citation: formula.citation.clone(),
            outside,
        })
    }

    /// Records a number that a rule decides, with the quantities it looked at.
    pub fn rule(
        &mut self,
        rule: &Rule,
        value: f64,
        unit: Unit,
        inputs: &[(&str, Quantity)],
    ) -> Quantity {
        let inputs = inputs
            .iter()
            .map(|(meaning, input)| TraceInput {
                symbol: String::new(),
                meaning: (*meaning).to_owned(),
                value: input.value,
                unit: input.unit,
                why: input.why,
            })
            .collect();
        self.push(TraceEntry {
            id: rule.id.to_owned(),
            title: rule.title.to_owned(),
            statement: rule.statement.to_owned(),
            inputs,
            value,
            unit,
            citation: rule.citation.clone(),
            outside: None,
        })
    }

    /// Records a length, area or count that follows from the drawing.
    pub fn measured(&mut self, title: impl Into<String>, value: f64, unit: Unit) -> Quantity {
        self.given(title, value, unit, Citation::Geometry)
    }

    fn push(&mut self, entry: TraceEntry) -> Quantity {
        let why =
            TraceId(u32::try_from(self.entries.len()).expect("a trace below 4 billion steps"));
        let quantity = Quantity {
            value: entry.value,
            unit: entry.unit,
            why,
        };
        self.entries.push(entry);
        quantity
    }
}

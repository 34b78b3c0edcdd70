//! The inputs and steps behind the figures of releases, numbered, with the formulas and citations
//! they refer to.

use std::collections::BTreeMap;

use crate::documents::calculation::register::{Node, Register};
use crate::documents::number;
use crate::engine::Quantity;
use crate::engine::trace::TraceId;
use crate::model::{Citation, Project};
use crate::units::Unit;

/// What was stated, assumed or measured.
#[derive(Debug, Clone, PartialEq)]
pub struct InputLine {
    /// From 1.
    pub number: usize,
    pub title: String,
    pub quantity: Quantity,
    pub value: String,
    /// Its ground, and whether it stands in the basis of design.
    pub citation: String,
    /// Its ground among [`Grounds::citations`], from 1.
    pub cited: usize,
    pub is_basis: bool,
}

/// A formula or rule as it was used.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// From 1.
    pub number: usize,
    pub why: TraceId,
    pub title: String,
    /// The expression, or the rule's sentence.
    pub statement: String,
    /// Whether the inputs have symbols.
    pub is_formula: bool,
    pub inputs: Vec<StepInput>,
    pub result: String,
    pub citation: String,
    /// Its formula among [`Grounds::formulas`], from 1.
    pub formula: usize,
    pub outside: Option<String>,
}

/// An input of a step, and where it comes from: "input 3" or "step 5".
#[derive(Debug, Clone, PartialEq)]
pub struct StepInput {
    pub symbol: String,
    pub meaning: String,
    pub value: String,
    pub from: String,
}

/// What inputs and steps refer to, each once.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Grounds {
    pub formulas: Vec<FormulaLine>,
    pub citations: Vec<String>,
}

/// A formula or rule.
#[derive(Debug, Clone, PartialEq)]
pub struct FormulaLine {
    pub title: String,
    pub statement: String,
    pub is_formula: bool,
    /// Symbol and meaning of each input.
    pub symbols: Vec<(String, String)>,
    /// Its ground among [`Grounds::citations`], from 1.
    pub cited: usize,
}

/// Gathers the grounds while inputs and steps are written.
pub struct Writer<'a> {
    project: &'a Project,
    register: &'a Register<'a>,
    grounds: Grounds,
    cited: BTreeMap<Citation, usize>,
    formulas: BTreeMap<(String, String), usize>,
}

impl<'a> Writer<'a> {
    pub const fn new(project: &'a Project, register: &'a Register<'a>) -> Self {
        Writer {
            project,
            register,
            grounds: Grounds {
                formulas: Vec::new(),
                citations: Vec::new(),
            },
            cited: BTreeMap::new(),
            formulas: BTreeMap::new(),
        }
    }

    /// The inputs among some nodes.
    pub fn inputs<'n>(&mut self, nodes: impl Iterator<Item = &'n Node<'n>>) -> Vec<InputLine> {
        nodes
            .filter(|node| node.is_input())
            .map(|node| self.input(node))
            .collect()
    }

    /// The steps among some nodes.
    pub fn steps<'n>(&mut self, nodes: impl Iterator<Item = &'n Node<'n>>) -> Vec<Step> {
        nodes
            .filter(|node| !node.is_input())
            .map(|node| self.step(node))
            .collect()
    }

    /// What has been referred to.
    pub fn grounds(self) -> Grounds {
        self.grounds
    }

    fn input(&mut self, node: &Node) -> InputLine {
        let entry = node.entry;
        let quantity = Quantity {
            value: entry.value,
            unit: entry.unit,
            why: node.why,
        };
        InputLine {
            number: node.number,
            title: entry.title.clone(),
            quantity,
            value: self.print(entry.value, entry.unit),
            citation: entry.citation.text(),
            cited: self.cite(&entry.citation),
            is_basis: entry.id == "basis",
        }
    }

    fn step(&mut self, node: &Node) -> Step {
        let entry = node.entry;
        let inputs = entry.inputs.iter().zip(&node.inputs);
        let inputs = inputs.map(|(input, from)| StepInput {
            symbol: input.symbol.clone(),
            meaning: input.meaning.clone(),
            value: self.print(input.value, input.unit),
            from: self.register.nodes[*from].name(),
        });
        Step {
            number: node.number,
            why: node.why,
            title: entry.title.clone(),
            statement: entry.statement.clone(),
            is_formula: is_formula(node),
            inputs: inputs.collect(),
            result: self.print(entry.value, entry.unit),
            citation: entry.citation.text(),
            formula: self.formula(node),
            outside: entry.outside.clone(),
        }
    }

    fn formula(&mut self, node: &Node) -> usize {
        let entry = node.entry;
        let key = (entry.id.clone(), entry.statement.clone());
        if let Some(number) = self.formulas.get(&key) {
            return *number;
        }
        let mut symbols: Vec<(String, String)> = Vec::new();
        for input in &entry.inputs {
            let line = (input.symbol.clone(), input.meaning.clone());
            if !line.0.is_empty() && !symbols.contains(&line) {
                symbols.push(line);
            }
        }
        let cited = self.cite(&entry.citation);
        self.grounds.formulas.push(FormulaLine {
            title: entry.title.clone(),
            statement: entry.statement.clone(),
            is_formula: is_formula(node),
            symbols,
            cited,
        });
        self.formulas.insert(key, self.grounds.formulas.len());
        self.grounds.formulas.len()
    }

    fn cite(&mut self, citation: &Citation) -> usize {
        if let Some(number) = self.cited.get(citation) {
            return *number;
        }
        self.grounds.citations.push(citation.text());
        let number = self.grounds.citations.len();
        self.cited.insert(citation.clone(), number);
        number
    }

    fn print(&self, value: f64, unit: Unit) -> String {
        let decimals = number::reason_decimals(value, unit);
        number::text(value, unit, decimals, self.project.head.units, "")
    }
}

fn is_formula(node: &Node) -> bool {
    node.entry
        .inputs
        .iter()
        .any(|input| !input.symbol.is_empty())
}

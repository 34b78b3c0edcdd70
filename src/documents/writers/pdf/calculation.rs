//! What the template of the calculation sheets reads.

use std::collections::BTreeMap;

use serde::Serialize;
use typst::foundations::Bytes;

use crate::documents::calculation::{
    CalculationSheet, CalculationSheets, FigureOf, FormulaLine, Headline, InputLine, SharedPart,
    Step, VerdictLine,
};
use crate::documents::document::{CAUTION, Sheets};
use crate::documents::writers::pdf::{CALCULATION, DocumentWorld, TableData, table_data};
use crate::documents::writers::svg::svg;

/// All the typesetter needs for the calculation sheets.
pub(super) fn world(sheets: &CalculationSheets) -> DocumentWorld {
    let mut files = BTreeMap::new();
    for sheet in &sheets.sheets {
        for (idx, figure) in sheet.figures.iter().enumerate() {
            let text = svg(&figure.drawing, &Sheets::new());
            files.insert(figure_file(sheet, idx), Bytes::from_string(text));
        }
    }
    let data = CalculationData::of(sheets);
    DocumentWorld::with(CALCULATION, &data, files, &sheets.issue.date)
}

fn figure_file(sheet: &CalculationSheet, idx: usize) -> String {
    format!("{}-{idx}.svg", sheet.key)
}

/// What the template of the calculation sheets reads.
#[derive(Serialize)]
struct CalculationData<'a> {
    project: &'a str,
    facts: Vec<(&'static str, &'a str)>,
    reference: &'a str,
    revision: &'a str,
    date: &'a str,
    author: &'a str,
    caution: &'static str,
    /// What was chosen; empty for all.
    of: &'a str,
    missing: Vec<&'a str>,
    sheets: Vec<CalculationSheetData<'a>>,
    shared: Vec<SharedData<'a>>,
    formulas: Vec<FormulaData<'a>>,
    citations: &'a [String],
}

#[derive(Serialize)]
struct SharedData<'a> {
    title: &'a str,
    inputs: Vec<InputData<'a>>,
    steps: Vec<StepData<'a>>,
}

#[derive(Serialize)]
struct InputData<'a> {
    number: usize,
    title: &'a str,
    value: &'a str,
    cited: usize,
    is_basis: bool,
}

#[derive(Serialize)]
struct FormulaData<'a> {
    title: &'a str,
    statement: &'a str,
    is_formula: bool,
    symbols: &'a [(String, String)],
    cited: usize,
}

#[derive(Serialize)]
struct CalculationSheetData<'a> {
    title: &'a str,
    place: &'a str,
    verdicts: Vec<(bool, &'a str)>,
    sentences: &'a [String],
    notes: &'a [String],
    headlines: Vec<(&'a str, &'a str)>,
    figures: Vec<FigureData<'a>>,
    inputs: Vec<InputData<'a>>,
    alarms: TableData<'a>,
    harms: TableData<'a>,
    steps: Vec<StepData<'a>>,
}

#[derive(Serialize)]
struct FigureData<'a> {
    file: String,
    caption: &'a str,
    shows: &'a str,
}

#[derive(Serialize)]
struct StepData<'a> {
    number: usize,
    title: &'a str,
    statement: &'a str,
    is_formula: bool,
    inputs: Vec<[&'a str; 4]>,
    result: &'a str,
    formula: usize,
    outside: Option<&'a str>,
}

impl<'a> CalculationData<'a> {
    fn of(sheets: &'a CalculationSheets) -> Self {
        let block = &sheets.title_block;
        CalculationData {
            project: &block.project,
            facts: vec![
                ("client", block.client.as_str()),
                ("site", &block.site),
                ("reference", &block.reference),
                ("revision", &block.revision),
            ],
            reference: &block.reference,
            revision: &block.revision,
            date: &block.date,
            author: &block.author,
            caution: CAUTION,
            of: &sheets.of,
            missing: sheets.missing.iter().map(|one| &*one.sentence).collect(),
            sheets: sheets.sheets.iter().map(CalculationSheetData::of).collect(),
            shared: sheets.shared.iter().map(shared_data).collect(),
            formulas: sheets.grounds.formulas.iter().map(formula_data).collect(),
            citations: &sheets.grounds.citations,
        }
    }
}

impl<'a> CalculationSheetData<'a> {
    fn of(sheet: &'a CalculationSheet) -> Self {
        let figure = |(idx, figure): (usize, &'a FigureOf)| FigureData {
            file: figure_file(sheet, idx),
            caption: &figure.caption,
            shows: &figure.drawing.shows,
        };
        let verdict = |line: &'a VerdictLine| (line.bad, line.sentence.as_str());
        let headline = |line: &'a Headline| (&*line.label, &*line.text);
        CalculationSheetData {
            title: &sheet.title,
            place: &sheet.place,
            verdicts: sheet.verdicts.iter().map(verdict).collect(),
            sentences: &sheet.sentences,
            notes: &sheet.notes,
            headlines: sheet.headlines.iter().map(headline).collect(),
            figures: sheet.figures.iter().enumerate().map(figure).collect(),
            inputs: sheet.inputs.iter().map(input_data).collect(),
            alarms: table_data(&sheet.alarms),
            harms: table_data(&sheet.harms),
            steps: sheet.steps.iter().map(step_data).collect(),
        }
    }
}

fn shared_data(part: &SharedPart) -> SharedData<'_> {
    SharedData {
        title: &part.title,
        inputs: part.inputs.iter().map(input_data).collect(),
        steps: part.steps.iter().map(step_data).collect(),
    }
}

fn input_data(line: &InputLine) -> InputData<'_> {
    InputData {
        number: line.number,
        title: &line.title,
        value: &line.value,
        cited: line.cited,
        is_basis: line.is_basis,
    }
}

fn formula_data(formula: &FormulaLine) -> FormulaData<'_> {
    FormulaData {
        title: &formula.title,
        statement: &formula.statement,
        is_formula: formula.is_formula,
        symbols: &formula.symbols,
        cited: formula.cited,
    }
}

fn step_data(step: &Step) -> StepData<'_> {
    let inputs = step.inputs.iter();
    StepData {
        number: step.number,
        title: &step.title,
        statement: &step.statement,
        is_formula: step.is_formula,
        inputs: inputs
            .map(|input| [&*input.symbol, &*input.meaning, &*input.value, &*input.from])
            .collect(),
        result: &step.result,
        formula: step.formula,
        outside: step.outside.as_deref(),
    }
}

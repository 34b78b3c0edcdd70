//! What the template of the calculation sheets reads.

use std::collections::BTreeMap;

use serde::Serialize;
use typst::foundations::Bytes;

use crate::documents::calculation::{
    CalculationSheet, CalculationSheets, FigureOf, Headline, Step, VerdictLine,
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
    missing: Vec<&'a str>,
    sheets: Vec<CalculationSheetData<'a>>,
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
    inputs: TableData<'a>,
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
    citation: &'a str,
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
            missing: sheets.missing.iter().map(|one| &*one.sentence).collect(),
            sheets: sheets.sheets.iter().map(CalculationSheetData::of).collect(),
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
            inputs: table_data(&sheet.inputs),
            alarms: table_data(&sheet.alarms),
            harms: table_data(&sheet.harms),
            steps: sheet.steps.iter().map(step_data).collect(),
        }
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
        citation: &step.citation,
        outside: step.outside.as_deref(),
    }
}

//! The project's own figures of substances, beside the published ones that they replace.

use crate::documents::number::Decimals;
use crate::documents::table::{Cell, Column, Table};
use crate::engine::Results;
use crate::engine::results::{StatedFigureResult, StatedWord, SubstanceResult};
use crate::model::{Project, StatedSubstance};

/// Every figure, class and hazard that the project states of a substance, with its reason.
pub fn substances(project: &Project, results: &Results) -> Table {
    let columns = vec![
        Column::text("substance", 44.0),
        Column::text("figure", 62.0),
        Column::mixed("of this project", 32.0),
        Column::mixed("published", 32.0),
        Column::text("stated for this project by", 100.0),
    ];
    let title = "Substances: figures of this project";
    let empty = "All figures of substances are published ones.";
    let mut table = Table::new(project, "substances", title, columns, empty);
    for stated in &project.substances {
        let Some(result) = results.substances.get(&stated.id) else {
            continue;
        };
        table.heading(heading(stated, result));
        for figure in &result.figures {
            table.row(figure_cells(result, figure));
        }
        for word in &result.words {
            table.row(word_cells(result, word));
        }
        let density = Cell::Number {
            quantity: result.relative_density,
            decimals: Decimals::Places(2),
        };
        let label = Cell::text("density relative to air, by its molar mass");
        let name = Cell::text(&result.name);
        table.row(vec![name, label, density, Cell::empty(), Cell::empty()]);
        let lacks = result.lacks.iter();
        table
            .notes
            .extend(lacks.map(|lack| format!("{}: {lack}", result.name)));
    }
    table.notes.push(
        "Figures stated here stand in the place of published ones everywhere in this project; who \
         states them answers for them. \"Less safe\" marks one that lets more pass than the \
         published figure."
            .to_owned(),
    );
    table
}

fn heading(stated: &StatedSubstance, result: &SubstanceResult) -> String {
    let hazards: Vec<&str> = result.hazards.iter().map(|hazard| hazard.label()).collect();
    let hazards = hazards.join(", ");
    match stated.is_own() {
        false => format!("{} ({}): {hazards}", result.name, result.key),
        true => {
            let known = [stated.formula.as_deref(), stated.cas.as_deref()];
            let known: Vec<&str> = known.into_iter().flatten().collect();
            let known = match known.is_empty() {
                true => String::new(),
                false => format!(" ({})", known.join(", ")),
            };
            format!("{}{known}, in no table here: {hazards}", result.name)
        }
    }
}

fn figure_cells(of: &SubstanceResult, figure: &StatedFigureResult) -> Vec<Cell> {
    let published = figure.published.map(|quantity| Cell::Number {
        quantity,
        decimals: Decimals::Significant(4),
    });
    vec![
        Cell::text(&of.name),
        Cell::text(figure.figure.label()),
        Cell::as_set(figure.value),
        Cell::maybe(published),
        Cell::text(ground(&figure.reason, figure.laxer)),
    ]
}

fn word_cells(of: &SubstanceResult, word: &StatedWord) -> Vec<Cell> {
    vec![
        Cell::text(&of.name),
        Cell::text(&word.what),
        Cell::text(&word.value),
        Cell::text(word.published.clone().unwrap_or_default()),
        Cell::text(ground(&word.reason, word.laxer)),
    ]
}

fn ground(reason: &str, laxer: bool) -> String {
    match laxer {
        true => format!("{reason} (less safe than published)"),
        false => reason.to_owned(),
    }
}

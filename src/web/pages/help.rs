//! `/help`: how to begin, every formula and rule with its citation, the words, the cautions.

use askama::Template;
use axum::response::Response;

use crate::engine::formula::{Formula, Rule};
use crate::units::Unit;
use crate::web::error::WebError;
use crate::web::layout::{Top, html};

#[derive(Template)]
#[template(path = "help/index.html")]
struct HelpPage {
    top: Top,
    formulas: Vec<FormulaItem>,
    rules: Vec<RuleItem>,
    words: &'static [(&'static str, &'static str)],
}

struct FormulaItem {
    id: &'static str,
    title: &'static str,
    expression: &'static str,
    symbols: Vec<SymbolItem>,
    citation: String,
    example: String,
}

struct SymbolItem {
    symbol: &'static str,
    meaning: &'static str,
    unit: &'static str,
    range: String,
}

struct RuleItem {
    id: &'static str,
    title: &'static str,
    statement: &'static str,
    citation: String,
}

/// `GET /help`
pub(crate) async fn show() -> Result<Response, WebError> {
    html(&HelpPage {
        top: Top::plain("help"),
        formulas: crate::engine::formulas().into_iter().map(formula).collect(),
        rules: crate::engine::rules().into_iter().map(rule).collect(),
        words: WORDS,
    })
}

fn formula(formula: &'static Formula) -> FormulaItem {
    let symbols = formula.inputs.iter().chain([&formula.output]);
    let (inputs, result) = formula.example;
    let figures: Vec<String> = inputs.iter().map(|value| format!("{value}")).collect();
    FormulaItem {
        id: formula.id,
        title: formula.title,
        expression: formula.expression,
        symbols: symbols
            .map(|symbol| SymbolItem {
                symbol: symbol.symbol,
                meaning: symbol.meaning,
                unit: unit_word(symbol.unit),
                range: range(symbol.least, symbol.most),
            })
            .collect(),
        citation: formula.citation.text(),
        example: format!(
            "{} gives {result} ({})",
            figures.join(", "),
            formula.example_from
        ),
    }
}

fn rule(rule: &'static Rule) -> RuleItem {
    RuleItem {
        id: rule.id,
        title: rule.title,
        statement: rule.statement,
        citation: rule.citation.text(),
    }
}

fn unit_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Money => "money",
        Unit::MoneyPerHour => "money/h",
        _ => unit.symbol(),
    }
}

fn range(least: f64, most: f64) -> String {
    match (least.is_finite(), most.is_finite()) {
        (true, true) => format!("{least} to {most}"),
        (true, false) => format!("from {least}"),
        (false, true) => format!("up to {most}"),
        (false, false) => String::new(),
    }
}

static WORDS: &[(&str, &str)] = &[
    (
        "plan sheet",
        "The drawing of a floor that you put under ours, with its scale and rotation.",
    ),
    (
        "release source",
        "A place where gas can get out (IEC 60079-10-1): a valve, a cylinder, a bench; or a pipe run or a rack, each part of which must be in reach.",
    ),
    (
        "hazard",
        "Why a substance matters: flammable (F), toxic (T), oxygen depletion (D), oxygen enrichment (E).",
    ),
    (
        "band",
        "Where in a room's height the gas is sought: high (H), breathing (B) or low (L).",
    ),
    (
        "demand",
        "Something that must be watched, by so many detectors: a source, a place that air carries its gas to, or the floor of a room.",
    ),
    (
        "air terminal",
        "Where air leaves a room (extract E, return R), enters it (supply S), enters the building (intake I) or is drawn off a fume cupboard or gas cabinet (C).",
    ),
    (
        "marked area",
        "A part of a floor with something that detectors have to do with: a pit, in which what sinks gathers and is watched; heat, water or another reason to fix no detector; a bench or plant that hides one near the floor; a platform from which a high one is reached.",
    ),
    (
        "reach",
        "How far from a detector a demand may lie, measured along free air round walls and barriers.",
    ),
    (
        "detector",
        "One measuring point: substance, principle, range, set-points, place and height.",
    ),
    (
        "set-point",
        "The reading at which an alarm is given; rising, or for oxygen depletion falling.",
    ),
    (
        "field device",
        "An addressed unit on the bus; it carries detectors or connections for I/O points.",
    ),
    (
        "segment",
        "One two-core cable with the field devices on it, from one connection of a panel.",
    ),
    (
        "spur",
        "The cable from a field device to something that is not on the bus itself.",
    ),
    (
        "measuring point",
        "A detector reading that a panel receives; limits of panels count these.",
    ),
    (
        "containment",
        "Tray, trunking or conduit that cables prefer.",
    ),
    ("riser", "A vertical way for cables between floors."),
    (
        "basis of design",
        "Every assumption and default the design stands on, printed with its ground.",
    ),
    (
        "finding",
        "What a check says: a blocker, a warning or a note, each with a remedy.",
    ),
    (
        "proven",
        "A search ran to its end: no layout on the stated grid of places has fewer detectors.",
    ),
    (
        "one fewer",
        "The layout with one detector less than the fewest that loses the least; the best found, not proven the best.",
    ),
    (
        "take-off",
        "Counts and lengths taken from the design, for the schedules and the price.",
    ),
];

//! The calculation sheets: for each release what goes in, what it does, and every step between.
//!
//! A value; it knows no file format and calculates nothing: figures and steps come from the trace.

mod chosen;
mod register;
mod steps;
mod tables;

use crate::documents::Issue;
use crate::documents::calculation::register::{Register, Shared};
use crate::documents::calculation::steps::Writer;
use crate::documents::content::names;
use crate::documents::document::title_block;
use crate::documents::drawing::{
    Drawing, TitleBlock, chart_figure, mixing_figure, peak_time, section_figure, time_text, watcher,
};
use crate::documents::number::{self, Decimals};
use crate::documents::table::Table;
use crate::engine::results::{
    AlarmResult, HarmResult, Motion, Picture, ReleaseCase, ReleaseResult, ReleaseState,
};
use crate::engine::{Quantity, Results};
use crate::model::basis::ALARM_HORIZON;
use crate::model::{FloorId, Project, ReleaseSource, RoomId, SourceId};
use crate::units::{Unit, time_between};

pub use chosen::Chosen;
pub use steps::{FormulaLine, Grounds, InputLine, Step, StepInput};
pub use tables::inputs_table;

/// All calculation sheets of a project.
#[derive(Debug, Clone, PartialEq)]
pub struct CalculationSheets {
    pub title_block: TitleBlock,
    pub issue: Issue,
    /// By source, in the order of their ids.
    pub sheets: Vec<CalculationSheet>,
    /// What several of them stand on, each thing once.
    pub shared: Vec<SharedPart>,
    /// What inputs and steps refer to.
    pub grounds: Grounds,
    /// Sources of which no release is known, each in a sentence.
    pub missing: Vec<MissingRelease>,
    /// What was chosen, in words; empty for all.
    pub of: String,
}

/// Inputs and steps that several releases stand on.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedPart {
    pub title: String,
    pub inputs: Vec<InputLine>,
    pub steps: Vec<Step>,
}

/// A source of which no release is known.
#[derive(Debug, Clone, PartialEq)]
pub struct MissingRelease {
    pub source: SourceId,
    pub floor: FloorId,
    pub sentence: String,
}

/// The calculation of one release.
#[derive(Debug, Clone, PartialEq)]
pub struct CalculationSheet {
    pub source: SourceId,
    /// Anchor and file name, such as "source-3".
    pub key: String,
    pub title: String,
    /// Room and floor.
    pub place: String,
    /// The alarm held against the harm, first what is bad.
    pub verdicts: Vec<VerdictLine>,
    pub sentences: Vec<String>,
    pub notes: Vec<String>,
    pub headlines: Vec<Headline>,
    pub figures: Vec<FigureOf>,
    pub alarms: Table,
    pub harms: Table,
    /// Inputs and steps of this release alone; their numbers follow those of the shared ones.
    pub inputs: Vec<InputLine>,
    pub steps: Vec<Step>,
}

/// One verdict in a sentence.
#[derive(Debug, Clone, PartialEq)]
pub struct VerdictLine {
    pub bad: bool,
    pub sentence: String,
}

/// One of the figures a reader looks for first.
#[derive(Debug, Clone, PartialEq)]
pub struct Headline {
    pub label: String,
    pub text: String,
    /// `None` where nothing comes in the time looked at.
    pub quantity: Option<Quantity>,
}

/// A figure with what it shows.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureOf {
    pub caption: String,
    pub drawing: Drawing,
}

/// The calculation sheets of the chosen release sources of the project.
pub fn calculation_sheets(
    project: &Project,
    results: &Results,
    issue: &Issue,
    chosen: Chosen,
) -> CalculationSheets {
    let mut found = Vec::new();
    let mut missing = Vec::new();
    for source in &project.sources {
        let release = results.releases.get(&source.id);
        if !chosen.holds(project, source, release) {
            continue;
        }
        match release {
            Some(release) => found.push((source, release)),
            None => missing.push(MissingRelease {
                source: source.id,
                floor: source.floor,
                sentence: format!("{}: what comes out is not known.", source.name),
            }),
        }
    }
    let releases: Vec<&ReleaseResult> = found.iter().map(|(_, release)| *release).collect();
    let register = Register::of(results, &releases);
    let mut writer = Writer::new(project, &register);
    let shared = shared_parts(project, &register, &mut writer);
    let sheets = found.into_iter().enumerate().map(|(idx, of)| {
        let own = Shared::Own(idx);
        let inputs = writer.inputs(register.part(&own));
        let steps = writer.steps(register.part(&own));
        sheet(project, results, of, inputs, steps)
    });
    let sheets = sheets.collect();
    CalculationSheets {
        title_block: title_block(project, results, issue),
        issue: issue.clone(),
        sheets,
        shared,
        grounds: writer.grounds(),
        missing,
        of: chosen.words(project),
    }
}

fn shared_parts(project: &Project, register: &Register, writer: &mut Writer) -> Vec<SharedPart> {
    let part = |shared: &Shared| SharedPart {
        title: shared_title(project, shared),
        inputs: writer.inputs(register.part(shared)),
        steps: writer.steps(register.part(shared)),
    };
    register.shared_parts().into_iter().map(part).collect()
}

fn shared_title(project: &Project, shared: &Shared) -> String {
    let room = |id: &Option<RoomId>| {
        let room = id.and_then(|id| project.rooms.get(id));
        room.map_or("Outside every room".to_owned(), names::room)
    };
    match shared {
        Shared::Several | Shared::Own(_) => "Several rooms and substances".to_owned(),
        Shared::Substance(substance) => substance.clone(),
        Shared::Room(id) => room(id),
        Shared::SubstanceInRoom(id, substance) => format!("{substance} in {}", room(id)),
    }
}

/// A release in its state, in words; nothing where there is only one.
pub fn state_words(release: &ReleaseResult, case: &ReleaseCase) -> &'static str {
    match (release.cases.len(), case.state) {
        (0 | 1, _) => "",
        (_, ReleaseState::Leaving) => "as it leaves",
        (_, ReleaseState::Warmed) => "once warmed",
    }
}

fn sheet(
    project: &Project,
    results: &Results,
    (source, release): (&ReleaseSource, &ReleaseResult),
    inputs: Vec<InputLine>,
    steps: Vec<Step>,
) -> CalculationSheet {
    let room = release.room.and_then(|id| project.rooms.get(id));
    let mut place: Vec<String> = room.map(names::room).into_iter().collect();
    place.push(names::floor(project, source.floor));
    let harms = release.cases.iter().flat_map(|case| {
        let line = |harm: &HarmResult| VerdictLine {
            bad: harm.verdict.is_bad(),
            sentence: said(state_words(release, case), &harm.sentence),
        };
        case.harms.iter().map(line)
    });
    let mut verdicts: Vec<VerdictLine> = harms.collect();
    verdicts.sort_by_key(|line| !line.bad);
    CalculationSheet {
        source: source.id,
        key: format!("source-{}", source.id.0),
        title: title(&source.name, &release.substance),
        place: place.join(", "),
        verdicts,
        sentences: unsaid(release),
        notes: release.notes.clone(),
        headlines: headlines(project, release),
        figures: figures(project, results, source, release),
        alarms: tables::alarms(project, release),
        harms: tables::harms(project, release),
        inputs,
        steps,
    }
}

/// The source and its substance, once where they are called alike.
fn title(name: &str, substance: &str) -> String {
    match name.eq_ignore_ascii_case(substance) {
        true => name.to_owned(),
        false => format!("{name}: {substance}"),
    }
}

/// What the release does, without what the verdicts say.
fn unsaid(release: &ReleaseResult) -> Vec<String> {
    let harms = || release.cases.iter().flat_map(|case| &case.harms);
    let mut left = release.sentences.clone();
    left.retain(|sentence| !harms().any(|harm| harm.sentence == *sentence));
    left
}

fn said(state: &str, sentence: &str) -> String {
    match state {
        "" => sentence.to_owned(),
        state => format!("{}: {sentence}", capital(state)),
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters
        .next()
        .map(|letter| letter.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// The case and the harm that decide: a bad verdict before a good one.
fn deciding(release: &ReleaseResult) -> Option<(&ReleaseCase, Option<&HarmResult>)> {
    let bad = |harm: &&HarmResult| harm.verdict.is_bad();
    let worst = release.cases.iter().find_map(|case| {
        let harm = case.harms.iter().find(bad)?;
        Some((case, Some(harm)))
    });
    let first = || {
        let case = release.cases.first()?;
        Some((case, case.harms.first()))
    };
    worst.or_else(first)
}

/// What a reader looks for first: alarm and harm of the picture that decides, the time between,
/// and the highest mean of the room.
fn headlines(project: &Project, release: &ReleaseResult) -> Vec<Headline> {
    let Some((case, harm)) = deciding(release) else {
        return Vec::new();
    };
    let horizon = 3600.0 * project.basis.get(&ALARM_HORIZON);
    let within = time_text(horizon);
    let time = |label: String, quantity: Option<Quantity>| Headline {
        label,
        text: quantity.map_or(format!("not within {within}"), |time| time_text(time.value)),
        quantity,
    };
    let mut lines = Vec::new();
    if let Some(harm) = harm {
        let picture = match (case.motion, harm.picture) {
            (Motion::Mixes, _) => "",
            (_, Some(Picture::Layered)) => ", gas in a layer",
            (_, Some(Picture::Mixed)) => ", gas mixed through the room",
            (_, None) => ", at the latest",
        };
        lines.push(time(format!("time to alarm{picture}"), harm.alarm));
        let of_harm = if harm.picture.is_some() { picture } else { "" };
        lines.push(time(format!("time to harm{of_harm}"), harm.harm));
        if let (Some(alarm), Some(harm)) = (harm.alarm, harm.harm) {
            let margin = time_between(harm.value, alarm.value);
            let label = if margin < 0.0 {
                "alarm after harm by"
            } else {
                "margin"
            };
            lines.push(Headline {
                label: label.to_owned(),
                text: time_text(margin.abs()),
                quantity: None,
            });
        }
    }
    let two = Decimals::Significant(2);
    let highest = case.highest;
    lines.push(Headline {
        label: format!("highest mean of the room within {within}"),
        text: number::text(highest.value, highest.unit, two, project.head.units, ""),
        quantity: Some(highest),
    });
    lines
}

/// Per case sections at alarm and harm and the chart; then the mixing curve of a cold release.
fn figures(
    project: &Project,
    results: &Results,
    source: &ReleaseSource,
    release: &ReleaseResult,
) -> Vec<FigureOf> {
    let mut figures = Vec::new();
    for case in &release.cases {
        let state = state_words(release, case);
        for (name, seconds) in section_times(case) {
            let of = (source, release);
            if let Some(drawing) = section_figure(project, results, of, case, seconds) {
                let caption = format!("Section {name}");
                figures.push(FigureOf {
                    caption: said(state, &caption),
                    drawing,
                });
            }
        }
        let alarms = case.alarms.iter().map(Some);
        let alarms: Vec<Option<&AlarmResult>> = match case.alarms.is_empty() {
            true => vec![None],
            false => alarms.collect(),
        };
        for alarm in alarms {
            figures.push(FigureOf {
                caption: said(state, &chart_caption(project, alarm)),
                drawing: chart_figure(project, results, case, alarm),
            });
        }
    }
    if let Some(mixing) = &release.mixing {
        figures.push(FigureOf {
            caption: format!("Density against share of gas. {}", mixing.sentence),
            drawing: mixing_figure(mixing),
        });
    }
    figures
}

fn chart_caption(project: &Project, alarm: Option<&AlarmResult>) -> String {
    match alarm {
        Some(alarm) => {
            let who = watcher(project, alarm);
            format!("Readings against time, {}, {who}", alarm.hazard.label())
        }
        None => "Gas against time".to_owned(),
    }
}

/// The times a section is drawn at: alarm and harm of what it draws, the gas in a layer where it
/// forms one; or where there is most gas if neither comes.
fn section_times(case: &ReleaseCase) -> Vec<(String, f64)> {
    let layered = case.motion != Motion::Mixes;
    let alarm = case.alarms.iter().filter_map(|alarm| match layered {
        true => alarm.alarm_layered,
        false => alarm.alarm_mixed,
    });
    let harm = case.harms.iter().filter_map(|harm| match layered {
        true => harm.harm_layered,
        false => harm.harm_mixed,
    });
    let first = |times: Vec<Quantity>| {
        let values = times.iter().map(|time| time.value);
        values.min_by(f64::total_cmp)
    };
    let (alarm, harm) = (first(alarm.collect()), first(harm.collect()));
    let picture = if layered { ", gas in a layer" } else { "" };
    let mut times: Vec<(String, f64)> = Vec::new();
    for (name, time) in [("at the first alarm", alarm), ("at the first harm", harm)] {
        if let Some(time) = time.filter(|time| times.iter().all(|(_, other)| other != time)) {
            let after = time_text(time);
            times.push((
                format!("{name}{picture}: {after} after the beginning"),
                time,
            ));
        }
    }
    if times.is_empty() {
        let time = peak_time(case);
        let words = format!("when the room's mean is highest, {} after", time_text(time));
        times.push((format!("{words} the beginning"), time));
    }
    times
}

/// A figure of a sheet: times in the words of a time, concentrations with two digits.
fn printed(project: &Project, quantity: Quantity) -> String {
    match quantity.unit {
        Unit::Second => time_text(quantity.value),
        unit => {
            let decimals = number::reason_decimals(quantity.value, unit);
            number::text(quantity.value, unit, decimals, project.head.units, "")
        }
    }
}

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
    AlarmResult, Motion, ReleaseCase, ReleaseResult, ReleaseState, Verdict,
};
use crate::engine::{Quantity, Results};
use crate::model::{FloorId, Project, ReleaseSource, RoomId, SourceId};
use crate::units::Unit;

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
        let line = |harm: &crate::engine::results::HarmResult| VerdictLine {
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
        title: format!("{}: {}", source.name, release.substance),
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

/// The case and the watch that decide: a bad verdict before a good one, a late alarm before an
/// early one.
fn deciding(release: &ReleaseResult) -> Option<(&ReleaseCase, Option<&AlarmResult>)> {
    let bad = |case: &&ReleaseCase| {
        case.harms
            .iter()
            .any(|harm| matches!(harm.verdict, Verdict::TooLate | Verdict::NoAlarm))
    };
    let case = release.cases.iter().find(bad).or(release.cases.first())?;
    Some((case, case.alarms.first()))
}

/// Three figures: gas at the set-point in the mixed room, at the detector by the front, and where
/// the room settles.
fn headlines(project: &Project, release: &ReleaseResult) -> Vec<Headline> {
    let Some((case, alarm)) = deciding(release) else {
        return Vec::new();
    };
    let time = |label: &str, quantity: Option<Quantity>| Headline {
        label: label.to_owned(),
        text: quantity.map_or("not reached".to_owned(), |time| time_text(time.value)),
        quantity,
    };
    let mut lines = Vec::new();
    if let Some(alarm) = alarm {
        if case.motion != Motion::Mixes {
            let label = "gas at the first set-point at the detector, by the layer";
            lines.push(time(label, alarm.gas_layered));
        }
        let label = "gas at the first set-point, room mixed";
        lines.push(time(label, alarm.gas_mixed));
    }
    let (label, settled) = match case.steady {
        Some(steady) => ("the room settles at", steady),
        None => ("highest mean of the room", case.highest),
    };
    let two = Decimals::Significant(2);
    lines.push(Headline {
        label: label.to_owned(),
        text: number::text(settled.value, settled.unit, two, project.head.units, ""),
        quantity: Some(settled),
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

/// The times a section is drawn at: alarm and harm, or where there is most gas if neither comes.
fn section_times(case: &ReleaseCase) -> Vec<(String, f64)> {
    let alarm = case.alarms.iter().filter_map(|alarm| alarm.alarm);
    let first = |times: Vec<Quantity>| {
        let values = times.iter().map(|time| time.value);
        values.min_by(f64::total_cmp)
    };
    let alarm = first(alarm.collect());
    let harm = first(case.harms.iter().filter_map(|harm| harm.harm).collect());
    let mut times: Vec<(String, f64)> = Vec::new();
    for (name, time) in [("at the first alarm", alarm), ("at the first harm", harm)] {
        if let Some(time) = time.filter(|time| times.iter().all(|(_, other)| other != time)) {
            times.push((
                format!("{name}, {} after the beginning", time_text(time)),
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

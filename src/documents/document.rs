//! A whole document as a value: title block, drawings, tables, notes. No file format.

use std::collections::{BTreeMap, BTreeSet};

use crate::documents::content;
use crate::documents::drawing::{Drawing, TitleBlock, cover_drawing, floor_drawing};
use crate::documents::number::{self, Decimals};
use crate::documents::table::Table;
use crate::engine::airspace::room_name;
use crate::engine::gas::within_sentence;
use crate::engine::{Finding, Quantity, Results, Severity};
use crate::model::{ItemKey, Project, SourceId};

/// Printed on the cover and on every drawing.
pub const CAUTION: &str = "The app advises; local codes, the hazardous-area classification and \
                           a competent person decide.";

/// The pictures of the plan sheets by fingerprint: PNG.
pub type Sheets = BTreeMap<String, Vec<u8>>;

/// When and by whom a document is issued. The clock is not asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Issue {
    /// Year, month and day, such as "2026-03-31".
    pub date: String,
    pub author: String,
}

/// A set of sheets and schedules.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    pub title_block: TitleBlock,
    pub issue: Issue,
    /// Sentences for the cover: what is missing, what the price holds.
    pub notes: Vec<String>,
    pub cover: Drawing,
    /// One per floor, from the lowest up.
    pub drawings: Vec<Drawing>,
    pub tables: Vec<Table>,
    pub pictures: Sheets,
}

/// The whole document of a project.
pub fn project_document(
    project: &Project,
    results: &Results,
    sheets: &Sheets,
    issue: &Issue,
) -> Document {
    let title_block = title_block(project, results, issue);
    let floors = project.floors_upwards();
    let drawings = floors
        .iter()
        .map(|floor| floor_drawing(project, results, floor, &title_block))
        .collect();
    let shown = floors.iter().filter_map(|floor| floor.sheet.as_ref());
    let pictures = shown
        .filter_map(|sheet| sheets.get_key_value(&sheet.image))
        .map(|(fingerprint, png)| (fingerprint.clone(), png.clone()))
        .collect();
    Document {
        cover: cover_drawing(&title_block),
        issue: issue.clone(),
        notes: notes(project, results),
        drawings,
        tables: content::tables(project, results),
        pictures,
        title_block,
    }
}

/// What the title block says, with the live totals.
pub fn title_block(project: &Project, results: &Results, issue: &Issue) -> TitleBlock {
    let head = &project.head;
    let count = |severity: Severity| {
        let of = results
            .findings
            .iter()
            .filter(|finding| finding.severity == severity);
        of.count().to_string()
    };
    let mut totals = title_totals(project, results).to_vec();
    totals.push(("blockers".to_owned(), count(Severity::Blocker)));
    totals.push(("warnings".to_owned(), count(Severity::Warning)));
    TitleBlock {
        project: head.name.clone(),
        client: head.client.clone(),
        site: head.site.clone(),
        reference: head.reference.clone(),
        revision: head.revision.clone(),
        date: issue.date.clone(),
        author: issue.author.clone(),
        totals,
    }
}

/// What is counted, measured and priced, with its label, as the title block says it on paper and on
/// the screen.
pub fn title_totals(project: &Project, results: &Results) -> [(String, String); 4] {
    let price = match project.catalogue.sample {
        true => "price, invented",
        false => "price",
    };
    let labels = ["detectors", "field devices", "cable", price].map(str::to_owned);
    let Some(totals) = results.take_off.totals.as_ref() else {
        return labels.map(|label| (label, "–".to_owned()));
    };
    let print = |quantity: Quantity, decimals: Decimals| {
        let (units, currency) = (project.head.units, &project.catalogue.currency);
        number::text(quantity.value, quantity.unit, decimals, units, currency)
    };
    let none_wired = totals.detectors.value > 0.0 && project.segments.is_empty();
    let (devices, cable) = match (none_wired, totals.field_devices.value == 0.0) {
        (true, true) => ("not wired".to_owned(), "–".to_owned()),
        (true, false) => (
            print(totals.field_devices, Decimals::OfUnit),
            "not wired".to_owned(),
        ),
        (false, _) => (
            print(totals.field_devices, Decimals::OfUnit),
            print(totals.cable, Decimals::OfUnit),
        ),
    };
    let [a, b, c, d] = labels;
    [
        (a, print(totals.detectors, Decimals::OfUnit)),
        (b, devices),
        (c, cable),
        (d, print(totals.price, Decimals::Places(0))),
    ]
}

/// What a reader must know before the first sheet: what is missing, and what the price holds.
fn notes(project: &Project, results: &Results) -> Vec<String> {
    let mut notes = Vec::new();
    let mut missing = |is_missing: bool, sentence: &str| {
        if is_missing {
            notes.push(sentence.to_owned());
        }
    };
    missing(project.floors.is_empty(), "No floor is drawn yet.");
    missing(
        project.sources.is_empty(),
        "No release source is stated: nothing is watched yet.",
    );
    missing(project.detectors.is_empty(), "No detector is placed yet.");
    missing(
        project.segments.is_empty(),
        "The field devices are not wired yet: lengths, volts and the price of cable are missing.",
    );
    let blockers = results
        .findings
        .iter()
        .filter(|f| f.severity == Severity::Blocker)
        .count();
    match blockers {
        0 => {}
        1 => notes.push("One blocker is open: the design must not be issued so.".to_owned()),
        n => notes.push(format!(
            "{n} blockers are open: the design must not be issued so."
        )),
    }
    notes.extend(late_alarms(project, results));
    match results.questions.len() {
        0 => {}
        1 => notes.push("One question to the client is open.".to_owned()),
        n => notes.push(format!("{n} questions to the client are open.")),
    }
    if let Some(totals) = &results.take_off.totals {
        notes.push(totals.price_holds.clone());
    }
    notes
}

/// So many releases are named on the cover.
const NAMED: usize = 3;

/// Which releases harm before they alarm: to be read before the layout is.
fn late_alarms(project: &Project, results: &Results) -> Option<String> {
    let is_late = |finding: &&Finding| {
        let id = &finding.id;
        id.starts_with("alarm.late/") || id.starts_with("alarm.never/")
    };
    let late = results.findings.iter().filter(is_late);
    let sources: BTreeSet<ItemKey> = late.filter_map(|finding| finding.about).collect();
    let named = sources.iter().take(NAMED).filter_map(|key| match key {
        ItemKey::Source(id) => name_of_source(project, results, *id),
        _ => None,
    });
    let named: Vec<String> = named.collect();
    let more = match sources.len().saturating_sub(NAMED) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    (!named.is_empty()).then(|| {
        format!(
            "Harm comes before the alarm, by what is stated and assumed of the release: {}{more}. \
             The findings say why, and what helps.",
            named.join("; ")
        )
    })
}

/// "hydrogen regulator, hydrogen, in G.02".
fn name_of_source(project: &Project, results: &Results, id: SourceId) -> Option<String> {
    let source = project.sources.get(id)?;
    let found = results.sources.get(&id)?;
    let gas = within_sentence(&found.substance);
    let what = match source.name.to_lowercase() == found.substance.to_lowercase() {
        true => gas,
        false => format!("{}, {gas}", source.name),
    };
    let room = found.room.and_then(|id| project.rooms.get(id));
    Some(room.map_or(what.clone(), |room| {
        format!("{what}, in {}", room_name(room))
    }))
}

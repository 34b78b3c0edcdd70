//! The strip beside the title block: bands, symbols, cables, scale bar and the caution.

use std::collections::BTreeSet;

use crate::documents::CAUTION;
use crate::documents::drawing::caption::{SMALL, fitted, text, wrapped};
use crate::documents::drawing::floor::{EXTENT, MARKED, Scene};
use crate::documents::drawing::floor_blockers::diamond;
use crate::documents::drawing::floor_marks::{cross, instrument, panel, source, terminal};
use crate::documents::drawing::hatch::hatched;
use crate::documents::drawing::view::View;
use crate::documents::drawing::{Ink, Mark, Pen, Spot};
use crate::documents::number::{self, Decimals};
use crate::model::{AirTerminalKind, Band, Hazard, Segment, UnitSystem};
use crate::units::Unit;

/// Upper left corner of the strip, mm.
const CORNER: Spot = Spot::new(24.0, 240.0);
const ROW: f64 = 6.4;

/// The strokes of the segments, in turn: a segment is known by them in grey print, too.
const DASHES: [&[f64]; 6] = [
    &[],
    &[4.0, 1.2],
    &[4.0, 1.0, 0.5, 1.0],
    &[1.5, 1.0],
    &[6.0, 1.0, 1.5, 1.0],
    &[4.0, 0.9, 0.5, 0.9, 0.5, 0.9],
];

/// The pen of a segment's cable.
pub fn cable_pen(idx: usize) -> Pen {
    Pen::MEDIUM.dashed(DASHES[idx % DASHES.len()])
}

/// The whole strip: only what is drawn on this sheet.
pub fn legend(scene: &Scene, segments: &[(usize, &Segment)], blockers: bool) -> Vec<Mark> {
    let mut marks = bands(scene, CORNER);
    marks.extend(symbols(scene, CORNER.plus(55.0, 0.0)));
    marks.extend(cables(scene, segments, blockers, CORNER.plus(116.0, 0.0)));
    let units = scene.project.head.units;
    marks.extend(scale_bar(&scene.view, units, CORNER.plus(0.0, 27.0)));
    for (idx, line) in wrapped(CAUTION, SMALL, 200.0).iter().enumerate() {
        let at = CORNER.plus(0.0, 41.5 + 3.6 * idx as f64);
        marks.push(text(at, SMALL, line).bold().mark());
    }
    marks
}

fn bands(scene: &Scene, corner: Spot) -> Vec<Mark> {
    let mut marks = Vec::new();
    let here = scene.floor.id;
    let detectors = || scene.project.detectors.iter().filter(|d| d.floor == here);
    let used = |band: &Band| detectors().any(|detector| detector.band == *band);
    for (idx, band) in Band::ALL.into_iter().filter(used).enumerate() {
        let at = corner.plus(0.0, ROW * idx as f64);
        let swatch = Mark::rectangle(at, 9.0, 5.0);
        marks.extend(hatched(vec![swatch.clone()], band));
        marks.push(Mark::ring(swatch, Pen::solid(0.18, Ink::Of(band))));
        let words = match band {
            Band::High => "H high: at the ceiling",
            Band::Breathing => "B breathing: head height",
            Band::Low => "L low: at the floor",
        };
        marks.push(text(at.plus(11.0, 3.6), SMALL, words).mark());
    }
    marks
}

/// A symbol of the legend, with the lines of its words.
type Row = (Vec<Mark>, Vec<String>);

fn symbols(scene: &Scene, corner: Spot) -> Vec<Mark> {
    let at = Spot::new(0.0, 0.0);
    let (project, here) = (scene.project, scene.floor.id);
    let line = |words: &str| vec![words.to_owned()];
    let mut rows: Vec<Row> = Vec::new();
    if let Some(first) = project.detectors.iter().find(|d| d.floor == here) {
        let ring = Pen::solid(0.5, Ink::Of(first.band));
        let words = ["detector, gas;", "band and height above floor"];
        let symbol = instrument(at, &first.tag, ring);
        rows.push((symbol, words.map(str::to_owned).to_vec()));
    }
    let hazards = hazards_on(scene);
    if project.sources.iter().any(|source| source.floor == here) {
        let words: Vec<String> = hazards.iter().map(said).collect();
        let words = match words.is_empty() {
            true => "release source".to_owned(),
            false => format!("release source: {}", words.join(", ")),
        };
        let letter = hazards.first().map_or('?', |hazard| hazard.letter());
        let symbol = source(at, &letter.to_string());
        rows.push((symbol, wrapped(&words, SMALL, 44.0)));
    }
    let alone = project.devices.iter().filter(|d| d.floor == here);
    let tags: Vec<&str> = alone
        .filter(|device| device.detectors.is_empty())
        .map(|device| device.tag.as_str())
        .collect();
    if let Some(first) = tags.first() {
        let known = KINDS
            .iter()
            .filter(|(letters, _)| tags.iter().any(|tag| tag.starts_with(letters)));
        let known: Vec<String> = known
            .map(|(letters, it)| format!("{letters} {it}"))
            .collect();
        let words = match known.is_empty() {
            true => "field device".to_owned(),
            false => known.join(", "),
        };
        rows.push((instrument(at, first, Pen::MEDIUM), line(&words)));
    }
    if project.panels.iter().any(|panel| panel.floor == here) {
        rows.push((panel(at, "CP", 8.0), line("control panel")));
    }
    stacked(corner, rows)
}

/// What devices of these tags are (ISA-5.1 letters).
const KINDS: [(&str, &str); 3] = [("XA", "sounder"), ("UY", "I/O"), ("UI", "display")];

/// Rows one below the other, each as high as its symbol or its words.
fn stacked(corner: Spot, rows: Vec<Row>) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut y = 0.0;
    for (symbol, words) in rows {
        let high = (3.6 * words.len() as f64).max(8.2);
        let middle = corner.plus(4.0, y + high / 2.0);
        marks.extend(symbol.into_iter().map(|mark| mark.moved(middle)));
        let top = y + (high - 3.6 * words.len() as f64) / 2.0;
        for (idx, words) in words.iter().enumerate() {
            let at = corner.plus(10.0, top + 2.8 + 3.6 * idx as f64);
            marks.push(text(at, SMALL, words).mark());
        }
        y += high + 0.9;
    }
    marks
}

fn said(hazard: &Hazard) -> String {
    format!("{} {}", hazard.letter(), hazard.label())
}

/// What the sources of the floor are watched for, each hazard once.
fn hazards_on(scene: &Scene) -> Vec<Hazard> {
    let sources = scene.project.sources.iter();
    let here = sources.filter(|source| source.floor == scene.floor.id);
    let results = here.filter_map(|source| scene.results.sources.get(&source.id));
    let found: BTreeSet<Hazard> = results
        .flat_map(|result| &result.watches)
        .map(|watch| watch.hazard)
        .collect();
    found.into_iter().collect()
}

/// The kinds of the air terminals of the floor, each once.
fn terminals_on(scene: &Scene) -> Vec<AirTerminalKind> {
    let terminals = scene.project.terminals.iter();
    let here = terminals.filter(|terminal| terminal.floor == scene.floor.id);
    let found: BTreeSet<AirTerminalKind> = here.map(|terminal| terminal.kind).collect();
    found.into_iter().collect()
}

fn crosses(scene: &Scene) -> bool {
    let segments = scene.results.segments.values();
    let cables = segments.flat_map(|segment| &segment.cables);
    let mut crossings = cables.flat_map(|cable| &cable.crossings);
    crossings.any(|crossing| crossing.floor == scene.floor.id)
}

/// Cables, marked areas, trays, air terminals, crossings and blockers, each a short row.
fn cables(
    scene: &Scene,
    segments: &[(usize, &Segment)],
    blockers: bool,
    corner: Spot,
) -> Vec<Mark> {
    let stroke = |pen| {
        vec![Mark::line(
            vec![Spot::new(-8.0, 0.0), Spot::new(8.0, 0.0)],
            pen,
        )]
    };
    let at = Spot::new(0.0, 0.0);
    let most = 3;
    let mut rows: Vec<(Vec<Mark>, String)> = Vec::new();
    for (idx, segment) in segments.iter().take(most) {
        let item = scene.project.catalogue.item(&segment.cable);
        let cable = item.map_or(segment.cable.as_str(), |item| item.description.as_str());
        rows.push((stroke(cable_pen(*idx)), format!("{} {cable}", segment.tag)));
    }
    if segments.len() > most {
        let more = segments.len() - most;
        let words = format!("and {more} more: see the segment schedule");
        rows.push((Vec::new(), words));
    }
    let mut sources = scene.project.sources.iter();
    if sources.any(|source| source.floor == scene.floor.id && source.extent.is_some()) {
        rows.push((stroke(EXTENT), "gas can get out along it".to_owned()));
    }
    let mut marked = scene.project.marked.iter();
    if marked.any(|area| area.floor == scene.floor.id) {
        rows.push((stroke(MARKED), "marked area: as it says".to_owned()));
    }
    let mut runs = scene.project.containments.iter();
    if runs.any(|run| run.floor == scene.floor.id) {
        let tray = stroke(Pen::solid(2.0, Ink::Pale));
        rows.push((tray, "tray, trunking or conduit".to_owned()));
    }
    let kinds = terminals_on(scene);
    if let Some(first) = kinds.first() {
        let said = |kind: &AirTerminalKind| format!("{} {}", kind.letter(), kind.word());
        let words: Vec<String> = kinds.iter().map(said).collect();
        rows.push((terminal(at, *first), format!("air: {}", words.join(", "))));
    }
    if crosses(scene) {
        rows.push((cross(at), "crossing: seal".to_owned()));
    }
    if blockers {
        let words = "blocker: see the findings".to_owned();
        rows.push((diamond(at, 1.5, 1), words));
    }
    let mut marks = Vec::new();
    for (row, (symbol, words)) in rows.into_iter().enumerate() {
        let middle = corner.plus(8.0, 2.6 + 5.2 * row as f64);
        marks.extend(symbol.into_iter().map(|mark| mark.moved(middle)));
        let words = fitted(&words, SMALL, 64.0);
        marks.push(text(middle.plus(10.0, 1.0), SMALL, words).mark());
    }
    marks
}

/// A bar in the unit of the project, of four parts.
fn scale_bar(view: &View, units: UnitSystem, corner: Spot) -> Vec<Mark> {
    let metres = match units {
        UnitSystem::Metric => 1.0,
        UnitSystem::UsCustomary => 0.3048,
    };
    let steps = [0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 25.0, 50.0, 100.0, 250.0];
    let fits = |step: &&f64| view.long(**step * metres * 4.0) <= 44.0;
    let step = steps.iter().rfind(fits).copied().unwrap_or(steps[0]) * metres;
    let part = view.long(step);
    let mut marks = Vec::new();
    for idx in 0..4 {
        let at = corner.plus(part * f64::from(idx), 0.0);
        let field = Mark::rectangle(at, part, 1.6);
        let ink = if idx % 2 == 0 { Ink::Black } else { Ink::White };
        marks.push(Mark::Area {
            rings: vec![field.clone()],
            ink,
            opacity: 1.0,
        });
        marks.push(Mark::ring(field, Pen::THIN));
    }
    let length = number::text(step * 4.0, Unit::Metre, Decimals::AsSet, units, "");
    let scale = format!("1:{}", view.scale);
    marks.push(text(corner.plus(0.0, 5.4), SMALL, "0").mark());
    marks.push(
        text(corner.plus(part * 4.0, 5.4), SMALL, length)
            .end()
            .mark(),
    );
    marks.push(text(corner.plus(0.0, -1.2), SMALL, scale).bold().mark());
    marks
}

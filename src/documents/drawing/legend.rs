//! The strip beside the title block: bands, symbols, cables, scale bar and the caution.

use crate::documents::CAUTION;
use crate::documents::drawing::caption::{SMALL, fitted, text, wrapped};
use crate::documents::drawing::floor_marks::{cross, instrument, panel, source};
use crate::documents::drawing::hatch::hatched;
use crate::documents::drawing::view::View;
use crate::documents::drawing::{Ink, Mark, Pen, Spot};
use crate::documents::number::{self, Decimals};
use crate::model::{Band, Project, Segment, UnitSystem};
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

/// The whole strip.
pub fn legend(project: &Project, view: &View, segments: &[(usize, &Segment)]) -> Vec<Mark> {
    let mut marks = bands(CORNER);
    marks.extend(symbols(CORNER.plus(55.0, 0.0)));
    marks.extend(cables(project, segments, CORNER.plus(116.0, 0.0)));
    marks.extend(scale_bar(view, project.head.units, CORNER.plus(0.0, 27.0)));
    for (idx, line) in wrapped(CAUTION, SMALL, 200.0).iter().enumerate() {
        let at = CORNER.plus(0.0, 41.5 + 3.6 * idx as f64);
        marks.push(text(at, SMALL, line).bold().mark());
    }
    marks
}

fn bands(corner: Spot) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (idx, band) in Band::ALL.into_iter().enumerate() {
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

fn symbols(corner: Spot) -> Vec<Mark> {
    let say = |at: Spot, words: &str| text(at, SMALL, words).mark();
    let ring = Pen::solid(0.5, Ink::Of(Band::High));
    let mut marks = instrument(corner.plus(4.0, 3.0), "AT-101", ring);
    marks.push(say(corner.plus(10.0, 2.6), "detector, gas, band"));
    marks.push(say(corner.plus(10.0, 6.2), "and height above floor"));
    marks.extend(source(corner.plus(4.0, 13.4), "F"));
    marks.push(say(corner.plus(10.0, 12.0), "release source: F flammable,"));
    marks.push(say(corner.plus(10.0, 15.6), "T toxic, D oxygen depletion,"));
    marks.push(say(corner.plus(10.0, 19.2), "E oxygen enrichment"));
    marks.extend(instrument(corner.plus(4.0, 25.4), "XA-1", Pen::MEDIUM));
    marks.push(say(
        corner.plus(10.0, 26.4),
        "XA sounder, UY I/O, UI display",
    ));
    marks.extend(panel(corner.plus(4.0, 34.0), "CP", 8.0));
    marks.push(say(corner.plus(10.0, 35.0), "control panel"));
    marks.extend(cross(corner.plus(35.0, 34.0)));
    marks.push(say(corner.plus(38.0, 35.0), "crossing: seal"));
    marks
}

fn cables(project: &Project, segments: &[(usize, &Segment)], corner: Spot) -> Vec<Mark> {
    let mut marks = Vec::new();
    let most = 5;
    for (row, (idx, segment)) in segments.iter().take(most).enumerate() {
        let at = corner.plus(0.0, 2.6 + ROW * row as f64);
        marks.push(Mark::line(vec![at, at.plus(16.0, 0.0)], cable_pen(*idx)));
        let item = project.catalogue.item(&segment.cable);
        let cable = item.map_or(segment.cable.as_str(), |item| item.description.as_str());
        let words = format!("{} {cable}", segment.tag);
        marks.push(text(at.plus(18.0, 1.0), SMALL, fitted(&words, SMALL, 64.0)).mark());
    }
    let mut at = corner.plus(0.0, 2.6 + ROW * segments.len().min(most) as f64);
    if segments.len() > most {
        let more = format!(
            "and {} more: see the segment schedule",
            segments.len() - most
        );
        marks.push(text(at.plus(18.0, 1.0), SMALL, more).mark());
        at = at.plus(0.0, ROW);
    }
    if segments.is_empty() {
        marks.push(text(at.plus(0.0, 1.0), SMALL, "no cable on this floor yet").mark());
        at = at.plus(0.0, ROW);
    }
    marks.push(Mark::line(
        vec![at, at.plus(16.0, 0.0)],
        Pen::solid(2.0, Ink::Pale),
    ));
    marks.push(text(at.plus(18.0, 1.0), SMALL, "tray, trunking or conduit").mark());
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

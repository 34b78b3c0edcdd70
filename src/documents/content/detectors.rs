//! The detector schedule, and why each detector is where and as it is.

use crate::documents::table::{Cell, Column, Table};
use crate::engine::Results;
use crate::engine::results::{DetectorRow, Range, SetPointResult};
use crate::model::{Averaging, Origin, Project};
use crate::units::Unit;

const NONE_YET: &str = "No detector is placed yet.";

/// One row per detector, by tag: what it measures, where, its range and set-points.
pub fn detector_schedule(project: &Project, results: &Results) -> Table {
    let rows = sorted(results);
    let n_set_points = rows
        .iter()
        .map(|row| ranked(&row.set_points).count())
        .max()
        .unwrap_or(0);
    let mut columns = vec![
        Column::text("tag", 14.0),
        Column::text("floor", 17.0),
        Column::text("room", 38.0),
        Column::text("measures", 24.0),
        Column::text("hazard", 19.0),
        Column::text("band", 20.0),
        Column::number("height", Unit::Metre, 14.0),
        Column::text("principle", 29.0),
        Column::mixed("range from", 15.0),
        Column::mixed("range to", 17.0),
        Column::mixed("first set-point", 18.0),
        Column::mixed("second set-point", 19.5),
        Column::text("alarms", 14.0),
        Column::text("device", 13.0),
        Column::text("address", 14.0),
        Column::text("segment", 15.0),
        Column::text("part", 20.0),
        Column::text("state", 18.5),
    ];
    if rows.iter().any(|row| !averages(&row.set_points).is_empty()) {
        columns[12] = Column::text("alarms", 30.0);
    }
    if n_set_points > 2 {
        columns.insert(12, Column::mixed("third set-point", 18.0));
    }
    let mut table = Table::new(
        project,
        "detector-schedule",
        "Detector schedule",
        columns,
        NONE_YET,
    );
    for row in rows {
        table.row(cells(row, n_set_points.clamp(2, 3)));
    }
    table.notes.push(
        "Heights are to the sensing element, above finished floor. Bands: H high, B breathing, \
         L low. Suggested: placed by the app and accepted; by hand: placed by the designer; \
         existing: kept, counted, not bought."
            .to_owned(),
    );
    table.notes.extend(stated_set_points(project));
    table
}

/// Which set-points are the designer's own, with the reason stated for them.
fn stated_set_points(project: &Project) -> Option<String> {
    let mut stated: Vec<(&str, &str)> = project
        .detectors
        .iter()
        .filter(|detector| !detector.set_points.is_empty())
        .map(|detector| (detector.tag.as_str(), detector.set_points_reason.trim()))
        .collect();
    stated.sort_unstable();
    let each = stated.iter().map(|(tag, reason)| match *reason {
        "" => format!("{tag} (no reason stated)"),
        reason => format!("{tag} ({})", reason.trim_end_matches('.')),
    });
    let each: Vec<String> = each.collect();
    (!each.is_empty()).then(|| format!("Set-points stated by the designer: {}.", each.join("; ")))
}

/// Per detector the reason for its height and set-points, and what it would leave unwatched.
pub fn detector_reasons(project: &Project, results: &Results) -> Table {
    let columns = vec![
        Column::text("tag", 14.0),
        Column::text("measures", 24.0),
        Column::number("height", Unit::Metre, 14.0),
        Column::text("why at this height", 90.0),
        Column::text("why these set-points", 78.0),
        Column::text("without it", 50.0),
    ];
    let title = "Reasons for each detector";
    let mut table = Table::new(project, "detector-reasons", title, columns, NONE_YET);
    for row in sorted(results) {
        let result = results.detectors.get(&row.detector);
        table.row(vec![
            Cell::text(&row.tag),
            Cell::text(&row.substance),
            Cell::height(row.height),
            Cell::text(result.map_or("", |result| result.height_reason.as_str())),
            Cell::text(set_point_reasons(&row.set_points)),
            Cell::text(result.map_or("", |result| result.without.as_str())),
        ]);
    }
    table
}

fn sorted(results: &Results) -> Vec<&DetectorRow> {
    let mut rows: Vec<&DetectorRow> = results.take_off.detectors.iter().collect();
    rows.sort_by(|a, b| a.tag.cmp(&b.tag).then(a.detector.cmp(&b.detector)));
    rows
}

fn cells(row: &DetectorRow, n_set_points: usize) -> Vec<Cell> {
    let range = |of: fn(&Range) -> Cell| Cell::maybe(row.range.as_ref().map(of));
    let mut cells = vec![
        Cell::text(&row.tag),
        Cell::text(&row.floor),
        Cell::text(&row.room),
        Cell::text(&row.substance),
        Cell::text(row.hazard.label()),
        Cell::text(format!("{} {}", row.band.letter(), row.band.label())),
        Cell::height(row.height),
        Cell::text(&row.principle),
        range(|range| Cell::as_set(range.low)),
        range(|range| Cell::as_set(range.high)),
    ];
    for idx in 0..n_set_points {
        let set_point = ranked(&row.set_points).nth(idx);
        cells.push(Cell::maybe(
            set_point.map(|point| Cell::as_set(point.value)),
        ));
    }
    cells.extend([
        Cell::text(alarms(&row.set_points)),
        Cell::text(&row.device),
        Cell::text(&row.address),
        Cell::text(&row.segment),
        Cell::text(&row.part),
        Cell::text(state(row.origin)),
    ]);
    cells
}

/// The set-points without the time-weighted alarms beside them.
fn ranked(points: &[SetPointResult]) -> impl Iterator<Item = &SetPointResult> {
    points.iter().filter(|point| !point.is_beside())
}

/// Which way they alarm, and what is averaged.
fn alarms(points: &[SetPointResult]) -> String {
    let averages = averages(points);
    match averages.is_empty() {
        true => directions(points).to_owned(),
        false => format!("{}; {}", directions(points), averages.join("; ")),
    }
}

/// "first: 15-minute average", "8-hour average 20 ppm".
fn averages(points: &[SetPointResult]) -> Vec<String> {
    let averaged = points
        .iter()
        .filter(|point| point.averaging != Averaging::Instant);
    averaged
        .map(|point| match point.is_beside() {
            true => {
                let value = (point.value.value * 1000.0).round() / 1000.0;
                format!("{} {value} {}", point.rank, point.value.unit)
            }
            false => format!("{}: {}", point.rank, point.averaging.label()),
        })
        .collect()
}

fn directions(points: &[SetPointResult]) -> &'static str {
    let rising = points.iter().filter(|point| point.rising).count();
    match (rising, points.len()) {
        (_, 0) => "",
        (0, _) => "falling",
        (rising, all) if rising == all => "rising",
        _ => "falling and rising",
    }
}

fn state(origin: Origin) -> &'static str {
    match origin {
        Origin::Suggested => "suggested",
        Origin::ByHand => "by hand",
        Origin::Existing => "existing",
    }
}

/// One sentence where all set-points have the same reason, else one per rank.
fn set_point_reasons(points: &[SetPointResult]) -> String {
    let Some(first) = points.first() else {
        return String::new();
    };
    if points.iter().all(|point| point.reason == first.reason) {
        return first.reason.clone();
    }
    let ranked = points.iter().map(|point| {
        let mut rank = point.rank.clone();
        if let Some(letter) = rank.get_mut(0..1) {
            letter.make_ascii_uppercase();
        }
        format!("{rank}: {}", point.reason)
    });
    ranked.collect::<Vec<_>>().join(" ")
}

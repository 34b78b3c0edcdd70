//! Sources that are more than a point: the places of a pipe run or of an area that must each be in
//! reach.

use crate::engine::airspace::{Airspaces, room_name};
use crate::engine::finding::{Finding, Severity};
use crate::geometry::{Cell, Point, Polygon, cells, polyline};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// More places than this are not looked at one by one; they lie farther apart then.
const MOST_PLACES: f64 = 5_000.0;

/// The places of a source that goes farther than its own, no farther apart than the cells a floor
/// is divided into; none for a point. Only those in the air of the source's own room.
pub fn places(spaces: &Airspaces<'_>, source: &ReleaseSource, space: usize) -> Vec<Cell> {
    let all = all_places(spaces.project, source).into_iter();
    let inside = |cell: &Cell| is_in(spaces, source.floor, cell.centre, space);
    all.filter(inside).collect()
}

/// How far it goes is measured in metres along a run, in square metres of an area.
pub fn unit(source: &ReleaseSource) -> Unit {
    match source.extent {
        Some(Extent::Area(_)) => Unit::SquareMetre,
        _ => Unit::Metre,
    }
}

/// What of a source lies outside the air of its own room is not watched as part of it.
pub fn outside(spaces: &Airspaces<'_>) -> Vec<Finding> {
    let sources = spaces.project.sources.iter();
    sources
        .filter_map(|source| beyond(spaces, source))
        .collect()
}

fn beyond(spaces: &Airspaces<'_>, source: &ReleaseSource) -> Option<Finding> {
    let extent = source.extent.as_ref()?;
    let room = spaces.room_at(source.floor, source.at)?;
    let space = spaces.space_of(room.id);
    let all = all_places(spaces.project, source);
    let out = |cell: &&Cell| !is_in(spaces, source.floor, cell.centre, space);
    let first = all.iter().find(out)?;
    let size: f64 = all.iter().filter(out).map(|cell| cell.area).sum();
    let there = spaces.room_at(source.floor, first.centre);
    let place = there.map_or("no room".to_owned(), room_name);
    let (what, unit) = (extent.label(), unit(source).symbol());
    let message = format!(
        "{size:.1} {unit} of the {what} of {} lie outside {}, in {place}; they are not watched as \
         part of it.",
        source.name,
        room_name(room)
    );
    let remedy = "Draw a release source of its own in each room the gas passes, or move the \
                  corners into the room.";
    let id = format!("coverage.extent_outside/source-{}", source.id);
    let finding = Finding::new(id, Severity::Warning, message, remedy);
    let finding = finding.about(ItemKey::Source(source.id));
    Some(finding.at(source.floor, first.centre))
}

fn is_in(spaces: &Airspaces<'_>, floor: FloorId, at: Point, space: usize) -> bool {
    let room = spaces.room_at(floor, at);
    room.is_some_and(|room| spaces.space_of(room.id) == space)
}

fn all_places(project: &Project, source: &ReleaseSource) -> Vec<Cell> {
    let pitch = project.basis.get(&basis::AREA_CELL);
    match &source.extent {
        None => Vec::new(),
        Some(Extent::Line(points)) => along(points, pitch),
        Some(Extent::Area(points)) => {
            let outline = Polygon::new(points.clone());
            cells(&outline, pitch.max((outline.area() / MOST_PLACES).sqrt()))
        }
    }
}

/// Equal parts of a line, each with its middle and its length.
fn along(points: &[Point], pitch: f64) -> Vec<Cell> {
    let length = polyline::length(points);
    let n = (length / pitch).ceil().clamp(1.0, MOST_PLACES);
    let part = |idx: usize| {
        let middle = polyline::place_at(points, (idx as f64 + 0.5) * length / n)?;
        Some(Cell {
            centre: middle.point,
            area: length / n,
            column: idx,
            row: 0,
        })
    };
    (0..n as usize).filter_map(part).collect()
}

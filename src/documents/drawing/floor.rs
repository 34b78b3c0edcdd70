//! The drawing of one floor: plan, rooms, coverage, cables, devices and their tags on a sheet.
//!
//! It draws what the results say and computes no engineering.

use crate::documents::drawing::caption::{NORMAL, text};
use crate::documents::drawing::floor_items::{Items, cable_lines};
use crate::documents::drawing::floor_labels::settle;
use crate::documents::drawing::frame::{
    A3, INNER, TitleBlock, frame, sheet_number_at, title_block,
};
use crate::documents::drawing::hatch::hatched;
use crate::documents::drawing::labels::{Labels, frame as frame_at, marks as marks_of};
use crate::documents::drawing::legend::legend;
use crate::documents::drawing::measures::Measures;
use crate::documents::drawing::view::View;
use crate::documents::drawing::walls::walls;
use crate::documents::drawing::{Drawing, Ink, Mark, Pen, Spot, floor_blockers};
use crate::engine::Results;
use crate::geometry::{Bounds, Point};
use crate::model::{Extent, Floor, Project, Segment};

/// The part of the sheet for the plan: upper left corner, width, height, mm.
const PLAN: (Spot, f64, f64) = (Spot::new(27.0, 16.0), 376.0, 214.0);
/// The whole plan sheet is shown where that makes the scale no smaller than by this.
const WHOLE_SHEET: f64 = 1.6;
/// The strip below it for the legend.
const STRIP: (Spot, f64, f64) = (Spot::new(20.0, 236.0), 220.0, 51.0);

/// A floor and what lies on it, as the other parts of the drawing see it.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    pub project: &'a Project,
    pub results: &'a Results,
    pub floor: &'a Floor,
    pub view: View,
    pub measures: Measures,
}

/// The sheet of one floor, at the largest standard scale that fits.
pub fn floor_drawing(
    project: &Project,
    results: &Results,
    floor: &Floor,
    block: &TitleBlock,
) -> Drawing {
    let bounds = bounds(project, results, floor);
    let (corner, width, height) = PLAN;
    let fallback = Bounds {
        min: Point::new(0.0, 0.0),
        max: Point::new(10.0, 10.0),
    };
    let drawn = bounds.unwrap_or(fallback);
    let mut view = View::fitting(drawn, corner, width, height);
    if let Some(sheet) = sheet_bounds(floor) {
        let whole = View::fitting(drawn.with(sheet), corner, width, height);
        view = if f64::from(whole.scale) <= WHOLE_SHEET * f64::from(view.scale) {
            whole
        } else {
            view.towards(sheet, drawn, (width, height))
        };
    }
    let scene = Scene {
        project,
        results,
        floor,
        view,
        measures: Measures::PAPER,
    };
    let (mut marks, n_blockers) = match bounds {
        Some(_) => plan(&scene),
        None => (vec![nothing_drawn()], 0),
    };
    let (corner, width, height) = STRIP;
    let strip = Mark::rectangle(corner, width, height);
    marks.push(Mark::Area {
        rings: vec![strip.clone()],
        ink: Ink::White,
        opacity: 1.0,
    });
    marks.push(Mark::line(vec![strip[0], strip[1]], Pen::THIN));
    marks.extend(legend(&scene, &segments_on(&scene), n_blockers > 0));
    marks.extend(frame());
    let scale = bounds.map_or("none".to_owned(), |_| format!("1:{}", view.scale));
    marks.extend(title_block(block, &floor.name, "detector layout", &scale));
    Drawing {
        title: floor.name.clone(),
        shows: format!(
            "Plan of {} at {scale}: {} rooms, {} detectors. The schedules list all it shows.",
            floor.name,
            project.rooms_on(floor.id).count(),
            project
                .detectors
                .iter()
                .filter(|thing| thing.floor == floor.id)
                .count()
        ),
        width_mm: A3.0,
        height_mm: A3.1,
        sheet_number_at: sheet_number_at(),
        marks,
    }
}

/// The segments with a cable on this floor, with their place among all segments.
pub fn segments_on<'a>(scene: &Scene<'a>) -> Vec<(usize, &'a Segment)> {
    let segments = scene.project.segments.iter().enumerate();
    segments
        .filter(|(_, segment)| !cable_lines(scene, segment).is_empty())
        .collect()
}

fn nothing_drawn() -> Mark {
    let (corner, width, height) = PLAN;
    let words = "Nothing is drawn on this floor yet: add a plan sheet and draw the rooms.";
    text(corner.plus(width / 2.0, height / 2.0), NORMAL, words)
        .middle()
        .mark()
}

/// The marks of the plan, and how many marks of blockers are among them.
fn plan(scene: &Scene) -> (Vec<Mark>, usize) {
    let (corner, width, height) = PLAN;
    let middle = corner.plus(width / 2.0, height / 2.0);
    let window = frame_at(middle, width + 12.0, height + 8.0);
    let mut labels = Labels::within(window, scene.measures);
    let mut marks: Vec<Mark> = picture(scene).into_iter().collect();
    marks.extend(coverage(scene));
    marks.extend(marked(scene));
    marks.extend(walls(scene, &mut labels));
    let items = Items::of(scene, labels.lines());
    marks.extend(items.containments());
    marks.extend(extents(scene));
    marks.extend(items.cables(&mut labels));
    marks.extend(items.symbols());
    let (placed, blockers) = settle(&items, labels);
    marks.extend(marks_of(&placed));
    marks.extend(floor_blockers::marks(&blockers));
    (marks, blockers.len())
}

/// The box round the plan sheet, m.
fn sheet_bounds(floor: &Floor) -> Option<Bounds> {
    let sheet = floor.sheet.as_ref()?;
    let (w, h) = (f64::from(sheet.width_px), f64::from(sheet.height_px));
    let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)];
    Bounds::of(&corners.map(|(x, y)| sheet.to_floor(Point::new(x, y))))
}

fn picture(scene: &Scene) -> Option<Mark> {
    let sheet = scene.floor.sheet.as_ref()?;
    let (w, h) = (f64::from(sheet.width_px), f64::from(sheet.height_px));
    let corner = |x, y| scene.view.spot(sheet.to_floor(Point::new(x, y)));
    Some(Mark::Picture {
        fingerprint: sheet.image.clone(),
        corners: [corner(0.0, 0.0), corner(w, 0.0), corner(0.0, h)],
        window: [INNER.0, Spot::new(INNER.1.x, STRIP.0.y)],
        width_px: sheet.width_px,
        height_px: sheet.height_px,
        opacity: (1.0 - sheet.fade).clamp(0.0, 1.0),
    })
}

fn coverage(scene: &Scene) -> Vec<Mark> {
    let mut marks = Vec::new();
    for detector in scene
        .project
        .detectors
        .iter()
        .filter(|d| d.floor == scene.floor.id)
    {
        let Some(result) = scene.results.detectors.get(&detector.id) else {
            continue;
        };
        let rings: Vec<Vec<Spot>> = result
            .coverage
            .iter()
            .map(|ring| scene.view.spots(ring))
            .collect();
        if rings.is_empty() {
            continue;
        }
        let edge = Pen::solid(0.13, Ink::Of(detector.band));
        marks.extend(hatched(rings.clone(), detector.band));
        marks.extend(rings.into_iter().map(|ring| Mark::ring(ring, edge)));
    }
    marks
}

/// Dots along the pipe runs and round the areas gas can get out of.
pub const EXTENT: Pen = Pen::MEDIUM.dashed(&[0.5, 1.1]);

fn extents(scene: &Scene) -> Vec<Mark> {
    let sources = scene.project.sources.iter();
    let here = sources.filter(|source| source.floor == scene.floor.id);
    let mark = |extent: &Extent| {
        let spots = scene.view.spots(extent.points());
        match extent {
            Extent::Line(_) => Mark::line(spots, EXTENT),
            Extent::Area(_) => Mark::ring(spots, EXTENT),
        }
    };
    let extents = here.filter_map(|source| source.extent.as_ref());
    extents.map(mark).collect()
}

/// The line round a marked area.
pub const MARKED: Pen = Pen::THIN.dashed(&[1.0, 0.7]);

/// Outlines of the marked areas; what each is its name says.
fn marked(scene: &Scene) -> impl Iterator<Item = Mark> {
    let all = scene.project.marked.iter();
    let here = all.filter(|area| area.floor == scene.floor.id);
    here.map(|area| Mark::ring(scene.view.spots(&area.outline), MARKED))
}

/// The bounds of all that is drawn; those of the plan sheet where nothing else is.
pub fn bounds(project: &Project, results: &Results, floor: &Floor) -> Option<Bounds> {
    let mut points: Vec<Point> = Vec::new();
    let here = floor.id;
    points.extend(
        project
            .rooms_on(here)
            .flat_map(|room| room.outline.iter().copied()),
    );
    points.extend(
        project
            .sources
            .iter()
            .filter(|s| s.floor == here)
            .flat_map(|s| {
                let corners = s.extent.iter().flat_map(|extent| extent.points());
                corners.copied().chain([s.at])
            }),
    );
    let marked = project.marked.iter().filter(|area| area.floor == here);
    points.extend(marked.flat_map(|area| area.outline.iter().copied()));
    let terminals = project.terminals.iter().filter(|t| t.floor == here);
    points.extend(terminals.map(|terminal| terminal.at));
    points.extend(
        project
            .detectors
            .iter()
            .filter(|d| d.floor == here)
            .map(|d| d.at),
    );
    points.extend(
        project
            .devices
            .iter()
            .filter(|d| d.floor == here)
            .map(|d| d.at),
    );
    points.extend(
        project
            .panels
            .iter()
            .filter(|p| p.floor == here)
            .map(|p| p.at),
    );
    for containment in project.containments.iter().filter(|c| c.floor == here) {
        points.extend(&containment.line);
    }
    for barrier in project.barriers.iter().filter(|b| b.floor == here) {
        points.extend(&barrier.line);
    }
    let watching = project.detectors.iter().filter(|d| d.floor == here);
    let watching = watching.filter_map(|d| results.detectors.get(&d.id));
    points.extend(watching.flat_map(|result| result.coverage.iter().flatten()));
    let cables = results
        .segments
        .values()
        .flat_map(|segment| &segment.cables);
    let corners = cables.flat_map(|cable| &cable.path);
    points.extend(
        corners
            .filter(|corner| corner.floor == here)
            .map(|corner| corner.at),
    );
    if points.is_empty() {
        let sheet = floor.sheet.as_ref()?;
        let (width, height) = sheet.extent();
        points.push(sheet.origin);
        points.push(Point::new(sheet.origin.x + width, sheet.origin.y + height));
    }
    Bounds::of(&points)
}

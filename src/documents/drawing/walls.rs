//! Walls, openings, barriers and the names of rooms on a floor's drawing.

use crate::documents::drawing::floor::Scene;
use crate::documents::drawing::labels::Labels;
use crate::documents::drawing::{Ink, Mark, Pen, Spot};
use crate::geometry::{Point, Polygon, Segment};
use crate::model::{Enclosure, Opening, OpeningForm, Room};

const DASH: &[f64] = &[3.0, 1.5];
/// A door wider than this has two leaves, m. Common practice.
const WIDEST_LEAF: f64 = 1.25;

/// Two faces of one wall lie no further apart, m.
const WALL_THICKNESS: f64 = 0.65;
/// How much a text over a wall matters.
pub const WALL_PRICE: f64 = 30.0;

/// Walls with their openings, and barriers.
pub fn walls(scene: &Scene, labels: &mut Labels) -> Vec<Mark> {
    let mut marks = Vec::new();
    for room in scene.project.rooms_on(scene.floor.id) {
        let mut outline = scene.view.spots(&room.outline);
        let pen = match room.enclosure {
            Enclosure::Enclosed => Pen::HEAVY,
            Enclosure::OpenSided => Pen::HEAVY.dashed(DASH),
            Enclosure::Outdoor => Pen::THIN.dashed(DASH),
        };
        marks.push(Mark::ring(outline.clone(), pen));
        outline.extend(outline.first().copied());
        labels.avoid(&outline, WALL_PRICE);
    }
    let rooms: Vec<&Room> = scene.project.rooms_on(scene.floor.id).collect();
    for opening in scene
        .project
        .openings
        .iter()
        .filter(|o| o.floor == scene.floor.id)
    {
        marks.extend(opening_marks(scene, &rooms, opening));
    }
    for barrier in scene
        .project
        .barriers
        .iter()
        .filter(|b| b.floor == scene.floor.id)
    {
        let line = scene.view.spots(&barrier.line);
        let pen = match barrier.height {
            None => Pen::solid(0.5, Ink::Black),
            Some(_) => Pen::MEDIUM.dashed(DASH),
        };
        labels.avoid(&line, WALL_PRICE);
        marks.push(Mark::line(line, pen));
    }
    marks
}

/// A gap in each face of the wall, and what fills it.
fn opening_marks(scene: &Scene, rooms: &[&Room], opening: &Opening) -> Vec<Mark> {
    let gap = Pen::solid(1.3, Ink::White);
    let mut faces = vec![(opening.a, opening.b)];
    for room in rooms {
        let outline = Polygon::new(room.outline.clone());
        faces.extend(outline.edges().filter_map(|edge| other_face(edge, opening)));
    }
    let spots = |(a, b): (Point, Point)| vec![scene.view.spot(a), scene.view.spot(b)];
    let mut marks: Vec<Mark> = faces
        .iter()
        .map(|&face| Mark::line(spots(face), gap))
        .collect();
    let jamb = |p: Point, q: Point| Mark::line(spots((p, q)), Pen::THIN);
    for &(a, b) in &faces[1..] {
        marks.push(jamb(opening.a, a));
        marks.push(jamb(opening.b, b));
    }
    let (a, b) = (scene.view.spot(opening.a), scene.view.spot(opening.b));
    match opening.form {
        OpeningForm::Door => marks.extend(leaves(opening, (a, b))),
        OpeningForm::Window => marks.extend(faces.iter().flat_map(|&face| window(spots(face)))),
        OpeningForm::OpenWay => {
            marks.push(Mark::line(vec![a, b], Pen::THIN.dashed(&[1.0, 1.0])));
        }
    }
    marks
}

/// The stretch of a parallel edge over against the opening, where it is another face of its wall.
fn other_face(edge: Segment, opening: &Opening) -> Option<(Point, Point)> {
    let (a, b) = (edge.nearest_point(opening.a), edge.nearest_point(opening.b));
    let (away_a, away_b) = (a.distance(opening.a), b.distance(opening.b));
    let parallel = (away_a - away_b).abs() < 0.05;
    let as_long = (a.distance(b) - opening.a.distance(opening.b)).abs() < 0.05;
    (away_a <= WALL_THICKNESS && parallel && as_long).then_some((a, b))
}

/// The leaves of a door, one or two, as `static/js/view/building.js` draws them.
fn leaves(door: &Opening, (a, b): (Spot, Spot)) -> Vec<Mark> {
    let middle = Spot::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
    match door.a.distance(door.b) <= WIDEST_LEAF {
        true => leaf(a, b, -1.0).to_vec(),
        false => [leaf(a, middle, -1.0), leaf(b, middle, 1.0)].concat(),
    }
}

/// A door leaf, open at a right angle to this side, with its swing.
fn leaf(hinge: Spot, latch: Spot, side: f64) -> [Mark; 2] {
    let (dx, dy) = (latch.x - hinge.x, latch.y - hinge.y);
    let at = |degrees: f64| {
        let (sin, cos) = (side * degrees).to_radians().sin_cos();
        hinge.plus(dx * cos - dy * sin, dx * sin + dy * cos)
    };
    let swing = (0..=9).map(|step| at(10.0 * f64::from(step))).collect();
    [
        Mark::line(vec![hinge, at(90.0)], Pen::THIN),
        Mark::line(swing, Pen::solid(0.13, Ink::Grey)),
    ]
}

/// Two lines where the wall has a window.
fn window(ends: Vec<Spot>) -> Vec<Mark> {
    let (a, b) = (ends[0], ends[1]);
    let length = a.distance(b).max(1e-9);
    let (nx, ny) = (-(b.y - a.y) / length * 0.35, (b.x - a.x) / length * 0.35);
    let beside = |side: f64| vec![a.plus(nx * side, ny * side), b.plus(nx * side, ny * side)];
    vec![
        Mark::line(beside(1.0), Pen::THIN),
        Mark::line(beside(-1.0), Pen::THIN),
    ]
}

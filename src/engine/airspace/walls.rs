//! Walls of joined rooms with the open ways cut out of them.

use crate::engine::airspace::WALL_THICKNESS_M;
use crate::geometry::{Bounds, Point, Polygon, Segment};
use crate::model::*;

/// How far a jamb may lie off the wall it belongs to, m.
const ON_WALL_M: f64 = 0.05;

/// Pieces of wall shorter than this are nothing, m.
const LEAST_PIECE_M: f64 = 0.005;

/// An open way between two rooms.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenGap {
    pub opening: OpeningId,
    pub rooms: [RoomId; 2],
    /// The two jambs, m.
    pub jambs: [Point; 2],
    /// Head above finished floor, m; `None`: up to the ceiling.
    pub head: Option<f64>,
}

/// The open ways that join two rooms, in the order of the openings. Outdoor areas join nothing:
/// what gets out is carried off.
pub fn gaps(project: &Project) -> Vec<OpenGap> {
    let mut gaps = Vec::new();
    for opening in project
        .openings
        .iter()
        .filter(|o| o.form == OpeningForm::OpenWay)
    {
        if let [first, second, ..] = beside(project, opening)[..] {
            gaps.push(OpenGap {
                opening: opening.id,
                rooms: [first.min(second), first.max(second)],
                jambs: [opening.a, opening.b],
                head: opening.head.map(|head| head.get()),
            });
        }
    }
    gaps
}

/// The rooms in whose walls an opening may be, nearest first; outdoor areas have no walls.
pub fn beside(project: &Project, opening: &Opening) -> Vec<RoomId> {
    let mut touched: Vec<(f64, RoomId)> = project
        .rooms_on(opening.floor)
        .filter(|room| room.enclosure != Enclosure::Outdoor)
        .filter_map(|room| Some((farthest_jamb(room, opening)?, room.id)))
        .collect();
    touched.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    touched.into_iter().map(|(_, id)| id).collect()
}

/// How far the farther jamb lies from the room's nearest wall that both may belong to.
fn farthest_jamb(room: &Room, opening: &Opening) -> Option<f64> {
    let outline = Polygon::new(room.outline.clone());
    outline
        .edges()
        .filter(|edge| runs_along(edge, opening.a, opening.b))
        .map(|edge| edge.distance_to(opening.a).max(edge.distance_to(opening.b)))
        .filter(|distance| *distance <= WALL_THICKNESS_M + ON_WALL_M)
        .min_by(f64::total_cmp)
}

/// Whether the line between the jambs runs along the edge (within 10 degrees).
fn runs_along(edge: &Segment, a: Point, b: Point) -> bool {
    let (ex, ey) = (edge.to.x - edge.from.x, edge.to.y - edge.from.y);
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let cross = (ex * dy - ey * dx).abs();
    cross <= 0.17 * edge.length() * a.distance(b)
}

/// The walls of `rooms` as polylines, with each gap cut out of every wall it goes through and its
/// jambs closed across the wall's thickness.
pub fn pierced(rooms: &[&Room], gaps: &[&OpenGap]) -> Vec<Vec<Point>> {
    let mut lines = Vec::new();
    let mut feet: Vec<Vec<[Point; 2]>> = vec![Vec::new(); gaps.len()];
    for room in rooms {
        for edge in Polygon::new(room.outline.clone()).edges() {
            let mut cuts: Vec<(f64, f64)> = Vec::new();
            for (idx, gap) in gaps.iter().enumerate() {
                if let Some((s, t)) = cut(room, &edge, gap) {
                    cuts.push((s.min(t), s.max(t)));
                    feet[idx].push([edge.point_at(s), edge.point_at(t)]);
                }
            }
            lines.extend(remaining(&edge, cuts));
        }
    }
    for pairs in &feet {
        for pair in pairs.windows(2) {
            for (near, far) in pair[0].into_iter().zip(pair[1]) {
                if near.distance(far) > LEAST_PIECE_M {
                    lines.push(vec![near, far]);
                }
            }
        }
    }
    lines
}

/// The floor in the open ways, between the walls of the two rooms of each.
pub fn thresholds(rooms: &[&Room], gaps: &[&OpenGap]) -> Vec<Polygon> {
    let mut found = Vec::new();
    for gap in gaps {
        let mut feet: Vec<[Point; 2]> = Vec::new();
        for room in rooms {
            for edge in Polygon::new(room.outline.clone()).edges() {
                let points = |(s, t)| [edge.point_at(s), edge.point_at(t)];
                feet.extend(cut(room, &edge, gap).map(points));
            }
        }
        let between = feet.windows(2).map(|pair| {
            let ([a, b], [c, d]) = (pair[0], pair[1]);
            Polygon::new(vec![a, b, d, c])
        });
        found.extend(between);
    }
    found
}

/// Where the jambs of a gap cut an edge of a room, as fractions of it, if it goes through there.
fn cut(room: &Room, edge: &Segment, gap: &OpenGap) -> Option<(f64, f64)> {
    let [a, b] = gap.jambs;
    let distance = edge.distance_to(a).max(edge.distance_to(b));
    let near = distance <= WALL_THICKNESS_M + ON_WALL_M;
    if !(gap.rooms.contains(&room.id) && near && runs_along(edge, a, b)) {
        return None;
    }
    let (s, t) = (edge.nearest_fraction(a), edge.nearest_fraction(b));
    ((s - t).abs() * edge.length() > LEAST_PIECE_M).then_some((s, t))
}

/// The pieces of an edge that are left when the cuts (fractions) are taken out.
fn remaining(edge: &Segment, mut cuts: Vec<(f64, f64)>) -> Vec<Vec<Point>> {
    cuts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut pieces = Vec::new();
    let mut from = 0.0;
    for (start, end) in cuts.into_iter().chain([(1.0, 1.0)]) {
        if (start - from) * edge.length() > LEAST_PIECE_M {
            pieces.push(vec![edge.point_at(from), edge.point_at(start)]);
        }
        from = end.max(from);
    }
    pieces
}

/// A rectangle well round all outlines.
pub fn round_all(outlines: &[Polygon]) -> Polygon {
    let corners: Vec<Point> = outlines
        .iter()
        .flat_map(|outline| outline.points().iter().copied())
        .collect();
    let Some(Bounds { min, max }) = Bounds::of(&corners) else {
        return Polygon::default();
    };
    Polygon::rectangle(
        Point::new(min.x - 1.0, min.y - 1.0),
        Point::new(max.x + 1.0, max.y + 1.0),
    )
}

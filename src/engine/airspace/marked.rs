//! Marked areas as walls part them: what of each lies in which airspace, and how far from it a
//! place is.

use crate::engine::airspace::{Airspaces, walls};
use crate::geometry::{Point, Polygon, clip};
use crate::model::*;

/// A part narrower than this on average was drawn over a wall by an unsteady hand, m.
const LEAST_WIDTH_M: f64 = 0.05;

/// Places on an edge are tried so far inside it, m: a wall may run along it.
const INSIDE_EDGE_M: f64 = 0.002;

/// What of a marked area lies in one airspace in one piece.
#[derive(Debug)]
pub struct MarkedPart<'a> {
    pub area: &'a MarkedArea,
    /// Place of its airspace.
    pub space: usize,
    /// Those it lies in, the one with most of it first.
    pub rooms: Vec<RoomId>,
    pub outline: Polygon,
}

impl MarkedPart<'_> {
    /// How far from it a place of its airspace is round the walls, m: 0 in it, `None` beyond
    /// `most`.
    pub fn off(&self, spaces: &Airspaces<'_>, at: Point, most: f64) -> Option<f64> {
        if self.outline.contains(at) {
            return Some(0.0);
        }
        let mut feet = Vec::new();
        for (idx, edge) in self.outline.edges().enumerate() {
            let foot = edge.nearest_point(at);
            let margin = (INSIDE_EDGE_M / edge.length()).min(0.5);
            let along = edge.point_at(edge.nearest_fraction(at).clamp(margin, 1.0 - margin));
            if let Some(into) = self
                .outline
                .inward_normal(idx)
                .filter(|_| foot.distance(at) <= most)
            {
                let (dx, dy) = (into.x * INSIDE_EDGE_M, into.y * INSIDE_EDGE_M);
                feet.push((foot, Point::new(along.x + dx, along.y + dy)));
            }
        }
        if feet.is_empty() {
            return None;
        }
        let targets: Vec<Point> = feet.iter().map(|(_, inside)| *inside).collect();
        let ways = spaces.past_walls(self.space);
        let distances = ways.airways.distances_from(at, &targets).into_iter();
        let off = feet
            .iter()
            .zip(distances)
            .filter_map(|((foot, inside), distance)| {
                Some((distance? - foot.distance(*inside)).max(0.0))
            });
        off.min_by(f64::total_cmp).filter(|off| *off <= most)
    }
}

/// The parts of the marked areas of a project that lie in rooms, in the order of the areas.
pub fn parts<'a>(spaces: &Airspaces<'a>) -> Vec<MarkedPart<'a>> {
    let mut found = Vec::new();
    for area in &spaces.project.marked {
        let outline = Polygon::new(area.outline.clone());
        for space in 0..spaces.spaces.len() {
            if spaces.spaces[space].floor == area.floor {
                found.extend(in_space(spaces, area, &outline, space));
            }
        }
    }
    found
}

fn in_space<'a>(
    spaces: &Airspaces<'a>,
    area: &'a MarkedArea,
    outline: &Polygon,
    space: usize,
) -> Vec<MarkedPart<'a>> {
    let rooms = &spaces.spaces[space].rooms;
    let held: Vec<&Polygon> = rooms.iter().map(|room| spaces.outline(room.id)).collect();
    let apart = |room: &&Polygon| match (room.bounds(), outline.bounds()) {
        (Some(room), Some(own)) => room.is_apart(&own),
        _ => true,
    };
    if held.iter().all(apart) {
        return Vec::new();
    }
    let thresholds = walls::thresholds(rooms, &spaces.gaps_in(space));
    let within: Vec<&Polygon> = held.into_iter().chain(&thresholds).collect();
    let outdoor = |room: &&Room| room.enclosure == Enclosure::Outdoor;
    let mut without: Vec<&Polygon> = Vec::new();
    if rooms.iter().any(outdoor) {
        let inside = spaces.rooms_on(area.floor).iter();
        let inside = inside.filter(|room| !outdoor(room));
        without.extend(inside.map(|room| spaces.outline(room.id)));
    }
    let parts = clip::parts(outline, &within, &without).into_iter();
    let wide = parts.filter(|part| 2.0 * part.area() >= LEAST_WIDTH_M * part.perimeter());
    let with_rooms = wide.map(|outline| MarkedPart {
        area,
        space,
        rooms: rooms_of(spaces, &outline, rooms),
        outline,
    });
    with_rooms.filter(|part| !part.rooms.is_empty()).collect()
}

/// The rooms that a part lies in, the one with most of it first.
fn rooms_of(spaces: &Airspaces<'_>, part: &Polygon, rooms: &[&Room]) -> Vec<RoomId> {
    let share = |room: &&Room| {
        let shared = clip::parts(part, &[spaces.outline(room.id)], &[]);
        (shared.iter().map(Polygon::area).sum::<f64>(), room.id)
    };
    let mut shares: Vec<(f64, RoomId)> = rooms.iter().map(share).collect();
    shares.retain(|(area, _)| *area > 0.0);
    shares.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    shares.into_iter().map(|(_, room)| room).collect()
}

//! The outline of what lies in reach along free air paths: discs cut off by walls, round the point
//! itself and round every corner a path can bend at, joined to one shape.

use std::f64::consts::TAU;

use geo::{Coord, LineString, unary_union};

use crate::engine::airspace::Ways;
use crate::geometry::{Point, Segment};

/// Rays of a full disc, besides those at corners.
const RAYS: usize = 96;

/// A ray beside a corner passes it at this angle, radians.
const BESIDE: f64 = 1e-5;

/// How far off a corner its free sides are tried, m.
const OFF_CORNER_M: f64 = 0.02;

/// Rings of the free space within `reach` metres of `from`, each without its first point repeated;
/// a ring within another is a hole in it. Empty where `from` lies in no room.
pub fn rings(ways: &Ways, from: Point, reach: f64) -> Vec<Vec<Point>> {
    let free = |at: Point| ways.outlines.iter().any(|outline| outline.contains(at));
    let in_gap = |at: Point| ways.outlines.len() > 1 && ways.airways.sees(from, at);
    if !free(from) && !in_gap(from) {
        return Vec::new();
    }
    let mut fans = vec![fan(ways, from, reach, &[])];
    for (corner, left) in bends(ways, from, reach) {
        let sectors = sectors(ways, corner);
        let places: Vec<Point> = sectors.iter().map(|sector| sector.middle).collect();
        let most = reach - left + 1.5 * OFF_CORNER_M;
        let distances = ways.airways.distances_from(from, &places);
        let shut: Vec<Sector> = sectors
            .into_iter()
            .zip(distances)
            .filter(|(_, distance)| distance.is_none_or(|distance| distance > most))
            .map(|(sector, _)| sector)
            .collect();
        fans.push(fan(ways, corner, left, &shut));
    }
    let polygons: Vec<geo::Polygon> = fans
        .into_iter()
        .filter(|ring| ring.len() >= 3)
        .map(|ring| {
            let line: Vec<Coord> = ring.iter().map(|p| Coord { x: p.x, y: p.y }).collect();
            geo::Polygon::new(LineString::from(line), Vec::new())
        })
        .collect();
    let joined = unary_union(&polygons);
    let lines = joined
        .iter()
        .flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()));
    lines.filter_map(ring_of).collect()
}

fn ring_of(line: &LineString) -> Option<Vec<Point>> {
    let mut ring: Vec<Point> = Vec::new();
    for coord in line.coords() {
        let at = Point::new(rounded(coord.x), rounded(coord.y));
        if ring.last().is_none_or(|last| last.distance(at) > 1e-3) {
            ring.push(at);
        }
    }
    if ring.len() > 1 && ring[0].distance(ring[ring.len() - 1]) <= 1e-3 {
        ring.pop();
    }
    (ring.len() >= 3).then_some(ring)
}

/// To the millimetre.
fn rounded(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0 + 0.0
}

/// Corners within reach that are not in plain sight of a straight wall only, with what is left of
/// the reach there, m.
fn bends(ways: &Ways, from: Point, reach: f64) -> Vec<(Point, f64)> {
    let mut corners: Vec<Point> = ways
        .edges
        .iter()
        .flat_map(|edge| [edge.from, edge.to])
        .filter(|corner| corner.distance(from) < reach - 0.01 && corner.distance(from) > 1e-3)
        .collect();
    corners.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    corners.dedup_by(|a, b| a.distance(*b) < 1e-6);
    corners.retain(|corner| may_bend(ways, *corner));
    let distances = ways.airways.distances_from(from, &corners);
    corners
        .into_iter()
        .zip(distances)
        .filter_map(|(corner, distance)| Some((corner, reach - distance?)))
        .filter(|(_, left)| *left > 0.01)
        .collect()
}

/// Directions between two neighbouring edges at a corner.
#[derive(Debug, Clone, Copy)]
struct Sector {
    /// Radians, increasing; `to` may be beyond a full turn.
    from: f64,
    to: f64,
    /// A place a little way into it.
    middle: Point,
}

impl Sector {
    fn holds(&self, angle: f64) -> bool {
        let turned = self.from + (angle - self.from).rem_euclid(TAU);
        turned < self.to
    }
}

/// The sectors between the edges that meet at a corner.
fn sectors(ways: &Ways, corner: Point) -> Vec<Sector> {
    let mut rays: Vec<f64> = Vec::new();
    for edge in ways
        .edges
        .iter()
        .filter(|edge| edge.distance_to(corner) <= 1e-6)
    {
        for end in [edge.from, edge.to] {
            if end.distance(corner) > 1e-6 {
                rays.push((end.y - corner.y).atan2(end.x - corner.x).rem_euclid(TAU));
            }
        }
    }
    rays.sort_by(f64::total_cmp);
    rays.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let n = rays.len();
    (0..n)
        .map(|i| {
            let from = rays[i];
            let to = if i + 1 < n {
                rays[i + 1]
            } else {
                rays[0] + TAU
            };
            let (sin, cos) = ((from + to) / 2.0).sin_cos();
            let middle = Point::new(corner.x + OFF_CORNER_M * cos, corner.y + OFF_CORNER_M * sin);
            Sector { from, to, middle }
        })
        .collect()
}

/// A path bends only where more than half a turn is free.
fn may_bend(ways: &Ways, corner: Point) -> bool {
    let free = |at: Point| {
        ways.outlines.len() > 1 || ways.outlines.iter().any(|outline| outline.contains(at))
    };
    let wide = |sector: &Sector| sector.to - sector.from > std::f64::consts::PI + 1e-6;
    sectors(ways, corner)
        .iter()
        .any(|sector| wide(sector) && free(sector.middle))
}

/// What is seen from `centre` within `radius`, but for the sectors that are `shut`.
fn fan(ways: &Ways, centre: Point, radius: f64, shut: &[Sector]) -> Vec<Point> {
    let edges: Vec<&Segment> = ways
        .edges
        .iter()
        .filter(|edge| {
            let distance = edge.distance_to(centre);
            distance < radius && distance > 1e-6
        })
        .collect();
    let mut angles: Vec<f64> = (0..RAYS).map(|k| TAU * k as f64 / RAYS as f64).collect();
    let beside = |angle: f64| [angle - BESIDE, angle, angle + BESIDE].map(|a| a.rem_euclid(TAU));
    for edge in &edges {
        for end in [edge.from, edge.to] {
            if end.distance(centre) < radius {
                angles.extend(beside((end.y - centre.y).atan2(end.x - centre.x)));
            }
        }
        angles.extend(rim(edge, centre, radius));
    }
    for sector in shut {
        angles.extend(beside(sector.from).into_iter().chain(beside(sector.to)));
    }
    angles.sort_by(f64::total_cmp);
    let mut ring: Vec<Point> = Vec::with_capacity(angles.len() + 1);
    for angle in angles {
        let closed = shut.iter().any(|sector| sector.holds(angle));
        let length = if closed {
            0.0
        } else {
            ray(&edges, centre, angle, radius)
        };
        let (sin, cos) = angle.sin_cos();
        let at = Point::new(centre.x + length * cos, centre.y + length * sin);
        if ring.last().is_none_or(|last| last.distance(at) > 1e-7) {
            ring.push(at);
        }
    }
    ring
}

/// Directions in which the edge crosses the rim of the disc.
fn rim(edge: &Segment, centre: Point, radius: f64) -> Vec<f64> {
    let (dx, dy) = (edge.to.x - edge.from.x, edge.to.y - edge.from.y);
    let (fx, fy) = (edge.from.x - centre.x, edge.from.y - centre.y);
    let (a, b) = (dx * dx + dy * dy, fx * dx + fy * dy);
    let square = b * b - a * (fx * fx + fy * fy - radius * radius);
    if square <= 0.0 {
        return Vec::new();
    }
    [(-b - square.sqrt()) / a, (-b + square.sqrt()) / a]
        .into_iter()
        .filter(|t| (0.0..=1.0).contains(t))
        .map(|t| (fy + t * dy).atan2(fx + t * dx).rem_euclid(TAU))
        .collect()
}

/// How far a ray goes before an edge or the radius ends it.
fn ray(edges: &[&Segment], from: Point, angle: f64, radius: f64) -> f64 {
    let (sin, cos) = angle.sin_cos();
    let mut length = radius;
    for edge in edges {
        let (ex, ey) = (edge.to.x - edge.from.x, edge.to.y - edge.from.y);
        let across = cos * ey - sin * ex;
        if across.abs() < 1e-12 {
            continue;
        }
        let (gx, gy) = (edge.from.x - from.x, edge.from.y - from.y);
        let along = (gx * ey - gy * ex) / across;
        let on_edge = (gx * sin - gy * cos) / across;
        if along > 0.0 && along < length && (-1e-9..=1.0 + 1e-9).contains(&on_edge) {
            length = along;
        }
    }
    length
}

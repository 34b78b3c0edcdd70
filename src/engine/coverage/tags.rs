//! Where the detectors' tags stand, so that they hide neither symbols nor each other.

use crate::geometry::{Point, Segment};
use crate::model::*;

/// Width of a tag's text at plan scale, m.
pub const TAG_WIDTH_M: f64 = 2.2;

/// Height of a tag's text at plan scale, m.
pub const TAG_HEIGHT_M: f64 = 0.55;

/// Half the width of a symbol at plan scale, m.
pub const SYMBOL_HALF_M: f64 = 0.45;

/// A tag whose middle is farther off than this has a leader line, m.
const LEADER_BEYOND_M: f64 = 2.0;

/// Where each detector's tag stands (middle of the text, m) and whether it needs a leader line, in
/// the order of the detectors.
pub fn tags(project: &Project) -> Vec<(DetectorId, Point, bool)> {
    let mut taken: Vec<(FloorId, Frame)> = Vec::new();
    let detectors: Vec<&Detector> = project.detectors.iter().collect();
    for (floor, at) in symbols(project) {
        taken.push((
            floor,
            Frame::new(at, 2.0 * SYMBOL_HALF_M, 2.0 * SYMBOL_HALF_M),
        ));
    }
    let own = taken.len() - detectors.len();
    let mut placed = vec![None; detectors.len()];
    for (idx, detector) in detectors.iter().enumerate() {
        if let Some(offset) = detector.tag_offset {
            let at = Point::new(detector.at.x + offset.x, detector.at.y + offset.y);
            taken.push((detector.floor, Frame::text(at)));
            placed[idx] = Some(at);
        }
    }
    let walls = walls(project);
    for (idx, detector) in detectors.iter().enumerate() {
        if placed[idx].is_none() {
            let at = best(detector, own + idx, &taken, &walls);
            taken.push((detector.floor, Frame::text(at)));
            placed[idx] = Some(at);
        }
    }
    detectors
        .into_iter()
        .zip(placed)
        .map(|(detector, at)| {
            let at = at.unwrap_or(detector.at);
            (detector.id, at, at.distance(detector.at) > LEADER_BEYOND_M)
        })
        .collect()
}

/// Places of symbols; the detectors' own come last.
fn symbols(project: &Project) -> Vec<(FloorId, Point)> {
    let sources = project.sources.iter().map(|thing| (thing.floor, thing.at));
    let panels = project.panels.iter().map(|thing| (thing.floor, thing.at));
    let stands_alone = |device: &&FieldDevice| device.detectors.is_empty();
    let devices = project
        .devices
        .iter()
        .filter(stands_alone)
        .map(|thing| (thing.floor, thing.at));
    let detectors = project
        .detectors
        .iter()
        .map(|thing| (thing.floor, thing.at));
    sources
        .chain(panels)
        .chain(devices)
        .chain(detectors)
        .collect()
}

fn walls(project: &Project) -> Vec<(FloorId, Segment)> {
    let mut walls = Vec::new();
    for room in project
        .rooms
        .iter()
        .filter(|room| room.enclosure != Enclosure::Outdoor)
    {
        for (i, &from) in room.outline.iter().enumerate() {
            let to = room.outline[(i + 1) % room.outline.len()];
            walls.push((room.floor, Segment::new(from, to)));
        }
    }
    walls
}

/// The place of the least overlap among eight directions at two distances; the first of equals.
fn best(
    detector: &Detector,
    own: usize,
    taken: &[(FloorId, Frame)],
    walls: &[(FloorId, Segment)],
) -> Point {
    let directions = [
        (1.0, 0.0),
        (-1.0, 0.0),
        (0.0, -1.0),
        (0.0, 1.0),
        (1.0, -1.0),
        (1.0, 1.0),
        (-1.0, -1.0),
        (-1.0, 1.0),
    ];
    let mut best = (f64::INFINITY, detector.at);
    for (ring, gap) in [0.15, 1.0].into_iter().enumerate() {
        for (x, y) in directions {
            let dx = x * (SYMBOL_HALF_M + gap + TAG_WIDTH_M / 2.0);
            let dy = y * (SYMBOL_HALF_M + gap + TAG_HEIGHT_M / 2.0);
            let at = Point::new(detector.at.x + dx, detector.at.y + dy);
            let frame = Frame::text(at);
            let mut cost = ring as f64 * 0.3;
            for (idx, (floor, other)) in taken.iter().enumerate() {
                if *floor == detector.floor && idx != own {
                    cost += 10.0 * frame.overlap(other);
                }
            }
            for (floor, wall) in walls {
                if *floor == detector.floor && frame.is_crossed_by(wall) {
                    cost += 1.0;
                }
            }
            if cost < best.0 - 1e-9 {
                best = (cost, at);
            }
        }
    }
    best.1
}

#[derive(Debug, Clone, Copy)]
struct Frame {
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
}

impl Frame {
    fn new(middle: Point, width: f64, height: f64) -> Self {
        Frame {
            left: middle.x - width / 2.0,
            top: middle.y - height / 2.0,
            right: middle.x + width / 2.0,
            bottom: middle.y + height / 2.0,
        }
    }

    fn text(middle: Point) -> Self {
        Frame::new(middle, TAG_WIDTH_M, TAG_HEIGHT_M)
    }

    /// Area shared with another frame, m2.
    fn overlap(&self, other: &Frame) -> f64 {
        let width = self.right.min(other.right) - self.left.max(other.left);
        let height = self.bottom.min(other.bottom) - self.top.max(other.top);
        width.max(0.0) * height.max(0.0)
    }

    fn is_crossed_by(&self, wall: &Segment) -> bool {
        let corners = [
            Point::new(self.left, self.top),
            Point::new(self.right, self.top),
            Point::new(self.right, self.bottom),
            Point::new(self.left, self.bottom),
        ];
        let inside = |p: Point| {
            (self.left..=self.right).contains(&p.x) && (self.top..=self.bottom).contains(&p.y)
        };
        inside(wall.from)
            || inside(wall.to)
            || (0..4).any(|i| {
                Segment::new(corners[i], corners[(i + 1) % 4])
                    .meeting(wall)
                    .is_some()
            })
    }
}

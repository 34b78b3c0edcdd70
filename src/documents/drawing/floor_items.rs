//! Sources, detectors, devices, panels and cables of a floor, with their tags.

use crate::documents::drawing::caption::{SMALL, wrapped};
use crate::documents::drawing::floor::Scene;
use crate::documents::drawing::floor_marks::{
    PANEL_HALF, RADIUS, SOURCE_HALF, cross, instrument, panel, panel_width, source,
};
use crate::documents::drawing::labels::{Block, Labels, Patch};
use crate::documents::drawing::legend::cable_pen;
use crate::documents::drawing::{Ink, Mark, Pen, Spot};
use crate::documents::number::{self, Decimals};
use crate::geometry::{Point, Polygon};
use crate::model::*;
use crate::units::Unit;

/// A name no wider than this stands in one line, mm.
const NAME_WIDTH: f64 = 30.0;

/// The things of a floor, with the places of their symbols on the paper.
pub struct Items<'a> {
    scene: Scene<'a>,
    detectors: Vec<(&'a Detector, Spot)>,
    devices: Vec<(&'a FieldDevice, Spot)>,
    panels: Vec<(&'a ControlPanel, Spot)>,
    sources: Vec<(&'a ReleaseSource, Spot)>,
    risers: Vec<(&'a Riser, Spot)>,
}

/// The ways of a segment's cables on this floor, as open lines of at least two places.
///
/// A way that two of its cables share is drawn once: broken strokes on one another would look
/// unbroken, like those of another segment.
pub fn cable_lines(scene: &Scene, segment: &Segment) -> Vec<Vec<Spot>> {
    let mut drawn: Vec<(Spot, Spot)> = Vec::new();
    let mut lines: Vec<Vec<Spot>> = Vec::new();
    let result = scene.results.segments.get(&segment.id);
    for cable in result.into_iter().flat_map(|result| &result.cables) {
        let hops = cable.path.windows(2);
        for hop in hops.filter(|hop| hop.iter().all(|p| p.floor == scene.floor.id)) {
            let (a, b) = (scene.view.spot(hop[0].at), scene.view.spot(hop[1].at));
            for (from, to) in undrawn(a, b, &drawn) {
                drawn.push((from, to));
                match lines.last_mut() {
                    Some(line) if line.last().is_some_and(|end| end.distance(from) < 0.01) => {
                        line.push(to);
                    }
                    _ => lines.push(vec![from, to]),
                }
            }
        }
    }
    lines
}

/// The line of the segment in place `idx`, a little aside: cables that share a tray stay apart.
fn beside(line: &[Spot], idx: usize) -> Vec<Spot> {
    const STEP: f64 = 0.8;
    let step = [0.0, 1.0, -1.0, 2.0, -2.0][idx % 5] * STEP;
    line.iter().map(|spot| spot.plus(step, step)).collect()
}

fn distance_to((a, b): (Spot, Spot), p: Spot) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let t = ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy).max(1e-12);
    let t = t.clamp(0.0, 1.0);
    a.plus(dx * t, dy * t).distance(p)
}

/// The parts of the way from `a` to `b` on which nothing is drawn yet.
fn undrawn(a: Spot, b: Spot, drawn: &[(Spot, Spot)]) -> Vec<(Spot, Spot)> {
    let length = a.distance(b);
    if length < 0.01 {
        return Vec::new();
    }
    let (ux, uy) = ((b.x - a.x) / length, (b.y - a.y) / length);
    let along = |p: Spot| (p.x - a.x) * ux + (p.y - a.y) * uy;
    let beside = |p: Spot| ((p.y - a.y) * ux - (p.x - a.x) * uy).abs();
    let same_way = drawn
        .iter()
        .filter(|(p, q)| beside(*p) < 0.05 && beside(*q) < 0.05);
    let mut covered: Vec<(f64, f64)> = same_way
        .map(|(p, q)| (along(*p).min(along(*q)), along(*p).max(along(*q))))
        .collect();
    covered.sort_by(|x, y| x.0.total_cmp(&y.0));
    let at = |t: f64| a.plus(ux * t, uy * t);
    let mut parts = Vec::new();
    let mut from = 0.0;
    for (start, end) in covered {
        if start.min(length) > from + 0.01 {
            parts.push((at(from), at(start.min(length))));
        }
        from = end.max(from);
    }
    if length > from + 0.01 {
        parts.push((at(from), b));
    }
    parts
}

impl<'a> Items<'a> {
    /// The things on the scene's floor; symbols that would cover one another are moved apart.
    pub fn of(scene: &Scene<'a>) -> Self {
        let project = scene.project;
        let here = scene.floor.id;
        let mut used: Vec<Spot> = Vec::new();
        let mut apart = |p: Point| {
            let mut spot = scene.view.spot(p);
            while used.iter().any(|other| other.distance(spot) < 2.0 * RADIUS) {
                spot = spot.plus(2.0 * RADIUS + 0.4, 0.0);
            }
            used.push(spot);
            spot
        };
        let detectors = project.detectors.iter().filter(|d| d.floor == here);
        let detectors = detectors.map(|d| (d, apart(d.at))).collect();
        let alone = project.devices.iter().filter(|d| d.floor == here);
        let alone = alone.filter(|device| !stands_with_detector(project, device));
        let devices = alone.map(|d| (d, apart(d.at))).collect();
        let panels = project.panels.iter().filter(|p| p.floor == here);
        let sources = project.sources.iter().filter(|s| s.floor == here);
        let risers = project
            .risers
            .iter()
            .filter(|riser| passes(project, riser, scene.floor));
        Items {
            scene: *scene,
            detectors,
            devices,
            panels: panels.map(|p| (p, scene.view.spot(p.at))).collect(),
            sources: sources.map(|s| (s, scene.view.spot(s.at))).collect(),
            risers: risers.map(|r| (r, scene.view.spot(r.at))).collect(),
        }
    }

    /// Trays, trunking and conduits as pale bands.
    pub fn containments(&self) -> Vec<Mark> {
        let here = self.scene.floor.id;
        let runs = self
            .scene
            .project
            .containments
            .iter()
            .filter(|run| run.floor == here);
        let pen = Pen::solid(2.0, Ink::Pale);
        runs.map(|run| Mark::line(self.scene.view.spots(&run.line), pen))
            .collect()
    }

    /// Cables, each segment in its own stroke, and where they go through walls.
    pub fn cables(&self, labels: &mut Labels) -> Vec<Mark> {
        let mut marks = Vec::new();
        for (idx, segment) in self.scene.project.segments.iter().enumerate() {
            for line in cable_lines(&self.scene, segment) {
                let line = beside(&line, idx);
                labels.avoid(&line);
                marks.push(Mark::line(line, cable_pen(idx)));
            }
        }
        let mut crossed: Vec<Spot> = Vec::new();
        let cables = self
            .scene
            .results
            .segments
            .values()
            .flat_map(|segment| &segment.cables);
        for crossing in cables.flat_map(|cable| &cable.crossings) {
            let at = self.scene.view.spot(crossing.at);
            let seen = crossed.iter().any(|other| other.distance(at) < 0.5);
            if crossing.floor == self.scene.floor.id && !seen {
                crossed.push(at);
                marks.extend(cross(at));
            }
        }
        marks
    }

    /// All symbols; texts will keep off them.
    pub fn symbols(&self, labels: &mut Labels) -> Vec<Mark> {
        let mut marks = Vec::new();
        for (riser, at) in &self.risers {
            let corner = at.plus(-2.5, -2.5);
            let outline = Mark::rectangle(corner, 5.0, 5.0);
            marks.push(Mark::line(vec![outline[0], outline[2]], Pen::THIN));
            marks.push(Mark::ring(outline, Pen::MEDIUM));
            labels.take(Patch::square(*at, 5.0));
            let block = Block {
                lines: vec![riser.name.clone()],
                bold: false,
            };
            let patch = labels.place(&block, &around(*at, 2.5, 2.5, &block));
            marks.extend(block.marks(&patch));
        }
        for (thing, at) in &self.sources {
            labels.take(Patch {
                middle: *at,
                width: 7.2,
                height: 2.0 * SOURCE_HALF,
            });
            marks.extend(source(*at, &self.hazard_letter(thing.id)));
        }
        for (thing, at) in &self.devices {
            labels.take(Patch::square(*at, 2.0 * RADIUS));
            marks.extend(self.leader_home(thing.at, *at));
            marks.extend(instrument(*at, &thing.tag, Pen::MEDIUM));
        }
        for (thing, at) in &self.detectors {
            labels.take(Patch::square(*at, 2.0 * RADIUS));
            marks.extend(self.leader_home(thing.at, *at));
            let ring = Pen::solid(0.6, Ink::Of(thing.band));
            marks.extend(instrument(*at, &thing.tag, ring));
        }
        for (thing, at) in &self.panels {
            let width = panel_width(&thing.tag);
            labels.take(Patch {
                middle: *at,
                width,
                height: 2.0 * PANEL_HALF,
            });
            marks.extend(panel(*at, &thing.tag, width));
        }
        marks
    }

    /// The tags of detectors, the names of sources and rooms, the tags of segments.
    pub fn tags(&self, labels: &mut Labels) -> Vec<Mark> {
        let mut marks = Vec::new();
        for (detector, at) in &self.detectors {
            marks.extend(self.detector_tag(detector, *at, labels));
        }
        for (thing, at) in &self.sources {
            let block = Block {
                lines: wrapped(&thing.name, SMALL, NAME_WIDTH),
                bold: false,
            };
            let mut candidates = around(*at, 3.6, SOURCE_HALF, &block);
            candidates.extend(around(*at, 8.0, 7.0, &block));
            candidates.extend(around(*at, 13.0, 12.0, &block));
            let patch = labels.place(&block, &candidates);
            let end = patch.nearest(*at);
            if end.distance(*at) > 6.0 {
                let t = SOURCE_HALF / end.distance(*at);
                let start = at.plus((end.x - at.x) * t, (end.y - at.y) * t);
                marks.push(Mark::line(vec![start, end], Pen::THIN));
            }
            marks.extend(block.marks(&patch));
        }
        for room in self.scene.project.rooms_on(self.scene.floor.id) {
            marks.extend(self.room_name(room, labels));
        }
        for segment in &self.scene.project.segments {
            marks.extend(self.segment_tag(segment, labels));
        }
        marks
    }

    fn detector_tag(&self, detector: &Detector, at: Spot, labels: &mut Labels) -> Vec<Mark> {
        let result = self.scene.results.detectors.get(&detector.id);
        let gas = result.map_or(detector.watches.as_str(), |result| {
            result.substance.as_str()
        });
        let words = format!("{gas} {}", detector.band.letter());
        let mut lines = wrapped(&words, SMALL, NAME_WIDTH);
        let units = self.scene.project.head.units;
        let height = detector.height.get();
        lines.push(number::text(
            height,
            Unit::Metre,
            Decimals::Places(2),
            units,
            "",
        ));
        if detector.origin == Origin::Existing {
            lines.push("existing".to_owned());
        }
        let block = Block { lines, bold: true };
        let mut candidates: Vec<Spot> = result
            .iter()
            .map(|result| self.scene.view.spot(result.tag_at))
            .collect();
        if candidates.is_empty() || detector.tag_offset.is_none() {
            candidates.extend(around(at, RADIUS, RADIUS, &block));
            candidates.extend(around(at, RADIUS + 7.0, RADIUS + 7.0, &block));
            candidates.extend(around(at, RADIUS + 14.0, RADIUS + 14.0, &block));
        }
        let patch = labels.place(&block, &candidates);
        let mut marks = block.marks(&patch);
        let end = patch.nearest(at);
        let gap = end.distance(at) - RADIUS;
        if gap > 2.5 {
            let t = RADIUS / (gap + RADIUS);
            let start = at.plus((end.x - at.x) * t, (end.y - at.y) * t);
            marks.insert(0, Mark::line(vec![start, end], Pen::THIN));
        }
        marks
    }

    fn room_name(&self, room: &Room, labels: &mut Labels) -> Vec<Mark> {
        let outline = self.scene.view.spots(&room.outline);
        let block = Block {
            lines: vec![room.number.clone(), room.name.clone()],
            bold: true,
        };
        let label_at = match self.scene.results.rooms.get(&room.id) {
            Some(result) => result.label_at,
            None => Polygon::new(room.outline.clone()).label_point(),
        };
        let size = block.patch();
        let mut candidates = vec![self.scene.view.spot(label_at)];
        for corner in &outline {
            for (x, y) in [(1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0)] {
                let dx = x * (size.width / 2.0 + 2.0);
                let dy = y * (size.height / 2.0 + 2.0);
                candidates.push(corner.plus(dx, dy));
            }
        }
        let fits = |&middle: &Spot| {
            let patch = Patch { middle, ..size };
            patch
                .corners()
                .iter()
                .all(|&corner| inside(&outline, corner))
        };
        let fitting: Vec<Spot> = candidates.iter().copied().filter(fits).collect();
        let usable = if fitting.is_empty() {
            &candidates[..1]
        } else {
            &fitting[..]
        };
        let patch = labels.place(&block, usable);
        block.marks(&patch)
    }

    /// The segment's tag, where it runs alone if it does so anywhere.
    fn segment_tag(&self, segment: &Segment, labels: &mut Labels) -> Vec<Mark> {
        let block = Block {
            lines: vec![segment.tag.clone()],
            bold: true,
        };
        let (mut others, mut own) = (Vec::new(), Vec::new());
        for (idx, other) in self.scene.project.segments.iter().enumerate() {
            let list = if other.id == segment.id {
                &mut own
            } else {
                &mut others
            };
            for line in cable_lines(&self.scene, other) {
                let line = beside(&line, idx);
                list.extend(line.windows(2).map(|pair| (pair[0], pair[1])));
            }
        }
        let halfway = |(a, b): &(Spot, Spot)| Spot::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
        let middles = own
            .iter()
            .filter(|(a, b)| a.distance(*b) > 8.0)
            .map(halfway);
        let middles: Vec<Spot> = middles.collect();
        let alone = |p: &Spot| others.iter().all(|way| distance_to(*way, *p) > 4.0);
        let free: Vec<Spot> = middles.iter().copied().filter(alone).collect();
        let chosen = if free.is_empty() { middles } else { free };
        let sides = |&middle: &Spot| around(middle, 0.4, 0.4, &block).into_iter().take(4);
        let candidates: Vec<Spot> = chosen.iter().flat_map(sides).collect();
        if candidates.is_empty() {
            return Vec::new();
        }
        let patch = labels.place(&block, &candidates);
        block.marks(&patch)
    }

    /// A line to the true place of a symbol that was moved aside.
    fn leader_home(&self, home: Point, at: Spot) -> Option<Mark> {
        let home = self.scene.view.spot(home);
        (home.distance(at) > 0.1).then(|| Mark::line(vec![home, at], Pen::THIN))
    }

    fn hazard_letter(&self, id: SourceId) -> String {
        let result = self.scene.results.sources.get(&id);
        let first = result.and_then(|result| result.watches.first());
        first.map_or("?".to_owned(), |watch| watch.hazard.letter().to_string())
    }
}

fn stands_with_detector(project: &Project, device: &FieldDevice) -> bool {
    let mut carried = device
        .detectors
        .iter()
        .filter_map(|&id| project.detectors.get(id));
    carried.any(|detector| detector.floor == device.floor && detector.at.distance(device.at) < 0.6)
}

fn passes(project: &Project, riser: &Riser, floor: &Floor) -> bool {
    let elevation = |id: FloorId| project.floors.get(id).map(|floor| floor.elevation.get());
    let (Some(low), Some(high)) = (elevation(riser.lowest), elevation(riser.highest)) else {
        return false;
    };
    (low.min(high)..=low.max(high)).contains(&floor.elevation.get())
}

/// Places for a block round a symbol: right, left, below, above, and the corners.
fn around(at: Spot, half_width: f64, half_height: f64, block: &Block) -> Vec<Spot> {
    let size = block.patch();
    let dx = half_width + size.width / 2.0 + 0.9;
    let dy = half_height + size.height / 2.0 + 0.7;
    let places = [
        (1.0, 0.0),
        (-1.0, 0.0),
        (0.0, 1.0),
        (0.0, -1.0),
        (0.9, 0.9),
        (-0.9, 0.9),
        (0.9, -0.9),
        (-0.9, -0.9),
    ];
    places
        .into_iter()
        .map(|(x, y)| at.plus(x * dx, y * dy))
        .collect()
}

fn inside(ring: &[Spot], p: Spot) -> bool {
    let crosses = |idx: usize| {
        let (a, b) = (ring[idx], ring[(idx + 1) % ring.len()]);
        (a.y <= p.y) != (b.y <= p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)
    };
    (0..ring.len()).filter(|&idx| crosses(idx)).count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_is_drawn_once() {
        let spot = Spot::new;
        let drawn = [
            (spot(2.0, 0.0), spot(4.0, 0.0)),
            (spot(0.0, 5.0), spot(9.0, 5.0)),
        ];
        assert_eq!(
            undrawn(spot(0.0, 0.0), spot(6.0, 0.0), &drawn),
            [
                (spot(0.0, 0.0), spot(2.0, 0.0)),
                (spot(4.0, 0.0), spot(6.0, 0.0))
            ]
        );
        assert!(undrawn(spot(4.0, 0.0), spot(2.5, 0.0), &drawn).is_empty());
    }
}

//! Sources, detectors, devices, panels and cables of a floor, with their tags.

use crate::documents::drawing::apart::{Apart, DOT, NUDGE, Place, inside};
use crate::documents::drawing::caption::{SMALL, wrapped};
use crate::documents::drawing::floor::Scene;
use crate::documents::drawing::floor_marks::{
    PANEL_HALF, RADIUS, SOURCE_HALF, cross, instrument, panel, panel_width, source,
};
use crate::documents::drawing::labels::{Block, Labels, Symbol, around, frame};
use crate::documents::drawing::legend::cable_pen;
use crate::documents::drawing::{Ink, Mark, Pen, Spot};
use crate::documents::number::{self, Decimals};
use crate::geometry::{Point, Polygon, Segment as Line};
use crate::model::*;
use crate::units::Unit;

/// A name no wider than this stands in one line, mm.
const NAME_WIDTH: f64 = 31.0;
/// The same for the name of a source or riser, of which there are many.
const SHORT_WIDTH: f64 = 22.0;
/// Width and height of a source's triangle, mm.
const SOURCE: (f64, f64) = (7.2, 2.0 * SOURCE_HALF);
/// Side of a riser's square, mm.
const RISER: f64 = 5.0;
/// How much a text over a cable, or over the line of a symbol that was moved aside, matters.
const CABLE_PRICE: f64 = 3.0;
const LEADER_PRICE: f64 = 40.0;

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
    /// The things on the scene's floor; symbols that would cover one another are moved apart, and
    /// stay off `walls` when they are.
    pub fn of(scene: &Scene<'a>, walls: &[(Line, f64)]) -> Self {
        let project = scene.project;
        let here = scene.floor.id;
        let alone = project.devices.iter().filter(|d| d.floor == here);
        let alone = alone.filter(|device| !stands_with_detector(project, device));
        let detectors = project.detectors.iter().filter(|d| d.floor == here);
        let risers = project
            .risers
            .iter()
            .filter(|riser| passes(project, riser, scene.floor));
        let panels = project.panels.iter().filter(|p| p.floor == here);
        let sources = project.sources.iter().filter(|s| s.floor == here);
        let mut apart = Apart::default();
        let place = |p: Point, width: f64, height: f64| Place {
            at: scene.view.spot(p),
            width,
            height,
            room: room_round(scene, p),
        };
        let circle = |p: Point| place(p, 2.0 * RADIUS, 2.0 * RADIUS);
        // Who stands in the way moves in this order: sources keep their places longest.
        let devices = apart.all(alone, |d| circle(d.at));
        let detectors = apart.all(detectors, |d| circle(d.at));
        let risers = apart.all(risers, |r| place(r.at, RISER, RISER));
        let panels = apart.all(panels, |p| {
            place(p.at, panel_width(&p.tag), 2.0 * PANEL_HALF)
        });
        let sources = apart.all(sources, |s| place(s.at, SOURCE.0, SOURCE.1));
        let mut spots = apart.spots(walls).into_iter();
        Items {
            scene: *scene,
            devices: with(devices, &mut spots),
            detectors: with(detectors, &mut spots),
            risers: with(risers, &mut spots),
            panels: with(panels, &mut spots),
            sources: with(sources, &mut spots),
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
                labels.avoid(&line, CABLE_PRICE);
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
                labels.take(frame(at, 2.4, 2.4));
                marks.extend(cross(at));
            }
        }
        marks
    }

    /// All symbols; texts will keep off them. Those moved aside have a line to their true place.
    pub fn symbols(&self, labels: &mut Labels) -> Vec<Mark> {
        let mut marks = self.leaders_home(labels);
        for (_, at) in &self.risers {
            let outline = Mark::rectangle(at.plus(-RISER / 2.0, -RISER / 2.0), RISER, RISER);
            marks.push(Mark::line(vec![outline[0], outline[2]], Pen::THIN));
            marks.push(Mark::ring(outline, Pen::MEDIUM));
            labels.take(frame(*at, RISER, RISER));
        }
        for (thing, at) in &self.sources {
            labels.take(frame(*at, SOURCE.0, SOURCE.1));
            marks.extend(source(*at, &self.hazard_letter(thing.id)));
        }
        for (thing, at) in &self.devices {
            labels.take(frame(*at, 2.0 * RADIUS, 2.0 * RADIUS));
            marks.extend(instrument(*at, &thing.tag, Pen::MEDIUM));
        }
        for (thing, at) in &self.detectors {
            labels.take(frame(*at, 2.0 * RADIUS, 2.0 * RADIUS));
            let ring = Pen::solid(0.6, Ink::Of(thing.band));
            marks.extend(instrument(*at, &thing.tag, ring));
        }
        for (thing, at) in &self.panels {
            let width = panel_width(&thing.tag);
            labels.take(frame(*at, width, 2.0 * PANEL_HALF));
            marks.extend(panel(*at, &thing.tag, width));
        }
        marks
    }

    /// The tags of detectors, the names of rooms, sources and risers, the tags of segments.
    pub fn tags(&self, labels: &mut Labels) {
        for (detector, at) in &self.detectors {
            self.detector_tag(detector, *at, labels);
        }
        for room in self.scene.project.rooms_on(self.scene.floor.id) {
            self.room_name(room, labels);
        }
        for (thing, at) in &self.sources {
            let result = self.scene.results.sources.get(&thing.id);
            let gas = result.map_or(thing.substance.as_str(), |r| r.substance.as_str());
            let name = thing.name.trim();
            let block = plain(if name.is_empty() { gas } else { name });
            labels.beside(block, symbol(*at, SOURCE.0, SOURCE.1), &[]);
        }
        for (riser, at) in &self.risers {
            labels.beside(plain(&riser.name), symbol(*at, RISER, RISER), &[]);
        }
        for segment in &self.scene.project.segments {
            self.segment_tag(segment, labels);
        }
    }

    fn detector_tag(&self, detector: &Detector, at: Spot, labels: &mut Labels) {
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
        // A tag that was put somewhere by hand stays there unless it would hide something.
        let by_hand = detector.tag_offset.map(|offset| {
            let place = Point::new(detector.at.x + offset.x, detector.at.y + offset.y);
            (self.scene.view.spot(place), -60.0)
        });
        let symbol = symbol(at, 2.0 * RADIUS, 2.0 * RADIUS);
        labels.beside(block, symbol, by_hand.as_slice());
    }

    /// In a corner, in the middle or anywhere else in the room; beside a room that is too small.
    fn room_name(&self, room: &Room, labels: &mut Labels) {
        let outline = self.scene.view.spots(&room.outline);
        let block = Block {
            lines: vec![room.number.clone(), room.name.clone()],
            bold: true,
        };
        let label_at = match self.scene.results.rooms.get(&room.id) {
            Some(result) => result.label_at,
            None => Polygon::new(room.outline.clone()).label_point(),
        };
        let middle = self.scene.view.spot(label_at);
        let (width, height) = block.size();
        let mut offers = Vec::new();
        for corner in &outline {
            for (x, y) in [(1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0)] {
                let (dx, dy) = (x * (width / 2.0 + 2.0), y * (height / 2.0 + 2.0));
                offers.push((corner.plus(dx, dy), 0.0));
            }
        }
        offers.push((middle, 1.0));
        offers.extend(grid_over(&outline).into_iter().map(|at| (at, 2.0)));
        offers.retain(|(at, _)| {
            let corner = at.plus(-width / 2.0 - 0.6, -height / 2.0 - 0.6);
            let corners = Mark::rectangle(corner, width + 1.2, height + 1.2);
            corners.iter().all(|&corner| inside(&outline, corner))
        });
        if offers.is_empty() {
            labels.beside(block, symbol(middle, 1.0, 1.0), &[(middle, 20.0)]);
        } else {
            labels.at_one_of(block, &offers);
        }
    }

    /// The segment's tag, where it runs alone if it does so anywhere.
    fn segment_tag(&self, segment: &Segment, labels: &mut Labels) {
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
        let sides = |&at: &Spot| around(&symbol(at, 0.6, 0.6), &block).into_iter().take(4);
        let offers: Vec<(Spot, f64)> = chosen.iter().flat_map(sides).collect();
        labels.at_one_of(block, &offers);
    }

    /// Thin lines from the true places, which are dots, to symbols that were moved aside.
    fn leaders_home(&self, labels: &mut Labels) -> Vec<Mark> {
        let moved = self.detectors.iter().map(|(thing, at)| (thing.at, *at));
        let moved = moved.chain(self.devices.iter().map(|(thing, at)| (thing.at, *at)));
        let moved = moved.chain(self.panels.iter().map(|(thing, at)| (thing.at, *at)));
        let moved = moved.chain(self.sources.iter().map(|(thing, at)| (thing.at, *at)));
        let moved = moved.chain(self.risers.iter().map(|(thing, at)| (thing.at, *at)));
        let mut marks = Vec::new();
        for (home, at) in moved {
            let home = self.scene.view.spot(home);
            if home.distance(at) > 2.0 * NUDGE {
                labels.take(frame(home, 2.0 * DOT, 2.0 * DOT));
                labels.avoid(&[home, at], LEADER_PRICE);
                marks.push(Mark::line(vec![home, at], Pen::THIN));
                marks.push(Mark::Circle {
                    at: home,
                    radius: DOT,
                    pen: Pen::THIN,
                    fill: Some(Ink::Black),
                });
            }
        }
        marks
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

fn plain(words: &str) -> Block {
    Block {
        lines: wrapped(words, SMALL, SHORT_WIDTH),
        bold: false,
    }
}

fn symbol(at: Spot, width: f64, height: f64) -> Symbol {
    Symbol {
        at,
        half_width: width / 2.0,
        half_height: height / 2.0,
    }
}

/// The outline on the paper of the room that a point lies in or on.
fn room_round(scene: &Scene, p: Point) -> Option<Vec<Spot>> {
    let holds = |room: &&Room| {
        let outline = Polygon::new(room.outline.clone());
        outline.contains(p) || outline.edges().any(|edge| edge.distance_to(p) < 0.05)
    };
    let room = scene.project.rooms_on(scene.floor.id).find(holds)?;
    Some(scene.view.spots(&room.outline))
}

/// Each thing with the place of its symbol, in turn.
fn with<'a, T>(things: Vec<&'a T>, spots: &mut impl Iterator<Item = Spot>) -> Vec<(&'a T, Spot)> {
    things.into_iter().zip(spots).collect()
}

/// Places all over an outline.
fn grid_over(outline: &[Spot]) -> Vec<Spot> {
    const STEPS: usize = 14;
    let range = |of: fn(&Spot) -> f64| {
        let none = (f64::INFINITY, f64::NEG_INFINITY);
        let values = outline.iter().map(of);
        values.fold(none, |(a, b), v| (a.min(v), b.max(v)))
    };
    let ((left, right), (top, foot)) = (range(|p| p.x), range(|p| p.y));
    let at = |from: f64, to: f64, k: usize| from + (to - from) * k as f64 / STEPS as f64;
    let places = (1..STEPS).flat_map(|y| (1..STEPS).map(move |x| (x, y)));
    places
        .map(|(x, y)| Spot::new(at(left, right, x), at(top, foot, y)))
        .collect()
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

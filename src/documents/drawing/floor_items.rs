//! Sources, air terminals, detectors, devices, panels and cables of a floor, each symbol with its
//! place.

use crate::documents::drawing::apart::{Apart, DOT, NUDGE, Place};
use crate::documents::drawing::floor::Scene;
use crate::documents::drawing::floor_marks::{
    cross, hazard_letters, instrument, panel, source, terminal, terminal_size,
};
use crate::documents::drawing::labels::{LEADER_PRICE, Labels, frame};
use crate::documents::drawing::legend::cable_pen;
use crate::documents::drawing::{Ink, Mark, Pen, Spot};
use crate::geometry::{Point, Polygon, Segment as Line};
use crate::model::*;

/// How much a text over a cable matters.
const CABLE_PRICE: f64 = 8.0;

/// The things of a floor, with the places of their symbols on the drawing.
pub struct Items<'a> {
    pub scene: Scene<'a>,
    pub detectors: Vec<(&'a Detector, Spot)>,
    devices: Vec<(&'a FieldDevice, Spot)>,
    panels: Vec<(&'a ControlPanel, Spot)>,
    pub sources: Vec<(&'a ReleaseSource, Spot)>,
    pub risers: Vec<(&'a Riser, Spot)>,
    terminals: Vec<(&'a AirTerminal, Spot)>,
}

/// A symbol that was moved aside from its true place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aside {
    pub key: ItemKey,
    pub home: Spot,
    pub at: Spot,
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
pub fn beside(scene: &Scene, line: &[Spot], idx: usize) -> Vec<Spot> {
    let step = [0.0, 1.0, -1.0, 2.0, -2.0][idx % 5] * scene.measures.cable_step;
    line.iter().map(|spot| spot.plus(step, step)).collect()
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
        let terminals = project.terminals.iter().filter(|t| t.floor == here);
        let sources = project.sources.iter().filter(|s| s.floor == here);
        let measures = &scene.measures;
        let mut apart = Apart::new(*measures);
        let place = |p: Point, room: Option<RoomId>, (width, height): (f64, f64)| Place {
            at: scene.view.spot(p),
            width,
            height,
            room: room_of(scene, p, room),
            stays: false,
        };
        let circle = (2.0 * measures.radius, 2.0 * measures.radius);
        // Who stands in the way moves in this order: sources keep their places longest.
        let devices = apart.all(alone, |d| place(d.at, None, circle));
        let detectors = apart.all(detectors, |d| {
            let result = scene.results.detectors.get(&d.id);
            place(d.at, result.and_then(|result| result.room), circle)
        });
        let risers = apart.all(risers, |r| Place {
            room: None,
            ..place(r.at, None, (measures.riser, measures.riser))
        });
        let terminals = apart.all(terminals, |t| place(t.at, None, terminal_size(measures)));
        let panels = apart.all(panels, |p| {
            let size = (measures.panel_width(&p.tag), measures.panel.0);
            place(p.at, None, size)
        });
        let sources = apart.all(sources, |s| Place {
            stays: true,
            ..place(s.at, None, measures.source)
        });
        let mut spots = apart.spots(walls).into_iter();
        Items {
            scene: *scene,
            devices: with(devices, &mut spots),
            detectors: with(detectors, &mut spots),
            risers: with(risers, &mut spots),
            terminals: with(terminals, &mut spots),
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
                let line = beside(&self.scene, &line, idx);
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
                let side = 2.4 * self.scene.measures.unit;
                labels.take(frame(at, side, side));
                marks.extend(cross(at));
            }
        }
        marks
    }

    /// Keeps texts off all symbols, and off the lines to the true places of those moved aside.
    pub fn claim(&self, labels: &mut Labels) {
        let measures = &self.scene.measures;
        for aside in self.asides() {
            let dot = 2.0 * DOT * measures.unit;
            labels.take(frame(aside.home, dot, dot));
            labels.avoid(&[aside.home, aside.at], LEADER_PRICE);
        }
        let mut take = |at: Spot, (width, height)| labels.take(frame(at, width, height));
        let circle = (2.0 * measures.radius, 2.0 * measures.radius);
        let square = (measures.riser, measures.riser);
        self.risers.iter().for_each(|(_, at)| take(*at, square));
        let terminal = terminal_size(measures);
        self.terminals
            .iter()
            .for_each(|(_, at)| take(*at, terminal));
        self.sources
            .iter()
            .for_each(|(_, at)| take(*at, measures.source));
        self.devices.iter().for_each(|(_, at)| take(*at, circle));
        self.detectors.iter().for_each(|(_, at)| take(*at, circle));
        for (thing, at) in &self.panels {
            take(*at, (measures.panel_width(&thing.tag), measures.panel.0));
        }
    }

    /// All symbols on paper. Those moved aside have a line to their true place, which is a dot.
    pub fn symbols(&self) -> Vec<Mark> {
        let measures = &self.scene.measures;
        let mut marks = Vec::new();
        let least = 2.0 * NUDGE * measures.unit;
        let asides = self.asides().into_iter();
        for aside in asides.filter(|aside| aside.home.distance(aside.at) > least) {
            marks.push(Mark::line(vec![aside.home, aside.at], Pen::THIN));
            marks.push(Mark::Circle {
                at: aside.home,
                radius: DOT,
                pen: Pen::THIN,
                fill: Some(Ink::Black),
            });
        }
        let side = measures.riser;
        for (_, at) in &self.risers {
            let outline = Mark::rectangle(at.plus(-side / 2.0, -side / 2.0), side, side);
            marks.push(Mark::line(vec![outline[0], outline[2]], Pen::THIN));
            marks.push(Mark::ring(outline, Pen::MEDIUM));
        }
        for (thing, at) in &self.terminals {
            marks.extend(terminal(*at, thing.kind));
        }
        for (thing, at) in &self.sources {
            marks.extend(source(*at, &self.hazard_letters(thing.id)));
        }
        for (thing, at) in &self.devices {
            marks.extend(instrument(*at, &thing.tag, Pen::MEDIUM));
        }
        for (thing, at) in &self.detectors {
            let ring = Pen::solid(0.6, Ink::Of(thing.band));
            marks.extend(instrument(*at, &thing.tag, ring));
        }
        for (thing, at) in &self.panels {
            marks.extend(panel(*at, &thing.tag, measures.panel_width(&thing.tag)));
        }
        marks
    }

    /// The true place, the middle and the size of a thing's symbol.
    pub fn symbol_of(&self, key: ItemKey) -> Option<(Point, Spot, (f64, f64))> {
        let measures = &self.scene.measures;
        let circle = (2.0 * measures.radius, 2.0 * measures.radius);
        match key {
            ItemKey::Detector(id) => {
                let found = self.detectors.iter().find(|(thing, _)| thing.id == id);
                found.map(|(thing, at)| (thing.at, *at, circle))
            }
            ItemKey::Device(id) => {
                let found = self.devices.iter().find(|(thing, _)| thing.id == id);
                found.map(|(thing, at)| (thing.at, *at, circle))
            }
            ItemKey::Source(id) => {
                let found = self.sources.iter().find(|(thing, _)| thing.id == id);
                found.map(|(thing, at)| (thing.at, *at, measures.source))
            }
            ItemKey::Terminal(id) => {
                let found = self.terminals.iter().find(|(thing, _)| thing.id == id);
                found.map(|(thing, at)| (thing.at, *at, terminal_size(measures)))
            }
            ItemKey::Panel(id) => {
                let found = self.panels.iter().find(|(thing, _)| thing.id == id);
                let size =
                    |panel: &ControlPanel| (measures.panel_width(&panel.tag), measures.panel.0);
                found.map(|(thing, at)| (thing.at, *at, size(thing)))
            }
            _ => None,
        }
    }

    /// The symbols that do not stand at their true places.
    pub fn asides(&self) -> Vec<Aside> {
        let moved = all(&self.detectors, ItemKey::Detector, |thing| {
            (thing.id, thing.at)
        });
        let moved = moved.chain(all(&self.devices, ItemKey::Device, |thing| {
            (thing.id, thing.at)
        }));
        let moved = moved.chain(all(&self.panels, ItemKey::Panel, |thing| {
            (thing.id, thing.at)
        }));
        let moved = moved.chain(all(&self.sources, ItemKey::Source, |thing| {
            (thing.id, thing.at)
        }));
        let moved = moved.chain(all(&self.risers, ItemKey::Riser, |thing| {
            (thing.id, thing.at)
        }));
        let moved = moved.chain(all(&self.terminals, ItemKey::Terminal, |thing| {
            (thing.id, thing.at)
        }));
        moved
            .map(|(key, home, at)| Aside {
                key,
                home: self.scene.view.spot(home),
                at,
            })
            .filter(|aside| aside.home.distance(aside.at) > 0.02 * self.scene.measures.unit)
            .collect()
    }

    fn hazard_letters(&self, id: SourceId) -> String {
        let result = self.scene.results.sources.get(&id);
        hazard_letters(result.into_iter().flat_map(|result| &result.watches))
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

/// The outline on the drawing of the room that a point lies in or on.
pub fn room_round(scene: &Scene, p: Point) -> Option<Vec<Spot>> {
    room_of(scene, p, None)
}

/// The same for a point that belongs to `room` where it lies on a wall between two.
fn room_of(scene: &Scene, p: Point, room: Option<RoomId>) -> Option<Vec<Spot>> {
    const ON_WALL_M: f64 = 0.05;
    let away = |room: &Room| {
        let outline = Polygon::new(room.outline.clone());
        let on_wall = || outline.edges().map(|edge| edge.distance_to(p));
        if outline.contains(p) {
            0.0
        } else {
            on_wall().fold(f64::INFINITY, f64::min)
        }
    };
    let rooms = scene.project.rooms_on(scene.floor.id);
    let near = rooms.map(|it| (it, if Some(it.id) == room { -1.0 } else { away(it) }));
    let near = near.filter(|(_, away)| *away < ON_WALL_M);
    let (found, _) = near.min_by(|(_, a), (_, b)| a.total_cmp(b))?;
    Some(scene.view.spots(&found.outline))
}

/// Every thing of one kind as its key, its true place and the place of its symbol.
fn all<'a, T, Id: 'a>(
    things: &'a [(&'a T, Spot)],
    key: fn(Id) -> ItemKey,
    of: fn(&T) -> (Id, Point),
) -> impl Iterator<Item = (ItemKey, Point, Spot)> + 'a {
    things.iter().map(move |(thing, at)| {
        let (id, home) = of(thing);
        (key(id), home, *at)
    })
}

/// Each thing with the place of its symbol, in turn.
fn with<'a, T>(things: Vec<&'a T>, spots: &mut impl Iterator<Item = Spot>) -> Vec<(&'a T, Spot)> {
    things.into_iter().zip(spots).collect()
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

//! The tags and names of a floor: what each says and the places it is offered.

use std::collections::BTreeSet;

use crate::documents::drawing::apart::inside;
use crate::documents::drawing::caption::wrapped;
use crate::documents::drawing::floor_items::{Items, beside, cable_lines, room_round};
use crate::documents::drawing::labels::{Block, Labels, Symbol, around};
use crate::documents::drawing::measures::Measures;
use crate::documents::drawing::{Mark, Spot};
use crate::documents::number::{self, Decimals};
use crate::geometry::{Point, Polygon};
use crate::model::*;
use crate::units::Unit;

/// What it costs a word to stand in another room than its thing.
const OTHER_ROOM: f64 = 8.0;
/// What the place given by hand costs: it is taken unless it would hide something.
const BY_HAND: f64 = -120.0;
/// What it costs more to stand beside that place: less than to hide something there.
const BESIDE_HAND: f64 = 50.0;
/// What it costs the words of a marked area to stand beside it.
const BESIDE_AREA: f64 = 6.0;
/// Distances from the place given by hand that are tried next, mm of paper.
const NEAR_HAND: [f64; 5] = [1.5, 3.0, 5.0, 8.0, 12.0];
/// Places round a symbol at one distance; the first so many need no leader line.
const CLOSE: usize = 16;
/// Clear distance from a room's corner to its name, mm of paper.
const CORNER: f64 = 2.0;

/// How much a tag or name says, and how far from its symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// All, as far off as need be.
    Whole,
    /// All, close to the symbol or in the room.
    Near,
    /// The whole name of a room, close beside it.
    Beside,
    /// Band and height of a detector, number of a room.
    Short,
    /// The same as far off as need be.
    Far,
}

impl Items<'_> {
    /// The tags of detectors, but for those that are `done`.
    pub fn tags(&self, labels: &mut Labels, detail: Detail, done: &BTreeSet<ItemKey>) {
        for (detector, at) in &self.detectors {
            if !done.contains(&ItemKey::Detector(detector.id)) {
                self.detector_tag(detector, *at, labels, detail);
            }
        }
    }

    /// The names of rooms, but for those that are `done`.
    pub fn rooms(&self, labels: &mut Labels, detail: Detail, done: &BTreeSet<ItemKey>) {
        for room in self.scene.project.rooms_on(self.scene.floor.id) {
            if !done.contains(&ItemKey::Room(room.id)) {
                self.room_name(room, labels, detail);
            }
        }
    }

    /// The names of sources, risers and marked areas, but for those that are `done`.
    pub fn names(&self, labels: &mut Labels, detail: Detail, done: &BTreeSet<ItemKey>) {
        let measures = self.scene.measures;
        let mut name = |key, words: &str, at: Spot, home: Point, (width, height)| {
            if !done.contains(&key) {
                let block = plain(words, &measures);
                let symbol = symbol(at, width, height);
                let mut offers = self.places(&symbol, &block, home);
                offers.truncate(reach_of(detail));
                labels.beside(key, block, symbol, &offers);
            }
        };
        for (thing, at) in &self.sources {
            let result = self.scene.results.sources.get(&thing.id);
            let gas = result.map_or(thing.substance.as_str(), |r| r.substance.as_str());
            let given = thing.name.trim();
            let words = if given.is_empty() { gas } else { given };
            let key = ItemKey::Source(thing.id);
            name(key, words, *at, thing.at, measures.source);
        }
        for (riser, at) in &self.risers {
            let size = (measures.riser, measures.riser);
            name(ItemKey::Riser(riser.id), &riser.name, *at, riser.at, size);
        }
        self.marked(labels, detail, done);
    }

    /// What the marked areas are, but for those that are `done`.
    fn marked(&self, labels: &mut Labels, detail: Detail, done: &BTreeSet<ItemKey>) {
        let (measures, units) = (&self.scene.measures, self.scene.project.head.units);
        let all = self.scene.project.marked.iter();
        for area in all.filter(|area| area.floor == self.scene.floor.id) {
            let key = ItemKey::Marked(area.id);
            if done.contains(&key) {
                continue;
            }
            let block = Block {
                lines: marked_words(area, units),
                bold: false,
            };
            let outline = self.scene.view.spots(&area.outline);
            let home = Polygon::new(area.outline.clone()).label_point();
            let middle = self.scene.view.spot(home);
            let mut offers = self.places_in(&outline, middle, block.size(measures));
            let [left, top, right, foot] = extent(&outline);
            let round = symbol(middle, right - left, foot - top);
            let mut beside = self.places(&round, &block, home);
            beside.truncate(reach_of(detail));
            offers.extend(
                beside
                    .into_iter()
                    .map(|(at, cost)| (at, cost + BESIDE_AREA)),
            );
            labels.beside(key, block, round, &offers);
        }
    }

    /// The tags of segments.
    pub fn segment_tags(&self, labels: &mut Labels) {
        for segment in &self.scene.project.segments {
            self.segment_tag(segment, labels);
        }
    }

    fn detector_tag(&self, detector: &Detector, at: Spot, labels: &mut Labels, detail: Detail) {
        let measures = &self.scene.measures;
        let result = self.scene.results.detectors.get(&detector.id);
        let gas = result.map_or(detector.watches.as_str(), |result| {
            result.substance.as_str()
        });
        let units = self.scene.project.head.units;
        let height = detector.height.get();
        let height = number::text(height, Unit::Metre, Decimals::Places(2), units, "");
        let mut lines = match detail {
            Detail::Short | Detail::Far => Vec::new(),
            _ => wrapped(gas, measures.text, measures.widest.0),
        };
        let is_whole = !lines.is_empty();
        lines.push(format!("{} {height}", detector.band.letter()));
        if is_whole && detector.origin == Origin::Existing {
            lines.push("existing".to_owned());
        }
        let block = Block { lines, bold: true };
        let symbol = symbol(at, 2.0 * measures.radius, 2.0 * measures.radius);
        let mut offers = self.by_hand(detector);
        let mut places = self.places(&symbol, &block, detector.at);
        places.truncate(reach_of(detail));
        offers.extend(places);
        labels.beside(ItemKey::Detector(detector.id), block, symbol, &offers);
    }

    /// Where the designer put the tag, and close by in case that would hide something.
    fn by_hand(&self, detector: &Detector) -> Vec<(Spot, f64)> {
        let Some(offset) = detector.tag_offset else {
            return Vec::new();
        };
        let place = Point::new(detector.at.x + offset.x, detector.at.y + offset.y);
        let wished = self.scene.view.spot(place);
        let mut offers = vec![(wished, BY_HAND)];
        for away in NEAR_HAND {
            for k in 0..8 {
                let (sin, cos) = (std::f64::consts::FRAC_PI_4 * f64::from(k)).sin_cos();
                let far = away * self.scene.measures.unit;
                offers.push((
                    wished.plus(far * cos, far * sin),
                    BY_HAND + BESIDE_HAND + away,
                ));
            }
        }
        offers
    }

    /// Whether a place lies in a room that the source is not in.
    pub fn is_in_another_room(&self, source: SourceId, at: Spot) -> bool {
        let Some(source) = self.scene.project.sources.get(source) else {
            return false;
        };
        let own = room_round(&self.scene, source.at);
        let mut rooms = self.scene.project.rooms_on(self.scene.floor.id);
        rooms.any(|room| {
            let outline = self.scene.view.spots(&room.outline);
            inside(&outline, at) && own.as_ref() != Some(&outline)
        })
    }

    /// Places round a symbol, those outside the room of its thing at a price.
    fn places(&self, symbol: &Symbol, block: &Block, home: Point) -> Vec<(Spot, f64)> {
        let mut offers = around(symbol, block, &self.scene.measures);
        if let Some(room) = room_round(&self.scene, home) {
            for (at, cost) in &mut offers {
                if !inside(&room, *at) {
                    *cost += OTHER_ROOM;
                }
            }
        }
        offers
    }

    /// In a corner, in the middle or anywhere else in the room; beside a room that is too small.
    fn room_name(&self, room: &Room, labels: &mut Labels, detail: Detail) {
        let key = ItemKey::Room(room.id);
        let outline = self.scene.view.spots(&room.outline);
        let label_at = match self.scene.results.rooms.get(&room.id) {
            Some(result) => result.label_at,
            None => Polygon::new(room.outline.clone()).label_point(),
        };
        let middle = self.scene.view.spot(label_at);
        let forms = forms(room, detail);
        if detail == Detail::Beside {
            return labels.at_one_of(
                key,
                forms[0].clone(),
                &self.beside_room(&outline, &forms[0]),
            );
        }
        for block in &forms {
            let offers = self.places_in(&outline, middle, block.size(&self.scene.measures));
            if !offers.is_empty() {
                return labels.at_one_of(key, block.clone(), &offers);
            }
        }
        if detail != Detail::Whole {
            return;
        }
        let block = forms[0].clone();
        let symbol = symbol(middle, 1.0, 1.0);
        let mut offers = vec![(middle, 20.0)];
        offers.extend(around(&symbol, &block, &self.scene.measures));
        labels.beside(key, block, symbol, &offers);
    }

    /// Places close round an outline, in no other room.
    fn beside_room(&self, outline: &[Spot], block: &Block) -> Vec<(Spot, f64)> {
        let [left, top, right, foot] = extent(outline);
        let middle = Spot::new((left + right) / 2.0, (top + foot) / 2.0);
        let round = symbol(middle, right - left, foot - top);
        let mut offers = around(&round, block, &self.scene.measures);
        offers.truncate(2 * CLOSE);
        let (width, height) = block.size(&self.scene.measures);
        let others = self.scene.project.rooms_on(self.scene.floor.id);
        let others: Vec<Vec<Spot>> = others
            .map(|room| self.scene.view.spots(&room.outline))
            .collect();
        offers.retain(|(at, _)| {
            let corner = at.plus(-width / 2.0, -height / 2.0);
            let mut spots = Mark::rectangle(corner, width, height);
            spots.push(*at);
            let within = |room: &Vec<Spot>| spots.iter().any(|&spot| inside(room, spot));
            !others.iter().any(within)
        });
        offers
    }

    /// Places in an outline in which something of a size has room, corners first.
    pub fn places_in(
        &self,
        outline: &[Spot],
        middle: Spot,
        (width, height): (f64, f64),
    ) -> Vec<(Spot, f64)> {
        let unit = self.scene.measures.unit;
        let mut offers = Vec::new();
        for corner in outline {
            for (x, y) in [(1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0)] {
                let dx = x * (width / 2.0 + CORNER * unit);
                let dy = y * (height / 2.0 + CORNER * unit);
                offers.push((corner.plus(dx, dy), 0.0));
            }
        }
        offers.push((middle, 1.0));
        offers.extend(grid_over(outline).into_iter().map(|at| (at, 2.0)));
        let rim = 0.6 * unit;
        offers.retain(|(at, _)| {
            let corner = at.plus(-width / 2.0 - rim, -height / 2.0 - rim);
            let corners = Mark::rectangle(corner, width + 2.0 * rim, height + 2.0 * rim);
            corners.iter().all(|&corner| inside(outline, corner))
        });
        offers
    }

    /// The segment's tag, where it runs alone if it does so anywhere.
    fn segment_tag(&self, segment: &Segment, labels: &mut Labels) {
        let measures = &self.scene.measures;
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
                let line = beside(&self.scene, &line, idx);
                list.extend(line.windows(2).map(|pair| (pair[0], pair[1])));
            }
        }
        let halfway = |(a, b): &(Spot, Spot)| Spot::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
        let middles = own
            .iter()
            .filter(|(a, b)| a.distance(*b) > 8.0 * measures.unit)
            .map(halfway);
        let middles: Vec<Spot> = middles.collect();
        let clear = 4.0 * measures.unit;
        let alone = |p: &Spot| others.iter().all(|way| distance_to(*way, *p) > clear);
        let free: Vec<Spot> = middles.iter().copied().filter(alone).collect();
        let chosen = if free.is_empty() { middles } else { free };
        let side = 0.6 * measures.unit * 2.0;
        let sides = |&at: &Spot| {
            let places = around(&symbol(at, side, side), &block, measures);
            places.into_iter().take(4)
        };
        let offers: Vec<(Spot, f64)> = chosen.iter().flat_map(sides).collect();
        labels.at_one_of(ItemKey::Segment(segment.id), block, &offers);
    }
}

/// A room's number and name, in one line and in two, or in short its number.
fn forms(room: &Room, detail: Detail) -> Vec<Block> {
    let block = |lines: Vec<String>| Block { lines, bold: true };
    let words: Vec<&str> = room.name.split_whitespace().collect();
    let number = room.number.clone();
    if words.is_empty() || detail == Detail::Short {
        return vec![block(vec![number])];
    }
    let mut forms = vec![block(vec![number.clone(), room.name.clone()])];
    if detail == Detail::Beside {
        return forms;
    }
    if words.len() > 1 {
        let (one, two) = words.split_at(words.len().div_ceil(2));
        forms.push(block(vec![number, one.join(" "), two.join(" ")]));
    }
    forms
}

/// So many of the places round a symbol are tried.
const fn reach_of(detail: Detail) -> usize {
    match detail {
        Detail::Whole | Detail::Far => usize::MAX,
        Detail::Near | Detail::Beside => 3 * CLOSE,
        Detail::Short => 4 * CLOSE,
    }
}

/// "pit", "1.20 m deep".
fn marked_words(area: &MarkedArea, units: UnitSystem) -> Vec<String> {
    let level = |level: f64| number::text(level, Unit::Metre, Decimals::Places(2), units, "");
    let level = area.level.map(|metres| level(metres.get()));
    let words = match area.kind {
        MarkedKind::Pit => [
            "pit".to_owned(),
            level.map_or(String::new(), |it| format!("{it} deep")),
        ],
        MarkedKind::Platform => [
            "platform".to_owned(),
            level.map_or(String::new(), |it| format!("{it} up")),
        ],
        MarkedKind::Heat => ["heat:".to_owned(), "no detector".to_owned()],
        MarkedKind::Water => ["water:".to_owned(), "no detector".to_owned()],
        MarkedKind::KeepOut => ["no".to_owned(), "detector".to_owned()],
        MarkedKind::Obstructed => ["in the way,".to_owned(), "low".to_owned()],
    };
    words.into_iter().filter(|line| !line.is_empty()).collect()
}

fn plain(words: &str, measures: &Measures) -> Block {
    Block {
        lines: wrapped(words, measures.text, measures.widest.1),
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

fn distance_to((a, b): (Spot, Spot), p: Spot) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let t = ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy).max(1e-12);
    let t = t.clamp(0.0, 1.0);
    a.plus(dx * t, dy * t).distance(p)
}

/// Left, top, right and foot of an outline.
fn extent(outline: &[Spot]) -> [f64; 4] {
    let range = |of: fn(&Spot) -> f64| {
        let none = (f64::INFINITY, f64::NEG_INFINITY);
        let values = outline.iter().map(of);
        values.fold(none, |(a, b), v| (a.min(v), b.max(v)))
    };
    let ((left, right), (top, foot)) = (range(|p| p.x), range(|p| p.y));
    [left, top, right, foot]
}

/// Places all over an outline.
fn grid_over(outline: &[Spot]) -> Vec<Spot> {
    const STEPS: usize = 14;
    let [left, top, right, foot] = extent(outline);
    let at = |from: f64, to: f64, k: usize| from + (to - from) * k as f64 / STEPS as f64;
    let places = (1..STEPS).flat_map(|y| (1..STEPS).map(move |x| (x, y)));
    places
        .map(|(x, y)| Spot::new(at(left, right, x), at(top, foot, y)))
        .collect()
}

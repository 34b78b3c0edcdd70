//! Symbols in their rooms: on the room's side of a wall, and apart where they would cover one
//! another.
//!
//! A symbol keeps its size at every scale. One that would lie across a wall of its room is drawn
//! touching the wall from within; in a room too small for it, in the middle between its walls.

use crate::documents::drawing::Spot;
use crate::documents::drawing::labels::frame;
use crate::documents::drawing::measures::Measures;
use crate::geometry::labels::{Home, Label, Start, Surroundings, place};
use crate::geometry::{Point, Segment};

/// Symbols may be moved this far along an axis without a line to their true place, mm of paper.
pub const NUDGE: f64 = 0.6;
/// Radius of the dot at the true place of a symbol that was moved aside, mm of paper.
pub const DOT: f64 = 0.6;

/// Distance kept between symbols, mm of paper.
const GAP: f64 = 0.2;
/// Distances from the true place at which a symbol is tried, mm of paper.
const DISTANCES: [f64; 9] = [3.5, 5.0, 7.0, 8.5, 10.5, 13.0, 16.0, 20.0, 26.0];
/// Steps in which a symbol leaves the walls it lies across, and the share of the way of each.
const STEPS: usize = 24;
const SHARE: f64 = 0.6;
const DIRECTIONS: usize = 16;
/// What moving costs: more than standing on a wall, less than covering another symbol.
const MOVED: f64 = 90.0;
/// What moving into another room costs.
const OTHER_ROOM: f64 = 60.0;

/// The true place of a symbol and its size.
#[derive(Debug, Clone)]
pub struct Place {
    pub at: Spot,
    pub width: f64,
    pub height: f64,
    /// The outline of the room it is in, if any.
    pub room: Option<Vec<Spot>>,
    /// Whether it never leaves that room, as what is released there.
    pub stays: bool,
}

impl Place {
    /// The place nearest to `at` where the symbol lies across no wall of its room.
    fn within_room(&self, at: Spot) -> Spot {
        let Some(room) = &self.room else {
            return at;
        };
        let (mut p, mut moved) = (at, at);
        let turn = turn(room);
        for _ in 0..STEPS {
            let pushes = (0..room.len()).filter_map(|idx| self.push(room, turn, idx, p));
            let (x, y) = pushes.fold((0.0, 0.0), |(x, y), (dx, dy)| (x + dx, y + dy));
            if x.hypot(y) < 1e-6 {
                break;
            }
            p = p.plus(SHARE * x, SHARE * y);
            if inside(room, p) {
                moved = p;
            }
        }
        moved
    }

    /// Whether the symbol at `p` lies across a wall of its room.
    fn lies_across(&self, p: Spot) -> bool {
        let frame = frame(p, self.width, self.height);
        let ring = self.room.iter().flatten().copied();
        let corners: Vec<Spot> = ring.collect();
        let walls =
            (0..corners.len()).map(|idx| (corners[idx], corners[(idx + 1) % corners.len()]));
        let mut walls = walls.map(|(a, b)| Segment::new(a.point(), b.point()));
        walls.any(|wall| frame.meets(&wall))
    }

    /// How far the wall from corner `idx` pushes a symbol at `p` that lies across it; a symbol on
    /// the far side of it is pushed as well.
    fn push(&self, room: &[Spot], turn: f64, idx: usize, p: Spot) -> Option<(f64, f64)> {
        let (a, b) = (room[idx], room[(idx + 1) % room.len()]);
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let length = dx.hypot(dy);
        if length < 1e-9 {
            return None;
        }
        let along = (((p.x - a.x) * dx + (p.y - a.y) * dy) / length).clamp(0.0, length);
        let foot = a.plus(dx * along / length, dy * along / length);
        let (nx, ny) = (-dy / length * turn, dx / length * turn);
        let off = (p.x - foot.x) * nx + (p.y - foot.y) * ny;
        let half = nx.abs() * self.width / 2.0 + ny.abs() * self.height / 2.0;
        let reach = self.width.max(self.height) / 2.0;
        // Beside the ends of the wall its neighbours push.
        let past = ((p.x - foot.x) * dx + (p.y - foot.y) * dy).abs() / length;
        let is_beside = off > -reach
            && past < ny.abs() * self.width / 2.0 + nx.abs() * self.height / 2.0 - 1e-6;
        (is_beside && off < half - 1e-6).then_some((nx * (half - off), ny * (half - off)))
    }
}

/// Symbols in the order in which they give way.
#[derive(Debug)]
pub struct Apart {
    measures: Measures,
    labels: Vec<Label>,
}

impl Apart {
    /// No symbols yet.
    pub fn new(measures: Measures) -> Self {
        Apart {
            measures,
            labels: Vec::new(),
        }
    }

    /// Adds symbols; the things come back in their order.
    pub fn all<'a, T>(
        &mut self,
        things: impl Iterator<Item = &'a T>,
        place: impl Fn(&T) -> Place,
    ) -> Vec<&'a T> {
        let things: Vec<&T> = things.collect();
        let unit = self.measures.unit;
        for place in things.iter().map(|thing| place(thing)) {
            let home = Home {
                at: place.at.point(),
                radius: 0.0,
                near: NUDGE * unit,
            };
            self.labels.push(Label {
                width: (place.width - 2.0 * GAP * unit) * self.measures.seen,
                height: (place.height - 2.0 * GAP * unit) * self.measures.seen,
                offers: offers(&place, &self.measures),
                home: Some(home),
            });
        }
        things
    }

    /// The place of each symbol; `walls` are not crossed where it can be helped.
    pub fn spots(self, walls: &[(Segment, f64)]) -> Vec<Spot> {
        let surroundings = Surroundings {
            lines: walls.to_vec(),
            gap: 2.0 * GAP * self.measures.unit,
            ..Surroundings::default()
        };
        let frames = place(&surroundings, &self.labels, Start::Wished);
        frames.iter().map(|frame| Spot::at(frame.middle)).collect()
    }
}

/// Whether a place lies inside a ring.
pub fn inside(ring: &[Spot], p: Spot) -> bool {
    let crosses = |idx: usize| {
        let (a, b) = (ring[idx], ring[(idx + 1) % ring.len()]);
        (a.y <= p.y) != (b.y <= p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)
    };
    (0..ring.len()).filter(|&idx| crosses(idx)).count() % 2 == 1
}

/// Whether the inner side of an outline's edges lies to their right (1) or left (-1), x to the
/// right and y down: outlines run either way round.
fn turn(ring: &[Spot]) -> f64 {
    let next = |idx: usize| ring[(idx + 1) % ring.len()];
    let twice = |(idx, a): (usize, &Spot)| a.x * next(idx).y - next(idx).x * a.y;
    ring.iter().enumerate().map(twice).sum::<f64>().signum()
}

fn offers(place: &Place, measures: &Measures) -> Vec<(Point, f64)> {
    let at = place.within_room(place.at);
    let mut offers = vec![(at.point(), 0.0)];
    if !measures.moves_symbols {
        return offers;
    }
    let unit = measures.unit;
    for (x, y) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
        let nudge = NUDGE * unit;
        let aside = place.within_room(at.plus(x * nudge, y * nudge));
        offers.push((aside.point(), MOVED / 2.0));
    }
    for away in DISTANCES {
        for k in 0..DIRECTIONS {
            let angle = std::f64::consts::TAU * k as f64 / DIRECTIONS as f64;
            let aside = at.plus(away * unit * angle.cos(), away * unit * angle.sin());
            let room = place.room.as_ref();
            let leaves = room.is_some_and(|room| !inside(room, aside));
            if leaves && (place.stays || place.lies_across(aside)) {
                continue;
            }
            let cost = MOVED + 2.0 * away + 0.01 * k as f64;
            if leaves {
                offers.push((aside.point(), cost + OTHER_ROOM));
            } else {
                offers.push((place.within_room(aside).point(), cost));
            }
        }
    }
    offers
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::drawing::Mark;

    fn place(x: f64, y: f64, room: Option<Vec<Spot>>) -> Place {
        Place {
            at: Spot::new(x, y),
            width: 8.0,
            height: 8.0,
            room,
            stays: false,
        }
    }

    #[test]
    fn of_two_symbols_at_one_place_one_stays() {
        let places = [50.0, 50.0, 90.0].map(|x| place(x, 50.0, None));
        let mut apart = Apart::new(Measures::PAPER);
        apart.all(places.iter(), Place::clone);
        let spots = apart.spots(&[]);
        assert_eq!(spots[1..], [Spot::new(50.0, 50.0), Spot::new(90.0, 50.0)]);
        assert!(!frame(spots[0], 7.9, 7.9).overlaps(&frame(spots[1], 7.9, 7.9)));
    }

    #[test]
    fn a_symbol_moves_within_its_room() {
        // The room is the left half of the paper: both stand on its wall at x = 50.
        let room = Mark::rectangle(Spot::new(0.0, 0.0), 50.0, 100.0);
        let places = [50.0, 50.0].map(|x| place(x, 50.0, Some(room.clone())));
        let mut apart = Apart::new(Measures::PAPER);
        apart.all(places.iter(), Place::clone);
        assert!(apart.spots(&[])[0].x < 50.0);
    }

    #[test]
    fn on_a_wall_a_symbol_touches_it_from_within() {
        let room = Mark::rectangle(Spot::new(0.0, 0.0), 50.0, 100.0);
        for (x, y, at) in [
            (50.0, 50.0, Spot::new(46.0, 50.0)),
            (49.0, 50.0, Spot::new(46.0, 50.0)),
            (50.2, 50.0, Spot::new(46.0, 50.0)),
            (1.0, 99.0, Spot::new(4.0, 96.0)),
            (25.0, 30.0, Spot::new(25.0, 30.0)),
        ] {
            for turned in [false, true] {
                let mut ring = room.clone();
                if turned {
                    ring.reverse();
                }
                let mut apart = Apart::new(Measures::PAPER);
                apart.all([place(x, y, Some(ring))].iter(), Place::clone);
                let found = apart.spots(&[])[0];
                assert!(found.distance(at) < 0.01, "{found:?} for {x}, {y}");
            }
        }
    }

    #[test]
    fn in_a_room_too_small_for_it_a_symbol_stands_between_the_walls() {
        let room = Mark::rectangle(Spot::new(0.0, 0.0), 5.0, 100.0);
        let mut apart = Apart::new(Measures::PAPER);
        apart.all([place(0.2, 50.0, Some(room))].iter(), Place::clone);
        let found = apart.spots(&[])[0];
        assert!((found.x - 2.5).abs() < 0.3, "{found:?}");
    }

    #[test]
    fn a_source_never_leaves_its_room() {
        let room = Mark::rectangle(Spot::new(0.0, 0.0), 9.0, 9.0);
        let places = [0.0, 0.1, 0.2].map(|more| Place {
            stays: true,
            ..place(4.5 + more, 4.5, Some(room.clone()))
        });
        let mut apart = Apart::new(Measures::PAPER);
        apart.all(places.iter(), Place::clone);
        assert!(apart.spots(&[]).iter().all(|&spot| inside(&room, spot)));
    }
}

//! Symbols that would cover one another at the drawing's scale, moved apart.

use crate::documents::drawing::Spot;
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
const DISTANCES: [f64; 7] = [7.0, 8.5, 10.5, 13.0, 16.0, 20.0, 26.0];
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

fn offers(place: &Place, measures: &Measures) -> Vec<(Point, f64)> {
    let at = place.at;
    let mut offers = vec![(at.point(), 0.0)];
    if !measures.moves_symbols {
        return offers;
    }
    let unit = measures.unit;
    for (x, y) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
        let nudge = NUDGE * unit;
        offers.push((at.plus(x * nudge, y * nudge).point(), MOVED / 2.0));
    }
    for away in DISTANCES {
        for k in 0..DIRECTIONS {
            let angle = std::f64::consts::TAU * k as f64 / DIRECTIONS as f64;
            let aside = at.plus(away * unit * angle.cos(), away * unit * angle.sin());
            let room = place.room.as_ref();
            let leaves = room.is_some_and(|room| !inside(room, aside));
            // On a screen one looks closer instead of looking for it in another room.
            if leaves && measures.drops_names {
                continue;
            }
            let cost = MOVED + 2.0 * away + 0.01 * k as f64;
            offers.push((aside.point(), cost + if leaves { OTHER_ROOM } else { 0.0 }));
        }
    }
    offers
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::drawing::Mark;
    use crate::documents::drawing::labels::frame;

    fn place(x: f64, y: f64, room: Option<Vec<Spot>>) -> Place {
        Place {
            at: Spot::new(x, y),
            width: 8.0,
            height: 8.0,
            room,
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
}

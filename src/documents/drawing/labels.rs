//! The words of a drawing as blocks, and where they stand: on paper and on a screen alike.

use crate::documents::drawing::caption::text;
use crate::documents::drawing::measures::Measures;
use crate::documents::drawing::{Anchor, Ink, Mark, Pen, Spot};
use crate::geometry::labels::{Frame, Home, Label, Start, Surroundings, place};
use crate::geometry::{Point, Segment};
use crate::model::ItemKey;

/// Distance of base lines, as a share of the type size.
const LEADING: f64 = 1.2;
/// Distance texts keep from symbols and from one another, mm of paper.
const GAP: f64 = 0.7;
/// Distance they keep from walls, cables and leader lines, mm of paper.
const LINE_GAP: f64 = 0.5;
/// The white ground of a text reaches so far past it, mm of paper.
const GROUND: f64 = 0.3;
/// A text nearer to its symbol than this needs no leader line, mm of paper.
const NEAR: f64 = 1.8;
/// Clear distances from the symbol at which a text is tried, mm of paper.
const DISTANCES: [f64; 6] = [0.9, 3.5, 7.0, 11.0, 16.0, 22.0];
/// How much a text over a leader line matters.
pub const LEADER_PRICE: f64 = 40.0;
/// Directions in which a text is tried, in half sizes; the first of equals wins.
const DIRECTIONS: [(f64, f64); 16] = [
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.0, 1.0),
    (0.0, -1.0),
    (1.0, 0.5),
    (1.0, -0.5),
    (-1.0, 0.5),
    (-1.0, -0.5),
    (0.5, 1.0),
    (-0.5, 1.0),
    (0.5, -1.0),
    (-0.5, -1.0),
    (1.0, 1.0),
    (-1.0, 1.0),
    (1.0, -1.0),
    (-1.0, -1.0),
];

/// What is on the sheet and the texts that still look for a place.
#[derive(Debug, Clone)]
pub struct Labels {
    measures: Measures,
    surroundings: Surroundings,
    waiting: Vec<(ItemKey, Block, Label)>,
}

/// Lines of text as one block.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    pub lines: Vec<String>,
    /// Whether the first line is bold.
    pub bold: bool,
}

/// What a text belongs to: a symbol of these half sizes.
#[derive(Debug, Clone, Copy)]
pub struct Symbol {
    pub at: Spot,
    pub half_width: f64,
    pub half_height: f64,
}

/// A block that has found its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    pub key: ItemKey,
    pub block: Block,
    pub frame: Frame,
    /// To which side of the frame its lines are set.
    pub anchor: Anchor,
    pub leader: Option<Segment>,
    /// Whether it lies in the window, on no symbol and on no block before it.
    pub clear: bool,
    /// The price of the lines that it lies over.
    pub over: f64,
}

impl Labels {
    /// An empty sheet on which all must stand inside `window`.
    pub fn within(window: Frame, measures: Measures) -> Self {
        Labels {
            measures,
            surroundings: Surroundings {
                window: Some(window),
                gap: GAP * measures.unit,
                line_gap: LINE_GAP * measures.unit,
                ..Surroundings::default()
            },
            waiting: Vec::new(),
        }
    }

    /// Keeps texts off this box.
    pub fn take(&mut self, frame: Frame) {
        self.surroundings.taken.push(frame);
    }

    /// Keeps texts off these lines where it can be helped; `price` says how much it matters.
    pub fn avoid(&mut self, points: &[Spot], price: f64) {
        let lines = points
            .windows(2)
            .map(|pair| (Segment::new(pair[0].point(), pair[1].point()), price));
        self.surroundings.lines.extend(lines);
    }

    /// The lines to be kept off so far, with their prices.
    pub fn lines(&self) -> &[(Segment, f64)] {
        &self.surroundings.lines
    }

    /// A text at one of these places round a symbol, each with what it costs.
    pub fn beside(&mut self, key: ItemKey, block: Block, symbol: Symbol, offers: &[(Spot, f64)]) {
        let home = Home {
            at: symbol.at.point(),
            radius: symbol.half_width.min(symbol.half_height),
            near: NEAR * self.measures.unit,
        };
        self.wait(key, block, offers, Some(home));
    }

    /// A text at one of these places, each with what it costs; none where there is no place.
    pub fn at_one_of(&mut self, key: ItemKey, block: Block, offers: &[(Spot, f64)]) {
        self.wait(key, block, offers, None);
    }

    /// The best of these places for a square mark, which texts then keep off.
    pub fn stand(&mut self, side: f64, offers: &[(Spot, f64)]) -> Spot {
        let label = Label {
            width: side,
            height: side,
            offers: offers
                .iter()
                .map(|(at, cost)| (at.point(), *cost))
                .collect(),
            home: None,
        };
        let placed = place(&self.surroundings, &[label], Start::Empty);
        self.surroundings.taken.extend(&placed);
        Spot::at(placed[0].middle)
    }

    /// All texts that wait, in their places: none lies on another if it can be helped. Those that
    /// are not good enough are left out; the others, and their leader lines, are in the way of the
    /// texts that come after.
    pub fn settle(&mut self, is_good: impl Fn(&Placed) -> bool) -> Vec<Placed> {
        let waiting = std::mem::take(&mut self.waiting);
        let labels: Vec<Label> = waiting.iter().map(|(.., label)| label.clone()).collect();
        let frames = place(&self.surroundings, &labels, Start::Empty);
        let around = &mut self.surroundings;
        let waiting = waiting.into_iter().zip(frames);
        let mut placed = Vec::new();
        for ((key, block, label), frame) in waiting {
            let inside = around.window.is_none_or(|window| window.holds(&frame));
            let off_lines = frame.grown(around.line_gap);
            let crossed = around.lines.iter();
            let crossed = crossed.filter(|(line, _)| off_lines.meets(line));
            let found = Placed {
                key,
                block,
                frame,
                anchor: anchor(&label, &frame),
                leader: label.leader(&frame),
                clear: inside && !around.taken.iter().any(|other| other.overlaps(&frame)),
                over: crossed.map(|(_, price)| price).sum(),
            };
            if is_good(&found) {
                around.taken.push(frame);
                placed.push(found);
            }
        }
        let leaders = placed.iter().filter_map(|label| label.leader);
        around
            .lines
            .extend(leaders.map(|leader| (leader, LEADER_PRICE)));
        placed
    }

    fn wait(&mut self, key: ItemKey, block: Block, offers: &[(Spot, f64)], home: Option<Home>) {
        if offers.is_empty() {
            return;
        }
        let (width, height) = block.size(&self.measures);
        let label = Label {
            width,
            height,
            offers: offers
                .iter()
                .map(|(at, cost)| (at.point(), *cost))
                .collect(),
            home,
        };
        self.waiting.push((key, block, label));
    }
}

/// Lines are set towards the symbol they belong to; those of a room to the left.
fn anchor(label: &Label, frame: &Frame) -> Anchor {
    let Some(home) = label.home else {
        return Anchor::Start;
    };
    let aside = frame.middle.x - home.at.x;
    if aside >= frame.width / 2.0 {
        Anchor::Start
    } else if aside <= -frame.width / 2.0 {
        Anchor::End
    } else {
        Anchor::Middle
    }
}

/// The placed texts as marks of a sheet of paper, leader lines below all of them. Each stands on a
/// white ground, so that it can be read over the client's plan.
pub fn marks(placed: &[Placed]) -> Vec<Mark> {
    let leaders = placed.iter().filter_map(|label| label.leader);
    let mut marks: Vec<Mark> = leaders
        .map(|leader| Mark::line(vec![Spot::at(leader.from), Spot::at(leader.to)], Pen::THIN))
        .collect();
    for label in placed {
        let Frame {
            middle,
            width,
            height,
        } = label.frame.grown(GROUND);
        let corner = Spot::at(middle).plus(-width / 2.0, -height / 2.0);
        marks.push(Mark::Area {
            rings: vec![Mark::rectangle(corner, width, height)],
            ink: Ink::White,
            opacity: 0.85,
        });
        marks.extend(label.block.marks(&label.frame, label.anchor));
    }
    marks
}

impl Block {
    /// Its width and height.
    pub fn size(&self, measures: &Measures) -> (f64, f64) {
        let widths = self.lines.iter().map(|line| measures.wide(line));
        let lines = self.lines.len() as f64;
        (
            widths.fold(0.0, f64::max),
            measures.text * (LEADING * lines - 0.3),
        )
    }

    /// The lines on paper in a frame, on white rims.
    fn marks(&self, frame: &Frame, anchor: Anchor) -> Vec<Mark> {
        let size = Measures::PAPER.text;
        let x = match anchor {
            Anchor::Start => frame.middle.x - frame.width / 2.0,
            Anchor::Middle => frame.middle.x,
            Anchor::End => frame.middle.x + frame.width / 2.0,
        };
        let top = frame.middle.y - frame.height / 2.0;
        let line = |(idx, line): (usize, &String)| {
            let y = top + size * (0.75 + LEADING * idx as f64);
            let mut caption = text(Spot::new(x, y), size, line).rim();
            caption.anchor = anchor;
            if idx == 0 && self.bold {
                caption.bold().mark()
            } else {
                caption.mark()
            }
        };
        self.lines.iter().enumerate().map(line).collect()
    }
}

/// Places for a block round a symbol: all directions at growing distances, which cost more.
pub fn around(symbol: &Symbol, block: &Block, measures: &Measures) -> Vec<(Spot, f64)> {
    let (width, height) = block.size(measures);
    let mut offers = Vec::new();
    for away in DISTANCES {
        let dx = symbol.half_width + width / 2.0 + away * measures.unit;
        let dy = symbol.half_height + height / 2.0 + away * measures.unit;
        for (idx, (x, y)) in DIRECTIONS.into_iter().enumerate() {
            let cost = 0.8 * away + 0.1 * idx as f64;
            offers.push((symbol.at.plus(x * dx, y * dy), cost));
        }
    }
    offers
}

/// A frame of the drawing.
pub fn frame(middle: Spot, width: f64, height: f64) -> Frame {
    Frame {
        middle: middle.point(),
        width,
        height,
    }
}

impl Spot {
    /// The place as a point in the unit of the drawing.
    pub fn point(self) -> Point {
        Point::new(self.x, self.y)
    }

    /// The place of a point in the unit of the drawing.
    pub fn at(p: Point) -> Self {
        Spot::new(p.x, p.y)
    }
}

//! The texts of a sheet as blocks, and where they stand.

use crate::documents::drawing::caption::{SMALL, text, width_mm};
use crate::documents::drawing::{Mark, Pen, Spot};
use crate::geometry::labels::{Frame, Home, Label, Start, Surroundings, place};
use crate::geometry::{Point, Segment};

/// Distance of base lines, as a share of the type size.
const LEADING: f64 = 1.2;
/// Distance texts keep from symbols and from one another, mm.
const GAP: f64 = 0.7;
/// A text nearer to its symbol than this needs no leader line, mm.
const NEAR: f64 = 1.8;
/// Clear distances from the symbol at which a text is tried, mm.
const DISTANCES: [f64; 6] = [0.9, 3.5, 7.0, 11.0, 16.0, 22.0];
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
#[derive(Debug, Clone, Default)]
pub struct Labels {
    surroundings: Surroundings,
    waiting: Vec<(Block, Label)>,
}

/// Lines of text as one block.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    pub lines: Vec<String>,
    /// Whether the first line is bold.
    pub bold: bool,
}

/// What a text belongs to: a symbol of these half sizes, mm.
#[derive(Debug, Clone, Copy)]
pub struct Symbol {
    pub at: Spot,
    pub half_width: f64,
    pub half_height: f64,
}

impl Labels {
    /// An empty sheet on which all must stand inside `window`.
    pub fn within(window: Frame) -> Self {
        Labels {
            surroundings: Surroundings {
                window: Some(window),
                gap: GAP,
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

    /// A text near a symbol, or at one of the places wished for, each with what it costs.
    pub fn beside(&mut self, block: Block, symbol: Symbol, wished: &[(Spot, f64)]) {
        let mut offers = wished.to_vec();
        offers.extend(around(&symbol, &block));
        let home = Home {
            at: symbol.at.point(),
            radius: symbol.half_width.min(symbol.half_height),
            near: NEAR,
        };
        self.wait(block, &offers, Some(home));
    }

    /// A text at one of these places, each with what it costs; none where there is no place.
    pub fn at_one_of(&mut self, block: Block, offers: &[(Spot, f64)]) {
        self.wait(block, offers, None);
    }

    /// All texts that wait, with their leader lines: none lies on another if it can be helped.
    pub fn settle(self) -> Vec<Mark> {
        let (blocks, labels): (Vec<Block>, Vec<Label>) = self.waiting.into_iter().unzip();
        let frames = place(&self.surroundings, &labels, Start::Empty);
        let leaders = labels.iter().zip(&frames);
        let mut marks: Vec<Mark> = leaders
            .filter_map(|(label, frame)| label.leader(frame))
            .map(|leader| Mark::line(vec![Spot::at(leader.from), Spot::at(leader.to)], Pen::THIN))
            .collect();
        for (block, frame) in blocks.iter().zip(&frames) {
            marks.extend(block.marks(frame));
        }
        marks
    }

    fn wait(&mut self, block: Block, offers: &[(Spot, f64)], home: Option<Home>) {
        if offers.is_empty() {
            return;
        }
        let (width, height) = block.size();
        let label = Label {
            width,
            height,
            offers: offers
                .iter()
                .map(|(at, cost)| (at.point(), *cost))
                .collect(),
            home,
        };
        self.waiting.push((block, label));
    }
}

impl Block {
    /// Its width and height, mm.
    pub fn size(&self) -> (f64, f64) {
        let widths = self.lines.iter().map(|line| width_mm(line, SMALL));
        let lines = self.lines.len() as f64;
        (widths.fold(0.0, f64::max), SMALL * (LEADING * lines - 0.3))
    }

    /// The lines, left-aligned in a frame, on white rims.
    pub fn marks(&self, frame: &Frame) -> Vec<Mark> {
        let left = frame.middle.x - frame.width / 2.0;
        let top = frame.middle.y - frame.height / 2.0;
        let line = |(idx, line): (usize, &String)| {
            let y = top + SMALL * (0.75 + LEADING * idx as f64);
            let caption = text(Spot::new(left, y), SMALL, line).rim();
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
pub fn around(symbol: &Symbol, block: &Block) -> Vec<(Spot, f64)> {
    let (width, height) = block.size();
    let mut offers = Vec::new();
    for away in DISTANCES {
        let dx = symbol.half_width + width / 2.0 + away;
        let dy = symbol.half_height + height / 2.0 + away;
        for (idx, (x, y)) in DIRECTIONS.into_iter().enumerate() {
            let cost = 0.8 * away + 0.1 * idx as f64;
            offers.push((symbol.at.plus(x * dx, y * dy), cost));
        }
    }
    offers
}

/// A frame of the paper.
pub fn frame(middle: Spot, width: f64, height: f64) -> Frame {
    Frame {
        middle: middle.point(),
        width,
        height,
    }
}

impl Spot {
    /// The place as a point, whose unit is the millimetre here.
    pub fn point(self) -> Point {
        Point::new(self.x, self.y)
    }

    /// The place of a point in millimetres.
    pub fn at(p: Point) -> Self {
        Spot::new(p.x, p.y)
    }
}

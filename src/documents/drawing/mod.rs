//! A drawing as a value: marks on a sheet of paper in millimetres, in the order they are drawn.
//!
//! It knows no file format. Weights of lines follow ISO 128: walls heavy, cables medium, the rest
//! thin. Colour is always doubled by hatch direction and letter, so grey print loses nothing.

mod caption;
mod measures;
mod hatch;
mod view;
mod labels;
mod apart;
mod frame;
mod floor_marks;
mod legend;
mod walls;
mod floor_items;
mod floor_blockers;
mod floor_words;
mod floor;
mod release;
mod floor_labels;

use serde::Serialize;

use crate::model::Band;

pub use caption::text_width;
pub use floor::floor_drawing;
pub use floor_labels::{BlockerMark, FloorLabels, SymbolAside, Words, floor_labels};
pub use frame::{A3, TitleBlock, cover_drawing};
pub use release::{
    FIGURE_WIDTH, Shape, chart_figure, mixing_figure, peak_time, section_figure, shape_at,
    time_text, watcher,
};

/// A place on the paper, mm from the upper left corner.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spot {
    pub x: f64,
    pub y: f64,
}

/// One sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Name in the list of sheets, such as "Ground floor".
    pub title: String,
    /// What it shows, in words, for who cannot see it.
    pub shows: String,
    pub width_mm: f64,
    pub height_mm: f64,
    /// Where "2 of 9" is printed once the number of sheets is known: its left end, on the line.
    pub sheet_number_at: Spot,
    pub marks: Vec<Mark>,
}

/// Something drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    Line {
        points: Vec<Spot>,
        pen: Pen,
        closed: bool,
    },
    /// A filled area, even-odd.
    Area {
        rings: Vec<Vec<Spot>>,
        ink: Ink,
        opacity: f64,
    },
    /// Many short lines of one pen, such as a hatch.
    Strokes {
        strokes: Vec<(Spot, Spot)>,
        pen: Pen,
    },
    Circle {
        at: Spot,
        radius: f64,
        pen: Pen,
        fill: Option<Ink>,
    },
    Text(Caption),
    /// A picture of the plan sheet; its corners upper left, upper right, lower left.
    Picture {
        fingerprint: String,
        corners: [Spot; 3],
        /// Cut to this rectangle: upper left and lower right corner.
        window: [Spot; 2],
        width_px: u32,
        height_px: u32,
        opacity: f64,
    },
}

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Caption {
    /// Left end, middle or right end of the text, on its base line.
    pub at: Spot,
    /// Size of the type, mm; capitals are 0.7 of it.
    pub size: f64,
    pub anchor: Anchor,
    pub bold: bool,
    pub ink: Ink,
    /// Whether it stands on a white rim, over other lines.
    pub rim: bool,
    pub text: String,
}

/// Which part of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// What a line is drawn with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    pub width: f64,
    pub ink: Ink,
    /// Lengths of stroke and gap, mm; empty: unbroken.
    pub dash: &'static [f64],
}

/// The few colours of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    Black,
    Grey,
    Pale,
    White,
    Of(Band),
}

impl Spot {
    /// The place (`x`, `y`), mm.
    pub const fn new(x: f64, y: f64) -> Self {
        Spot { x, y }
    }

    /// The place moved by (`dx`, `dy`), mm.
    pub fn plus(self, dx: f64, dy: f64) -> Self {
        Spot::new(self.x + dx, self.y + dy)
    }

    /// Straight distance, mm.
    pub fn distance(self, other: Spot) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

impl Pen {
    /// Walls and the frame.
    pub const HEAVY: Pen = Pen::solid(0.7, Ink::Black);
    /// Cables and symbols.
    pub const MEDIUM: Pen = Pen::solid(0.35, Ink::Black);
    /// Everything else.
    pub const THIN: Pen = Pen::solid(0.18, Ink::Black);

    /// An unbroken line.
    pub const fn solid(width: f64, ink: Ink) -> Self {
        Pen {
            width,
            ink,
            dash: &[],
        }
    }

    /// The same pen, broken.
    pub const fn dashed(self, dash: &'static [f64]) -> Self {
        Pen { dash, ..self }
    }
}

impl Mark {
    /// An open line.
    pub fn line(points: Vec<Spot>, pen: Pen) -> Self {
        Mark::Line {
            points,
            pen,
            closed: false,
        }
    }

    /// A closed line.
    pub fn ring(points: Vec<Spot>, pen: Pen) -> Self {
        Mark::Line {
            points,
            pen,
            closed: true,
        }
    }

    /// The same mark with its origin at `to`; of a picture only the corners move.
    pub fn moved(mut self, to: Spot) -> Self {
        let shift = |spots: &mut [Spot]| {
            for spot in spots {
                *spot = spot.plus(to.x, to.y);
            }
        };
        match &mut self {
            Mark::Line { points, .. } => shift(points),
            Mark::Area { rings, .. } => rings.iter_mut().for_each(|ring| shift(ring)),
            Mark::Strokes { strokes, .. } => {
                for (a, b) in strokes {
                    (*a, *b) = (a.plus(to.x, to.y), b.plus(to.x, to.y));
                }
            }
            Mark::Circle { at, .. } => *at = at.plus(to.x, to.y),
            Mark::Text(caption) => caption.at = caption.at.plus(to.x, to.y),
            Mark::Picture { corners, .. } => shift(corners),
        }
        self
    }

    /// The corners of an upright rectangle.
    pub fn rectangle(at: Spot, width: f64, height: f64) -> Vec<Spot> {
        vec![
            at,
            at.plus(width, 0.0),
            at.plus(width, height),
            at.plus(0.0, height),
        ]
    }
}

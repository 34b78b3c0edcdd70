//! How large words and symbols are: on paper in millimetres, on a screen in CSS pixels.

use crate::documents::drawing::caption::{SMALL, text_width};

/// Sizes in the unit of the drawing, which is the millimetre of paper or the pixel of a screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measures {
    /// What stands for a millimetre of paper: gaps and distances between things go by it.
    pub unit: f64,
    /// Size of the type of tags and names.
    pub text: f64,
    /// Size of symbols beside what they are elsewhere: below 1 they carry no letters.
    pub size: f64,
    /// Radius of an instrument's circle.
    pub radius: f64,
    /// Width and height of a source's triangle.
    pub source: (f64, f64),
    /// Height of a panel's box, its least width, and what it is wider than its tag.
    pub panel: (f64, f64, f64),
    /// Side of a riser's square.
    pub riser: f64,
    /// How far the cables of two segments that share a tray are drawn apart.
    pub cable_step: f64,
    /// Whether symbols that would cover one another are moved apart.
    pub moves_symbols: bool,
    /// What share of a symbol must be seen.
    pub seen: f64,
    /// Whether names that find no good place are left out: one can look closer.
    pub drops_names: bool,
    /// Texts wider than this are broken: of detectors, and of sources and risers.
    pub widest: (f64, f64),
}

impl Measures {
    /// A sheet of paper.
    pub const PAPER: Measures = Measures {
        unit: 1.0,
        text: SMALL,
        size: 1.0,
        radius: 4.0,
        source: (7.2, 6.0),
        panel: (5.2, 8.0, 3.0),
        riser: 5.0,
        cable_step: 0.8,
        moves_symbols: true,
        seen: 0.9,
        drops_names: false,
        widest: (31.0, 18.0),
    };

    /// Below so many pixels a metre a floor is an overview, in which symbols are small.
    const OVERVIEW: f64 = 9.0;
    const OVERVIEW_SIZE: f64 = 0.45;

    /// A screen on which a metre of floor has so many CSS pixels.
    pub fn screen(pixels_per_metre: f64) -> Self {
        let size = match pixels_per_metre < Self::OVERVIEW {
            true => Self::OVERVIEW_SIZE,
            false => 1.0,
        };
        Measures {
            unit: 3.5,
            text: 11.5,
            size,
            radius: 14.0 * size,
            source: (24.0 * size, 21.0 * size),
            panel: (22.0 * size, 36.0 * size, 10.0 * size),
            riser: 18.0 * size,
            cable_step: 0.0,
            // From farther off nobody looks for a single symbol.
            moves_symbols: pixels_per_metre >= Self::OVERVIEW * Self::OVERVIEW_SIZE,
            seen: 0.95,
            drops_names: true,
            widest: (92.0, 80.0),
        }
    }

    /// Width of a line of text.
    pub fn wide(&self, line: &str) -> f64 {
        text_width(line, self.text)
    }

    /// Width of the box of a panel with this tag.
    pub fn panel_width(&self, tag: &str) -> f64 {
        let (_, least, more) = self.panel;
        (self.wide(tag) + more).max(least)
    }
}

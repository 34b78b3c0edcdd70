//! Figures of a release for the calculation sheet: section at a time, chart, mixing curves.
//!
//! The same as the strip of the floor page draws from the same results; it calculates no gas.

mod course;
mod axes;
mod section;
mod chart;
mod mixing;

use crate::documents::drawing::{Drawing, Ink, Mark, Spot};
use crate::engine::results::Motion;
use crate::model::Band;

pub use chart::{chart_figure, watcher};
pub use course::{Shape, peak_time, shape_at, time_text};
pub use mixing::mixing_figure;
pub use section::section_figure;

/// Width of a figure: the text of an A4 page, mm.
pub const FIGURE_WIDTH: f64 = 174.0;

/// The band whose hue and hatch the gas is drawn with.
pub const fn band_of(motion: Motion) -> Band {
    match motion {
        Motion::Rises => Band::High,
        Motion::Falls => Band::Low,
        Motion::Mixes => Band::Breathing,
    }
}

const fn ink_of(motion: Motion) -> Ink {
    Ink::Of(band_of(motion))
}

fn figure(title: String, shows: String, height_mm: f64, marks: Vec<Mark>) -> Drawing {
    Drawing {
        title,
        shows,
        width_mm: FIGURE_WIDTH,
        height_mm,
        sheet_number_at: Spot::new(0.0, 0.0),
        marks,
    }
}

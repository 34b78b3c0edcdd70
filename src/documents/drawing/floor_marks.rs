//! The symbols of a floor: ISA-5.1 circles, sources, air terminals, panels, crossings.

use crate::documents::drawing::caption::{SMALL, text, text_width};
use crate::documents::drawing::measures::Measures;
use crate::documents::drawing::{Ink, Mark, Pen, Spot};
use crate::engine::results::Watch;
use crate::model::AirTerminalKind;

/// Radius of an instrument's circle, mm.
pub const RADIUS: f64 = Measures::PAPER.radius;
/// Half the height of a panel's box, mm.
const PANEL_HALF: f64 = Measures::PAPER.panel.0 / 2.0;
/// Half the height of a source's triangle, mm.
pub const SOURCE_HALF: f64 = Measures::PAPER.source.1 / 2.0;

/// Width of an air terminal's symbol beside its height.
const TERMINAL_WIDE: f64 = 1.4;

/// A circle with the letters of the tag over its number (ISA-5.1, mounted in the field).
pub fn instrument(at: Spot, tag: &str, pen: Pen) -> Vec<Mark> {
    let mut marks = vec![Mark::Circle {
        at,
        radius: RADIUS,
        pen,
        fill: Some(Ink::White),
    }];
    match tag.split_once('-') {
        Some((letters, number)) => {
            marks.push(inside(at.plus(0.0, -0.4), letters));
            marks.push(inside(at.plus(0.0, 2.4), number));
        }
        None => marks.push(inside(at.plus(0.0, 1.0), tag)),
    }
    marks
}

/// A small open triangle with the letters of its hazards.
pub fn source(at: Spot, letters: &str) -> Vec<Mark> {
    let size = (SMALL * 3.4 / text_width(letters, SMALL).max(0.1)).min(SMALL);
    let corners = vec![
        at.plus(0.0, -SOURCE_HALF),
        at.plus(3.6, SOURCE_HALF),
        at.plus(-3.6, SOURCE_HALF),
    ];
    vec![
        Mark::Area {
            rings: vec![corners.clone()],
            ink: Ink::White,
            opacity: 1.0,
        },
        Mark::ring(corners, Pen::MEDIUM),
        text(at.plus(0.0, 2.5), size, letters)
            .bold()
            .middle()
            .mark(),
    ]
}

/// The letter of each hazard once, in turn; "?" where nothing is known to be watched for.
pub fn hazard_letters<'a>(watches: impl Iterator<Item = &'a Watch>) -> String {
    let mut letters = String::new();
    for watch in watches {
        let letter = watch.hazard.letter();
        if !letters.contains(letter) {
            letters.push(letter);
        }
    }
    if letters.is_empty() {
        "?".to_owned()
    } else {
        letters
    }
}

/// A box with its tag (IEC 60617).
pub fn panel(at: Spot, tag: &str, width: f64) -> Vec<Mark> {
    let corner = at.plus(-width / 2.0, -PANEL_HALF);
    let outline = Mark::rectangle(corner, width, 2.0 * PANEL_HALF);
    vec![
        Mark::Area {
            rings: vec![outline.clone()],
            ink: Ink::White,
            opacity: 1.0,
        },
        Mark::ring(outline, Pen::solid(0.5, Ink::Black)),
        text(at.plus(0.0, 1.0), SMALL, tag).bold().middle().mark(),
    ]
}

/// Width and height of an air terminal's symbol: a square, and beside it an arrow.
pub fn terminal_size(measures: &Measures) -> (f64, f64) {
    (TERMINAL_WIDE * measures.riser, measures.riser)
}

/// A square with the letter of the kind, and an arrow that leads the air out of the room into it,
/// or out of it into the room.
pub fn terminal(at: Spot, kind: AirTerminalKind) -> Vec<Mark> {
    let side = Measures::PAPER.riser;
    let half = TERMINAL_WIDE * side / 2.0;
    let outline = Mark::rectangle(at.plus(-half, -side / 2.0), side, side);
    let (foot, tip) = match kind {
        AirTerminalKind::Supply => (side - half, half),
        _ => (half, side - half),
    };
    let arrow = vec![
        at.plus(tip, 0.0),
        at.plus(foot, -0.3 * side),
        at.plus(foot, 0.3 * side),
    ];
    let letter = at.plus(side / 2.0 - half, 1.0);
    vec![
        Mark::Area {
            rings: vec![outline.clone()],
            ink: Ink::White,
            opacity: 1.0,
        },
        Mark::ring(outline, Pen::MEDIUM),
        Mark::Area {
            rings: vec![arrow],
            ink: Ink::Black,
            opacity: 1.0,
        },
        text(letter, SMALL, kind.letter().to_string())
            .bold()
            .middle()
            .mark(),
    ]
}

/// A place where a cable goes through a wall or floor.
pub fn cross(at: Spot) -> Vec<Mark> {
    let ring = Mark::Circle {
        at,
        radius: 1.1,
        pen: Pen::THIN,
        fill: Some(Ink::White),
    };
    let arm = |x: f64, y: f64| Mark::line(vec![at.plus(-x, -y), at.plus(x, y)], Pen::THIN);
    vec![ring, arm(0.75, 0.75), arm(0.75, -0.75)]
}

/// Text in a circle; one that is too long for it is set smaller.
fn inside(at: Spot, words: &str) -> Mark {
    let size = (SMALL * (2.0 * RADIUS - 1.4) / text_width(words, SMALL).max(0.1)).min(SMALL);
    text(at, size, words).bold().middle().mark()
}

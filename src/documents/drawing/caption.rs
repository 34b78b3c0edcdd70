//! Texts on a sheet: how wide they are, and how one is cut or wrapped to a width.

use crate::documents::drawing::{Anchor, Caption, Ink, Mark, Spot};

/// The least size of type on a sheet, mm: its capitals are 2 mm high.
pub const SMALL: f64 = 2.9;
/// Names and figures.
pub const NORMAL: f64 = 3.5;
/// Titles.
pub const LARGE: f64 = 5.0;

/// Advances of U+0020 to U+007E in thousandths of the size, of the semibold type we ship.
const ADVANCES: [u16; 95] = [
    200, 302, 315, 642, 501, 802, 635, 153, 298, 298, 380, 465, 232, 364, 242, 417, 509, 313, 488,
    478, 522, 478, 479, 440, 484, 480, 304, 266, 465, 465, 465, 456, 789, 552, 542, 533, 545, 513,
    489, 537, 557, 243, 512, 549, 493, 627, 588, 544, 526, 521, 537, 513, 516, 557, 540, 771, 538,
    528, 480, 366, 417, 366, 439, 457, 213, 478, 498, 477, 498, 484, 333, 490, 491, 235, 231, 478,
    219, 747, 491, 490, 502, 502, 342, 446, 328, 489, 460, 677, 466, 446, 412, 334, 180, 334, 501,
];

/// Width of a text in the unit of `size`; a letter outside ASCII counts as a wide one.
pub fn text_width(text: &str, size: f64) -> f64 {
    let advance = |letter: char| match letter {
        ' '..='~' => ADVANCES[letter as usize - 32],
        '\u{202f}' | '\u{2009}' => 130,
        '\u{200b}' => 0,
        _ => 600,
    };
    text.chars()
        .map(|letter| f64::from(advance(letter)))
        .sum::<f64>()
        * size
        / 1000.0
}

/// A text in black.
pub fn text(at: Spot, size: f64, text: impl Into<String>) -> Caption {
    Caption {
        at,
        size,
        anchor: Anchor::Start,
        bold: false,
        ink: Ink::Black,
        rim: false,
        text: text.into(),
    }
}

/// The text, shortened with "…" where it is wider than `most`.
pub fn fitted(text: &str, size: f64, most: f64) -> String {
    if text_width(text, size) <= most {
        return text.to_owned();
    }
    let mut kept = String::new();
    for letter in text.chars() {
        kept.push(letter);
        if text_width(&kept, size) + 0.6 * size > most {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

/// The text in lines no wider than `most`; a single word that is wider is shortened.
pub fn wrapped(text: &str, size: f64, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if text_width(&format!("{line} {word}"), size) <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(fitted(word, size, most)),
        }
    }
    lines
}

impl Caption {
    /// The text with its middle at its place.
    pub fn middle(self) -> Self {
        Caption {
            anchor: Anchor::Middle,
            ..self
        }
    }

    /// The text with its right end at its place.
    pub fn end(self) -> Self {
        Caption {
            anchor: Anchor::End,
            ..self
        }
    }

    /// The text in bold.
    pub fn bold(self) -> Self {
        Caption { bold: true, ..self }
    }

    /// The text in another colour.
    pub fn ink(self, ink: Ink) -> Self {
        Caption { ink, ..self }
    }

    /// The text on a white rim.
    pub fn rim(self) -> Self {
        Caption { rim: true, ..self }
    }

    /// The text as a mark.
    pub fn mark(self) -> Mark {
        Mark::Text(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_cut_to_the_width_it_has() {
        let long = "Research building of the institute for applied thermodynamics";
        let cut = fitted(long, NORMAL, 40.0);
        assert!(
            cut.ends_with('…') && text_width(&cut, NORMAL) <= 40.0,
            "{cut}"
        );
        assert_eq!(fitted("Short", NORMAL, 40.0), "Short");
    }

    #[test]
    fn wrapping_keeps_every_word() {
        let sentence = "The app advises; local codes and a competent person decide.";
        let lines = wrapped(sentence, SMALL, 30.0);
        assert!(lines.len() > 1);
        assert!(lines.iter().all(|line| text_width(line, SMALL) <= 30.0));
        assert_eq!(lines.join(" "), sentence);
    }
}

//! Where texts stand so that they hide as little as possible.

use crate::documents::drawing::caption::{SMALL, text, width_mm};
use crate::documents::drawing::{Mark, Spot};

/// Distance of base lines, as a share of the type size.
const LEADING: f64 = 1.2;

/// An upright box on the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    pub middle: Spot,
    pub width: f64,
    pub height: f64,
}

/// What is already on the sheet.
#[derive(Debug, Clone, Default)]
pub struct Labels {
    /// Symbols and texts: nothing may stand on them.
    taken: Vec<Patch>,
    /// Walls and cables: better not, if it can be helped.
    lines: Vec<(Spot, Spot)>,
    window: Option<Patch>,
}

/// Lines of text as one block.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    pub lines: Vec<String>,
    /// Whether the first line is bold.
    pub bold: bool,
}

impl Labels {
    /// An empty sheet on which all must stand inside `window`.
    pub fn within(window: Patch) -> Self {
        Labels {
            window: Some(window),
            ..Labels::default()
        }
    }

    /// Keeps texts off this box.
    pub fn take(&mut self, patch: Patch) {
        self.taken.push(patch);
    }

    /// Keeps texts off these lines where it can be helped.
    pub fn avoid(&mut self, points: &[Spot]) {
        self.lines
            .extend(points.windows(2).map(|pair| (pair[0], pair[1])));
    }

    /// The candidate that hides least, the first of equals; it is taken from now on.
    pub fn place(&mut self, block: &Block, candidates: &[Spot]) -> Patch {
        let patch_at = |&middle: &Spot| Patch {
            middle,
            ..block.patch()
        };
        let best = candidates
            .iter()
            .map(patch_at)
            .min_by_key(|patch| self.hidden(patch))
            .expect("there is always a candidate");
        self.taken.push(best);
        best
    }

    fn hidden(&self, patch: &Patch) -> u32 {
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let roomy = Patch {
            width: patch.width + 0.8,
            height: patch.height + 0.6,
            ..*patch
        };
        let on = self
            .taken
            .iter()
            .filter(|taken| taken.overlaps(&roomy))
            .count();
        let over = self
            .lines
            .iter()
            .filter(|(a, b)| roomy.meets(*a, *b))
            .count();
        let outside = self.window.is_some_and(|window| !window.holds(patch));
        count(on).saturating_mul(100) + count(over).saturating_mul(10) + u32::from(outside) * 500
    }
}

impl Block {
    /// Its size, with the middle at the origin.
    pub fn patch(&self) -> Patch {
        let widths = self.lines.iter().map(|line| width_mm(line, SMALL));
        Patch {
            middle: Spot::new(0.0, 0.0),
            width: widths.fold(0.0, f64::max),
            height: SMALL * (LEADING * self.lines.len() as f64 - 0.3),
        }
    }

    /// The lines, left-aligned in a patch, on white rims.
    pub fn marks(&self, patch: &Patch) -> Vec<Mark> {
        let left = patch.middle.x - patch.width / 2.0;
        let top = patch.middle.y - patch.height / 2.0;
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

impl Patch {
    /// A square patch.
    pub fn square(middle: Spot, side: f64) -> Self {
        Patch {
            middle,
            width: side,
            height: side,
        }
    }

    /// The nearest place of the patch.
    pub fn nearest(&self, p: Spot) -> Spot {
        let (w, h) = (self.width / 2.0, self.height / 2.0);
        Spot::new(
            p.x.clamp(self.middle.x - w, self.middle.x + w),
            p.y.clamp(self.middle.y - h, self.middle.y + h),
        )
    }

    /// Its corners, in order.
    pub fn corners(&self) -> Vec<Spot> {
        let corner = self.middle.plus(-self.width / 2.0, -self.height / 2.0);
        Mark::rectangle(corner, self.width, self.height)
    }

    fn overlaps(&self, other: &Patch) -> bool {
        let apart = |a: f64, b: f64, sizes: f64| (a - b).abs() >= sizes / 2.0;
        !(apart(self.middle.x, other.middle.x, self.width + other.width)
            || apart(self.middle.y, other.middle.y, self.height + other.height))
    }

    fn holds(&self, other: &Patch) -> bool {
        let inside = |a: f64, b: f64, spare: f64| (a - b).abs() <= spare / 2.0;
        inside(self.middle.x, other.middle.x, self.width - other.width)
            && inside(self.middle.y, other.middle.y, self.height - other.height)
    }

    /// Whether the stretch from `a` to `b` runs through the patch (Liang and Barsky's clipping).
    fn meets(&self, a: Spot, b: Spot) -> bool {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let (w, h) = (self.width / 2.0, self.height / 2.0);
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        for (step, room) in [
            (-dx, a.x - (self.middle.x - w)),
            (dx, self.middle.x + w - a.x),
            (-dy, a.y - (self.middle.y - h)),
            (dy, self.middle.y + h - a.y),
        ] {
            if step == 0.0 && room < 0.0 {
                return false;
            }
            if step < 0.0 {
                enters = enters.max(room / step);
            } else if step > 0.0 {
                leaves = leaves.min(room / step);
            }
        }
        enters <= leaves
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_goes_where_nothing_is() {
        let mut labels = Labels::default();
        labels.take(Patch::square(Spot::new(0.0, 0.0), 8.0));
        labels.avoid(&[Spot::new(20.0, -50.0), Spot::new(20.0, 50.0)]);
        let block = Block {
            lines: vec!["AT-101".to_owned()],
            bold: true,
        };
        let candidates = [
            Spot::new(0.0, 2.0),
            Spot::new(21.0, 0.0),
            Spot::new(40.0, 0.0),
        ];
        assert_eq!(labels.place(&block, &candidates).middle, candidates[2]);
        // The third place is taken now; a wall is better than a text.
        assert_eq!(labels.place(&block, &candidates).middle, candidates[1]);
    }

    #[test]
    fn a_line_beside_a_patch_does_not_meet_it() {
        let patch = Patch::square(Spot::new(0.0, 0.0), 2.0);
        assert!(patch.meets(Spot::new(-5.0, 0.5), Spot::new(5.0, 0.5)));
        assert!(!patch.meets(Spot::new(-5.0, 1.5), Spot::new(5.0, 1.5)));
        assert!(!patch.meets(Spot::new(2.0, 0.0), Spot::new(5.0, 0.0)));
    }
}

//! The plot of a chart: its frame, its scales, its figures.

use crate::documents::drawing::caption::{SMALL, text};
use crate::documents::drawing::{Ink, Mark, Pen, Spot};
use crate::documents::number::{self, Decimals};
use crate::engine::results::Scale;
use crate::model::UnitSystem;
use crate::units::Unit;

const EDGE: Pen = Pen::solid(0.13, Ink::Grey);
const LIMIT: Pen = Pen::THIN.dashed(&[1.6, 1.0]);
/// Between the base lines of two lines of words.
const LINE: f64 = 3.6;

/// A rectangle of the paper with a scale to the right and one upwards.
#[derive(Debug, Clone, Copy)]
pub struct Plot {
    pub corner: Spot,
    pub width: f64,
    pub height: f64,
    /// What stands at the left end is 0.
    pub across: f64,
    pub low: f64,
    pub high: f64,
}

impl Plot {
    /// The place of a figure.
    pub fn spot(&self, across: f64, up: f64) -> Spot {
        self.corner.plus(
            across / self.across * self.width,
            self.y(up) - self.corner.y,
        )
    }

    fn y(&self, up: f64) -> f64 {
        self.corner.y + self.height * (1.0 - (up - self.low) / (self.high - self.low))
    }

    /// A curve, cut at the edges of the plot.
    pub fn curve(&self, points: &[(f64, f64)], pen: Pen) -> Vec<Mark> {
        let mut lines: Vec<Vec<Spot>> = vec![Vec::new()];
        for pair in points.windows(2) {
            let Some((a, b)) = self.cut(pair[0], pair[1]) else {
                lines.push(Vec::new());
                continue;
            };
            let (a, b) = (self.spot(a.0, a.1), self.spot(b.0, b.1));
            let line = lines.last_mut().expect("there is always a line");
            if line.last() != Some(&a) {
                if line.is_empty() {
                    line.push(a);
                } else {
                    lines.push(vec![a]);
                }
            }
            lines.last_mut().expect("there is always a line").push(b);
        }
        lines.retain(|line| line.len() > 1);
        lines
            .into_iter()
            .map(|line| Mark::line(line, pen))
            .collect()
    }

    /// The part of a stretch inside the plot (Liang and Barsky 1984, from memory).
    fn cut(&self, a: (f64, f64), b: (f64, f64)) -> Option<((f64, f64), (f64, f64))> {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let sides = [
            (-dx, a.0),
            (dx, self.across - a.0),
            (-dy, a.1 - self.low),
            (dy, self.high - a.1),
        ];
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (way, room) in sides {
            if way == 0.0 {
                if room < 0.0 {
                    return None;
                }
            } else if way < 0.0 {
                from = from.max(room / way);
            } else {
                to = to.min(room / way);
            }
        }
        let at = |share: f64| (a.0 + share * dx, a.1 + share * dy);
        (from <= to).then(|| (at(from), at(to)))
    }

    /// Frame, and figures of the upward scale under their unit.
    pub fn frame(&self, unit: &str) -> Vec<Mark> {
        let outline = Mark::rectangle(self.corner, self.width, self.height);
        let mut marks = vec![
            Mark::ring(outline, EDGE),
            text(self.corner.plus(-2.0, -1.6), SMALL, unit).end().mark(),
        ];
        let ticks = ticks(self.low, self.high);
        let places = ticks.iter().map(|tick| places(*tick)).max().unwrap_or(0);
        for tick in ticks {
            let at = self.spot(0.0, tick);
            marks.push(Mark::line(vec![at.plus(-1.0, 0.0), at], EDGE));
            if at.y > self.corner.y + 1.5 {
                let decimals = Decimals::Places(places);
                let words = number::text(tick, Unit::One, decimals, UnitSystem::Metric, "");
                marks.push(text(at.plus(-2.0, 1.0), SMALL, words).end().mark());
            }
        }
        marks
    }

    /// Figures under the plot at the start, the middle and the end.
    pub fn below(&self, words: [String; 3]) -> Vec<Mark> {
        let mut marks = Vec::new();
        for (idx, words) in words.into_iter().enumerate() {
            let at = self.corner.plus(self.width * idx as f64 / 2.0, self.height);
            marks.push(Mark::line(vec![at, at.plus(0.0, 1.0)], EDGE));
            let caption = text(at.plus(0.0, 4.2), SMALL, words);
            marks.push(match idx {
                0 => caption.mark(),
                1 => caption.middle().mark(),
                _ => caption.end().mark(),
            });
        }
        marks
    }

    /// Broken lines with their words at the right; crowded words give way upwards.
    pub fn limits(&self, limits: &[(String, f64)]) -> Vec<Mark> {
        let mut sorted: Vec<&(String, f64)> = limits.iter().collect();
        sorted.sort_by(|a, b| a.1.total_cmp(&b.1));
        let mut free = f64::INFINITY;
        let mut marks = Vec::new();
        for (words, value) in sorted {
            let left = self.spot(0.0, *value);
            let line = vec![left, left.plus(self.width, 0.0)];
            marks.push(Mark::line(line, LIMIT));
            let y = (left.y - 1.0).min(free).max(self.corner.y + 2.6);
            free = y - LINE;
            let at = Spot::new(self.corner.x + self.width - 1.5, y);
            marks.push(text(at, SMALL, words).end().rim().mark());
        }
        marks
    }
}

/// What the upward scale goes from and to: past every limit.
pub fn axis(scale: &Scale, limits: &[f64], peak_gas: f64) -> (f64, f64) {
    let base = scale.at_zero;
    let peak = [scale.reading(peak_gas)];
    let far = if limits.is_empty() { &peak } else { limits };
    let most = far.iter().fold(base, |most, value| {
        if (value - base).abs() > (most - base).abs() {
            *value
        } else {
            most
        }
    });
    let end = base + 1.2 * (most - base);
    let end = if end == base { base + 1.0 } else { end };
    (base.min(end), base.max(end))
}

/// Round figures, about four.
pub fn ticks(low: f64, high: f64) -> Vec<f64> {
    let rough = (high - low) / 4.0;
    if !(rough.is_finite() && rough > 0.0) {
        return Vec::new();
    }
    let power = 10f64.powf(rough.log10().floor());
    let factors = [1.0, 2.0, 2.5, 5.0];
    let factor = factors.into_iter().find(|factor| factor * power >= rough);
    let step = factor.unwrap_or(10.0) * power;
    let first = (low / step - 1e-9).ceil() as i64;
    let last = (high / step + 1e-9).floor() as i64;
    (first..=last).map(|k| k as f64 * step).collect()
}

/// Decimal places a tick needs, at most six.
fn places(tick: f64) -> usize {
    let fits = |n: &usize| {
        let factor = 10f64.powi(*n as i32);
        (tick * factor - (tick * factor).round()).abs() < 1e-6
    };
    (0..6).find(fits).unwrap_or(6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_stay_inside() {
        assert_eq!(ticks(0.0, 120.0), [0.0, 50.0, 100.0]);
        assert_eq!(ticks(17.4, 20.9), [18.0, 19.0, 20.0]);
        assert!(ticks(1.0, 1.0).is_empty());
    }

    #[test]
    fn oxygen_falls_from_its_base_past_the_lowest_limit() {
        let oxygen = Scale {
            unit: Unit::PercentVolume,
            at_zero: 20.9,
            per_percent: -0.209,
        };
        let (low, high) = axis(&oxygen, &[19.5, 18.0], 5.0);
        assert_eq!(high, 20.9);
        assert!((low - (20.9 - 1.2 * 2.9)).abs() < 1e-9);
    }

    #[test]
    fn a_curve_ends_where_it_leaves_the_plot() {
        let plot = Plot {
            corner: Spot::new(0.0, 0.0),
            width: 100.0,
            height: 50.0,
            across: 10.0,
            low: 0.0,
            high: 5.0,
        };
        // It leaves at the top at 5 of 10, comes back nowhere.
        let marks = plot.curve(&[(0.0, 0.0), (10.0, 10.0), (20.0, 10.0)], Pen::THIN);
        let [Mark::Line { points, .. }] = marks.as_slice() else {
            panic!("{marks:?}")
        };
        assert_eq!(points, &[Spot::new(0.0, 50.0), Spot::new(50.0, 0.0)]);
    }
}

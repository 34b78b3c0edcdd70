//! Hatching: parallel lines cut to an area. The direction tells the band.

use crate::documents::drawing::{Ink, Mark, Pen, Spot};
use crate::model::Band;

/// Distance of the lines, mm.
const PITCH: f64 = 2.4;

/// The tint and the hatch of a band over an area (even-odd).
///
/// All areas of a band share the lines of the paper, so overlapping areas do not thicken them.
pub fn hatched(rings: Vec<Vec<Spot>>, band: Band) -> [Mark; 2] {
    let strokes = strokes(&rings, degrees(band), PITCH);
    let ink = Ink::Of(band);
    [
        Mark::Area {
            rings,
            ink,
            opacity: 0.07,
        },
        Mark::Strokes {
            strokes,
            pen: Pen::solid(0.13, ink),
        },
    ]
}

/// Direction of a band's lines, degrees from the horizontal, rising to the right.
const fn degrees(band: Band) -> f64 {
    match band {
        Band::High => 45.0,
        Band::Breathing => 0.0,
        Band::Low => -45.0,
    }
}

fn strokes(rings: &[Vec<Spot>], degrees: f64, pitch: f64) -> Vec<(Spot, Spot)> {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let along = |p: &Spot| Spot::new(p.x * cos - p.y * sin, p.x * sin + p.y * cos);
    let back = |x: f64, y: f64| Spot::new(x * cos + y * sin, -x * sin + y * cos);
    let turned: Vec<Vec<Spot>> = rings
        .iter()
        .map(|ring| ring.iter().map(along).collect())
        .collect();
    let ys = || turned.iter().flatten().map(|p| p.y);
    let (low, high) = (ys().fold(f64::MAX, f64::min), ys().fold(f64::MIN, f64::max));
    let mut strokes = Vec::new();
    let mut y = (low / pitch).ceil() * pitch;
    while y < high {
        let xs = meetings(&turned, y);
        for pair in xs.chunks_exact(2) {
            strokes.push((back(pair[0], y), back(pair[1], y)));
        }
        y += pitch;
    }
    strokes
}

/// Where the rings cross the line at `y`, from left to right.
fn meetings(rings: &[Vec<Spot>], y: f64) -> Vec<f64> {
    let mut xs = Vec::new();
    for ring in rings {
        for (idx, a) in ring.iter().enumerate() {
            let b = &ring[(idx + 1) % ring.len()];
            if (a.y <= y) != (b.y <= y) {
                xs.push(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
            }
        }
    }
    xs.sort_by(f64::total_cmp);
    xs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatch_lines_of_a_square_fill_it_and_stay_inside() {
        let square = vec![Mark::rectangle(Spot::new(10.0, 20.0), 24.0, 24.0)];
        for degrees in [45.0, 0.0, -45.0] {
            let strokes = strokes(&square, degrees, 2.4);
            let inside = |p: &Spot| {
                (10.0 - 1e-9..=34.0 + 1e-9).contains(&p.x)
                    && (20.0 - 1e-9..=44.0 + 1e-9).contains(&p.y)
            };
            assert!(
                strokes.iter().all(|(a, b)| inside(a) && inside(b)),
                "{degrees}"
            );
            // Lines at a pitch cover an area: sum of lengths x pitch = area, within one line.
            let length: f64 = strokes.iter().map(|(a, b)| a.distance(*b)).sum();
            assert!(
                (length * 2.4 - 576.0).abs() < 24.0 * 2.4 * 1.5,
                "{degrees}: {length}"
            );
        }
    }

    #[test]
    fn a_hole_is_not_hatched() {
        let outer = Mark::rectangle(Spot::new(0.0, 0.0), 24.0, 24.0);
        let hole = Mark::rectangle(Spot::new(6.0, 6.0), 12.0, 12.0);
        let strokes = strokes(&[outer, hole], 0.0, 2.4);
        let through = |(a, b): &(Spot, Spot)| a.y > 6.0 && a.y < 18.0 && a.x < 12.0 && b.x > 12.0;
        assert!(!strokes.iter().any(through));
    }
}

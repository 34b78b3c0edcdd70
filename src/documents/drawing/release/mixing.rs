//! The density of a cold release against its share of the air: alone, and with heat.

use crate::documents::drawing::caption::{SMALL, text, text_width};
use crate::documents::drawing::release::axes::Plot;
use crate::documents::drawing::release::{FIGURE_WIDTH, figure};
use crate::documents::drawing::{Drawing, Ink, Mark, Pen, Spot};
use crate::documents::number::THIN;
use crate::engine::results::MixingCurves;

const HEIGHT: f64 = 60.0;
const ALONE: Pen = Pen::solid(0.5, Ink::Black);
const HEATED: Pen = Pen::solid(0.5, Ink::Black).dashed(&[2.4, 1.2]);

/// Relative density against the share of gas, 0 to 100 %.
pub fn mixing_figure(curves: &MixingCurves) -> Drawing {
    let all = || curves.adiabatic.iter().chain(&curves.heated).copied();
    let plot = Plot {
        corner: Spot::new(16.0, 6.0),
        width: FIGURE_WIDTH - 20.0,
        height: HEIGHT - 18.0,
        across: 1.0,
        low: all().fold(1.0, f64::min) * 0.95,
        high: all().fold(1.0, f64::max) * 1.05,
    };
    let mut marks = plot.frame("× air");
    let ends = ["0", "share of gas", "100"];
    marks.extend(plot.below(ends.map(|words| match words {
        "100" => format!("100{THIN}%"),
        words => words.to_owned(),
    })));
    let mut at = Spot::new(plot.corner.x, HEIGHT - 2.0);
    let lines = [
        ("by mixing alone", &curves.adiabatic, ALONE),
        (
            "with heat from floor, walls and moisture",
            &curves.heated,
            HEATED,
        ),
    ];
    for (name, densities, pen) in lines {
        let points: Vec<(f64, f64)> = curves
            .gas
            .iter()
            .copied()
            .zip(densities.iter().copied())
            .collect();
        marks.extend(plot.curve(&points, pen));
        marks.push(Mark::line(
            vec![at.plus(0.0, -1.0), at.plus(9.0, -1.0)],
            pen,
        ));
        marks.push(text(at.plus(11.0, 0.0), SMALL, name).mark());
        at = at.plus(17.0 + text_width(name, SMALL), 0.0);
    }
    marks.extend(plot.limits(&[("as dense as air".to_owned(), 1.0)]));
    for crossing in [curves.crossing_adiabatic, curves.crossing_heated]
        .into_iter()
        .flatten()
    {
        marks.push(Mark::Circle {
            at: plot.spot(crossing.value, 1.0),
            radius: 0.9,
            pen: Pen::MEDIUM,
            fill: Some(Ink::White),
        });
    }
    figure(
        "Mixing curve".to_owned(),
        curves.sentence.clone(),
        HEIGHT,
        marks,
    )
}

//! A drawing as SVG: one user unit is one millimetre.
//!
//! Figures are written to 0.01 mm, so the same drawing gives the same bytes everywhere.

use std::fmt::Write;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::documents::document::Sheets;
use crate::documents::drawing::{Anchor, Caption, Drawing, Ink, Mark, Pen, Spot};
use crate::model::Band;

const FAMILIES: &str = "Barlow Semi Condensed, Brattice Symbols";

/// The drawing as SVG text; a picture that is not in `pictures` is left out.
pub fn svg(drawing: &Drawing, pictures: &Sheets) -> String {
    let (w, h) = (drawing.width_mm, drawing.height_mm);
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" font-family="{FAMILIES}">"#
    );
    out.push('\n');
    for (idx, mark) in drawing.marks.iter().enumerate() {
        match mark {
            Mark::Line {
                points,
                pen,
                closed,
            } => line(&mut out, points, *pen, *closed),
            Mark::Area {
                rings,
                ink,
                opacity,
            } => {
                let path = rings
                    .iter()
                    .map(|ring| path(ring, true))
                    .collect::<String>();
                put(
                    &mut out,
                    format_args!(
                        r#"<path d="{path}" fill="{}" fill-rule="evenodd" fill-opacity="{}"/>"#,
                        colour(*ink),
                        number(*opacity)
                    ),
                );
            }
            Mark::Strokes { strokes, pen } => {
                let path = strokes
                    .iter()
                    .map(|(a, b)| path(&[*a, *b], false))
                    .collect::<String>();
                put(
                    &mut out,
                    format_args!(r#"<path d="{path}" fill="none"{}/>"#, stroke(*pen)),
                );
            }
            Mark::Circle {
                at,
                radius,
                pen,
                fill,
            } => {
                let fill = fill.map_or("none", colour);
                let (x, y, r) = (number(at.x), number(at.y), number(*radius));
                put(
                    &mut out,
                    format_args!(
                        r#"<circle cx="{x}" cy="{y}" r="{r}" fill="{fill}"{}/>"#,
                        stroke(*pen)
                    ),
                );
            }
            Mark::Text(caption) => text(&mut out, caption),
            Mark::Picture { .. } => picture(&mut out, mark, pictures, idx),
        }
    }
    out.push_str("</svg>\n");
    out
}

fn put(out: &mut String, line: std::fmt::Arguments) {
    writeln!(out, "{line}").expect("a string takes every write");
}

fn line(out: &mut String, points: &[Spot], pen: Pen, closed: bool) {
    let path = path(points, closed);
    let join = if pen.ink == Ink::White {
        "butt"
    } else {
        "round"
    };
    let cap = if pen.dash.is_empty() { join } else { "butt" };
    put(
        out,
        format_args!(
            r#"<path d="{path}" fill="none" stroke-linejoin="round" stroke-linecap="{cap}"{}/>"#,
            stroke(pen)
        ),
    );
}

fn text(out: &mut String, caption: &Caption) {
    let anchor = match caption.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    let weight = if caption.bold { 600 } else { 400 };
    let (x, y, size) = (
        number(caption.at.x),
        number(caption.at.y),
        number(caption.size),
    );
    let words = escaped(&caption.text);
    let common = format!(
        r#"x="{x}" y="{y}" font-size="{size}" font-weight="{weight}" text-anchor="{anchor}""#
    );
    if caption.text.is_empty() {
        return;
    }
    if caption.rim {
        put(
            out,
            format_args!(
                r##"<text {common} fill="none" stroke="#ffffff" stroke-width="1.1" stroke-linejoin="round" stroke-opacity="0.9">{words}</text>"##
            ),
        );
    }
    put(
        out,
        format_args!(
            r#"<text {common} fill="{}">{words}</text>"#,
            colour(caption.ink)
        ),
    );
}

fn picture(out: &mut String, mark: &Mark, pictures: &Sheets, idx: usize) {
    let Mark::Picture {
        fingerprint,
        corners,
        window,
        width_px,
        height_px,
        opacity,
    } = mark
    else {
        return;
    };
    let Some(png) = pictures.get(fingerprint) else {
        return;
    };
    let (w, h) = (
        f64::from((*width_px).max(1)),
        f64::from((*height_px).max(1)),
    );
    let [origin, right, down] = *corners;
    let matrix = [
        (right.x - origin.x) / w,
        (right.y - origin.y) / w,
        (down.x - origin.x) / h,
        (down.y - origin.y) / h,
        origin.x,
        origin.y,
    ];
    let matrix = matrix.map(|figure| format!("{figure:.6}")).join(" ");
    let [from, to] = *window;
    let (x, y) = (number(from.x), number(from.y));
    let (cut_w, cut_h) = (number(to.x - from.x), number(to.y - from.y));
    put(
        out,
        format_args!(
            r#"<clipPath id="cut{idx}"><rect x="{x}" y="{y}" width="{cut_w}" height="{cut_h}"/></clipPath>"#
        ),
    );
    let data = STANDARD.encode(png);
    put(
        out,
        format_args!(
            r#"<g clip-path="url(#cut{idx})" opacity="{}"><image width="{w}" height="{h}" preserveAspectRatio="none" transform="matrix({matrix})" xlink:href="data:image/png;base64,{data}"/></g>"#,
            number(*opacity)
        ),
    );
}

fn path(points: &[Spot], closed: bool) -> String {
    let mut path = String::new();
    for (idx, p) in points.iter().enumerate() {
        path.push(if idx == 0 { 'M' } else { 'L' });
        path.push_str(&number(p.x));
        path.push(' ');
        path.push_str(&number(p.y));
    }
    if closed {
        path.push('Z');
    }
    path
}

fn stroke(pen: Pen) -> String {
    let mut stroke = format!(
        r#" stroke="{}" stroke-width="{}""#,
        colour(pen.ink),
        number(pen.width)
    );
    if !pen.dash.is_empty() {
        let dash: Vec<String> = pen.dash.iter().map(|&length| number(length)).collect();
        stroke.push_str(&format!(r#" stroke-dasharray="{}""#, dash.join(" ")));
    }
    stroke
}

/// To 0.01, without a sign on zero.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// Okabe and Ito's hues for the bands.
const fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "#14181c",
        Ink::Grey => "#565c63",
        Ink::Pale => "#d9d9d6",
        Ink::White => "#ffffff",
        Ink::Of(Band::High) => "#0072b2",
        Ink::Of(Band::Breathing) => "#009e73",
        Ink::Of(Band::Low) => "#d55e00",
    }
}

/// The text as XML; letters that XML forbids become spaces.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            letter if letter.is_control() => out.push(' '),
            letter => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_short_and_zero_has_no_sign() {
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(12.5), "12.5");
        assert_eq!(number(120.0), "120");
    }

    #[test]
    fn a_name_cannot_leave_its_text() {
        assert_eq!(
            escaped("</text><a b=\"1\">&\u{7}"),
            "&lt;/text&gt;&lt;a b=&quot;1&quot;&gt;&amp; "
        );
    }
}

//! The line diagram of a segment: devices along the length of the cable, the voltage falling
//! above them, the least each needs as a line. Drawn from results; nothing is computed here.

use std::fmt::Write as _;

use crate::documents::Decimals;
use crate::engine::results::{DeviceVolts, SegmentResult};
use crate::model::{Band, ControlPanel, Project, Segment};
use crate::units::Unit;
use crate::web::figures::Figures;

/// Of the picture, px.
const WIDTH: f64 = 860.0;
const LEFT: f64 = 66.0;
const RIGHT: f64 = 836.0;
const GRID_TOP: f64 = 26.0;
const GRID_BOTTOM: f64 = 128.0;
/// Symbols nearer than this would cover one another.
const APART: f64 = 30.0;
/// Names nearer than this go on two lines.
const NAMES_APART: f64 = 64.0;

/// A device on the diagram.
struct Mark<'a> {
    volts: &'a DeviceVolts,
    /// Where its cable metres lie on the length axis, px.
    true_x: f64,
    /// Where its symbol stands: moved aside where it would cover its neighbour.
    x: f64,
    /// Whether its words stand one line lower.
    lower: bool,
}

/// The diagram as SVG.
pub(crate) fn draw(
    project: &Project,
    figures: &Figures,
    panel: &ControlPanel,
    segment: &Segment,
    result: &SegmentResult,
) -> String {
    let scale = VoltScale::of(result);
    let marks = marks(result);
    let any_lower = marks.iter().any(|mark| mark.lower);
    let height = if any_lower { 268.0 } else { 240.0 };
    let mut svg = format!(
        "<svg class=\"drawing line-diagram\" viewBox=\"0 0 {WIDTH} {height}\" role=\"img\" \
         aria-label=\"{} drawn to length and volts\">",
        escape(&segment.tag)
    );
    grid(&mut svg, figures, &scale);
    least(&mut svg, figures, &scale, &marks);
    voltage(&mut svg, figures, &scale, &marks, result);
    let end = marks.last().map_or(LEFT, |mark| mark.x);
    let _ = write!(svg, "<path class=\"bus\" d=\"M{LEFT:.1} 178H{end:.1}\"/>");
    for mark in &marks {
        device(&mut svg, project, figures, &scale, mark);
    }
    let _ = write!(
        svg,
        "<g class=\"panel\" transform=\"translate({:.1} 178)\"><rect class=\"box\" x=\"-20\" \
         y=\"-10\" width=\"40\" height=\"20\"/><text y=\"4\">{}</text></g></svg>",
        LEFT - 12.0,
        escape(&panel.tag)
    );
    svg
}

/// Volts to px: whole volts, from the supply down to somewhat below the least needed.
struct VoltScale {
    top: f64,
    bottom: f64,
    step: f64,
}

impl VoltScale {
    fn of(result: &SegmentResult) -> Self {
        let all = result
            .volts
            .iter()
            .flat_map(|volts| [volts.volts.value, volts.least.value]);
        let lowest = all.fold(result.supply.value, f64::min);
        let span = (result.supply.value - lowest).max(1.0);
        let step = if span > 12.0 {
            4.0
        } else if span > 5.0 {
            2.0
        } else {
            1.0
        };
        let top = (result.supply.value / step).ceil() * step;
        let bottom = ((lowest - 0.1 * step) / step).floor() * step;
        VoltScale { top, bottom, step }
    }

    fn y(&self, volts: f64) -> f64 {
        let share = (self.top - volts) / (self.top - self.bottom);
        GRID_TOP + share * (GRID_BOTTOM - GRID_TOP)
    }
}

/// The devices along the axis; symbols that would overlap are moved towards the far end.
fn marks(result: &SegmentResult) -> Vec<Mark<'_>> {
    let farthest = result
        .volts
        .last()
        .map_or(1.0, |volts| volts.distance.value)
        .max(1.0);
    let first = LEFT + 36.0;
    let last = RIGHT - 30.0;
    let mut marks: Vec<Mark<'_>> = Vec::new();
    for volts in &result.volts {
        let true_x = LEFT + (last - LEFT) * (volts.distance.value / farthest).clamp(0.0, 1.0);
        let least_x = marks.last().map_or(first, |before| before.x + APART);
        marks.push(Mark {
            volts,
            true_x,
            x: true_x.max(least_x),
            lower: false,
        });
    }
    let mut most_x = last;
    for mark in marks.iter_mut().rev() {
        mark.x = mark.x.min(most_x);
        most_x = mark.x - APART;
    }
    for at in 1..marks.len() {
        let near = marks[at].x - marks[at - 1].x < NAMES_APART;
        marks[at].lower = near && !marks[at - 1].lower;
    }
    marks
}

fn grid(svg: &mut String, figures: &Figures, scale: &VoltScale) {
    let mut volts = scale.top;
    while volts >= scale.bottom - 1e-9 {
        let (y, label) = (
            scale.y(volts),
            figures.text(volts, Unit::Volt, Decimals::Places(0)),
        );
        let _ = write!(
            svg,
            "<path class=\"volt-grid\" d=\"M{LEFT:.1} {y:.1}H{RIGHT:.1}\"/>\
             <text class=\"volt-label\" x=\"{:.1}\" y=\"{:.1}\">{label}</text>",
            LEFT - 8.0,
            y + 4.0
        );
        volts -= scale.step;
    }
}

/// The least volts needed, as a line that steps where devices need different volts.
fn least(svg: &mut String, figures: &Figures, scale: &VoltScale, marks: &[Mark<'_>]) {
    let Some(first) = marks.first() else { return };
    let mut path = format!("M{LEFT:.1} {:.1}", scale.y(first.volts.least.value));
    let mut equal = true;
    for pair in marks.windows(2) {
        let (before, after) = (pair[0].volts.least.value, pair[1].volts.least.value);
        if before != after {
            equal = false;
            let x = (pair[0].x + pair[1].x) / 2.0;
            let _ = write!(path, "H{x:.1}V{:.1}", scale.y(after));
        }
    }
    let _ = write!(path, "H{RIGHT:.1}");
    let last = marks.last().map_or(first, |mark| mark).volts.least;
    let y = scale.y(last.value) + 13.0;
    let words = match equal {
        true => format!(
            "least {} at every device",
            figures.text(last.value, last.unit, Decimals::OfUnit)
        ),
        false => "least volts of each device".to_owned(),
    };
    let _ = write!(
        svg,
        "<path class=\"least-volts\" fill=\"none\" d=\"{path}\"/>\
         <text class=\"least-text\" x=\"{RIGHT:.1}\" y=\"{y:.1}\">{words}</text>"
    );
}

fn voltage(
    svg: &mut String,
    figures: &Figures,
    scale: &VoltScale,
    marks: &[Mark<'_>],
    result: &SegmentResult,
) {
    let mut points = format!("{LEFT:.1} {:.1}", scale.y(result.supply.value));
    for mark in marks {
        let _ = write!(
            points,
            " {:.1} {:.1}",
            mark.x,
            scale.y(mark.volts.volts.value)
        );
    }
    let _ = write!(svg, "<polyline class=\"volt-line\" points=\"{points}\"/>");
    for mark in marks {
        let (volts, x) = (mark.volts.volts, mark.x);
        let y = scale.y(volts.value);
        let starved = volts.value < mark.volts.least.value;
        let (class, radius) = if starved {
            (" starved", 4.5)
        } else {
            ("", 2.5)
        };
        let text = figures.text(volts.value, Unit::One, Decimals::Places(1));
        let _ = write!(
            svg,
            "<circle class=\"volt-dot{class}\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{radius}\"/>\
             <a class=\"why\" href=\"{}\"><text class=\"volts{class}\" x=\"{:.1}\" y=\"{:.1}\">{text}</text></a>",
            escape(&figures.why(volts)),
            x + 3.0,
            y - 7.0
        );
    }
}

fn device(
    svg: &mut String,
    project: &Project,
    figures: &Figures,
    scale: &VoltScale,
    mark: &Mark<'_>,
) {
    let device = project.devices.get(mark.volts.device);
    let detectors = device
        .map(|device| device.detectors.as_slice())
        .unwrap_or_default();
    let detector = detectors.first().and_then(|&id| project.detectors.get(id));
    let class = match detector.map(|detector| detector.band) {
        Some(Band::High) => "high",
        Some(Band::Breathing) => "breathing",
        Some(Band::Low) => "low",
        None => "field-device",
    };
    let tag = detector.map_or(mark.volts.tag.as_str(), |detector| detector.tag.as_str());
    let (letters, number) = tag.split_once('-').unwrap_or((tag, ""));
    let name = detector.map_or("", |detector| {
        crate::web::words::substance_name(&detector.watches)
    });
    let length = figures.text(mark.volts.distance.value, Unit::Metre, Decimals::OfUnit);
    let x = mark.x;
    let below = if mark.lower { 231.0 } else { 203.0 };
    let _ = write!(
        svg,
        "<path class=\"drop-line\" d=\"M{x:.1} {:.1}V166\"/>\
         <g class=\"device {class}\" role=\"img\" aria-label=\"{}\" transform=\"translate({x:.1} 178)\">\
         <circle class=\"ring\" r=\"12\"/><path class=\"divider\" d=\"M-12 0h24\"/>\
         <text class=\"letters\" y=\"-2\">{}</text><text class=\"number\" y=\"8.5\">{}</text></g>",
        scale.y(mark.volts.volts.value),
        escape(tag),
        escape(letters),
        escape(number)
    );
    if mark.lower {
        let _ = write!(svg, "<path class=\"drop-line\" d=\"M{x:.1} 191V219\"/>");
    }
    if (mark.x - mark.true_x).abs() > 2.0 {
        let _ = write!(
            svg,
            "<path class=\"volt-grid\" d=\"M{:.1} 184V172\"/>",
            mark.true_x
        );
    }
    let _ = write!(
        svg,
        "<text class=\"device-name\" x=\"{x:.1}\" y=\"{below}\">{}</text>\
         <a class=\"why\" href=\"{}\"><text class=\"device-length\" x=\"{x:.1}\" y=\"{}\">{length}</text></a>",
        escape(name),
        escape(&figures.why(mark.volts.distance)),
        below + 13.0
    );
}

/// Text as it may stand in SVG.
fn escape(text: &str) -> String {
    let text = text.replace('&', "&amp;").replace('<', "&lt;");
    text.replace('>', "&gt;").replace('"', "&quot;")
}

//! The line diagram of a segment: devices along the length of the cable, the voltage falling
//! above them, the least each needs as a line. Drawn from results; nothing is computed here.

use std::fmt::Write as _;

use crate::documents::Decimals;
use crate::engine::gas::Substances;
use crate::engine::results::{DeviceVolts, SegmentResult};
use crate::model::{Band, ControlPanel, Detector, ItemKind, Project, Segment};
use crate::units::Unit;
use crate::web::figures::Figures;

/// Of the picture, px; one with many devices is wider.
const WIDTH: f64 = 860.0;
const LEFT: f64 = 66.0;
const RIGHT_MARGIN: f64 = 24.0;
const GRID_TOP: f64 = 26.0;
const GRID_BOTTOM: f64 = 128.0;
/// Symbols nearer than this would cover one another.
const APART: f64 = 30.0;
/// Width of a letter of a name, about.
const LETTER: f64 = 5.6;
/// Names go on so many lines.
const NAME_LINES: usize = 3;
/// A segment shorter than this does not fill the length axis, m.
const FULL_AXIS_M: f64 = 40.0;

/// A device on the diagram.
struct Mark<'a> {
    volts: &'a DeviceVolts,
    /// Where its cable metres lie on the length axis, px.
    true_x: f64,
    /// Where its symbol stands: moved aside where it would cover its neighbour.
    x: f64,
    /// Words below the symbol.
    name: String,
    length: String,
    /// Which line the words stand on, from 0.
    line: usize,
}

/// The diagram as SVG; nothing where the volts of the supply are not known.
pub(crate) fn draw(
    project: &Project,
    figures: &Figures,
    panel: &ControlPanel,
    segment: &Segment,
    result: &SegmentResult,
) -> String {
    let Some(supply) = result.supply.map(|supply| supply.value) else {
        return String::new();
    };
    let scale = VoltScale::of(supply, result);
    let width = WIDTH.max(LEFT + APART * (result.volts.len() as f64 + 2.5));
    let right = width - RIGHT_MARGIN;
    let marks = marks(project, figures, result, right);
    let lines = marks.iter().map(|mark| mark.line).max().unwrap_or(0);
    let height = 226.0 + 28.0 * lines as f64;
    let long = if width > WIDTH { " long" } else { "" };
    let mut svg = format!(
        "<svg class=\"drawing line-diagram{long}\" viewBox=\"0 0 {width} {height}\" \
         width=\"{width}\" height=\"{height}\" role=\"img\" \
         aria-label=\"{} drawn to length and volts\">",
        escape(&segment.tag)
    );
    grid(&mut svg, figures, &scale, right);
    least(&mut svg, figures, &scale, &marks, right);
    voltage(&mut svg, figures, &scale, &marks, supply);
    let end = marks.last().map_or(LEFT, |mark| mark.x);
    let _ = write!(svg, "<path class=\"bus\" d=\"M{LEFT:.1} 178H{end:.1}\"/>");
    for mark in marks
        .iter()
        .filter(|mark| (mark.x - mark.true_x).abs() > 2.0)
    {
        let _ = write!(
            svg,
            "<path class=\"bus\" d=\"M{:.1} 182V174\"/>",
            mark.true_x
        );
    }
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
    fn of(supply: f64, result: &SegmentResult) -> Self {
        let all = result
            .volts
            .iter()
            .flat_map(|volts| [volts.volts.value, volts.least.value]);
        let lowest = all.fold(supply, f64::min);
        let span = (supply - lowest).max(1.0);
        let step = if span > 12.0 {
            4.0
        } else if span > 5.0 {
            2.0
        } else {
            1.0
        };
        let top = (supply / step).ceil() * step;
        let bottom = ((lowest - 0.1 * step) / step).floor() * step;
        VoltScale { top, bottom, step }
    }

    fn y(&self, volts: f64) -> f64 {
        let share = (self.top - volts) / (self.top - self.bottom);
        GRID_TOP + share * (GRID_BOTTOM - GRID_TOP)
    }
}

/// The devices along the axis; symbols that would overlap are moved towards the far end.
fn marks<'a>(
    project: &Project,
    figures: &Figures,
    result: &'a SegmentResult,
    right: f64,
) -> Vec<Mark<'a>> {
    let farthest = result
        .volts
        .last()
        .map_or(0.0, |volts| volts.distance.value);
    let farthest = farthest.max(FULL_AXIS_M);
    let (first, last) = (LEFT + APART, right - APART);
    let mut marks: Vec<Mark<'a>> = Vec::new();
    for volts in &result.volts {
        let true_x = LEFT + (last - LEFT) * (volts.distance.value / farthest).clamp(0.0, 1.0);
        let least_x = marks.last().map_or(first, |before| before.x + APART);
        let distance = volts.distance.value;
        marks.push(Mark {
            volts,
            true_x,
            x: true_x.max(least_x),
            name: name(project, volts),
            length: figures.text(distance, Unit::Metre, Decimals::OfUnit),
            line: 0,
        });
    }
    let mut most_x = last;
    for mark in marks.iter_mut().rev() {
        mark.x = mark.x.min(most_x);
        most_x = mark.x - APART;
    }
    set_lines(&mut marks);
    marks
}

/// Puts the words of each device on the first line where they touch none before.
fn set_lines(marks: &mut [Mark<'_>]) {
    let mut ends = [f64::NEG_INFINITY; NAME_LINES];
    for mark in marks {
        let letters = mark.name.chars().count().max(mark.length.chars().count());
        let half = letters as f64 * LETTER / 2.0;
        let free = ends.iter().position(|end| *end < mark.x - half);
        let emptiest = || (0..NAME_LINES).min_by(|&a, &b| ends[a].total_cmp(&ends[b]));
        mark.line = free.or_else(emptiest).unwrap_or(0);
        ends[mark.line] = mark.x + half + LETTER;
    }
}

/// The detector a device carries; the first where there are several.
fn detector<'a>(project: &'a Project, volts: &DeviceVolts) -> Option<&'a Detector> {
    let device = project.devices.get(volts.device)?;
    device
        .detectors
        .first()
        .and_then(|&id| project.detectors.get(id))
}

/// The tag a device is drawn with: that of its detector, or its own.
pub(crate) fn shown_tag<'a>(project: &'a Project, volts: &'a DeviceVolts) -> &'a str {
    detector(project, volts).map_or(&volts.tag, |detector| &detector.tag)
}

/// What a device measures and in which band, or what it is.
fn name(project: &Project, volts: &DeviceVolts) -> String {
    if let Some(detector) = detector(project, volts) {
        let substance = Substances::of(project).name(&detector.watches);
        return format!("{substance}, {}", detector.band.letter());
    }
    let device = project.devices.get(volts.device);
    let item = device.and_then(|device| project.catalogue.item(&device.part));
    let word = match item.map(|item| &item.kind) {
        Some(ItemKind::Sounder { .. }) => "sounder",
        Some(ItemKind::Display { .. }) => "display",
        Some(ItemKind::IoUnit { .. }) => "I/O unit",
        _ => "",
    };
    word.to_owned()
}

fn grid(svg: &mut String, figures: &Figures, scale: &VoltScale, right: f64) {
    let mut volts = scale.top;
    while volts >= scale.bottom - 1e-9 {
        let (y, label) = (
            scale.y(volts),
            figures.text(volts, Unit::Volt, Decimals::Places(0)),
        );
        let _ = write!(
            svg,
            "<path class=\"volt-grid\" d=\"M{LEFT:.1} {y:.1}H{right:.1}\"/>\
             <text class=\"volt-label\" x=\"{:.1}\" y=\"{:.1}\">{label}</text>",
            LEFT - 8.0,
            y + 4.0
        );
        volts -= scale.step;
    }
}

/// The least volts needed, as a line that steps where devices need different volts.
fn least(svg: &mut String, figures: &Figures, scale: &VoltScale, marks: &[Mark<'_>], right: f64) {
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
    let _ = write!(path, "H{right:.1}");
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
         <text class=\"least-text\" x=\"{right:.1}\" y=\"{y:.1}\">{words}</text>"
    );
}

fn voltage(
    svg: &mut String,
    figures: &Figures,
    scale: &VoltScale,
    marks: &[Mark<'_>],
    supply: f64,
) {
    let mut points = format!("{LEFT:.1} {:.1}", scale.y(supply));
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
    let class = match detector(project, mark.volts).map(|detector| detector.band) {
        Some(Band::High) => "high",
        Some(Band::Breathing) => "breathing",
        Some(Band::Low) => "low",
        None => "field-device",
    };
    let tag = shown_tag(project, mark.volts);
    let key = match detector(project, mark.volts) {
        Some(detector) => format!("detector-{}", detector.id),
        None => format!("device-{}", mark.volts.device),
    };
    let floor = project.devices.get(mark.volts.device).map(|it| it.floor);
    let (letters, number) = tag.split_once('-').unwrap_or((tag, ""));
    let x = mark.x;
    let below = 203.0 + 28.0 * mark.line as f64;
    let y = scale.y(mark.volts.volts.value);
    let _ = write!(svg, "<path class=\"drop-line\" d=\"M{x:.1} {y:.1}V166\"/>");
    if mark.line > 0 {
        let end = below - 11.0;
        let _ = write!(
            svg,
            "<path class=\"drop-line\" d=\"M{x:.1} 191V{end:.1}\"/>"
        );
    }
    let _ = write!(
        svg,
        "<a href=\"{}\" data-key=\"{key}\" aria-label=\"{}\"><g class=\"device {class}\" \
         transform=\"translate({x:.1} 178)\"><circle class=\"ring\" r=\"12\"/>\
         <path class=\"divider\" d=\"M-12 0h24\"/><text class=\"letters\" y=\"-2\">{}</text>\
         <text class=\"number\" y=\"8.5\">{}</text></g></a>",
        escape(&figures.place(floor, &key)),
        escape(tag),
        escape(letters),
        escape(number)
    );
    let _ = write!(
        svg,
        "<text class=\"device-name\" x=\"{x:.1}\" y=\"{below}\">{}</text>\
         <a class=\"why\" href=\"{}\"><text class=\"device-length\" x=\"{x:.1}\" \
         y=\"{}\">{}</text></a>",
        escape(&mark.name),
        escape(&figures.why(mark.volts.distance)),
        below + 13.0,
        mark.length
    );
}

/// Text as it may stand in SVG.
fn escape(text: &str) -> String {
    let text = text.replace('&', "&amp;").replace('<', "&lt;");
    text.replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::{Quantity, Trace};
    use crate::model::{DeviceId, UnitSystem};

    fn segment(distances: &[f64]) -> SegmentResult {
        let mut trace = Trace::default();
        let mut q = |value, unit| -> Quantity { trace.measured("sample", value, unit) };
        let volts = distances
            .iter()
            .enumerate()
            .map(|(idx, &metres)| DeviceVolts {
                device: DeviceId(idx as u32 + 1),
                tag: format!("FD-{idx}"),
                distance: q(metres, Unit::Metre),
                volts: q(20.0 - 0.1 * idx as f64, Unit::Volt),
                least: q(18.0, Unit::Volt),
                current: q(0.01, Unit::Ampere),
            });
        let volts: Vec<DeviceVolts> = volts.collect();
        SegmentResult {
            cables: Vec::new(),
            length: q(100.0, Unit::Metre),
            length_limit: Some(q(500.0, Unit::Metre)),
            volts,
            worst: None,
            current: q(0.1, Unit::Ampere),
            current_limit: Some(q(1.0, Unit::Ampere)),
            n_devices: q(1.0, Unit::One),
            device_limit: Some(q(40.0, Unit::One)),
            measuring_points: q(1.0, Unit::One),
            supply: Some(q(22.0, Unit::Volt)),
        }
    }

    fn check_apart(distances: &[f64]) {
        let result = segment(distances);
        let figures = Figures::for_tests(UnitSystem::Metric);
        let width = WIDTH.max(LEFT + APART * (distances.len() as f64 + 2.5));
        let marks = marks(&Project::default(), &figures, &result, width - RIGHT_MARGIN);
        assert!(marks[0].x >= LEFT + APART - 0.01, "clear of the panel");
        assert!(
            marks.iter().all(|mark| mark.x <= width - APART),
            "inside the picture"
        );
        for pair in marks.windows(2) {
            assert!(pair[1].x - pair[0].x >= APART - 0.01, "symbols touch");
        }
    }

    #[test]
    fn symbols_never_touch_however_near_the_devices_are() {
        check_apart(&[5.0]);
        check_apart(&[1.0, 1.5, 2.0, 2.5, 90.0]);
        check_apart(&[10.0, 99.0, 99.5, 99.9, 100.0]);
        check_apart(&(1..=60).map(f64::from).collect::<Vec<f64>>());
    }

    #[test]
    fn words_on_one_line_keep_apart() {
        let distances: Vec<f64> = (1..=20).map(|n| f64::from(n) * 3.0).collect();
        let result = segment(&distances);
        let figures = Figures::for_tests(UnitSystem::Metric);
        let marks = marks(&Project::default(), &figures, &result, WIDTH - RIGHT_MARGIN);
        for line in 0..NAME_LINES {
            let on: Vec<_> = marks.iter().filter(|mark| mark.line == line).collect();
            for pair in on.windows(2) {
                let letters = (pair[0].length.len() + pair[1].length.len()) as f64 / 2.0;
                assert!(pair[1].x - pair[0].x >= letters * 4.0, "words touch");
            }
        }
    }
}

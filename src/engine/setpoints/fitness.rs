//! Whether set-points can be told from noise, come before harm, and hold for the mixture released.
//!
//! Noise is a share of the range by principle (basis of design; common practice, no source). Must
//! not change a set-point.

use crate::engine::finding::{Finding, Severity};
use crate::engine::formula::{Formula, Symbol};
use crate::engine::gas::density::OXYGEN_IN_AIR;
use crate::engine::gas::{Substances, mixture};
use crate::engine::mounting::OXYGEN;
use crate::engine::results::SetPointResult;
use crate::engine::setpoints::rules::*;
use crate::engine::setpoints::{Asked, converted, lfl_of, number};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis::{self, BasisItem};
use crate::model::*;
use crate::units::Unit;

/// Every formula of set-points.
pub static FORMULAS: &[&Formula] = &[&NOISE_FLOOR, &AVERAGE_TRIPS];

/// When an average trips from clean air on.
pub static AVERAGE_TRIPS: Formula = Formula {
    id: "setpoints.average_trips",
    title: "Time after which a steady reading brings an average to its set-point",
    expression: "t = w T / c",
    inputs: &[
        Symbol::new("w", "time averaged over", Unit::Minute).within(1.0, 480.0),
        Symbol::new("T", "set-point of the average", Unit::Ppm),
        Symbol::new("c", "steady reading, above the set-point", Unit::Ppm),
    ],
    repeats: false,
    output: Symbol::new("t", "time", Unit::Minute),
    citation: Citation::from_memory(
        "US 29 CFR 1910.1000",
        "(d)(1)(i): the average is the sum of concentration times duration over the time",
    ),
    compute: |x| x[0] * x[1] / x[2],
    example: (&[480.0, 20.0, 100.0], 96.0),
    example_from: "100 ppm for 1.6 h and clean air for 6.4 h average 20 ppm over 8 h, by hand",
};

/// How far a set-point must lie from clean air.
pub static NOISE_FLOOR: Formula = Formula {
    id: "setpoints.noise_floor",
    title: "Least distance of a set-point from the reading in clean air, per cent of the range",
    expression: "n = 3 s",
    inputs: &[Symbol::new("s", "noise and drift, of the range", Unit::Percent).within(0.0, 10.0)],
    repeats: false,
    output: Symbol::new("n", "least distance", Unit::Percent),
    citation: Citation::CommonPractice,
    compute: |x| 3.0 * x[0],
    example: (&[2.0], 6.0),
    example_from: "a catalytic detector cannot alarm below 6 %LFL of 100, by hand",
};

/// Noise of a principle.
pub fn noise(principle: Principle) -> &'static BasisItem {
    match principle {
        Principle::Catalytic => &basis::NOISE_CATALYTIC,
        Principle::Infrared => &basis::NOISE_INFRARED,
        Principle::Electrochemical => &basis::NOISE_ELECTROCHEMICAL,
        Principle::ThermalConductivity => &basis::NOISE_THERMAL,
        Principle::Semiconductor => &basis::NOISE_SEMICONDUCTOR,
        Principle::Photoionisation => &basis::NOISE_PHOTOIONISATION,
    }
}

/// What is wrong with the set-points of a detector, whoever chose them; `part` is what it is.
pub fn unfit(
    project: &Project,
    trace: &mut Trace,
    detector: &Detector,
    part: Option<&ItemKind>,
    asked: &Asked<'_>,
    points: &[SetPointResult],
) -> Vec<Finding> {
    let mut found = Vec::new();
    found.extend(too_late(project, trace, detector, points));
    if let Some(ItemKind::DetectorDevice {
        principle,
        range_low,
        range_high,
        range_unit,
        ..
    }) = part
    {
        let range = (range_high - range_low, *range_unit);
        found.extend(in_noise(
            project, trace, detector, *principle, range, points,
        ));
        found.extend(blind(project, trace, detector, *principle, asked));
    }
    let about = ItemKey::Detector(detector.id);
    let placed = |one: Finding| one.about(about).at(detector.floor, detector.at);
    found.into_iter().map(placed).collect()
}

/// A set-point that noise alone may reach.
fn in_noise(
    project: &Project,
    trace: &mut Trace,
    detector: &Detector,
    principle: Principle,
    range: (f64, Unit),
    points: &[SetPointResult],
) -> Option<Finding> {
    let lfl = lfl_of(project, &detector.watches);
    let clean = if detector.watches == OXYGEN {
        OXYGEN_IN_AIR
    } else {
        0.0
    };
    let share = project.basis.get(noise(principle));
    let (point, least) = points.iter().find_map(|point| {
        let span = converted(range.0, range.1, point.value.unit, lfl)?;
        let least = (NOISE_FLOOR.compute)(&[share]) / 100.0 * span;
        ((point.value.value - clean).abs() < least).then_some((point, least))
    })?;
    let share = trace.basis(&project.basis, noise(principle));
    let floor = trace.eval(&NOISE_FLOOR, &[share]);
    let unit = point.value.unit;
    let limit = trace.rule(&NOISE, least, unit, &[("of the range", floor)]);
    let distance = (point.value.value - clean).abs();
    let inputs = [("set-point", point.value)];
    let distance = trace.rule(&NOISE, distance, unit, &inputs);
    let message = format!(
        "The {} set-point of {} lies {} {unit} from clean air; the noise of its {} principle over \
         that range asks for {} {unit}.",
        point.rank,
        detector.tag,
        number(distance.value),
        principle.label(),
        number(least),
    );
    let remedy = "Choose a part with a smaller range or another principle.";
    let id = format!("setpoints.noise/detector-{}", detector.id);
    let finding = Finding::new(id, Severity::Warning, message, remedy);
    Some(finding.held_against(distance, limit))
}

/// A set-point at or beyond the harm it should warn of.
fn too_late(
    project: &Project,
    trace: &mut Trace,
    detector: &Detector,
    points: &[SetPointResult],
) -> Option<Finding> {
    let lfl = lfl_of(project, &detector.watches);
    for point in points {
        let Some((harm, what)) = harm(project, trace, detector, point) else {
            continue;
        };
        let unit = harm.unit;
        let Some(value) = converted(point.value.value, point.value.unit, unit, lfl) else {
            continue;
        };
        let late = match point.rising {
            true => value >= harm.value,
            false => value <= harm.value,
        };
        if late {
            let message = format!(
                "The {} set-point of {} comes at {} {unit}; {what} begins at {} {unit}.",
                point.rank,
                detector.tag,
                number(value),
                number(harm.value)
            );
            let remedy = "Choose one that warns before that.";
            let id = format!("setpoints.harm/detector-{}", detector.id);
            let finding = Finding::new(id, Severity::Blocker, message, remedy);
            return Some(finding.held_against(point.value, harm));
        }
    }
    None
}

/// Where the harm begins that a set-point warns of; `None` where no table says.
fn harm(
    project: &Project,
    trace: &mut Trace,
    detector: &Detector,
    point: &SetPointResult,
) -> Option<(Quantity, &'static str)> {
    if detector.watches == OXYGEN {
        let (rule, value, what) = match point.rising {
            true => (&HARM_ENRICHED, 25.0, "fierce fire"),
            false => (&HARM_DEPLETED, 16.0, "impaired judgement"),
        };
        return Some((trace.rule(rule, value, Unit::PercentVolume, &[]), what));
    }
    let known = Substances::of(project).find(&detector.watches)?;
    let toxic = detector.hazard == Hazard::Toxic || point.value.unit == Unit::Ppm;
    match (&known.idlh, known.lfl_in(project.head.jurisdiction)) {
        (Some(idlh), _) if toxic => {
            let title = format!("Immediately dangerous to life or health, {}", known.name);
            let idlh = trace.given(title, idlh.value, idlh.unit, idlh.citation.clone());
            let inputs = [("immediately dangerous", idlh)];
            let harm = trace.rule(&HARM_TOXIC, idlh.value, Unit::Ppm, &inputs);
            Some((harm, "what is immediately dangerous"))
        }
        (_, Some(lfl)) => {
            let title = format!("Lower flammable limit of {}", known.name);
            let lfl = trace.given(
                title,
                lfl.figure.value,
                lfl.figure.unit,
                lfl.figure.citation.clone(),
            );
            let inputs = [("lower flammable limit", lfl)];
            let harm = trace.rule(&HARM_FLAMMABLE, 100.0, Unit::PercentLfl, &inputs);
            Some((harm, "what can burn"))
        }
        _ => None,
    }
}

/// A flammable detector that does not see all that burns of a stated mixture.
fn blind(
    project: &Project,
    trace: &mut Trace,
    detector: &Detector,
    principle: Principle,
    asked: &Asked<'_>,
) -> Option<Finding> {
    if detector.hazard != Hazard::Flammable {
        return None;
    }
    let seen = |key: &String| mixture::seen_share(project, key, principle, &detector.watches);
    let (name, share) = asked
        .released
        .iter()
        .filter_map(seen)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|(_, share)| *share < SEES_ALL)?;
    let title = format!("Share of the flammable hazard of {name} that it sees");
    let citation = Citation::from_memory("IEC 60079-29-2", "mixtures");
    let seen = trace.given(title, share, Unit::One, citation.clone());
    let all = trace.given("Share that counts as all", SEES_ALL, Unit::One, citation);
    let value = trace.rule(&MIXTURE_SHARE, share, Unit::One, &[("seen", seen)]);
    let (first, second) = (
        project.basis.get(&basis::FLAMMABLE_FIRST) * share,
        project.basis.get(&basis::FLAMMABLE_SECOND) * share,
    );
    let message = format!(
        "{} is {} and sees {:.0} % of what burns in {name}; the rest would pass unseen.",
        detector.tag,
        principle.label(),
        100.0 * share
    );
    let remedy = format!(
        "Choose a principle that sees all of it, or set it to {first:.0} and {second:.0} %LFL, \
         with the maker's response factors on top."
    );
    let id = format!("setpoints.mixture_unseen/detector-{}", detector.id);
    let finding = Finding::new(id, Severity::Warning, message, remedy);
    Some(finding.held_against(value, all))
}

/// A detector that sees this share of a mixture's hazard counts as seeing it all.
const SEES_ALL: f64 = 0.9;

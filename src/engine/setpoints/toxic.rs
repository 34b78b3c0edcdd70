//! Set-points of toxic gas: exposure limits of the jurisdiction, the rules of a room's use, and
//! the averages that a limit is stated for.

use crate::engine::formula::Rule;
use crate::engine::gas::{ExposureLimit, LimitKind, Substance, mixture};
use crate::engine::mounting::within_sentence;
use crate::engine::setpoints::fitness::AVERAGE_TRIPS;
use crate::engine::setpoints::rules::*;
use crate::engine::setpoints::{Asked, Point, by_rule, number};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis::{self, BasisItem};
use crate::model::*;
use crate::units::Unit;

const AMMONIA: &str = "7664-41-7";
const CARBON_DIOXIDE: &str = "124-38-9";
const CARBON_MONOXIDE: &str = "630-08-0";
const NITROGEN_DIOXIDE: &str = "10102-44-0";

/// The set-points of a toxic gas, lowest first; time-weighted alarms beside them at the end.
pub(super) fn points(
    project: &Project,
    trace: &mut Trace,
    substance: &Substance,
    asked: &Asked<'_>,
) -> Vec<Point> {
    let by_use = by_use(project, trace, substance, asked);
    if !by_use.is_empty() {
        return by_use;
    }
    let states_limit = |limit: &ExposureLimit| !limit.stated.is_empty();
    let stated = substance
        .limit_in(project.head.jurisdiction)
        .is_some_and(states_limit);
    if substance.key == CARBON_DIOXIDE && !stated {
        return carbon_dioxide(project, trace);
    }
    let jurisdiction = project.head.jurisdiction;
    let mut points = match substance.limit_in(jurisdiction) {
        Some(limit) => by_limit(project, trace, substance, limit),
        None => by_idlh(project, trace, substance),
    };
    cap(project, trace, substance, &mut points);
    lower_for_mixtures(project, trace, substance, asked, &mut points);
    if is_ammonia_plant(project, asked) {
        let rule = &AMMONIA_PLANT_LEVELS;
        let value = by_rule(project, trace, rule, &basis::AMMONIA_PLANT_PRE_ALARM);
        let reason = format!(
            "Pre-alarm of the plant, EN 378-3: {} ppm; people are warned before.",
            number(value.value)
        );
        let ranked = points.iter().take_while(|point| !point.beside).count();
        points.insert(ranked, Point::rising(value, reason));
    }
    points
}

/// Whether ammonia is measured in a refrigerating plant's room, with the plant's levels wanted.
pub(super) fn is_ammonia_plant(project: &Project, asked: &Asked<'_>) -> bool {
    asked.measures == AMMONIA
        && project.head.jurisdiction != Jurisdiction::Us
        && project.basis.is_on(&basis::AMMONIA_PLANT_LEVELS)
        && !asked.uses.is_empty()
        && asked
            .uses
            .iter()
            .all(|one| *one == RoomUse::RefrigerationRoom)
}

/// The rules for what a room is used for; only where all the rooms asked about are used so.
fn by_use(
    project: &Project,
    trace: &mut Trace,
    substance: &Substance,
    asked: &Asked<'_>,
) -> Vec<Point> {
    let all = |room_use| !asked.uses.is_empty() && asked.uses.iter().all(|one| *one == room_use);
    let mut made = |rule: &'static Rule, items: &[(&'static BasisItem, Averaging)]| {
        let point = |(item, averaging): &(&'static BasisItem, Averaging)| {
            let value = by_rule(project, trace, rule, item);
            let over = match averaging {
                Averaging::Instant => String::new(),
                averaging => format!(", {}", averaging.label()),
            };
            let reason = format!("{}: {} ppm{over}.", rule.title, number(value.value));
            Point {
                averaging: *averaging,
                ..Point::rising(value, reason)
            }
        };
        items.iter().map(point).collect::<Vec<Point>>()
    };
    let car_park = |first, second, third| {
        [
            (first, Averaging::FifteenMinutes),
            (second, Averaging::FifteenMinutes),
            (third, Averaging::OneMinute),
        ]
    };
    match substance.key.as_ref() {
        CARBON_MONOXIDE if all(RoomUse::CarPark) => made(
            &CAR_PARK,
            &car_park(
                &basis::CAR_PARK_CO_FIRST,
                &basis::CAR_PARK_CO_SECOND,
                &basis::CAR_PARK_CO_THIRD,
            ),
        ),
        NITROGEN_DIOXIDE if all(RoomUse::CarPark) => made(
            &CAR_PARK,
            &car_park(
                &basis::CAR_PARK_NO2_FIRST,
                &basis::CAR_PARK_NO2_SECOND,
                &basis::CAR_PARK_NO2_THIRD,
            ),
        ),
        AMMONIA
            if all(RoomUse::RefrigerationRoom) && project.head.jurisdiction == Jurisdiction::Us =>
        {
            made(
                &AMMONIA_PLANT,
                &[
                    (&basis::AMMONIA_PLANT_FIRST, Averaging::Instant),
                    (&basis::AMMONIA_PLANT_SECOND, Averaging::Instant),
                ],
            )
        }
        _ => Vec::new(),
    }
}

fn carbon_dioxide(project: &Project, trace: &mut Trace) -> Vec<Point> {
    let (rule, second) = match project.head.jurisdiction {
        Jurisdiction::Us => (&CARBON_DIOXIDE_US, &basis::CARBON_DIOXIDE_SECOND_US),
        Jurisdiction::Eu | Jurisdiction::Uk => {
            (&CARBON_DIOXIDE_EUROPE, &basis::CARBON_DIOXIDE_SECOND)
        }
    };
    let both = [
        (
            &basis::CARBON_DIOXIDE_FIRST,
            "8-hour limit: find the leak and ventilate",
        ),
        (second, "Short exposure: evacuate"),
    ];
    let point = |(item, what): (&'static BasisItem, &str)| {
        let value = by_rule(project, trace, rule, item);
        Point::rising(value, format!("{what}, {} ppm.", number(value.value)))
    };
    both.into_iter().map(point).collect()
}

/// 5 and 10 % of what is immediately dangerous; none where that is not known either.
fn by_idlh(project: &Project, trace: &mut Trace, substance: &Substance) -> Vec<Point> {
    let Some(idlh) = &substance.idlh else {
        return Vec::new();
    };
    let name = within_sentence(&substance.name);
    let title = format!("Immediately dangerous to life or health, {name}");
    let idlh = trace.given(title, idlh.value, idlh.unit, idlh.citation.clone());
    [&basis::TOXIC_IDLH_FIRST, &basis::TOXIC_IDLH_SECOND]
        .into_iter()
        .map(|item| {
            let share = trace.basis(&project.basis, item);
            let inputs = [
                ("immediately dangerous to life or health", idlh),
                ("share", share),
            ];
            let value = idlh.value * share.value / 100.0;
            let value = trace.rule(&TOXIC_IDLH, value, Unit::Ppm, &inputs);
            let reason = format!(
                "No exposure limit is known: {} % of what is immediately dangerous.",
                number(share.value)
            );
            Point::rising(value, reason)
        })
        .collect()
}

/// By the exposure limit: of a working day and of short exposure, or half a ceiling and the
/// ceiling.
fn by_limit(
    project: &Project,
    trace: &mut Trace,
    substance: &Substance,
    limit: &ExposureLimit,
) -> Vec<Point> {
    let whose = limit.whose(limit.long_kind());
    let foreign = |kind| match limit.applies_in(kind, project.head.jurisdiction) {
        true => "",
        false => " (the jurisdiction has none of its own)",
    };
    let own = foreign(limit.long_kind());
    let name = within_sentence(&substance.name);
    let long = limit.long_ppm();
    let kind = kind(limit);
    let title = format!("{whose} of {name}, {kind}");
    let cited = limit.citation_of(limit.long_kind());
    let from = trace.given(title, long, Unit::Ppm, cited);
    let mut share = |item: &'static BasisItem| trace.basis(&project.basis, item);
    if kind == "ceiling" {
        let half = share(&basis::TOXIC_CEILING);
        let inputs = [("ceiling", from), ("share", half)];
        let first = trace.rule(
            &TOXIC_CEILING_FIRST,
            long * half.value / 100.0,
            Unit::Ppm,
            &inputs,
        );
        let second = trace.rule(&TOXIC_CEILING, long, Unit::Ppm, &[("ceiling", from)]);
        let before = format!(
            "{} % of the {whose}, a ceiling{own} never to be exceeded: warns before it.",
            number(half.value)
        );
        let at = format!("{whose}, ceiling{own}: {} ppm.", number(long));
        return vec![Point::rising(first, before), Point::rising(second, at)];
    }
    let (first_share, second_share) = (share(&basis::TOXIC_FIRST), share(&basis::TOXIC_SECOND));
    let twice = share(&basis::TOXIC_TWICE);
    let first = long * first_share.value / 100.0;
    let inputs = [("exposure limit", from), ("share", first_share)];
    let first = trace.rule(&TOXIC_FIRST, first, Unit::Ppm, &inputs);
    let reason = format!("{whose}, {kind}{own}: {} ppm.", number(long));
    let mut points = vec![Point::rising(first, reason)];
    match limit.short_ppm().filter(|short| *short > long) {
        Some(short) => {
            let (whose, own) = (limit.whose(limit.short_kind()), foreign(limit.short_kind()));
            let title = format!("{whose} of {name}, short");
            let cited = limit.citation_of(limit.short_kind());
            let from = trace.given(title, short, Unit::Ppm, cited);
            let inputs = [("exposure limit, short", from), ("share", second_share)];
            let value = (short * second_share.value / 100.0).max(first.value);
            let second = trace.rule(&TOXIC_SECOND, value, Unit::Ppm, &inputs);
            let reason = format!("{whose}, short exposure{own}: {} ppm.", number(short));
            points.push(Point::rising(second, reason));
        }
        None => {
            let inputs = [("first set-point", first), ("share", twice)];
            let value = first.value * twice.value / 100.0;
            let second = trace.rule(&TOXIC_TWICE, value, Unit::Ppm, &inputs);
            let reason = format!("Twice the {kind}, as no higher short limit is stated.");
            points.push(Point::rising(second, reason));
        }
    }
    let steady = points.last().map(|second| second.value);
    points.extend(averages(project, trace, limit, steady));
    points
}

fn kind(limit: &ExposureLimit) -> &'static str {
    match limit.long_kind() {
        LimitKind::Long => "8-hour average",
        LimitKind::Short => "15-minute average",
        LimitKind::Ceiling => "ceiling",
    }
}

/// Alarms on the averages that the limit is stated for, where the basis of design wants them.
fn averages(
    project: &Project,
    trace: &mut Trace,
    limit: &ExposureLimit,
    steady: Option<Quantity>,
) -> Vec<Point> {
    if !project.basis.is_on(&basis::TIME_WEIGHTED) {
        return Vec::new();
    }
    let both = [
        (LimitKind::Short, Averaging::FifteenMinutes),
        (LimitKind::Long, Averaging::EightHours),
    ];
    let point = |(kind, averaging): (LimitKind, Averaging)| {
        let value = limit.ppm(kind)?;
        let whose = limit.whose(kind);
        let title = format!("{whose}, {}", averaging.label());
        let from = trace.given(title, value, Unit::Ppm, limit.citation_of(kind));
        let inputs = [("exposure limit", from)];
        let value = trace.rule(&TIME_WEIGHTED, value, Unit::Ppm, &inputs);
        let mut reason = format!(
            "{whose} as it is stated: the {} over {} ppm.",
            averaging.label(),
            number(value.value)
        );
        if let Some(steady) = steady.filter(|steady| steady.value > value.value) {
            let window = trace.given(
                "Time averaged over",
                averaging.minutes(),
                Unit::Minute,
                limit.citation_of(kind),
            );
            let trips = trace.eval(&AVERAGE_TRIPS, &[window, value, steady]);
            reason.push_str(&format!(
                " A steady {} ppm trips it after {:.0} min.",
                number(steady.value),
                trips.value
            ));
        }
        Some(Point {
            averaging,
            beside: true,
            ..Point::rising(value, reason)
        })
    };
    both.into_iter().filter_map(point).collect()
}

/// No set-point lies above half of what is immediately dangerous, nor above a quarter of the lower
/// flammable limit.
fn cap(project: &Project, trace: &mut Trace, substance: &Substance, points: &mut [Point]) {
    let idlh = substance.idlh.as_ref();
    let lfl = substance.lfl_in(project.head.jurisdiction);
    let caps = [
        idlh.map(|idlh| {
            (
                idlh,
                0.5 * idlh.value,
                "half of what is immediately dangerous",
            )
        }),
        lfl.map(|lfl| {
            let quarter = 0.25 * 1e4 * lfl.figure.value;
            (
                &lfl.figure,
                quarter,
                "a quarter of the lower flammable limit",
            )
        }),
    ];
    for (figure, most, words) in caps.into_iter().flatten() {
        let ranked = points.iter().filter(|point| !point.beside).count();
        for (idx, point) in points.iter_mut().enumerate() {
            // The first keeps below the second where both would meet the cap.
            let is_first = ranked > 1 && idx == 0;
            let kept = match is_first {
                true => point.value.value < most,
                false => point.value.value <= most,
            };
            if kept {
                continue;
            }
            let most = if is_first { most / 2.0 } else { most };
            let from = trace.given(words, figure.value, figure.unit, figure.citation.clone());
            let inputs = [("by the limit", point.value), ("held against", from)];
            point.value = trace.rule(&TOXIC_CAP, most, Unit::Ppm, &inputs);
            point.reason = format!("{} Lowered to {} ppm: {words}.", point.reason, number(most));
        }
    }
}

/// Where the gas is watched as a part of mixtures, its set-points fall by its share of their
/// hazard, as the other parts harm as well.
fn lower_for_mixtures(
    project: &Project,
    trace: &mut Trace,
    substance: &Substance,
    asked: &Asked<'_>,
    points: &mut [Point],
) {
    let Some((name, share)) = mixture::least_share(project, asked.released, &substance.key) else {
        return;
    };
    let title = format!("Share of {} in the hazard of {name}", substance.name);
    let citation = Citation::from_memory("US 29 CFR 1910.1000", "(d)(2)(i), additive rule");
    let share: Quantity = trace.given(title, share, Unit::One, citation);
    for point in points {
        let inputs = [
            ("by its own limit", point.value),
            ("share of the hazard", share),
        ];
        let value = point.value.value * share.value;
        point.value = trace.rule(&MIXTURE_SHARE, value, Unit::Ppm, &inputs);
        point.reason = format!(
            "{} Lowered to {} ppm, as it stands for all that harms in {name}.",
            point.reason,
            number(value)
        );
    }
}

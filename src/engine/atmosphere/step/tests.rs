//! Releases in drawn rooms. Expected ways and bands are common practice; figures by hand where said.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::{Inputs, step};
use crate::engine::airspace::Airspaces;
use crate::engine::atmosphere::{Course, Discharge};
use crate::engine::drawn::{detector, empty, room, source};
use crate::engine::finding::{Finding, Severity};
use crate::engine::results::*;
use crate::engine::trace::Trace;
use crate::engine::{coverage, mounting};
use crate::model::*;
use crate::units::{Metres, Unit};

/// What comes out, m3/h, its density as it leaves, and how much there is, m3.
#[derive(Debug, Clone, Copy)]
pub(super) struct Out(pub f64, pub f64, pub Option<f64>);

/// A room of 5 m by 4 m and 3 m high with one source in its middle, 1 m above the floor.
pub(super) fn one(substance: &str, held: Holding) -> Project {
    let mut project = empty();
    project.rooms = [room(1, [0.0, 0.0], [5.0, 4.0], RoomUse::Laboratory)]
        .into_iter()
        .collect();
    project.sources = [source(1, [2.5, 2.0], substance, held)]
        .into_iter()
        .collect();
    project
}

pub(super) struct Said {
    pub release: ReleaseResult,
    pub findings: Vec<Finding>,
    pub trace: Trace,
}

pub(super) fn run(project: &Project, out: Out) -> Said {
    run_so(project, out, &[], false)
}

/// The same, with questions about figures of the release that are only assumed.
fn run_asked(project: &Project, out: Out, asked: &[Question]) -> Said {
    run_so(project, out, asked, false)
}

/// With a pool on the floor, or from a bench.
fn run_pool(project: &Project, out: Out, pool: bool) -> Said {
    run_so(project, out, &[], pool)
}

fn run_so(project: &Project, out: Out, asked: &[Question], pool: bool) -> Said {
    let spaces = Airspaces::new(project);
    let mut trace = Trace::default();
    let (mut said, mut questions) = (Vec::new(), Vec::new());
    let sources = mounting::mount(project, &spaces, &mut trace, &mut said, &mut questions);
    let found = coverage::assess(project, &spaces, &sources, None, &mut trace, &mut said);
    let watchers = coverage::watchers(project, &found.needs, &found.detectors, &mut trace);
    let unit = Unit::CubicMetrePerSecond;
    let discharge = Discharge {
        rate: trace.given("rate", out.0 / 3600.0, unit, Citation::Designer),
        relative_density: trace.given("density", out.1, Unit::One, Citation::Designer),
        total: out
            .2
            .map(|all| trace.given("all", all, Unit::CubicMetre, Citation::Designer)),
        course: Course::Steady,
        pool: pool.then(|| trace.measured("pool", 0.5, Unit::SquareMetre)),
    };
    let discharges = BTreeMap::from([(SourceId(1), discharge)]);
    let inputs = Inputs {
        project,
        spaces: &spaces,
        discharges: &discharges,
        watchers: &watchers,
        questions: asked,
    };
    let mut findings = Vec::new();
    let mut releases = step(inputs, &mut trace, &mut findings);
    let release = releases
        .remove(&SourceId(1))
        .expect("the source discharges");
    Said {
        release,
        findings,
        trace,
    }
}

pub(super) const METHANE: &str = "74-82-8";

#[test]
fn light_gas_is_seen_under_the_ceiling_before_it_mixes_through_the_room() {
    let mut project = one(METHANE, Holding::Gas);
    project.detectors = [detector(1, [2.5, 0.1], 2.7, METHANE, Band::High)]
        .into_iter()
        .collect();
    let said = run(&project, Out(20.0, 0.5539, None));
    let [case] = &said.release.cases[..] else {
        panic!("one case: {:?}", said.release.cases.len())
    };
    assert_eq!(case.motion, Motion::Rises);
    let alarm = &case.alarms[0];
    assert_eq!(alarm.detector, Some(DetectorId(1)));
    // 20 %LFL of 4.4 %vol; mixed by hand: -V/(Q+q) ln(1 - c (Q+q)/(100 q)), V 60, Q 120, q 20.
    assert!((alarm.set_point_gas.value - 0.88).abs() < 1e-9);
    let mixed = -60.0 / 140.0 * 3600.0 * (1.0f64 - 0.88 * 140.0 / 2000.0).ln();
    let found = alarm.gas_mixed.expect("mixed").value;
    assert!(
        (found / mixed - 1.0).abs() < 2e-3,
        "{found} against {mixed}"
    );
    assert!(alarm.gas_layered.expect("layered").value < found);
    assert_eq!(
        alarm.delay.value, 70.0,
        "60 s, 5 s, 3 s and 2 s of the basis of design"
    );
    assert_eq!(
        case.harms[0].verdict,
        Verdict::InTime,
        "{}",
        case.harms[0].sentence
    );
    let [least, most] = alarm.gas_layered_band;
    assert!(least.is_some() && most.is_some());
    assert!(case.times.len() <= 62 && case.times.len() == case.mixed.len());
    assert!(said.findings.is_empty(), "{:?}", said.findings);
}

#[test]
fn cold_methane_falls_first_and_rises_once_it_has_warmed() {
    let said = run(
        &one(METHANE, Holding::CryogenicLiquid),
        Out(30.0, 1.508, Some(6.0)),
    );
    let motions: Vec<Motion> = said.release.cases.iter().map(|case| case.motion).collect();
    assert_eq!(motions, [Motion::Falls, Motion::Rises]);
    let curves = said.release.mixing.expect("it leaves cold");
    assert!(curves.crossing_adiabatic.is_none() && curves.crossing_heated.is_some());
    assert_eq!(curves.gas.len(), curves.heated.len());
    for case in &said.release.cases {
        let bands: BTreeSet<Band> = case.alarms.iter().map(|alarm| alarm.band).collect();
        let wrong = if case.motion == Motion::Falls {
            Band::High
        } else {
            Band::Low
        };
        assert!(!bands.contains(&wrong), "{bands:?}");
    }
}

#[test]
fn a_large_release_of_nitrogen_leaves_the_oxygen_of_the_published_form() {
    let said = run(
        &one("7727-37-9", Holding::CryogenicLiquid),
        Out(60.0, 3.83, Some(17.075)),
    );
    let oxygen = said.release.final_oxygen.expect("it displaces oxygen");
    assert!((oxygen.plug.value - 20.9 * (60.0 - 17.075) / 60.0).abs() < 1e-9);
    assert!((oxygen.mixed.value - 20.9 * (-17.075f64 / 60.0).exp()).abs() < 1e-9);
    let harm = &said.release.cases[0].harms[0];
    assert_eq!(harm.hazard, Hazard::OxygenDepletion);
    assert_eq!(harm.level.value, 18.0);
    let gas = harm.scale.gas(18.0);
    assert!((gas - 100.0 * (1.0 - 18.0 / 20.9)).abs() < 1e-9);
}

#[test]
fn an_alarm_after_the_harm_blocks() {
    // 2000 m3/h of carbon monoxide: 1200 ppm, the mean at once; the alarm takes 70 s at least.
    let mut project = one("630-08-0", Holding::Gas);
    let Said {
        findings: assumed,
        release: assumed_release,
        ..
    } = run(&project, Out(2000.0, 0.967, None));
    let warns = |finding: &Finding| finding.severity == Severity::Warning;
    assert!(
        !assumed.is_empty() && assumed.iter().all(warns),
        "{assumed:?}"
    );
    let source = project.sources.get(SourceId(1)).unwrap().clone();
    let flow = crate::model::release::KnownFlow::default();
    let release = Some(Release::Flow(flow));
    let mut open = [question(
        "What can come out of S, and how fast?",
        &assumed_release,
    )];
    let releases = Releases::from([(SourceId(1), assumed_release)]);
    crate::engine::atmosphere::into_questions(&project, &releases, &mut open);
    let told = &open[0].question;
    assert!(told.contains("decides whether the design stands"), "{told}");
    project.sources.put(ReleaseSource { release, ..source });
    let said = run(&project, Out(2000.0, 0.967, None));
    let bad: Vec<&Finding> = said
        .findings
        .iter()
        .filter(|finding| finding.id.starts_with("alarm.late"))
        .collect();
    assert!(!bad.is_empty(), "{:?}", said.findings);
    assert!(
        bad.iter()
            .all(|finding| finding.severity == Severity::Blocker)
    );
    assert!(
        bad[0].remedy.contains("no place and no set-point") && bad[0].remedy.contains("70 s"),
        "{}",
        bad[0].remedy
    );
    let (alarm, harm) = (bad[0].value.expect("alarm"), bad[0].limit.expect("harm"));
    assert!(alarm.value > harm.value && !bad[0].remedy.is_empty());
}

fn question(words: &str, release: &ReleaseResult) -> Question {
    Question {
        about: ItemKey::Source(SourceId(1)),
        question: words.to_owned(),
        assumed: release.rate,
    }
}

/// A kind that is stated while its figure is not is no stated release: it warns, and asks.
#[test]
fn a_release_whose_figure_is_assumed_warns_and_asks_for_it() {
    let mut project = one("630-08-0", Holding::Gas);
    let source = project.sources.get(SourceId(1)).unwrap().clone();
    let charge = crate::model::release::RefrigerantCharge::default();
    let release = Some(Release::Charge(charge));
    project.sources.put(ReleaseSource { release, ..source });
    let out = Out(2000.0, 0.967, None);
    let release = run(&project, out).release;
    let asked = [question("How much does S hold?", &release)];
    let late = |said: Said| {
        let mut all = said.findings.into_iter();
        let found = all.find(|finding| finding.id.starts_with("alarm.late"));
        found.expect("the alarm comes late")
    };
    let open = late(run_asked(&project, out, &asked));
    assert_eq!(open.severity, Severity::Warning);
    assert!(
        open.remedy.starts_with("How much does S hold?"),
        "{}",
        open.remedy
    );
    assert!(
        open.message.contains("which is only assumed, where people"),
        "{}",
        open.message
    );
    assert_eq!(late(run(&project, out)).severity, Severity::Blocker);
}

/// 0.5 m³/h of methane in 60 m³ at 0.1 air changes: 100 x 0.5 / 6.5 = 7.69 %vol in the end, 4.4
/// %vol after -60/6.5 ln(1 - 4.4/7.692) = 7.83 h, by hand; 4 h are looked at.
#[test]
fn a_harm_that_comes_after_the_time_looked_at_is_not_denied() {
    let mut project = one(METHANE, Holding::Gas);
    let mut room = project.rooms.get(RoomId(1)).unwrap().clone();
    room.air_changes = Some(0.1);
    project.rooms.put(room);
    let said = run(&project, Out(0.5, 0.5539, None));
    let case = &said.release.cases[0];
    let harm = &case.harms[0];
    assert_eq!((harm.verdict, harm.harm), (Verdict::NoHarm, None));
    let later = harm.harm_later.expect("it would come").value / 3600.0;
    assert!((later - 7.83).abs() < 0.01, "{later} h");
    let told = &harm.sentence;
    assert!(
        told.contains("within 4.0 h (if the release went on, it would after 7.8 h)"),
        "{told}"
    );
    let told = said.release.sentences.join(" ");
    let both = "at most within 4.0 h; going on longer it would settle at 7.69 %vol";
    assert!(told.contains(both), "{told}");
}

/// Of each picture the alarm is its gas and the same delay; what decides is one of the pictures.
#[test]
fn each_picture_has_its_own_alarm_and_the_verdict_names_one() {
    let said = run(&one(METHANE, Holding::Gas), Out(20.0, 0.5539, None));
    let case = &said.release.cases[0];
    let (alarm, harm) = (&case.alarms[0], &case.harms[0]);
    let delayed = |gas: Option<crate::engine::Quantity>| gas.map(|gas| gas.value + 70.0);
    let time = |time: Option<crate::engine::Quantity>| time.map(|time| time.value);
    assert_eq!(time(alarm.alarm_layered), delayed(alarm.gas_layered));
    assert_eq!(time(alarm.alarm_mixed), delayed(alarm.gas_mixed));
    assert_eq!(
        time(alarm.alarm),
        time(alarm.alarm_mixed),
        "the later of the two"
    );
    let pair = match harm.picture.expect("one decides") {
        Picture::Layered => (harm.alarm_layered, harm.harm_layered),
        Picture::Mixed => (harm.alarm_mixed, harm.harm_mixed),
    };
    assert_eq!(
        (time(pair.0), time(pair.1)),
        (time(harm.alarm), time(harm.harm))
    );
}

/// 0.0025 %vol is no nought.
#[test]
fn a_small_mean_is_said_with_its_digits() {
    let said = run(&one(METHANE, Holding::Gas), Out(0.003, 0.5539, None));
    let found = the_unreached(&said);
    assert!(found.contains("the mean comes to 0.00"), "{found}");
    assert!(!found.contains("0.00 %vol"), "{found}");
}

fn the_unreached(said: &Said) -> String {
    let mut all = said.findings.iter();
    let found = all.find(|finding| finding.id.starts_with("alarm.unreached"));
    found.expect("nothing is seen").message.clone()
}

#[test]
fn what_cannot_reach_a_set_point_is_said_and_does_not_block() {
    let said = run(&one(METHANE, Holding::Gas), Out(0.01, 0.5539, Some(0.02)));
    let [finding] = &said.findings[..] else {
        panic!("{:?}", said.findings)
    };
    assert_eq!(finding.severity, Severity::Note);
    assert!(finding.id.starts_with("alarm.unreached"), "{finding:?}");
    assert!(finding.value.expect("mean").value < finding.limit.expect("set-point").value);
}

#[test]
fn a_room_of_unknown_height_and_air_changes_is_assumed_and_said() {
    let mut project = one(METHANE, Holding::Gas);
    let mut room = project.rooms.get(RoomId(1)).unwrap().clone();
    (room.ceiling, room.air_changes) = (None, None);
    project.rooms.put(room);
    let said = run(&project, Out(5.0, 0.5539, None));
    let notes = said.release.notes.join(" ");
    assert!(
        notes.contains("ceiling height of") && notes.contains("air changes of"),
        "{notes}"
    );
    assert_eq!(said.release.volume.expect("assumed").value, 60.0);
    let [finding] = &said.findings[..] else {
        panic!("{:?}", said.findings)
    };
    assert_eq!(finding.id, "room.assumed/room-1");
    assert!(
        finding.message.contains("3.0 m is assumed") && finding.message.contains("0.5 an hour"),
        "{}",
        finding.message
    );
}

#[test]
fn nothing_is_computed_in_the_open_or_of_nothing() {
    let mut project = one(METHANE, Holding::Gas);
    for (enclosure, n_cases) in [(Enclosure::Outdoor, 0), (Enclosure::Enclosed, 1)] {
        let room = project.rooms.get(RoomId(1)).unwrap().clone();
        project.rooms.put(Room { enclosure, ..room });
        let said = run(&project, Out(5.0, 0.5539, None));
        assert_eq!(said.release.cases.len(), n_cases);
        assert_eq!(said.release.volume.is_none(), n_cases == 0);
    }
    for rate in [0.0, -3.0, f64::NAN, f64::INFINITY] {
        let said = run(&project, Out(rate, 0.5539, None));
        assert!(
            said.release.cases.is_empty() && !said.release.notes.is_empty(),
            "{rate}"
        );
    }
}

/// Saturated vapour of acetone is 24.3 %vol at 20 °C (CoolProp 8.0.0): it lies as it came off, and
/// the layer grows by no more than comes off.
#[test]
fn vapour_of_a_spill_on_a_bench_lies_on_the_floor_undiluted() {
    let project = one("67-64-1", Holding::Liquid);
    let out = Out(0.5, 1.2435, None);
    let held = |pool| run_pool(&project, out, pool).release.cases.remove(0);
    let (pool, falls) = (held(true), held(false));
    assert_eq!((pool.motion, pool.from.value), (Motion::Falls, 0.0));
    assert!(falls.from.value > 0.5, "{:?}", falls.from);
    let gas = pool.layer[pool.layer.len() / 4];
    assert!((gas - 24.3).abs() < 0.3, "{gas}");
    let (deep, after) = (pool.front[8], pool.times[8]);
    let comes_off = 0.5 / 3600.0 / 0.243 * after / 20.0;
    assert!((deep / comes_off - 1.0).abs() < 0.02, "{deep} {comes_off}");
    let most = pool.plume.as_ref().expect("it falls").dilution.value;
    assert!(
        (most - 24.3).abs() < 0.3,
        "no more in it than comes off: {most}"
    );
    let seen = |case: &ReleaseCase| {
        case.alarms[0]
            .gas_layered
            .map_or(f64::INFINITY, |at| at.value)
    };
    assert!(
        seen(&pool) > seen(&falls),
        "diluted it would be deeper, and seen sooner"
    );
}

/// Oxygen rising at the floor and falling at the ceiling: a dense gas is the mirror image.
#[test]
fn a_dense_plume_is_the_mirror_image_of_a_light_one() {
    let mut project = one("74-98-6", Holding::Gas);
    let at = |project: &mut Project, height: f64| {
        let source = project.sources.get(SourceId(1)).unwrap().clone();
        let height = Some(Metres::new(height));
        project.sources.put(ReleaseSource { height, ..source });
    };
    at(&mut project, 2.0);
    let heavy = run(&project, Out(8.0, 1.4461, None)).release;
    let mut project = one(METHANE, Holding::Gas);
    at(&mut project, 1.0);
    let light = run(&project, Out(8.0, 0.5539, None)).release;
    let (heavy, light) = (&heavy.cases[0], &light.cases[0]);
    assert_eq!((heavy.motion, light.motion), (Motion::Falls, Motion::Rises));
    assert_eq!(heavy.plume.as_ref().unwrap().run.value, 2.0);
    assert_eq!(light.plume.as_ref().unwrap().run.value, 2.0);
    assert!(heavy.front.iter().is_sorted() && light.front.iter().rev().is_sorted());
}

#[test]
fn every_formula_gives_the_result_of_its_example() {
    for formula in crate::engine::atmosphere::formulas() {
        let (inputs, expected) = formula.example;
        let found = (formula.compute)(inputs);
        assert!(
            (found / expected - 1.0).abs() < 1e-3,
            "{}: {found}",
            formula.id
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_larger_release_is_seen_no_later(rate in 1.0..40.0f64, more in 1.1..4.0f64) {
        let project = one(METHANE, Holding::Gas);
        let seen = |rate| {
            let said = run(&project, Out(rate, 0.5539, None));
            let alarm = said.release.cases[0].alarms[0].clone();
            let time = |time: Option<crate::engine::Quantity>| time.map_or(f64::INFINITY, |t| t.value);
            (time(alarm.gas_layered), time(alarm.gas_mixed))
        };
        let (small, large) = (seen(rate), seen(rate * more));
        prop_assert!(large.0 <= small.0 * 1.001 && large.1 <= small.1 * 1.001, "{small:?} {large:?}");
    }

    #[test]
    fn whatever_comes_out_the_figures_are_finite_and_grounded(
        rate in 1e-6..1e5f64,
        density in 0.05..20.0f64,
        total in proptest::option::of(1e-6..1e5f64),
        height in 0.0..6.0f64,
    ) {
        let mut project = one(METHANE, Holding::Gas);
        let source = project.sources.get(SourceId(1)).unwrap().clone();
        project.sources.put(ReleaseSource { height: Some(Metres::new(height)), ..source });
        let said = run(&project, Out(rate, density, total));
        for case in &said.release.cases {
            for series in [&case.times, &case.front, &case.layer, &case.occupied, &case.mixed] {
                prop_assert!(series.iter().all(|value| value.is_finite() && *value >= 0.0));
            }
            prop_assert!(case.mixed.iter().all(|gas| *gas <= 100.01));
            prop_assert!(case.layer.iter().all(|gas| *gas <= 100.01));
            prop_assert!(case.front.iter().all(|front| *front <= 3.01));
            prop_assert!(case.times.is_sorted());
        }
        prop_assert!(said.trace.entries().iter().all(|entry| entry.value.is_finite()));
    }
}

//! When the watchers of a case alarm, and the harms those alarms are held against.

use crate::engine::atmosphere::air::SharedAir;
use crate::engine::atmosphere::alarm::{self, Pictures, Watcher};
use crate::engine::atmosphere::course::{Courses, four_digits};
use crate::engine::atmosphere::layer::Moment;
use crate::engine::atmosphere::state::{self, State};
use crate::engine::atmosphere::{harm, room, words};
use crate::engine::results::*;
use crate::engine::trace::Quantity;
use crate::model::*;
use crate::units::Unit;

use super::Of;

impl Of<'_> {
    /// The alarms of a case and the harms they are held against.
    pub(super) fn watched(
        &mut self,
        (state, air): (&State, &SharedAir),
        courses: &Courses,
        n_cases: usize,
        case: &mut ReleaseCase,
    ) {
        let mut soonest = Soonest::default();
        let mut set_points = Vec::new();
        let watchers = self.watchers;
        for watcher in watchers {
            if n_cases > 1 && !state.serves(watcher.band) {
                continue;
            }
            let Some(mut alarm) = self.alarm(watcher, courses) else {
                continue;
            };
            let arrival = courses.arrival(watcher.distance.value, 0).unwrap_or(0.0);
            let course = case.course_from(watcher.height.value, arrival);
            let kept = course.into_iter();
            alarm.at_detector = kept
                .map(|(time, gas)| (four_digits(time), four_digits(gas)))
                .collect();
            set_points.push((alarm.scale, alarm.set_point));
            soonest.take(&alarm);
            keep_the_first(&mut case.alarms, alarm);
        }
        if case.alarms.is_empty() {
            return;
        }
        for hazard in hazards(watchers) {
            let level = harm::level(
                self.project,
                self.trace,
                self.substance,
                &self.name,
                hazard,
                &set_points,
            );
            let Some(level) = level else { continue };
            self.missing.extend(level.missing.clone());
            let mut harm = self.harm(hazard, level, courses, soonest);
            if let Some(steady) = case.steady {
                self.harmed_later(&mut harm, steady, air);
            }
            harm.sentence = words::of_harm(&harm, state.motion, self.common.horizon);
            case.harms.push(harm);
        }
        for idx in 0..case.alarms.len() {
            case.alarms[idx].picture = decides(&case.alarms[idx], case);
        }
    }

    /// When one watcher sees the release.
    fn alarm(&mut self, watcher: &Watcher, courses: &Courses) -> Option<AlarmResult> {
        let (project, substance) = (self.project, self.substance);
        let scale_in =
            |unit| harm::scale(project, substance, &watcher.measures, watcher.oxygen, unit);
        let (point, scale) = alarm::first_set_point(&watcher.set_points, scale_in)?;
        let gas = scale.gas(point.value.value);
        let set_point_gas = self.trace.rule(
            &state::AS_GAS,
            gas,
            Unit::PercentVolume,
            &[("set-point", point.value)],
        );
        let height = watcher.height.value;
        let at = |moments: &[Moment], place: usize| {
            let arrival = courses.arrival(watcher.distance.value, place)?;
            courses.stage.layered_at(moments, height, gas, arrival)
        };
        let pictures = Pictures {
            layered: at(&courses.usual, 0),
            mixed: alarm::first(&courses.usual, gas, |moment| moment.mixed),
        };
        let band = [at(&courses.least, 1), at(&courses.most, 2)];
        let inputs = [
            ("gas at the set-point", set_point_gas),
            ("height", watcher.height),
            ("distance", watcher.distance),
        ];
        let mut timed = |rule, time: Option<f64>| {
            time.map(|time| self.trace.rule(rule, time, Unit::Second, &inputs))
        };
        let gas_layered = timed(&alarm::GAS_LAYERED, pictures.layered);
        let gas_layered_band = band.map(|time| timed(&alarm::GAS_LAYERED, time));
        let gas_mixed = timed(&alarm::GAS_MIXED, pictures.mixed);
        let common = self.common;
        let parts = [watcher.t90, common.scan, common.panel, common.sounder];
        let delay = self.trace.eval(&alarm::DELAY, &parts);
        let mut sounds = |gas: Option<Quantity>| {
            gas.map(|gas| self.trace.eval(&alarm::ALARM_TIME, &[gas, delay]))
        };
        let (alarm_layered, alarm_mixed) = (sounds(gas_layered), sounds(gas_mixed));
        let later = match (alarm_layered, alarm_mixed) {
            (Some(one), Some(other)) if one.value >= other.value => Some(one),
            (one, other) => other.or(one),
        };
        let mut alarm = AlarmResult {
            hazard: watcher.hazard,
            measures: watcher.measures.clone(),
            band: watcher.band,
            detector: watcher.detector,
            height: watcher.height,
            distance: watcher.distance,
            scale,
            set_point: point.value,
            set_point_gas,
            at_detector: Vec::new(),
            gas_layered,
            gas_layered_band,
            gas_mixed,
            delay,
            alarm_layered,
            alarm_mixed,
            alarm: later,
            picture: None,
            sentence: String::new(),
        };
        let motion = courses.stage.motion;
        alarm.sentence = words::of_alarm(&watcher.name, &alarm, motion, common.horizon);
        Some(alarm)
    }

    fn harm(
        &mut self,
        hazard: Hazard,
        level: harm::Level,
        courses: &Courses,
        alarm: Soonest,
    ) -> HarmResult {
        let gas = level.scale.gas(level.value.value);
        let stage = courses.stage;
        let layered = match stage.motion {
            Motion::Mixes => None,
            _ => alarm::first(&courses.usual, gas, |moment| stage.occupied_mean(moment)),
        };
        let harm = Pictures {
            layered,
            mixed: alarm::first(&courses.usual, gas, |moment| moment.mixed),
        };
        let held = alarm::judge(alarm.times(), harm);
        let inputs = [("level that harms", level.value)];
        let mut timed = |rule, time: Option<f64>| {
            time.map(|time| self.trace.rule(rule, time, Unit::Second, &inputs))
        };
        HarmResult {
            hazard,
            scale: level.scale,
            sentence: String::new(),
            name: level.name,
            level: level.value,
            harm_layered: timed(&alarm::HARM_LAYERED, harm.layered),
            harm_mixed: timed(&alarm::HARM_MIXED, harm.mixed),
            harm_later: None,
            harm: timed(&alarm::DECIDES, held.harm.or(harm.earlier())),
            alarm_layered: alarm.layered,
            alarm_mixed: alarm.mixed,
            alarm: timed(&alarm::DECIDES, held.alarm),
            picture: held.picture.filter(|_| held.harm.is_some()),
            verdict: held.verdict,
        }
    }

    /// When a mixed room comes to the level of `harm` after the time looked at, if the release
    /// goes on; `steady` is the mean it settles at.
    fn harmed_later(&mut self, harm: &mut HarmResult, steady: Quantity, air: &SharedAir) {
        let gas = harm.scale.gas(harm.level.value);
        // So near to where it settles the time says nothing.
        if harm.harm_mixed.is_some() || gas > 0.99 * steady.value || air.vents.is_some() {
            return;
        }
        let inputs = [("level that harms", harm.level)];
        let gas = self
            .trace
            .rule(&state::AS_GAS, gas, Unit::PercentVolume, &inputs);
        let inputs = [self.discharge.rate, air.supply, air.volume, gas];
        let later = self.trace.eval(&room::TIME_TO, &inputs);
        harm.harm_later = Some(later).filter(|later| later.value > self.common.horizon);
    }
}

/// The first alarm of any watch in each picture, s.
#[derive(Debug, Clone, Copy, Default)]
struct Soonest {
    layered: Option<Quantity>,
    mixed: Option<Quantity>,
}

impl Soonest {
    fn take(&mut self, alarm: &AlarmResult) {
        let sooner = |one: Option<Quantity>, other: Option<Quantity>| match (one, other) {
            (Some(one), Some(other)) if other.value < one.value => Some(other),
            (one, other) => one.or(other),
        };
        self.layered = sooner(self.layered, alarm.alarm_layered);
        self.mixed = sooner(self.mixed, alarm.alarm_mixed);
    }

    fn times(&self) -> Pictures {
        Pictures {
            layered: self.layered.map(|time| time.value),
            mixed: self.mixed.map(|time| time.value),
        }
    }
}

/// The picture that leaves an alarm least time before the harm of its hazard.
fn decides(alarm: &AlarmResult, case: &ReleaseCase) -> Option<Picture> {
    let seconds = |time: Option<Quantity>| time.map(|time| time.value);
    let harm = case.harm_of(alarm);
    let sounds = Pictures {
        layered: seconds(alarm.alarm_layered),
        mixed: seconds(alarm.alarm_mixed),
    };
    let harms = Pictures {
        layered: seconds(harm.and_then(|harm| harm.harm_layered)),
        mixed: seconds(harm.and_then(|harm| harm.harm_mixed)),
    };
    alarm::judge(sounds, harms).picture
}

/// Of several detectors for one watch the one that alarms first.
fn keep_the_first(alarms: &mut Vec<AlarmResult>, alarm: AlarmResult) {
    let same = alarms.iter_mut().find(|kept| {
        kept.measures == alarm.measures && kept.band == alarm.band && kept.hazard == alarm.hazard
    });
    let time = |of: &AlarmResult| of.alarm.map_or(f64::INFINITY, |time| time.value);
    match same {
        Some(kept) if time(&alarm) < time(kept) => *kept = alarm,
        Some(_) => {}
        None => alarms.push(alarm),
    }
}

/// The hazards that are watched.
fn hazards(watchers: &[Watcher]) -> Vec<Hazard> {
    let mut hazards: Vec<Hazard> = watchers
        .iter()
        .flat_map(|watcher| watcher.hazards.iter().copied())
        .collect();
    hazards.sort();
    hazards.dedup();
    hazards
}

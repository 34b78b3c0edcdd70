//! When gas at the set-point is at a detector, when it alarms, and whether people are harmed first.
//!
//! Two pictures of the room are held against each other: the gas in a layer that spreads at once
//! over the whole ceiling or floor (no sooner at a detector than the plume and its current arrive
//! there), and the gas mixed at once through the room. The design must hold in both. A detector
//! reads 90 % of a step after its t90; that is taken as the reading. Must not place a detector.

use crate::engine::atmosphere::layer::Moment;
use crate::engine::formula::{Formula, Rule, Symbol};
use crate::engine::results::{Motion, Picture, Scale, SetPointResult, Verdict};
use crate::engine::trace::Quantity;
use crate::model::*;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[&DELAY, &ALARM_TIME];

/// Every rule of this module.
pub static RULES: &[&Rule] = &[
    &GAS_LAYERED,
    &GAS_MIXED,
    &HARM_LAYERED,
    &HARM_MIXED,
    &DECIDES,
];

const TIME: Symbol = Symbol::new("t", "time", Unit::Second).within(0.0, 1e6);

/// What passes between gas at the detector and the sound.
pub static DELAY: Formula = Formula {
    id: "atmosphere.alarm_delay",
    title: "From gas at the detector to the sound",
    expression: "t_d = t90 + t_s + t_p + t_o",
    inputs: &[
        Symbol::new("t90", "detector, to 90 % of the reading", Unit::Second).within(0.0, 3600.0),
        Symbol::new("t_s", "bus scan", Unit::Second).within(0.0, 600.0),
        Symbol::new("t_p", "control panel", Unit::Second).within(0.0, 600.0),
        Symbol::new("t_o", "sounder", Unit::Second).within(0.0, 600.0),
    ],
    repeats: false,
    output: TIME,
    citation: Citation::CommonPractice,
    compute: |x| x.iter().sum(),
    example: (&[60.0, 5.0, 3.0, 2.0], 70.0),
    example_from: "by hand",
};

/// Time to the alarm.
pub static ALARM_TIME: Formula = Formula {
    id: "atmosphere.alarm_time",
    title: "Time to alarm",
    expression: "t = t_g + t_d",
    inputs: &[
        Symbol::new(
            "t_g",
            "gas at the set-point is at the detector",
            Unit::Second,
        )
        .within(0.0, 1e6),
        Symbol::new("t_d", "detector, bus, panel and sounder", Unit::Second).within(0.0, 6000.0),
    ],
    repeats: false,
    output: TIME,
    citation: Citation::CommonPractice,
    compute: |x| x[0] + x[1],
    example: (&[138.5, 70.0], 208.5),
    example_from: "by hand",
};

pub static GAS_LAYERED: Rule = Rule {
    id: "atmosphere.gas_layered",
    title: "Gas at the set-point reaches the detector, layered",
    statement: "The front of the filling box has passed the detector's height, the layer holds gas \
        at the set-point, and the plume and its current along the ceiling or floor have come as \
        far as the detector stands.",
    citation: Citation::from_memory("Baines & Turner 1969, J. Fluid Mech. 37, 51", "first front"),
};

pub static GAS_MIXED: Rule = Rule {
    id: "atmosphere.gas_mixed",
    title: "Gas at the set-point reaches the detector, mixed",
    statement: "The mean of the room is at the set-point.",
    citation: Citation::from_memory("ASHRAE Handbook: Fundamentals", "balance of a mixed room"),
};

pub static HARM_LAYERED: Rule = Rule {
    id: "atmosphere.harm_layered",
    title: "The occupied layer is at the level that harms, layered",
    statement: "The mean outside the plume, from the floor to the top of the layer people breathe \
        in, is at the level.",
    citation: Citation::CommonPractice,
};

pub static HARM_MIXED: Rule = Rule {
    id: "atmosphere.harm_mixed",
    title: "The occupied layer is at the level that harms, mixed",
    statement: "The mean of the room is at the level.",
    citation: Citation::CommonPractice,
};

pub static DECIDES: Rule = Rule {
    id: "atmosphere.decides",
    title: "Which picture of the room decides",
    statement: "Of gas in a layer and gas mixed through the room the alarm is the later, the harm \
        the earlier; they are held against each other within one picture.",
    citation: Citation::CommonPractice,
};

/// Something that watches a release: a detector, or the suggested height where there is none yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Watcher {
    /// The hazard that governs its set-points.
    pub hazard: Hazard,
    /// Every hazard it watches.
    pub hazards: Vec<Hazard>,
    /// Key of what it measures.
    pub measures: String,
    /// Whether it measures oxygen because of another hazard than its own substance's.
    pub oxygen: bool,
    pub band: Band,
    pub detector: Option<DetectorId>,
    /// "AT-101", or "a detector at the suggested height".
    pub name: String,
    /// m above the floor.
    pub height: Quantity,
    /// Along free air paths from the release, m.
    pub distance: Quantity,
    /// In their order; empty where no table has a limit.
    pub set_points: Vec<SetPointResult>,
    /// s.
    pub t90: Quantity,
}

/// A room as gas in a layer sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stage {
    pub motion: Motion,
    /// From floor to ceiling, m.
    pub height: f64,
    /// Top of the layer people breathe in, m.
    pub occupied: f64,
}

/// Times in the two pictures, s.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pictures {
    pub layered: Option<f64>,
    pub mixed: Option<f64>,
}

impl Stage {
    /// Height of the front of a layer of `depth`, m above the floor.
    pub fn front(&self, depth: f64) -> f64 {
        match self.motion {
            Motion::Rises => (self.height - depth).max(0.0),
            _ => depth.min(self.height),
        }
    }

    /// Depth of the layer that takes in a point at `height`, m.
    fn depth_to(&self, height: f64) -> f64 {
        match self.motion {
            Motion::Rises => (self.height - height).max(0.0),
            _ => height.max(0.0),
        }
    }

    /// Mean gas, %vol, where people breathe, outside the plume.
    pub fn occupied_mean(&self, moment: &Moment) -> f64 {
        let top = self.occupied.min(self.height);
        let within = match self.motion {
            Motion::Rises => (top - self.front(moment.depth)).max(0.0),
            _ => moment.depth.min(top),
        };
        moment.layer * within / top
    }

    /// Time at which `gas` %vol is at `height` with the gas in a layer; never before `arrival`, s.
    pub fn layered_at(
        &self,
        moments: &[Moment],
        height: f64,
        gas: f64,
        arrival: f64,
    ) -> Option<f64> {
        let depth = self.depth_to(height);
        let there = |moment: &Moment| moment.depth >= depth && moment.layer >= gas;
        let idx = moments.iter().position(there)?;
        let now = &moments[idx];
        let Some(before) = idx.checked_sub(1).map(|idx| &moments[idx]) else {
            return Some(arrival);
        };
        let part = |from: f64, to: f64, level: f64| match from < level && to > from {
            true => (level - from) / (to - from),
            false => 0.0,
        };
        let both = part(before.depth, now.depth, depth).max(part(before.layer, now.layer, gas));
        Some((before.time + both * (now.time - before.time)).max(arrival))
    }
}

/// Time at which `value` first is at `level`, between the moments in proportion.
pub fn first(moments: &[Moment], level: f64, value: impl Fn(&Moment) -> f64) -> Option<f64> {
    let idx = moments.iter().position(|moment| value(moment) >= level)?;
    let now = &moments[idx];
    let Some(before) = idx.checked_sub(1).map(|idx| &moments[idx]) else {
        return Some(now.time);
    };
    let (from, to) = (value(before), value(now));
    Some(before.time + (level - from) / (to - from) * (now.time - before.time))
}

/// The first set-point in the direction in which the release moves the reading.
pub fn first_set_point(
    points: &[SetPointResult],
    scale: impl Fn(Unit) -> Option<Scale>,
) -> Option<(&SetPointResult, Scale)> {
    points.iter().find_map(|point| {
        let scale = scale(point.value.unit)?;
        (point.rising == (scale.per_percent > 0.0)).then_some((point, scale))
    })
}

/// An alarm held against a harm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    pub verdict: Verdict,
    /// The picture that decides; `None`: neither alarm nor harm comes.
    pub picture: Option<Picture>,
    /// Alarm and harm of that picture, s.
    pub alarm: Option<f64>,
    pub harm: Option<f64>,
}

impl Pictures {
    /// The earlier of the two, or the one there is.
    pub fn earlier(&self) -> Option<f64> {
        match (self.layered, self.mixed) {
            (Some(one), Some(other)) => Some(one.min(other)),
            (one, other) => one.or(other),
        }
    }
}

/// The alarm held against the harm within each picture: the one whose harm no alarm precedes
/// decides, else the one with least time between; without harm the one with the later alarm.
pub fn judge(alarm: Pictures, harm: Pictures) -> Held {
    let pictures = [
        (Picture::Layered, alarm.layered, harm.layered),
        (Picture::Mixed, alarm.mixed, harm.mixed),
    ];
    let weight = |alarm: Option<f64>, harm: Option<f64>| match (alarm, harm) {
        (None, Some(_)) => (0, 0.0),
        (Some(alarm), Some(harm)) => (1, harm - alarm),
        (Some(alarm), None) => (2, -alarm),
        (None, None) => (3, 0.0),
    };
    let held = pictures.map(|(picture, alarm, harm)| {
        let (rank, margin) = weight(alarm, harm);
        let verdict = match rank {
            0 => Verdict::NoAlarm,
            1 if margin < 0.0 => Verdict::TooLate,
            1 => Verdict::InTime,
            2 => Verdict::NoHarm,
            _ => Verdict::Neither,
        };
        let picture = (rank < 3).then_some(picture);
        let held = Held {
            verdict,
            picture,
            alarm,
            harm,
        };
        (rank, margin, held)
    });
    let [one, other] = held;
    match other.0.cmp(&one.0).then(other.1.total_cmp(&one.1)) {
        std::cmp::Ordering::Less => other.2,
        _ => one.2,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moment(time: f64, depth: f64, layer: f64) -> Moment {
        Moment {
            time,
            depth,
            layer,
            mixed: depth * layer / 3.0,
        }
    }

    const CEILING: Stage = Stage {
        motion: Motion::Rises,
        height: 3.0,
        occupied: 1.8,
    };

    #[test]
    fn gas_is_at_a_height_once_the_front_has_passed_it_and_it_is_strong_enough() {
        let course = [
            moment(0.0, 0.0, 1.0),
            moment(10.0, 0.2, 1.0),
            moment(20.0, 0.4, 2.0),
        ];
        let at = |height, gas, arrival| {
            let time = CEILING.layered_at(&course, height, gas, arrival);
            time.map(|seconds| (seconds * 1e6).round() / 1e6)
        };
        assert_eq!(at(2.7, 0.5, 0.0), Some(15.0), "the front decides");
        assert_eq!(at(2.7, 1.8, 0.0), Some(18.0), "the strength decides");
        assert_eq!(at(2.7, 0.5, 40.0), Some(40.0), "the way decides");
        assert_eq!(at(2.5, 0.5, 0.0), None);
        let floor = Stage {
            motion: Motion::Falls,
            ..CEILING
        };
        let time = floor.layered_at(&course, 0.3, 0.5, 0.0);
        assert!(time.is_some_and(|time| (time - 15.0).abs() < 1e-9));
    }

    #[test]
    fn people_breathe_the_part_of_the_layer_that_is_among_them() {
        assert_eq!(CEILING.occupied_mean(&moment(0.0, 1.0, 6.0)), 0.0);
        let mean = CEILING.occupied_mean(&moment(0.0, 2.1, 6.0));
        assert!((mean - 6.0 * 0.9 / 1.8).abs() < 1e-12);
        let floor = Stage {
            motion: Motion::Falls,
            ..CEILING
        };
        assert!((floor.occupied_mean(&moment(0.0, 0.9, 6.0)) - 3.0).abs() < 1e-12);
    }

    #[test]
    fn an_alarm_after_the_harm_in_either_picture_is_too_late() {
        let both = |layered, mixed| Pictures { layered, mixed };
        let says = |alarm, harm| judge(alarm, harm).verdict;
        let soon = both(Some(10.0), Some(20.0));
        assert_eq!(says(soon, both(None, None)), Verdict::NoHarm);
        assert_eq!(says(soon, both(Some(30.0), Some(40.0))), Verdict::InTime);
        assert_eq!(says(soon, both(Some(9.0), Some(40.0))), Verdict::TooLate);
        assert_eq!(says(soon, both(Some(30.0), Some(19.0))), Verdict::TooLate);
        assert_eq!(
            says(both(Some(10.0), None), both(None, Some(90.0))),
            Verdict::NoAlarm
        );
        assert_eq!(says(both(None, None), both(None, None)), Verdict::Neither);
        let decides = |alarm, harm| {
            let held = judge(alarm, harm);
            (held.picture, held.alarm, held.harm)
        };
        assert_eq!(
            decides(soon, both(Some(30.0), Some(25.0))),
            (Some(Picture::Mixed), Some(20.0), Some(25.0)),
            "the picture with the least margin decides, and none is held across"
        );
        assert_eq!(
            decides(soon, both(None, None)),
            (Some(Picture::Mixed), Some(20.0), None),
            "without harm the later alarm counts"
        );
        assert_eq!(
            decides(both(None, None), both(None, None)),
            (None, None, None)
        );
    }
}

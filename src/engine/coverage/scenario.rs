//! How well each room is watched as a whole: sources, floor, and the latest alarm.

use std::collections::BTreeMap;

use crate::engine::airspace::room_name;
use crate::engine::coverage::rules::{FLOOR_SHARE, LATEST_ALARM, SOURCES_SHARE};
use crate::engine::results::{Demand, DemandKind, ReleaseCase, Releases, Scenario};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// The scenario of each room that has something to be watched.
pub fn scenarios(
    project: &Project,
    demands: &[Demand],
    releases: &Releases,
    trace: &mut Trace,
) -> BTreeMap<RoomId, Scenario> {
    let mut by_room: BTreeMap<RoomId, Vec<&Demand>> = BTreeMap::new();
    for demand in demands {
        by_room.entry(demand.room).or_default().push(demand);
    }
    let of = by_room.into_iter().filter_map(|(id, demands)| {
        let room = project.rooms.get(id)?;
        Some((id, scenario(project, room, &demands, releases, trace)))
    });
    of.collect()
}

fn scenario(
    project: &Project,
    room: &Room,
    demands: &[&Demand],
    releases: &Releases,
    trace: &mut Trace,
) -> Scenario {
    // Whether every demand of a source is met.
    let mut sources: BTreeMap<SourceId, bool> = BTreeMap::new();
    for demand in demands {
        if let DemandKind::Source(id) = demand.kind {
            *sources.entry(id).or_insert(true) &= demand.met;
        }
    }
    let n_met = sources.values().filter(|met| **met).count() as f64;
    let name = room_name(room);
    let all = trace.measured(
        format!("Release sources of {name}"),
        sources.len() as f64,
        Unit::One,
    );
    let met = trace.measured(
        format!("Release sources of {name} that are met"),
        n_met,
        Unit::One,
    );
    let share = 100.0 * n_met / all.value.max(1.0);
    let inputs = [("sources met", met), ("sources", all)];
    let share = trace.rule(&SOURCES_SHARE, share, Unit::Percent, &inputs);
    let (alarm, last, silent) = alarms(sources.keys(), releases, trace);
    Scenario {
        sources: all,
        met,
        share,
        floor: floor(demands, trace),
        floor_asked: (demands.iter())
            .any(|demand| demand.asked.is_some())
            .then(|| trace.basis(&project.basis, &basis::FLOOR_SHARE)),
        alarm,
        last,
        silent,
    }
}

/// The least share of the floor that is watched, of all gases and bands sought over it, %.
fn floor(demands: &[&Demand], trace: &mut Trace) -> Option<Quantity> {
    let floors = demands
        .iter()
        .filter(|demand| demand.kind == DemandKind::Area);
    let share = |demand: &&Demand| {
        let (watched, size) = (demand.watched?, demand.size?);
        (size.value > 0.0).then(|| (100.0 * (watched.value / size.value).min(1.0), watched, size))
    };
    let shares = floors.filter_map(share);
    let (least, watched, size) = shares.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let inputs = [("floor watched", watched), ("floor", size)];
    Some(trace.rule(&FLOOR_SHARE, least, Unit::Percent, &inputs))
}

/// The latest of the alarms of the sources, s, whose it is, and the sources that raise none.
fn alarms<'a>(
    sources: impl Iterator<Item = &'a SourceId>,
    releases: &Releases,
    trace: &mut Trace,
) -> (Option<Quantity>, Option<SourceId>, Vec<SourceId>) {
    let (mut all, mut silent) = (Vec::new(), Vec::new());
    for id in sources {
        let cases = releases.get(id).map_or(&[][..], |release| &release.cases);
        for case in cases {
            match first_alarm(case) {
                Some(alarm) => all.push((*id, alarm)),
                None => silent.push(*id),
            }
        }
    }
    silent.dedup();
    let latest = all.iter().max_by(|a, b| a.1.value.total_cmp(&b.1.value));
    let Some((last, latest)) = latest else {
        return (None, None, silent);
    };
    let inputs: Vec<(&str, Quantity)> = all.iter().map(|(_, alarm)| ("alarm", *alarm)).collect();
    let alarm = trace.rule(&LATEST_ALARM, latest.value, Unit::Second, &inputs);
    (Some(alarm), Some(*last), silent)
}

/// The first alarm of a detector that watches the release, s.
fn first_alarm(case: &ReleaseCase) -> Option<Quantity> {
    let watched = case.alarms.iter().filter(|alarm| alarm.detector.is_some());
    let alarms = watched.filter_map(|alarm| alarm.alarm);
    alarms.min_by(|a, b| a.value.total_cmp(&b.value))
}

//! What is wrong with the times to alarm, and what to do about it.

use crate::engine::airspace::room_name;
use crate::engine::atmosphere::alarm::Watcher;
use crate::engine::atmosphere::words::{duration, figure, said};
use crate::engine::finding::{Finding, Severity};
use crate::engine::results::*;
use crate::model::*;

/// What of a release is not known.
#[derive(Clone, Copy)]
pub struct Known<'a> {
    /// Data that no table states, in sentences.
    pub missing: &'a [String],
    /// Figures of the release that are only assumed, and asked for.
    pub open: &'a [&'a Question],
}

/// The findings about one release.
pub fn of(
    source: &ReleaseSource,
    room: Option<&Room>,
    result: &ReleaseResult,
    known: Known<'_>,
    watchers: &[Watcher],
) -> Vec<Finding> {
    let missing = known.missing;
    let place = room.map_or_else(String::new, |room| format!(" in {}", room_name(room)));
    let name = format!("{}{place}", source.name);
    let mut found: Vec<Finding> = hazards(result)
        .into_iter()
        .filter_map(|hazard| late((source, known.open), &name, result, hazard))
        .collect();
    let bad = !found.is_empty();
    let sees = |alarm: &AlarmResult| alarm.alarm.is_some();
    let alarms = || result.cases.iter().flat_map(|case| &case.alarms);
    if !bad && alarms().next().is_some() && !alarms().any(sees) {
        found.push(unreached(source, &name, result));
    }
    if !result.cases.is_empty() && !watchers.is_empty() && alarms().next().is_none() {
        let message = format!(
            "{name}: no set-point is known for what watches it, so no time to alarm is computed."
        );
        let remedy = "State set-points, from the safety data sheet or the client.";
        let id = format!("alarm.no_set_point/source-{}", source.id);
        found.push(Finding::new(id, Severity::Warning, message, remedy));
    }
    if !missing.is_empty() {
        let mut said = missing.to_vec();
        said.dedup();
        let message = format!("{name}: {}", said.join(" "));
        let remedy =
            "Take the figure from the safety data sheet, and judge the time to alarm by it.";
        let id = format!("alarm.datum/source-{}", source.id);
        found.push(Finding::new(id, Severity::Warning, message, remedy));
    }
    found
        .into_iter()
        .map(|finding| {
            finding
                .about(ItemKey::Source(source.id))
                .at(source.floor, source.at)
        })
        .collect()
}

fn hazards(result: &ReleaseResult) -> Vec<Hazard> {
    let all = result.cases.iter().flat_map(|case| &case.harms);
    let mut hazards: Vec<Hazard> = all.map(|harm| harm.hazard).collect();
    hazards.sort();
    hazards.dedup();
    hazards
}

/// The alarm comes after the harm, or not at all.
fn late(
    (source, open): (&ReleaseSource, &[&Question]),
    name: &str,
    result: &ReleaseResult,
    hazard: Hazard,
) -> Option<Finding> {
    let harms = result.cases.iter().flat_map(|case| &case.harms);
    let worst = harms
        .filter(|harm| harm.hazard == hazard && harm.verdict.is_bad())
        .max_by_key(|harm| harm.verdict)?;
    let word = match worst.verdict {
        Verdict::NoAlarm => "never",
        _ => "late",
    };
    // What comes out is only assumed, on the safe side: whether the demand is met is open, not
    // denied, so it warns, and the question about the release says that the answer settles it.
    let assumed = assumed_of(source, open);
    let severity = match assumed {
        Some(_) => Severity::Warning,
        None => Severity::Blocker,
    };
    let told = worst.sentence.as_str();
    let message = match &assumed {
        Some(what) => format!("{name}: with {what}, w{}", &told[1..]),
        None => format!("{name}: {told}"),
    };
    let remedy = remedy(
        worst.verdict,
        assumed.map(|_| open),
        too_slow_anywhere(result, worst),
    );
    let id = format!("alarm.{word}/source-{}/{}", source.id, key(hazard));
    let finding = Finding::new(id, severity, message, remedy);
    Some(match (worst.alarm, worst.harm) {
        (Some(alarm), Some(harm)) => finding.held_against(alarm, harm),
        _ => finding,
    })
}

/// What to do about it. `assumed`: what of the release is asked for, where it is only assumed;
/// `too_slow`: what helps where no place of a detector does.
fn remedy(verdict: Verdict, assumed: Option<&[&Question]>, too_slow: Option<String>) -> String {
    if let Some(open) = assumed {
        let asks: Vec<&str> = open.iter().map(|one| one.question.as_str()).collect();
        let asks = match asks.is_empty() {
            true => "State what can come out of it.".to_owned(),
            false => asks.join(" "),
        };
        let then = too_slow.unwrap_or_else(|| {
            "bring a detector nearer, lower the first set-point or have the release limited"
                .to_owned()
        });
        return format!(
            "{asks} The answer settles it, and blocks the design if it is as much. Then {then}."
        );
    }
    let helps = match (too_slow, verdict) {
        (Some(helps), _) => format!("Here {helps}"),
        (None, Verdict::NoAlarm) => {
            "Lower the first set-point, place a detector where this gas goes, or have the release \
             limited"
                .to_owned()
        }
        (None, _) => {
            "Bring a detector nearer, choose a quicker one or a lower set-point, ventilate more, \
             or have the release limited by a restrictor or an automatic valve"
                .to_owned()
        }
    };
    format!("{helps}; nobody may rely on this alarm as it is.")
}

/// What helps where detector, bus, panel and sounder alone take longer than the harm: no place of a
/// detector does. `None`: they do not.
fn too_slow_anywhere(result: &ReleaseResult, worst: &HarmResult) -> Option<String> {
    let harm = worst.harm?.value;
    let alarms = result.cases.iter().flat_map(|case| &case.alarms);
    let delay = alarms.map(|alarm| alarm.delay.value).reduce(f64::min)?;
    (delay > harm).then(|| {
        format!(
            "no place and no set-point of a detector is soon enough, for detector, bus, panel and \
             sounder alone take {}: have less held or the release limited, ventilate more, or \
             choose a quicker detector",
            duration(delay)
        )
    })
}

/// What of a release is only assumed, in words; `None`: all that decides is stated.
fn assumed_of(source: &ReleaseSource, open: &[&Question]) -> Option<String> {
    if source.release.is_none() {
        return Some("the release assumed".to_owned());
    }
    let taken: Vec<String> = open.iter().map(|one| said(one.assumed)).collect();
    (!taken.is_empty()).then(|| format!("{}, which is only assumed", taken.join(", ")))
}

/// Says, in the question about each release that is only assumed and harms before it alarms, that
/// the answer settles it.
pub fn into_questions(project: &Project, releases: &Releases, questions: &mut [Question]) {
    let harms = |id: SourceId| {
        let cases = releases.get(&id).map(|release| release.cases.iter());
        let mut harms = cases.into_iter().flatten().flat_map(|case| &case.harms);
        project.sources.get(id).is_some() && harms.any(|harm| harm.verdict.is_bad())
    };
    for question in questions {
        match question.about {
            ItemKey::Source(id) if harms(id) => question.question.push_str(
                " As it is assumed, the alarm comes after the harm, so the answer decides whether \
                 the design stands.",
            ),
            _ => {}
        }
    }
}

/// The release never brings the air to a set-point, and harms nobody.
fn unreached(source: &ReleaseSource, name: &str, result: &ReleaseResult) -> Finding {
    let highest = result
        .cases
        .iter()
        .max_by(|a, b| a.highest.value.total_cmp(&b.highest.value))
        .map(|case| case.highest);
    let lowest = result
        .cases
        .iter()
        .flat_map(|case| &case.alarms)
        .min_by(|a, b| a.set_point_gas.value.total_cmp(&b.set_point_gas.value))
        .map(|alarm| alarm.set_point_gas);
    let figures = match (highest, lowest) {
        (Some(highest), Some(lowest)) => format!(
            ": the mean comes to {} at most, the set-point lies at {}",
            said(highest),
            said(lowest)
        ),
        _ => String::new(),
    };
    let why = match result.total {
        Some(_) => "what there is cannot bring the room to a set-point",
        None => "the release is too small, with this ventilation, to bring the room to a set-point",
    };
    let thin = thin_layer(result);
    let remedy = match &thin {
        Some(_) => {
            "Check the release that is stated. The layer is above the set-point where it lies and \
             passes the detectors unseen: mount one nearer to it and close to the source, or have \
             less kept in one vessel. A stopped fan or a worse leak can be reckoned as well."
        }
        None => {
            "Check the release that is stated. If it is right, a detector for this source may not \
             be needed; a stopped fan or a worse leak can be reckoned as well."
        }
    };
    let message = format!(
        "{name}: {why}{figures}.{} No detector here sees it.",
        thin.unwrap_or_default()
    );
    let id = format!("alarm.unreached/source-{}", source.id);
    let finding = Finding::new(id, Severity::Note, message, remedy);
    match (highest, lowest) {
        (Some(highest), Some(lowest)) => finding.held_against(highest, lowest),
        _ => finding,
    }
}

/// Where a layer is strong enough for a set-point and does not come as far as any detector.
fn thin_layer(result: &ReleaseResult) -> Option<String> {
    let thin = result.cases.iter().find_map(|case| {
        let strongest = case.layer.iter().copied().fold(0.0, f64::max);
        let fronts = || case.front.iter().copied();
        let (place, front) = match case.motion {
            Motion::Rises => ("under the ceiling", fronts().fold(f64::INFINITY, f64::min)),
            Motion::Falls => ("on the floor", fronts().fold(0.0, f64::max)),
            Motion::Mixes => return None,
        };
        let strong = |alarm: &AlarmResult| alarm.set_point_gas.value <= strongest;
        let seen = case.alarms.iter().any(strong);
        seen.then_some((place, strongest, front))
    });
    thin.map(|(place, strongest, front)| {
        let far = match front < 0.005 {
            true => "less than 0.01 m".to_owned(),
            false => format!("no farther than {front:.2} m"),
        };
        format!(
            " If the gas keeps to a layer {place}, that holds {} %vol at most, with its front {far} \
             above the floor.",
            figure(strongest)
        )
    })
}

fn key(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::Flammable => "flammable",
        Hazard::Toxic => "toxic",
        Hazard::OxygenDepletion => "oxygen_depletion",
        Hazard::OxygenEnrichment => "oxygen_enrichment",
    }
}

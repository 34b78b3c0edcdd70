//! Set-points of the designer held against those of the rules.
//!
//! One that alarms later, or the wrong way, is a blocker until its reason is stated; then it is a
//! warning that prints the reason. Must not change a set-point.

use crate::engine::finding::{Finding, Severity};
use crate::engine::gas::Substances;
use crate::engine::results::SetPointResult;
use crate::engine::setpoints::converted;
use crate::model::{Detector, ItemKey, Project};

/// What is wrong with the `stated` set-points against those of the `rules`; `None` where they alarm
/// no later.
pub fn departure(
    project: &Project,
    detector: &Detector,
    stated: &[SetPointResult],
    rules: &[SetPointResult],
) -> Option<Finding> {
    let jurisdiction = project.head.jurisdiction;
    let substance = Substances::of(project).find(&detector.watches);
    let lfl = substance
        .as_ref()
        .and_then(|known| known.lfl_in(jurisdiction));
    let lfl = lfl.map(|limit| limit.figure.value);
    let mut pairs = rules.iter().filter(|rule| !rule.is_beside()).enumerate();
    let (idx, rule) = pairs.find(|(idx, rule)| is_laxer(stated.get(*idx), rule, lfl))?;
    let tag = &detector.tag;
    let due = words(rule);
    let message = match stated.get(idx) {
        None => format!("{tag} has no {} set-point; {due} is due.", rule.rank),
        Some(point) => format!(
            "The {} set-point of {tag} is {}; {due} is due, or one that alarms sooner.",
            rule.rank,
            words(point),
        ),
    };
    let reason = detector.set_points_reason.trim();
    let (severity, message, remedy) = match reason {
        "" => (
            Severity::Blocker,
            message,
            "State one that alarms no later, change the basis of design, or state the reason.",
        ),
        reason => (
            Severity::Warning,
            format!("{message} The designer's reason: {}", sentence(reason)),
            "Have the departure agreed by who answers for the set-points.",
        ),
    };
    let id = format!("setpoints.laxer/detector-{}", detector.id);
    let mut finding = Finding::new(id, severity, message, remedy);
    finding.value = stated.get(idx).map(|point| point.value);
    finding.limit = Some(rule.value);
    let finding = finding.about(ItemKey::Detector(detector.id));
    Some(finding.at(detector.floor, detector.at))
}

/// The designer's set-points with the reason that the designer states for them.
pub fn with_reason(points: Vec<SetPointResult>, detector: &Detector) -> Vec<SetPointResult> {
    let reason = detector.set_points_reason.trim();
    if reason.is_empty() {
        return points;
    }
    let explained = points.into_iter().map(|point| SetPointResult {
        reason: format!("Chosen by the designer: {}", sentence(reason)),
        ..point
    });
    explained.collect()
}

/// Whether a set-point is missing, alarms the other way or later, or cannot be compared.
fn is_laxer(point: Option<&SetPointResult>, rule: &SetPointResult, lfl: Option<f64>) -> bool {
    let Some(point) = point.filter(|point| point.rising == rule.rising) else {
        return true;
    };
    let due = rule.value;
    match converted(point.value.value, point.value.unit, due.unit, lfl) {
        None => true,
        Some(value) if rule.rising => value > due.value * (1.0 + 1e-9),
        Some(value) => value < due.value * (1.0 - 1e-9),
    }
}

fn words(point: &SetPointResult) -> String {
    let way = if point.rising { "rising" } else { "falling" };
    format!("{} {} {way}", point.value.value, point.value.unit)
}

/// Ends in a full stop.
fn sentence(text: &str) -> String {
    match text.ends_with(['.', '!', '?']) {
        true => text.to_owned(),
        false => format!("{text}."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::drawn::{detector, empty, room, source};
    use crate::engine::{Results, Silent, run};
    use crate::model::*;
    use crate::units::Unit;

    const METHANE: &str = "74-82-8";

    /// A boiler room with methane and one detector with set-points of the designer.
    fn stating(points: &[(f64, Unit)], reason: &str) -> Results {
        let mut project = empty();
        let boilers = room(1, [0.0, 0.0], [5.0, 4.0], RoomUse::BoilerRoom);
        project.rooms = [boilers].into_iter().collect();
        project.sources = [source(1, [2.0, 2.0], METHANE, Holding::Gas)]
            .into_iter()
            .collect();
        let mut own = detector(1, [2.0, 2.0], 2.7, METHANE, Band::High);
        own.set_points = points
            .iter()
            .map(|&(value, unit)| SetPoint {
                value,
                unit,
                rising: true,
                averaging: Averaging::Instant,
            })
            .collect();
        own.set_points_reason = reason.to_owned();
        project.detectors = [own].into_iter().collect();
        run(&project, &Silent)
    }

    fn found(results: &Results) -> Option<&Finding> {
        let mut findings = results.findings.iter();
        findings.find(|finding| finding.id == "setpoints.laxer/detector-1")
    }

    const LATE: [(f64, Unit); 2] = [(25.0, Unit::PercentLfl), (50.0, Unit::PercentLfl)];

    #[test]
    fn a_later_set_point_is_a_blocker_until_its_reason_is_stated() {
        let silent = stating(&LATE, " ");
        let finding = found(&silent).unwrap();
        assert_eq!(finding.severity, Severity::Blocker);
        assert!(finding.remedy.contains("state the reason"));

        let reasoned = stating(&LATE, "Solvent use in the day; agreed with the insurer");
        let finding = found(&reasoned).unwrap();
        assert_eq!(finding.severity, Severity::Warning);
        let printed = "The designer's reason: Solvent use in the day; agreed with the insurer.";
        assert!(finding.message.ends_with(printed), "{}", finding.message);
        let points = &reasoned.detectors[&DetectorId(1)].set_points;
        assert!(points[0].reason.contains("agreed with the insurer"));
    }

    #[test]
    fn the_set_points_of_the_rule_stand_beside_those_of_the_designer() {
        let results = stating(&LATE, "");
        let rule = &results.detectors[&DetectorId(1)].rule_set_points;
        let values: Vec<f64> = rule.iter().map(|point| point.value.value).collect();
        assert_eq!(values, [20.0, 40.0]);
        let own = stating(&[], "");
        assert!(own.detectors[&DetectorId(1)].rule_set_points.is_empty());
    }

    /// 20 %LFL of methane is 8 800 ppm with the 4.4 %vol of IEC 60079-20-1 (from memory).
    #[test]
    fn set_points_in_another_unit_are_compared_by_the_flammable_limit() {
        let in_ppm = |first| stating(&[(first, Unit::Ppm), (17_000.0, Unit::Ppm)], "");
        assert!(found(&in_ppm(8_800.0)).is_none());
        assert!(found(&in_ppm(8_900.0)).is_some());
        let uncompared = [(1.0, Unit::MilligramPerCubicMetre); 2];
        assert!(found(&stating(&uncompared, "")).is_some());
    }
}

//! What each detector does, and what is wrong with it.

use std::collections::BTreeMap;

use crate::engine::airspace::{Airspaces, room_name};
use crate::engine::coverage::demands::{Group, Need, aim, gas_in_sentence, nearest_need, reach};
use crate::engine::coverage::reach::{InReach, Served};
use crate::engine::coverage::rings::rings;
use crate::engine::coverage::share::Spare;
use crate::engine::coverage::voting::{adds, count};
use crate::engine::coverage::{ROUNDED_M, Standing, can_measure, unfit};
use crate::engine::finding::{Finding, Severity};
use crate::engine::mounting::{self, height_range, name_of};
use crate::engine::results::{DetectorResult, Range, SetPointResult};
use crate::engine::setpoints::{self, Asked};
use crate::engine::trace::{Quantity, Trace};
use crate::geometry::Point;
use crate::model::*;
use crate::units::{Metres, Unit};

pub(super) struct Step<'a> {
    pub project: &'a Project,
    pub spaces: &'a Airspaces<'a>,
    pub needs: &'a [Need],
    pub groups: &'a [Group],
    pub served: &'a [Served],
}

impl Step<'_> {
    /// The result of one detector; its findings are added.
    pub fn result(
        &self,
        standing: &Standing<'_>,
        trace: &mut Trace,
        findings: &mut Vec<Finding>,
    ) -> DetectorResult {
        let detector = standing.detector;
        let group = standing.group.map(|idx| &self.groups[idx]);
        let found = standing.group.and_then(|idx| {
            self.served[idx]
                .iter()
                .find(|(id, _)| *id == detector.id)
                .map(|(_, found)| found)
        });
        self.placed(standing, findings);
        let wrong = self.height(standing, trace, findings);
        let nearest = |group| {
            let height = Some(detector.height.get());
            nearest_need(self.needs, group, detector.at, height)
        };
        let reach = match group.and_then(nearest) {
            Some(need) => need.demand.reach,
            None => reach(self.project, standing.room, detector.hazard, trace),
        };
        let (set_points, rule_set_points) = self.set_points(standing, trace, findings);
        let (principle, range) = self.part(detector, trace);
        DetectorResult {
            room: standing.room.map(|room| room.id),
            substance: name_of(self.project, &detector.watches),
            counted: standing.counts,
            principle,
            range,
            height: trace.given(
                match detector.origin {
                    Origin::Suggested => "Mounting height, accepted from a suggestion",
                    Origin::ByHand => "Mounting height, set by hand",
                    Origin::Existing => "Mounting height, as found on site",
                },
                detector.height.get(),
                Unit::Metre,
                Citation::Designer,
            ),
            height_reason: self.height_reason(standing, wrong),
            set_points,
            rule_set_points,
            reach,
            meets: self.meets(group, found),
            without: self.without(standing, found),
            coverage: self.coverage(standing, reach.value),
        }
    }

    /// Findings about where it stands.
    fn placed(&self, standing: &Standing<'_>, findings: &mut Vec<Finding>) {
        let detector = standing.detector;
        let gas = gas_in_sentence(self.project, &detector.watches);
        let mut say = |id: &str, severity, message: String, remedy: &str| {
            let id = format!("{id}/detector-{}", detector.id);
            let finding = Finding::new(id, severity, message, remedy);
            let about = ItemKey::Detector(detector.id);
            findings.push(finding.about(about).at(detector.floor, detector.at));
        };
        match (standing.room, standing.group) {
            (None, _) => say(
                "coverage.detector_outside",
                Severity::Blocker,
                format!(
                    "{} lies in no room and no outdoor area, so it watches nothing.",
                    detector.tag
                ),
                "Move it into a room, or draw the room it is in.",
            ),
            (Some(room), None) => say(
                "coverage.nothing_to_watch",
                Severity::Note,
                format!(
                    "{} measures {gas} in the {} band, which no release source in the air of {} \
                     asks for.",
                    detector.tag,
                    detector.band.label(),
                    room_name(room)
                ),
                "Remove it, change what it measures, or state the release source it is meant for.",
            ),
            _ => {}
        }
    }

    /// A detector off the heights of its band: a warning that can be put right.
    fn height(
        &self,
        standing: &Standing<'_>,
        trace: &mut Trace,
        findings: &mut Vec<Finding>,
    ) -> Option<String> {
        let detector = standing.detector;
        let room = standing.room?;
        let own = detector.height.get();
        let in_pit = self
            .spaces
            .pit_at(detector.floor, detector.at, own)
            .is_some();
        if !in_pit && mounting::in_void(self.project, room, own) {
            return None;
        }
        let aim = match standing.group {
            Some(group) => {
                let group = &self.groups[group];
                let place = (detector.at, Some(detector.height.get()));
                aim(self.project, self.needs, group, room, place, trace)
            }
            None if room.enclosure != Enclosure::Enclosed && detector.band == Band::High => {
                return None;
            }
            None => mounting::height(trace, self.project, Some(room), detector.band, None),
        };
        let range = height_range(self.project, Some(room), detector.band, aim.value);
        let height = detector.height.get();
        let off = range.off(height);
        if off <= ROUNDED_M {
            return None;
        }
        let tolerance = self.project.basis.get(&basis::HEIGHT_TOLERANCE);
        let counted = match standing.group.is_some() && off > tolerance + ROUNDED_M {
            true => " So far off it is not counted.",
            false => "",
        };
        let message = format!(
            "{} is at {height:.2} m; {} in the {} band is sought at {:.2} m in {}.{counted}",
            detector.tag,
            gas_in_sentence(self.project, &detector.watches),
            detector.band.label(),
            aim.value,
            room_name(room)
        );
        let moved = Detector {
            height: Metres::new(centimetres(aim.value)),
            ..detector.clone()
        };
        let label = format!("Set {} to {:.2} m", detector.tag, aim.value);
        let remedy = format!("Set its height to {:.2} m, or change its band.", aim.value);
        let id = format!("mounting.height/detector-{}", detector.id);
        let stated = trace.given("Mounting height", height, Unit::Metre, Citation::Designer);
        findings.push(
            Finding::new(id, Severity::Warning, message.clone(), remedy)
                .about(ItemKey::Detector(detector.id))
                .at(detector.floor, detector.at)
                .held_against(stated, aim)
                .with_fix(
                    label,
                    Edit::Change {
                        item: Item::Detector(moved),
                    },
                ),
        );
        Some(message)
    }

    fn height_reason(&self, standing: &Standing<'_>, wrong: Option<String>) -> String {
        let detector = standing.detector;
        let height = Some(detector.height.get());
        let need = standing
            .group
            .and_then(|group| nearest_need(self.needs, &self.groups[group], detector.at, height));
        let reason = match need {
            Some(need) => need.reason.clone(),
            None => "No release source here asks for it; the height is the designer's.".to_owned(),
        };
        match wrong {
            Some(wrong) => format!("{wrong} {reason}"),
            None => reason,
        }
    }

    /// Its set-points, and those of the rules where the designer states others.
    fn set_points(
        &self,
        standing: &Standing<'_>,
        trace: &mut Trace,
        findings: &mut Vec<Finding>,
    ) -> (Vec<SetPointResult>, Vec<SetPointResult>) {
        let detector = standing.detector;
        let mut hazards = vec![detector.hazard];
        if let Some(group) = standing.group {
            hazards.extend(&self.groups[group].hazards);
        }
        let group = standing.group.map(|group| &self.groups[group]);
        let stated = &detector.set_points;
        let own_use = standing.room.map(|room| [room.room_use]);
        let asked = Asked {
            measures: &detector.watches,
            hazards: &hazards,
            uses: match (group, &own_use) {
                (Some(group), _) => &group.uses,
                (None, Some(own)) => own,
                (None, None) => &[],
            },
            released: group.map_or(&[], |group| &group.released),
            stated,
        };
        let points = setpoints::set_points(self.project, trace, &asked);
        let about = ItemKey::Detector(detector.id);
        if points.is_empty() {
            let id = format!("setpoints.none/detector-{}", detector.id);
            let message = format!(
                "No table has a limit for {}, so {} has no set-points.",
                gas_in_sentence(self.project, &detector.watches),
                detector.tag
            );
            let remedy = "State its set-points, from the safety data sheet or the client.";
            let finding = Finding::new(id, Severity::Warning, message, remedy);
            findings.push(finding.about(about).at(detector.floor, detector.at));
        }
        self.check_part(detector, &points, trace, findings);
        let part = self.project.part_of(detector);
        let part = part.and_then(|part| self.project.catalogue.item(part));
        let part = part.map(|item| &item.kind);
        let unfit = setpoints::unfit(self.project, trace, detector, part, &asked, &points);
        findings.extend(unfit);
        if stated.is_empty() {
            return (points, Vec::new());
        }
        let of_rules = Asked {
            stated: &[],
            ..asked
        };
        let rules = setpoints::set_points(self.project, trace, &of_rules);
        let departure = setpoints::departure(self.project, detector, &points, &rules);
        findings.extend(departure);
        (setpoints::with_reason(points, detector), rules)
    }

    /// Whether the part measures the gas and its range holds the set-points.
    fn check_part(
        &self,
        detector: &Detector,
        points: &[SetPointResult],
        trace: &mut Trace,
        findings: &mut Vec<Finding>,
    ) {
        let Some(part) = self.project.part_of(detector) else {
            return;
        };
        let mut say = |id: &str, severity, message: String, remedy: String| {
            let id = format!("{id}/detector-{}", detector.id);
            let about = ItemKey::Detector(detector.id);
            let finding = Finding::new(id, severity, message, remedy);
            findings.push(finding.about(about).at(detector.floor, detector.at));
            findings.len() - 1
        };
        let gas = gas_in_sentence(self.project, &detector.watches);
        let Some(item) = self.project.catalogue.item(part) else {
            let message = format!(
                "{} is to be part {part}, which the catalogue lacks.",
                detector.tag
            );
            say(
                "placement.part_unknown",
                Severity::Blocker,
                message,
                "Choose a part of the catalogue.".to_owned(),
            );
            return;
        };
        if !can_measure(self.project, detector) {
            let (id, why) = match unfit(self.project, detector) {
                Some(reason) => ("placement.part_principle", format!("cannot: {reason}")),
                None => ("placement.part_measures", "does not".to_owned()),
            };
            let message = format!(
                "{} is to measure {gas}, which part {part} {why}; it is not counted.",
                detector.tag
            );
            let remedy = format!("Choose a part that measures {gas}.");
            say(id, Severity::Blocker, message, remedy);
            return;
        }
        if let Some((point, end)) =
            setpoints::beyond_range(&item.kind, &detector.watches, self.project, points)
        {
            let unit = point.unit.symbol();
            let message = format!(
                "The set-point of {} at {} {unit} lies outside the range of part {part}, which \
                 ends at {} {unit}.",
                detector.tag,
                tidy(point.value),
                tidy(end)
            );
            let remedy = "Choose a part with a wider range, or other set-points.".to_owned();
            let place = say("setpoints.range", Severity::Warning, message, remedy);
            let limit = trace.given("End of the range", end, point.unit, Citation::Catalogue);
            findings[place].value = Some(point);
            findings[place].limit = Some(limit);
        }
    }

    fn part(&self, detector: &Detector, trace: &mut Trace) -> (Option<Principle>, Option<Range>) {
        let item = detector
            .part
            .as_ref()
            .and_then(|part| self.project.catalogue.item(part));
        let Some(ItemKind::DetectorDevice {
            principle,
            range_low,
            range_high,
            range_unit,
            ..
        }) = item.map(|item| &item.kind)
        else {
            return (None, None);
        };
        let mut end = |title: &str, value: f64| -> Quantity {
            trace.given(title, value, *range_unit, Citation::Catalogue)
        };
        let low = end("Lower end of the range", *range_low);
        let high = end("Upper end of the range", *range_high);
        (Some(*principle), Some(Range { low, high }))
    }

    fn meets(&self, group: Option<&Group>, found: Option<&InReach>) -> Vec<String> {
        let (Some(group), Some(found)) = (group, found) else {
            return Vec::new();
        };
        let met = group.needs.iter().zip(&found.distances);
        met.filter(|(_, distance)| distance.is_some())
            .map(|(idx, _)| self.needs[*idx].demand.id.clone())
            .collect()
    }

    /// What would be unwatched without it, in a sentence.
    fn without(&self, standing: &Standing<'_>, found: Option<&InReach>) -> String {
        let tag = &standing.detector.tag;
        let (Some(group), Some(found)) = (standing.group, found) else {
            return format!("{tag} watches nothing that a release source asks for.");
        };
        if found.distances.iter().all(Option::is_none) {
            return format!("{tag} has nothing in reach.");
        }
        let others: Vec<&InReach> = self.served[group]
            .iter()
            .filter(|(id, _)| *id != standing.detector.id)
            .map(|(_, found)| found)
            .collect();
        let mut lost: BTreeMap<usize, Vec<String>> = BTreeMap::new();
        for (place, idx) in self.groups[group].needs.iter().enumerate() {
            let need = &self.needs[*idx];
            if let Some(what) = self.lost(need, place, found, &others) {
                lost.entry(need.demand.wanted()).or_default().push(what);
            }
        }
        let by = |wanted: usize| match wanted {
            1 => "nothing would".to_owned(),
            wanted => format!("fewer than {wanted} would"),
        };
        let parts: Vec<String> = lost
            .into_iter()
            .map(|(wanted, what)| format!("{} watch {}", by(wanted), listed(&what)))
            .collect();
        match parts.is_empty() {
            true => format!("Without {tag} everything it watches is still watched by others."),
            false => format!("Without {tag} {}.", parts.join("; ")),
        }
    }

    /// What of a need fewer would watch than it asks for, or fewer still, without `found`.
    fn lost(
        &self,
        need: &Need,
        place: usize,
        found: &InReach,
        others: &[&InReach],
    ) -> Option<String> {
        let (wanted, apart) = (
            need.demand.wanted(),
            self.project.basis.get(&basis::VOTE_APART),
        );
        let adds = |cell| adds(found, others, (place, cell), wanted, apart);
        let title = need.demand.title.trim_start_matches("source: ");
        if need.cells.is_empty() {
            return adds(None).then(|| title.to_owned());
        }
        let lost = (0..need.cells.len()).filter(|cell| adds(Some(*cell)));
        let area: f64 = lost.map(|cell| need.cells[cell].area).sum();
        let unit = need.unit.symbol();
        let count = |cell| {
            let others = others.iter().copied();
            count(others, (place, Some(cell)), wanted, apart)
        };
        let may_be = |spare: Spare| spare.allows(|cell| count(cell) < wanted);
        let may_be = match need.spare().is_some_and(may_be) {
            true => " (which may stay unwatched)",
            false => "",
        };
        (area > 0.05).then(|| match need.is_floor() {
            true => format!("{area:.1} {unit} of the {title}{may_be}"),
            false => format!("{area:.1} {unit} of {title}"),
        })
    }

    fn coverage(&self, standing: &Standing<'_>, reach: f64) -> Vec<Vec<Point>> {
        let ways = standing.ways(self.spaces, self.groups);
        ways.map_or_else(Vec::new, |ways| rings(&ways, standing.detector.at, reach))
    }
}

/// A height as it is set out on site: to the centimetre.
pub(crate) fn centimetres(height: f64) -> f64 {
    (height * 100.0).round() / 100.0
}

/// "a", "a and b", "a, b and c".
fn listed(what: &[String]) -> String {
    match what.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

fn tidy(value: f64) -> String {
    format!("{}", (value * 100.0).round() / 100.0)
}

//! What the form of a room and its air ask for beside the bands: pits, voids, beams, ducts, jets
//! and warm ceilings.
//!
//! Where a second height can be computed it is a warning that goes once a detector hangs there;
//! what depends on a place that is not drawn is a note. Must not place anything.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::engine::airspace::{Airspaces, BEAM_POCKET_M, Pit, room_name};
use crate::engine::finding::{Finding, Severity};
use crate::engine::formula::Rule;
use crate::engine::mounting::heights::{self, PIT_HOLDS_M, height_in_pit};
use crate::engine::mounting::rules::*;
use crate::engine::mounting::{name_of, same_gas, within_sentence};
use crate::engine::results::SourceResult;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// How far a second point hangs below the first under a warm ceiling, m (common practice).
const BELOW_WARM_LAYER_M: f64 = 1.0;

/// The reach of an intake that other rooms breathe from, m (Japan Fire Service Rule).
const INTAKE_M: f64 = 1.5;

/// Whether a height lies in a pit or void of the room, where a detector watches that alone.
pub fn in_void(project: &Project, room: &Room, height: f64) -> bool {
    let unknown = project.basis.get(&basis::CEILING_UNKNOWN);
    let ceiling = room.ceiling.map_or(unknown, |ceiling| ceiling.get());
    let below = room.features.pit.or(room.features.raised_floor).is_some();
    below && height < 0.0 || room.features.ceiling_void.is_some() && height > ceiling
}

/// Findings about every room with a release source in it, and the gases sought there.
pub fn surroundings(
    project: &Project,
    spaces: &Airspaces<'_>,
    sources: &BTreeMap<SourceId, SourceResult>,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
) {
    let mut sought: BTreeMap<(RoomId, &str), Vec<Band>> = BTreeMap::new();
    for source in sources.values() {
        let Some(room) = source.room else { continue };
        for watch in &source.watches {
            let bands = sought.entry((room, watch.measures.as_str())).or_default();
            if !bands.contains(&watch.band) {
                bands.push(watch.band);
            }
        }
    }
    for ((room, measures), bands) in sought {
        let Some(room) = project.rooms.get(room) else {
            continue;
        };
        let mut look = Look {
            project,
            spaces,
            room,
            measures,
            bands: &bands,
            trace,
            findings,
        };
        look.floor();
        look.ceiling();
        look.air();
    }
}

struct Look<'a> {
    project: &'a Project,
    spaces: &'a Airspaces<'a>,
    room: &'a Room,
    measures: &'a str,
    bands: &'a [Band],
    trace: &'a mut Trace,
    findings: &'a mut Vec<Finding>,
}

impl Look<'_> {
    fn floor(&mut self) {
        if !self.bands.contains(&Band::Low) {
            return;
        }
        let features = self.room.features;
        let mut pits = self.spaces.pits().iter();
        let here = |pit: &Rc<Pit>| pit.rooms.contains(&self.room.id) && pit.depth >= PIT_HOLDS_M;
        let is_drawn = pits.any(here);
        let asked_for = is_drawn && self.project.basis.is_on(&basis::WATCH_PITS);
        let pit = features.pit.map(|pit| pit.get()).filter(|_| !asked_for);
        if let Some(depth) = pit.filter(|depth| *depth >= PIT_HOLDS_M) {
            let height = height_in_pit(self.project, depth);
            let from = self.stated("Depth of the pit", depth);
            self.second(
                &PIT,
                height,
                from,
                &|at| at < 0.0,
                "The pit holds what sinks into it; drawn as a marked area it is watched as a whole.",
            );
        }
        if let Some(void) = features.raised_floor.map(|void| void.get()) {
            let from = self.stated("Void under the raised floor", void);
            let words = "What sinks goes through the joints of a raised floor and lies under it.";
            self.second(&RAISED_FLOOR, -void / 2.0, from, &|at| at < 0.0, words);
        }
    }

    fn ceiling(&mut self) {
        let high = self.bands.contains(&Band::High);
        if !high || heights::is_open(Some(self.room)) {
            return;
        }
        let ceiling = heights::ceiling(self.trace, self.project, Some(self.room)).value;
        let aim = heights::height(self.trace, self.project, Some(self.room), Band::High, None);
        let features = self.room.features;
        if let Some(void) = features.ceiling_void.map(|void| void.get()) {
            let below = self
                .project
                .basis
                .get(&basis::BELOW_CEILING)
                .min(void / 2.0);
            let from = self.stated("Void above the false ceiling", void);
            let words = "What rises goes through the joints of a false ceiling and fills the void.";
            let height = ceiling + void - below;
            self.second(&CEILING_VOID, height, from, &|at| at > ceiling, words);
        }
        if features.warm_ceiling {
            let height = (aim.value - BELOW_WARM_LAYER_M).max(ceiling / 2.0);
            let words = "A warm layer under the ceiling can hold the gas below it, so that a point \
                         at the ceiling sees it late.";
            let lower = aim.value - 0.5 * (aim.value - height);
            self.second(
                &WARM_CEILING,
                height,
                aim,
                &|at| 0.0 < at && at < lower,
                words,
            );
        }
        let spaces = self.spaces;
        let space = spaces.space_of(self.room.id);
        let deep = spaces
            .barriers_in(space)
            .iter()
            .map(|barrier| spaces.beam_depth(space, barrier))
            .filter(|depth| *depth >= BEAM_POCKET_M)
            .max_by(f64::total_cmp);
        if let Some(depth) = deep {
            let from = self.stated("Depth of the beams below the ceiling", depth);
            let words = format!(
                "Beams {depth:.2} m deep part the ceiling into pockets: only a detector in the \
                 pocket above a source has it in reach."
            );
            let remedy =
                "Nothing to do: free paths end at the beams, and demands say what is unmet.";
            self.note(&BEAMS, from.value, Unit::Metre, from, words, remedy);
        }
    }

    fn air(&mut self) {
        if heights::is_open(Some(self.room)) {
            return;
        }
        let features = self.room.features;
        let near = self.stated_rule("Nearness", INTAKE_M);
        let asked_for = self.grille_is_watched();
        let gas = within_sentence(&name_of(self.project, self.measures));
        if features.extract_duct && !asked_for {
            let words = format!("The extract duct draws {gas} to it before it is thinned.");
            let remedy = "Mark the extract grille, and place a detector just before it, upstream of \
                          other air, beside those of the bands; in a duct, in a straight run.";
            self.note(&EXTRACT, near.value, Unit::Metre, near, words, remedy);
        }
        if features.air_intake {
            let words = format!("An air intake carries {gas} on into other rooms.");
            let remedy =
                "Place a detector within 1.5 m of the intake, or close the intake on alarm.";
            self.note(&INTAKE, near.value, Unit::Metre, near, words, remedy);
        }
        if features.fast_supply {
            let words = format!(
                "Fast supply air throws {gas} across the room and thins it where it blows."
            );
            let basis = &self.project.basis;
            let clear = self.trace.basis(basis, &basis::SUPPLY_CLEAR);
            let remedy = format!(
                "Mark the supply air terminals: suggestions keep {} m from them. Keep detectors \
                 out of their jet; prove the places with a smoke test.",
                clear.value
            );
            self.note(
                &FAST_SUPPLY,
                clear.value,
                Unit::Metre,
                clear,
                words,
                &remedy,
            );
        }
        if asked_for {
            return;
        }
        let strong = self.project.basis.get(&basis::STRONG_VENTILATION);
        if let Some(changes) = self.room.air_changes.filter(|n| *n >= strong) {
            let from = self
                .trace
                .given("Air changes", changes, Unit::PerHour, Citation::Designer);
            let words = format!(
                "At {changes} air changes an hour the draught carries {gas} more than its density."
            );
            let remedy = "Mark the grilles where the air leaves the room: detectors are then asked \
                          for there as well.";
            self.note(&DRAUGHTY, strong, Unit::PerHour, from, words, remedy);
        }
    }

    /// Whether a demand stands where the air leaves the room.
    fn grille_is_watched(&self) -> bool {
        let basis = &self.project.basis;
        let strong = basis.get(&basis::STRONG_VENTILATION);
        let changes = (self.room.air_changes).unwrap_or(basis.get(&basis::AIR_CHANGES_UNKNOWN));
        let mut terminals = self.project.terminals.iter();
        let leaves = |terminal: &AirTerminal| {
            let stands_in = self.spaces.room_beside(terminal.floor, terminal.at);
            terminal.kind.leaves_the_room()
                && stands_in.is_some_and(|(it, _)| it.id == self.room.id)
        };
        basis.is_on(&basis::WATCH_GRILLES) && changes >= strong && terminals.any(leaves)
    }

    fn stated(&mut self, title: &str, value: f64) -> Quantity {
        let title = format!("{title} of {}", room_name(self.room));
        self.trace
            .given(title, value, Unit::Metre, Citation::Designer)
    }

    fn stated_rule(&mut self, title: &str, value: f64) -> Quantity {
        let citation = Citation::published(JAPAN, "detector within about 1.5 m of an intake");
        self.trace.given(title, value, Unit::Metre, citation)
    }

    /// A second height to be watched, until a detector of the gas hangs where `there` says.
    fn second(
        &mut self,
        rule: &'static Rule,
        height: f64,
        from: Quantity,
        there: &dyn Fn(f64) -> bool,
        words: &str,
    ) {
        let outline = crate::geometry::Polygon::new(self.room.outline.clone());
        let watched = self.project.detectors.iter().any(|detector| {
            detector.floor == self.room.floor
                && there(detector.height.get())
                && same_gas(self.project, &detector.watches, self.measures)
                && outline.contains(detector.at)
        });
        let value = self
            .trace
            .rule(rule, height, Unit::Metre, &[("measured", from)]);
        if watched {
            return;
        }
        let gas = within_sentence(&name_of(self.project, self.measures));
        let message = format!(
            "{}: {words} No detector for {gas} hangs at about {height:.2} m.",
            room_name(self.room)
        );
        let remedy = format!("Place one by hand at {height:.2} m, beside those of the bands.");
        let finding = Finding::new(self.id(rule), Severity::Warning, message, remedy);
        let finding = finding.about(ItemKey::Room(self.room.id));
        let at = outline.label_point();
        self.findings
            .push(finding.at(self.room.floor, at).held_against(value, from));
    }

    fn note(
        &mut self,
        rule: &'static Rule,
        value: f64,
        unit: Unit,
        from: Quantity,
        words: String,
        remedy: &str,
    ) {
        let value = self.trace.rule(rule, value, unit, &[("measured", from)]);
        let message = format!("{}: {words}", room_name(self.room));
        let finding = Finding::new(self.id(rule), Severity::Note, message, remedy);
        let mut finding = finding.about(ItemKey::Room(self.room.id));
        finding.floor = Some(self.room.floor);
        finding.value = Some(value);
        self.findings.push(finding);
    }

    fn id(&self, rule: &Rule) -> String {
        format!("{}/room-{}/{}", rule.id, self.room.id, self.measures)
    }
}

//! What must be watched because of each release source, in which bands, at what height, and why.
//!
//! Bands by relative density at the temperature of the release and at that of the room (IEC
//! 60079-10-1, from memory); heights by the basis of design. Must not place anything.

pub mod bands;
mod heights;
mod measured;
mod surroundings;
pub mod rules;
#[cfg(test)]
mod rules_tests;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use crate::engine::airspace::{self, Airspaces, room_name};
use crate::engine::atmosphere::said;
use crate::engine::finding::{Finding, Severity};
use crate::engine::gas::air::RoomAir;
use crate::engine::gas::{self, Substance, Substances, density, vapour};
use crate::engine::results::{Ground, Question, SourceResult, Watch};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;
use bands::{Choice, Limits, Release};

pub use crate::engine::gas::within_sentence;
pub use heights::{HeightRange, PIT_HOLDS_M, ceiling, height, height_in, height_range, is_open};
pub use measured::{OXYGEN, measured, name_of, same_gas};
pub use rules::{FORMULAS, RULES};
pub use surroundings::{in_void, surroundings};

/// What each release source means; findings about sources that mean nothing; questions.
pub fn mount(
    project: &Project,
    spaces: &Airspaces<'_>,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
    questions: &mut Vec<Question>,
) -> BTreeMap<SourceId, SourceResult> {
    let mut results = BTreeMap::new();
    for source in &project.sources {
        let mut step = Step {
            project,
            trace,
            findings,
            questions,
        };
        let room = spaces.room_at(source.floor, source.at);
        results.insert(source.id, step.source(source, room));
    }
    results
}

/// What the sources in the airspaces `within` mean, the others left out.
pub fn mount_within(
    project: &Project,
    spaces: &Airspaces<'_>,
    within: &BTreeSet<usize>,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
) -> BTreeMap<SourceId, SourceResult> {
    let mut results = BTreeMap::new();
    for source in &project.sources {
        let room = spaces.room_at(source.floor, source.at);
        if room.is_some_and(|room| within.contains(&spaces.space_of(room.id))) {
            let mut step = Step {
                project,
                trace,
                findings,
                questions: &mut Vec::new(),
            };
            results.insert(source.id, step.source(source, room));
        }
    }
    results
}

/// What the gas does comes before where people are, and what it does cold before what it does warm.
fn telling_order(choice: &Choice) -> u8 {
    match choice.rule.id {
        id if id == rules::PEOPLE.id => 2,
        id if id == rules::COLD.id && choice.band != Band::Low => 1,
        _ => 0,
    }
}

struct Step<'a> {
    project: &'a Project,
    trace: &'a mut Trace,
    findings: &'a mut Vec<Finding>,
    questions: &'a mut Vec<Question>,
}

impl Step<'_> {
    fn source(&mut self, source: &ReleaseSource, room: Option<&Room>) -> SourceResult {
        let about = ItemKey::Source(source.id);
        if room.is_none() {
            let id = format!("coverage.source_outside/source-{}", source.id);
            let message = format!("{} lies in no room and no outdoor area.", source.name);
            let remedy = "Draw the room or outdoor area it is in, or move the source into one.";
            let finding = Finding::new(id, Severity::Blocker, message, remedy);
            self.findings
                .push(finding.about(about).at(source.floor, source.at));
        }
        let Some(substance) = Substances::of(self.project).find(&source.substance) else {
            return self.unknown(source, room);
        };
        let substance = substance.as_ref();
        let ways = self.ways(source, substance);
        let limits = Limits::of(&self.project.basis);
        let mut watches: Vec<Watch> = Vec::new();
        let mut sentences: Vec<(u8, String)> = Vec::new();
        let mut likeliest = None;
        for held in &ways {
            let release = bands::release(self.trace, &self.project.basis, substance, *held);
            likeliest.get_or_insert(release);
            for hazard in bands::hazards_watched(substance) {
                for mut choice in bands::choose(substance, &release, hazard, limits) {
                    if watches
                        .iter()
                        .any(|one| one.hazard == hazard && one.band == choice.band)
                    {
                        continue;
                    }
                    if ways.len() > 1 {
                        choice.reason = format!("If held as {}: {}", held.label(), choice.reason);
                    }
                    let sentence = (telling_order(&choice), choice.reason.clone());
                    if !sentences.contains(&sentence) {
                        sentences.push(sentence);
                    }
                    let mut watch = self.watch(source, room, substance, hazard, choice);
                    if ways.len() > 1 {
                        watch.grounds.push(Ground::of(&rules::ANY_HOLDING));
                    }
                    watches.push(watch);
                }
            }
        }
        watches.sort_by_key(|watch| watch.hazard);
        sentences.sort_by_key(|sentence| sentence.0);
        let sentences: Vec<String> = sentences.into_iter().map(|sentence| sentence.1).collect();
        if !gas::is_toxic(substance) {
            self.ask_where_density_does_not_settle(source, substance, &watches);
        }
        if let Some(release) = likeliest.filter(|_| ways.len() == 1) {
            self.say_where_it_cannot_burn(source, substance, &release);
        }
        self.say_where_it_associates(source, substance, &ways);
        SourceResult {
            room: room.map(|room| room.id),
            substance: substance.name.to_string(),
            composition: gas::composition_text(&substance.composition),
            watches,
            sentence: sentences.join(" "),
        }
    }

    fn unknown(&mut self, source: &ReleaseSource, room: Option<&Room>) -> SourceResult {
        let message = format!(
            "{}: nothing is known of the substance {:?}, so nothing watches it.",
            source.name, source.substance
        );
        let remedy = "Choose a substance from the list, or the main part of the mixture.";
        let id = format!("gas.unknown/source-{}", source.id);
        let finding = Finding::new(id, Severity::Blocker, message.clone(), remedy);
        let about = ItemKey::Source(source.id);
        self.findings
            .push(finding.about(about).at(source.floor, source.at));
        SourceResult {
            room: room.map(|room| room.id),
            substance: source.substance.clone(),
            composition: String::new(),
            watches: Vec::new(),
            sentence: message,
        }
    }

    /// How it is held; every usual way, and a question, where nobody said.
    fn ways(&mut self, source: &ReleaseSource, substance: &Substance) -> Vec<Holding> {
        let said = source
            .release
            .as_ref()
            .and_then(crate::model::Release::holding);
        if let Some(held) = source.holding.or(said) {
            return vec![held];
        }
        let ways = match substance.usual_holdings.as_slice() {
            [] => vec![Holding::Gas],
            ways => ways.to_vec(),
        };
        let room = self.project.basis.get(&basis::ROOM_TEMPERATURE);
        let temperature = match (ways[0], &substance.boiling_point) {
            (Holding::FlueGas, _) => self.project.basis.get(&basis::FLUE_GAS_TEMPERATURE),
            (Holding::CryogenicLiquid | Holding::LiquefiedGas, Some(boils)) => {
                boils.value.min(room)
            }
            _ => room,
        };
        let assumed = self
            .trace
            .rule(&rules::ANY_HOLDING, temperature, Unit::Celsius, &[]);
        let labels: Vec<&str> = ways.iter().map(|held| held.label()).collect();
        let question = format!(
            "How is the {} of {} held: {}? Until answered it is watched wherever any of these asks \
             for it, and taken to leave at this temperature.",
            within_sentence(&substance.name),
            source.name,
            labels.join(", or ")
        );
        self.questions.push(Question {
            about: ItemKey::Source(source.id),
            question,
            assumed,
        });
        ways
    }

    fn watch(
        &mut self,
        source: &ReleaseSource,
        room: Option<&Room>,
        substance: &Substance,
        hazard: Hazard,
        choice: Choice,
    ) -> Watch {
        let basis_height =
            heights::height(self.trace, self.project, room, choice.band, Some(source));
        let open = heights::is_open(room) && choice.band == Band::High;
        let rule = if open {
            &rules::OVER_SOURCE
        } else {
            choice.rule
        };
        let mut grounds = vec![Ground::of(choice.rule)];
        if open {
            grounds.push(Ground::of(rule));
        }
        let mut inputs = vec![("height by the basis of design", basis_height)];
        inputs.extend(choice.density.map(|density| ("relative density", density)));
        let height = self
            .trace
            .rule(rule, basis_height.value, Unit::Metre, &inputs);
        let place = match (choice.band, room) {
            (Band::High, _) if open => {
                let over = height.value - self.source_height(source);
                format!("{over:.1} m above the source, as no ceiling holds it")
            }
            (Band::High, _) => "below the ceiling".to_owned(),
            _ => "above the floor".to_owned(),
        };
        let measures = measured(self.project, substance, hazard);
        let mut reason = choice.reason;
        if measures == OXYGEN {
            grounds.push(Ground::of(&rules::OXYGEN_IS_MEASURED));
        } else if measures != substance.key || substance.is_mixture() {
            grounds.push(Ground::of(&rules::MIXTURE_IS_MEASURED));
        }
        if measures == OXYGEN && substance.key != OXYGEN {
            reason.push_str(" What is measured is the oxygen of the air.");
        }
        reason.push_str(&match (choice.band, open) {
            (Band::High, false) => {
                let below = heights::ceiling(self.trace, self.project, room).value - height.value;
                let assumed = match room.is_some_and(|room| room.ceiling.is_none()) {
                    true => "; the height of the ceiling is assumed",
                    false => "",
                };
                format!(
                    " Mounted {below:.2} m {place}, at {:.2} m{assumed}.",
                    height.value
                )
            }
            (Band::High, true) => format!(" Mounted {place}, at {:.2} m.", height.value),
            _ => format!(" Mounted {:.2} m {place}.", height.value),
        });
        Watch {
            hazard,
            measures,
            band: choice.band,
            relative_density: choice.density,
            height,
            reason,
            grounds,
        }
    }

    fn source_height(&self, source: &ReleaseSource) -> f64 {
        let unknown = self.project.basis.get(&basis::SOURCE_HEIGHT_UNKNOWN);
        source.height.map_or(unknown, |height| height.get())
    }

    /// The proposed breathing height of a gas near air's density is never silent.
    fn ask_where_density_does_not_settle(
        &mut self,
        source: &ReleaseSource,
        substance: &Substance,
        watches: &[Watch],
    ) {
        let [only] = watches else { return };
        let near = only.hazard == Hazard::Flammable && only.band == Band::Breathing;
        let Some(density) = only.relative_density.filter(|_| near) else {
            return;
        };
        let name = substance.name.as_ref();
        let about = ItemKey::Source(source.id);
        let question = format!(
            "{name} of {} is {:.2} times as dense as air: does air movement in the room carry it \
             up or down? Sought at breathing height until answered.",
            source.name, density.value
        );
        self.questions.push(Question {
            about,
            question,
            assumed: only.height,
        });
        let message = format!(
            "{name} at {} is {:.2} times as dense as air, which does not settle the height; \
             breathing height is proposed.",
            source.name, density.value
        );
        let remedy = "Confirm it from the room's air movement (a smoke test shows it), or place a \
                      detector high or low by hand as well.";
        let id = format!("mounting.near_air/source-{}", source.id);
        let finding = Finding::new(id, Severity::Warning, message, remedy);
        self.findings
            .push(finding.about(about).at(source.floor, source.at));
    }

    /// A liquid below its flash point cannot reach its lower flammable limit.
    fn say_where_it_cannot_burn(
        &mut self,
        source: &ReleaseSource,
        substance: &Substance,
        release: &Release,
    ) {
        let lfl = substance.lfl_in(self.project.head.jurisdiction);
        let (Some(saturation), Some(lfl)) = (release.saturation, lfl) else {
            return;
        };
        let lfl = &lfl.figure;
        if saturation.value >= lfl.value {
            return;
        }
        let title = format!("Lower flammable limit of {}", substance.name);
        let limit = self
            .trace
            .given(title, lfl.value, lfl.unit, lfl.citation.clone());
        let message = format!(
            "{}: at {:.0} °C the vapour of {} reaches {} at most, below its lower flammable \
             limit of {}.",
            source.name,
            release.temperature.value,
            within_sentence(&substance.name),
            said(saturation),
            said(limit)
        );
        let remedy = "Check whether it is ever heated or sprayed; if not, a detector for it may \
                      not be needed.";
        let id = format!("gas.lfl_unreachable/source-{}", source.id);
        let finding = Finding::new(id, Severity::Note, message, remedy);
        let about = ItemKey::Source(source.id);
        self.findings.push(
            finding
                .about(about)
                .at(source.floor, source.at)
                .held_against(saturation, limit),
        );
    }

    /// The density of a vapour that associates is known between bounds only: the finding says both,
    /// where its vapour pressure is known in the room's air.
    fn say_where_it_associates(
        &mut self,
        source: &ReleaseSource,
        substance: &Substance,
        ways: &[Holding],
    ) {
        if !substance.associates || !ways.contains(&Holding::Liquid) {
            return;
        }
        let (name, called) = (&source.name, within_sentence(&substance.name));
        let mut message =
            format!("{name}: the vapour of {called} associates, its molecules join in pairs.");
        let bounds = self.bounds_where_it_associates(substance);
        message.push_str(&match &bounds {
            Ok((least, most)) => format!(
                " Air saturated with it is {:.2} to {:.2} times as dense as air; it is taken as \
                 heavy and sought low.",
                least.value, most.value
            ),
            Err(why) => format!(" {why} It is taken as heavy and sought low."),
        });
        let remedy = "Keep the detector low; nothing here tells how many molecules are pairs.";
        let id = format!("gas.associates/source-{}", source.id);
        let mut finding = Finding::new(id, Severity::Note, message, remedy)
            .about(ItemKey::Source(source.id))
            .at(source.floor, source.at);
        if let Ok((least, most)) = bounds {
            finding = finding.held_against(least, most);
        }
        self.findings.push(finding);
    }

    /// Relative density of air saturated with the vapour: as single molecules, and as pairs.
    fn bounds_where_it_associates(
        &mut self,
        substance: &Substance,
    ) -> Result<(Quantity, Quantity), String> {
        let air = RoomAir::of(self.trace, &self.project.basis);
        let pool = vapour::pool_vapour(self.trace, substance, air.temperature, air.pressure)?;
        let single = density::relative_density(self.trace, substance);
        let inputs = [("of single molecules", single)];
        let pairs = 2.0 * single.value;
        let rule = &vapour::ASSOCIATED_PAIRS;
        let pairs = self.trace.rule(rule, pairs, Unit::One, &inputs);
        let inputs = [pool.pressure, air.pressure, pairs];
        let most = self.trace.eval(&density::SATURATED_DENSITY, &inputs);
        Ok((pool.relative_density, most))
    }
}

/// Questions about rooms: what the surveyor did not know.
pub fn ask_about_rooms(spaces: &Airspaces<'_>, trace: &mut Trace, questions: &mut Vec<Question>) {
    let project = spaces.project;
    ask_about_open_ways(project, trace, questions);
    let sources = project.sources.iter();
    let rooms = sources.filter_map(|source| spaces.room_at(source.floor, source.at));
    let released: BTreeSet<usize> = rooms.map(|room| spaces.space_of(room.id)).collect();
    for room in project
        .rooms
        .iter()
        .filter(|room| room.enclosure != Enclosure::Outdoor)
    {
        // Of air that nothing is released into nobody need know more.
        if !released.contains(&spaces.space_of(room.id)) {
            continue;
        }
        let about = ItemKey::Room(room.id);
        if room.ceiling.is_none() {
            let assumed = trace.basis(&project.basis, &basis::CEILING_UNKNOWN);
            let question = format!("What is the ceiling height of {}?", room_name(room));
            questions.push(Question {
                about,
                question,
                assumed,
            });
        }
        if room.air_changes.is_none() {
            let assumed = trace.basis(&project.basis, &basis::AIR_CHANGES_UNKNOWN);
            let question = format!("How many air changes an hour has {}?", room_name(room));
            questions.push(Question {
                about,
                question,
                assumed,
            });
        }
    }
}

/// Questions about open ways between rooms whose head nobody stated: gas under the ceiling passes
/// only below it.
fn ask_about_open_ways(project: &Project, trace: &mut Trace, questions: &mut Vec<Question>) {
    for gap in airspace::gaps(project)
        .into_iter()
        .filter(|gap| gap.head.is_none())
    {
        let rooms = gap.rooms.map(|room| project.rooms.get(room));
        let [Some(one), Some(other)] = rooms else {
            continue;
        };
        let ceilings = [one, other].map(|room| heights::ceiling(trace, project, Some(room)));
        let least = ceilings[0].value.min(ceilings[1].value);
        let inputs = [("one ceiling", ceilings[0]), ("the other", ceilings[1])];
        let assumed = trace.rule(&rules::OPEN_HEAD, least, Unit::Metre, &inputs);
        let question = format!(
            "How high is the head of the open way between {} and {}? Assumed: up to the ceiling, so \
             that gas under it passes.",
            room_name(one),
            room_name(other)
        );
        questions.push(Question {
            about: ItemKey::Opening(gap.opening),
            question,
            assumed,
        });
    }
}

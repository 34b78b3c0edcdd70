//! What each release does in its room: cases, courses, alarms and harms, with the findings.
//!
//! The physics stands in the modules beside; this one puts it together. It must not decide what
//! watches a release: that it is told.

#[cfg(test)]
mod provision_tests;
#[cfg(test)]
mod tests;
mod watched;

use std::collections::BTreeMap;

use crate::engine::airspace::Airspaces;
use crate::engine::atmosphere::air::{SharedAir, room_air};
use crate::engine::atmosphere::alarm::Watcher;
use crate::engine::atmosphere::course::{self, Common, Courses, Ways};
use crate::engine::atmosphere::state::{self, State};
use crate::engine::atmosphere::{
    Discharge, findings, mixing, oxygen, plume, provision, room, vents, words,
};
use crate::engine::finding::Finding;
use crate::engine::gas::density::OXYGEN_AFTER_RELEASE;
use crate::engine::gas::{Substance, Substances, density, within_sentence};
use crate::engine::results::*;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// What the step needs to know of a project.
#[derive(Clone, Copy)]
pub struct Inputs<'a> {
    pub project: &'a Project,
    pub spaces: &'a Airspaces<'a>,
    pub discharges: &'a BTreeMap<SourceId, Discharge>,
    /// What watches each source; several detectors may serve one watch.
    pub watchers: &'a BTreeMap<SourceId, Vec<Watcher>>,
    /// What is asked about the releases: figures that are only assumed.
    pub questions: &'a [Question],
}

/// What each release does in its room. Sources without a discharge or of an unknown substance are
/// left out.
pub fn step(inputs: Inputs<'_>, trace: &mut Trace, findings: &mut Vec<Finding>) -> Releases {
    let common = Common::new(inputs.project, trace);
    let mut airs: BTreeMap<RoomId, Option<SharedAir>> = BTreeMap::new();
    let mut releases = Releases::new();
    for (id, discharge) in inputs.discharges {
        let Some(source) = inputs.project.sources.get(*id) else {
            continue;
        };
        let Some(substance) = Substances::of(inputs.project).find(&source.substance) else {
            continue;
        };
        let room = inputs.spaces.room_at(source.floor, source.at);
        let air = room.and_then(|room| {
            let made = airs
                .entry(room.id)
                .or_insert_with(|| room_air(inputs.project, inputs.spaces, trace, room));
            made.clone()
        });
        let watchers = inputs.watchers.get(id).map_or(&[][..], Vec::as_slice);
        let mut of = Of {
            project: inputs.project,
            common: &common,
            source,
            substance: &substance,
            name: within_sentence(&substance.name),
            discharge,
            room,
            watchers,
            trace: &mut *trace,
            missing: Vec::new(),
        };
        let mut result = of.release(air.as_ref());
        let missing = of.missing;
        let project = inputs.project;
        provision::of_source(
            project,
            source,
            &substance,
            air.as_ref(),
            trace,
            &mut result,
        );
        let about = |question: &&Question| question.about == ItemKey::Source(*id);
        let open: Vec<&Question> = inputs.questions.iter().filter(about).collect();
        let known = findings::Known {
            missing: &missing,
            open: &open,
        };
        findings.extend(findings::of(source, room, &result, known, watchers));
        releases.insert(*id, result);
    }
    let provided = provision::findings(inputs.project, inputs.spaces, &airs, &releases, trace);
    findings.extend(provided);
    releases
}

/// A plume's way is at least this long, m: a hole has a size.
const LEAST_RUN: f64 = 0.1;

/// One release.
struct Of<'a> {
    project: &'a Project,
    common: &'a Common,
    source: &'a ReleaseSource,
    substance: &'a Substance,
    /// As it stands in a sentence.
    name: String,
    discharge: &'a Discharge,
    room: Option<&'a Room>,
    watchers: &'a [Watcher],
    trace: &'a mut Trace,
    /// Data that were missing, and what was taken instead.
    missing: Vec<String>,
}

impl Of<'_> {
    fn release(&mut self, air: Option<&SharedAir>) -> ReleaseResult {
        let in_room = density::relative_density(self.trace, self.substance);
        let stated = self.source.height.map(|height| height.get());
        let item = &basis::SOURCE_HEIGHT_UNKNOWN;
        let source_height =
            self.trace
                .stated_or(self.project, "Height of the release", stated, item);
        let mut result = ReleaseResult {
            room: self.room.map(|room| room.id),
            substance: self.substance.name.to_string(),
            rate: self.discharge.rate,
            total: self.discharge.total,
            ends: self.discharge.ends(self.trace),
            relative_density: self.discharge.relative_density,
            source_height,
            pool: self.discharge.pool,
            volume: air.map(|air| air.volume),
            area: air.map(|air| air.area),
            height: air.map(|air| air.height),
            ventilation: air.map(|air| air.supply),
            occupied_height: self.common.occupied,
            cases: Vec::new(),
            mixing: None,
            final_oxygen: None,
            battery: None,
            charge: None,
            sentences: Vec::new(),
            notes: Vec::new(),
        };
        let room_c = self.project.basis.get(&basis::ROOM_TEMPERATURE);
        let is_liquid = match &self.substance.boiling_point {
            Some(boils) => boils.value >= room_c,
            None => self.source.holding == Some(Holding::Liquid),
        };
        let states = state::states(self.source, self.discharge, in_room.value, is_liquid);
        if states.is_cold {
            result.mixing = Some(self.mixing(in_room));
        }
        result
            .sentences
            .extend(result.mixing.iter().map(|curves| curves.sentence.clone()));
        let Some(air) = air else {
            result.notes.push(words::in_the_open(self.room));
            return result;
        };
        if !(self.discharge.rate.value > 0.0 && self.discharge.rate.value.is_finite()) {
            let nothing = "Nothing comes out of it, so nothing is to be alarmed.".to_owned();
            result.notes.push(nothing);
            return result;
        }
        result.final_oxygen = self.final_oxygen(air);
        result
            .sentences
            .extend(result.final_oxygen.as_ref().map(words::of_oxygen));
        let n_cases = states.cases.len();
        for state in &states.cases {
            let case = self.case(state, air, source_height, n_cases);
            result.sentences.extend(self.told(&case));
            result.notes.extend(words::notes(self.source, air, &case));
            result.cases.push(case);
        }
        result.notes.extend(air.assumed.iter().cloned());
        result.notes.extend(self.missing.iter().cloned());
        result.notes = once_each(result.notes);
        result
    }

    /// What a case does and when it alarms and harms, in sentences.
    fn told(&self, case: &ReleaseCase) -> Vec<String> {
        let mut told = vec![words::of_case(&self.name, case, self.common.horizon)];
        told.extend(case.alarms.iter().map(|alarm| alarm.sentence.clone()));
        told.extend(case.harms.iter().map(|harm| harm.sentence.clone()));
        told
    }

    fn mixing(&mut self, in_room: Quantity) -> MixingCurves {
        let leaving = self.discharge.relative_density;
        let room_c = self
            .trace
            .basis(&self.project.basis, &basis::ROOM_TEMPERATURE);
        let kelvin = self
            .trace
            .eval(&mixing::LEAVING_TEMPERATURE, &[in_room, leaving, room_c]);
        let boils = self.substance.boiling_point.as_ref();
        // Beside a real gas it leaves at its boiling point, and no colder.
        let kelvin = match boils.map(|boils| boils.value + 273.15) {
            Some(boils) if boils > kelvin.value => {
                let inputs = [("by its density", kelvin)];
                self.trace
                    .rule(&state::NO_COLDER, boils, Unit::Kelvin, &inputs)
            }
            _ => kelvin,
        };
        mixing::curves(
            self.trace,
            &self.project.basis,
            self.substance,
            in_room,
            kelvin,
        )
    }

    fn final_oxygen(&mut self, air: &SharedAir) -> Option<FinalOxygen> {
        let total = self.discharge.total?;
        let formulas = match (self.substance.enriches, self.substance.asphyxiant) {
            (true, _) => (&oxygen::ENRICHED_PLUG, &oxygen::ENRICHED_MIXING),
            (_, true) => (&OXYGEN_AFTER_RELEASE, &oxygen::AFTER_MIXING),
            _ => return None,
        };
        Some(FinalOxygen {
            plug: self.trace.eval(formulas.0, &[air.volume, total]),
            mixed: self.trace.eval(formulas.1, &[air.volume, total]),
        })
    }

    fn case(
        &mut self,
        state: &State,
        air: &SharedAir,
        source_height: Quantity,
        n_cases: usize,
    ) -> ReleaseCase {
        let from = match (state.kind, state.motion) {
            // What has warmed rises from the floor it fell to.
            (ReleaseState::Warmed, Motion::Rises) if n_cases > 1 => {
                self.trace
                    .rule(&state::FROM_THE_FLOOR, 0.0, Unit::Metre, &[])
            }
            (_, Motion::Falls) if self.discharge.pool.is_some() => {
                self.trace
                    .rule(&state::FROM_THE_POOL, 0.0, Unit::Metre, &[])
            }
            _ => source_height,
        };
        let densities = [("as it leaves", self.discharge.relative_density)];
        let moving = self
            .trace
            .rule(&state::MOVING, state.moving, Unit::One, &densities);
        let setting = course::setting(self.common, state, air);
        let plume = self.plume(state, air, from, moving);
        let courses = Courses::new(self.common, setting, self.discharge, plume.as_ref());
        let supply = air.supply;
        let peak = courses
            .usual
            .iter()
            .map(|moment| moment.mixed)
            .fold(0.0, f64::max);
        let inputs = [
            ("gas that comes out", self.discharge.rate),
            ("fresh air", supply),
        ];
        let highest = self
            .trace
            .rule(&state::HIGHEST, peak, Unit::PercentVolume, &inputs);
        let rate = self.discharge.rate;
        let steady = match (self.discharge.total, &air.vents, &plume) {
            (Some(_), ..) => None,
            (None, Some(vents), Some((_, plume))) => {
                let inputs = [rate, supply, vents.effective, vents.rise, plume.buoyancy];
                Some(self.trace.eval(&vents::MIXED_AT_REST, &inputs))
            }
            (None, ..) => Some(self.trace.eval(&room::STEADY, &[rate, supply])),
        };
        let mut case = courses.kept(state, from, moving, highest);
        case.steady = steady;
        case.plume = plume.map(|plume| plume.1);
        case.vented = self.vented(&case, air, from);
        self.watched((state, air), &courses, n_cases, &mut case);
        case
    }

    /// The plume at the beginning; `None` where the gas goes with the air. `from` is the height it
    /// leaves at, `moving` the density that moves it.
    fn plume(
        &mut self,
        state: &State,
        air: &SharedAir,
        from: Quantity,
        moving: Quantity,
    ) -> Option<(Ways, Plume)> {
        let run = match state.motion {
            Motion::Rises => air.height.value - from.value,
            Motion::Falls => from.value,
            Motion::Mixes => return None,
        };
        let common = self.common;
        let inputs = [
            ("height of the room", air.height),
            ("height of the release", from),
        ];
        let run = self
            .trace
            .rule(&state::RUN, run.max(LEAST_RUN), Unit::Metre, &inputs);
        let in_room = self.trace.given(
            "Relative density at the room's temperature",
            state.in_room,
            Unit::One,
            Citation::from_memory("Ideal gas law", "molar mass over that of air"),
        );
        let rate = self.discharge.rate;
        let buoyancy = self.trace.eval(&plume::BUOYANCY, &[rate, in_room, moving]);
        let leaves = rate.value / state.strength;
        let ways = common.coefficients.map(|coefficient| {
            let mut flux = self.trace.eval(&plume::FLUX, &[coefficient, buoyancy, run]);
            if flux.value < leaves {
                let inputs = [("by its way", flux), ("gas in it", rate)];
                flux = self.trace.rule(&state::NO_LESS, leaves, flux.unit, &inputs);
            }
            (flux, self.trace.eval(&plume::DILUTION, &[rate, flux]))
        });
        let transits = std::array::from_fn(|idx| {
            plume::transit(common.entrainments[idx].value, run.value, ways[idx].0.value)
        });
        let [(flux, dilution), (_, strongest), (_, weakest)] = ways;
        let plume = Plume {
            run,
            buoyancy,
            flux,
            dilution,
            dilution_band: [weakest, strongest],
        };
        Some((Ways { transits }, plume))
    }

    /// Where the layer comes to rest between the vents of the room.
    fn vented(
        &mut self,
        case: &ReleaseCase,
        air: &SharedAir,
        from: Quantity,
    ) -> Option<VentedLayer> {
        let (vents, plume) = (air.vents.as_ref()?, case.plume.as_ref()?);
        let gas = (from, case.motion, self.discharge.rate);
        let room = (air.supply.value / 3600.0, air.height.value);
        let plume = (plume, self.common.coefficients[0]);
        vents::at_rest(self.trace, vents, plume, gas, room)
    }
}

/// The notes, each once, in their order.
fn once_each(notes: Vec<String>) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    for note in notes {
        if !kept.contains(&note) {
            kept.push(note);
        }
    }
    kept
}

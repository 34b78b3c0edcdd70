//! What a release does in its room: gas against height and time, and the times that follow.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::engine::trace::Quantity;
use crate::model::*;
use crate::units::Unit;

/// The releases of a project by their source; a source of which nothing is known is left out.
pub type Releases = BTreeMap<SourceId, ReleaseResult>;

/// What a release does in its room.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReleaseResult {
    pub room: Option<RoomId>,
    /// Name of what comes out.
    pub substance: String,
    /// Gas at the beginning, m3/s at room temperature.
    pub rate: Quantity,
    /// All there is, m3; `None`: it goes on.
    pub total: Option<Quantity>,
    /// s from the beginning until nothing to speak of comes out any more; `None`: it goes on.
    pub ends: Option<Quantity>,
    /// Relative to the room's air, as it leaves.
    pub relative_density: Quantity,
    /// Height of the release, m above the floor.
    pub source_height: Quantity,
    /// Surface of the pool of a liquid spilt on the floor, m2; `None`: there is none.
    pub pool: Option<Quantity>,
    /// Volume of the air that the room shares, m3; `None` in the open.
    pub volume: Option<Quantity>,
    /// Its area, m2.
    pub area: Option<Quantity>,
    /// Its height, m.
    pub height: Option<Quantity>,
    /// Fresh air, m3/h.
    pub ventilation: Option<Quantity>,
    /// Top of the layer people breathe in, m above the floor.
    pub occupied_height: Quantity,
    /// One case, or two where a cold release sinks first and rises once it has warmed; none in the
    /// open.
    pub cases: Vec<ReleaseCase>,
    /// Only for a cold release.
    pub mixing: Option<MixingCurves>,
    /// Only for what takes or gives oxygen, once all is out.
    pub final_oxygen: Option<FinalOxygen>,
    /// Only for cells on charge: the air they require.
    pub battery: Option<BatteryAir>,
    /// Only for a circuit of refrigerant whose practical limit a table states.
    pub charge: Option<ChargeHeld>,
    /// What it does, in a colleague's words.
    pub sentences: Vec<String>,
    /// Where the calculation leaves what it holds for.
    pub notes: Vec<String>,
}

/// A release in its room in one state. Two pictures of the room stand side by side: the gas in a
/// layer under the ceiling or on the floor, and the gas mixed through the room.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReleaseCase {
    pub state: ReleaseState,
    pub motion: Motion,
    /// Where the gas sets out, m above the floor: at the release, or at the floor that its liquid
    /// or the cold gas fell to before.
    pub from: Quantity,
    /// Relative to the room's air, of what moves.
    pub relative_density: Quantity,
    /// Where the plume meets the ceiling or floor; `None` where it mixes.
    pub plume: Option<Plume>,
    /// Where the layer comes to rest between stated vents, as long as gas comes out; `None` without
    /// a pair of them, where it mixes, or where other ventilation takes more.
    pub vented: Option<VentedLayer>,
    /// s from the beginning of the release; the lists below are as long.
    pub times: Vec<f64>,
    /// Height of the layer's front, m above the floor; empty where it mixes.
    pub front: Vec<f64>,
    /// Gas in the layer, %vol; empty where it mixes.
    pub layer: Vec<f64>,
    /// Mean gas where people breathe with the gas in a layer, %vol; empty where it mixes.
    pub occupied: Vec<f64>,
    /// Mean gas of the room, %vol.
    pub mixed: Vec<f64>,
    /// Highest mean of the room in the time looked at, %vol.
    pub highest: Quantity,
    /// Mean the room settles at if the release goes on, %vol.
    pub steady: Option<Quantity>,
    /// One for each watch: its nearest detector, or the suggested height.
    pub alarms: Vec<AlarmResult>,
    /// One for each hazard.
    pub harms: Vec<HarmResult>,
}

/// In what state a release is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ReleaseState {
    /// As it leaves.
    Leaving,
    /// Once it has taken the room's temperature.
    Warmed,
}

/// Which way a release goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Motion {
    Rises,
    Falls,
    /// With the air of the room.
    Mixes,
}

/// A plume where it meets the ceiling or floor, at the beginning.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plume {
    /// From the release to the ceiling or floor, m.
    pub run: Quantity,
    /// Buoyancy flux, m4/s3.
    pub buoyancy: Quantity,
    /// Air and gas that arrive, m3/s.
    pub flux: Quantity,
    /// Mean gas in it, %vol.
    pub dilution: Quantity,
    /// The same at the most and the least entrainment, %vol.
    pub dilution_band: [Quantity; 2],
}

/// A layer whose lift drives as much through a low and a high vent as the plume brings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VentedLayer {
    /// Effective area of both vents together, m2.
    pub vents: Quantity,
    /// m above the floor.
    pub front: Quantity,
    /// Air and gas through the vents, m3/s.
    pub flow: Quantity,
    /// Gas in the layer, %vol.
    pub gas: Quantity,
}

/// How a share of gas in air reads: `at_zero + per_percent * gas`, gas in %vol.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Scale {
    pub unit: Unit,
    pub at_zero: f64,
    pub per_percent: f64,
}

/// When one watch sees the release.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AlarmResult {
    pub hazard: Hazard,
    /// Key of what is measured.
    pub measures: String,
    pub band: Band,
    /// The detector that alarms first; `None`: a detector at the suggested height.
    pub detector: Option<DetectorId>,
    /// m above the floor.
    pub height: Quantity,
    /// Along free air paths from the release, m.
    pub distance: Quantity,
    pub scale: Scale,
    pub set_point: Quantity,
    /// The set-point as gas in air, %vol.
    pub set_point_gas: Quantity,
    /// Gas at the detector against time with the gas in a layer, s and %vol, with the jump when the
    /// front or the current gets there; empty where it mixes, and the mean of the room is what it
    /// meets.
    pub at_detector: Vec<(f64, f64)>,
    /// s until gas at the set-point is at the detector, with the gas in a layer; `None`: not in the
    /// time looked at.
    pub gas_layered: Option<Quantity>,
    /// The same with least and most entrainment.
    pub gas_layered_band: [Option<Quantity>; 2],
    /// s, with the gas mixed through the room.
    pub gas_mixed: Option<Quantity>,
    /// Detector, bus, panel and sounder, s.
    pub delay: Quantity,
    /// s to the alarm with the gas in a layer; `None`: not in the time looked at.
    pub alarm_layered: Option<Quantity>,
    /// s, with the gas mixed through the room.
    pub alarm_mixed: Option<Quantity>,
    /// s to the alarm: the later of the two pictures; `None`: in neither.
    pub alarm: Option<Quantity>,
    /// The picture that leaves this alarm least time before the harm; without harm the one it comes
    /// later in; `None`: neither comes.
    pub picture: Option<Picture>,
    pub sentence: String,
}

/// When the release harms people in one way, and whether the alarm comes before.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HarmResult {
    pub hazard: Hazard,
    pub scale: Scale,
    /// What harms, such as "lower flammable limit of methane".
    pub name: String,
    pub level: Quantity,
    /// s until the mean where people breathe is there, with the gas in a layer; `None`: not in the
    /// time looked at.
    pub harm_layered: Option<Quantity>,
    /// s, with the gas mixed through the room.
    pub harm_mixed: Option<Quantity>,
    /// s until a mixed room is there if the release goes on beyond the time looked at; `None`:
    /// never, or sooner.
    pub harm_later: Option<Quantity>,
    /// s: of the picture that decides, else the earlier of the two.
    pub harm: Option<Quantity>,
    /// s to the first alarm of any watch of this case with the gas in a layer.
    pub alarm_layered: Option<Quantity>,
    /// s, with the gas mixed through the room.
    pub alarm_mixed: Option<Quantity>,
    /// s: of the picture that decides; without harm the later of the two.
    pub alarm: Option<Quantity>,
    /// The picture whose harm leaves the alarm least time; `None` where nothing harms.
    pub picture: Option<Picture>,
    pub verdict: Verdict,
    pub sentence: String,
}

/// The two ways in which the gas in a room is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Picture {
    /// In a layer under the ceiling or on the floor.
    Layered,
    /// Mixed through the room.
    Mixed,
}

/// The alarm held against the harm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The alarm comes before the harm.
    InTime,
    /// The alarm comes, the harm does not.
    NoHarm,
    /// Neither comes in the time looked at.
    Neither,
    /// The harm comes before the alarm.
    TooLate,
    /// The harm comes, the alarm does not.
    NoAlarm,
}

/// Density of a cold release mixed with room air, against the share of gas.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MixingCurves {
    /// Mole fraction of the gas, 1 down to 0; the curves are as long.
    pub gas: Vec<f64>,
    /// Relative to the room's air, by mixing alone.
    pub adiabatic: Vec<f64>,
    /// Relative to the room's air, with heat from floor, walls and moisture.
    pub heated: Vec<f64>,
    /// Mole fraction at which it is as dense as air by mixing alone; `None`: it never is.
    pub crossing_adiabatic: Option<Quantity>,
    /// The same with heat.
    pub crossing_heated: Option<Quantity>,
    pub sentence: String,
}

/// What cells on charge require: EN 62485-2.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BatteryAir {
    /// m3/h of hydrogen, with the safety factor of the standard's current.
    pub hydrogen: Quantity,
    /// m3/h of hydrogen without it.
    pub best_estimate: Quantity,
    /// m3/h of air.
    pub airflow: Quantity,
    /// cm2, of the opening for fresh air and again of the one for spent air.
    pub opening: Quantity,
}

/// The charge of a refrigerating circuit beside what the room may hold: EN 378-1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ChargeHeld {
    /// kg.
    pub charge: Quantity,
    /// kg: practical limit times volume.
    pub limit: Quantity,
}

/// Oxygen once all that can come out is out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FinalOxygen {
    /// Room air pushed out as a plug: the worst case, %vol.
    pub plug: Quantity,
    /// Gas mixed as it comes, what overflows carries some of it away, %vol.
    pub mixed: Quantity,
}

impl Scale {
    /// The reading of `gas` %vol in air.
    pub fn reading(&self, gas: f64) -> f64 {
        self.at_zero + self.per_percent * gas
    }

    /// The gas in air, %vol, that reads `reading`.
    pub fn gas(&self, reading: f64) -> f64 {
        (reading - self.at_zero) / self.per_percent
    }
}

impl ReleaseCase {
    /// Gas at `height`, m above the floor, against time with the gas in a layer: s and %vol, with a
    /// jump where the front passes; empty where it mixes.
    pub fn course_at(&self, height: f64) -> Vec<(f64, f64)> {
        let inside = |front: f64| match self.motion {
            Motion::Rises => height >= front,
            Motion::Falls => height <= front,
            Motion::Mixes => false,
        };
        let mut points = Vec::new();
        for (idx, &front) in self.front.iter().enumerate() {
            let was = idx.saturating_sub(1);
            let before = self.front[was];
            if inside(front) != inside(before) {
                let share = (height - before) / (front - before);
                let between = |values: &[f64]| values[was] + share * (values[idx] - values[was]);
                let (time, gas) = (between(&self.times), between(&self.layer));
                points.push((time, if inside(before) { gas } else { 0.0 }));
                points.push((time, if inside(front) { gas } else { 0.0 }));
            }
            let gas = if inside(front) { self.layer[idx] } else { 0.0 };
            points.push((self.times[idx], gas));
        }
        points
    }

    /// The harm an alarm is held against: of its hazard, else the first.
    pub fn harm_of(&self, alarm: &AlarmResult) -> Option<&HarmResult> {
        let same = |harm: &&HarmResult| harm.hazard == alarm.hazard;
        self.harms.iter().find(same).or(self.harms.first())
    }

    /// `course_at`, with no gas before `arrival`, s.
    pub fn course_from(&self, height: f64, arrival: f64) -> Vec<(f64, f64)> {
        let course = self.course_at(height);
        let n_before = course.iter().filter(|(time, _)| *time < arrival).count();
        let (before, after) = course.split_at(n_before);
        let mut points: Vec<(f64, f64)> = before.iter().map(|(time, _)| (*time, 0.0)).collect();
        if let (Some(last), Some(next)) = (before.last(), after.first()) {
            let share = (arrival - last.0) / (next.0 - last.0);
            let gas = last.1 + share * (next.1 - last.1);
            points.extend([(arrival, 0.0), (arrival, gas)]);
        }
        points.extend(after);
        points
    }
}

impl Verdict {
    /// Whether the design must not be issued so.
    pub const fn is_bad(self) -> bool {
        matches!(self, Verdict::TooLate | Verdict::NoAlarm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::trace::Trace;

    /// A gas under a ceiling of 3 m, worked out by hand.
    fn rising() -> ReleaseCase {
        let mut trace = Trace::default();
        let mut none = || trace.measured("nothing", 1.0, Unit::Metre);
        ReleaseCase {
            state: ReleaseState::Leaving,
            motion: Motion::Rises,
            from: none(),
            relative_density: none(),
            plume: None,
            vented: None,
            times: vec![0.0, 10.0, 30.0],
            front: vec![3.0, 2.5, 1.5],
            layer: vec![0.0, 2.0, 4.0],
            occupied: vec![0.0, 0.0, 0.8],
            mixed: vec![0.0, 0.5, 1.5],
            highest: none(),
            steady: None,
            alarms: Vec::new(),
            harms: Vec::new(),
        }
    }

    /// The front falls 1 m in 20 s from 2.5 m: it passes 2 m at 20 s, when the layer holds 3 %vol.
    #[test]
    fn the_gas_at_a_height_jumps_when_the_front_passes_it() {
        let course = vec![
            (0.0, 0.0),
            (10.0, 0.0),
            (20.0, 0.0),
            (20.0, 3.0),
            (30.0, 4.0),
        ];
        assert_eq!(rising().course_at(2.0), course);
        assert_eq!(rising().course_from(2.0, 0.0), course);
        let mixes = ReleaseCase {
            motion: Motion::Mixes,
            front: Vec::new(),
            layer: Vec::new(),
            ..rising()
        };
        assert!(mixes.course_from(2.0, 5.0).is_empty());
    }

    /// The current along the ceiling comes at 26 s, when the layer holds 3.6 %vol.
    #[test]
    fn the_gas_at_a_detector_waits_for_the_current() {
        let course = rising().course_from(2.0, 26.0);
        let after = &course[course.len() - 3..];
        assert_eq!(after, [(26.0, 0.0), (26.0, 3.6), (30.0, 4.0)]);
        assert!(
            course
                .iter()
                .all(|(time, gas)| *time >= 26.0 || *gas == 0.0)
        );
        let never = rising().course_from(2.0, 40.0);
        assert!(never.iter().all(|(_, gas)| *gas == 0.0));
    }
}

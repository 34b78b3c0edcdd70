//! In which states a release is looked at: as it leaves, and once it has warmed, where that turns
//! its way; helium only warm. Must not know of rooms.

use crate::engine::atmosphere::Discharge;
use crate::engine::formula::Rule;
use crate::engine::gas::substance::AIR_MOLAR_MASS;
use crate::engine::results::{Motion, ReleaseState};
use crate::model::*;

/// Every rule of this module.
pub static RULES: &[&Rule] = &[
    &MOVING,
    &RUN,
    &FROM_THE_FLOOR,
    &FROM_THE_POOL,
    &HIGHEST,
    &NO_LESS,
    &AS_GAS,
    &NO_COLDER,
];

pub static MOVING: Rule = Rule {
    id: "atmosphere.moving_density",
    title: "Relative density of what moves",
    statement: "That of the gas as it leaves, or once it has the room's temperature; vapour that \
        leaves already mixed with air carries the buoyancy of the vapour.",
    citation: Citation::from_memory("Ideal gas law", "equal pressure"),
};

pub static RUN: Rule = Rule {
    id: "atmosphere.run",
    title: "Way of the plume",
    statement: "From the release to the ceiling for what rises, to the floor for what falls; at \
        least 0.1 m.",
    citation: Citation::Geometry,
};

pub static FROM_THE_FLOOR: Rule = Rule {
    id: "atmosphere.from_the_floor",
    title: "What has warmed rises from the floor",
    statement: "A cold gas falls to the floor first; once it has warmed it rises from there.",
    citation: Citation::CommonPractice,
};

pub static FROM_THE_POOL: Rule = Rule {
    id: "atmosphere.from_the_pool",
    title: "What comes off a spilt liquid starts on the floor",
    statement: "A liquid that is spilt spreads on the floor: vapour heavier than air starts from \
        there, and no fall through the air of the room dilutes it.",
    citation: Citation::CommonPractice,
};

pub static HIGHEST: Rule = Rule {
    id: "atmosphere.highest_mean",
    title: "Highest mean of the room in the time looked at",
    statement: "The balance of the mixed room, followed from the beginning of the release.",
    citation: Citation::from_memory("ASHRAE Handbook: Fundamentals", "balance of a mixed room"),
};

pub static NO_LESS: Rule = Rule {
    id: "atmosphere.no_less_than_leaves",
    title: "The plume brings no less than leaves",
    statement: "On a short way a plume takes in little air; what leaves already mixed with air \
        is more than that, and comes as it leaves.",
    citation: Citation::CommonPractice,
};

pub static AS_GAS: Rule = Rule {
    id: "atmosphere.set_point_as_gas",
    title: "Set-point or level that harms, as gas in the room's air",
    statement: "The share of the released gas in the air at which a detector for it reads so.",
    citation: Citation::from_memory("IEC 60079-29-1:2016", "definitions of %LFL and %vol"),
};

pub static NO_COLDER: Rule = Rule {
    id: "atmosphere.no_colder",
    title: "No colder than it boils",
    statement: "Cold vapour is denser than an ideal gas, so that its density tells too low a \
        temperature: it leaves at its boiling point.",
    citation: Citation::CommonPractice,
};

/// So near to the air's density a gas goes where the air goes: 15 K between two parts of a room
/// differ as much (common practice).
const AS_AIR: f64 = 0.05;
/// A release denser than it is in the room by more than this leaves cold.
/// (Real gases at room temperature are up to 5 % denser than their molar mass says.)
const COLD_FROM: f64 = 1.06;
/// Cold helium warms within a few metres of the leak and rises (common practice, as for its
/// height).
const HELIUM: &str = "7440-59-7";
/// Molar mass of flue gas, g/mol (common practice).
const FLUE_GAS: f64 = 29.5;

/// A release in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    pub kind: ReleaseState,
    pub motion: Motion,
    /// Relative density at room temperature, of the pure gas.
    pub in_room: f64,
    /// Relative density that decides the buoyancy.
    pub moving: f64,
    /// Share of gas in what leaves, 1 unless it leaves mixed with air.
    pub strength: f64,
}

/// The states of a release, one or two, and whether it leaves cold.
#[derive(Debug, Clone, PartialEq)]
pub struct States {
    pub cases: Vec<State>,
    pub is_cold: bool,
}

impl State {
    /// Whether a detector in `band` is where this state takes the gas, when there are two.
    pub fn serves(&self, band: Band) -> bool {
        match self.motion {
            Motion::Rises => band != Band::Low,
            Motion::Falls => band != Band::High,
            Motion::Mixes => true,
        }
    }
}

/// The states of what `source` discharges; `in_room` is its relative density at room temperature,
/// `is_liquid` says whether it is a liquid there.
pub fn states(
    source: &ReleaseSource,
    discharge: &Discharge,
    in_room: f64,
    is_liquid: bool,
) -> States {
    let is_flue = source.holding == Some(Holding::FlueGas);
    let in_room = if is_flue {
        FLUE_GAS / AIR_MOLAR_MASS
    } else {
        in_room
    };
    let stated = discharge.relative_density.value;
    let leaving = match stated.is_finite() && stated > 0.0 {
        true => stated,
        false => in_room,
    };
    // At one temperature the two differ only by what a real gas is beside an ideal one.
    let same = (leaving / in_room - 1.0).abs() < COLD_FROM - 1.0;
    let in_room = if same { leaving } else { in_room };
    let state = |kind, density: f64| State {
        kind,
        motion: motion(density),
        in_room,
        moving: density,
        strength: 1.0,
    };
    let diluted = diluted(source, in_room, leaving).filter(|_| is_liquid && !is_flue);
    if let Some(strength) = diluted {
        let motion = match in_room > 1.0 {
            true => Motion::Falls,
            false => motion(in_room),
        };
        let pool = State {
            motion,
            strength,
            ..state(ReleaseState::Leaving, in_room)
        };
        return States {
            cases: vec![pool],
            is_cold: false,
        };
    }
    let is_cold = leaving > COLD_FROM * in_room;
    if is_cold && source.substance == HELIUM {
        return States {
            cases: vec![state(ReleaseState::Warmed, in_room)],
            is_cold,
        };
    }
    let mut cases = vec![state(ReleaseState::Leaving, leaving)];
    if is_cold && motion(in_room) != motion(leaving) {
        cases.push(state(ReleaseState::Warmed, in_room));
    }
    States { cases, is_cold }
}

/// Share of gas in what leaves, where it leaves as a mixture with air: vapour over a liquid.
fn diluted(source: &ReleaseSource, in_room: f64, leaving: f64) -> Option<f64> {
    let pressed = matches!(
        source.release,
        Some(Release::Leak(_) | Release::Cylinder(_))
    );
    let share = (leaving - 1.0) / (in_room - 1.0);
    let between = share > 0.0 && share < 0.999;
    (between && !pressed).then(|| share.max(1e-4))
}

fn motion(density: f64) -> Motion {
    match density {
        d if d < 1.0 - AS_AIR => Motion::Rises,
        d if d > 1.0 + AS_AIR => Motion::Falls,
        _ => Motion::Mixes,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::atmosphere::Course;
    use crate::engine::drawn;
    use crate::engine::gas;
    use crate::engine::trace::Trace;
    use crate::units::Unit;

    fn check(name: &str, held: Holding, leaving: f64, expected: &[Motion], strength: f64) {
        let substance = gas::find(name).unwrap();
        let source = drawn::source(1, [1.0, 1.0], &substance.key, held);
        let mut trace = Trace::default();
        let discharge = Discharge {
            rate: trace.measured("rate", 0.001, Unit::CubicMetrePerSecond),
            relative_density: trace.measured("density", leaving, Unit::One),
            total: None,
            course: Course::Steady,
            pool: None,
        };
        let boils = substance.boiling_point.as_ref().map(|figure| figure.value);
        let is_liquid = boils.is_some_and(|boils| boils >= 20.0);
        let states = states(&source, &discharge, substance.relative_density(), is_liquid);
        let motions: Vec<Motion> = states.cases.iter().map(|case| case.motion).collect();
        assert_eq!(motions, expected, "{name}");
        assert!(
            (states.cases[0].strength - strength).abs() < 1e-3,
            "{name} {states:?}"
        );
    }

    /// Densities as they leave: CoolProp 8.0.0, saturated vapour beside air of 20 °C. Ways: common
    /// practice.
    #[test]
    fn what_leaves_cold_is_looked_at_twice_where_warmth_turns_its_way() {
        use Motion::{Falls, Mixes, Rises};
        check("methane", Holding::Gas, 0.5539, &[Rises], 1.0);
        check(
            "methane",
            Holding::CryogenicLiquid,
            1.508,
            &[Falls, Rises],
            1.0,
        );
        check(
            "hydrogen",
            Holding::CryogenicLiquid,
            1.106,
            &[Falls, Rises],
            1.0,
        );
        check(
            "nitrogen",
            Holding::CryogenicLiquid,
            3.829,
            &[Falls, Mixes],
            1.0,
        );
        check("argon", Holding::CryogenicLiquid, 4.792, &[Falls], 1.0);
        check("propane", Holding::LiquefiedGas, 2.006, &[Falls], 1.0);
        check("ammonia", Holding::LiquefiedGas, 0.738, &[Rises], 1.0);
        check("carbon monoxide", Holding::Gas, 0.967, &[Mixes], 1.0);
        check("carbon monoxide", Holding::FlueGas, 0.76, &[Rises], 1.0);
        // Saturated vapour at 20 °C: toluene 2.88 %vol, ethanol 5.80 %vol.
        check("toluene", Holding::Liquid, 1.0628, &[Falls], 0.0288);
        check("ethanol", Holding::Liquid, 1.0342, &[Falls], 0.058);
    }
}

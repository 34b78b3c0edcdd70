//! Gas in a layer: the filling box, and its balance under ventilation.
//!
//! First front after Baines & Turner 1969; the later course is the balance of a layer that is mixed
//! in itself, marched by Runge and Kutta's fourth order. Beside it, in the same march, the room
//! whose air is mixed. Stated vents let out what the weight of the gas drives (Linden, Lane-Serff &
//! Smeed 1990), or the fresh air of the room takes it, whichever is more: the two are not added.
//! Distances run from the release to the ceiling or floor that stops the plume; a dense gas is the
//! mirror image. Must not know of heights above a floor.

use crate::engine::atmosphere::Discharge;
use crate::engine::atmosphere::plume::{BUOYANCY_B, COEFFICIENT_C, RUN};
use crate::engine::formula::{Formula, Symbol};
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[&FRONT, &FRONT_TIME];

const BAINES: &str = "Baines & Turner 1969, J. Fluid Mech. 37, 51";

const FLOOR: Symbol = Symbol::new("S", "area of the room", Unit::SquareMetre).within(0.1, 1e5);
pub(super) const WAY: Symbol =
    Symbol::new("H", "from the release to the ceiling or floor", Unit::Metre).within(0.05, 60.0);
const TIME: Symbol = Symbol::new("t", "time", Unit::Second).within(0.0, 1e7);

/// Distance of the first front from the release.
pub static FRONT: Formula = Formula {
    id: "atmosphere.first_front",
    title: "First front of the filling box",
    expression: "z = [H^(-2/3) + (2/3) C B^(1/3) t / S]^(-3/2)",
    inputs: &[WAY, COEFFICIENT_C, BUOYANCY_B, FLOOR, TIME],
    repeats: false,
    output: RUN,
    citation: Citation::from_memory(BAINES, "first front, by conservation of volume"),
    compute: |x| front(x[0], x[1], x[2], x[3], x[4]),
    example: (&[2.5, 0.115_37, 4.375e-3, 20.0, 60.0], 2.260_3),
    example_from: "1 L/s of methane in a room of 20 m²; Worster & Huppert's form gives the same",
};

/// Time of the first front.
pub static FRONT_TIME: Formula = Formula {
    id: "atmosphere.first_front_time",
    title: "Time of the first front",
    expression: "t = (3/2) S [z^(-2/3) - H^(-2/3)] / (C B^(1/3))",
    inputs: &[WAY, COEFFICIENT_C, BUOYANCY_B, FLOOR, RUN],
    repeats: false,
    output: TIME,
    citation: Citation::from_memory(BAINES, "first front, by conservation of volume"),
    compute: |x| front_time(x[0], x[1], x[2], x[3], x[4]),
    example: (&[2.5, 0.115_37, 4.375e-3, 20.0, 2.0], 138.5),
    example_from: "1 L/s of methane in a room of 20 m², by hand",
};

/// Distance, m, of the first front from the release after `seconds`.
pub fn front(run: f64, coefficient: f64, buoyancy: f64, area: f64, seconds: f64) -> f64 {
    let grown = coefficient * buoyancy.cbrt() * seconds / area / 1.5;
    (run.powf(-2.0 / 3.0) + grown).powf(-1.5)
}

/// Time, s, at which the first front is `at` m from the release.
pub fn front_time(run: f64, coefficient: f64, buoyancy: f64, area: f64, at: f64) -> f64 {
    let grown = at.powf(-2.0 / 3.0) - run.powf(-2.0 / 3.0);
    1.5 * area * grown / (coefficient * buoyancy.cbrt())
}

/// A room and the plume in it, for a march.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// m2.
    pub area: f64,
    /// From floor to ceiling, m.
    pub height: f64,
    /// From the release to the ceiling or floor, m.
    pub run: f64,
    /// Fresh air, m3/s.
    pub supply: f64,
    /// Coefficient of the plume's flux.
    pub coefficient: f64,
    /// Buoyancy flux at the beginning, m4/s3; 0: no layer forms.
    pub buoyancy: f64,
    /// Share of gas in what leaves, 1 unless it leaves as a mixture with air.
    pub strength: f64,
    /// Effective area of a low and a high vent, m2; 0: there is no such pair.
    pub vents: f64,
    /// Height between the vents, m.
    pub vent_rise: f64,
}

/// A moment of a march.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// s.
    pub time: f64,
    /// Depth of the layer from the ceiling or floor that stops the plume, m.
    pub depth: f64,
    /// Gas in the layer, %vol.
    pub layer: f64,
    /// Gas in the room whose air is mixed, %vol.
    pub mixed: f64,
}

/// Volume of the layer, gas in it, gas in the mixed room, all m3.
type State = [f64; 3];

/// Marches through `times` (s, ascending from 0) and says how it stands at each.
pub fn march(setting: &Setting, discharge: &Discharge, times: &[f64]) -> Vec<Moment> {
    let mut state: State = [0.0; 3];
    let mut moments = Vec::with_capacity(times.len());
    let mut before = 0.0;
    let plume = Plume::of(setting, discharge);
    for &time in times {
        while time > before {
            let step = setting.stable(discharge, &plume, state, (before, time - before));
            state = setting.step(discharge, &plume, state, (before, step));
            // The last part of a step ends on the moment itself.
            before = if before + step < time - 1e-9 * time {
                before + step
            } else {
                time
            };
        }
        moments.push(setting.moment(discharge, &plume, state, time));
    }
    moments
}

/// Times to march through until `horizon` s: ever longer steps, none longer than the room's time of
/// renewal allows, and one ends where the release does.
pub fn times(setting: &Setting, discharge: &Discharge, horizon: f64) -> Vec<f64> {
    const FIRST: f64 = 0.1;
    const GROWTH: f64 = 1.05;
    let volume = setting.area * setting.height;
    let renewals = (setting.supply + discharge.rate.value / setting.strength) / volume;
    let longest = (0.5 / renewals).max(horizon / MOST_STEPS);
    let end = discharge
        .total
        .map(|total| total.value / discharge.rate.value);
    let mut times = vec![0.0];
    let (mut time, mut step) = (0.0, FIRST);
    while time < horizon {
        let next = (time + step).min(horizon);
        if let Some(end) = end.filter(|end| time < *end && *end < next) {
            times.push(end);
        }
        times.push(next);
        time = next;
        step = (step.max(time * (GROWTH - 1.0))).min(longest);
    }
    times
}

/// Steps of a march at most, about.
const MOST_STEPS: f64 = 1500.0;

/// The coefficient times the third root of the buoyancy, m^(4/3)/s: taken once a march, as most
/// releases keep their rate.
struct Plume {
    first: f64,
    at_first: f64,
}

impl Plume {
    fn of(setting: &Setting, discharge: &Discharge) -> Self {
        Plume {
            first: discharge.rate.value,
            at_first: setting.coefficient * third_root(setting.buoyancy),
        }
    }

    /// At a rate of release, m3/s.
    fn at(&self, rate: f64) -> f64 {
        match rate == self.first {
            true => self.at_first,
            false => self.at_first * third_root((rate / self.first).max(0.0)),
        }
    }
}

/// Of a number not below zero; by a power, which measured a little faster than `cbrt`.
fn third_root(value: f64) -> f64 {
    value.powf(1.0 / 3.0)
}

impl Setting {
    /// As much of a step as stays stable: vents drain a thin layer fast.
    fn stable(
        &self,
        discharge: &Discharge,
        plume: &Plume,
        state: State,
        (time, step): (f64, f64),
    ) -> f64 {
        const PARTS: f64 = 200.0;
        if self.vents <= 0.0 || state[0] <= 0.0 {
            return step;
        }
        let rate = discharge.rate_at(time);
        let lift = self.buoyancy / discharge.rate.value;
        let plume = plume.at(rate);
        let through = self.through_vents(lift, state);
        let fastest = 2.0 * (through + self.inflow(rate, plume, state[0] / self.area)) / state[0];
        (1.5 / fastest).clamp(step / PARTS, step)
    }

    fn step(
        &self,
        discharge: &Discharge,
        plume: &Plume,
        from: State,
        (time, step): (f64, f64),
    ) -> State {
        // A rate that ends with the step still holds at its end.
        let rates = [0.0, 0.5, 1.0 - 1e-9].map(|part| discharge.rate_at(time + part * step));
        let plumes = rates.map(|rate| plume.at(rate));
        let lift = self.buoyancy / discharge.rate.value;
        let change =
            |place: usize, state: State| self.change(rates[place], plumes[place], lift, state);
        let ahead = |by: State, part: f64| -> State {
            std::array::from_fn(|idx| from[idx] + part * step * by[idx])
        };
        let a = change(0, from);
        let b = change(1, ahead(a, 0.5));
        let c = change(1, ahead(b, 0.5));
        let d = change(2, ahead(c, 1.0));
        let to: State = std::array::from_fn(|idx| {
            from[idx] + step / 6.0 * (a[idx] + 2.0 * b[idx] + 2.0 * c[idx] + d[idx])
        });
        let volume = self.area * self.height;
        // What went beyond the room flowed out of it, with its gas.
        let filled = to[0].clamp(0.0, volume);
        let stays = if to[0] > volume { volume / to[0] } else { 1.0 };
        let held = (stays * to[1]).clamp(0.0, filled);
        [filled, held, to[2].clamp(0.0, volume)]
    }

    /// What a second changes: the plume brings its flux into the layer, ventilation takes from the
    /// layer in proportion to its depth, or the vents as much as its lift drives out; a full room
    /// overflows. `lift` is the buoyancy of a m3 of gas, m/s2.
    fn change(&self, rate: f64, plume: f64, lift: f64, state: State) -> State {
        let volume = self.area * self.height;
        let [filled, held, mixed] = state;
        let inflow = self.inflow(rate, plume, filled / self.area);
        let swept = self.supply * (filled / volume).clamp(0.0, 1.0);
        let drawn = swept.max(self.through_vents(lift, state));
        let grows = inflow - drawn;
        let overflow = if filled >= volume {
            grows.max(0.0)
        } else {
            0.0
        };
        let gas = share(rate, inflow, filled, held);
        let share_mixed = (mixed / volume).max(0.0);
        let fresh = self
            .supply
            .max(self.vented(lift * share_mixed, self.vent_rise));
        [
            grows - overflow,
            rate - (drawn + overflow) * gas,
            rate - (fresh + rate) * share_mixed,
        ]
    }

    /// What the lift of the layer drives through the vents, m3/s.
    fn through_vents(&self, lift: f64, [filled, held, _]: State) -> f64 {
        if filled <= 0.0 {
            return 0.0;
        }
        let depth = (filled / self.area).min(self.vent_rise);
        self.vented(lift * (held / filled).clamp(0.0, 1.0), depth)
    }

    /// What `reduced` gravity, m/s2, over `height` m drives through the vents, m3/s.
    fn vented(&self, reduced: f64, height: f64) -> f64 {
        match self.vents > 0.0 {
            true => self.vents * (reduced * height).max(0.0).sqrt(),
            false => 0.0,
        }
    }

    /// Flux into the layer, m3/s: the plume's where it meets the front, never less than leaves.
    fn inflow(&self, rate: f64, plume: f64, depth: f64) -> f64 {
        let way = (self.run - depth).max(0.0);
        (plume * way.powf(5.0 / 3.0)).max(rate / self.strength)
    }

    fn moment(&self, discharge: &Discharge, plume: &Plume, state: State, time: f64) -> Moment {
        let rate = discharge.rate_at(time);
        let inflow = self.inflow(rate, plume.at(rate), state[0] / self.area);
        Moment {
            time,
            depth: state[0] / self.area,
            layer: 100.0 * share(rate, inflow, state[0], state[1]).min(1.0),
            mixed: 100.0 * state[2] / (self.area * self.height),
        }
    }
}

/// Share of gas in a layer; of one that is only just forming, that of what flows into it.
fn share(rate: f64, inflow: f64, filled: f64, held: f64) -> f64 {
    match filled > 1e-12 {
        true => held / filled,
        false if inflow > 0.0 => rate / inflow,
        false => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::atmosphere::{Course, plume, room};
    use crate::engine::trace::Trace;

    pub fn steady(rate: f64, total: Option<f64>) -> Discharge {
        let mut trace = Trace::default();
        Discharge {
            rate: trace.measured("rate", rate, Unit::CubicMetrePerSecond),
            relative_density: trace.measured("density", 0.55, Unit::One),
            total: total.map(|total| trace.measured("total", total, Unit::CubicMetre)),
            course: Course::Steady,
            pool: None,
        }
    }

    pub fn methane(supply: f64) -> Setting {
        Setting {
            area: 20.0,
            height: 2.5,
            run: 2.5,
            supply,
            coefficient: plume::coefficient(0.1),
            buoyancy: plume::buoyancy(0.001, 0.553_92, 0.553_92),
            strength: 1.0,
            vents: 0.0,
            vent_rise: 0.0,
        }
    }

    /// Baines & Turner's closed form, as long as the plume carries more than what leaves.
    #[test]
    fn without_ventilation_the_march_is_the_filling_box() {
        let (setting, gas) = (methane(0.0), steady(0.001, None));
        let times = times(&setting, &gas, 700.0);
        for moment in march(&setting, &gas, &times).iter().skip(20) {
            let front = front(
                2.5,
                setting.coefficient,
                setting.buoyancy,
                20.0,
                moment.time,
            );
            let depth = 2.5 - front;
            assert!(
                (moment.depth / depth - 1.0).abs() < 1e-5,
                "{moment:?} {depth}"
            );
            let mean = 100.0 * 0.001 * moment.time / (20.0 * depth);
            assert!(
                (moment.layer / mean - 1.0).abs() < 1e-5,
                "{moment:?} {mean}"
            );
        }
    }

    #[test]
    fn the_mixed_room_follows_its_exact_solution() {
        let (setting, gas) = (methane(0.03), steady(0.001, Some(1.5)));
        let times = times(&setting, &gas, 7200.0);
        assert!(times.contains(&1500.0), "a step ends where the gas does");
        let peak = room::build_up(0.001, 0.03, 50.0, 1500.0);
        for moment in march(&setting, &gas, &times) {
            let exact = match moment.time <= 1500.0 {
                true => room::build_up(0.001, 0.03, 50.0, moment.time),
                false => peak * (-0.03 * (moment.time - 1500.0) / 50.0).exp(),
            };
            assert!(
                (moment.mixed - exact).abs() < 1e-4 * peak,
                "{moment:?} {exact}"
            );
        }
    }

    #[test]
    fn no_gas_is_lost_and_none_comes_from_nowhere() {
        let (setting, gas) = (methane(0.0), steady(0.02, Some(30.0)));
        let times = times(&setting, &gas, 7200.0);
        for moment in march(&setting, &gas, &times) {
            let held = moment.depth * 20.0 * moment.layer / 100.0;
            let out = gas.released_by(moment.time);
            assert!(moment.depth <= 2.5 + 1e-9 && moment.layer <= 100.0);
            if moment.depth < 2.5 - 1e-9 {
                assert!((held - out).abs() < 1e-6 * 30.0, "{moment:?} {held} {out}");
            }
        }
    }

    #[test]
    fn steps_are_bounded_however_strong_the_ventilation() {
        for supply in [0.0, 1e-3, 1.0, 50.0] {
            let setting = methane(supply);
            let times = times(&setting, &steady(0.001, Some(3.0)), 86_400.0);
            assert!(times.len() < 1900, "{}", times.len());
            for moment in march(&setting, &steady(0.001, Some(3.0)), &times) {
                assert!(moment.mixed.is_finite() && moment.layer.is_finite());
            }
        }
    }
}

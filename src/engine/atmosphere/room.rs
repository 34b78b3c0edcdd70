//! A room whose air is mixed: build-up, steady state and decay under ventilation.
//!
//! What comes in pushes as much mixed air out (conservation of volume). Must not know of layers.

use crate::engine::atmosphere::plume::RATE;
use crate::engine::formula::{Formula, Symbol};
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[&VOLUME, &VENTILATION, &BUILD_UP, &STEADY, &TIME_TO, &DECAY];

const BALANCE: Citation = Citation::from_memory(
    "ASHRAE Handbook: Fundamentals",
    "balance of a well-mixed room",
);

const SUPPLY: Symbol = Symbol::new("Q", "fresh air", Unit::CubicMetrePerHour).within(0.0, 1e7);
const VOLUME_V: Symbol = Symbol::new("V", "volume of air", Unit::CubicMetre).within(0.1, 1e6);
const GAS: Symbol = Symbol::new("c", "gas in the air", Unit::PercentVolume).within(0.0, 100.0);
const TIME: Symbol = Symbol::new("t", "time", Unit::Second).within(0.0, 1e7);

/// Air in a room.
pub static VOLUME: Formula = Formula {
    id: "atmosphere.volume",
    title: "Volume of the room's air",
    expression: "V = S H f / 100",
    inputs: &[
        Symbol::new("S", "floor", Unit::SquareMetre).within(0.01, 1e5),
        Symbol::new("H", "height", Unit::Metre).within(0.5, 60.0),
        Symbol::new("f", "share that is free air", Unit::Percent).within(1.0, 100.0),
    ],
    repeats: false,
    output: VOLUME_V,
    citation: Citation::CommonPractice,
    compute: |x| x[0] * x[1] * x[2] / 100.0,
    example: (&[20.0, 3.0, 100.0], 60.0),
    example_from: "by hand",
};

/// Fresh air of a room.
pub static VENTILATION: Formula = Formula {
    id: "atmosphere.ventilation",
    title: "Fresh air",
    expression: "Q = n V",
    inputs: &[
        Symbol::new("n", "air changes", Unit::PerHour).within(0.0, 1000.0),
        VOLUME_V,
    ],
    repeats: false,
    output: SUPPLY,
    citation: Citation::CommonPractice,
    compute: |x| x[0] * x[1],
    example: (&[2.0, 60.0], 120.0),
    example_from: "by hand",
};

/// Gas in a mixed room while it comes out at a constant rate.
pub static BUILD_UP: Formula = Formula {
    id: "atmosphere.build_up",
    title: "Gas in the mixed room",
    expression: "c = 100 q / (Q + q) [1 - exp(-(Q + q) t / V)], Q in m³/s",
    inputs: &[RATE, SUPPLY, VOLUME_V, TIME],
    repeats: false,
    output: GAS,
    citation: BALANCE,
    compute: |x| build_up(x[0], x[1] / 3600.0, x[2], x[3]),
    example: (&[4.0 / 3600.0, 120.0, 60.0, 554.88], 0.88),
    example_from: "4 m³/h of methane in 60 m³ at 2 air changes: 20 % of 4.4 %vol at 9.248 min, \
                   by hand",
};

/// Gas a mixed room settles at.
pub static STEADY: Formula = Formula {
    id: "atmosphere.steady",
    title: "Gas the mixed room settles at",
    expression: "c = 100 q / (Q + q), Q in m³/s",
    inputs: &[RATE, SUPPLY],
    repeats: false,
    output: GAS,
    citation: BALANCE,
    compute: |x| steady(x[0], x[1] / 3600.0),
    example: (&[4.0 / 3600.0, 120.0], 3.225_8),
    example_from: "4 m³/h of methane in 120 m³/h of air, by hand",
};

/// Time to a concentration in a mixed room.
pub static TIME_TO: Formula = Formula {
    id: "atmosphere.time_to",
    title: "Time to a concentration in the mixed room",
    expression: "t = -V / (Q + q) ln[1 - c (Q + q) / (100 q)], Q in m³/s",
    inputs: &[RATE, SUPPLY, VOLUME_V, GAS],
    repeats: false,
    output: TIME,
    citation: BALANCE,
    compute: |x| time_to(x[0], x[1] / 3600.0, x[2], x[3]).unwrap_or(f64::INFINITY),
    example: (&[4.0 / 3600.0, 120.0, 60.0, 0.88], 554.9),
    example_from: "4 m³/h of methane in 60 m³ at 2 air changes, by hand",
};

/// Gas in a mixed room once nothing more comes out.
pub static DECAY: Formula = Formula {
    id: "atmosphere.decay",
    title: "Gas left in the mixed room",
    expression: "c = c₀ exp(-n t / 3600)",
    inputs: &[
        GAS,
        Symbol::new("n", "air changes", Unit::PerHour).within(0.0, 1000.0),
        TIME,
    ],
    repeats: false,
    output: GAS,
    citation: BALANCE,
    compute: |x| x[0] * (-x[1] * x[2] / 3600.0).exp(),
    example: (&[40.0, 6.0, 831.78], 10.0),
    example_from: "from 40 to 10 at 6 air changes: 13.86 min, by hand",
};

/// Gas, %vol, after `seconds` of `rate` into `volume` m3 under `supply` of fresh air, both m3/s.
pub fn build_up(rate: f64, supply: f64, volume: f64, seconds: f64) -> f64 {
    let through = supply + rate;
    -steady(rate, supply) * (-through * seconds / volume).exp_m1()
}

/// Gas, %vol, a mixed room settles at; 0 where nothing comes out.
pub fn steady(rate: f64, supply: f64) -> f64 {
    if rate <= 0.0 {
        return 0.0;
    }
    100.0 * rate / (supply + rate)
}

/// Time, s, to `gas` %vol; `None` where it is never reached.
pub fn time_to(rate: f64, supply: f64, volume: f64, gas: f64) -> Option<f64> {
    let share = gas / steady(rate, supply);
    (share < 1.0).then(|| -volume / (supply + rate) * (-share).ln_1p())
}

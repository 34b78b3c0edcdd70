//! Formulas of the bus: lengths, currents, drops and limits.

use crate::engine::formula::{Formula, Symbol};
use crate::model::Citation;
use crate::units::Unit;

const HORIZONTAL: Symbol = Symbol::new("h", "along the floors", Unit::Metre).within(0.0, 1e5);
const VERTICAL: Symbol = Symbol::new("v", "up and down", Unit::Metre).within(0.0, 1e4);
const SPARE: Symbol = Symbol::new("s", "spare kept", Unit::Percent).within(0.0, 50.0);
const CURRENT: Symbol = Symbol::new("I", "current", Unit::Ampere).within(0.0, 100.0);
const OHM_LAW: Citation = Citation::published("Ohm's law", "");

/// Slack of one cable.
pub static SLACK: Formula = Formula {
    id: "bus.slack",
    title: "Slack of a cable",
    expression: "z = (h + v) p / 100",
    inputs: &[
        HORIZONTAL,
        VERTICAL,
        Symbol::new("p", "slack on the route", Unit::Percent).within(0.0, 30.0),
    ],
    repeats: false,
    output: Symbol::new("z", "slack", Unit::Metre),
    citation: Citation::CommonPractice,
    compute: |x| (x[0] + x[1]) * x[2] / 100.0,
    example: (&[40.0, 6.0, 5.0], 2.3),
    example_from: "by hand",
};

/// Allowance at both ends of a cable.
pub static TERMINATIONS: Formula = Formula {
    id: "bus.terminations",
    title: "Allowance for both ends of a cable",
    expression: "t = a + b",
    inputs: &[
        Symbol::new("a", "allowance at the first end", Unit::Metre).within(0.0, 10.0),
        Symbol::new("b", "allowance at the second end", Unit::Metre).within(0.0, 10.0),
    ],
    repeats: false,
    output: Symbol::new("t", "allowance for terminations", Unit::Metre),
    citation: Citation::CommonPractice,
    compute: |x| x[0] + x[1],
    example: (&[2.0, 0.5], 2.5),
    example_from: "by hand",
};

/// Length of one cable to be ordered.
pub static CABLE_LENGTH: Formula = Formula {
    id: "bus.cable_length",
    title: "Length of a cable to be ordered",
    expression: "L = h + v + t + z",
    inputs: &[
        HORIZONTAL,
        VERTICAL,
        Symbol::new("t", "allowance for terminations", Unit::Metre).within(0.0, 20.0),
        Symbol::new("z", "slack", Unit::Metre).within(0.0, 1e4),
    ],
    repeats: false,
    output: Symbol::new("L", "length", Unit::Metre),
    citation: Citation::CommonPractice,
    compute: |x| x[0] + x[1] + x[2] + x[3],
    example: (&[40.0, 6.0, 2.5, 2.3], 50.8),
    example_from: "by hand",
};

/// Length of cables one after the other.
pub static TOTAL_LENGTH: Formula = Formula {
    id: "bus.total_length",
    title: "Length of cables one after the other",
    expression: "L = Σ Lₖ",
    inputs: &[Symbol::new("Lₖ", "length of a cable", Unit::Metre).within(0.0, 1e5)],
    repeats: true,
    output: Symbol::new("L", "length", Unit::Metre),
    citation: Citation::Geometry,
    compute: |x| x.iter().sum(),
    example: (&[50.8, 12.2, 7.0], 70.0),
    example_from: "by hand",
};

/// Resistance of both cores of a cable.
pub static CABLE_RESISTANCE: Formula = Formula {
    id: "bus.cable_resistance",
    title: "Resistance of both cores of a cable",
    expression: "R = 2 r L / 1000",
    inputs: &[
        Symbol::new("r", "resistance of one conductor", Unit::OhmPerKilometre).within(0.1, 1000.0),
        Symbol::new("L", "length", Unit::Metre).within(0.0, 1e5),
    ],
    repeats: false,
    output: Symbol::new("R", "resistance there and back", Unit::Ohm),
    citation: OHM_LAW,
    compute: |x| 2.0 * x[0] * x[1] / 1000.0,
    example: (&[14.868, 300.0], 8.9208),
    example_from: "by hand",
};

/// Current of everything beyond a point.
pub static CURRENT_SUM: Formula = Formula {
    id: "bus.current",
    title: "Current of devices, every output on",
    expression: "I = Σ Iₖ",
    inputs: &[Symbol::new("Iₖ", "current of a device in alarm", Unit::Ampere).within(0.0, 10.0)],
    repeats: true,
    output: CURRENT,
    citation: Citation::published("Kirchhoff's current law", ""),
    compute: |x| x.iter().sum(),
    example: (&[0.03, 0.03, 0.055], 0.115),
    example_from: "by hand",
};

/// Voltage lost in a cable.
pub static DROP: Formula = Formula {
    id: "bus.drop",
    title: "Voltage lost in a cable",
    expression: "ΔU = R I",
    inputs: &[
        Symbol::new("R", "resistance there and back", Unit::Ohm).within(0.0, 1e4),
        Symbol::new("I", "current of every device beyond", Unit::Ampere).within(0.0, 100.0),
    ],
    repeats: false,
    output: Symbol::new("ΔU", "voltage lost", Unit::Volt),
    citation: OHM_LAW,
    compute: |x| x[0] * x[1],
    example: (&[8.9208, 0.6], 5.35248),
    example_from: "by hand: 0.6 A all at the end of 300 m of 1.5 mm² class 5 at 50 °C",
};

/// Voltage at a device.
pub static VOLTS: Formula = Formula {
    id: "bus.volts",
    title: "Voltage at a device, constant-current model",
    expression: "U = U₀ − Σ ΔUₖ",
    inputs: &[
        Symbol::new("U₀", "bus voltage with the battery at its end", Unit::Volt).within(0.0, 100.0),
        Symbol::new(
            "ΔUₖ",
            "voltage lost in each cable before the device",
            Unit::Volt,
        )
        .within(0.0, 1e4),
    ],
    repeats: true,
    output: Symbol::new("U", "voltage", Unit::Volt),
    citation: Citation::published("Kirchhoff's voltage law", ""),
    compute: |x| x[0] - x[1..].iter().sum::<f64>(),
    example: (&[21.6, 1.2, 0.8, 0.3], 19.3),
    example_from: "by hand",
};

/// A count that may be used when spare is kept.
pub static COUNT_LESS_SPARE: Formula = Formula {
    id: "bus.count_less_spare",
    title: "Count that may be used when spare is kept",
    expression: "n = max(1, ⌊N (1 − s / 100)⌋)",
    inputs: &[Symbol::new("N", "limit", Unit::One).within(0.0, 1e6), SPARE],
    repeats: false,
    output: Symbol::new("n", "limit with spare", Unit::One),
    citation: Citation::CommonPractice,
    compute: |x| (x[0] * (1.0 - x[1] / 100.0) + 1e-9).floor().max(1.0),
    example: (&[32.0, 20.0], 25.0),
    example_from: "by hand: 25.6 rounded down",
};

/// A current that may be used when spare is kept.
pub static CURRENT_LESS_SPARE: Formula = Formula {
    id: "bus.current_less_spare",
    title: "Current that may be used when spare is kept",
    expression: "I = I_max (1 − s / 100)",
    inputs: &[
        Symbol::new("I_max", "limit", Unit::Ampere).within(0.0, 1e3),
        SPARE,
    ],
    repeats: false,
    output: CURRENT,
    citation: Citation::CommonPractice,
    compute: |x| x[0] * (1.0 - x[1] / 100.0),
    example: (&[1.0, 20.0], 0.8),
    example_from: "by hand",
};

/// A length that may be used when spare is kept.
pub static LENGTH_LESS_SPARE: Formula = Formula {
    id: "bus.length_less_spare",
    title: "Length that may be used when spare is kept",
    expression: "L = L_max (1 − s / 100)",
    inputs: &[
        Symbol::new("L_max", "limit", Unit::Metre).within(0.0, 1e5),
        SPARE,
    ],
    repeats: false,
    output: Symbol::new("L", "length", Unit::Metre),
    citation: Citation::CommonPractice,
    compute: |x| x[0] * (1.0 - x[1] / 100.0),
    example: (&[800.0, 20.0], 640.0),
    example_from: "by hand",
};

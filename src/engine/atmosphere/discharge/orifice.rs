//! Gas and liquid through a hole: IEC 60079-10-1, annex B form (from memory), as in any textbook
//! of isentropic nozzle flow.
//!
//! One quality of gas behind the hole, no friction in the pipe before it, no change of Z on the
//! way: at pressures above some 50 bar the flow is good to about 10 %.

use crate::engine::formula::{Formula, Symbol};
use crate::engine::gas::density::GAS_CONSTANT;
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[
    &ABSOLUTE_BAR,
    &ABSOLUTE_MILLIBAR,
    &BORE_AREA,
    &HEAT_CAPACITY_TERM,
    &MIXTURE_RATIO,
    &CRITICAL_PRESSURE,
    &CHOKED,
    &SUBSONIC,
    &LIQUID,
    &PRESSURE_DROP,
    &FLASH,
    &AIRBORNE,
    &GAS_FLOW,
];

const IEC: &str = "IEC 60079-10-1:2020";

const AIR_PRESSURE: Symbol =
    Symbol::new("p_a", "pressure of the air", Unit::Pascal).within(4e4, 1.2e5);
const INSIDE: Symbol =
    Symbol::new("p", "absolute pressure inside", Unit::Pascal).within(4e4, 1.01e8);
const COEFFICIENT: Symbol = Symbol::new("C", "discharge coefficient", Unit::One).within(0.5, 1.0);
const HOLE: Symbol = Symbol::new("S", "hole", Unit::SquareMillimetre).within(1e-4, 1e6);
const RATIO: Symbol = Symbol::new("γ", "ratio of heat capacities", Unit::One).within(1.01, 1.68);
const MOLAR_MASS: Symbol = Symbol::new("M", "molar mass", Unit::GramPerMole).within(1.0, 500.0);
const COMPRESSIBILITY: Symbol =
    Symbol::new("Z", "compressibility factor", Unit::One).within(0.3, 2.0);
const TEMPERATURE: Symbol =
    Symbol::new("T", "temperature inside", Unit::Kelvin).within(50.0, 1300.0);
const MASS_FLOW: Symbol = Symbol::new("W", "mass flow", Unit::KilogramPerSecond).within(0.0, 1e5);

/// Absolute from gauge pressure in bar.
pub static ABSOLUTE_BAR: Formula = Formula {
    id: "discharge.absolute_bar",
    title: "Absolute pressure",
    expression: "p = p_a + 100000 p_g",
    inputs: &[
        AIR_PRESSURE,
        Symbol::new("p_g", "gauge pressure", Unit::BarGauge).within(0.0, 1000.0),
    ],
    repeats: false,
    output: INSIDE,
    citation: Citation::from_memory("ISO 80000-4:2019", "gauge pressure; 1 bar is 100 kPa"),
    compute: |x| x[0] + 1e5 * x[1],
    example: (&[101_325.0, 5.0], 601_325.0),
    example_from: "by hand",
};

/// Absolute from gauge pressure in mbar.
pub static ABSOLUTE_MILLIBAR: Formula = Formula {
    id: "discharge.absolute_millibar",
    title: "Absolute pressure",
    expression: "p = p_a + 100 p_g",
    inputs: &[
        AIR_PRESSURE,
        Symbol::new("p_g", "gauge pressure", Unit::MillibarGauge).within(0.0, 1000.0),
    ],
    repeats: false,
    output: INSIDE,
    citation: Citation::from_memory("ISO 80000-4:2019", "gauge pressure; 1 mbar is 100 Pa"),
    compute: |x| x[0] + 100.0 * x[1],
    example: (&[101_325.0, 20.0], 103_325.0),
    example_from: "by hand",
};

/// Area of a bore.
pub static BORE_AREA: Formula = Formula {
    id: "discharge.bore_area",
    title: "Area of the bore",
    expression: "S = π d² / 4",
    inputs: &[Symbol::new("d", "bore", Unit::Millimetre).within(0.1, 1000.0)],
    repeats: false,
    output: HOLE,
    citation: Citation::from_memory("Area of a circle", "geometry"),
    compute: |x| std::f64::consts::FRAC_PI_4 * x[0] * x[0],
    example: (&[15.0], 176.715),
    example_from: "by hand",
};

/// One part's share of the heat capacity of a mixture.
pub static HEAT_CAPACITY_TERM: Formula = Formula {
    id: "discharge.heat_capacity_term",
    title: "Heat capacity of a part of the mixture, over R",
    expression: "c = x γ / (γ - 1)",
    inputs: &[
        Symbol::new("x", "share in the mixture", Unit::PercentVolume).within(0.0, 100.0),
        RATIO,
    ],
    repeats: false,
    output: Symbol::new("c", "share times molar heat capacity over R, %", Unit::One),
    citation: Citation::from_memory("Ideal gas mixture", "Cp = R γ / (γ - 1)"),
    compute: |x| x[0] * x[1] / (x[1] - 1.0),
    example: (&[100.0, 1.4], 350.0),
    example_from: "a gas of two atoms has Cp = 3.5 R",
};

/// Ratio of heat capacities of a mixture.
pub static MIXTURE_RATIO: Formula = Formula {
    id: "discharge.mixture_ratio",
    title: "Ratio of heat capacities of the mixture",
    expression: "γ = Σc / (Σc - 100)",
    inputs: &[
        Symbol::new("c", "share times molar heat capacity over R, %", Unit::One).within(0.0, 1e4),
    ],
    repeats: true,
    output: RATIO,
    citation: Citation::from_memory("Ideal gas mixture", "Cv = Cp - R"),
    compute: |x| {
        let sum: f64 = x.iter().sum();
        sum / (sum - 100.0)
    },
    example: (&[280.0, 70.0], 1.4),
    example_from: "four parts nitrogen and one part oxygen, as air, by hand",
};

/// Pressure inside above which the flow is choked.
pub static CRITICAL_PRESSURE: Formula = Formula {
    id: "discharge.critical_pressure",
    title: "Pressure above which gas leaves at the speed of sound",
    expression: "p_c = p_a ((γ + 1) / 2)^(γ / (γ - 1))",
    inputs: &[AIR_PRESSURE, RATIO],
    repeats: false,
    output: Symbol::new("p_c", "critical pressure", Unit::Pascal),
    citation: Citation::from_memory(IEC, "B.7.2.3, equation B.2"),
    compute: |x| x[0] * ((x[1] + 1.0) / 2.0).powf(x[1] / (x[1] - 1.0)),
    example: (&[101_325.0, 1.31], 186_284.0),
    example_from: "methane; a published calculation prints 186 000 Pa for 1.31",
};

/// Choked flow of gas.
pub static CHOKED: Formula = Formula {
    id: "discharge.choked",
    title: "Gas through a hole at the speed of sound",
    expression: "W = C S p √(γ M / (Z R T) · (2 / (γ + 1))^((γ + 1) / (γ - 1)))",
    inputs: &[
        COEFFICIENT,
        HOLE,
        INSIDE,
        RATIO,
        MOLAR_MASS,
        COMPRESSIBILITY,
        TEMPERATURE,
    ],
    repeats: false,
    output: MASS_FLOW,
    citation: Citation::from_memory(IEC, "B.7.2.3, equation B.4"),
    compute: |x| {
        let g = x[3];
        let power = (2.0 / (g + 1.0)).powf((g + 1.0) / (g - 1.0));
        let root = g * x[4] * 1e-3 / (x[5] * GAS_CONSTANT * x[6]) * power;
        x[0] * x[1] * 1e-6 * x[2] * root.sqrt()
    },
    example: (
        &[0.75, 0.25, 601_325.0, 1.31, 16.043, 1.0, 293.15],
        1.9353e-4,
    ),
    example_from: "methane at 5 bar(g) through 0.25 mm², by hand; fluids 1.3.1 agrees",
};

/// Subsonic flow of gas.
pub static SUBSONIC: Formula = Formula {
    id: "discharge.subsonic",
    title: "Gas through a hole below the speed of sound",
    expression: "W = C S p √(M / (Z R T) · 2γ / (γ - 1) · (1 - (p_a / p)^((γ - 1) / γ))) \
                 (p_a / p)^(1 / γ)",
    inputs: &[
        COEFFICIENT,
        HOLE,
        INSIDE,
        AIR_PRESSURE,
        RATIO,
        MOLAR_MASS,
        COMPRESSIBILITY,
        TEMPERATURE,
    ],
    repeats: false,
    output: MASS_FLOW,
    citation: Citation::from_memory(IEC, "B.7.2.3, equation B.3"),
    compute: |x| {
        let (g, r) = (x[4], (x[3] / x[2]).min(1.0));
        let falls = 2.0 * g / (g - 1.0) * (1.0 - r.powf((g - 1.0) / g));
        let root = x[5] * 1e-3 / (x[6] * GAS_CONSTANT * x[7]) * falls;
        x[0] * x[1] * 1e-6 * x[2] * root.sqrt() * r.powf(1.0 / g)
    },
    example: (
        &[0.75, 2.5, 103_325.0, 101_325.0, 1.31, 16.043, 1.0, 293.15],
        9.670e-5,
    ),
    example_from: "methane at 20 mbar(g) through 2.5 mm²; the incompressible form gives 9.684e-5",
};

/// Pressure that drives a liquid out.
pub static PRESSURE_DROP: Formula = Formula {
    id: "discharge.pressure_drop",
    title: "Pressure above that of the air",
    expression: "Δp = max(p - p_a, 0)",
    inputs: &[
        Symbol::new("p", "absolute pressure inside", Unit::Pascal).within(0.0, 1.01e8),
        AIR_PRESSURE,
    ],
    repeats: false,
    output: Symbol::new("Δp", "pressure difference", Unit::Pascal),
    citation: Citation::from_memory("ISO 80000-4:2019", "gauge pressure"),
    compute: |x| (x[0] - x[1]).max(0.0),
    example: (&[837_325.0, 101_325.0], 736_000.0),
    example_from: "by hand",
};

/// Liquid through a hole.
pub static LIQUID: Formula = Formula {
    id: "discharge.liquid",
    title: "Liquid through a hole",
    expression: "W = C S √(2 ρ Δp)",
    inputs: &[
        COEFFICIENT,
        HOLE,
        Symbol::new("ρ", "density of the liquid", Unit::KilogramPerCubicMetre).within(50.0, 4000.0),
        Symbol::new("Δp", "pressure difference", Unit::Pascal).within(0.0, 1.01e8),
    ],
    repeats: false,
    output: MASS_FLOW,
    citation: Citation::from_memory(IEC, "B.7.2.2, equation B.1"),
    compute: |x| x[0] * x[1] * 1e-6 * (2.0 * x[2] * x[3]).sqrt(),
    example: (&[0.75, 0.25, 501.0, 736_000.0], 5.0918e-3),
    example_from: "liquid propane at 20 °C through 0.25 mm², by hand",
};

/// Share of a liquefied gas that flashes.
pub static FLASH: Formula = Formula {
    id: "discharge.flash",
    title: "Share of the liquid that boils at once as it leaves",
    expression: "x = c (t - t_b) / h, 0 to 1",
    inputs: &[
        Symbol::new(
            "c",
            "heat capacity of the liquid",
            Unit::KilojoulePerKilogramKelvin,
        )
        .within(0.3, 10.0),
        Symbol::new("t", "temperature inside", Unit::Celsius).within(-150.0, 200.0),
        Symbol::new("t_b", "boiling point", Unit::Celsius).within(-150.0, 200.0),
        Symbol::new("h", "latent heat", Unit::KilojoulePerKilogram).within(50.0, 2500.0),
    ],
    repeats: false,
    output: Symbol::new("x", "share that flashes", Unit::One),
    citation: Citation::from_memory(
        "CCPS: Guidelines for Chemical Process Quantitative Risk Analysis, 2nd edition 2000",
        "2.1.2, flash fraction from the heat of the liquid",
    ),
    compute: |x| (x[0] * (x[1] - x[2]) / x[3]).clamp(0.0, 1.0),
    example: (&[2.5, 20.0, -42.1, 426.0], 0.3644),
    example_from: "propane from 20 °C; CoolProp 8.0.0, at constant enthalpy, gives 0.355",
};

/// Share of a liquefied gas that stays in the air.
pub static AIRBORNE: Formula = Formula {
    id: "discharge.airborne",
    title: "Share that stays in the air: vapour, and as much again as droplets",
    expression: "a = min(2 x, 1)",
    inputs: &[Symbol::new("x", "share that flashes", Unit::One).within(0.0, 1.0)],
    repeats: false,
    output: Symbol::new("a", "share in the air", Unit::One),
    citation: Citation::from_memory(
        "CCPS: Guidelines for Chemical Process Quantitative Risk Analysis, 2nd edition 2000",
        "2.1.2, droplets as much as the flash, rule of thumb",
    ),
    compute: |x| (2.0 * x[0]).min(1.0),
    example: (&[0.3644], 0.7288),
    example_from: "by hand",
};

/// Volume flow of a gas at room temperature and pressure.
pub static GAS_FLOW: Formula = Formula {
    id: "discharge.gas_flow",
    title: "Gas that comes out, at room temperature and pressure",
    expression: "q = W R T / (p_a M)",
    inputs: &[
        MASS_FLOW,
        Symbol::new("T", "room temperature", Unit::Kelvin).within(200.0, 400.0),
        AIR_PRESSURE,
        MOLAR_MASS,
    ],
    repeats: false,
    output: Symbol::new("q", "flow of gas", Unit::CubicMetrePerSecond),
    citation: Citation::from_memory("Ideal gas law", "R = 8.314463 J/(mol K)"),
    compute: |x| x[0] * GAS_CONSTANT * x[1] / (x[2] * x[3] * 1e-3),
    example: (&[1.9353e-4, 293.15, 101_325.0, 16.043], 2.9019e-4),
    example_from: "methane, 1.0447 m³/h, by hand",
};

//! What a vessel holds, and how long it lasts: cylinders, dewars, circuits of refrigerant.
//!
//! Real gas by the Peng-Robinson equation: up to 300 bar it gives a cylinder 1 to 5 % more gas than
//! CoolProp (tests/reference/discharge.rs), on the safe side. Must not look anything up.

use crate::engine::formula::{Formula, Symbol};
use crate::engine::gas::density::GAS_CONSTANT;
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[
    &COMPRESSIBILITY,
    &CYLINDER,
    &LIQUID_CONTENTS,
    &CONTENTS,
    &GAS_OF_MASS,
    &EXPANSION,
    &GAS_OF_LIQUID,
    &BOIL_OFF_OF_CONTENTS,
    &BOIL_OFF,
    &LOST_IN,
    &AIRBORNE_FLOW,
    &PER_HOUR,
    &MASS_PER_HOUR,
    &CHARGE_LIMIT,
];

const AIR_PRESSURE: Symbol =
    Symbol::new("p_a", "pressure of the air", Unit::Pascal).within(4e4, 1.2e5);
const ROOM: Symbol = Symbol::new("T", "room temperature", Unit::Kelvin).within(200.0, 400.0);
const MOLAR_MASS: Symbol = Symbol::new("M", "molar mass", Unit::GramPerMole).within(1.0, 500.0);
const NUMBER: Symbol = Symbol::new("n", "number of cylinders", Unit::One).within(1.0, 1000.0);
const LITRES: Symbol = Symbol::new("v", "volume", Unit::Litre).within(1e-3, 1e6);
const MASS: Symbol = Symbol::new("m", "mass", Unit::Kilogram).within(0.0, 1e8);
const TOTAL: Symbol = Symbol::new("V", "gas at room conditions", Unit::CubicMetre).within(0.0, 1e8);
const FLOW: Symbol = Symbol::new("q", "flow of gas", Unit::CubicMetrePerSecond).within(0.0, 1e5);
const EXPANDS: Symbol =
    Symbol::new("e", "volumes of gas from one of liquid", Unit::One).within(50.0, 2000.0);

/// Compressibility factor of a gas.
pub static COMPRESSIBILITY: Formula = Formula {
    id: "discharge.compressibility",
    title: "Compressibility factor (Peng-Robinson)",
    expression: "Z³ - (1 - B) Z² + (A - 3B² - 2B) Z - (A B - B² - B³) = 0, largest root; \
                 A = 0.45724 α (p / p_c) / (T / T_c)², B = 0.07780 (p / p_c) / (T / T_c)",
    inputs: &[
        Symbol::new("p", "absolute pressure inside", Unit::Pascal).within(0.0, 3.5e7),
        Symbol::new("T", "temperature inside", Unit::Kelvin).within(100.0, 700.0),
        Symbol::new("T_c", "critical temperature", Unit::Kelvin).within(5.0, 800.0),
        // From helium, 0.227 MPa, to water, 22.06 MPa.
        Symbol::new("p_c", "critical pressure", Unit::Pascal).within(2e5, 2.3e7),
        Symbol::new("ω", "acentric factor", Unit::One).within(-0.4, 1.0),
    ],
    repeats: false,
    output: Symbol::new("Z", "compressibility factor", Unit::One),
    citation: Citation::from_memory(
        "Peng, Robinson: Ind. Eng. Chem. Fundam. 15 (1976) 59",
        "equations 5 to 18",
    ),
    compute: |x| peng_robinson(x[0], x[1], x[2], x[3], x[4]),
    example: (&[20_101_325.0, 293.15, 126.2, 3.398e6, 0.037], 1.0228),
    example_from: "nitrogen at 200 bar(g), roots by numpy 2.4; CoolProp 8.0.0 has 1.0525",
};

/// Gas that leaves a cylinder until it stands at the pressure of the air.
pub static CYLINDER: Formula = Formula {
    id: "discharge.cylinder",
    title: "Gas in cylinders",
    expression: "V = n v (p / (Z p_a) - 1) / 1000",
    inputs: &[
        NUMBER,
        LITRES,
        Symbol::new("p", "absolute pressure inside", Unit::Pascal).within(4e4, 1.01e8),
        AIR_PRESSURE,
        Symbol::new("Z", "compressibility factor", Unit::One).within(0.3, 2.0),
    ],
    repeats: false,
    output: TOTAL,
    citation: Citation::from_memory("Gas law", "p V = Z n R T, at one temperature"),
    compute: |x| x[0] * x[1] * 1e-3 * (x[2] / (x[4] * x[3]) - 1.0).max(0.0),
    example: (&[1.0, 50.0, 20_101_325.0, 101_325.0, 1.0], 9.8692),
    example_from: "50 L at 200 bar(g) as an ideal gas, by hand",
};

/// Mass of liquid that fills a vessel.
pub static LIQUID_CONTENTS: Formula = Formula {
    id: "discharge.liquid_contents",
    title: "Liquid that fills the vessels",
    expression: "m = n v ρ / 1000",
    inputs: &[
        NUMBER,
        LITRES,
        Symbol::new("ρ", "density of the liquid", Unit::KilogramPerCubicMetre).within(50.0, 4000.0),
    ],
    repeats: false,
    output: MASS,
    citation: Citation::from_memory("Density", "definition"),
    compute: |x| x[0] * x[1] * x[2] * 1e-3,
    example: (&[1.0, 50.0, 773.0], 38.65),
    example_from: "50 L full of liquid carbon dioxide at 20 °C, by hand; it is sold with 37.5 kg",
};

/// Mass in several cylinders.
pub static CONTENTS: Formula = Formula {
    id: "discharge.contents",
    title: "Gas in the cylinders together",
    expression: "m = n m_1",
    inputs: &[
        NUMBER,
        Symbol::new("m_1", "contents of one cylinder", Unit::Kilogram).within(1e-3, 1e5),
    ],
    repeats: false,
    output: MASS,
    citation: Citation::from_memory("Sum", "equal cylinders"),
    compute: |x| x[0] * x[1],
    example: (&[4.0, 37.5], 150.0),
    example_from: "by hand",
};

/// Volume of a mass of gas.
pub static GAS_OF_MASS: Formula = Formula {
    id: "discharge.gas_of_mass",
    title: "Gas at room temperature and pressure",
    expression: "V = m R T / (p_a M)",
    inputs: &[MASS, ROOM, AIR_PRESSURE, MOLAR_MASS],
    repeats: false,
    output: TOTAL,
    citation: Citation::from_memory("Ideal gas law", "R = 8.314463 J/(mol K)"),
    compute: |x| x[0] * GAS_CONSTANT * x[1] / (x[2] * x[3] * 1e-3),
    example: (&[1.0, 293.15, 101_325.0, 44.009], 0.5466),
    example_from: "dry ice; handbooks have 0.544 m³/kg with real gas",
};

/// Volumes of gas from one volume of liquid.
pub static EXPANSION: Formula = Formula {
    id: "discharge.expansion",
    title: "Volumes of gas from one of boiling liquid",
    expression: "e = ρ R T / (p_a M)",
    inputs: &[
        Symbol::new("ρ", "density of the liquid", Unit::KilogramPerCubicMetre).within(50.0, 4000.0),
        ROOM,
        AIR_PRESSURE,
        MOLAR_MASS,
    ],
    repeats: false,
    output: EXPANDS,
    citation: Citation::from_memory("Ideal gas law", "R = 8.314463 J/(mol K)"),
    compute: |x| x[0] * GAS_CONSTANT * x[1] / (x[2] * x[3] * 1e-3),
    example: (&[806.1, 293.15, 101_325.0, 28.0134], 692.2),
    example_from: "nitrogen at 20 °C; suppliers print 680 to 700",
};

/// Gas of a volume of liquid.
pub static GAS_OF_LIQUID: Formula = Formula {
    id: "discharge.gas_of_liquid",
    title: "Gas from all of the liquid",
    expression: "V = e v / 1000",
    inputs: &[EXPANDS, LITRES],
    repeats: false,
    output: TOTAL,
    citation: Citation::from_memory("BCGA Guidance Note GN11", "worst-case release"),
    compute: |x| x[0] * x[1] * 1e-3,
    example: (&[683.0, 25.0], 17.075),
    example_from: "25 L of liquid nitrogen at 0.683 m³/L, a published oxygen calculation",
};

/// Boil-off from the share that is lost a day.
pub static BOIL_OFF_OF_CONTENTS: Formula = Formula {
    id: "discharge.boil_off_of_contents",
    title: "Boil-off a day",
    expression: "l = b v / 100",
    inputs: &[
        Symbol::new("b", "share that boils off a day", Unit::Percent).within(0.01, 100.0),
        LITRES,
    ],
    repeats: false,
    output: Symbol::new("l", "boil-off", Unit::LitrePerDay),
    citation: Citation::from_memory("Share of a volume", "definition"),
    compute: |x| x[0] * x[1] / 100.0,
    example: (&[2.0, 50.0], 1.0),
    example_from: "by hand",
};

/// Boil-off of a vessel.
pub static BOIL_OFF: Formula = Formula {
    id: "discharge.boil_off",
    title: "Gas that boils off",
    expression: "q = f e l / (1000 · 86400)",
    inputs: &[
        Symbol::new("f", "ageing of the insulation", Unit::One).within(1.0, 20.0),
        EXPANDS,
        Symbol::new("l", "boil-off", Unit::LitrePerDay).within(1e-5, 1e6),
    ],
    repeats: false,
    output: FLOW,
    citation: Citation::published(
        "University of Oxford, policy S4/03",
        "appendix, evaporation",
    ),
    compute: |x| x[0] * x[1] * x[2] / 8.64e7,
    example: (&[2.0, 700.0, 0.75], 1.2153e-5),
    example_from: "five dewars of 0.15 L a day: 0.04375 m³/h, of which the policy prints 0.044",
};

/// Rate of a loss in a stated time.
pub static LOST_IN: Formula = Formula {
    id: "discharge.lost_in",
    title: "Flow of what is lost in a time",
    expression: "q = V / (60 t)",
    inputs: &[
        TOTAL,
        Symbol::new("t", "time", Unit::Minute).within(0.1, 1e5),
    ],
    repeats: false,
    output: FLOW,
    citation: Citation::from_memory("Mean rate", "definition"),
    compute: |x| x[0] / (60.0 * x[1]),
    example: (&[2.4, 4.0], 0.01),
    example_from: "by hand",
};

/// The part of a flow that stays in the air.
pub static AIRBORNE_FLOW: Formula = Formula {
    id: "discharge.airborne_flow",
    title: "Flow of gas and droplets in the air",
    expression: "W_a = a W",
    inputs: &[
        Symbol::new("a", "share in the air", Unit::One).within(0.0, 1.0),
        Symbol::new("W", "mass flow", Unit::KilogramPerSecond).within(0.0, 1e5),
    ],
    repeats: false,
    output: Symbol::new("W_a", "mass flow", Unit::KilogramPerSecond),
    citation: Citation::from_memory("Share of a flow", "definition"),
    compute: |x| x[0] * x[1],
    example: (&[0.7288, 5.0918e-3], 3.7109e-3),
    example_from: "by hand",
};

/// Flow an hour as flow a second.
pub static PER_HOUR: Formula = Formula {
    id: "discharge.per_hour",
    title: "Flow of gas",
    expression: "q = Q / 3600",
    inputs: &[Symbol::new("Q", "stated flow", Unit::CubicMetrePerHour).within(0.0, 1e6)],
    repeats: false,
    output: FLOW,
    citation: Citation::from_memory("SI Brochure, 9th edition", "1 h is 3600 s"),
    compute: |x| x[0] / 3600.0,
    example: (&[1.0447], 2.9019e-4),
    example_from: "by hand",
};

/// Mass flow an hour as mass flow a second.
pub static MASS_PER_HOUR: Formula = Formula {
    id: "discharge.mass_per_hour",
    title: "Mass flow",
    expression: "W = w / 3600",
    inputs: &[Symbol::new("w", "stated flow", Unit::KilogramPerHour).within(0.0, 1e6)],
    repeats: false,
    output: Symbol::new("W", "mass flow", Unit::KilogramPerSecond),
    citation: Citation::from_memory("SI Brochure, 9th edition", "1 h is 3600 s"),
    compute: |x| x[0] / 3600.0,
    example: (&[3.6], 1e-3),
    example_from: "by hand",
};

/// Refrigerant that a room may hold.
pub static CHARGE_LIMIT: Formula = Formula {
    id: "discharge.charge_limit",
    title: "Refrigerant that may leak into the room without harm",
    expression: "m = L V",
    inputs: &[
        Symbol::new("L", "practical limit", Unit::KilogramPerCubicMetre).within(1e-5, 10.0),
        Symbol::new("V", "volume of the room", Unit::CubicMetre).within(0.1, 1e7),
    ],
    repeats: false,
    output: MASS,
    citation: Citation::from_memory("EN 378-1:2016", "annex C, charge by practical limit"),
    compute: |x| x[0] * x[1],
    example: (&[0.25, 100.0], 25.0),
    example_from: "R134a in 100 m³, by hand; R32, 0.061 kg/m³ in 50 m³, may have 3.05 kg",
};

/// The largest root of the Peng-Robinson cubic. Pressures in Pa, temperatures in K.
fn peng_robinson(p: f64, t: f64, t_c: f64, p_c: f64, acentric: f64) -> f64 {
    let kappa = 0.374_64 + acentric * (1.542_26 - 0.269_92 * acentric);
    let alpha = (1.0 + kappa * (1.0 - (t / t_c).sqrt())).powi(2);
    let a = 0.457_24 * alpha * (p / p_c) / (t / t_c).powi(2);
    let b = 0.077_80 * (p / p_c) / (t / t_c);
    largest_root(
        -(1.0 - b),
        a - 3.0 * b * b - 2.0 * b,
        -(a * b - b * b - b * b * b),
    )
}

/// Largest real root of z³ + c2 z² + c1 z + c0, by Cardano.
fn largest_root(c2: f64, c1: f64, c0: f64) -> f64 {
    let q = (c2 * c2 - 3.0 * c1) / 9.0;
    let r = (2.0 * c2.powi(3) - 9.0 * c2 * c1 + 27.0 * c0) / 54.0;
    let shift = -c2 / 3.0;
    if r * r < q.powi(3) {
        let angle = (r / q.powf(1.5)).clamp(-1.0, 1.0).acos();
        let turn = std::f64::consts::TAU;
        let root = |k: f64| -2.0 * q.sqrt() * ((angle + turn * k) / 3.0).cos() + shift;
        return root(0.0).max(root(1.0)).max(root(2.0));
    }
    let s = -r.signum() * (r.abs() + (r * r - q.powi(3)).sqrt()).cbrt();
    let other = if s == 0.0 { 0.0 } else { q / s };
    s + other + shift
}

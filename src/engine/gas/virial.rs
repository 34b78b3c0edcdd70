//! How far a gas is from ideal: compressibility factors from the second and third virial
//! coefficients (Tsonopoulos 1974; Orbey and Vera 1983) over critical constants.
//!
//! Within 1 % of equations of state wherever the first term stays above -0.15 (see
//! tests/reference/real_gas.rs). Must not be asked about a gas that associates (hydrogen fluoride,
//! nitrogen dioxide, carboxylic acids): no corresponding states hold for it.

use crate::engine::formula::{Formula, Rule, Symbol};
use crate::engine::gas::density::{ATMOSPHERE, GAS_CONSTANT};
use crate::engine::gas::substance::{Critical, PolarClass, SecondVirial, Substance};
use crate::engine::trace::{Quantity, Trace};
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[
    &FIRST_TERM,
    &MEASURED_FIRST_TERM,
    &SECOND_TERM,
    &COMPRESSIBILITY,
    &REAL_DENSITY,
];

/// Every rule of this module.
pub static RULES: &[&Rule] = &[&MIXTURE_TERMS, &IDEAL, &OUTSIDE];

/// First terms the truncated series is trusted in.
pub const FIRST_TERM_VALID: (f64, f64) = (-0.15, 0.15);
const TEMPERATURE: Symbol = Symbol::new("T", "temperature", Unit::Kelvin).within(4.0, 2000.0);
const PRESSURE: Symbol = Symbol::new("p", "pressure", Unit::Pascal).within(0.0, 5e6);
const CRITICAL_TEMPERATURE: Symbol =
    Symbol::new("T_c", "critical temperature", Unit::Kelvin).within(3.0, 1000.0);
const CRITICAL_PRESSURE: Symbol =
    Symbol::new("p_c", "critical pressure", Unit::Pascal).within(1e5, 3e7);
const ACENTRIC: Symbol = Symbol::new("ω", "acentric factor", Unit::One).within(-0.5, 1.2);
const FIRST: Symbol = Symbol::new("x", "first virial term B p / (R T)", Unit::One)
    .within(FIRST_TERM_VALID.0, FIRST_TERM_VALID.1);
const SECOND: Symbol = Symbol::new("y", "second virial term C p² / (R T)²", Unit::One);
const COMPRESSIBLE: Symbol = Symbol::new("Z", "compressibility factor", Unit::One).within(0.5, 1.5);

/// The term of the second virial coefficient.
pub static FIRST_TERM: Formula = Formula {
    id: "gas.virial_first",
    title: "First virial term",
    expression: "x = (f₀ + ω f₁ + a / T_r⁶ - b / T_r⁸) p_r / T_r",
    inputs: &[
        TEMPERATURE,
        PRESSURE,
        CRITICAL_TEMPERATURE,
        CRITICAL_PRESSURE,
        ACENTRIC,
        Symbol::new("a", "polar constant", Unit::One).within(-0.5, 0.2),
        Symbol::new("b", "constant of hydrogen bonds", Unit::One).within(0.0, 0.1),
    ],
    repeats: false,
    output: FIRST,
    citation: Citation::from_memory(
        "Tsonopoulos: AIChE Journal 20 (1974) 263",
        "f₀ = 0.1445 - 0.330/T_r - 0.1385/T_r² - 0.0121/T_r³ - 0.000607/T_r⁸; \
         f₁ = 0.0637 + 0.331/T_r² - 0.423/T_r³ - 0.008/T_r⁸",
    ),
    compute: |x| {
        let (t, p) = (x[0] / x[2], x[1] / x[3]);
        let simple =
            0.1445 - 0.330 / t - 0.1385 / t.powi(2) - 0.0121 / t.powi(3) - 0.000_607 / t.powi(8);
        let shape = 0.0637 + 0.331 / t.powi(2) - 0.423 / t.powi(3) - 0.008 / t.powi(8);
        let polar = x[5] / t.powi(6) - x[6] / t.powi(8);
        (simple + x[4] * shape + polar) * p / t
    },
    example: (
        &[510.0, 101_325.0, 425.12, 3.796e6, 0.2, 0.0, 0.0],
        -0.004_997,
    ),
    example_from: "n-butane at 510 K, by hand; CoolProp 8.0.0 has -0.00472 (B = -198 cm³/mol)",
};

/// The term of a second virial coefficient that was measured.
pub static MEASURED_FIRST_TERM: Formula = Formula {
    id: "gas.virial_measured",
    title: "First virial term, measured",
    expression: "x = B p / (R T)",
    inputs: &[
        Symbol::new(
            "B",
            "second virial coefficient",
            Unit::CubicCentimetrePerMole,
        )
        .within(-1e4, 100.0),
        TEMPERATURE,
        PRESSURE,
    ],
    repeats: false,
    output: FIRST,
    citation: Citation::from_memory("Gas law", "R = 8.314463 J/(mol K)"),
    compute: |x| 1e-6 * x[0] * x[2] / (GAS_CONSTANT * x[1]),
    example: (&[-1083.56, 273.15, 101_325.0], -0.048_343),
    example_from: "perfluorobutane at 0 °C, by hand",
};

/// The term of the third virial coefficient.
pub static SECOND_TERM: Formula = Formula {
    id: "gas.virial_second",
    title: "Second virial term",
    expression: "y = (g₀ + ω g₁) (p_r / T_r)²",
    inputs: &[
        TEMPERATURE,
        PRESSURE,
        CRITICAL_TEMPERATURE,
        CRITICAL_PRESSURE,
        ACENTRIC,
    ],
    repeats: false,
    output: SECOND,
    citation: Citation::from_memory(
        "Orbey, Vera: AIChE Journal 29 (1983) 107",
        "g₀ = 0.01407 + 0.02432/T_r^2.8 - 0.00313/T_r^10.5; g₁ = -0.02676 + 0.0177/T_r^2.8 + \
         0.040/T_r³ - 0.003/T_r⁶ - 0.00228/T_r^10.5",
    ),
    compute: |x| {
        let (t, p) = (x[0] / x[2], x[1] / x[3]);
        let (a, c) = (t.powf(-2.8), t.powf(-10.5));
        let simple = 0.01407 + 0.02432 * a - 0.00313 * c;
        let shape = -0.02676 + 0.0177 * a + 0.040 / t.powi(3) - 0.003 / t.powi(6) - 0.00228 * c;
        (simple + x[4] * shape) * (p / t).powi(2)
    },
    example: (&[300.0, 1e6, 190.56, 4.599e6, 0.011], 0.000_395_6),
    example_from: "methane at 300 K and 1 MPa, by hand; CoolProp 8.0.0 has 0.000401",
};

/// The virial series in pressure.
pub static COMPRESSIBILITY: Formula = Formula {
    id: "gas.compressibility",
    title: "Compressibility factor",
    expression: "Z = 1 + x + y - x²",
    inputs: &[FIRST, SECOND],
    repeats: false,
    output: COMPRESSIBLE,
    citation: Citation::from_memory(
        "Poling, Prausnitz, O'Connell: The Properties of Gases and Liquids, 5th edition 2001",
        "section 4-5, virial equation in pressure, third coefficient kept",
    ),
    compute: |x| 1.0 + x[0] + x[1] - x[0] * x[0],
    example: (&[-0.0312, 0.0], 0.967_83),
    example_from: "n-butane at 20 °C and 101325 Pa: CoolProp 8.0.0 has Z = 0.96813",
};

/// Density of a real gas.
pub static REAL_DENSITY: Formula = Formula {
    id: "gas.real_density",
    title: "Density of a gas",
    expression: "ρ = p M / (Z R T)",
    inputs: &[
        Symbol::new("M", "molar mass", Unit::GramPerMole).within(1.0, 500.0),
        TEMPERATURE,
        PRESSURE,
        COMPRESSIBLE,
    ],
    repeats: false,
    output: Symbol::new("ρ", "density", Unit::KilogramPerCubicMetre),
    citation: Citation::from_memory("Gas law", "R = 8.314463 J/(mol K)"),
    compute: |x| x[2] * x[0] * 1e-3 / (x[3] * GAS_CONSTANT * x[1]),
    example: (&[58.122, 293.15, 101_325.0, 0.9676], 2.4971),
    example_from: "n-butane at 20 °C with its compressibility factor, by hand",
};

/// How the terms of a mixture follow from those of its parts.
pub static MIXTURE_TERMS: Rule = Rule {
    id: "gas.mixture_terms",
    title: "Virial term of a mixture",
    statement: "B = Σ Σ y_i y_j B_ij; the critical constants of a pair are the geometric mean of \
                the temperatures and the cube of the mean cube root of the volumes.",
    citation: Citation::from_memory(
        "Prausnitz: Molecular Thermodynamics of Fluid-Phase Equilibria",
        "combining rules for the second virial coefficient",
    ),
};

/// What is taken where no critical constants are known.
pub static IDEAL: Rule = Rule {
    id: "gas.ideal",
    title: "Compressibility factor where no critical constants are known",
    statement: "The gas is taken as ideal: near its boiling point it is up to 5 % denser, and one \
                that associates is denser still.",
    citation: Citation::CommonPractice,
};

/// What is taken where the series does not hold.
pub static OUTSIDE: Rule = Rule {
    id: "gas.outside_virial",
    title: "Compressibility factor where the virial series does not hold",
    statement: "The gas is taken as ideal: it is denser than that, by more than a seventh.",
    citation: Citation::CommonPractice,
};

/// What the correlation asks for, of a substance or of a pair of parts.
#[derive(Debug, Clone, Copy)]
struct Constants {
    temperature: f64,
    pressure: f64,
    acentric: f64,
    polar: (f64, f64),
}

/// First and second virial term of a gas at `kelvin` and `pascals`, without a trace; `None` where
/// a part has no critical constants or associates.
pub fn terms(substance: &Substance, kelvin: f64, pascals: f64) -> Option<(f64, f64)> {
    if !substance.is_mixture() {
        let critical = critical(substance)?;
        let of = constants(critical);
        let first = match measured(critical, kelvin) {
            Some((b, _)) => (MEASURED_FIRST_TERM.compute)(&[b, kelvin, pascals]),
            None => first(&of, kelvin, pascals),
        };
        return Some((first, second(&of, kelvin, pascals)));
    }
    let parts = parts(substance)?;
    Some(mixed(&parts, kelvin, pascals))
}

/// Whether the series holds at this first term.
pub fn holds(first_term: f64) -> bool {
    FIRST_TERM_VALID.0 <= first_term && first_term <= FIRST_TERM_VALID.1
}

/// Compressibility factor from the two terms.
pub fn compressibility(terms: (f64, f64)) -> f64 {
    (COMPRESSIBILITY.compute)(&[terms.0, terms.1])
}

/// The compressibility factor of a gas, traced; `kelvin` in K, `pressure` in Pa.
pub fn traced(
    trace: &mut Trace,
    substance: &Substance,
    kelvin: Quantity,
    pressure: Quantity,
) -> Quantity {
    let Some((x, y)) = terms(substance, kelvin.value, pressure.value) else {
        return trace.rule(&IDEAL, 1.0, Unit::One, &[]);
    };
    if !holds(x) {
        return trace.rule(&OUTSIDE, 1.0, Unit::One, &[]);
    }
    if substance.is_mixture() {
        let at = [("temperature", kelvin), ("pressure", pressure)];
        let x = trace.rule(&MIXTURE_TERMS, x, Unit::One, &at);
        let y = trace.rule(&MIXTURE_TERMS, y, Unit::One, &at);
        return trace.eval(&COMPRESSIBILITY, &[x, y]);
    }
    let critical = critical(substance).expect("its terms were found");
    let given = given(trace, &substance.name, critical);
    let Some((b, from)) = measured(critical, kelvin.value) else {
        return traced_pure(trace, given, kelvin, pressure);
    };
    let title = format!("Second virial coefficient of {}", substance.name);
    let unit = Unit::CubicCentimetrePerMole;
    let b = trace.given(title, b, unit, from.citation.clone());
    let x = trace.eval(&MEASURED_FIRST_TERM, &[b, kelvin, pressure]);
    let [t_c, p_c, acentric, ..] = given;
    let y = trace.eval(&SECOND_TERM, &[kelvin, pressure, t_c, p_c, acentric]);
    trace.eval(&COMPRESSIBILITY, &[x, y])
}

/// The second virial coefficient where it was measured, cm³/mol, and by whom.
fn measured(critical: &Critical, kelvin: f64) -> Option<(f64, &SecondVirial)> {
    let found = critical.second_virial.as_ref()?;
    let holds = (found.min_kelvin..=found.max_kelvin).contains(&kelvin);
    let b = found.a + found.b / kelvin + found.c / (kelvin * kelvin);
    holds.then_some((b, found))
}

/// The critical constants of a gas as quantities: T_c, p_c, ω, a, b.
fn given(trace: &mut Trace, name: &str, critical: &Critical) -> [Quantity; 5] {
    let (a, b) = polar_constants(critical);
    let mut of = |what: &str, value, unit| {
        trace.given(
            format!("{what} of {name}"),
            value,
            unit,
            critical.citation.clone(),
        )
    };
    [
        of("Critical temperature", critical.temperature, Unit::Kelvin),
        of("Critical pressure", critical.pressure, Unit::Pascal),
        of("Acentric factor", critical.acentric, Unit::One),
        of("Polar constant", a, Unit::One),
        of("Constant of hydrogen bonds", b, Unit::One),
    ]
}

fn traced_pure(
    trace: &mut Trace,
    [t_c, p_c, acentric, a, b]: [Quantity; 5],
    kelvin: Quantity,
    pressure: Quantity,
) -> Quantity {
    let x = trace.eval(&FIRST_TERM, &[kelvin, pressure, t_c, p_c, acentric, a, b]);
    let y = trace.eval(&SECOND_TERM, &[kelvin, pressure, t_c, p_c, acentric]);
    trace.eval(&COMPRESSIBILITY, &[x, y])
}

/// The compressibility factor of air, traced.
pub fn traced_air(trace: &mut Trace, kelvin: Quantity, pressure: Quantity) -> Quantity {
    let given = given(trace, "air", &air());
    traced_pure(trace, given, kelvin, pressure)
}

/// Compressibility factor of air at `kelvin` and `pascals`.
pub fn air_compressibility(kelvin: f64, pascals: f64) -> f64 {
    let of = constants(&air());
    compressibility((first(&of, kelvin, pascals), second(&of, kelvin, pascals)))
}

/// Pseudo-critical constants of dry air.
fn air() -> Critical {
    Critical {
        temperature: 132.53,
        pressure: 3.786e6,
        acentric: 0.035,
        acentric_stated: true,
        dipole: 0.0,
        polar: PolarClass::None,
        second_virial: None,
        citation: Citation::from_memory(
            "Lemmon, Jacobsen, Penoncello, Friend: J. Phys. Chem. Ref. Data 29 (2000) 331",
            "air as a pseudo-pure fluid",
        ),
    }
}

fn critical(substance: &Substance) -> Option<&Critical> {
    substance
        .critical
        .as_ref()
        .filter(|_| !substance.associates)
}

fn constants(critical: &Critical) -> Constants {
    Constants {
        temperature: critical.temperature,
        pressure: critical.pressure,
        acentric: critical.acentric,
        polar: polar_constants(critical),
    }
}

/// The constants a and b of a polar gas (Tsonopoulos 1974 and 1975, from memory).
fn polar_constants(critical: &Critical) -> (f64, f64) {
    let atmospheres = critical.pressure / ATMOSPHERE;
    let reduced = 1e5 * critical.dipole.powi(2) * atmospheres / critical.temperature.powi(2);
    match critical.polar {
        PolarClass::None => (0.0, 0.0),
        PolarClass::Oxygenated => (-2.14e-4 * reduced - 4.308e-21 * reduced.powi(8), 0.0),
        PolarClass::Halide => (
            -2.188e-11 * reduced.powi(4) - 7.831e-21 * reduced.powi(8),
            0.0,
        ),
        PolarClass::Alkanol => (0.0878, 0.009_08 + 0.000_695_7 * reduced),
        PolarClass::Methanol => (0.0878, 0.0525),
    }
}

fn first(of: &Constants, kelvin: f64, pascals: f64) -> f64 {
    let (a, b) = of.polar;
    let inputs = [
        kelvin,
        pascals,
        of.temperature,
        of.pressure,
        of.acentric,
        a,
        b,
    ];
    (FIRST_TERM.compute)(&inputs)
}

fn second(of: &Constants, kelvin: f64, pascals: f64) -> f64 {
    (SECOND_TERM.compute)(&[kelvin, pascals, of.temperature, of.pressure, of.acentric])
}

/// The parts of a mixture with their mole fractions.
fn parts(mixture: &Substance) -> Option<Vec<(f64, Constants)>> {
    let parts = mixture.composition.iter().map(|part| {
        let known = part.known()?;
        Some((part.mole_fraction, constants(critical(known)?)))
    });
    parts.collect()
}

fn mixed(parts: &[(f64, Constants)], kelvin: f64, pascals: f64) -> (f64, f64) {
    let mut x = 0.0;
    for (y_i, one) in parts {
        for (y_j, other) in parts {
            x += y_i * y_j * first(&pair(one, other), kelvin, pascals);
        }
    }
    let mean = |of: fn(&Constants) -> f64| parts.iter().map(|(y, part)| y * of(part)).sum::<f64>();
    let whole = Constants {
        temperature: mean(|part| part.temperature),
        pressure: mean(|part| part.pressure),
        acentric: mean(|part| part.acentric),
        polar: (0.0, 0.0),
    };
    (x, second(&whole, kelvin, pascals))
}

/// Constants of a pair of unlike molecules.
fn pair(one: &Constants, other: &Constants) -> Constants {
    let critical_factor = |of: &Constants| 0.291 - 0.08 * of.acentric;
    let volume = |of: &Constants| critical_factor(of) * GAS_CONSTANT * of.temperature / of.pressure;
    let temperature = (one.temperature * other.temperature).sqrt();
    let factor = 0.5 * (critical_factor(one) + critical_factor(other));
    let volume = (0.5 * (volume(one).cbrt() + volume(other).cbrt())).powi(3);
    let mean = |a: f64, b: f64| 0.5 * (a + b);
    Constants {
        temperature,
        pressure: factor * GAS_CONSTANT * temperature / volume,
        acentric: mean(one.acentric, other.acentric),
        polar: (
            mean(one.polar.0, other.polar.0),
            mean(one.polar.1, other.polar.1),
        ),
    }
}

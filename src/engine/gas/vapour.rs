//! The vapour pressure of a liquid: by its table's Antoine constants inside the range they were
//! fitted in, by a corresponding-states estimate outside it.
//!
//! The estimate (Lee and Kesler 1975) goes through the nearer end of that range, or the boiling
//! point, so it is best where it is needed; it says of itself that it is one. Must not go below the
//! melting point or above the critical point: there it answers nothing.

use crate::engine::formula::{Formula, Rule, Symbol};
use crate::engine::gas::density::{self, ATMOSPHERE, KELVIN, ZERO_CELSIUS};
use crate::engine::gas::substance::{
    Antoine, AntoineForm, Critical, Figure, PolarClass, Substance,
};
use crate::engine::trace::{Quantity, Trace};
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[
    &VAPOUR_PRESSURE_LN,
    &VAPOUR_PRESSURE_LOG,
    &ACENTRIC,
    &VAPOUR_PRESSURE_ESTIMATE,
    &VAPOUR_PRESSURE_STATED,
];

/// Every rule of this module.
pub static RULES: &[&Rule] = &[&STATED_HOLDS_BELOW, &ASSOCIATED_VAPOUR, &ASSOCIATED_PAIRS];

/// The temperature that a vapour pressure stated by the project is of, degC.
pub const STATED_AT_CELSIUS: f64 = 20.0;

const PASCALS_PER_MMHG: f64 = 133.322_368;
/// Reduced temperatures the estimate is used in.
const REDUCED: (f64, f64) = (0.4, 1.0);

/// So far from a known point the vapour pressure of an alcohol is estimated, K.
const ALCOHOL_REACH: f64 = 25.0;

const VAPOUR: Symbol = Symbol::new("p_v", "vapour pressure", Unit::Pascal).within(0.0, 2.5e7);
const POOL: Symbol =
    Symbol::new("t", "temperature of the liquid", Unit::Celsius).within(-60.0, 150.0);
const CRITICAL_TEMPERATURE: Symbol =
    Symbol::new("T_c", "critical temperature", Unit::Kelvin).within(3.0, 1000.0);
const CRITICAL_PRESSURE: Symbol =
    Symbol::new("p_c", "critical pressure", Unit::Pascal).within(1e5, 3e7);

/// Vapour pressure from constants for ln kPa.
pub static VAPOUR_PRESSURE_LN: Formula = Formula {
    id: "gas.vapour_pressure_ln",
    title: "Vapour pressure (Antoine)",
    expression: "ln(p_v / kPa) = A - B / (t + C)",
    inputs: &[
        Symbol::new("A", "Antoine constant A", Unit::One),
        Symbol::new("B", "Antoine constant B", Unit::One),
        Symbol::new("C", "Antoine constant C", Unit::One),
        POOL,
    ],
    repeats: false,
    output: VAPOUR,
    citation: Citation::from_memory(
        "Smith, Van Ness, Abbott, Swihart: Introduction to Chemical Engineering Thermodynamics",
        "Antoine equation, Table B.2",
    ),
    compute: |x| 1e3 * (x[0] - x[1] / (x[3] + x[2])).exp(),
    example: (&[16.8958, 3795.17, 230.918, 20.0], 5_876.0),
    example_from: "ethanol; CoolProp 8.0.0 gives 5876 Pa",
};

/// Vapour pressure from constants for log10 mmHg.
pub static VAPOUR_PRESSURE_LOG: Formula = Formula {
    id: "gas.vapour_pressure_log",
    title: "Vapour pressure (Antoine)",
    expression: "log₁₀(p_v / mmHg) = A - B / (t + C)",
    inputs: &[
        Symbol::new("A", "Antoine constant A", Unit::One),
        Symbol::new("B", "Antoine constant B", Unit::One),
        Symbol::new("C", "Antoine constant C", Unit::One),
        POOL,
    ],
    repeats: false,
    output: VAPOUR,
    citation: Citation::from_memory(
        "Lange's Handbook of Chemistry",
        "Antoine equation, Table 5.8",
    ),
    compute: |x| PASCALS_PER_MMHG * 10_f64.powf(x[0] - x[1] / (x[3] + x[2])),
    example: (&[7.11714, 1210.595, 229.664, 20.0], 24_726.0),
    example_from: "acetone, by hand; CoolProp 8.0.0 gives 24662 Pa, 0.3 % lower",
};

/// Acentric factor from the boiling point.
pub static ACENTRIC: Formula = Formula {
    id: "gas.acentric",
    title: "Acentric factor from one vapour pressure",
    expression: "ω = (ln(p₁ / p_c) - f₀(T₁/T_c)) / f₁(T₁/T_c)",
    inputs: &[
        Symbol::new("T₁", "temperature of a known vapour pressure", Unit::Kelvin)
            .within(4.0, 900.0),
        Symbol::new("p₁", "vapour pressure there", Unit::Pascal).within(1.0, 1e7),
        CRITICAL_TEMPERATURE,
        CRITICAL_PRESSURE,
    ],
    repeats: false,
    output: Symbol::new("ω", "acentric factor", Unit::One).within(-0.5, 1.2),
    citation: Citation::from_memory(
        "Lee, Kesler: AIChE Journal 21 (1975) 510",
        "vapour pressure, solved for the acentric factor",
    ),
    compute: |x| {
        let reduced = x[0] / x[2];
        ((x[1] / x[3]).ln() - simple(reduced)) / deviation(reduced)
    },
    example: (&[353.2, 101_325.0, 562.2, 4.898e6], 0.2073),
    example_from: "benzene, by hand; Poling et al. 2001 list 0.210 (from memory)",
};

/// Vapour pressure by corresponding states.
pub static VAPOUR_PRESSURE_ESTIMATE: Formula = Formula {
    id: "gas.vapour_pressure_estimate",
    title: "Vapour pressure (corresponding states, an estimate)",
    expression: "ln(p_v / p_c) = f₀(T/T_c) + ω f₁(T/T_c)",
    inputs: &[
        Symbol::new("T", "temperature of the liquid", Unit::Kelvin).within(4.0, 900.0),
        CRITICAL_TEMPERATURE,
        CRITICAL_PRESSURE,
        Symbol::new("ω", "acentric factor", Unit::One).within(-0.5, 1.2),
    ],
    repeats: false,
    output: VAPOUR,
    citation: Citation::from_memory(
        "Lee, Kesler: AIChE Journal 21 (1975) 510",
        "f₀ = 5.92714 - 6.09648/T_r - 1.28862 ln T_r + 0.169347 T_r⁶; \
         f₁ = 15.2518 - 15.6875/T_r - 13.4721 ln T_r + 0.43577 T_r⁶",
    ),
    compute: |x| {
        let reduced = x[0] / x[1];
        x[2] * (simple(reduced) + x[3] * deviation(reduced)).exp()
    },
    example: (&[347.25, 617.15, 3.609e6, 0.304], 12_807.0),
    example_from: "ethylbenzene at 347.25 K with the acentric factor of its table, by hand; CoolProp \
                   8.0.0 gives 13333 Pa, 4 % higher",
};

/// Vapour pressure through one that the project states and the boiling point.
pub static VAPOUR_PRESSURE_STATED: Formula = Formula {
    id: "gas.vapour_pressure_stated",
    title: "Vapour pressure through a stated one and the boiling point",
    expression: "ln(p_v / p₁) = ln(101325 / p₁) (1/T₁ - 1/T) / (1/T₁ - 1/T_b)",
    inputs: &[
        Symbol::new("T", "temperature of the liquid", Unit::Kelvin).within(200.0, 600.0),
        Symbol::new("p₁", "vapour pressure stated at 20 °C", Unit::Pascal).within(1e-3, 2e7),
        Symbol::new("T_b", "boiling point", Unit::Kelvin).within(20.0, 1300.0),
    ],
    repeats: false,
    output: VAPOUR,
    citation: Citation::from_memory(
        "Poling, Prausnitz, O'Connell: The Properties of Gases and Liquids, 5th edition 2001",
        "Clausius-Clapeyron equation through two points",
    ),
    compute: |x| {
        let at = STATED_AT_CELSIUS + ZERO_CELSIUS;
        let slope = (ATMOSPHERE / x[1]).ln() / (1.0 / at - 1.0 / x[2]);
        x[1] * (slope * (1.0 / at - 1.0 / x[0])).exp()
    },
    example: (&[313.15, 24_662.0, 329.2], 56_226.8),
    example_from: "acetone at 40 °C through its 24662 Pa at 20 °C, by hand; CoolProp 8.0.0 gives \
                   56582 Pa, 0.6 % higher",
};

/// A vapour pressure stated at 20 degC where the boiling point is not known.
pub static STATED_HOLDS_BELOW: Rule = Rule {
    id: "gas.stated_vapour_holds_below",
    title: "Vapour pressure as stated at 20 °C",
    statement: "Without a boiling point the vapour pressure stated at 20 °C is taken at that \
        temperature and below it, where the true one is lower.",
    citation: Citation::CommonPractice,
};

/// Density of air saturated with a vapour that associates.
pub static ASSOCIATED_VAPOUR: Rule = Rule {
    id: "gas.associated_vapour",
    title: "Saturated vapour that associates",
    statement: "The molecules of this vapour join in pairs, so it is denser than its molar mass \
        says and at most as dense as if all were pairs. The figure is the least it can be; the \
        vapour is taken as heavy and sought low, whatever the figure.",
    citation: Citation::CommonPractice,
};

/// Density of a vapour of which all molecules are pairs.
pub static ASSOCIATED_PAIRS: Rule = Rule {
    id: "gas.associated_pairs",
    title: "Vapour of pairs",
    statement: "If all molecules were joined in pairs, the vapour would be twice as dense as its \
        molar mass says; more than that is not reckoned with.",
    citation: Citation::CommonPractice,
};

fn simple(reduced: f64) -> f64 {
    5.92714 - 6.09648 / reduced - 1.28862 * reduced.ln() + 0.169_347 * reduced.powi(6)
}

fn deviation(reduced: f64) -> f64 {
    15.2518 - 15.6875 / reduced - 13.4721 * reduced.ln() + 0.435_77 * reduced.powi(6)
}

/// A vapour pressure and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct VapourPressure {
    pub pascals: f64,
    /// Whether it is the corresponding-states estimate.
    pub estimate: bool,
    /// Of the constants.
    pub citation: Citation,
}

/// Where a vapour pressure comes from at one temperature.
enum Source<'a> {
    /// The project's own at 20 degC; with the boiling point the line through both.
    Stated {
        figure: &'a Figure,
        boils: Option<&'a Figure>,
    },
    Fitted(&'a Antoine),
    Estimated {
        critical: &'a Critical,
        acentric: f64,
    },
}

/// Vapour pressure of a liquid at `celsius`, Pa, by the constants, without a trace and without a
/// look at their range.
pub fn antoine_pressure(antoine: &Antoine, celsius: f64) -> f64 {
    (antoine_formula(antoine).compute)(&[antoine.a, antoine.b, antoine.c, celsius])
}

/// Vapour pressure over the liquid at `celsius`.
///
/// # Errors
/// Why none is known: a mixture, no constants, above the critical or below the melting point.
pub fn vapour_pressure(substance: &Substance, celsius: f64) -> Result<VapourPressure, String> {
    Ok(match source(substance, celsius)? {
        Source::Stated { figure, boils } => VapourPressure {
            pascals: boils.map_or(figure.value, |boils| {
                let boils = boils.value + ZERO_CELSIUS;
                (VAPOUR_PRESSURE_STATED.compute)(&[celsius + ZERO_CELSIUS, figure.value, boils])
            }),
            estimate: false,
            citation: figure.citation.clone(),
        },
        Source::Fitted(antoine) => VapourPressure {
            pascals: antoine_pressure(antoine, celsius),
            estimate: false,
            citation: antoine.citation.clone(),
        },
        Source::Estimated { critical, acentric } => VapourPressure {
            pascals: (VAPOUR_PRESSURE_ESTIMATE.compute)(&[
                celsius + ZERO_CELSIUS,
                critical.temperature,
                critical.pressure,
                acentric,
            ]),
            estimate: true,
            citation: critical.citation.clone(),
        },
    })
}

/// The same, traced; `temperature` in degC.
pub fn traced(
    trace: &mut Trace,
    substance: &Substance,
    temperature: Quantity,
) -> Result<Quantity, String> {
    let name = &substance.name;
    match source(substance, temperature.value)? {
        Source::Stated { figure, boils } => {
            let title = format!("Vapour pressure of {name} at 20 °C");
            let stated = trace.given(title, figure.value, figure.unit, figure.citation.clone());
            let Some(boils) = boils else {
                let inputs = [("as stated", stated)];
                return Ok(trace.rule(&STATED_HOLDS_BELOW, figure.value, Unit::Pascal, &inputs));
            };
            let title = format!("Boiling point of {name}");
            let boils = trace.given(title, boils.value, boils.unit, boils.citation.clone());
            let inputs = [temperature, boils].map(|celsius| trace.eval(&KELVIN, &[celsius]));
            Ok(trace.eval(&VAPOUR_PRESSURE_STATED, &[inputs[0], stated, inputs[1]]))
        }
        Source::Fitted(antoine) => {
            let constants = [("A", antoine.a), ("B", antoine.b), ("C", antoine.c)];
            let [a, b, c] = constants.map(|(letter, value)| {
                let title = format!("Antoine constant {letter} of {name}");
                trace.given(title, value, Unit::One, antoine.citation.clone())
            });
            Ok(trace.eval(antoine_formula(antoine), &[a, b, c, temperature]))
        }
        Source::Estimated { critical, acentric } => {
            let kelvin = trace.eval(&KELVIN, &[temperature]);
            let mut of = |what: &str, value, unit, citation: &Citation| {
                trace.given(format!("{what} of {name}"), value, unit, citation.clone())
            };
            let cited = &critical.citation;
            let t = of(
                "Critical temperature",
                critical.temperature,
                Unit::Kelvin,
                cited,
            );
            let p = of("Critical pressure", critical.pressure, Unit::Pascal, cited);
            let w = of("Acentric factor", acentric, Unit::One, cited);
            Ok(trace.eval(&VAPOUR_PRESSURE_ESTIMATE, &[kelvin, t, p, w]))
        }
    }
}

/// What stands over a pool of a liquid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PoolVapour {
    /// Pa.
    pub pressure: Quantity,
    /// %vol.
    pub saturation: Quantity,
    /// Relative to air.
    pub relative_density: Quantity,
}

/// Vapour over a pool at `temperature` (degC) and `pressure` (Pa), traced.
///
/// # Errors
/// Why the vapour pressure is not known, see [`vapour_pressure`].
pub fn pool_vapour(
    trace: &mut Trace,
    substance: &Substance,
    temperature: Quantity,
    pressure: Quantity,
) -> Result<PoolVapour, String> {
    let vapour = traced(trace, substance, temperature)?;
    let saturation = trace.eval(&density::SATURATION, &[vapour, pressure]);
    let pure = density::relative_density(trace, substance);
    let mut relative_density = trace.eval(&density::SATURATED_DENSITY, &[vapour, pressure, pure]);
    if substance.associates {
        let inputs = [("by its molar mass", relative_density)];
        let value = relative_density.value;
        relative_density = trace.rule(&ASSOCIATED_VAPOUR, value, Unit::One, &inputs);
    }
    Ok(PoolVapour {
        pressure: vapour,
        saturation,
        relative_density,
    })
}

fn source(substance: &Substance, celsius: f64) -> Result<Source<'_>, String> {
    let name = &substance.name;
    if substance.is_mixture() {
        return Err(format!(
            "{name} is a mixture: its vapour pressure falls as its lighter parts leave first."
        ));
    }
    let melts = substance.melting_point.as_ref().map(|figure| figure.value);
    if let Some(melts) = melts.filter(|melts| celsius < *melts) {
        return Err(format!(
            "{name} is solid below {melts} °C; no table here has its vapour then."
        ));
    }
    if let Some(figure) = &substance.stated_vapour {
        let boils = substance.boiling_point.as_ref();
        // A line needs two points that lie apart.
        let boils = boils.filter(|boils| (boils.value - STATED_AT_CELSIUS).abs() > 1.0);
        if boils.is_none() && celsius > STATED_AT_CELSIUS {
            return Err(format!(
                "The vapour pressure of {name} is stated at 20 °C only: state its boiling point."
            ));
        }
        return Ok(Source::Stated { figure, boils });
    }
    let fitted = substance.antoine.as_ref();
    if let Some(antoine) =
        fitted.filter(|of| of.min_celsius <= celsius && celsius <= of.max_celsius)
    {
        return Ok(Source::Fitted(antoine));
    }
    let Some(critical) = &substance.critical else {
        return Err(match fitted {
            Some(antoine) => format!(
                "The vapour pressure of {name} is known from {} to {} °C only.",
                antoine.min_celsius, antoine.max_celsius
            ),
            None => format!("No table here has the vapour pressure of {name}."),
        });
    };
    let reduced = (celsius + ZERO_CELSIUS) / critical.temperature;
    if reduced >= REDUCED.1 {
        let limit = critical.temperature - ZERO_CELSIUS;
        return Err(format!(
            "{name} has no liquid above its critical temperature of {limit:.1} °C."
        ));
    }
    if reduced < REDUCED.0 {
        let limit = REDUCED.0 * critical.temperature - ZERO_CELSIUS;
        return Err(format!(
            "The estimate of the vapour pressure of {name} holds from {limit:.0} °C up."
        ));
    }
    let bonds = matches!(critical.polar, PolarClass::Alkanol | PolarClass::Methanol);
    if let Some((at, _)) = anchor(substance, celsius)
        && bonds
        && (celsius - at).abs() > ALCOHOL_REACH
    {
        return Err(format!(
            "{name} forms hydrogen bonds: its vapour pressure is not estimated more than \
             {ALCOHOL_REACH} K from what is known."
        ));
    }
    Ok(Source::Estimated {
        critical,
        acentric: anchored(substance, critical, celsius),
    })
}

/// A vapour pressure that is known without the estimate, degC and Pa: the nearer end of the range
/// of the constants, else the boiling point; `None` where the substance sublimes.
fn anchor(substance: &Substance, celsius: f64) -> Option<(f64, f64)> {
    if let Some(antoine) = &substance.antoine {
        let end = celsius.clamp(antoine.min_celsius, antoine.max_celsius);
        return Some((end, antoine_pressure(antoine, end)));
    }
    let boils = substance.boiling_point.as_ref()?.value;
    let melts = substance.melting_point.as_ref().map(|figure| figure.value);
    let sublimes = melts.is_some_and(|melts| boils < melts);
    (!sublimes).then_some((boils, ATMOSPHERE))
}

/// The acentric factor that puts the estimate on the anchor; the table's own without one.
fn anchored(substance: &Substance, critical: &Critical, celsius: f64) -> f64 {
    let near_critical = |anchor: f64| anchor + ZERO_CELSIUS > 0.97 * critical.temperature;
    match anchor(substance, celsius) {
        Some((at, pascals)) if !near_critical(at) => {
            let kelvin = at + ZERO_CELSIUS;
            (ACENTRIC.compute)(&[kelvin, pascals, critical.temperature, critical.pressure])
        }
        _ => critical.acentric,
    }
}

fn antoine_formula(antoine: &Antoine) -> &'static Formula {
    match antoine.form {
        AntoineForm::LnKilopascal => &VAPOUR_PRESSURE_LN,
        AntoineForm::Log10Mmhg => &VAPOUR_PRESSURE_LOG,
    }
}

//! The arithmetic of mixtures.

use crate::engine::formula::{Formula, Rule, Symbol};
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of mixtures, but for Le Chatelier's rule (`gas::density`).
pub static FORMULAS: &[&Formula] = &[
    &MOLES_OF_MASS,
    &SHARE,
    &MASS_TERM,
    &MASS_SUM,
    &RAOULT_TERM,
    &ADDITIVE_TERM,
    &ADDITIVE,
    &RESPONSE,
    &INERTED,
    &CRITICAL_TERM,
    &CRITICAL,
];

/// Every rule of mixtures.
pub static RULES: &[&Rule] = &[&GOVERNING, &NEVER_FLAMMABLE, &BOILING];

const SHARE_OF_GAS: Symbol =
    Symbol::new("x", "share in the gas", Unit::PercentVolume).within(0.0, 100.0);
const MOLAR_MASS: Symbol = Symbol::new("M", "molar mass", Unit::GramPerMole).within(1.0, 500.0);
const TERM: Symbol = Symbol::new("r", "term of each part", Unit::One);

/// Amount of substance in 100 g of a mixture.
pub static MOLES_OF_MASS: Formula = Formula {
    id: "mixture.moles_of_mass",
    title: "Amount of a part in 100 g",
    expression: "n = w / M",
    inputs: &[
        Symbol::new("w", "share by mass", Unit::Percent).within(0.0, 100.0),
        MOLAR_MASS,
    ],
    repeats: false,
    output: Symbol::new("n", "amount in 100 g, mol", Unit::One),
    citation: Citation::from_memory("SI Brochure, 9th edition", "molar mass"),
    compute: |x| x[0] / x[1],
    example: (&[50.0, 52.02], 0.961_17),
    example_from: "R410A, 50 % by mass of R32 at 52.02 g/mol, by hand",
};

/// A part's share of the sum of all.
pub static SHARE: Formula = Formula {
    id: "mixture.share",
    title: "Share of a part",
    expression: "x = 100 n / Σ n",
    inputs: &[
        Symbol::new("n", "amount of the part", Unit::One),
        Symbol::new("n_i", "amount of each part", Unit::One),
    ],
    repeats: true,
    output: SHARE_OF_GAS,
    citation: Citation::from_memory("IUPAC Green Book, 3rd edition", "amount fraction"),
    compute: |x| 100.0 * x[0] / x[1..].iter().sum::<f64>(),
    example: (&[0.961_17, 0.961_17, 0.416_60], 69.762),
    example_from: "R410A is 69.76 % R32 by mole (50/50 by mass), by hand",
};

/// A part's weight in the molar mass of the mixture.
pub static MASS_TERM: Formula = Formula {
    id: "mixture.mass_term",
    title: "Part of the molar mass",
    expression: "m = x M / 100",
    inputs: &[SHARE_OF_GAS, MOLAR_MASS],
    repeats: false,
    output: Symbol::new("m", "part of the molar mass", Unit::GramPerMole),
    citation: Citation::from_memory("IUPAC Green Book, 3rd edition", "mean molar mass"),
    compute: |x| x[0] * x[1] / 100.0,
    example: (&[90.0, 16.043], 14.4387),
    example_from: "90 % methane, by hand",
};

/// Molar mass of a mixture.
pub static MASS_SUM: Formula = Formula {
    id: "mixture.molar_mass",
    title: "Molar mass of a mixture",
    expression: "M = Σ m",
    inputs: &[Symbol::new(
        "m",
        "part of the molar mass",
        Unit::GramPerMole,
    )],
    repeats: true,
    output: MOLAR_MASS,
    citation: Citation::from_memory("IUPAC Green Book, 3rd edition", "mean molar mass"),
    compute: |x| x.iter().sum(),
    example: (&[14.4387, 1.8042, 0.8819, 0.5603], 17.6851),
    example_from: "natural gas 90/6/2/2 methane, ethane, propane, nitrogen, by hand",
};

/// Partial pressure over a liquid mixture.
pub static RAOULT_TERM: Formula = Formula {
    id: "mixture.raoult",
    title: "Partial pressure over a liquid mixture",
    expression: "p_i = x p_v / 100",
    inputs: &[
        Symbol::new("x", "share in the liquid by mole", Unit::Percent).within(0.0, 100.0),
        Symbol::new("p_v", "vapour pressure of the part alone", Unit::Pascal),
    ],
    repeats: false,
    output: Symbol::new("p_i", "partial pressure", Unit::One),
    citation: Citation::from_memory("Raoult's law", "ideal liquid mixture"),
    compute: |x| x[0] * x[1] / 100.0,
    example: (&[50.0, 2_919.0], 1_459.5),
    example_from: "half toluene, half of its vapour pressure at 20 °C, by hand",
};

/// A part's term of the additive rule.
pub static ADDITIVE_TERM: Formula = Formula {
    id: "mixture.additive_term",
    title: "Part over its own exposure limit",
    expression: "e = x / T",
    inputs: &[
        SHARE_OF_GAS,
        Symbol::new("T", "exposure limit", Unit::Ppm).within(1e-6, 1e6),
    ],
    repeats: false,
    output: TERM,
    citation: Citation::from_memory("US 29 CFR 1910.1000", "(d)(2)(i), mixture of contaminants"),
    compute: |x| x[0] / x[1],
    example: (&[0.2, 5.0], 0.04),
    example_from: "0.2 % hydrogen sulfide with 5 ppm, by hand",
};

/// Exposure limit of a mixture.
pub static ADDITIVE: Formula = Formula {
    id: "mixture.additive",
    title: "Concentration of the mixture at which its parts together reach their limits",
    expression: "T_m = 100 / Σ e",
    inputs: &[TERM],
    repeats: true,
    output: Symbol::new("T_m", "exposure limit of the mixture", Unit::Ppm),
    citation: Citation::from_memory(
        "US 29 CFR 1910.1000",
        "(d)(2)(i): the sum of concentration over limit may not exceed 1",
    ),
    compute: |x| 100.0 / x.iter().sum::<f64>(),
    example: (&[0.04, 0.008], 2_083.33),
    example_from: "biogas with 0.2 % hydrogen sulfide (5 ppm) and 40 % carbon dioxide (5000 ppm)",
};

/// Share of a mixture's effect that one part, or the parts a principle sees, accounts for.
pub static RESPONSE: Formula = Formula {
    id: "mixture.response",
    title: "Relative response",
    expression: "k = r / Σ r",
    inputs: &[
        Symbol::new("r", "term of what is seen", Unit::One),
        Symbol::new("r_i", "term of each part", Unit::One),
    ],
    repeats: true,
    output: Symbol::new("k", "relative response", Unit::One).within(0.0, 1.0),
    citation: Citation::from_memory(
        "IEC 60079-29-2",
        "mixtures: set by what the detector sees; maker's response factors come on top",
    ),
    compute: |x| x[0] / x[1..].iter().sum::<f64>(),
    example: (&[18.182, 18.182, 5.0], 0.784_32),
    example_from: "methane in 80/20 methane/hydrogen with 4.4 and 4.0 %vol, by hand",
};

/// Share of a burning part with inert parts counted as nitrogen.
pub static INERTED: Formula = Formula {
    id: "mixture.inerted",
    title: "Share of a burning part, inert parts counted as nitrogen",
    expression: "A' = 100 A / (Σ A + Σ K B)",
    inputs: &[
        Symbol::new("A", "share of the part", Unit::PercentVolume),
        Symbol::new("S", "Σ A + Σ K B", Unit::PercentVolume).within(1e-6, 1000.0),
    ],
    repeats: false,
    output: SHARE_OF_GAS,
    citation: Citation::from_memory("ISO 10156", "equivalence to nitrogen, Table 1"),
    compute: |x| 100.0 * x[0] / x[1],
    example: (&[5.0, 100.0], 5.0),
    example_from: "5 % hydrogen in nitrogen, by hand",
};

/// A burning part's term of the flammability of an inerted mixture.
pub static CRITICAL_TERM: Formula = Formula {
    id: "mixture.critical_term",
    title: "Share of a burning part over the largest that nitrogen keeps from burning",
    expression: "c = A' / T_ci",
    inputs: &[
        SHARE_OF_GAS,
        Symbol::new(
            "T_ci",
            "largest share in nitrogen that does not burn in air",
            Unit::PercentVolume,
        )
        .within(0.1, 100.0),
    ],
    repeats: false,
    output: TERM,
    citation: Citation::from_memory("ISO 10156", "flammability of a gas mixture, Table 2"),
    compute: |x| x[0] / x[1],
    example: (&[5.0, 5.5], 0.909_09),
    example_from: "5 % hydrogen in nitrogen, by hand",
};

/// Whether an inerted mixture burns in air.
pub static CRITICAL: Formula = Formula {
    id: "mixture.critical",
    title: "Flammability of an inerted mixture: above 1 it burns in air",
    expression: "C = Σ c",
    inputs: &[TERM],
    repeats: true,
    output: Symbol::new("C", "above 1 it burns", Unit::One),
    citation: Citation::from_memory("ISO 10156", "flammability of a gas mixture"),
    compute: |x| x.iter().sum(),
    example: (&[0.5, 0.25], 0.75),
    example_from: "by hand",
};

pub static GOVERNING: Rule = Rule {
    id: "mixture.governing",
    title: "Part that is watched for a mixture",
    statement: "A mixture that no detector of the catalogue measures as such is watched by the \
        part that makes up most of its hazard: the largest share over its own limit.",
    citation: Citation::from_memory(
        "IEC 60079-29-2",
        "mixtures: the least favourable part governs",
    ),
};

pub static NEVER_FLAMMABLE: Rule = Rule {
    id: "mixture.never_flammable",
    title: "Mixture inerted beyond burning",
    statement: "A mixture whose burning parts stay below their critical shares does not burn in \
        air at room temperature, however diluted; it stays watched until the designer decides.",
    citation: Citation::from_memory("ISO 10156", "flammability of a gas mixture"),
};

pub static BOILING: Rule = Rule {
    id: "mixture.boiling",
    title: "Boiling point of a mixture",
    statement: "A mixture is taken to boil like its largest part.",
    citation: Citation::CommonPractice,
};

//! The rules of mounting height, with where each comes from.

use crate::engine::formula::{Formula, Rule, Symbol};
use crate::model::Citation;
use crate::units::Unit;

/// Every formula of mounting.
pub static FORMULAS: &[&Formula] = &[
    &HEIGHT_HIGH,
    &HEIGHT_OVER_SOURCE,
    &HEIGHT_LOW,
    &HEIGHT_BREATHING,
];

/// Every rule of mounting.
pub static RULES: &[&Rule] = &[
    &LIGHT,
    &HEAVY,
    &POOL,
    &COLD,
    &COLD_HELIUM,
    &WARM,
    &ASSOCIATES,
    &NEAR_AIR_HEAVIER,
    &AS_DENSE_AS_AIR,
    &NEAR_AIR,
    &REFRIGERANT,
    &PEOPLE,
    &OVER_SOURCE,
    &OXYGEN_IS_MEASURED,
    &MIXTURE_IS_MEASURED,
    &FLUE_GAS,
    &ANY_HOLDING,
    &PIT,
    &RAISED_FLOOR,
    &CEILING_VOID,
    &WARM_CEILING,
    &BEAMS,
    &EXTRACT,
    &INTAKE,
    &FAST_SUPPLY,
    &DRAUGHTY,
    &OPEN_HEAD,
];

const IEC: &str = "IEC 60079-10-1";

const CEILING: Symbol = Symbol::new("H", "ceiling height", Unit::Metre).within(0.5, 1000.0);
const HEIGHT: Symbol = Symbol::new("z", "height above finished floor", Unit::Metre);

/// Height of the high band in a room.
pub static HEIGHT_HIGH: Formula = Formula {
    id: "mounting.height_high",
    title: "Height of the high band",
    expression: "z = max(H - b, H / 2)",
    inputs: &[
        CEILING,
        Symbol::new("b", "distance below the ceiling", Unit::Metre).within(0.0, 2.0),
    ],
    repeats: false,
    output: HEIGHT,
    citation: Citation::published(
        "Korea NFSC 206 (2021)",
        "light gas within 0.3 m of the ceiling",
    ),
    compute: |x| (x[0] - x[1]).max(x[0] / 2.0),
    example: (&[3.0, 0.3], 2.7),
    example_from: "by hand",
};

/// Height of the high band where no ceiling holds the gas.
pub static HEIGHT_OVER_SOURCE: Formula = Formula {
    id: "mounting.height_over_source",
    title: "Height above a source in the open",
    expression: "z = h + a",
    inputs: &[
        Symbol::new("h", "height of the release", Unit::Metre),
        Symbol::new("a", "distance above the source", Unit::Metre).within(0.0, 2.0),
    ],
    repeats: false,
    output: HEIGHT,
    citation: Citation::published("GB/T 50493-2019", "light gas within 2 m above the source"),
    compute: |x| x[0] + x[1],
    example: (&[1.2, 1.0], 2.2),
    example_from: "by hand",
};

/// Height of the low band.
pub static HEIGHT_LOW: Formula = Formula {
    id: "mounting.height_low",
    title: "Height of the low band",
    expression: "z = min(f, H / 2)",
    inputs: &[
        Symbol::new("f", "distance above the floor", Unit::Metre).within(0.0, 1.0),
        CEILING,
    ],
    repeats: false,
    output: HEIGHT,
    citation: Citation::published("GB/T 50493-2019", "heavy gas 0.3 to 0.6 m above the floor"),
    compute: |x| x[0].min(x[1] / 2.0),
    example: (&[0.3, 3.0], 0.3),
    example_from: "by hand",
};

/// Height of the breathing band.
pub static HEIGHT_BREATHING: Formula = Formula {
    id: "mounting.height_breathing",
    title: "Height of the breathing band",
    expression: "z = min(r, 3 H / 4)",
    inputs: &[
        Symbol::new("r", "height people breathe at", Unit::Metre).within(1.0, 2.0),
        CEILING,
    ],
    repeats: false,
    output: HEIGHT,
    citation: Citation::CommonPractice,
    compute: |x| x[0].min(0.75 * x[1]),
    example: (&[1.5, 3.0], 1.5),
    example_from: "by hand",
};

pub static LIGHT: Rule = Rule {
    id: "mounting.light",
    title: "Lighter than air",
    statement: "A release less dense than the light limit rises and collects under the ceiling.",
    citation: Citation::from_memory(IEC, "relative density"),
};

pub static HEAVY: Rule = Rule {
    id: "mounting.heavy",
    title: "Heavier than air",
    statement: "A release denser than the heavy limit sinks and spreads along the floor.",
    citation: Citation::from_memory(IEC, "relative density"),
};

pub static POOL: Rule = Rule {
    id: "mounting.pool",
    title: "Vapour of a pool",
    statement: "Vapour heavier than air flows off its pool along the floor, however near to air \
        its saturated mixture is.",
    citation: Citation::CommonPractice,
};

pub static COLD: Rule = Rule {
    id: "mounting.cold",
    title: "Cold vapour",
    statement: "Vapour of a liquid boiling far below room temperature sinks first; it is sought \
        where it goes cold and where it goes once it has warmed.",
    citation: Citation::CommonPractice,
};

pub static COLD_HELIUM: Rule = Rule {
    id: "mounting.cold_helium",
    title: "Helium, cold",
    statement: "Helium warms and rises within a few metres of the leak; it is sought under the \
        ceiling and where people breathe.",
    citation: Citation::CommonPractice,
};

pub static WARM: Rule = Rule {
    id: "mounting.warm",
    title: "Warm flue gas",
    statement: "Flue gas rises as long as it is warmer than the room.",
    citation: Citation::CommonPractice,
};

pub static ASSOCIATES: Rule = Rule {
    id: "mounting.associates",
    title: "Gas that associates",
    statement: "A gas that associates or fumes with moisture is taken as heavier than air, \
        whatever its molar mass says.",
    citation: Citation::CommonPractice,
};

pub static NEAR_AIR_HEAVIER: Rule = Rule {
    id: "mounting.near_air_heavier",
    title: "Toxic and a little heavier than air",
    statement: "A toxic gas between air and the heavy limit is sought low as well as where people \
        breathe.",
    citation: Citation::CommonPractice,
};

/// How near to air a gas is as dense as air: fraction of 1.
pub const AS_AIR: f64 = 0.05;

pub static AS_DENSE_AS_AIR: Rule = Rule {
    id: "mounting.as_dense_as_air",
    title: "As dense as air",
    statement: "Within 5 % of air's density a gas goes where the air goes: 15 K between two parts \
        of a room differ as much. It is sought where people breathe.",
    citation: Citation::CommonPractice,
};

pub static NEAR_AIR: Rule = Rule {
    id: "mounting.near_air",
    title: "Density near that of air",
    statement: "Density does not settle the height between the light and the heavy limit: the \
        breathing height is proposed and the designer is asked.",
    citation: Citation::from_memory(IEC, "relative density"),
};

pub static REFRIGERANT: Rule = Rule {
    id: "mounting.refrigerant",
    title: "Refrigerant",
    statement: "A refrigerant heavier than air is measured itself, low, where leaked refrigerant \
        concentrates.",
    citation: Citation::from_memory("EN 378-3", "location of detectors"),
};

pub static PEOPLE: Rule = Rule {
    id: "mounting.people",
    title: "Where people breathe",
    statement: "What harms people by being breathed, or takes or feeds their oxygen, is also \
        watched where they breathe.",
    citation: Citation::from_memory("EN 45544-4", "location of detectors"),
};

pub static OVER_SOURCE: Rule = Rule {
    id: "mounting.over_source",
    title: "Light gas in the open",
    statement: "Outdoors and under an open-sided roof no ceiling holds light gas: it is sought \
        within 2 m above its source.",
    citation: Citation::published("GB/T 50493-2019", "light gas within 2 m above the source"),
};

pub static OXYGEN_IS_MEASURED: Rule = Rule {
    id: "mounting.oxygen_is_measured",
    title: "Oxygen is measured",
    statement: "Depletion and enrichment are measured as oxygen; carbon dioxide and refrigerants \
        are measured themselves.",
    citation: Citation::CommonPractice,
};

pub static MIXTURE_IS_MEASURED: Rule = Rule {
    id: "mounting.mixture_is_measured",
    title: "What is measured of a mixture",
    statement: "A mixture is measured as such where the catalogue has a detector for it, else by \
        its main burning part.",
    citation: Citation::CommonPractice,
};

pub static FLUE_GAS: Rule = Rule {
    id: "mounting.flue_gas",
    title: "Density of flue gas",
    statement: "Flue gas is nitrogen, steam and carbon dioxide: about 29.5 g/mol, whatever trace \
        of another gas it carries.",
    citation: Citation::CommonPractice,
};

pub static ANY_HOLDING: Rule = Rule {
    id: "mounting.any_holding",
    title: "How it is held is not known",
    statement: "Until the client says how a substance is held, it is sought in the bands of every \
        way it is usually held.",
    citation: Citation::CommonPractice,
};

pub(super) const JAPAN: &str = "Japan Fire Service Rule, article 24-2-3";

pub static PIT: Rule = Rule {
    id: "mounting.pit",
    title: "Pit in the floor",
    statement: "A step in the floor of 0.3 m or more holds heavy gas: it is watched in the pit as \
        well.",
    citation: Citation::published(JAPAN, "floor step of 0.3 m or more"),
};

pub static RAISED_FLOOR: Rule = Rule {
    id: "mounting.raised_floor",
    title: "Void under a raised floor",
    statement: "Heavy gas collects in the void under a raised floor and is watched there as well.",
    citation: Citation::CommonPractice,
};

pub static CEILING_VOID: Rule = Rule {
    id: "mounting.ceiling_void",
    title: "Void above a false ceiling",
    statement: "Light gas collects in the void above a false ceiling and is watched there as well.",
    citation: Citation::CommonPractice,
};

pub static WARM_CEILING: Rule = Rule {
    id: "mounting.warm_ceiling",
    title: "Warm layer under the ceiling",
    statement: "Under a hot roof a light plume may stop below the warm layer: a second point about \
        1 m lower sees it in time.",
    citation: Citation::CommonPractice,
};

pub static BEAMS: Rule = Rule {
    id: "mounting.beams",
    title: "Pockets between beams",
    statement: "Beams 0.6 m deep or more part the ceiling into pockets; light gas is watched in the \
        pocket above its source.",
    citation: Citation::published(JAPAN, "beam of 0.6 m or more: stay on the source's side"),
};

pub static EXTRACT: Rule = Rule {
    id: "mounting.extract",
    title: "Extract duct",
    statement: "Where air is drawn off, gas comes undiluted to the extract grille: it is watched \
        just before it as well.",
    citation: Citation::published("IMO MSC.285(86)", "5.5.3, ventilation outlets"),
};

pub static INTAKE: Rule = Rule {
    id: "mounting.intake",
    title: "Air intake",
    statement: "An intake that feeds other rooms is watched within 1.5 m of it.",
    citation: Citation::published(JAPAN, "detector within about 1.5 m of an intake"),
};

pub static FAST_SUPPLY: Rule = Rule {
    id: "mounting.fast_supply",
    title: "Fast supply air",
    statement: "Detectors keep clear of supply air terminals and out of their jet.",
    citation: Citation::published("Korea NFSC 206 (2021)", "1.5 m from supply outlets"),
};

pub static DRAUGHTY: Rule = Rule {
    id: "mounting.draughty",
    title: "Ventilation goes before density",
    statement: "From so many air changes an hour as the basis of design calls strong, gas follows \
        the air: it is watched where the air leaves as well.",
    citation: Citation::CommonPractice,
};

pub static OPEN_HEAD: Rule = Rule {
    id: "mounting.open_head",
    title: "Head of an open way not known",
    statement: "An open way without a stated head is taken to reach up to the lower ceiling.",
    citation: Citation::CommonPractice,
};

//! The rules of set-points, with where each comes from.

use crate::engine::formula::Rule;
use crate::model::Citation;

/// Every rule of set-points.
pub static RULES: &[&Rule] = &[
    &FLAMMABLE,
    &OXYGEN_FALLING,
    &OXYGEN_RISING,
    &TOXIC_FIRST,
    &TOXIC_SECOND,
    &TOXIC_TWICE,
    &TOXIC_IDLH,
    &CARBON_DIOXIDE_EUROPE,
    &CARBON_DIOXIDE_US,
    &REFRIGERANT,
];

const GB50493: &str = "GB/T 50493-2019";

pub static FLAMMABLE: Rule = Rule {
    id: "setpoints.flammable",
    title: "Flammable gas",
    statement: "Two rising set-points in per cent of the lower flammable limit, at most 25 and 50.",
    citation: Citation::published(GB50493, "first at most 25 %LFL, second at most 50 %LFL"),
};

pub static OXYGEN_FALLING: Rule = Rule {
    id: "setpoints.oxygen_falling",
    title: "Lack of oxygen",
    statement: "Two falling set-points: one for entry, one to evacuate.",
    citation: Citation::published("EIGA Doc 44/18", "least oxygen for entry 19.5 %"),
};

pub static OXYGEN_RISING: Rule = Rule {
    id: "setpoints.oxygen_rising",
    title: "Enriched air",
    statement: "One rising set-point where oxygen can enrich the air.",
    citation: Citation::published(GB50493, "enrichment above 23.5 %"),
};

pub static TOXIC_FIRST: Rule = Rule {
    id: "setpoints.toxic_first",
    title: "Toxic gas, first set-point",
    statement: "The limit for a working day; where only a limit for short exposure is stated, that.",
    citation: Citation::published(GB50493, "first at most 100 % of the exposure limit"),
};

pub static TOXIC_SECOND: Rule = Rule {
    id: "setpoints.toxic_second",
    title: "Toxic gas, second set-point",
    statement: "The limit for short exposure.",
    citation: Citation::CommonPractice,
};

pub static TOXIC_TWICE: Rule = Rule {
    id: "setpoints.toxic_twice",
    title: "Toxic gas, second set-point without a short limit",
    statement: "Twice the first set-point where no higher limit for short exposure is stated.",
    citation: Citation::published(GB50493, "second at most 200 % of the exposure limit"),
};

pub static TOXIC_IDLH: Rule = Rule {
    id: "setpoints.toxic_idlh",
    title: "Toxic gas without an exposure limit",
    statement: "5 and 10 % of the concentration immediately dangerous to life or health.",
    citation: Citation::published(GB50493, "first at most 5 %, second at most 10 % of IDLH"),
};

pub static CARBON_DIOXIDE_EUROPE: Rule = Rule {
    id: "setpoints.carbon_dioxide_europe",
    title: "Carbon dioxide",
    statement: "5000 ppm first, 15000 ppm second.",
    citation: Citation::from_memory("EH40/2005, 4th edition 2020", "Table 1, carbon dioxide"),
};

pub static CARBON_DIOXIDE_US: Rule = Rule {
    id: "setpoints.carbon_dioxide_us",
    title: "Carbon dioxide",
    statement: "5000 ppm supervisory, 30000 ppm local evacuation.",
    citation: Citation::published("International Fire Code 2018", "5307, carbon dioxide"),
};

pub static REFRIGERANT: Rule = Rule {
    id: "setpoints.refrigerant",
    title: "Refrigerant",
    statement: "A quarter and half of the practical limit.",
    citation: Citation::from_memory("EN 378-3", "pre-set value at most half the practical limit"),
};

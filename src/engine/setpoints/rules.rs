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
    &TOXIC_CEILING_FIRST,
    &TOXIC_CEILING,
    &TOXIC_CAP,
    &TIME_WEIGHTED,
    &MIXTURE_SHARE,
    &CAR_PARK,
    &AMMONIA_PLANT,
    &AMMONIA_PLANT_LEVELS,
    &CARBON_DIOXIDE_EUROPE,
    &CARBON_DIOXIDE_US,
    &REFRIGERANT,
    &NOISE,
    &HARM_FLAMMABLE,
    &HARM_TOXIC,
    &HARM_DEPLETED,
    &HARM_ENRICHED,
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

pub static TOXIC_CEILING_FIRST: Rule = Rule {
    id: "setpoints.toxic_ceiling_first",
    title: "Toxic gas with a ceiling only, first set-point",
    statement: "A ceiling may never be exceeded, so the first set-point lies at half of it.",
    citation: Citation::CommonPractice,
};

pub static TOXIC_CEILING: Rule = Rule {
    id: "setpoints.toxic_ceiling",
    title: "Toxic gas with a ceiling only, second set-point",
    statement: "The ceiling itself.",
    citation: Citation::published(GB50493, "at most 100 % of the exposure limit"),
};

pub static TOXIC_CAP: Rule = Rule {
    id: "setpoints.toxic_cap",
    title: "Set-points stay below the harm",
    statement: "A set-point by the limit is lowered to half of what is immediately dangerous, or to \
        a quarter of the lower flammable limit, where it would lie above.",
    citation: Citation::CommonPractice,
};

pub static TIME_WEIGHTED: Rule = Rule {
    id: "setpoints.time_weighted",
    title: "Time-weighted alarm",
    statement: "A limit stated as an average over 15 minutes or 8 hours is also alarmed as that \
        average; the ranked set-points alarm on the reading itself and so come sooner.",
    citation: Citation::from_memory("EN 45544-4", "time-weighted average alarms"),
};

pub static MIXTURE_SHARE: Rule = Rule {
    id: "setpoints.mixture_share",
    title: "Part watched for a mixture",
    statement: "A part that stands for a mixture alarms at its share of the mixture's hazard.",
    citation: Citation::from_memory("US 29 CFR 1910.1000", "(d)(2)(i), additive rule"),
};

pub static CAR_PARK: Rule = Rule {
    id: "setpoints.car_park",
    title: "Car park, EN 50545-1",
    statement: "Two levels on the 15-minute average and a third held for a minute.",
    citation: Citation::published("EN 50545-1", "CO 30, 60, 150 ppm; NO2 3, 6, 15 ppm"),
};

pub static AMMONIA_PLANT: Rule = Rule {
    id: "setpoints.ammonia_plant",
    title: "Ammonia in a refrigeration room, IIAR 2",
    statement: "25 ppm alarms, 150 ppm starts emergency ventilation; the trip of the plant at \
        40000 ppm needs a detector of its own.",
    citation: Citation::published("IIAR 2", "25 ppm alarm, 150 ppm emergency ventilation"),
};

pub static AMMONIA_PLANT_LEVELS: Rule = Rule {
    id: "setpoints.ammonia_plant_levels",
    title: "Ammonia in a refrigeration room, EN 378-3",
    statement: "The plant's pre-alarm starts emergency ventilation, its main alarm stops the \
        plant; both lie above what people may breathe, so the set-points by exposure stay beside them.",
    citation: Citation::from_memory("EN 378-3", "ammonia detectors, 500 and 30000 ppm"),
};

pub static NOISE: Rule = Rule {
    id: "setpoints.noise",
    title: "Set-point above the noise",
    statement: "A set-point lies three times noise and drift away from the reading in clean air.",
    citation: Citation::CommonPractice,
};

pub static HARM_FLAMMABLE: Rule = Rule {
    id: "setpoints.harm_flammable",
    title: "Harm of flammable gas",
    statement: "At the lower flammable limit the gas can burn.",
    citation: Citation::from_memory("IEC 60079-10-1", "lower flammable limit"),
};

pub static HARM_TOXIC: Rule = Rule {
    id: "setpoints.harm_toxic",
    title: "Harm of toxic gas",
    statement: "At the concentration immediately dangerous to life or health nobody may still be \
        in the room.",
    citation: Citation::from_memory("NIOSH Pocket Guide to Chemical Hazards", "IDLH values"),
};

pub static HARM_DEPLETED: Rule = Rule {
    id: "setpoints.harm_depleted",
    title: "Harm of lack of oxygen",
    statement: "Below 16 %vol of oxygen judgement and coordination fail.",
    citation: Citation::from_memory("US 29 CFR 1910.134, preamble of 1998", "oxygen deficiency"),
};

pub static HARM_ENRICHED: Rule = Rule {
    id: "setpoints.harm_enriched",
    title: "Harm of enriched air",
    statement: "Above 25 %vol of oxygen fire spreads much faster than in air.",
    citation: Citation::from_memory("EIGA Doc 04", "oxygen enriched atmospheres"),
};

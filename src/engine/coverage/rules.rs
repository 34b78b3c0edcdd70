//! The rules of coverage, with where each comes from.

use crate::engine::formula::Rule;
use crate::model::Citation;

/// Every rule of coverage.
pub static RULES: &[&Rule] = &[&TOXIC_GOVERNS, &SHARED_AIR, &AREA_WATCHED, &OFF_ITS_BAND];

pub static TOXIC_GOVERNS: Rule = Rule {
    id: "coverage.toxic_governs",
    title: "One detector for two hazards",
    statement: "Where one gas is both toxic and flammable in one band, one detector set for the \
        toxic hazard serves both: its set-points lie far below the flammable range. An oxygen \
        detector serves depletion and enrichment.",
    citation: Citation::published(
        "Korea OSH notice",
        "flammable and toxic: toxic basis governs",
    ),
};

pub static SHARED_AIR: Rule = Rule {
    id: "coverage.shared_air",
    title: "Rooms that share their air",
    statement: "Rooms joined by an open way are one airspace; reach goes through the opening where \
        its head is above the mounting height.",
    citation: Citation::CommonPractice,
};

pub static AREA_WATCHED: Rule = Rule {
    id: "coverage.area_watched",
    title: "Floor watched",
    statement: "A cell of the floor is watched if its middle lies within reach of a detector along \
        free air paths.",
    citation: Citation::Geometry,
};

/// A detector this far off the heights of its band watches nothing, m.
pub const COUNTS_UNTIL_M: f64 = 0.5;

pub static OFF_ITS_BAND: Rule = Rule {
    id: "coverage.off_its_band",
    title: "Detector off its band",
    statement: "A detector more than 0.5 m off the heights of its band is not counted.",
    citation: Citation::CommonPractice,
};

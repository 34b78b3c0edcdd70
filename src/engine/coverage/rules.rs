//! The rules of coverage, with where each comes from.

use crate::engine::formula::Rule;
use crate::model::Citation;

/// Every rule of coverage.
pub static RULES: &[&Rule] = &[
    &TOXIC_GOVERNS,
    &SHARED_AIR,
    &WHOLE_FLOOR,
    &FLOOR_ASKED,
    &GRILLE,
    &INTAKE,
    &CUPBOARD,
    &WAY_OUT,
    &DOOR_OXYGEN,
    &RUN_WATCHED,
    &AREA_WATCHED,
    &OFF_ITS_BAND,
    &SOURCES_SHARE,
    &FLOOR_SHARE,
    &LATEST_ALARM,
];

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

pub static WHOLE_FLOOR: Rule = Rule {
    id: "coverage.whole_floor",
    title: "Whole floor of a room",
    statement: "In rooms of a use the basis of design names, every gas that a release source of \
        the room calls for is watched over the whole floor as well, in each band it is sought in.",
    citation: Citation::CommonPractice,
};

pub static FLOOR_ASKED: Rule = Rule {
    id: "coverage.floor_asked",
    title: "Part of a floor to be watched",
    statement: "Of a floor that is watched as a whole this much is to be in reach: the share that \
        the basis of design asks for. Which part stays out is chosen with the layout; release \
        sources, pipe runs, pits and where air goes are watched whatever the share.",
    citation: Citation::from_memory("ISA-TR84.00.07-2018", "geographic coverage, by area"),
};

pub static GRILLE: Rule = Rule {
    id: "coverage.grille",
    title: "Grille where air leaves",
    statement: "Where the ventilation of a room with a release source is strong, its gas follows \
        the air: it is watched at each extract and return grille as well.",
    citation: Citation::published("IMO MSC.285(86)", "5.5.3, ventilation outlets"),
};

pub static CUPBOARD: Rule = Rule {
    id: "coverage.cupboard",
    title: "Extract of a cupboard",
    statement: "What is released in a fume cupboard or a gas cabinet goes into its extract: it is \
        watched there, in the duct or at its mouth. A detector there watches nothing of the room.",
    citation: Citation::CommonPractice,
};

pub static INTAKE: Rule = Rule {
    id: "coverage.intake",
    title: "Air intake",
    statement: "What is released in the open near an air intake is drawn into the building: it is \
        watched at the intake as well.",
    citation: Citation::CommonPractice,
};

pub static WAY_OUT: Rule = Rule {
    id: "coverage.way_out",
    title: "Way out for the gas",
    statement: "Gas is watched at each door and open way from the room of its source to an \
        enclosed room in which it is not released.",
    citation: Citation::CommonPractice,
};

pub static DOOR_OXYGEN: Rule = Rule {
    id: "coverage.door_oxygen",
    title: "Oxygen at the door",
    statement: "In an enclosed room where a release can displace oxygen, oxygen is watched at \
        breathing height at each door, where people come in.",
    citation: Citation::CommonPractice,
};

pub static RUN_WATCHED: Rule = Rule {
    id: "coverage.run_watched",
    title: "Pipe run watched",
    statement: "Gas can get out anywhere along a pipe run: it is divided into equal parts no \
        longer than the cells of a floor, and each must be in reach. The watched length is that \
        of the parts with enough detectors in reach of their middle.",
    citation: Citation::CommonPractice,
};

pub static AREA_WATCHED: Rule = Rule {
    id: "coverage.area_watched",
    title: "Floor watched",
    statement: "A cell of the floor is watched if its middle lies within reach of a detector along \
        free air paths.",
    citation: Citation::Geometry,
};

pub static OFF_ITS_BAND: Rule = Rule {
    id: "coverage.off_its_band",
    title: "Detector off its band",
    statement: "A detector off the heights of its band by more than the basis of design allows is \
        not counted: low up to 0.3 m above the height of the band (0.6 m above the floor by \
        default, as GB/T 50493 has it), high from the height of the band to the ceiling, breathing \
        0.3 m either way, in the open from the source to 2 m above it.",
    citation: Citation::CommonPractice,
};

pub static SOURCES_SHARE: Rule = Rule {
    id: "coverage.sources_share",
    title: "Share of sources met",
    statement: "Release sources of the room of which every demand is met by as many detectors as \
        the basis of design asks for, of all its release sources.",
    citation: Citation::from_memory("ISA-TR84.00.07-2018", "scenario coverage"),
};

pub static FLOOR_SHARE: Rule = Rule {
    id: "coverage.floor_share",
    title: "Share of floor area watched",
    statement: "Floor area in reach of as many detectors as the basis of design asks for, of the \
        floor; of several gases and bands the least share.",
    citation: Citation::from_memory("ISA-TR84.00.07-2018", "geographic coverage, by area"),
};

pub static LATEST_ALARM: Rule = Rule {
    id: "coverage.latest_alarm",
    title: "Latest alarm",
    statement: "For each release source of the room, as it leaves and once warmed, the time to the \
        first alarm of a detector that watches it; of these the longest.",
    citation: Citation::CommonPractice,
};

//! Detectors: one measuring point each.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::Point;
use crate::model::ids::{DetectorId, FloorId};
use crate::model::register::Entry;
use crate::units::{Metres, Unit};

/// One measuring point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Detector {
    pub id: DetectorId,
    /// Such as "AT-101" (ISA-5.1 letters).
    pub tag: String,
    pub floor: FloorId,
    pub at: Point,
    /// Height of the sensing element, m.
    pub height: Metres,
    /// Key of the substance it measures.
    pub watches: String,
    /// Why it is watched.
    pub hazard: Hazard,
    pub band: Band,
    /// Part number in the catalogue; `null` for one that is already there.
    #[serde(default)]
    pub part: Option<String>,
    pub origin: Origin,
    /// Set-points the designer chose; empty: those of the engine.
    #[serde(default)]
    pub set_points: Vec<SetPoint>,
    /// Why the designer departs from the rule's set-points; empty: not stated.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub set_points_reason: String,
    /// Where the tag stands, m from the symbol; `null`: the app places it.
    #[serde(default)]
    pub tag_offset: Option<Point>,
}

/// Who put the detector there.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// An accepted suggestion: a new suggestion may take it away again.
    Suggested,
    /// Placed by hand: kept and counted.
    ByHand,
    /// Already on site: kept, counted, not bought.
    Existing,
}

/// Why a substance matters.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Hazard {
    Flammable,
    Toxic,
    OxygenDepletion,
    OxygenEnrichment,
}

impl Hazard {
    /// The hazard in words.
    pub const fn label(self) -> &'static str {
        match self {
            Hazard::Flammable => "flammable",
            Hazard::Toxic => "toxic",
            Hazard::OxygenDepletion => "oxygen depletion",
            Hazard::OxygenEnrichment => "oxygen enrichment",
        }
    }

    /// The letter in the source's triangle.
    pub const fn letter(self) -> char {
        match self {
            Hazard::Flammable => 'F',
            Hazard::Toxic => 'T',
            Hazard::OxygenDepletion => 'D',
            Hazard::OxygenEnrichment => 'E',
        }
    }
}

/// Where in a room's height the gas is sought.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Band {
    High,
    Breathing,
    Low,
}

impl Band {
    /// From the ceiling down.
    pub const ALL: [Band; 3] = [Band::High, Band::Breathing, Band::Low];

    /// The band in words.
    pub const fn label(self) -> &'static str {
        match self {
            Band::High => "high",
            Band::Breathing => "breathing",
            Band::Low => "low",
        }
    }

    /// The letter that doubles its colour.
    pub const fn letter(self) -> char {
        match self {
            Band::High => 'H',
            Band::Breathing => 'B',
            Band::Low => 'L',
        }
    }
}

/// The sensing principle of a detector.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Principle {
    Catalytic,
    Infrared,
    Electrochemical,
    ThermalConductivity,
    Semiconductor,
    Photoionisation,
}

impl Principle {
    /// Every principle, in the order of a list.
    pub const ALL: [Principle; 6] = [
        Principle::Catalytic,
        Principle::Infrared,
        Principle::Electrochemical,
        Principle::ThermalConductivity,
        Principle::Semiconductor,
        Principle::Photoionisation,
    ];

    /// The principle in words.
    pub const fn label(self) -> &'static str {
        match self {
            Principle::Catalytic => "catalytic",
            Principle::Infrared => "infrared",
            Principle::Electrochemical => "electrochemical",
            Principle::ThermalConductivity => "thermal conductivity",
            Principle::Semiconductor => "semiconductor",
            Principle::Photoionisation => "photoionisation",
        }
    }
}

/// An alarm level of a detector.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SetPoint {
    pub value: f64,
    /// %LFL, ppm or %vol.
    pub unit: Unit,
    /// Whether it alarms as the reading rises; else as it falls.
    pub rising: bool,
    /// Over what time the reading is averaged before it is compared.
    #[serde(default)]
    pub averaging: Averaging,
}

/// Over what time a reading is averaged.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Averaging {
    /// Not at all: it alarms on the reading itself.
    #[default]
    Instant,
    OneMinute,
    FifteenMinutes,
    OneHour,
    EightHours,
}

impl Averaging {
    /// Every time, in the order of a picker.
    pub const ALL: [Averaging; 5] = [
        Averaging::Instant,
        Averaging::OneMinute,
        Averaging::FifteenMinutes,
        Averaging::OneHour,
        Averaging::EightHours,
    ];

    /// The time in minutes; 0 for none.
    pub const fn minutes(self) -> f64 {
        match self {
            Averaging::Instant => 0.0,
            Averaging::OneMinute => 1.0,
            Averaging::FifteenMinutes => 15.0,
            Averaging::OneHour => 60.0,
            Averaging::EightHours => 480.0,
        }
    }

    /// The average in words; empty for none.
    pub const fn label(self) -> &'static str {
        match self {
            Averaging::Instant => "",
            Averaging::OneMinute => "1-minute average",
            Averaging::FifteenMinutes => "15-minute average",
            Averaging::OneHour => "1-hour average",
            Averaging::EightHours => "8-hour average",
        }
    }
}

impl Entry for Detector {
    type Id = DetectorId;
    const NOUN: &'static str = "detector";
    fn id(&self) -> DetectorId {
        self.id
    }
}

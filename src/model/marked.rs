//! Marked areas of a floor: pits, where heavy gas gathers, and places that are bad for a detector
//! or hard to reach.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::Point;
use crate::model::basis::{self, Basis};
use crate::model::ids::{FloorId, MarkedAreaId};
use crate::model::register::Entry;
use crate::units::Metres;

/// A part of a floor with something in it that detectors have to do with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MarkedArea {
    pub id: MarkedAreaId,
    pub floor: FloorId,
    pub kind: MarkedKind,
    /// Corners in order, m; the last joins the first.
    pub outline: Vec<Point>,
    /// Depth of a pit below the finished floor or height of a platform above it, m; `null` where
    /// the surveyor does not know it. Of no meaning for the other kinds.
    #[serde(default)]
    pub level: Option<Metres>,
}

/// What is in a marked area.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum MarkedKind {
    /// A pit, sump or channel in the floor.
    Pit,
    /// Hot plant, a heater or the sun behind glass: no place for a detector.
    Heat,
    /// Wash-down, spray or steam: no place for a detector.
    Water,
    /// No detector is to be fixed here, for whatever reason.
    KeepOut,
    /// A bench, plant or stock that a detector near the floor is hidden behind.
    Obstructed,
    /// A platform or walkway from which a high detector can be reached.
    Platform,
}

impl MarkedArea {
    /// What it is called: "pit 3".
    pub fn name(&self) -> String {
        format!("{} {}", self.kind.word(), self.id)
    }

    /// Its level, or what the basis of design takes where that is not known, m; 0 for a kind that
    /// has none.
    pub fn level_in(&self, basis: &Basis) -> f64 {
        let unknown = match self.kind {
            MarkedKind::Pit => &basis::PIT_DEPTH_UNKNOWN,
            MarkedKind::Platform => &basis::PLATFORM_HEIGHT_UNKNOWN,
            _ => return 0.0,
        };
        self.level.map_or_else(|| basis.get(unknown), Metres::get)
    }
}

impl MarkedKind {
    /// The kind in a word or two.
    pub const fn word(self) -> &'static str {
        match self {
            MarkedKind::Pit => "pit",
            MarkedKind::Heat => "hot area",
            MarkedKind::Water => "wet area",
            MarkedKind::KeepOut => "area without detectors",
            MarkedKind::Obstructed => "obstructed area",
            MarkedKind::Platform => "platform",
        }
    }
}

impl Entry for MarkedArea {
    type Id = MarkedAreaId;
    const NOUN: &'static str = "marked area";
    fn id(&self) -> MarkedAreaId {
        self.id
    }
}

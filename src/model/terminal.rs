//! Air terminals (EN 12792): where ventilation takes air out of a room or brings it in.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::Point;
use crate::model::ids::{AirTerminalId, FloorId};
use crate::model::register::Entry;
use crate::units::Metres;

/// A place where air passes from a room into the ventilation or out of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AirTerminal {
    pub id: AirTerminalId,
    pub floor: FloorId,
    pub kind: AirTerminalKind,
    pub at: Point,
    /// Height of its middle above finished floor, m; `null` where the surveyor does not know it.
    #[serde(default)]
    pub height: Option<Metres>,
    /// Air through it, m3/h; `null` where the surveyor does not know it.
    #[serde(default)]
    pub flow: Option<f64>,
}

/// Which way the air goes, and where it comes from.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum AirTerminalKind {
    /// Air leaves the room and the building.
    Extract,
    /// Treated air enters the room.
    Supply,
    /// Air leaves the room and is brought back into the building.
    ReturnAir,
    /// Outdoor air enters the building.
    Intake,
    /// Air is drawn off a fume cupboard or a gas cabinet, with what is released in it.
    Cupboard,
}

impl AirTerminal {
    /// What it is called: "extract grille 3".
    pub fn name(&self) -> String {
        match self.kind {
            AirTerminalKind::Cupboard => format!("cupboard extract {}", self.id),
            kind => format!("{} {}", kind.label(), self.id),
        }
    }
}

impl AirTerminalKind {
    /// Every kind, in the order of a picker.
    pub const ALL: [AirTerminalKind; 5] = [
        AirTerminalKind::Extract,
        AirTerminalKind::Supply,
        AirTerminalKind::ReturnAir,
        AirTerminalKind::Intake,
        AirTerminalKind::Cupboard,
    ];

    /// The kind in words.
    pub const fn label(self) -> &'static str {
        match self {
            AirTerminalKind::Extract => "extract grille",
            AirTerminalKind::Supply => "supply air terminal",
            AirTerminalKind::ReturnAir => "return grille",
            AirTerminalKind::Intake => "air intake",
            AirTerminalKind::Cupboard => "extract of a fume cupboard or gas cabinet",
        }
    }

    /// Whether air of the room itself goes out through it.
    pub const fn leaves_the_room(self) -> bool {
        matches!(self, AirTerminalKind::Extract | AirTerminalKind::ReturnAir)
    }

    /// The kind in one word.
    pub const fn word(self) -> &'static str {
        match self {
            AirTerminalKind::Extract => "extract",
            AirTerminalKind::Supply => "supply",
            AirTerminalKind::ReturnAir => "return",
            AirTerminalKind::Intake => "intake",
            AirTerminalKind::Cupboard => "cupboard",
        }
    }

    /// Its letter on drawings.
    pub const fn letter(self) -> char {
        match self {
            AirTerminalKind::Extract => 'E',
            AirTerminalKind::Supply => 'S',
            AirTerminalKind::ReturnAir => 'R',
            AirTerminalKind::Intake => 'I',
            AirTerminalKind::Cupboard => 'C',
        }
    }
}

impl Entry for AirTerminal {
    type Id = AirTerminalId;
    const NOUN: &'static str = "air terminal";
    fn id(&self) -> AirTerminalId {
        self.id
    }
}

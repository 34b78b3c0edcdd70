//! Release sources (IEC 60079-10-1): where gas can get out.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::Point;
use crate::model::ids::{FloorId, SourceId};
use crate::model::register::Entry;
use crate::model::release::Release;
use crate::units::Metres;

/// A place where a substance can be released.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReleaseSource {
    pub id: SourceId,
    pub floor: FloorId,
    /// What it is, such as "gas train" or "solvent bench".
    pub name: String,
    /// Where its symbol stands and its release is calculated.
    pub at: Point,
    /// How far it goes, where gas can get out at more than one place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub extent: Option<Extent>,
    /// Height of the release, m; `null` where the surveyor does not know it.
    #[serde(default)]
    pub height: Option<Metres>,
    /// Key of the substance: its CAS number, or the name of a mixture in the substance table.
    pub substance: String,
    /// The refrigerant number by which the substance was chosen, such as "R-290"; left out where it
    /// was chosen by its name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub called: Option<String>,
    /// How it is held; `null` where the surveyor does not know it.
    #[serde(default)]
    pub holding: Option<Holding>,
    /// What can come out; `null` where the surveyor does not know it.
    #[serde(default)]
    pub release: Option<Release>,
}

/// The places gas can get out of, where they are more than one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", content = "points", rename_all = "snake_case")]
pub enum Extent {
    /// Anywhere along a pipe: its corners in order, m.
    Line(Vec<Point>),
    /// Anywhere within an outline, such as that of a rack: its corners in order, m; the last joins
    /// the first.
    Area(Vec<Point>),
}

impl Extent {
    /// Its corners, m.
    pub fn points(&self) -> &[Point] {
        match self {
            Extent::Line(points) | Extent::Area(points) => points,
        }
    }

    /// What it is called.
    pub const fn label(&self) -> &'static str {
        match self {
            Extent::Line(_) => "pipe run",
            Extent::Area(_) => "area",
        }
    }
}

/// How a substance is held, and so how it comes out.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Holding {
    /// Gas in a pipe or cylinder: it leaves at room temperature.
    Gas,
    /// A liquid kept at its boiling point: it leaves as cold vapour.
    CryogenicLiquid,
    /// Liquefied under pressure: it flashes to cold vapour, then warms.
    LiquefiedGas,
    /// A liquid in the open, in a vessel or spilt: vapour leaves its surface.
    Liquid,
    /// Flue gas of an appliance: it leaves warm.
    FlueGas,
}

impl Holding {
    /// Every way, in the order of a picker.
    pub const ALL: [Holding; 5] = [
        Holding::Gas,
        Holding::CryogenicLiquid,
        Holding::LiquefiedGas,
        Holding::Liquid,
        Holding::FlueGas,
    ];

    /// The way in words.
    pub const fn label(self) -> &'static str {
        match self {
            Holding::Gas => "gas in a pipe or cylinder",
            Holding::CryogenicLiquid => "cryogenic liquid",
            Holding::LiquefiedGas => "gas liquefied under pressure",
            Holding::Liquid => "liquid",
            Holding::FlueGas => "flue gas, warm",
        }
    }
}

impl Entry for ReleaseSource {
    type Id = SourceId;
    const NOUN: &'static str = "release source";
    fn id(&self) -> SourceId {
        self.id
    }
}

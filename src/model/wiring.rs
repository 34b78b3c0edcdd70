//! Field devices, control panels and the cable between them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::Point;
use crate::model::ids::{
    ContainmentId, DetectorId, DeviceId, FloorId, PanelId, RiserId, SegmentId,
};
use crate::model::register::Entry;
use crate::units::Metres;

/// An addressed unit on the bus: it carries detectors, or is an I/O unit, a sounder or a display.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FieldDevice {
    pub id: DeviceId,
    /// "FD-01", or "XA-201" for a sounder, "UY-1" for an I/O unit, "UI-1" for a display.
    pub tag: String,
    pub floor: FloorId,
    pub at: Point,
    pub height: Metres,
    /// Part number in the catalogue.
    pub part: String,
    /// The detectors it carries; empty for I/O units, sounders and displays.
    #[serde(default)]
    pub detectors: Vec<DetectorId>,
    /// Already on site: counted, not bought.
    #[serde(default)]
    pub existing: bool,
}

/// A control panel or a repeater that segments start from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ControlPanel {
    pub id: PanelId,
    /// Such as "CP-1".
    pub tag: String,
    pub floor: FloorId,
    pub at: Point,
    pub height: Metres,
    /// Part number in the catalogue.
    pub part: String,
    #[serde(default)]
    pub existing: bool,
}

/// One two-core cable with the field devices on it, from one panel connection.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Segment {
    pub id: SegmentId,
    /// Such as "S1".
    pub tag: String,
    pub panel: PanelId,
    /// The panel's bus connection, from 1.
    pub connection: u32,
    pub topology: Topology,
    /// Part number of the cable.
    pub cable: String,
    /// The devices in the order of the cable from the panel.
    pub devices: Vec<DeviceId>,
}

/// The form of a segment.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Topology {
    /// From device to device, open at the end.
    Line,
}

/// Tray, trunking or conduit that cables prefer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Containment {
    pub id: ContainmentId,
    pub floor: FloorId,
    pub kind: ContainmentKind,
    /// Corners in order, m.
    pub line: Vec<Point>,
    /// Height it hangs at, m; `null`: the basis of design's cable height.
    #[serde(default)]
    pub height: Option<Metres>,
}

/// What the containment is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ContainmentKind {
    Tray,
    Trunking,
    Conduit,
}

/// A vertical way for cables through the floors from `lowest` to `highest`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Riser {
    pub id: RiserId,
    pub name: String,
    /// The same place on every floor, m.
    pub at: Point,
    pub lowest: FloorId,
    pub highest: FloorId,
}

impl Entry for FieldDevice {
    type Id = DeviceId;
    const NOUN: &'static str = "field device";
    fn id(&self) -> DeviceId {
        self.id
    }
}

impl Entry for ControlPanel {
    type Id = PanelId;
    const NOUN: &'static str = "control panel";
    fn id(&self) -> PanelId {
        self.id
    }
}

impl Entry for Segment {
    type Id = SegmentId;
    const NOUN: &'static str = "segment";
    fn id(&self) -> SegmentId {
        self.id
    }
}

impl Entry for Containment {
    type Id = ContainmentId;
    const NOUN: &'static str = "containment";
    fn id(&self) -> ContainmentId {
        self.id
    }
}

impl Entry for Riser {
    type Id = RiserId;
    const NOUN: &'static str = "riser";
    fn id(&self) -> RiserId {
        self.id
    }
}

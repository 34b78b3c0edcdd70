//! Typed identifiers. A number is unique within its kind and project and is never used again.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

macro_rules! id_types {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
        )]
        #[serde(transparent)]
        pub struct $name(pub u32);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl From<u32> for $name {
            fn from(number: u32) -> Self {
                $name(number)
            }
        }

        impl From<$name> for u32 {
            fn from(id: $name) -> Self {
                id.0
            }
        }
    )*};
}

id_types! {
    /// A floor of the building.
    FloorId;
    /// A room or an outdoor area.
    RoomId;
    /// A barrier inside a room.
    BarrierId;
    /// A door, window or other opening in a wall.
    OpeningId;
    /// A release source.
    SourceId;
    /// An air terminal.
    AirTerminalId;
    /// A marked area of a floor.
    MarkedAreaId;
    /// A detector: one measuring point.
    DetectorId;
    /// A field device on the bus.
    DeviceId;
    /// A control panel.
    PanelId;
    /// A run of tray, trunking or conduit.
    ContainmentId;
    /// A vertical way between floors.
    RiserId;
    /// A bus segment.
    SegmentId;
    /// A mixture that the designer states.
    MixtureId;
    /// A substance of which the designer states figures.
    SubstanceId;
}

//! Rooms, what divides them and what joins them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::Point;
use crate::model::ids::{BarrierId, FloorId, OpeningId, RoomId};
use crate::model::register::Entry;
use crate::units::Metres;

/// A room or an outdoor area.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Room {
    pub id: RoomId,
    pub floor: FloorId,
    /// The number on the door, such as "G.02".
    pub number: String,
    pub name: String,
    pub room_use: RoomUse,
    #[serde(default)]
    pub enclosure: Enclosure,
    /// Corners in order, m; the last joins the first. Its edges are the room's walls.
    pub outline: Vec<Point>,
    /// Height of the ceiling, m; `null` where the surveyor does not know it.
    #[serde(default)]
    pub ceiling: Option<Metres>,
    /// Air changes an hour; `null` where the surveyor does not know them.
    #[serde(default)]
    pub air_changes: Option<f64>,
    #[serde(default, skip_serializing_if = "RoomFeatures::is_plain")]
    pub features: RoomFeatures,
}

/// What of a room's form and air bears on where gas is sought; a plain room has nothing of it.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct RoomFeatures {
    /// Depth of the deepest pit, sump or channel in the floor, m.
    pub pit: Option<Metres>,
    /// Height of the void under a raised floor, m.
    pub raised_floor: Option<Metres>,
    /// Height of the void above a false ceiling, m.
    pub ceiling_void: Option<Metres>,
    /// A ceiling or roof that the sun or a process heats, with a warm layer under it.
    pub warm_ceiling: bool,
    /// A duct that extracts air from the room.
    pub extract_duct: bool,
    /// An intake through which other rooms breathe this room's air.
    pub air_intake: bool,
    /// Supply outlets that blow fast enough to throw gas across the room.
    pub fast_supply: bool,
    /// Free area of the vents to the open low in the walls, m2.
    pub low_vent: Option<f64>,
    /// Free area of the vents to the open high up, m2.
    pub high_vent: Option<f64>,
    /// Height from the middle of the low vents to that of the high ones, m.
    pub vent_rise: Option<Metres>,
}

impl RoomFeatures {
    /// Whether there is nothing of it.
    pub fn is_plain(&self) -> bool {
        *self == RoomFeatures::default()
    }
}

/// What a room is used for.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum RoomUse {
    Laboratory,
    BoilerRoom,
    PlantRoom,
    Store,
    Corridor,
    Office,
    Workshop,
    CarPark,
    /// The machinery room of a refrigerating plant.
    RefrigerationRoom,
    Stair,
    Outdoor,
    Other,
}

impl RoomUse {
    /// Every use, in the order of a picker.
    pub const ALL: [RoomUse; 12] = [
        RoomUse::Laboratory,
        RoomUse::BoilerRoom,
        RoomUse::PlantRoom,
        RoomUse::Store,
        RoomUse::Corridor,
        RoomUse::Office,
        RoomUse::Workshop,
        RoomUse::CarPark,
        RoomUse::RefrigerationRoom,
        RoomUse::Stair,
        RoomUse::Outdoor,
        RoomUse::Other,
    ];

    /// The use in words.
    pub const fn label(self) -> &'static str {
        match self {
            RoomUse::Laboratory => "laboratory",
            RoomUse::BoilerRoom => "boiler room",
            RoomUse::PlantRoom => "plant room",
            RoomUse::Store => "store",
            RoomUse::Corridor => "corridor",
            RoomUse::Office => "office",
            RoomUse::Workshop => "workshop",
            RoomUse::CarPark => "car park",
            RoomUse::RefrigerationRoom => "machinery room of refrigeration",
            RoomUse::Stair => "stair",
            RoomUse::Outdoor => "outdoor",
            RoomUse::Other => "other",
        }
    }
}

/// How far walls and a roof hold the gas.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Enclosure {
    #[default]
    Enclosed,
    /// A roof, but at least one side open to the wind.
    OpenSided,
    /// An outdoor area: no wall, no ceiling.
    Outdoor,
}

/// Something inside a room that gas must go round: a partition, a tank, a rack.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Barrier {
    pub id: BarrierId,
    pub floor: FloorId,
    /// Corners in order, m.
    pub line: Vec<Point>,
    /// Top above finished floor, m; `null`: up to the ceiling.
    #[serde(default)]
    pub height: Option<Metres>,
    /// Underside above finished floor, m, of a beam that hangs from the ceiling; `null`: it stands
    /// on the floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub underside: Option<Metres>,
}

/// A gap in a wall.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Opening {
    pub id: OpeningId,
    pub floor: FloorId,
    /// The two jambs, m; both lie on the wall.
    pub a: Point,
    pub b: Point,
    pub form: OpeningForm,
    /// Head above finished floor, m; `null`: 2.1 for a door, the ceiling for an open way.
    #[serde(default)]
    pub head: Option<Metres>,
}

/// What fills the gap.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum OpeningForm {
    Door,
    Window,
    /// Nothing: the two rooms share their air.
    OpenWay,
}

impl OpeningForm {
    /// The form in words.
    pub const fn label(self) -> &'static str {
        match self {
            OpeningForm::Door => "door",
            OpeningForm::Window => "window",
            OpeningForm::OpenWay => "open way",
        }
    }
}

impl Entry for Room {
    type Id = RoomId;
    const NOUN: &'static str = "room";
    fn id(&self) -> RoomId {
        self.id
    }
}

impl Entry for Barrier {
    type Id = BarrierId;
    const NOUN: &'static str = "barrier";
    fn id(&self) -> BarrierId {
        self.id
    }
}

impl Entry for Opening {
    type Id = OpeningId;
    const NOUN: &'static str = "opening";
    fn id(&self) -> OpeningId {
        self.id
    }
}

//! The project: everything the designer states.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model::basis::Basis;
use crate::model::catalogue::Catalogue;
use crate::model::detector::Detector;
use crate::model::floor::Floor;
use crate::model::ids::{DetectorId, DeviceId, FloorId};
use crate::model::marked::MarkedArea;
use crate::model::mixture::Mixture;
use crate::model::register::Register;
use crate::model::room::{Barrier, Opening, Room};
use crate::model::source::ReleaseSource;
use crate::model::stated::StatedSubstance;
use crate::model::terminal::AirTerminal;
use crate::model::wiring::{Containment, ControlPanel, FieldDevice, Riser, Segment};

/// A project, whole. It changes only through [`crate::model::apply`].
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Project {
    pub head: Head,
    #[serde(default)]
    pub basis: Basis,
    #[serde(default)]
    pub catalogue: Catalogue,
    /// Figures of substances that the designer states, over those of the tables.
    #[serde(default)]
    pub substances: Register<StatedSubstance>,
    #[serde(default)]
    pub mixtures: Register<Mixture>,
    #[serde(default)]
    pub floors: Register<Floor>,
    #[serde(default)]
    pub rooms: Register<Room>,
    #[serde(default)]
    pub barriers: Register<Barrier>,
    #[serde(default)]
    pub openings: Register<Opening>,
    #[serde(default)]
    pub sources: Register<ReleaseSource>,
    /// Where the ventilation takes air out of rooms and brings it in.
    #[serde(default)]
    pub terminals: Register<AirTerminal>,
    /// Pits, and places that are bad for a detector or hard to reach.
    #[serde(default)]
    pub marked: Register<MarkedArea>,
    #[serde(default)]
    pub detectors: Register<Detector>,
    #[serde(default)]
    pub devices: Register<FieldDevice>,
    #[serde(default)]
    pub panels: Register<ControlPanel>,
    #[serde(default)]
    pub containments: Register<Containment>,
    #[serde(default)]
    pub risers: Register<Riser>,
    #[serde(default)]
    pub segments: Register<Segment>,
}

/// What the title block says of the project.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Head {
    pub name: String,
    #[serde(default)]
    pub client: String,
    #[serde(default)]
    pub site: String,
    /// The project's number at the client or the office.
    #[serde(default)]
    pub reference: String,
    /// Such as "P1".
    #[serde(default)]
    pub revision: String,
    #[serde(default)]
    pub jurisdiction: Jurisdiction,
    #[serde(default)]
    pub units: UnitSystem,
}

/// Whose limits and tables apply.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Jurisdiction {
    #[default]
    Eu,
    Uk,
    Us,
}

/// What units documents print.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum UnitSystem {
    #[default]
    Metric,
    UsCustomary,
}

impl Project {
    /// The floors from the lowest up.
    pub fn floors_upwards(&self) -> Vec<&Floor> {
        let mut floors: Vec<&Floor> = self.floors.iter().collect();
        floors.sort_by(|a, b| {
            a.elevation
                .get()
                .total_cmp(&b.elevation.get())
                .then(a.id.cmp(&b.id))
        });
        floors
    }

    /// The rooms of one floor.
    pub fn rooms_on(&self, floor: FloorId) -> impl Iterator<Item = &Room> {
        self.rooms.iter().filter(move |room| room.floor == floor)
    }

    /// The field device that carries this detector.
    pub fn device_of(&self, detector: DetectorId) -> Option<&FieldDevice> {
        self.devices
            .iter()
            .find(|device| device.detectors.contains(&detector))
    }

    /// The part that measures: that of the field device that carries the detector, else the
    /// detector's own.
    pub fn part_of<'a>(&'a self, detector: &'a Detector) -> Option<&'a str> {
        let carrying = self
            .device_of(detector.id)
            .map(|device| device.part.as_str());
        carrying.or(detector.part.as_deref())
    }

    /// The segment this device is on.
    pub fn segment_of(&self, device: DeviceId) -> Option<&Segment> {
        self.segments
            .iter()
            .find(|segment| segment.devices.contains(&device))
    }
}

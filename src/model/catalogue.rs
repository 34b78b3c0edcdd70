//! The catalogue: what can be bought, what it needs and what it costs.
//!
//! The app ships none: the demo carries an invented one.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model::detector::Principle;
use crate::units::{AmpereHours, Amperes, Money, Seconds, Unit, Volts};

/// The parts a project may use.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Catalogue {
    #[serde(default)]
    pub name: String,
    /// Printed before every price, such as "€".
    #[serde(default)]
    pub currency: String,
    /// Whether its prices are invented: a price made of them is no offer, and every print says so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub sample: bool,
    #[serde(default)]
    pub items: Vec<CatalogueItem>,
}

/// One part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CatalogueItem {
    /// Part number, unique in the catalogue.
    pub part: String,
    pub description: String,
    /// Price of one, or of one metre of cable.
    pub price: Money,
    pub kind: ItemKind,
}

/// What a part is, with what the engine must know of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "is", rename_all = "snake_case", deny_unknown_fields)]
pub enum ItemKind {
    /// A field device with one detector.
    DetectorDevice {
        /// Keys of the substances it can measure.
        measures: Vec<String>,
        principle: Principle,
        range_low: f64,
        range_high: f64,
        /// Unit of the range: %LFL, ppm or %vol.
        range_unit: Unit,
        /// Time to 90 % of the reading; `null`: that of the basis of design.
        #[serde(default)]
        t90: Option<Seconds>,
        load: DeviceLoad,
    },
    /// A field device with connections for I/O points.
    IoUnit { ports: u32, load: DeviceLoad },
    /// A sounder with beacon on the bus.
    Sounder { load: DeviceLoad },
    /// A repeater or entry display on the bus.
    Display { load: DeviceLoad },
    /// A control panel or subpanel.
    Panel(PanelLimits),
    /// Two-core cable, priced by the metre.
    Cable {
        /// Copper cross-section of one core, mm2.
        cross_section_mm2: f64,
        class: CableClass,
    },
    Battery {
        voltage: Volts,
        capacity: AmpereHours,
    },
    /// Something that comes along: so many for each of what it belongs to.
    Accessory { goes_with: GoesWith, each: f64 },
}

/// What a field device draws from the bus.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DeviceLoad {
    /// Current with nothing in alarm.
    pub normal: Amperes,
    /// Current with every output on.
    pub alarm: Amperes,
    /// Least voltage at its terminals.
    pub least: Volts,
}

/// What a control panel can carry.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PanelLimits {
    /// Bus connections; each takes one line.
    pub connections: u32,
    pub devices_per_connection: u32,
    pub measuring_points: u32,
    pub current_per_connection: Amperes,
    /// Longest cable of one segment, m.
    pub longest_segment_m: f64,
    /// Bus voltage on mains.
    pub bus_voltage: Volts,
    /// Bus voltage with the battery at its end.
    pub bus_voltage_least: Volts,
}

/// Conductor class of IEC 60228.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum CableClass {
    /// Class 1 or 2: solid or stranded.
    Fixed,
    /// Class 5 or 6: flexible.
    Flexible,
}

/// What an accessory belongs to.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum GoesWith {
    /// Each field device bought.
    FieldDevice,
    /// Each detector bought.
    Detector,
    /// Each cable end.
    CableEnd,
    /// Each control panel bought.
    Panel,
    /// Each place where cables go through a wall or slab.
    WallCrossing,
    /// The project, once.
    Project,
}

impl Catalogue {
    /// The item with this part number.
    pub fn item(&self, part: &str) -> Option<&CatalogueItem> {
        self.items.iter().find(|item| item.part == part)
    }

    /// Whether a field device of the catalogue is listed for this very substance.
    pub fn measures(&self, substance: &str) -> bool {
        self.items.iter().any(|item| match &item.kind {
            ItemKind::DetectorDevice { measures, .. } => {
                measures.iter().any(|key| key == substance)
            }
            _ => false,
        })
    }
}

impl CatalogueItem {
    /// What the item draws from the bus; `None` for what is no field device.
    pub fn load(&self) -> Option<DeviceLoad> {
        match self.kind {
            ItemKind::DetectorDevice { load, .. }
            | ItemKind::IoUnit { load, .. }
            | ItemKind::Sounder { load }
            | ItemKind::Display { load } => Some(load),
            _ => None,
        }
    }
}

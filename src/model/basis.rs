//! The basis of design: every default the engine uses, in one list, printed as it is.
//!
//! A project holds only what the designer changed; everything else is read from [`ITEMS`].

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model::citation::Citation;
use crate::units::Unit;

/// One assumption of the basis of design.
#[derive(Debug, Clone, PartialEq)]
pub struct BasisItem {
    /// Stable key, as in the project file.
    pub key: &'static str,
    /// Heading it prints under.
    pub group: &'static str,
    /// What it is, in words.
    pub label: &'static str,
    pub unit: Unit,
    pub default: f64,
    pub least: f64,
    pub most: f64,
    pub citation: Citation,
}

/// The designer's departures from the defaults.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Basis(BTreeMap<String, f64>);

impl Basis {
    /// The value in force.
    pub fn get(&self, item: &BasisItem) -> f64 {
        self.0.get(item.key).copied().unwrap_or(item.default)
    }

    /// Whether the item is switched on (items of unit "" with range 0 to 1).
    pub fn is_on(&self, item: &BasisItem) -> bool {
        self.get(item) >= 0.5
    }

    /// Whether the designer departed from the default.
    pub fn is_changed(&self, item: &BasisItem) -> bool {
        self.0.contains_key(item.key)
    }

    /// The keys the designer changed, with their values.
    pub fn changes(&self) -> impl Iterator<Item = (&str, f64)> {
        self.0.iter().map(|(key, value)| (key.as_str(), *value))
    }

    /// Sets or (with `None`) takes back a departure; the caller has checked key and range.
    pub(crate) fn set(&mut self, key: &str, value: Option<f64>) {
        match value {
            Some(value) => self.0.insert(key.to_owned(), value),
            None => self.0.remove(key),
        };
    }
}

/// The item with this key.
pub fn item(key: &str) -> Option<&'static BasisItem> {
    ITEMS.iter().copied().find(|item| item.key == key)
}

macro_rules! basis_items {
    ($($name:ident = $key:literal, $group:expr, $label:literal, $unit:ident, $default:literal,
       $least:literal ..= $most:literal, $citation:expr;)*) => {
        $(
            #[doc = $label]
            pub static $name: BasisItem = BasisItem {
                key: $key,
                group: $group,
                label: $label,
                unit: Unit::$unit,
                default: $default,
                least: $least,
                most: $most,
                citation: $citation,
            };
        )*
        /// Every assumption, in the order it prints.
        pub static ITEMS: &[&BasisItem] = &[$(&$name),*];
    };
}

const ROOMS: &str = "Rooms, where the surveyor does not know";
const HEIGHT: &str = "Mounting height";
const REACH: &str = "Reach";
const WATCH: &str = "What is watched";
const ALARM: &str = "Set-points";
const PLACE: &str = "Candidate points";
const CABLE: &str = "Cable";
const LABOUR: &str = "Labour and commissioning";

const GB50493: &str = "GB/T 50493-2019";
const KOREA: &str = "Korea NFSC 206 (2021)";

basis_items! {
    CEILING_UNKNOWN = "ceiling_unknown", ROOMS, "Ceiling height where it is not known",
        Metre, 3.0, 2.0..=30.0, Citation::CommonPractice;
    AIR_CHANGES_UNKNOWN = "air_changes_unknown", ROOMS, "Air changes where they are not known",
        PerHour, 0.5, 0.0..=100.0, Citation::CommonPractice;
    SOURCE_HEIGHT_UNKNOWN = "source_height_unknown", ROOMS,
        "Height of a release source where it is not known",
        Metre, 1.0, 0.0..=30.0, Citation::CommonPractice;
    ROOM_TEMPERATURE = "room_temperature", ROOMS, "Room temperature",
        Celsius, 20.0, -30.0..=60.0, Citation::CommonPractice;
    FLUE_GAS_TEMPERATURE = "flue_gas_temperature", ROOMS, "Temperature of escaping flue gas",
        Celsius, 120.0, 30.0..=1000.0, Citation::CommonPractice;
    LIGHT_BELOW = "light_below", HEIGHT, "Lighter than air: relative density below",
        One, 0.8, 0.5..=1.0, Citation::from_memory("IEC 60079-10-1", "relative density");
    HEAVY_ABOVE = "heavy_above", HEIGHT, "Heavier than air: relative density above",
        One, 1.2, 1.0..=1.5, Citation::from_memory("IEC 60079-10-1", "relative density");
    BELOW_CEILING = "below_ceiling", HEIGHT, "High band: below the ceiling",
        Metre, 0.3, 0.05..=1.0, Citation::published(KOREA, "light gas within 0.3 m of the ceiling");
    ABOVE_FLOOR = "above_floor", HEIGHT, "Low band: above the floor",
        Metre, 0.3, 0.1..=0.6,
        Citation::published(GB50493, "heavy gas 0.3 to 0.6 m above the floor");
    ABOVE_SOURCE = "above_source", HEIGHT, "In the open: light gas sought above its source by",
        Metre, 1.0, 0.0..=2.0,
        Citation::published(GB50493, "light gas within 2 m above the source");
    BREATHING_HEIGHT = "breathing_height", HEIGHT, "Breathing band: above the floor",
        Metre, 1.5, 1.2..=1.8, Citation::CommonPractice;
    REACH_FLAMMABLE_INDOOR = "reach_flammable_indoor", REACH, "Flammable, indoors",
        Metre, 5.0, 1.0..=15.0, Citation::published(GB50493, "combustible gas, enclosed");
    REACH_FLAMMABLE_OUTDOOR = "reach_flammable_outdoor", REACH, "Flammable, outdoors",
        Metre, 10.0, 1.0..=30.0, Citation::published(GB50493, "combustible gas, open");
    REACH_TOXIC_INDOOR = "reach_toxic_indoor", REACH, "Toxic, indoors",
        Metre, 2.0, 0.5..=15.0, Citation::published(GB50493, "toxic gas, enclosed");
    REACH_TOXIC_OUTDOOR = "reach_toxic_outdoor", REACH, "Toxic, outdoors",
        Metre, 4.0, 0.5..=30.0, Citation::published(GB50493, "toxic gas, open");
    REACH_OXYGEN = "reach_oxygen", REACH, "Oxygen depletion or enrichment",
        Metre, 5.0, 1.0..=15.0, Citation::CommonPractice;
    AREA_LABORATORY = "area_laboratory", WATCH, "Watch the whole floor of laboratories (1 yes)",
        One, 0.0, 0.0..=1.0, Citation::CommonPractice;
    AREA_BOILER_ROOM = "area_boiler_room", WATCH, "Watch the whole floor of boiler rooms (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    AREA_PLANT_ROOM = "area_plant_room", WATCH, "Watch the whole floor of plant rooms (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    AREA_STORE = "area_store", WATCH, "Watch the whole floor of stores (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    REACH_AREA = "reach_area", REACH, "Whole floor of a room: from a detector",
        Metre, 5.0, 1.0..=15.0, Citation::CommonPractice;
    AREA_CELL = "area_cell", WATCH, "Cell the floor is divided into",
        Metre, 0.5, 0.2..=2.0, Citation::CommonPractice;
    FLAMMABLE_FIRST = "flammable_first", ALARM, "Flammable, first set-point",
        PercentLfl, 20.0, 5.0..=25.0, Citation::published(GB50493, "at most 25 %LFL");
    FLAMMABLE_SECOND = "flammable_second", ALARM, "Flammable, second set-point",
        PercentLfl, 40.0, 10.0..=50.0, Citation::published(GB50493, "at most 50 %LFL");
    OXYGEN_FIRST = "oxygen_first", ALARM, "Oxygen, first set-point, falling",
        PercentVolume, 19.5, 17.0..=20.5,
        Citation::published("EIGA Doc 44/18", "least oxygen for entry 19.5 %");
    OXYGEN_SECOND = "oxygen_second", ALARM, "Oxygen, second set-point, falling",
        PercentVolume, 18.0, 15.0..=19.5, Citation::CommonPractice;
    OXYGEN_HIGH = "oxygen_high", ALARM, "Oxygen, set-point for enrichment, rising",
        PercentVolume, 23.5, 21.5..=25.0,
        Citation::published(GB50493, "enrichment above 23.5 %");
    GRID_STEP = "grid_step", PLACE, "Step of the candidate points",
        Metre, 1.0, 0.25..=5.0, Citation::CommonPractice;
    WALL_OFFSET = "wall_offset", PLACE, "From the wall to the detector's axis",
        Metre, 0.1, 0.0..=0.5, Citation::CommonPractice;
    CORNER_CLEAR = "corner_clear", PLACE, "Kept clear of corners",
        Metre, 0.3, 0.0..=1.0, Citation::from_memory("IEC 60079-29-2", "dead air in corners");
    CEILING_POINTS = "ceiling_points", PLACE, "Allow points on the ceiling (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    SPUR_ESTIMATE = "spur_estimate", PLACE,
        "Cable estimated for a detector, per metre from the nearest way of the cable",
        Metre, 1.0, 0.0..=5.0, Citation::CommonPractice;
    NEARNESS = "nearness", PLACE,
        "A metre nearer to the release source is worth a cable of",
        Metre, 2.0, 0.0..=20.0, Citation::CommonPractice;
    POST = "post", PLACE, "A post or frame for a detector off the walls is worth a cable of",
        Metre, 5.0, 0.0..=100.0, Citation::CommonPractice;
    OPENING_CLEAR = "opening_clear", PLACE, "Kept clear of doors and windows",
        Metre, 0.3, 0.0..=2.0, Citation::CommonPractice;
    THING_CLEAR = "thing_clear", PLACE,
        "Kept clear, on plan, of release sources, panels and other devices where that is possible",
        Metre, 0.6, 0.0..=2.0, Citation::CommonPractice;
    COST_FIRST = "cost_first", PLACE, "Least cost before fewest detectors (1 yes)",
        One, 0.0, 0.0..=1.0, Citation::Designer;
    CABLE_HEIGHT_BELOW_CEILING = "cable_height_below_ceiling", CABLE,
        "Cables run below the ceiling by",
        Metre, 0.2, 0.0..=2.0, Citation::CommonPractice;
    CABLE_WALL_OFFSET = "cable_wall_offset", CABLE, "Cables run from the wall at",
        Metre, 0.15, 0.0..=1.0, Citation::CommonPractice;
    CROSSING_COST = "crossing_cost", CABLE, "A wall crossing is worth a detour of",
        Metre, 5.0, 0.0..=50.0, Citation::CommonPractice;
    CONTAINMENT_FACTOR = "containment_factor", CABLE,
        "A metre in containment or corridor counts as",
        One, 0.6, 0.1..=1.0, Citation::CommonPractice;
    TERMINATION = "termination", CABLE, "Allowance for each end at a device",
        Metre, 0.5, 0.0..=5.0, Citation::CommonPractice;
    TERMINATION_PANEL = "termination_panel", CABLE, "Allowance for the end at a panel",
        Metre, 2.0, 0.0..=10.0, Citation::CommonPractice;
    SLACK = "slack", CABLE, "Slack on the route",
        Percent, 5.0, 0.0..=30.0, Citation::CommonPractice;
    CONDUCTOR_TEMPERATURE = "conductor_temperature", CABLE, "Conductor temperature",
        Celsius, 50.0, 20.0..=90.0, Citation::CommonPractice;
    SPARE = "spare", CABLE, "Spare kept on devices, points, connections, current, length",
        Percent, 20.0, 0.0..=50.0, Citation::CommonPractice;
    RATE_LABOUR = "rate_labour", LABOUR, "Rate of an hour on site",
        MoneyPerHour, 60.0, 0.0..=1000.0, Citation::Designer;
    RATE_COMMISSIONING = "rate_commissioning", LABOUR, "Rate of an hour of commissioning",
        MoneyPerHour, 85.0, 0.0..=1000.0, Citation::Designer;
    HOURS_DEVICE = "hours_device", LABOUR, "Fix and connect a field device",
        Hour, 1.5, 0.0..=20.0, Citation::CommonPractice;
    HOURS_PANEL = "hours_panel", LABOUR, "Fix and connect a control panel",
        Hour, 6.0, 0.0..=80.0, Citation::CommonPractice;
    HOURS_CABLE = "hours_cable", LABOUR, "Lay a metre of cable",
        Hour, 0.08, 0.0..=2.0, Citation::CommonPractice;
    HOURS_CROSSING = "hours_crossing", LABOUR, "Make and seal a crossing of a wall or slab",
        Hour, 0.5, 0.0..=10.0, Citation::CommonPractice;
    HOURS_GASSING = "hours_gassing", LABOUR, "Gas and prove a detector",
        Hour, 0.5, 0.0..=10.0, Citation::CommonPractice;
    HOURS_SETUP = "hours_setup", LABOUR, "Set up a control panel",
        Hour, 4.0, 0.0..=80.0, Citation::CommonPractice;
}

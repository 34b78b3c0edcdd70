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

/// Items that count things: only whole numbers are legal.
static WHOLE: [&BasisItem; 3] = [&NEED_FLAMMABLE, &NEED_TOXIC, &NEED_OXYGEN];

impl BasisItem {
    /// Whether it counts things, so that only a whole number is legal.
    pub fn is_whole(&self) -> bool {
        WHOLE.iter().any(|item| item.key == self.key)
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
const RELEASE: &str = "Release, where the surveyor does not know";
const ALARM: &str = "Set-points";
const USE_ALARM: &str = "Set-points by the use of the room";
const NOISE: &str = "Noise of a detector, share of its range";
const AIR: &str = "Gas in a room";
const TIME: &str = "Time to alarm and to harm";
const PLACE: &str = "Candidate points";
const CABLE: &str = "Cable";
const LABOUR: &str = "Labour and commissioning";

const GB50493: &str = "GB/T 50493-2019";
const HOLES: Citation = Citation::from_memory(
    "IEC 60079-10-1:2020",
    "table B.1, suggested holes, the opening may expand, upper figure",
);
const VOTES: Citation = Citation::from_memory(
    "IEC 60079-29-3, IEC 61511-1",
    "how a fault counts in a vote is to be stated",
);
const EN50545: &str = "EN 50545-1";
const KOREA: &str = "Korea NFSC 206 (2021)";

basis_items! {
    CEILING_UNKNOWN = "ceiling_unknown", ROOMS, "Ceiling height where it is not known",
        Metre, 3.0, 2.0..=30.0, Citation::CommonPractice;
    AIR_CHANGES_UNKNOWN = "air_changes_unknown", ROOMS, "Air changes where they are not known",
        PerHour, 0.5, 0.0..=100.0, Citation::CommonPractice;
    VENT_RISE_UNKNOWN = "vent_rise_unknown", ROOMS,
        "Height between low and high vents where it is not known, of the room's height",
        Percent, 50.0, 10.0..=100.0, Citation::CommonPractice;
    SOURCE_HEIGHT_UNKNOWN = "source_height_unknown", ROOMS,
        "Height of a release source where it is not known",
        Metre, 1.0, 0.0..=30.0, Citation::CommonPractice;
    PIT_DEPTH_UNKNOWN = "pit_depth_unknown", ROOMS, "Depth of a pit where it is not known",
        Metre, 1.0, 0.3..=20.0, Citation::CommonPractice;
    PLATFORM_HEIGHT_UNKNOWN = "platform_height_unknown", ROOMS,
        "Height of a platform or walkway where it is not known",
        Metre, 3.0, 0.3..=60.0, Citation::CommonPractice;
    ROOM_TEMPERATURE = "room_temperature", ROOMS, "Room temperature",
        Celsius, 20.0, -30.0..=60.0, Citation::CommonPractice;
    ROOM_HUMIDITY = "room_humidity", ROOMS, "Relative humidity of the room's air",
        Percent, 50.0, 0.0..=100.0, Citation::CommonPractice;
    SITE_ALTITUDE = "site_altitude", ROOMS, "Altitude of the site above sea level",
        Metre, 0.0, -430.0..=5000.0, Citation::CommonPractice;
    FLUE_GAS_TEMPERATURE = "flue_gas_temperature", ROOMS, "Temperature of escaping flue gas",
        Celsius, 120.0, 30.0..=1000.0, Citation::CommonPractice;
    HOLE_SMALL_BORE = "hole_small_bore", RELEASE, "Hole of a small-bore joint, up to 50 mm",
        SquareMillimetre, 0.25, 0.01..=1000.0, HOLES;
    HOLE_FIBRE_GASKET = "hole_fibre_gasket", RELEASE, "Hole of a flange with a fibre gasket",
        SquareMillimetre, 2.5, 0.01..=1000.0, HOLES;
    HOLE_SPIRAL_WOUND = "hole_spiral_wound", RELEASE,
        "Hole of a flange with a spiral-wound gasket",
        SquareMillimetre, 0.25, 0.01..=1000.0, HOLES;
    HOLE_RING_JOINT = "hole_ring_joint", RELEASE, "Hole of a ring joint",
        SquareMillimetre, 0.25, 0.01..=1000.0, HOLES;
    HOLE_VALVE_STEM = "hole_valve_stem", RELEASE, "Hole of a valve's stem packing",
        SquareMillimetre, 2.5, 0.01..=1000.0, HOLES;
    HOLE_SHAFT_SEAL = "hole_shaft_seal", RELEASE, "Hole of a pump's or compressor's shaft seal",
        SquareMillimetre, 5.0, 0.01..=1000.0, HOLES;
    CYLINDER_VALVE = "cylinder_valve", RELEASE, "Opening of a cylinder valve, fully open",
        SquareMillimetre, 7.0, 0.01..=1000.0, Citation::CommonPractice;
    COEFFICIENT_SHARP = "coefficient_sharp", RELEASE, "Discharge coefficient of a hole",
        One, 0.75, 0.5..=1.0, Citation::from_memory("IEC 60079-10-1:2020", "B.7.2, sharp orifice");
    COEFFICIENT_ROUNDED = "coefficient_rounded", RELEASE,
        "Discharge coefficient of an opened valve or a torn pipe",
        One, 0.99, 0.5..=1.0,
        Citation::from_memory("IEC 60079-10-1:2020", "B.7.2, rounded orifice");
    HEAT_CAPACITY_RATIO = "heat_capacity_ratio", RELEASE,
        "Ratio of heat capacities where no table states it (higher gives more flow)",
        One, 1.4, 1.05..=1.67, Citation::CommonPractice;
    PRESSURE_UNKNOWN = "pressure_unknown", RELEASE, "Pressure in a pipe or vessel",
        BarGauge, 10.0, 0.001..=1000.0, Citation::CommonPractice;
    LOW_PRESSURE_UNKNOWN = "low_pressure_unknown", RELEASE, "Pressure of a low-pressure gas pipe",
        MillibarGauge, 50.0, 1.0..=1000.0,
        Citation::from_memory("EN 437", "highest usual supply pressure of appliances");
    RATING_UNKNOWN = "rating_unknown", RELEASE, "Rated output of an appliance",
        Kilowatt, 70.0, 0.1..=100000.0, Citation::CommonPractice;
    EFFICIENCY = "efficiency", RELEASE, "Output of an appliance over the heat of its gas",
        One, 0.9, 0.3..=1.1, Citation::CommonPractice;
    FLUE_GAS_RATIO = "flue_gas_ratio", RELEASE,
        "Flue gas of one volume of gas at 20 % excess air, room temperature",
        One, 12.5, 2.0..=60.0, Citation::CommonPractice;
    FLUE_GAS_SHARE = "flue_gas_share", RELEASE,
        "Share of the gas that is watched in the flue gas of a bad flame",
        PercentVolume, 1.0, 0.001..=20.0, Citation::CommonPractice;
    CYLINDER_LITRES_UNKNOWN = "cylinder_litres_unknown", RELEASE, "Water volume of a cylinder",
        Litre, 50.0, 0.1..=10000.0, Citation::CommonPractice;
    CYLINDER_PRESSURE_UNKNOWN = "cylinder_pressure_unknown", RELEASE,
        "Fill pressure of a cylinder",
        BarGauge, 200.0, 1.0..=1000.0, Citation::CommonPractice;
    DEWAR_LITRES_UNKNOWN = "dewar_litres_unknown", RELEASE, "Liquid in a dewar",
        Litre, 50.0, 0.1..=100000.0, Citation::CommonPractice;
    FULL_LOSS_TIME = "full_loss_time", RELEASE, "Time in which a burst dewar's liquid boils",
        Minute, 5.0, 0.5..=120.0, Citation::CommonPractice;
    BOIL_OFF_UNKNOWN = "boil_off_unknown", RELEASE, "Boil-off of a dewar a day, of its contents",
        Percent, 2.0, 0.1..=50.0, Citation::CommonPractice;
    BOIL_OFF_FACTOR = "boil_off_factor", RELEASE, "Boil-off when the insulation has aged, times",
        One, 2.0, 1.0..=20.0,
        Citation::published("University of Oxford, policy S4/03", "appendix, loss by evaporation");
    SPILL_LITRES_UNKNOWN = "spill_litres_unknown", RELEASE, "Liquid that can be spilt",
        Litre, 2.5, 0.01..=10000.0, Citation::CommonPractice;
    POOL_DEPTH = "pool_depth", RELEASE, "Depth of a pool on a smooth floor",
        Millimetre, 5.0, 0.5..=100.0, Citation::CommonPractice;
    AIR_SPEED_UNKNOWN = "air_speed_unknown", RELEASE, "Air over a pool",
        MetrePerSecond, 0.5, 0.05..=20.0,
        Citation::from_memory("IEC 60079-10-1:2020", "annex C, least air speed");
    EVAPORATION_2015 = "evaporation_2015", RELEASE,
        "Evaporation by the 2015 edition, which gives a third (1 yes)",
        One, 0.0, 0.0..=1.0, Citation::from_memory("IEC 60079-10-1", "B.7.3, editions differ");
    CELLS_UNKNOWN = "cells_unknown", RELEASE, "Cells of a battery on charge",
        One, 24.0, 1.0..=1000.0, Citation::CommonPractice;
    CAPACITY_UNKNOWN = "capacity_unknown", RELEASE, "Capacity of a battery",
        AmpereHour, 200.0, 1.0..=100000.0, Citation::CommonPractice;
    CHARGE_UNKNOWN = "charge_unknown", RELEASE, "Refrigerant in a circuit, commercial plant",
        Kilogram, 10.0, 0.01..=100000.0, Citation::CommonPractice;
    CHARGE_HOUSEHOLD = "charge_household", RELEASE,
        "Refrigerant in a household refrigerator or freezer",
        Kilogram, 0.15, 0.01..=100.0,
        Citation::from_memory("IEC 60335-2-24", "22.106, most flammable refrigerant of a circuit");
    CHARGE_CABINET = "charge_cabinet", RELEASE,
        "Refrigerant in a refrigerated cabinet with its own compressor",
        Kilogram, 1.2, 0.01..=100.0,
        Citation::from_memory("IEC 60335-2-89:2019", "22.110, most flammable refrigerant of a circuit");
    CHARGE_ROOM_UNIT = "charge_room_unit", RELEASE,
        "Refrigerant in a split air conditioner or heat pump",
        Kilogram, 3.0, 0.01..=100.0, Citation::CommonPractice;
    CHARGE_LOSS_TIME = "charge_loss_time", RELEASE, "Time in which a circuit loses its charge",
        Minute, 4.0, 0.5..=1440.0,
        Citation::from_memory("IEC 60335-2-40", "annex GG, charge released in 4 minutes");
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
    HEIGHT_TOLERANCE = "height_tolerance", HEIGHT,
        "A detector this far off the heights of its band still counts",
        Metre, 0.1, 0.0..=0.3, Citation::CommonPractice;
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
    REACH_AREA = "reach_area", REACH,
        "Whole floor of a room, any hazard: from a detector",
        Metre, 5.0, 1.0..=15.0, Citation::CommonPractice;
    REACH_CUPBOARD = "reach_cupboard", REACH,
        "Extract of a fume cupboard or gas cabinet: a detector is in it within",
        Metre, 0.3, 0.1..=1.0, Citation::CommonPractice;
    AREA_LABORATORY = "area_laboratory", WATCH,
        "Laboratories: watch the whole floor for every gas and hazard of the room (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    AREA_BOILER_ROOM = "area_boiler_room", WATCH,
        "Boiler rooms: watch the whole floor for every gas and hazard of the room (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    AREA_PLANT_ROOM = "area_plant_room", WATCH,
        "Plant rooms: watch the whole floor for every gas and hazard of the room (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    AREA_STORE = "area_store", WATCH,
        "Stores: watch the whole floor for every gas and hazard of the room (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    WATCH_GRILLES = "watch_grilles", WATCH,
        "Extract and return grilles of rooms with a source and strong ventilation: watch (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    STRONG_VENTILATION = "strong_ventilation", WATCH, "Ventilation of a room is strong from",
        PerHour, 6.0, 0.0..=100.0, Citation::CommonPractice;
    WATCH_INTAKES = "watch_intakes", WATCH,
        "Air intakes near a source in the open: watch (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    INTAKE_NEAR = "intake_near", WATCH, "A source in the open is near an air intake up to",
        Metre, 10.0, 1.0..=50.0, Citation::CommonPractice;
    WATCH_CUPBOARDS = "watch_cupboards", WATCH,
        "Extracts of fume cupboards and gas cabinets with a source: watch (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    CUPBOARD_NEAR = "cupboard_near", WATCH,
        "A source stands in a fume cupboard or gas cabinet up to, from its extract",
        Metre, 1.0, 0.1..=3.0, Citation::CommonPractice;
    WATCH_PITS = "watch_pits", WATCH,
        "Pits of a room whose gas is sought near the floor: watch in the pit as well (1 yes)",
        One, 1.0, 0.0..=1.0,
        Citation::published("Japan Fire Service Rule", "article 24-2-3, a step of 0.3 m in the floor");
    WATCH_WAYS_OUT = "watch_ways_out", WATCH,
        "Ways from a room with a source to an enclosed room without that gas: watch (1 yes; \
         not by default, as it asks for more detectors)",
        One, 0.0, 0.0..=1.0, Citation::CommonPractice;
    WATCH_DOORS_OXYGEN = "watch_doors_oxygen", WATCH,
        "Doors of an enclosed room where gas can displace oxygen: watch oxygen there, at \
         breathing height (1 yes; not by default, as it asks for more detectors)",
        One, 0.0, 0.0..=1.0, Citation::CommonPractice;
    NEED_FLAMMABLE = "need_flammable", WATCH,
        "Flammable: detectors in reach of each watched source, place and floor (2 or more to vote)",
        One, 1.0, 1.0..=4.0, Citation::CommonPractice;
    NEED_TOXIC = "need_toxic", WATCH,
        "Toxic: detectors in reach of each watched source, place and floor (2 or more to vote)",
        One, 1.0, 1.0..=4.0, Citation::CommonPractice;
    NEED_OXYGEN = "need_oxygen", WATCH,
        "Oxygen: detectors in reach of each watched source, place and floor (2 or more to vote)",
        One, 1.0, 1.0..=4.0, Citation::CommonPractice;
    VOTE_FAULT = "vote_fault", WATCH,
        "Voting: a detector in fault counts as a vote; else it is left out of the vote (1 yes)",
        One, 0.0, 0.0..=1.0, VOTES;
    VOTE_APART = "vote_apart", WATCH,
        "Voting: detectors of one demand stand apart at least",
        Metre, 0.5, 0.1..=5.0, Citation::CommonPractice;
    FLOOR_SHARE = "floor_share", WATCH,
        "Share of a floor that is to be watched, where a whole floor is",
        Percent, 100.0, 50.0..=100.0, Citation::CommonPractice;
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
    TOXIC_FIRST = "toxic_first", ALARM, "Toxic, first set-point, of the limit for a working day",
        Percent, 100.0, 10.0..=100.0, Citation::published(GB50493, "at most 100 % of the limit");
    TOXIC_SECOND = "toxic_second", ALARM,
        "Toxic, second set-point, of the limit for short exposure",
        Percent, 100.0, 10.0..=100.0, Citation::CommonPractice;
    TOXIC_TWICE = "toxic_twice", ALARM,
        "Toxic, second set-point where no short limit is stated, of the first limit",
        Percent, 200.0, 100.0..=200.0, Citation::published(GB50493, "at most 200 % of the limit");
    TOXIC_CEILING = "toxic_ceiling", ALARM,
        "Toxic, first set-point where a ceiling is all that is stated, of the ceiling",
        Percent, 50.0, 10.0..=90.0, Citation::CommonPractice;
    TOXIC_IDLH_FIRST = "toxic_idlh_first", ALARM,
        "Toxic without a limit, first set-point, of what is immediately dangerous",
        Percent, 5.0, 1.0..=5.0, Citation::published(GB50493, "at most 5 % of IDLH");
    TOXIC_IDLH_SECOND = "toxic_idlh_second", ALARM,
        "Toxic without a limit, second set-point, of what is immediately dangerous",
        Percent, 10.0, 2.0..=10.0, Citation::published(GB50493, "at most 10 % of IDLH");
    TIME_WEIGHTED = "time_weighted", ALARM,
        "Alarm also on the 15-minute and 8-hour averages where the limit is one (1 yes)",
        One, 1.0, 0.0..=1.0, Citation::CommonPractice;
    CARBON_DIOXIDE_FIRST = "carbon_dioxide_first", ALARM, "Carbon dioxide, first set-point",
        Ppm, 5000.0, 1000.0..=5000.0,
        Citation::published("International Fire Code 2018", "5307, 5000 ppm supervisory");
    CARBON_DIOXIDE_SECOND = "carbon_dioxide_second", ALARM,
        "Carbon dioxide, second set-point in Europe and Britain",
        Ppm, 15_000.0, 5000.0..=30_000.0,
        Citation::from_memory("EH40/2005, 4th edition 2020", "Table 1, carbon dioxide");
    CARBON_DIOXIDE_SECOND_US = "carbon_dioxide_second_us", ALARM,
        "Carbon dioxide, second set-point in the United States",
        Ppm, 30_000.0, 5000.0..=30_000.0,
        Citation::published("International Fire Code 2018", "5307, 30000 ppm local evacuation");
    REFRIGERANT_FIRST = "refrigerant_first", ALARM,
        "Refrigerant, first set-point, of the practical limit",
        Percent, 25.0, 5.0..=50.0, Citation::CommonPractice;
    REFRIGERANT_SECOND = "refrigerant_second", ALARM,
        "Refrigerant, second set-point, of the practical limit",
        Percent, 50.0, 10.0..=50.0,
        Citation::from_memory("EN 378-3", "pre-set value at most half the practical limit");
    CAR_PARK_CO_FIRST = "car_park_co_first", USE_ALARM,
        "Car park: carbon monoxide, first, 15-minute average",
        Ppm, 30.0, 5.0..=60.0, Citation::published(EN50545, "first level");
    CAR_PARK_CO_SECOND = "car_park_co_second", USE_ALARM,
        "Car park: carbon monoxide, second, 15-minute average",
        Ppm, 60.0, 10.0..=120.0, Citation::published(EN50545, "second level");
    CAR_PARK_CO_THIRD = "car_park_co_third", USE_ALARM,
        "Car park: carbon monoxide, third, held for 1 minute",
        Ppm, 150.0, 20.0..=250.0, Citation::published(EN50545, "third level");
    CAR_PARK_NO2_FIRST = "car_park_no2_first", USE_ALARM,
        "Car park: nitrogen dioxide, first, 15-minute average",
        Ppm, 3.0, 0.2..=3.0, Citation::published(EN50545, "first level");
    CAR_PARK_NO2_SECOND = "car_park_no2_second", USE_ALARM,
        "Car park: nitrogen dioxide, second, 15-minute average",
        Ppm, 6.0, 0.5..=6.0, Citation::published(EN50545, "second level");
    CAR_PARK_NO2_THIRD = "car_park_no2_third", USE_ALARM,
        "Car park: nitrogen dioxide, third, held for 1 minute",
        Ppm, 15.0, 1.0..=15.0, Citation::published(EN50545, "third level");
    AMMONIA_PLANT_FIRST = "ammonia_plant_first", USE_ALARM,
        "Refrigeration room in the United States: ammonia, first",
        Ppm, 25.0, 5.0..=50.0, Citation::published("IIAR 2", "25 ppm alarm");
    AMMONIA_PLANT_SECOND = "ammonia_plant_second", USE_ALARM,
        "Refrigeration room in the United States: ammonia, second",
        Ppm, 150.0, 25.0..=150.0,
        Citation::published("IIAR 2", "150 ppm emergency ventilation");
    AMMONIA_PLANT_LEVELS = "ammonia_plant_levels", USE_ALARM,
        "Refrigeration room in Europe and Britain: ammonia also at the plant's levels (1 yes)",
        One, 0.0, 0.0..=1.0, Citation::CommonPractice;
    AMMONIA_PLANT_PRE_ALARM = "ammonia_plant_pre_alarm", USE_ALARM,
        "Refrigeration room in Europe and Britain: ammonia, pre-alarm of the plant",
        Ppm, 500.0, 50.0..=500.0,
        Citation::from_memory("EN 378-3", "ammonia detectors, pre-alarm 350 mg/m³ (500 ppm)");
    AMMONIA_PLANT_MAIN_ALARM = "ammonia_plant_main_alarm", USE_ALARM,
        "Refrigeration room in Europe and Britain: ammonia, main alarm that stops the plant",
        Ppm, 30_000.0, 1000.0..=30_000.0,
        Citation::from_memory("EN 378-3", "ammonia detectors, main alarm 21200 mg/m³ (30000 ppm)");
    NOISE_CATALYTIC = "noise_catalytic", NOISE, "Catalytic",
        Percent, 2.0, 0.1..=10.0, Citation::CommonPractice;
    NOISE_INFRARED = "noise_infrared", NOISE, "Infrared",
        Percent, 1.0, 0.1..=10.0, Citation::CommonPractice;
    NOISE_ELECTROCHEMICAL = "noise_electrochemical", NOISE, "Electrochemical",
        Percent, 1.0, 0.1..=10.0, Citation::CommonPractice;
    NOISE_THERMAL = "noise_thermal", NOISE, "Thermal conductivity",
        Percent, 1.0, 0.1..=10.0, Citation::CommonPractice;
    NOISE_SEMICONDUCTOR = "noise_semiconductor", NOISE, "Semiconductor",
        Percent, 3.0, 0.1..=10.0, Citation::CommonPractice;
    NOISE_PHOTOIONISATION = "noise_photoionisation", NOISE, "Photoionisation",
        Percent, 1.0, 0.1..=10.0, Citation::CommonPractice;
    ROOM_FREE_VOLUME = "room_free_volume", AIR, "Share of a room's volume that is free air",
        Percent, 100.0, 20.0..=100.0, Citation::CommonPractice;
    ENTRAINMENT = "entrainment", AIR, "Entrainment coefficient of a plume, top-hat",
        One, 0.13, 0.08..=0.2,
        Citation::from_memory("Linden 1999, Annu. Rev. Fluid Mech. 31, 201",
            "0.093 for Gaussian profiles, times the square root of 2");
    ENTRAINMENT_LEAST = "entrainment_least", AIR, "Least entrainment coefficient it may have",
        One, 0.1, 0.08..=0.2,
        Citation::from_memory("Baines & Turner 1969, J. Fluid Mech. 37, 51", "top-hat 0.1");
    ENTRAINMENT_MOST = "entrainment_most", AIR, "Most entrainment coefficient it may have",
        One, 0.15, 0.08..=0.2,
        Citation::from_memory("Heskestad, SFPE Handbook of Fire Protection Engineering",
            "0.071 in the flux of fire plumes");
    VENT_COEFFICIENT = "vent_coefficient", AIR, "Discharge coefficient of a vent",
        One, 0.6, 0.3..=1.0,
        Citation::from_memory("Linden 1999, Annu. Rev. Fluid Mech. 31, 201",
            "0.6 for an opening with sharp edges");
    HEAT_MADE_UP = "heat_made_up", AIR,
        "Cold gas: share of the heat it lacks that floor and walls make up",
        Percent, 50.0, 0.0..=100.0, Citation::CommonPractice;
    OCCUPIED_HEIGHT = "occupied_height", TIME, "Top of the layer people breathe in",
        Metre, 1.8, 1.2..=3.0, Citation::CommonPractice;
    DETECTOR_T90 = "detector_t90", TIME, "Detector: time to 90 % of the reading, unless stated",
        Second, 60.0, 1.0..=600.0,
        Citation::from_memory("IEC 60079-29-1:2016", "time of response, 60 s typical");
    BUS_SCAN = "bus_scan", TIME, "Bus: all field devices asked once",
        Second, 5.0, 0.0..=120.0, Citation::CommonPractice;
    PANEL_DELAY = "panel_delay", TIME, "Control panel: from reading to output",
        Second, 3.0, 0.0..=120.0, Citation::CommonPractice;
    SOUNDER_DELAY = "sounder_delay", TIME, "Sounder: from output to sound",
        Second, 2.0, 0.0..=120.0, Citation::CommonPractice;
    ALARM_HORIZON = "alarm_horizon", TIME, "Releases are followed for",
        Hour, 4.0, 0.5..=24.0, Citation::CommonPractice;
    HARM_OXYGEN_LOW = "harm_oxygen_low", TIME, "Lack of oxygen harms below",
        PercentVolume, 18.0, 10.0..=19.5,
        Citation::from_memory("EIGA Doc 44/18", "dangerous below 18 %");
    HARM_OXYGEN_HIGH = "harm_oxygen_high", TIME, "Enriched air harms above",
        PercentVolume, 25.0, 23.5..=40.0, Citation::CommonPractice;
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
    SUPPLY_CLEAR = "supply_clear", PLACE, "Kept clear, on plan, of supply air terminals",
        Metre, 1.5, 0.0..=5.0, Citation::published(KOREA, "at least 1.5 m from supply vents");
    HEAT_CLEAR = "heat_clear", PLACE, "Kept clear, on plan, of hot areas",
        Metre, 0.5, 0.0..=5.0, Citation::CommonPractice;
    WATER_CLEAR = "water_clear", PLACE, "Kept clear, on plan, of wet areas",
        Metre, 0.3, 0.0..=5.0, Citation::CommonPractice;
    ACCESS_HEIGHT = "access_height", PLACE,
        "A detector is reached for calibration without equipment up to, above what one stands on",
        Metre, 4.0, 1.5..=10.0, Citation::CommonPractice;
    ACCESS_LOW = "access_low", PLACE,
        "In an obstructed area a detector is hidden below",
        Metre, 1.2, 0.1..=3.0, Citation::CommonPractice;
    ACCESS = "access", PLACE,
        "A place that is hard to reach for calibration is worth a cable of",
        Metre, 20.0, 0.0..=500.0, Citation::CommonPractice;
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
    OUTDOOR_FACTOR = "outdoor_factor", CABLE, "A metre in the open counts as",
        One, 3.0, 1.0..=100.0, Citation::CommonPractice;
    UNDRAWN_FACTOR = "undrawn_factor", CABLE,
        "A metre where nothing is drawn counts as, since what is met there is not known",
        One, 10.0, 1.0..=100.0, Citation::CommonPractice;
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_group_prints_under_one_heading() {
        let groups = ITEMS.chunk_by(|a, b| a.group == b.group);
        let headings: Vec<&str> = groups.map(|items| items[0].group).collect();
        let mut once = headings.clone();
        once.sort_unstable();
        once.dedup();
        assert_eq!(once.len(), headings.len(), "{headings:?}");
    }
}

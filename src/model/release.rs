//! What can come out of a release source, as far as a surveyor knows it.
//!
//! Every figure may be unknown: the engine then takes the assumption of the basis of design and
//! asks. Pressures are gauge, temperatures degC.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model::source::Holding;

/// What comes out, by what it comes out of.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Release {
    /// A flow somebody measured or states.
    Flow(KnownFlow),
    /// A leak of a pipe or vessel under pressure, of gas or of liquefied gas.
    Leak(Leak),
    /// A gas pipe or appliance at a few millibars.
    LowPressure(LowPressure),
    /// Cylinders, single or on a manifold.
    Cylinder(Cylinder),
    /// A dewar or another vessel of cryogenic liquid.
    Dewar(Dewar),
    /// A liquid spilt on the floor, or standing open.
    Spill(Spill),
    /// Cells on charge.
    Battery(Battery),
    /// A refrigerating system that loses its charge.
    Charge(RefrigerantCharge),
}

/// A flow somebody measured or states.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KnownFlow {
    /// In the unit of `per`; a volume is at room temperature and pressure.
    #[serde(default)]
    pub rate: Option<f64>,
    #[serde(default)]
    pub per: FlowUnit,
}

/// Unit of a stated flow.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum FlowUnit {
    #[default]
    CubicMetresPerHour,
    KilogramsPerHour,
}

/// A leak of a pipe or vessel under pressure.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Leak {
    /// mm2; `null`: the hole suggested for the joint.
    #[serde(default)]
    pub hole: Option<f64>,
    /// Where it leaks.
    #[serde(default)]
    pub joint: Option<Joint>,
    /// Inner diameter of the pipe, mm: no hole is larger.
    #[serde(default)]
    pub bore: Option<f64>,
    /// bar(g).
    #[serde(default)]
    pub pressure: Option<f64>,
    /// degC; `null`: room temperature.
    #[serde(default)]
    pub temperature: Option<f64>,
}

/// A kind of joint that can leak (IEC 60079-10-1, table B.1, from memory).
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Joint {
    /// Screwed, compression or flared, up to 50 mm.
    SmallBore,
    FibreGasket,
    SpiralWoundGasket,
    RingJoint,
    ValveStem,
    /// Shaft seal of a pump or compressor.
    ShaftSeal,
    /// The pipe itself, open or torn off: needs its bore.
    OpenEnd,
}

/// A gas pipe or appliance at a few millibars.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LowPressure {
    /// Rated output of the appliance, kW: unburnt gas at full flow.
    #[serde(default)]
    pub rating: Option<f64>,
    /// Inner diameter of the pipe, mm: torn off.
    #[serde(default)]
    pub bore: Option<f64>,
    /// mbar(g).
    #[serde(default)]
    pub pressure: Option<f64>,
}

/// Cylinders, single or on a manifold.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cylinder {
    /// Water volume of one, L.
    #[serde(default)]
    pub litres: Option<f64>,
    /// Filled to, bar(g) at 15 degC; a liquefied gas stands at its vapour pressure.
    #[serde(default)]
    pub pressure: Option<f64>,
    /// Contents of one, kg: how liquefied gas is sold.
    #[serde(default)]
    pub contents: Option<f64>,
    /// How many empty together; `null`: one.
    #[serde(default)]
    pub number: Option<u32>,
    #[serde(default)]
    pub outlet: Outlet,
    /// mm2, where the outlet is a hole.
    #[serde(default)]
    pub hole: Option<f64>,
}

/// How gas gets out of a cylinder.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Outlet {
    #[default]
    Hole,
    /// The valve is opened, or its outlet torn off.
    ValveOpened,
}

/// A dewar or another vessel of cryogenic liquid.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dewar {
    /// Liquid when full, L.
    #[serde(default)]
    pub litres: Option<f64>,
    #[serde(default)]
    pub loss: DewarLoss,
    /// L a day, where it is the boil-off that is released.
    #[serde(default)]
    pub boil_off: Option<f64>,
}

/// How a vessel of cryogenic liquid loses it.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum DewarLoss {
    /// It bursts or is spilt.
    #[default]
    Full,
    /// It stands and boils off.
    BoilOff,
}

/// A liquid spilt on the floor, or standing open.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Spill {
    /// Liquid that can be spilt, L.
    #[serde(default)]
    pub litres: Option<f64>,
    /// Surface, m2; `null`: as the litres spread on the floor.
    #[serde(default)]
    pub area: Option<f64>,
    /// Air over the pool, m/s.
    #[serde(default)]
    pub air_speed: Option<f64>,
    /// degC; `null`: room temperature.
    #[serde(default)]
    pub temperature: Option<f64>,
}

/// Cells on charge.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Battery {
    /// Cells in series.
    #[serde(default)]
    pub cells: Option<u32>,
    /// Rated capacity, Ah.
    #[serde(default)]
    pub capacity: Option<f64>,
    #[serde(default)]
    pub cell: Option<Cell>,
    #[serde(default)]
    pub charge: Option<ChargeMode>,
}

/// A kind of cell.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Cell {
    VentedLead,
    ValveRegulatedLead,
    NickelCadmium,
}

/// How a battery is charged.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ChargeMode {
    Float,
    Boost,
}

/// What holds a refrigerant.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Equipment {
    /// Household refrigerator or freezer.
    Household,
    /// Refrigerated cabinet with its own compressor.
    Cabinet,
    /// Split air conditioner or heat pump of one room.
    RoomUnit,
    /// Cold room, chiller or other plant.
    Plant,
}

/// A refrigerating system that loses its charge.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RefrigerantCharge {
    /// What loses it; says how much is assumed where the nameplate was not read.
    #[serde(default)]
    pub equipment: Option<Equipment>,
    /// kg in one circuit.
    #[serde(default)]
    pub mass: Option<f64>,
    /// Minutes in which it is lost.
    #[serde(default)]
    pub minutes: Option<f64>,
}

impl Release {
    /// How what comes out must have been held, where its kind says so.
    pub const fn holding(&self) -> Option<Holding> {
        match self {
            Release::Charge(_) => Some(Holding::LiquefiedGas),
            Release::Dewar(_) => Some(Holding::CryogenicLiquid),
            Release::Spill(_) => Some(Holding::Liquid),
            Release::Battery(_) => Some(Holding::Gas),
            Release::Flow(_)
            | Release::Leak(_)
            | Release::LowPressure(_)
            | Release::Cylinder(_) => None,
        }
    }
}

/// A figure of a release with its limits, for the check of edits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limited {
    /// What it is, such as "fill pressure".
    pub name: &'static str,
    pub value: f64,
    /// Symbol of its unit.
    pub unit: &'static str,
    /// Valid range, ends included.
    pub least: f64,
    pub most: f64,
}

impl Release {
    /// Every stated figure with its limits.
    pub fn figures(&self) -> Vec<Limited> {
        let mut stated = Vec::new();
        let mut add = |name, value: Option<f64>, unit, least, most| {
            stated.extend(value.map(|value| Limited {
                name,
                value,
                unit,
                least,
                most,
            }));
        };
        match self {
            Release::Flow(flow) => {
                let unit = match flow.per {
                    FlowUnit::CubicMetresPerHour => "m³/h",
                    FlowUnit::KilogramsPerHour => "kg/h",
                };
                add("flow", flow.rate, unit, 1e-6, 1e5);
            }
            Release::Leak(leak) => {
                add("hole", leak.hole, "mm²", 1e-4, 1e5);
                add("bore", leak.bore, "mm", 0.1, 1000.0);
                add("pressure", leak.pressure, "bar(g)", 1e-3, 1000.0);
                add("temperature", leak.temperature, "°C", -200.0, 600.0);
            }
            Release::LowPressure(pipe) => {
                add("rating", pipe.rating, "kW", 0.1, 1e5);
                add("bore", pipe.bore, "mm", 0.1, 1000.0);
                add("pressure", pipe.pressure, "mbar(g)", 0.1, 1000.0);
            }
            Release::Cylinder(cylinder) => {
                let number = cylinder.number.map(f64::from);
                add("water volume", cylinder.litres, "L", 0.01, 1e5);
                add("fill pressure", cylinder.pressure, "bar(g)", 0.1, 1000.0);
                add("contents", cylinder.contents, "kg", 0.001, 1e5);
                add("number of cylinders", number, "", 1.0, 1000.0);
                add("hole", cylinder.hole, "mm²", 1e-4, 1e5);
            }
            Release::Dewar(dewar) => {
                add("liquid", dewar.litres, "L", 0.01, 1e6);
                add("boil-off", dewar.boil_off, "L/d", 1e-4, 1e5);
            }
            Release::Spill(spill) => {
                add("liquid spilt", spill.litres, "L", 1e-3, 1e5);
                add("surface", spill.area, "m²", 1e-4, 1e4);
                add("air speed", spill.air_speed, "m/s", 0.0, 20.0);
                add("temperature", spill.temperature, "°C", -100.0, 300.0);
            }
            Release::Battery(battery) => {
                let cells = battery.cells.map(f64::from);
                add("number of cells", cells, "", 1.0, 10_000.0);
                add("capacity", battery.capacity, "Ah", 0.1, 1e5);
            }
            Release::Charge(charge) => {
                add("charge", charge.mass, "kg", 1e-3, 1e5);
                add("time to lose it", charge.minutes, "min", 0.1, 1e5);
            }
        }
        stated
    }
}

#[cfg(test)]
mod tests;

//! What is taken where nobody knows, or no table says: conservative, and said.

use crate::engine::formula::Rule;
use crate::model::Citation;

/// Every rule of discharge.
pub static RULES: &[&Rule] = &[
    &UNKNOWN_GAS,
    &UNKNOWN_APPLIANCE,
    &UNKNOWN_LIQUEFIED,
    &UNKNOWN_CHARGE,
    &UNKNOWN_CRYOGENIC,
    &UNKNOWN_LIQUID,
    &UNKNOWN_FLUE_GAS,
    &IDEAL_GAS,
    &PRESSURE_ASSUMED,
    &ALL_IN_THE_AIR,
    &LIQUID_DENSITY,
    &EXPANSION,
    &BOILS,
    &HEATING_VALUE,
    &LARGER,
    &NO_LARGER_THAN_BORE,
    &FLUE_GAS_MASS,
    &OUTFLOW_HOLDS,
];

macro_rules! rules {
    ($($(#[$doc:meta])* $name:ident = $id:literal, $title:literal, $statement:literal,
       $citation:expr;)*) => {
        $($(#[$doc])* pub static $name: Rule = Rule {
            id: $id,
            title: $title,
            statement: $statement,
            citation: $citation,
        };)*
    };
}

const PRACTICE: Citation = Citation::CommonPractice;

rules! {
    /// A gas of which nobody says what can come out.
    UNKNOWN_GAS = "discharge.unknown_gas", "Release not stated: gas",
        "Where nobody states what can come out, gas leaks from a small-bore joint at the pressure \
         assumed in the basis of design.",
        Citation::from_memory("IEC 60079-10-1:2020", "annex B, secondary grade of release");
    /// A fuel gas in a boiler room of which nobody says what can come out.
    UNKNOWN_APPLIANCE = "discharge.unknown_appliance", "Release not stated: gas in a boiler room",
        "Where nobody states what can come out in a boiler room, an appliance of the rating assumed \
         in the basis of design takes its gas at low pressure and burns none of it.",
        PRACTICE;
    /// A liquefied gas of which nobody says what can come out.
    UNKNOWN_LIQUEFIED = "discharge.unknown_liquefied", "Release not stated: liquefied gas",
        "Where nobody states what can come out, the liquid leaks from a small-bore joint.",
        Citation::from_memory("IEC 60079-10-1:2020", "annex B, secondary grade of release");
    /// A refrigerant of which nobody says what can come out.
    UNKNOWN_CHARGE = "discharge.unknown_charge", "Release not stated: refrigerant",
        "Where nobody states what can come out, a circuit loses the charge assumed in the basis of \
         design.",
        Citation::from_memory("EN 378-1:2016", "annex C, loss of the largest charge");
    /// A cryogenic liquid of which nobody says what can come out.
    UNKNOWN_CRYOGENIC = "discharge.unknown_cryogenic", "Release not stated: cryogenic liquid",
        "Where nobody states what can come out, a dewar of the size assumed in the basis of design \
         loses all its liquid.",
        Citation::from_memory("BCGA Guidance Note GN11", "worst-case release");
    /// A liquid of which nobody says what can come out.
    UNKNOWN_LIQUID = "discharge.unknown_liquid", "Release not stated: liquid",
        "Where nobody states what can come out, the bottle assumed in the basis of design is spilt.",
        PRACTICE;
    /// Flue gas of which nobody says how much.
    UNKNOWN_FLUE_GAS = "discharge.unknown_flue_gas", "Release not stated: flue gas",
        "Where nobody states what can come out, an appliance of the rating assumed in the basis of \
         design spills all its flue gas.",
        PRACTICE;
    /// Compressibility factor without critical constants.
    IDEAL_GAS = "discharge.ideal_gas", "Taken as an ideal gas",
        "Without critical constants the gas is taken as ideal, Z = 1. Above 50 bar the contents and \
         the flow may then be 25 % off.",
        PRACTICE;
    /// Vapour pressure of a liquefied gas that no table has.
    PRESSURE_ASSUMED = "discharge.pressure_assumed", "Pressure assumed",
        "Without a vapour pressure the pressure assumed in the basis of design drives it out.",
        PRACTICE;
    /// A liquid whose flash is not known.
    ALL_IN_THE_AIR = "discharge.all_in_the_air", "All that comes out counts as gas",
        "Where the share that flashes is not known, all liquid that comes out counts as gas at once.",
        PRACTICE;
    /// A liquid whose density no table has.
    LIQUID_DENSITY = "discharge.liquid_density", "Density of the liquid assumed",
        "Without a figure the liquid is taken as 1500 kg/m³, heavier than most: more comes out.",
        PRACTICE;
    /// A cryogenic liquid whose density no table has.
    EXPANSION = "discharge.expansion_assumed", "Expansion assumed",
        "Without a density one volume of boiling liquid is taken to give 900 of gas, more than any \
         common cryogenic liquid gives.",
        PRACTICE;
    /// A pool whose vapour pressure is not known.
    BOILS = "discharge.boils", "Taken as boiling",
        "Where the liquid boils in the room, or its vapour pressure is not known, the whole spill \
         becomes gas in the time assumed for a burst dewar.",
        PRACTICE;
    /// A gas whose heat of combustion no table has.
    HEATING_VALUE = "discharge.heating_value_assumed", "Heating value assumed",
        "Without a figure the gas is taken to give 10 MJ/m³, less than any common fuel gas: an \
         appliance then takes more of it.",
        PRACTICE;
    /// Two ways the same thing can leak.
    LARGER = "discharge.larger", "The larger of two releases",
        "Where both the appliance and a torn pipe are stated, the larger flow is taken.",
        PRACTICE;
    /// A hole that is larger than its pipe.
    NO_LARGER_THAN_BORE = "discharge.no_larger_than_bore", "No hole is larger than its pipe",
        "The hole is taken no larger than the bore of the pipe.",
        PRACTICE;
    /// Molar mass of flue gas.
    FLUE_GAS_MASS = "discharge.flue_gas_mass", "Molar mass of flue gas",
        "Flue gas carries what is watched in it, so its density decides: 29.5 g/mol, at the \
         temperature of escaping flue gas.",
        PRACTICE;
    /// Liquefied gas drawn from a cylinder.
    OUTFLOW_HOLDS = "discharge.outflow_holds", "The flow holds until the liquid is gone",
        "Gas over a liquid keeps its vapour pressure while liquid is left; cooling, which lowers it, \
         is not counted.",
        PRACTICE;
}

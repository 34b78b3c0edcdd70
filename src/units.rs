//! Quantities with their unit in the type, and the units that documents print.
//!
//! Inside is SI; `web` and `documents` convert at the edge.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

macro_rules! unit_type {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(
            Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize, JsonSchema,
        )]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// The quantity whose figure in this unit is `value`.
            pub const fn new(value: f64) -> Self {
                $name(value)
            }

            /// The figure in this unit.
            pub const fn get(self) -> f64 {
                self.0
            }

            /// Whether the figure is a finite number.
            pub fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }
    )*};
}

unit_type! {
    /// Length or height, m.
    Metres;
    /// Electrical potential, V.
    Volts;
    /// Current, A.
    Amperes;
    /// Resistance, ohm.
    Ohms;
    /// Battery capacity, Ah.
    AmpereHours;
    /// Thermodynamic temperature, K.
    Kelvin;
    /// Pressure, Pa.
    Pascals;
    /// Density, kg/m3.
    KgPerM3;
    /// Fraction of volume, 0 to 1.
    VolFraction;
    /// Time, s.
    Seconds;
    /// Money in the catalogue's currency.
    Money;
}

/// The unit a printed figure carries. The engine computes in these; conversion is for the edge.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum Unit {
    #[serde(rename = "")]
    One,
    #[serde(rename = "m")]
    Metre,
    #[serde(rename = "m2")]
    SquareMetre,
    #[serde(rename = "m3")]
    CubicMetre,
    #[serde(rename = "mm2")]
    SquareMillimetre,
    #[serde(rename = "V")]
    Volt,
    #[serde(rename = "A")]
    Ampere,
    #[serde(rename = "ohm")]
    Ohm,
    #[serde(rename = "ohm/km")]
    OhmPerKilometre,
    #[serde(rename = "Ah")]
    AmpereHour,
    #[serde(rename = "degC")]
    Celsius,
    #[serde(rename = "K")]
    Kelvin,
    #[serde(rename = "Pa")]
    Pascal,
    #[serde(rename = "g/mol")]
    GramPerMole,
    #[serde(rename = "cm3/mol")]
    CubicCentimetrePerMole,
    #[serde(rename = "eV")]
    Electronvolt,
    #[serde(rename = "kg/m3")]
    KilogramPerCubicMetre,
    #[serde(rename = "mg/m3")]
    MilligramPerCubicMetre,
    #[serde(rename = "%vol")]
    PercentVolume,
    #[serde(rename = "%LFL")]
    PercentLfl,
    #[serde(rename = "ppm")]
    Ppm,
    #[serde(rename = "%")]
    Percent,
    #[serde(rename = "1/h")]
    PerHour,
    #[serde(rename = "s")]
    Second,
    #[serde(rename = "h")]
    Hour,
    #[serde(rename = "min")]
    Minute,
    #[serde(rename = "mm")]
    Millimetre,
    #[serde(rename = "cm2")]
    SquareCentimetre,
    #[serde(rename = "L")]
    Litre,
    #[serde(rename = "kg")]
    Kilogram,
    #[serde(rename = "m3/s")]
    CubicMetrePerSecond,
    #[serde(rename = "m3/h")]
    CubicMetrePerHour,
    #[serde(rename = "kg/s")]
    KilogramPerSecond,
    #[serde(rename = "kg/h")]
    KilogramPerHour,
    #[serde(rename = "L/d")]
    LitrePerDay,
    #[serde(rename = "m/s")]
    MetrePerSecond,
    #[serde(rename = "m4/s3")]
    BuoyancyFlux,
    #[serde(rename = "J/(mol K)")]
    JoulePerMoleKelvin,
    #[serde(rename = "J/mol")]
    JoulePerMole,
    /// Above the pressure of the air outside.
    #[serde(rename = "bar(g)")]
    BarGauge,
    /// Above the pressure of the air outside.
    #[serde(rename = "mbar(g)")]
    MillibarGauge,
    #[serde(rename = "kW")]
    Kilowatt,
    #[serde(rename = "MJ/m3")]
    MegajoulePerCubicMetre,
    #[serde(rename = "kJ/kg")]
    KilojoulePerKilogram,
    #[serde(rename = "kJ/mol")]
    KilojoulePerMole,
    #[serde(rename = "kJ/(kg K)")]
    KilojoulePerKilogramKelvin,
    #[serde(rename = "mA/Ah")]
    MilliamperePerAmpereHour,
    #[serde(rename = "money")]
    Money,
    #[serde(rename = "money/h")]
    MoneyPerHour,
}

impl Unit {
    /// The symbol as printed after a thin space; money prints its currency instead.
    pub const fn symbol(self) -> &'static str {
        match self {
            Unit::One | Unit::Money => "",
            Unit::Metre => "m",
            Unit::SquareMetre => "m²",
            Unit::CubicMetre => "m³",
            Unit::SquareMillimetre => "mm²",
            Unit::Volt => "V",
            Unit::Ampere => "A",
            Unit::Ohm => "Ω",
            Unit::OhmPerKilometre => "Ω/km",
            Unit::AmpereHour => "Ah",
            Unit::Celsius => "°C",
            Unit::Kelvin => "K",
            Unit::Pascal => "Pa",
            Unit::GramPerMole => "g/mol",
            Unit::CubicCentimetrePerMole => "cm³/mol",
            Unit::Electronvolt => "eV",
            Unit::KilogramPerCubicMetre => "kg/m³",
            Unit::MilligramPerCubicMetre => "mg/m³",
            Unit::PercentVolume => "%vol",
            Unit::PercentLfl => "%LFL",
            Unit::Ppm => "ppm",
            Unit::Percent => "%",
            Unit::PerHour => "/h",
            Unit::Second => "s",
            Unit::Hour => "h",
            Unit::Minute => "min",
            Unit::Millimetre => "mm",
            Unit::SquareCentimetre => "cm²",
            Unit::Litre => "L",
            Unit::Kilogram => "kg",
            Unit::CubicMetrePerSecond => "m³/s",
            Unit::CubicMetrePerHour => "m³/h",
            Unit::KilogramPerSecond => "kg/s",
            Unit::KilogramPerHour => "kg/h",
            Unit::LitrePerDay => "L/d",
            Unit::MetrePerSecond => "m/s",
            Unit::BuoyancyFlux => "m⁴/s³",
            Unit::JoulePerMoleKelvin => "J/(mol·K)",
            Unit::JoulePerMole => "J/mol",
            Unit::BarGauge => "bar(g)",
            Unit::MillibarGauge => "mbar(g)",
            Unit::Kilowatt => "kW",
            Unit::MegajoulePerCubicMetre => "MJ/m³",
            Unit::KilojoulePerKilogram => "kJ/kg",
            Unit::KilojoulePerMole => "kJ/mol",
            Unit::KilojoulePerKilogramKelvin => "kJ/(kg·K)",
            Unit::MilliamperePerAmpereHour => "mA/Ah",
            Unit::MoneyPerHour => "/h",
        }
    }

    /// Significant digits instead of decimal places, where figures range over many decades.
    pub const fn significant(self) -> Option<usize> {
        match self {
            Unit::CubicMetrePerSecond
            | Unit::CubicMetrePerHour
            | Unit::BuoyancyFlux
            | Unit::JoulePerMoleKelvin
            | Unit::KilogramPerSecond
            | Unit::KilogramPerHour
            | Unit::Kilogram
            | Unit::SquareCentimetre
            | Unit::KilojoulePerKilogramKelvin => Some(3),
            _ => None,
        }
    }

    /// Decimal places a figure in this unit is printed with (no false digits).
    pub const fn decimals(self) -> usize {
        match self {
            Unit::Metre | Unit::Volt | Unit::SquareMetre | Unit::CubicMetre => 1,
            Unit::Ampere => 3,
            Unit::Ohm | Unit::OhmPerKilometre | Unit::KilogramPerCubicMetre => 2,
            Unit::Money | Unit::MoneyPerHour | Unit::GramPerMole | Unit::Electronvolt => 2,
            Unit::AmpereHour | Unit::Hour | Unit::PercentVolume | Unit::MilligramPerCubicMetre => 1,
            Unit::Minute | Unit::BarGauge | Unit::Kilowatt | Unit::MegajoulePerCubicMetre => 1,
            Unit::MilliamperePerAmpereHour | Unit::KilojoulePerMole => 1,
            Unit::MetrePerSecond => 2,
            _ => 0,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

/// A time as it is said, figure and unit with `space` between: seconds up to 120, then minutes up
/// to 120, then hours. `static/js/core/quantity.js` says it alike; both are held to
/// `tests/data/release/time_cases.json`.
pub fn time_text(seconds: f64, space: char) -> String {
    let minutes = seconds / 60.0;
    let (figure, unit) = match seconds {
        _ if !seconds.is_finite() => ("–".to_owned(), Unit::Second),
        _ if seconds.round() <= 120.0 => (format!("{:.0}", seconds.max(0.0)), Unit::Second),
        _ if minutes < 9.95 => (format!("{minutes:.1}"), Unit::Minute),
        _ if minutes < 119.5 => (format!("{minutes:.0}"), Unit::Minute),
        _ => (format!("{:.1}", minutes / 60.0), Unit::Hour),
    };
    format!("{figure}{space}{}", unit.symbol())
}

/// From `sooner` to `later`, s, so that it is what a reader of [`time_text`] takes one from the
/// other.
pub fn time_between(later: f64, sooner: f64) -> f64 {
    let read = |seconds: f64| match seconds.round() <= 120.0 {
        true => seconds.round(),
        false => seconds,
    };
    read(later) - read(sooner)
}

#[cfg(test)]
mod tests {
    use super::{time_between, time_text};

    #[test]
    fn what_lies_between_two_times_is_what_their_words_differ_by() {
        assert_eq!(time_between(83.6, 75.4), 9.0);
        assert_eq!(time_between(75.4, 83.6), -9.0);
        assert_eq!(time_between(700.5, 200.25), 500.25);
    }

    /// The cases are worked out by hand; the scripts read the same file.
    #[test]
    fn a_time_is_said_in_one_style() {
        let cases: serde_json::Value =
            serde_json::from_str(include_str!("../tests/data/release/time_cases.json")).unwrap();
        let cases = cases["cases"].as_array().unwrap();
        assert!(cases.len() > 10);
        for case in cases {
            let seconds = case["seconds"].as_f64().unwrap();
            let words = case["words"].as_str().unwrap();
            assert_eq!(time_text(seconds, ' '), words, "{seconds} s");
        }
        assert_eq!(time_text(1466.0, '\u{202f}'), "24\u{202f}min");
    }
}

//! The one way to print a quantity: unit always, a thin space before it, no false digits.
//!
//! Conversions to US customary units: 1 ft = 0.3048 m and 1 lb = 0.45359237 kg by definition; the
//! others as NIST SP 811, appendix B prints them (from memory). Wire gauge areas follow ASTM B258
//! (from memory). It must not decide what is printed, only how.

use crate::model::UnitSystem;
use crate::units::{Unit, time_text};

/// The thin space between figure and unit and between groups of three digits: it does not break.
pub const THIN: char = '\u{202f}';

/// Printed in place of a figure that is no finite number.
const NOT_A_FIGURE: &str = "–";

const METRES_PER_FOOT: f64 = 0.3048;
const KILOGRAMS_PER_POUND: f64 = 0.453_592_37;
const MILLIMETRES_PER_INCH: f64 = 25.4;
/// US gallon of 231 cubic inches.
const LITRES_PER_GALLON: f64 = 3.785_411_784;
const PASCALS_PER_PSI: f64 = 6_894.757_293;
/// Conventional, at the density of water at 4 degC.
const PASCALS_PER_INCH_OF_WATER: f64 = 249.088_91;
/// International Table.
const KILOJOULES_PER_BTU: f64 = 1.055_055_853;

/// How many digits a figure is printed with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Decimals {
    /// As many as its unit allows, see [`Unit::decimals`].
    OfUnit,
    /// So many decimal places.
    Places(usize),
    /// So many significant digits: calculated concentrations.
    Significant(usize),
    /// Exactly as it was set: set-points, limits, assumptions.
    AsSet,
}

/// A figure as it is printed, such as "2.70 m" or "€ 38 240", with thin spaces.
///
/// `currency` stands before money; `units` decides between metric and US customary.
pub fn text(
    value: f64,
    unit: Unit,
    decimals: Decimals,
    units: UnitSystem,
    currency: &str,
) -> String {
    if !value.is_finite() {
        return NOT_A_FIGURE.to_owned();
    }
    if (unit, decimals) == (Unit::Second, Decimals::OfUnit) {
        return time_text(value, THIN);
    }
    let shown = grouped(&plain(value, unit, decimals, units)).replace('-', "−");
    match unit {
        Unit::Money if currency.is_empty() => shown,
        Unit::Money => format!("{currency}{THIN}{shown}"),
        Unit::MoneyPerHour if currency.is_empty() => format!("{shown}{THIN}/h"),
        Unit::MoneyPerHour => format!("{currency}{THIN}{shown}/h"),
        _ => match symbol(unit, units) {
            "" => shown,
            symbol => format!("{shown}{THIN}{symbol}{}", gauge_beside(value, unit, units)),
        },
    }
}

/// The digits a reason shows: those of the unit where they tell the figure apart from zero and
/// round it by less than half a percent, else three that count; heights to 0.01 m, times in the
/// seconds that formulas take.
pub fn reason_decimals(value: f64, unit: Unit) -> Decimals {
    let step = 10f64.powi(-i32::try_from(unit.decimals()).unwrap_or(0));
    let rounded = (value / step).round() * step;
    let tells = value == 0.0 || ((rounded - value) / value).abs() < 0.005;
    match (unit, tells) {
        (Unit::Metre, true) => Decimals::Places(2),
        (Unit::Second, true) => Decimals::Places(0),
        (_, true) => Decimals::OfUnit,
        (_, false) => Decimals::Significant(3),
    }
}

/// The figure alone, with "." and without groups, as tables for machines hold it.
pub fn plain(value: f64, unit: Unit, decimals: Decimals, units: UnitSystem) -> String {
    if !value.is_finite() {
        return String::new();
    }
    let (shown, extra) = converted(value, unit, units);
    let text = match decimals {
        Decimals::OfUnit => match unit.significant() {
            Some(n) => significant(shown, n),
            None => fixed(shown, places(unit.decimals(), extra)),
        },
        Decimals::Places(n) => fixed(shown, places(n, extra)),
        Decimals::Significant(n) => significant(shown, n),
        Decimals::AsSet if shown == value => format!("{value}"),
        Decimals::AsSet => trimmed(&fixed(shown, 2)),
    };
    if text.bytes().all(|byte| matches!(byte, b'-' | b'0' | b'.')) {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// The unit's symbol as printed in this system of units; money has none.
pub fn symbol(unit: Unit, units: UnitSystem) -> &'static str {
    match (units, unit) {
        (UnitSystem::UsCustomary, Unit::Metre) => "ft",
        (UnitSystem::UsCustomary, Unit::SquareMetre) => "ft²",
        (UnitSystem::UsCustomary, Unit::CubicMetre) => "ft³",
        (UnitSystem::UsCustomary, Unit::OhmPerKilometre) => "Ω/1000 ft",
        (UnitSystem::UsCustomary, Unit::Celsius) => "°F",
        (UnitSystem::UsCustomary, Unit::KilogramPerCubicMetre) => "lb/ft³",
        (UnitSystem::UsCustomary, Unit::Millimetre) => "in",
        (UnitSystem::UsCustomary, Unit::SquareCentimetre) => "in²",
        (UnitSystem::UsCustomary, Unit::Litre) => "gal",
        (UnitSystem::UsCustomary, Unit::LitrePerDay) => "gal/d",
        (UnitSystem::UsCustomary, Unit::Kilogram) => "lb",
        (UnitSystem::UsCustomary, Unit::CubicMetrePerSecond) => "ft³/s",
        (UnitSystem::UsCustomary, Unit::CubicMetrePerHour) => "ft³/min",
        (UnitSystem::UsCustomary, Unit::KilogramPerSecond) => "lb/s",
        (UnitSystem::UsCustomary, Unit::KilogramPerHour) => "lb/h",
        (UnitSystem::UsCustomary, Unit::MetrePerSecond) => "ft/s",
        (UnitSystem::UsCustomary, Unit::BarGauge) => "psi(g)",
        (UnitSystem::UsCustomary, Unit::MillibarGauge) => "inH₂O(g)",
        (UnitSystem::UsCustomary, Unit::Kilowatt) => "kBtu/h",
        (UnitSystem::UsCustomary, Unit::MegajoulePerCubicMetre) => "Btu/ft³",
        (_, unit) => unit.symbol(),
    }
}

/// The unit in plain letters for the head of a column, such as "m2" or "ohm"; money its currency.
pub fn plain_symbol(unit: Unit, units: UnitSystem, currency: &str) -> String {
    match unit {
        Unit::Money => currency.to_owned(),
        Unit::MoneyPerHour => format!("{currency}/h"),
        _ => symbol(unit, units)
            .replace('²', "2")
            .replace('³', "3")
            .replace('Ω', "ohm")
            .replace('°', "deg"),
    }
}

/// The American wire gauge whose area is nearest by ratio, such as "AWG 16" for 1.5 mm2.
///
/// Sizes that are sold: the even ones, and 1/0 to 4/0. Area of gauge n in mm2:
/// π/4 (0.127 · 92^((36 − n)/39))² (ASTM B258, from memory).
pub fn nearest_gauge(mm2: f64) -> String {
    let sold = (1..=12).map(|half| 2 * half).chain(-3..=0);
    let away = |n: &i32| (gauge_area(*n) / mm2).ln().abs();
    let nearest = sold
        .min_by(|a, b| away(a).total_cmp(&away(b)))
        .expect("the list of gauges is not empty");
    if nearest <= 0 {
        format!("AWG {}/0", 1 - nearest)
    } else {
        format!("AWG {nearest}")
    }
}

fn gauge_area(n: i32) -> f64 {
    let diameter_mm = 0.127 * 92f64.powf(f64::from(36 - n) / 39.0);
    std::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm
}

fn gauge_beside(value: f64, unit: Unit, units: UnitSystem) -> String {
    if unit == Unit::SquareMillimetre && units == UnitSystem::UsCustomary && value > 0.0 {
        format!(" ({})", nearest_gauge(value))
    } else {
        String::new()
    }
}

/// The figure in the unit printed, and how many places more (or fewer) it then deserves.
fn converted(value: f64, unit: Unit, units: UnitSystem) -> (f64, i32) {
    let foot = METRES_PER_FOOT;
    if units == UnitSystem::Metric {
        return (value, 0);
    }
    match unit {
        Unit::Metre => (value / foot, 0),
        Unit::SquareMetre => (value / (foot * foot), -1),
        Unit::CubicMetre => (value / (foot * foot * foot), -1),
        Unit::OhmPerKilometre => (value * foot, 0),
        Unit::Celsius => (value * 9.0 / 5.0 + 32.0, 0),
        Unit::KilogramPerCubicMetre => (value * foot * foot * foot / KILOGRAMS_PER_POUND, 1),
        Unit::MetrePerSecond => (value / foot, -1),
        Unit::CubicMetrePerSecond => (value / (foot * foot * foot), 0),
        Unit::CubicMetrePerHour => (value / (foot * foot * foot) / 60.0, 0),
        Unit::Kilogram | Unit::KilogramPerSecond | Unit::KilogramPerHour => {
            (value / KILOGRAMS_PER_POUND, 0)
        }
        Unit::Millimetre => (value / MILLIMETRES_PER_INCH, 2),
        Unit::SquareCentimetre => (value * 100.0 / MILLIMETRES_PER_INCH.powi(2), 0),
        Unit::Litre | Unit::LitrePerDay => (value / LITRES_PER_GALLON, 1),
        Unit::BarGauge => (value * 1e5 / PASCALS_PER_PSI, -1),
        Unit::MillibarGauge => (value * 100.0 / PASCALS_PER_INCH_OF_WATER, 1),
        Unit::Kilowatt => (value * 3.6e3 / KILOJOULES_PER_BTU / 1e3, 0),
        Unit::MegajoulePerCubicMetre => (value * 1e3 / KILOJOULES_PER_BTU * foot.powi(3), -1),
        _ => (value, 0),
    }
}

fn places(n: usize, extra: i32) -> usize {
    usize::try_from(i32::try_from(n).unwrap_or(0) + extra).unwrap_or(0)
}

/// Rounded half away from zero, as people round, not half to even of the binary fraction.
fn fixed(value: f64, places: usize) -> String {
    let nudged = value * (1.0 + f64::EPSILON * 2.0);
    format!("{nudged:.places$}")
}

fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let digits = i32::try_from(digits.max(1)).unwrap_or(2);
    let exponent = format!("{:.*e}", (digits - 1) as usize, value)
        .rsplit('e')
        .next()
        .and_then(|exponent| exponent.parse::<i32>().ok())
        .unwrap_or(0);
    let places = digits - 1 - exponent;
    if places >= 0 {
        fixed(value, places as usize)
    } else {
        let step = 10f64.powi(-places);
        fixed((value / step).round() * step, 0)
    }
}

fn trimmed(text: &str) -> String {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text.to_owned()
    }
}

/// Thin spaces between groups of three digits before the decimal sign.
fn grouped(plain: &str) -> String {
    let (sign, rest) = match plain.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", plain),
    };
    let (whole, fraction) = match rest.find('.') {
        Some(dot) => rest.split_at(dot),
        None => (rest, ""),
    };
    let mut out = String::from(sign);
    for (idx, digit) in whole.chars().enumerate() {
        if idx > 0 && (whole.len() - idx).is_multiple_of(3) {
            out.push(THIN);
        }
        out.push(digit);
    }
    out.push_str(fraction);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(value: f64, unit: Unit, decimals: Decimals, expected: &str) {
        let printed = text(value, unit, decimals, UnitSystem::Metric, "€");
        assert_eq!(printed, expected.replace('_', "\u{202f}"));
    }

    fn check_us(value: f64, unit: Unit, decimals: Decimals, expected: &str) {
        let printed = text(value, unit, decimals, UnitSystem::UsCustomary, "$");
        assert_eq!(printed, expected.replace('_', "\u{202f}"));
    }

    #[test]
    fn every_figure_carries_its_unit_and_no_false_digits() {
        check(2.7, Unit::Metre, Decimals::Places(2), "2.70_m");
        check(249.04, Unit::Metre, Decimals::OfUnit, "249.0_m");
        check(22.16, Unit::Volt, Decimals::OfUnit, "22.2_V");
        check(20.0, Unit::PercentLfl, Decimals::AsSet, "20_%LFL");
        check(19.5, Unit::PercentVolume, Decimals::AsSet, "19.5_%vol");
        check(0.08, Unit::Hour, Decimals::AsSet, "0.08_h");
        check(12.0, Unit::One, Decimals::OfUnit, "12");
        check(-30.0, Unit::Celsius, Decimals::OfUnit, "−30_°C");
        check(f64::NAN, Unit::Metre, Decimals::OfUnit, "–");
    }

    #[test]
    fn money_has_its_currency_before_it_and_groups_of_three() {
        check(38240.0, Unit::Money, Decimals::Places(0), "€_38_240");
        check(1234567.891, Unit::Money, Decimals::OfUnit, "€_1_234_567.89");
        check(999.0, Unit::Money, Decimals::OfUnit, "€_999.00");
        check(60.0, Unit::MoneyPerHour, Decimals::OfUnit, "€_60.00/h");
    }

    #[test]
    fn calculated_concentrations_have_two_significant_digits() {
        check(
            0.01234,
            Unit::PercentVolume,
            Decimals::Significant(2),
            "0.012_%vol",
        );
        check(1234.0, Unit::Ppm, Decimals::Significant(2), "1_200_ppm");
        check(99.6, Unit::Ppm, Decimals::Significant(2), "100_ppm");
        check(0.0, Unit::Ppm, Decimals::Significant(2), "0_ppm");
    }

    #[test]
    fn halves_round_away_from_zero_and_zero_has_no_sign() {
        check(1.005, Unit::Metre, Decimals::Places(2), "1.01_m");
        check(0.125, Unit::Metre, Decimals::Places(2), "0.13_m");
        check(-0.001, Unit::Metre, Decimals::OfUnit, "0.0_m");
    }

    #[test]
    fn us_customary_prints_feet_and_gauges() {
        // NIST SP 811 B.8: 1 ft = 0.3048 m (from memory).
        check_us(2.7, Unit::Metre, Decimals::Places(2), "8.86_ft");
        check_us(100.0, Unit::Metre, Decimals::OfUnit, "328.1_ft");
        check_us(0.3, Unit::Metre, Decimals::AsSet, "0.98_ft");
        check_us(20.0, Unit::Celsius, Decimals::AsSet, "68_°F");
        check_us(
            100.0,
            Unit::CubicMetrePerHour,
            Decimals::OfUnit,
            "58.9_ft³/min",
        );
        check_us(1.0, Unit::BarGauge, Decimals::AsSet, "14.5_psi(g)");
        check_us(20.0, Unit::MillibarGauge, Decimals::OfUnit, "8.0_inH₂O(g)");
        check_us(30.0, Unit::Kilowatt, Decimals::OfUnit, "102.4_kBtu/h");
        check_us(10.0, Unit::Kilogram, Decimals::OfUnit, "22.0_lb");
        check_us(50.0, Unit::Litre, Decimals::OfUnit, "13.2_gal");
        check_us(
            37.0,
            Unit::MegajoulePerCubicMetre,
            Decimals::OfUnit,
            "993_Btu/ft³",
        );
        check_us(
            1.5,
            Unit::SquareMillimetre,
            Decimals::AsSet,
            "1.5_mm² (AWG 16)",
        );
    }

    #[test]
    fn gauge_areas_are_those_of_the_standard() {
        // ASTM B258 table: AWG 14 2.08 mm2, AWG 12 3.31 mm2, AWG 4/0 107.2 mm2 (from memory).
        for (n, mm2, within) in [(14, 2.08, 0.005), (12, 3.31, 0.005), (-3, 107.2, 0.05)] {
            assert!(
                (gauge_area(n) - mm2).abs() <= within,
                "AWG {n}: {}",
                gauge_area(n)
            );
        }
        assert_eq!(nearest_gauge(2.5), "AWG 14");
        assert_eq!(nearest_gauge(4.0), "AWG 12");
        assert_eq!(nearest_gauge(100.0), "AWG 4/0");
    }
}

//! What the command and the address answer about substances, against general-purpose libraries:
//! `cases/libraries_175_substances.csv`, whose head names them. Other tests check more conditions;
//! here every row is asked as a user would ask, and every disagreement has its reason beside it.
//!
//! How far each figure is independent of the library stands at the head of `gas_density.rs`.

use std::collections::BTreeMap;

use brattice::engine::datasheet::{Datasheet, datasheet};
use brattice::engine::gas::find;
use brattice::engine::gas::state::{Conditions, Phase};
use brattice::model::Jurisdiction;

use crate::worst::Worst;

type Row = BTreeMap<String, String>;

/// Rows that are not compared, with the reason.
const LEFT_OUT: &[(&str, &str)] = &[
    (
        "7732-18-5",
        "water is no gas to detect: its vapour only counts in the room's air",
    ),
    (
        "68476-85-7",
        "the row is 93/2/5 propane, ethane, butane; the table's LPG is 60/40",
    ),
    (
        "8006-61-9",
        "the row is a headspace of eight liquids chosen by its author",
    ),
    (
        "8008-20-6",
        "kerosene: no composition, and the libraries have no figure either",
    ),
    ("68476-34-6", "diesel: the same"),
    ("8006-64-2", "turpentine: the same"),
    ("8030-30-6", "naphtha: the same"),
];

/// Figures that differ: CAS number, figure, reason. A figure that agrees again fails the test.
const DIFFERENCES: &[(&str, &str, &str)] = &[
    (
        "107-02-8",
        "saturated_relative_density",
        "acrolein: no Antoine constants here; the estimate from its boiling point gives 27.3 kPa \
         for 29.7 kPa, and says that it is one",
    ),
    (
        "107-13-1",
        "saturated_relative_density",
        "acrylonitrile: the same, 9.9 kPa for 11.5 kPa; constants remembered for it missed its \
         boiling point and were dropped",
    ),
    (
        "463-82-1",
        "ufl",
        "neopentane: the library has NFPA's 8.3 %vol and no row of IEC 60079-20-1; the table here \
         has IEC's 7.5 %vol from memory and no row of NFPA",
    ),
];

/// The rows that are compared.
fn rows() -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(include_str!("cases/libraries_175_substances.csv").as_bytes());
    let mut rows: Vec<Row> = reader.deserialize().map(|row| row.unwrap()).collect();
    rows.retain(|row| LEFT_OUT.iter().all(|(key, _)| *key != row["key"]));
    rows
}

fn number(row: &Row, column: &str) -> Option<f64> {
    row[column].parse().ok()
}

fn sheet(row: &Row, jurisdiction: Jurisdiction) -> Option<Datasheet> {
    let substance = find(&row["key"])?;
    Some(datasheet(substance, Conditions::ROOM, jurisdiction))
}

fn differs(row: &Row, figure: &str) -> bool {
    let known = |(key, of, _): &&(&str, &str, &str)| *key == row["key"] && *of == figure;
    DIFFERENCES.iter().any(|one| known(&one))
}

/// Ideal densities of 100 substances within 0.1 %: molar masses by `chemicals` over 28.9647.
#[test]
fn ideal_densities_of_a_hundred_substances_are_those_of_the_library() {
    let mut worst = Worst::of("ideal relative density and chemicals' molar mass over air");
    let mut missing = Vec::new();
    for row in rows() {
        let Some(sheet) = sheet(&row, Jurisdiction::Eu) else {
            missing.push(row["key"].clone());
            continue;
        };
        let Some(expected) = number(&row, "molar_mass") else {
            continue;
        };
        let found = sheet.relative_density_by_molar_mass;
        worst.hold(found, expected / 28.9647, 0.1, &row["name"]);
    }
    assert!(missing.is_empty(), "{missing:?}");
    assert!(worst.n_held() >= 100, "{}", worst.n_held());
}

/// Real densities of gases within 1 % of CoolProp's; saturated mixtures within 1 %.
#[test]
fn gases_and_vapours_at_room_conditions_are_those_of_the_libraries() {
    let mut density = Worst::of("density of real gases at 20 °C and CoolProp");
    let mut relative = Worst::of("relative density of real gases at 20 °C and CoolProp");
    let mut saturated = Worst::of("saturated mixture over liquids and the libraries");
    let mut wrong = Vec::new();
    for row in rows() {
        let Some(sheet) = sheet(&row, Jurisdiction::Eu) else {
            continue;
        };
        let over = sheet.saturated_mixture.as_ref();
        let is_gas = sheet.state == Phase::Gas;
        for (figure, found, worst) in [
            ("density", sheet.density_kg_per_m3, &mut density),
            (
                "relative_density",
                sheet.relative_density.filter(|_| is_gas),
                &mut relative,
            ),
            (
                "saturated_relative_density",
                over.map(|over| over.relative_density),
                &mut saturated,
            ),
        ] {
            let (Some(found), Some(expected)) = (found, number(&row, figure)) else {
                continue;
            };
            let off = 100.0 * (found / expected - 1.0);
            if (off.abs() > 1.0) != differs(&row, figure) {
                wrong.push(format!("{}: {figure} {off:+.2} %", row["name"]));
            } else if !differs(&row, figure) {
                worst.hold(found, expected, 1.0, &row["name"]);
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(density.n_held() >= 50, "{}", density.n_held());
    assert!(saturated.n_held() >= 40, "{}", saturated.n_held());
}

/// Flammable limits figure for figure where the library carries IEC 60079-20-1:2010 or NFPA
/// 497:2008; whether it is a gas or a liquid at 20 °C.
#[test]
fn states_and_flammable_limits_are_those_of_the_libraries() {
    let (mut wrong, mut n_limits) = (Vec::new(), 0);
    for row in rows() {
        let jurisdiction = match row["lfl_by"].as_str() {
            "nfpa" => Jurisdiction::Us,
            _ => Jurisdiction::Eu,
        };
        let Some(sheet) = sheet(&row, jurisdiction) else {
            continue;
        };
        for (figure, found) in [
            ("lfl", sheet.lfl_percent_volume),
            ("ufl", sheet.ufl_percent_volume),
        ] {
            let Some(expected) = number(&row, figure) else {
                continue;
            };
            n_limits += 1;
            if (found != Some(expected)) != differs(&row, figure) {
                wrong.push(format!("{}: {figure} {found:?}, {expected}", row["name"]));
            }
        }
        let state = match sheet.state {
            Phase::Gas => "gas",
            Phase::Liquid => "liquid",
            Phase::Solid => "solid",
        };
        if (state != row["state"]) != differs(&row, "state") {
            wrong.push(format!("{}: {state}, {}", row["name"], row["state"]));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(n_limits >= 150, "{n_limits}");
}

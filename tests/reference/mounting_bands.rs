//! Bands against common practice: `cases/mounting_bands_common_practice.csv`, no source (from
//! memory). A row where practice asks ("ask") must make the engine ask as well.

use std::collections::BTreeSet;

use brattice::engine::gas;
use brattice::engine::mounting::bands::{self, Limits};
use brattice::engine::trace::Trace;
use brattice::model::{Band, Basis, Holding};

const CASES: &str = include_str!("cases/mounting_bands_common_practice.csv");

/// Rows where the engine differs, with the reason.
const DIFFERENCES: &[(&str, &str, &str)] = &[
    (
        "Tetrahydrofuran",
        "liquid pool",
        "classified H351 (suspected of causing cancer), so the engine also watches where people \
         breathe",
    ),
    (
        "Formaldehyde",
        "gas, room temperature",
        "1.04 by its molar mass; as a real gas beside humid air it passes 1.05, so the engine \
         watches it low as well",
    ),
];

fn held(release: &str) -> Holding {
    match release {
        "gas, room temperature" | "charging" => Holding::Gas,
        "cryogenic liquid" | "dry ice" => Holding::CryogenicLiquid,
        "flue gas, warm" => Holding::FlueGas,
        "liquid pool" => Holding::Liquid,
        other => panic!("a release of {other:?}"),
    }
}

/// "R290 (propane)" and "Battery gas (hydrogen)" are found by the name before the parenthesis.
fn substance(name: &str) -> &'static gas::Substance {
    let short = name.split(" (").next().unwrap();
    let found = gas::find(name).or_else(|| gas::find(short));
    found.unwrap_or_else(|| panic!("{name} is in the table"))
}

/// The bands the engine seeks a release in, and whether it asks the designer.
fn engine(name: &str, release: &str) -> (BTreeSet<&'static str>, bool) {
    let known = substance(name);
    let mut trace = Trace::default();
    let basis = Basis::default();
    let came_out = bands::release(&mut trace, &basis, known, held(release));
    let mut found = BTreeSet::new();
    let mut asks = false;
    for hazard in bands::hazards_watched(known) {
        for choice in bands::choose(known, &came_out, hazard, Limits::of(&basis)) {
            found.insert(choice.band.label());
            asks |= choice.rule.id == "mounting.near_air";
        }
    }
    (found, asks && !gas::is_toxic(known))
}

#[test]
fn bands_agree_with_common_practice() {
    let mut rows = csv::Reader::from_reader(CASES.as_bytes());
    let mut disagreements = Vec::new();
    let mut n_rows = 0;
    for row in rows.records() {
        let row = row.unwrap();
        let (name, release, bands) = (&row[0], &row[1], &row[3]);
        n_rows += 1;
        let (found, asks) = engine(name, release);
        let practice: BTreeSet<&str> = bands
            .trim_start_matches("ask: ")
            .split([' ', '+'])
            .filter(|word| is_band(word))
            .collect();
        let agrees = match bands.starts_with("ask: ") {
            true => asks && found.iter().any(|band| practice.contains(band)),
            false => !asks && found == practice,
        };
        let known = DIFFERENCES
            .iter()
            .any(|(of, how, _)| *of == name && *how == release);
        if agrees == known {
            disagreements.push(format!(
                "{name}, {release}: practice {bands}, engine {found:?}, asks {asks}"
            ));
        }
    }
    assert!(n_rows > 60);
    assert!(disagreements.is_empty(), "{}", disagreements.join("\n"));
}

fn is_band(word: &str) -> bool {
    Band::ALL.iter().any(|band| band.label() == word)
}

/// Every cryogenic liquid of the table that an independent library (CoolProp 8.0.0) gives the
/// saturated vapour density of at 101325 Pa, relative to air at 20 degC: all but hydrogen are heavy.
#[test]
fn cold_vapour_is_as_heavy_as_real_fluids_are() {
    let cases = [
        ("nitrogen", 3.829),
        ("oxygen", 3.709),
        ("argon", 4.792),
        ("methane", 1.508),
        ("ethylene", 1.735),
        ("propane", 2.006),
        ("ammonia", 0.738),
    ];
    for (name, expected) in cases {
        let mut trace = Trace::default();
        let known = gas::find(name).unwrap();
        let held = Holding::CryogenicLiquid;
        let release = bands::release(&mut trace, &Basis::default(), known, held);
        let found = release.at_release.value;
        // Virial equation; the room's air is humid, hence 0.4 % lighter than the library's.
        assert!(
            (found / expected - 1.0).abs() < 0.015,
            "{name}: {found}, CoolProp {expected}"
        );
    }
}

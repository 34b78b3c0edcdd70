//! Pins of the tables, so that a silent edit is caught, and what must hold of every substance.

use crate::engine::gas::table::{self, TABLES, Table};
use crate::engine::gas::{
    Family, FlammabilityTable, Regime, Substance, TemperatureClass, find, substances,
};
use crate::engine::gas::{air, density, state, vapour, virial};
use crate::model::Jurisdiction;

fn known(name: &str) -> &'static Substance {
    find(name).unwrap_or_else(|| panic!("{name} is a substance"))
}

/// Rows and column totals, added up by a script of its own when the table was typed.
fn check(table: &Table, rows: usize, totals: &[(&str, f64)]) {
    let found = table.rows();
    assert_eq!(found.len(), rows, "{}", table.file);
    for (column, total) in totals {
        let sum: f64 = found.iter().filter_map(|row| row.number(column)).sum();
        assert!(
            (sum - total).abs() < 1e-6,
            "{} {column}: {sum} for {total}",
            table.file
        );
    }
}

fn tally(table: &Table, column: &str, value: &str) -> usize {
    table
        .rows()
        .iter()
        .filter(|row| row.text(column) == value)
        .count()
}

#[test]
fn tables_of_limits_are_as_typed() {
    check(
        &table::US_Z1,
        142,
        &[("twa_ppm", 30467.871), ("ceiling_ppm", 107.3)],
    );
    check(
        &table::US_Z2,
        11,
        &[("twa_ppm", 683.0), ("ceiling_ppm", 1275.0122)],
    );
    let totals = [
        ("twa_ppm", 31.75),
        ("stel_ppm", 147.0),
        ("ceiling_ppm", 10.0),
    ];
    check(&table::US_SUBSTANCES, 7, &totals);
    let totals = [
        ("twa_ppm", 24328.8624),
        ("stel_ppm", 33945.56),
        ("ceiling_ppm", 1.1),
    ];
    check(&table::UK_WELS, 167, &totals);
    check(
        &table::EU_INDICATIVE,
        89,
        &[("twa_ppm", 13481.97), ("stel_ppm", 3560.44)],
    );
    check(
        &table::EU_CARCINOGENS,
        20,
        &[("twa_ppm", 66.6524), ("stel_ppm", 182.4)],
    );
    let totals = [
        ("twa_ppm", 33606.30805),
        ("stel_ppm", 41457.6),
        ("ceiling_ppm", 1093.5),
    ];
    check(&table::ONTARIO, 213, &totals);
    let totals = [
        ("idlh_ppm", 240994.7),
        ("lfl_percent", 28.59),
        ("ufl_percent", 290.5),
    ];
    check(&table::POCKET_GUIDE, 159, &totals);
}

#[test]
fn tables_of_flammability_are_as_typed() {
    let totals = [
        ("lfl_percent", 402.81),
        ("ufl_percent", 2743.4),
        ("ait_celsius", 57762.0),
    ];
    check(&table::IEC_FLAMMABLE, 148, &totals);
    check(
        &table::NFPA_FLAMMABLE,
        123,
        &[("lfl_percent", 335.4), ("ufl_percent", 2350.8)],
    );
    check(
        &table::SILANE,
        1,
        &[("lfl_percent", 1.37), ("ufl_percent", 96.0)],
    );
    let totals = [("practical_limit_kg_m3", 3.91035), ("lfl_kg_m3", 1.554)];
    check(&table::REFRIGERANT_LIMITS, 19, &totals);
    check(&table::APPLIANCE_REFRIGERANTS, 5, &[("lfl_kg_m3", 1.609)]);
    let groups =
        ["IIA", "IIB", "IIC"].map(|group| tally(&table::IEC_FLAMMABLE, "gas_group", group));
    assert_eq!(groups, [108, 33, 3]);
}

#[test]
fn tables_of_properties_are_as_typed() {
    check(&table::IDENTITY, 392, &[]);
    check(&table::ATOMIC_WEIGHTS, 26, &[("atomic_weight", 1534.6917)]);
    check(&table::BLENDS, 186, &[("mass_fraction", 65.0)]);
    check(&table::MIXTURES, 12, &[("mole_fraction", 4.0)]);
    check(
        &table::BOILING_POINTS,
        323,
        &[
            ("boiling_point_celsius", 11706.81),
            ("melting_point_celsius", -27081.5),
        ],
    );
    let totals = [("a", 462.3274), ("b", 97135.39), ("c", 7105.286)];
    check(&table::ANTOINE_LN_KPA, 32, &totals);
    let totals = [("a", 120.16068), ("b", 21186.77), ("c", 3890.37)];
    check(&table::ANTOINE_LOG_MMHG, 17, &totals);
    check(&table::SAFETY_CLASSES, 117, &[]);
    let classes = ["A1", "A2L", "A2", "A3"];
    let classes = classes.map(|class| tally(&table::SAFETY_CLASSES, "safety_class", class));
    assert_eq!(classes, [69, 17, 5, 17]);
    let totals = [
        ("critical_kelvin", 86029.07),
        ("critical_kilopascals", 875263.0),
    ];
    check(&table::CRITICAL, 183, &totals);
    let totals = [
        ("critical_kelvin", 15373.6),
        ("critical_kilopascals", 156368.0),
    ];
    check(&table::CRITICAL_REFRIGERANTS, 40, &totals);
    let totals = [
        ("critical_kelvin", 5165.75),
        ("critical_kilopascals", 44100.0),
    ];
    check(&table::CRITICAL_FLUIDS, 13, &totals);
    let totals = [("a", 2087.4), ("b", -1_223_000.0), ("c", 97_474_000.0)];
    check(&table::MEASURED_VIRIAL, 1, &totals);
    check(&table::IONISATION, 217, &[("electronvolts", 2289.31)]);
    check(&table::CELLS, 62, &[]);
    check(&table::CLASSIFICATION, 57, &[]);
    let statements: usize = table::CLASSIFICATION
        .rows()
        .iter()
        .map(|row| row.list("inhalation_statements").len())
        .sum();
    assert_eq!(statements, 77);
}

#[test]
fn every_row_names_its_work_and_a_substance_that_exists() {
    for table in TABLES {
        for row in table.rows() {
            let cited = table.file == "identity.csv" || row.stated("work").is_some();
            assert!(cited, "{} {}", table.file, row.key());
            let keyed = table.file != "iupac_atomic_weights_2021.csv";
            let found = find(row.key()).is_some_and(|known| known.key == row.key());
            assert!(!keyed || found, "{} {}", table.file, row.key());
        }
    }
}

#[test]
fn no_table_states_a_substance_twice() {
    for table in TABLES {
        let listed_by_part = [
            "mixture_compositions_common_practice.csv",
            "ashrae_34_2019_blends.csv",
        ];
        if listed_by_part.contains(&table.file) {
            continue;
        }
        let mut keys: Vec<_> = table.rows().iter().map(|row| row.key()).collect();
        let stated = keys.len();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), stated, "{}", table.file);
    }
}

#[test]
fn every_substance_has_a_mass_and_a_way_it_is_held() {
    assert!(substances().len() >= 60);
    for known in substances() {
        let mass = known.molar_mass.value;
        assert!((2.0..450.0).contains(&mass), "{} {mass}", known.name);
        assert!(!known.usual_holdings.is_empty(), "{}", known.name);
        assert_eq!(
            known.formula.is_none(),
            known.is_mixture(),
            "{}",
            known.name
        );
        let parts: f64 = known
            .composition
            .iter()
            .map(|part| part.mole_fraction)
            .sum();
        assert!(
            !known.is_mixture() || (parts - 1.0).abs() < 1e-9,
            "{} {parts}",
            known.name
        );
    }
}

#[test]
fn substances_are_sorted_by_name() {
    let names: Vec<_> = substances()
        .iter()
        .map(|known| known.name.to_lowercase())
        .collect();
    assert!(names.windows(2).all(|pair| pair[0] < pair[1]));
}

#[test]
fn a_lower_limit_lies_below_the_upper_limit_of_the_same_table() {
    for known in substances() {
        for lower in &known.lfl {
            assert!((0.1..20.0).contains(&lower.figure.value), "{}", known.name);
            for upper in known.ufl.iter().filter(|upper| upper.table == lower.table) {
                assert!(lower.figure.value < upper.figure.value, "{}", known.name);
            }
        }
    }
}

/// Only these lack an upper limit: refrigerants whose standards give the lower alone, and
/// four more whose tables leave it open.
#[test]
fn every_flammable_gas_states_both_limits_unless_its_table_does_not() {
    for known in substances().iter().filter(|known| !known.lfl.is_empty()) {
        let open = matches!(
            known.name.as_ref(),
            "Benzyl chloride" | "Cyclopentane" | "Nitroethane" | "Phosphine"
        );
        let refrigerant = known.family == Family::Refrigerant;
        assert!(
            refrigerant || open || !known.ufl.is_empty(),
            "{}",
            known.name
        );
    }
}

/// IEC 60079-0: the class is the highest surface temperature below the auto-ignition temperature.
#[test]
fn temperature_class_fits_the_auto_ignition_temperature() {
    use TemperatureClass::{T1, T2, T3, T4, T5, T6};
    for known in substances() {
        let Some(ignition) = &known.auto_ignition else {
            continue;
        };
        let fits = |class: &TemperatureClass| class.max_surface_celsius() < ignition.value;
        let class = [T1, T2, T3, T4, T5, T6].into_iter().find(fits);
        assert_eq!(
            known.temperature_class, class,
            "{} {}",
            known.name, ignition.value
        );
    }
}

#[test]
fn the_jurisdiction_picks_the_flammability_table() {
    let check = |name: &str, jurisdiction, table, percent: f64| {
        let limit = known(name).lfl_in(jurisdiction).unwrap();
        assert_eq!(limit.table, table, "{name}");
        assert!(
            (limit.figure.value - percent).abs() < 0.05,
            "{name} {}",
            limit.figure.value
        );
    };
    use FlammabilityTable::{Iec, Nfpa, Other, Refrigerants};
    check("methane", Jurisdiction::Eu, Iec, 4.4);
    check("methane", Jurisdiction::Uk, Iec, 4.4);
    check("methane", Jurisdiction::Us, Nfpa, 5.0);
    check("propane", Jurisdiction::Us, Nfpa, 2.1);
    check("silane", Jurisdiction::Us, Other, 1.4);
    // EN 378-1: LFL %vol of R32 14.4 and R1234yf 6.2 (from memory).
    check("R32", Jurisdiction::Us, Refrigerants, 14.4);
    check("R1234yf", Jurisdiction::Eu, Refrigerants, 6.2);
    assert!(known("R134a").lfl_in(Jurisdiction::Us).is_none());
}

#[test]
fn a_regime_without_its_own_figure_borrows_and_says_so() {
    let regime = |name: &str, jurisdiction| known(name).limit_in(jurisdiction).unwrap().regime;
    assert_eq!(regime("ammonia", Jurisdiction::Eu), Regime::EuIndicative);
    assert_eq!(regime("benzene", Jurisdiction::Eu), Regime::EuBinding);
    assert_eq!(regime("ammonia", Jurisdiction::Us), Regime::UsOsha);
    let borrowed = regime("ozone", Jurisdiction::Eu);
    assert_eq!(borrowed, Regime::UkWel);
    assert!(!borrowed.applies_in(Jurisdiction::Eu));
}

#[test]
fn a_limit_states_a_figure_and_the_short_one_is_not_below_the_long() {
    for known in substances() {
        for limit in &known.limits {
            let what = format!("{} {:?}", known.name, limit.regime);
            let (long, short) = (limit.twa_ppm, limit.stel_ppm);
            assert!(limit.long_ppm() > 0.0, "{what}");
            let above = |short: Option<f64>| short.is_none_or(|it| long.is_none_or(|l| l <= it));
            assert!(above(short) && above(limit.ceiling_ppm), "{what}");
            let idlh = known.idlh.as_ref().map_or(f64::INFINITY, |idlh| idlh.value);
            assert!(long.is_none_or(|long| long <= idlh), "{what} at the harm");
        }
    }
}

/// Toxic, and no law of the tables has a limit of it: the set-points ask for the data sheet.
const WITHOUT_A_LIMIT: [&str; 26] = [
    "Boron trichloride",
    "Carbonyl sulfide",
    "Desflurane",
    "Dichlorosilane",
    "Dimethyldichlorosilane",
    "Hexafluoro-1,3-butadiene",
    "Hydrogen iodide",
    "Isopropyl mercaptan",
    "Methyltrichlorosilane",
    "n-Propyl mercaptan",
    "Nitrosyl chloride",
    "Octafluorocyclopentene",
    "Peracetic acid",
    "Phosphorus pentafluoride",
    "Phosphorus trifluoride",
    "Propionitrile",
    "R12B1",
    "R514A",
    "Sevoflurane",
    "Silicon tetrachloride",
    "Silicon tetrafluoride",
    "Sulfur trioxide",
    "tert-Butyl mercaptan",
    "Trichlorosilane",
    "Trimethylchlorosilane",
    "Tungsten hexafluoride",
];

#[test]
fn toxic_gases_without_a_limit_are_known_by_name() {
    let bare = |known: &&Substance| super::is_toxic(known) && known.limits.is_empty();
    let names: Vec<&str> = substances()
        .iter()
        .filter(bare)
        .map(|one| one.name.as_ref())
        .collect();
    assert_eq!(names, WITHOUT_A_LIMIT);
}

/// EH40/2005, 4th edition 2020, and 29 CFR 1910.1000 (from memory, as collected by somebody else).
#[test]
fn exposure_limits_are_those_the_trade_quotes() {
    let check = |name: &str, jurisdiction, long: f64, short: Option<f64>| {
        let limit = known(name).limit_in(jurisdiction).unwrap();
        assert_eq!(
            (limit.long_ppm(), limit.short_ppm()),
            (long, short),
            "{name}"
        );
    };
    check("CO", Jurisdiction::Uk, 20.0, Some(100.0));
    check("CO2", Jurisdiction::Uk, 5000.0, Some(15000.0));
    check("H2S", Jurisdiction::Uk, 5.0, Some(10.0));
    check("NH3", Jurisdiction::Uk, 25.0, Some(35.0));
    check("Cl2", Jurisdiction::Uk, 0.5, Some(0.5));
    check("NO2", Jurisdiction::Uk, 0.5, Some(1.0));
    check("HF", Jurisdiction::Uk, 1.8, Some(3.0));
    check("PH3", Jurisdiction::Uk, 0.1, Some(0.2));
    check("CO", Jurisdiction::Us, 50.0, None);
    check("SO2", Jurisdiction::Us, 5.0, None);
}

/// d = M / 28.9647 of the named mixture, by hand.
#[test]
fn natural_gas_has_the_density_and_limits_of_its_parts() {
    let gas = known("natural gas");
    assert!(
        (gas.relative_density() - 0.6106).abs() < 1e-4,
        "{}",
        gas.relative_density()
    );
    // 1 / (0.90/4.4 + 0.06/2.4 + 0.02/1.7) = 4.146 by hand.
    let limit = gas.lfl_in(Jurisdiction::Eu).unwrap().figure.value;
    assert!((limit - 4.146).abs() < 0.002, "{limit}");
    let limit = known("biogas")
        .lfl_in(Jurisdiction::Eu)
        .unwrap()
        .figure
        .value;
    assert!((limit - 7.333).abs() < 0.001, "{limit}");
}

/// The examples are printed to four or five figures.
#[test]
fn every_formula_reproduces_its_worked_example() {
    let lists = [
        density::FORMULAS,
        vapour::FORMULAS,
        virial::FORMULAS,
        air::FORMULAS,
        state::FORMULAS,
    ];
    for formula in lists.concat() {
        let (inputs, expected) = formula.example;
        let found = (formula.compute)(inputs);
        assert!(
            (found / expected - 1.0).abs() < 5e-4,
            "{} {found}",
            formula.id
        );
    }
}

#[test]
fn the_nearest_name_comes_first() {
    for (typed, first) in [
        ("prop", "Propane"),
        ("met", "Methane"),
        ("hydr", "Hydrogen"),
        ("chlor", "Chlorine"),
        ("nitro", "Nitrogen"),
        ("carbon d", "Carbon dioxide"),
        ("ammo", "Ammonia"),
    ] {
        assert_eq!(
            crate::engine::gas::lookup::search(typed)[0].name,
            first,
            "{typed}"
        );
    }
}

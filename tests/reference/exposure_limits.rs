//! Exposure limits against what the same law prints in mg/m³, and against national law.
//!
//! `cases/exposure_limits_mg_per_m3.csv`: beside most limits in ppm the law prints one in mg/m³.
//! The two are typed apart and meet here over the molar mass, so a slip in either shows; that both
//! were remembered wrongly in step it cannot show. `cases/exposure_limits_france.csv`: a national
//! law that carries out the directives, and so may be stricter but not laxer.

use std::collections::BTreeMap;

use brattice::engine::gas::find;
use brattice::engine::gas::table::{
    EU_CARCINOGENS, EU_INDICATIVE, ONTARIO, Row, TABLES, Table, UK_WELS, US_Z1,
};

type Case = BTreeMap<String, String>;

const COLUMNS: [&str; 3] = ["twa_ppm", "stel_ppm", "ceiling_ppm"];

/// Pairs that the law itself prints out of step: the mg/m³ rest on another basis.
const OUT_OF_STEP: &[(&str, &str, &str)] = &[
    (
        "29cfr1910_1000_table_z1.csv",
        "141-43-5",
        "ethanolamine: Table Z-1 prints 3 ppm and 6 mg/m³; 3 ppm are 7.5 mg/m³",
    ),
    (
        "29cfr1910_1000_table_z1.csv",
        "79-00-5",
        "1,1,2-trichloroethane: Table Z-1 prints 10 ppm and 45 mg/m³; 10 ppm are 55 mg/m³",
    ),
    (
        "eh40_2020.csv",
        "108-24-7",
        "acetic anhydride: EH40 prints 0.5 ppm and 2.5 mg/m³; 0.5 ppm are 2.1 mg/m³",
    ),
    (
        "29cfr1910_1000_table_z1.csv",
        "108-21-4",
        "isopropyl acetate: Table Z-1 prints 250 ppm and 950 mg/m³; 250 ppm are 1044 mg/m³",
    ),
    (
        "29cfr1910_1000_table_z1.csv",
        "60-34-4",
        "methylhydrazine: Table Z-1 prints 0.2 ppm and 0.35 mg/m³; 0.2 ppm are 0.377 mg/m³",
    ),
    (
        "29cfr1910_1000_table_z1.csv",
        "109-79-5",
        "butanethiol: Table Z-1 prints 10 ppm and 35 mg/m³; 10 ppm are 36.9 mg/m³",
    ),
    (
        "29cfr1910_1000_table_z1.csv",
        "7616-94-6",
        "perchloryl fluoride: Table Z-1 prints 3 ppm and 13.5 mg/m³; 3 ppm are 12.6 mg/m³",
    ),
    (
        "29cfr1910_1000_table_z1.csv",
        "107-02-8",
        "acrolein: Table Z-1 prints 0.1 ppm and 0.25 mg/m³; 0.1 ppm are 0.229 mg/m³",
    ),
    (
        "29cfr1910_1000_table_z1.csv",
        "74-89-5",
        "methylamine: Table Z-1 prints 10 ppm and 12 mg/m³; 10 ppm are 12.7 mg/m³",
    ),
    (
        "29cfr1910_1000_table_z1.csv",
        "110-86-1",
        "pyridine: Table Z-1 prints 5 ppm and 15 mg/m³; 5 ppm are 16.2 mg/m³",
    ),
    (
        "eu_iolv_directives.csv",
        "64-18-6",
        "formic acid: the directive prints 5 ppm and 9 mg/m³; 5 ppm are 9.57 mg/m³",
    ),
    (
        "eu_iolv_directives.csv",
        "75-15-0",
        "carbon disulfide: the directive prints 5 ppm and 15 mg/m³; 5 ppm are 15.8 mg/m³",
    ),
    (
        "eu_iolv_directives.csv",
        "110-86-1",
        "pyridine: the directive prints 5 ppm and 15 mg/m³; 5 ppm are 16.4 mg/m³",
    ),
    (
        "eu_directive_2004_37_ec.csv",
        "110-80-5",
        "2-ethoxyethanol: the directive prints 2 ppm and 8 mg/m³; 2 ppm are 7.49 mg/m³",
    ),
    (
        "eh40_2020.csv",
        "110-80-5",
        "2-ethoxyethanol: EH40 prints 2 ppm and 8 mg/m³; 2 ppm are 7.49 mg/m³",
    ),
];

fn cases(text: &'static str) -> Vec<Case> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    reader.deserialize().map(|case| case.unwrap()).collect()
}

fn row(table: &Table, key: &str) -> Row {
    let found = table.rows_of(key).into_iter().next();
    found.unwrap_or_else(|| panic!("{} has a row {key}", table.file))
}

/// Half a unit of the last digit printed; a zero that ends a whole number counts as not printed.
fn half_a_digit(printed: &str) -> f64 {
    match printed.split_once('.') {
        Some((_, decimals)) => 0.5 * 0.1_f64.powi(decimals.len() as i32),
        None => {
            let significant = printed.trim_end_matches('0').len();
            0.5 * 10_f64.powi((printed.len() - significant) as i32)
        }
    }
}

/// Litres of a mole of gas: 29 CFR 1910.1000 prints at 25 °C and 760 mmHg (footnotes a and b),
/// the directives and EH40 at 20 °C and 101.3 kPa.
fn litres_per_mole(table: &str) -> f64 {
    let kelvin = match table.starts_with("29cfr") {
        true => 298.15,
        false => 293.15,
    };
    8.314_462_618 * kelvin / 101.325
}

/// mg/m³ = ppm M / V: within the rounding of the printed figure, or 5 % of it, as the law calls
/// what it prints beside ppm approximate (29 CFR 1910.1000, Table Z-1, footnote b). Those farther
/// off are named. A slip of the pen is a factor of two or ten.
#[test]
fn limits_in_ppm_meet_what_the_law_prints_in_mg_per_m3() {
    let cases = cases(include_str!("cases/exposure_limits_mg_per_m3.csv"));
    let mut wrong = Vec::new();
    let mut n_held = BTreeMap::<&str, usize>::new();
    let mut n_off = 0;
    for case in &cases {
        let (file, key) = (case["table"].as_str(), case["key"].as_str());
        let table = TABLES.iter().find(|table| table.file == file).unwrap();
        let row = row(table, key);
        let mass = find(key).unwrap().molar_mass.value;
        for column in COLUMNS.iter().filter(|column| !case[**column].is_empty()) {
            let printed: f64 = case[*column].parse().unwrap();
            let ppm = row.number(column);
            let ppm = ppm.unwrap_or_else(|| panic!("{file} {key} states {column}"));
            let found = ppm * mass / litres_per_mole(file);
            let allowed = half_a_digit(&case[*column]).max(0.05 * printed);
            let known = OUT_OF_STEP.iter().any(|one| (one.0, one.1) == (file, key));
            let off = (found - printed).abs() > allowed;
            n_off += usize::from(off);
            if off && !known {
                wrong.push(format!(
                    "{file} {key} {column}: {ppm} ppm, {found:.4}, {printed}"
                ));
            }
            *n_held.entry(table.file).or_default() += 1;
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(
        n_off,
        OUT_OF_STEP.len(),
        "each that is named is out of step"
    );
    println!("limits held against mg/m³: {n_held:?}");
    assert_eq!(n_held[US_Z1.file], US_Z1.rows().len() - 1, "all but LPG");
    assert!(n_held[EU_INDICATIVE.file] >= 120, "{n_held:?}");
    assert!(n_held[UK_WELS.file] >= 100, "{n_held:?}");
    assert!(n_held[EU_CARCINOGENS.file] >= 15, "{n_held:?}");
}

/// No directive's figure is below the French one, and most are the same.
#[test]
fn directives_are_not_stricter_than_the_national_law_that_carries_them_out() {
    let (mut n_same, mut wrong) = (0, Vec::new());
    for case in cases(include_str!("cases/exposure_limits_france.csv")) {
        let binding = EU_CARCINOGENS.rows_of(&case["key"]).into_iter().next();
        let row = binding.unwrap_or_else(|| row(&EU_INDICATIVE, &case["key"]));
        for column in ["twa_ppm", "stel_ppm"] {
            let national: Option<f64> = case[column].parse().ok();
            let (Some(ours), Some(national)) = (row.number(column), national) else {
                continue;
            };
            n_same += usize::from(ours == national);
            if ours < national {
                wrong.push(format!("{} {column}: {ours}, {national}", case["key"]));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(n_same >= 40, "{n_same}");
}

/// Table 1 of Regulation 833 as O. Reg. 419/10 put it: rows that later amendments left alone.
#[test]
fn ontario_has_the_figures_of_its_regulation() {
    for (key, twa, ceiling) in [
        ("107-13-1", 2.0, Some(10.0)),
        ("74-82-8", 1000.0, None),
        ("74-84-0", 1000.0, None),
        ("74-98-6", 1000.0, None),
        ("106-97-8", 800.0, None),
        ("75-28-5", 800.0, None),
    ] {
        let row = row(&ONTARIO, key);
        let found = (row.number("twa_ppm"), row.number("ceiling_ppm"));
        assert_eq!(found, (Some(twa), ceiling), "{key}");
    }
}

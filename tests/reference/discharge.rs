//! What comes out of a release source, against libraries and published forms.
//!
//! `fluids` 1.3.1 for gas through holes, CoolProp 8.0.0 for contents of cylinders, ratios of heat
//! capacities and liquids, the EPA's form for evaporation, EN 62485-2 and Faraday's law for cells.
//! The tables were typed from memory before CoolProp was asked; figures corrected after it say so
//! in their clause and are left out.

use std::collections::BTreeMap;

use brattice::engine::atmosphere::Discharge;
use brattice::engine::atmosphere::discharge::{battery_air, discharge, properties};
use brattice::engine::gas::Figure;
use brattice::engine::{self, Trace, gas};
use brattice::model::release::{Battery, Cell, ChargeMode, Cylinder};
use brattice::model::{FloorId, Holding, Project, Release, ReleaseSource, SourceId};

use crate::worst::Worst;

type Case = BTreeMap<String, String>;

fn cases(text: &'static str) -> Vec<Case> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows = reader.deserialize::<Case>();
    rows.map(|row| row.unwrap()).collect()
}

fn number(case: &Case, column: &str) -> f64 {
    case[column]
        .parse()
        .unwrap_or_else(|_| panic!("{column} of {case:?}"))
}

/// A registered formula at these inputs, within its validity.
#[track_caller]
fn compute(id: &str, inputs: &[f64]) -> f64 {
    let all = engine::formulas();
    let formula = all.iter().find(|formula| formula.id == id).unwrap();
    for (symbol, value) in formula.inputs.iter().zip(inputs) {
        assert!(
            symbol.least <= *value && *value <= symbol.most,
            "{id}: {} is {value}",
            symbol.symbol
        );
    }
    (formula.compute)(inputs)
}

#[track_caller]
fn near(found: f64, expected: f64, percent: f64, what: &str) {
    let deviation = (found / expected - 1.0) * 100.0;
    assert!(
        deviation.abs() <= percent,
        "{what}: {found} for {expected}, {deviation:+.4} %"
    );
}

fn source(key: &str, release: Release) -> ReleaseSource {
    ReleaseSource {
        id: SourceId(1),
        floor: FloorId(1),
        name: "source".to_owned(),
        at: [1.0, 1.0].into(),
        height: None,
        substance: key.to_owned(),
        called: None,
        extent: None,
        holding: Some(Holding::Gas),
        release: Some(release),
    }
}

fn released(key: &str, release: Release) -> Discharge {
    let mut project = Project::default();
    project.head.name = "reference".to_owned();
    let (mut trace, mut findings, mut questions) = (Trace::default(), Vec::new(), Vec::new());
    discharge(
        &project,
        &source(key, release),
        gas::find(key).unwrap(),
        &mut trace,
        &mut findings,
        &mut questions,
    )
}

/// `fluids` 1.3.1: critical pressure, stagnation pressure and temperature of isentropic flow; 0.01 %.
#[test]
fn gas_through_a_hole_agrees_with_fluids() {
    let cases = cases(include_str!("cases/fluids_1_3_orifice.csv"));
    let mut choked = 0;
    let mut worst = Worst::of("mass flow through a hole, choked and not, and fluids");
    for case in &cases {
        let of = |column| number(case, column);
        let (p, ratio, air) = (of("pressure"), of("ratio"), 101_325.0);
        let critical = compute("discharge.critical_pressure", &[air, ratio]);
        // The library gives the outer pressure that chokes; ours the inner one: one ratio.
        near(
            critical,
            air * p / of("critical_back_pressure"),
            0.001,
            &case["gas"],
        );
        assert_eq!(p > critical, case["choked"] == "yes", "{case:?}");
        let hole = [of("coefficient"), of("hole_mm2"), p];
        let (m, z, t) = (of("molar_mass"), of("compressibility"), of("temperature"));
        let gas = [ratio, m, z, t];
        let found = match p > critical {
            true => compute("discharge.choked", &[&hole[..], &gas].concat()),
            false => compute("discharge.subsonic", &[&hole[..], &[air], &gas].concat()),
        };
        choked += usize::from(p > critical);
        worst.hold(
            found,
            of("mass_flow"),
            0.01,
            &format!("{} {p} Pa", case["gas"]),
        );
    }
    assert!(cases.len() >= 16 && choked >= 8 && cases.len() - choked >= 6);
}

/// CoolProp 8.0.0. Peng-Robinson may give up to 5 % more gas and never less: set after the
/// deviations were seen (+0.7 % neon at 50 bar, +4.6 % hydrogen at 300 bar). Ideal, methane at 200 bar would be 19 % short.
#[test]
fn cylinders_hold_what_the_equations_of_state_say() {
    let cases = cases(include_str!("cases/coolprop_8_cylinder_contents.csv"));
    assert!(cases.len() >= 36, "{}", cases.len());
    for case in &cases {
        let cylinder = Cylinder {
            litres: Some(50.0),
            pressure: Some(number(case, "bar_gauge")),
            ..Cylinder::default()
        };
        let out = released(&case["key"], Release::Cylinder(cylinder));
        let found = out.total.unwrap().value;
        let expected = number(case, "gas_m3_of_50_litres");
        let deviation = (found / expected - 1.0) * 100.0;
        assert!(
            (0.0..=5.0).contains(&deviation),
            "{} at {} bar: {found} for {expected}, {deviation:+.2} %",
            case["fluid"],
            case["bar_gauge"]
        );
    }
}

fn own(figure: Option<&Figure>) -> Option<f64> {
    let figure = figure?;
    let corrected = figure.citation.text().contains("corrected after");
    (!corrected).then_some(figure.value)
}

/// CoolProp 8.0.0, ideal-gas heat capacities: within 2 %, set after the deviations were seen; 2 % of
/// the ratio is 0.9 % of the flow at most.
#[test]
fn ratios_of_heat_capacities_agree_with_an_independent_library() {
    let cases = cases(include_str!("cases/coolprop_8_heat_capacity_ratio.csv"));
    assert!(cases.len() >= 48, "{}", cases.len());
    for case in &cases {
        let known = properties(&case["key"]);
        let found = own(known.heat_capacity_ratio.as_ref()).unwrap();
        near(found, number(case, "ratio"), 2.0, &case["key"]);
    }
}

/// CoolProp 8.0.0: densities within 1 %, latent heats 2 %, heat capacities 5 %, all set after the
/// deviations were seen (0.8, 1.6 and 4.3 %).
#[test]
fn liquids_agree_with_an_independent_library() {
    let cases = cases(include_str!("cases/coolprop_8_liquids.csv"));
    assert!(cases.len() >= 55, "{}", cases.len());
    for case in &cases {
        let known = properties(&case["key"]);
        let density = match case["state"].as_str() {
            "boiling" => known.boiling_density.as_ref(),
            _ => known.liquid_density.as_ref(),
        };
        near(
            own(density).unwrap_or_else(|| density.unwrap().value),
            number(case, "density_kg_m3"),
            1.0,
            &case["key"],
        );
        let pairs = [
            ("latent_heat_kj_kg", known.latent_heat.as_ref(), 2.0),
            ("heat_capacity_kj_kg_k", known.heat_capacity.as_ref(), 5.0),
        ];
        for (column, figure, percent) in pairs {
            if case[column].is_empty() {
                continue;
            }
            let Some(found) = own(figure) else { continue };
            let what = format!("{column} of {}", case["key"]);
            near(found, number(case, column), percent, &what);
        }
    }
}

/// US EPA, Risk Management Program guidance for offsite consequence analysis, appendix D (from
/// memory): QR = 0.284 u^0.78 M^(2/3) A p / (82.05 T), lb/min, m/s, ft2, mmHg, K. The 2020 form
/// is 4.3 % higher at every state, which comes of its constant; the 2015 form is 63 % lower.
#[test]
fn evaporation_agrees_with_the_form_of_the_epa() {
    let epa = |u: f64, a: f64, p: f64, m: f64, t: f64| {
        let (square_feet, mmhg) = (a / 0.092_903_04, p / 133.322);
        let pounds = 0.284 * u.powf(0.78) * m.powf(2.0 / 3.0) * square_feet * mmhg / (82.05 * t);
        pounds * 0.453_592_37 / 60.0
    };
    for (u, a, p, m, t) in [
        (0.5, 1.0, 24_600.0, 58.08, 293.15),
        (0.1, 0.2, 2_919.0, 92.14, 293.15),
        (2.0, 12.0, 5_876.0, 46.07, 288.15),
        (0.3, 0.5, 30_000.0, 86.18, 303.15),
    ] {
        let inputs = [u, a, p, m, t];
        let expected = epa(u, a, p, m, t);
        near(
            compute("discharge.evaporation", &inputs),
            expected,
            5.0,
            "2020",
        );
        let older = compute("discharge.evaporation_2015", &inputs) / expected;
        assert!((0.35..0.40).contains(&older), "{older}");
    }
}

/// EN 62485-2 as a public page quotes it: Q = v q s n I C / 1000 with v 24, q 0.42e-3 m3/Ah, s 5, and
/// its typical currents. Faraday's law, CODATA 2018: 3600/(2 x 96485.33) x 22.414 L is 0.4181 L/Ah.
#[test]
fn air_for_cells_on_charge_is_that_of_the_standard() {
    let project = Project::default();
    let mut worst = Worst::of("airflow for cells and v q s n I C of EN 62485-2, which prints 0.05");
    for (cells, capacity, cell, charge, current) in [
        (24, 200.0, Cell::VentedLead, ChargeMode::Float, 5.0),
        (24, 200.0, Cell::VentedLead, ChargeMode::Boost, 20.0),
        (24, 200.0, Cell::ValveRegulatedLead, ChargeMode::Float, 1.0),
        (24, 200.0, Cell::ValveRegulatedLead, ChargeMode::Boost, 8.0),
        (12, 38.0, Cell::ValveRegulatedLead, ChargeMode::Boost, 8.0),
        (92, 100.0, Cell::NickelCadmium, ChargeMode::Float, 5.0),
        (92, 100.0, Cell::NickelCadmium, ChargeMode::Boost, 50.0),
    ] {
        let battery = Battery {
            cells: Some(cells),
            capacity: Some(capacity),
            cell: Some(cell),
            charge: Some(charge),
        };
        let source = source("1333-74-0", Release::Battery(battery.clone()));
        let found = battery_air(&project, &source, &battery, &mut Trace::default());
        let amperes = f64::from(cells) * current * capacity * 1e-3;
        worst.hold(
            found.airflow.value,
            24.0 * 0.42e-3 * 5.0 * amperes,
            1.0,
            &format!("{cells} cells of {capacity} Ah"),
        );
        near(
            found.opening.value,
            28.0 * found.airflow.value,
            1e-9,
            "opening",
        );
        let faraday = 3600.0 / (2.0 * 96_485.33) * 22.414e-3;
        near(found.hydrogen.value, faraday * amperes, 0.6, "hydrogen");
    }
}

use super::*;
use crate::engine::drawn::empty;

/// Value, unit and direction of each set-point of a gas.
fn points(
    jurisdiction: Jurisdiction,
    key: &str,
    hazards: &[Hazard],
) -> Vec<(f64, &'static str, bool)> {
    let mut project = empty();
    project.head.jurisdiction = jurisdiction;
    let key = crate::engine::gas::find(key).unwrap().key.as_ref();
    let found = set_points(&project, &mut Trace::default(), key, hazards, &[]);
    found
        .into_iter()
        .map(|one| (one.value.value, one.value.unit.symbol(), one.rising))
        .collect()
}

use Hazard::{Flammable, OxygenDepletion, OxygenEnrichment, Toxic};
use Jurisdiction::{Eu, Uk, Us};

/// GB/T 50493-2019 caps them at 25 and 50 %LFL (seen quoted); 20 and 40 are common practice.
#[test]
fn flammable_gas_alarms_at_20_and_40_per_cent_of_its_lower_limit() {
    assert_eq!(
        points(Eu, "methane", &[Flammable]),
        [(20.0, "%LFL", true), (40.0, "%LFL", true)]
    );
}

/// EH40/2005, 4th edition 2020, Table 1 (from memory).
#[test]
fn toxic_gas_alarms_at_the_limits_of_eh40() {
    let of = |key| points(Uk, key, &[Toxic, Flammable]);
    assert_eq!(
        of("carbon monoxide"),
        [(20.0, "ppm", true), (100.0, "ppm", true)]
    );
    assert_eq!(
        of("hydrogen sulfide"),
        [(5.0, "ppm", true), (10.0, "ppm", true)]
    );
    assert_eq!(of("ammonia"), [(25.0, "ppm", true), (35.0, "ppm", true)]);
    assert_eq!(
        of("carbon dioxide"),
        [(5000.0, "ppm", true), (15_000.0, "ppm", true)]
    );
}

/// EH40 states 0.5 ppm for 15 minutes only; HSG40 practice takes twice that second (from memory).
#[test]
fn chlorine_has_a_short_limit_only_and_alarms_at_it_and_at_twice_it() {
    assert_eq!(
        points(Uk, "chlorine", &[Toxic]),
        [(0.5, "ppm", true), (1.0, "ppm", true)]
    );
}

/// International Fire Code 5307: 5000 ppm supervisory, 30000 ppm local evacuation.
#[test]
fn carbon_dioxide_evacuates_at_30000_ppm_in_the_united_states() {
    let of = |jurisdiction| points(jurisdiction, "carbon dioxide", &[Toxic])[1].0;
    assert_eq!((of(Us), of(Eu)), (30_000.0, 15_000.0));
}

/// EIGA Doc 44/18: least oxygen for entry 19.5 %; 18 % evacuate, common practice; OSHA 1910.146:
/// 23.5 % enriched (from memory).
#[test]
fn oxygen_alarms_falling_at_19_5_and_18_and_rising_at_23_5() {
    let expected = [
        (19.5, "%vol", false),
        (18.0, "%vol", false),
        (23.5, "%vol", true),
    ];
    assert_eq!(
        points(Eu, "oxygen", &[OxygenDepletion, OxygenEnrichment]),
        expected
    );
    assert_eq!(points(Eu, "oxygen", &[OxygenDepletion]), expected[..2]);
    assert_eq!(points(Eu, "oxygen", &[OxygenEnrichment]), expected[2..]);
}

/// EN 378-1: practical limit of R134a 0.25 kg/m3 (from memory), 59900 ppm at 25 degC by hand.
#[test]
fn refrigerant_alarms_at_a_quarter_and_half_of_its_practical_limit() {
    let found = points(Eu, "R134a", &[OxygenDepletion]);
    assert_eq!(found, [(14_000.0, "ppm", true), (29_000.0, "ppm", true)]);
}

#[test]
fn set_points_of_the_designer_take_the_place_of_the_engines() {
    let own = [SetPoint {
        value: 10.0,
        unit: Unit::PercentLfl,
        rising: true,
    }];
    let mut trace = Trace::default();
    let found = set_points(&empty(), &mut trace, "74-82-8", &[Flammable], &own);
    assert_eq!(found.len(), 1);
    let entry = trace.entry(found[0].value.why).unwrap();
    assert_eq!(
        (found[0].value.value, &entry.citation),
        (10.0, &Citation::Designer)
    );
}

#[test]
fn every_figure_cites_its_table() {
    let mut trace = Trace::default();
    let found = set_points(&empty(), &mut trace, "630-08-0", &[Toxic], &[]);
    let entry = trace.entry(found[0].value.why).unwrap();
    let limit = trace.entry(entry.inputs[0].why).unwrap();
    assert!(
        limit.citation.text().starts_with("Directive (EU) 2017/164"),
        "{:?}",
        limit.citation
    );
}

#[test]
fn a_range_that_ends_below_a_set_point_is_found_in_any_unit() {
    let part = |high: f64, unit| ItemKind::DetectorDevice {
        measures: vec!["74-82-8".to_owned()],
        principle: Principle::Catalytic,
        range_low: 0.0,
        range_high: high,
        range_unit: unit,
        t90: None,
        load: empty().catalogue.items[0].load().unwrap(),
    };
    let mut trace = Trace::default();
    let points = set_points(&empty(), &mut trace, "74-82-8", &[Flammable], &[]);
    let beyond = |kind: &ItemKind| beyond_range(kind, "74-82-8", &empty(), &points);
    assert!(beyond(&part(100.0, Unit::PercentLfl)).is_none());
    // 40 %LFL of methane is 1.76 %vol with the 4.4 %vol of IEC 60079-20-1 (from memory).
    assert!(beyond(&part(1.8, Unit::PercentVolume)).is_none());
    let (point, end) = beyond(&part(15_000.0, Unit::Ppm)).unwrap();
    assert_eq!(point.value, 40.0);
    assert!((end - 34.09).abs() < 0.01, "{end}");
}

use super::*;
use crate::engine::drawn::empty;

fn asking(project: &Project, measures: &str, hazards: &[Hazard]) -> Vec<SetPointResult> {
    let asked = Asked {
        measures,
        hazards,
        ..Asked::default()
    };
    set_points(project, &mut Trace::default(), &asked)
}

/// Value, unit and direction of each set-point of a gas.
fn points(
    jurisdiction: Jurisdiction,
    key: &str,
    hazards: &[Hazard],
) -> Vec<(f64, &'static str, bool)> {
    let mut project = empty();
    project.head.jurisdiction = jurisdiction;
    let key = crate::engine::gas::find(key).unwrap().key.as_ref();
    let found = asking(&project, key, hazards);
    found
        .into_iter()
        .filter(|one| !one.is_beside())
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
        averaging: Averaging::Instant,
    }];
    let mut trace = Trace::default();
    let asked = Asked {
        measures: "74-82-8",
        hazards: &[Flammable],
        stated: &own,
        ..Asked::default()
    };
    let found = set_points(&empty(), &mut trace, &asked);
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
    let asked = Asked {
        measures: "630-08-0",
        hazards: &[Toxic],
        ..Asked::default()
    };
    let found = set_points(&empty(), &mut trace, &asked);
    let entry = trace.entry(found[0].value.why).unwrap();
    let limit = trace.entry(entry.inputs[0].why).unwrap();
    assert!(
        limit.citation.text().starts_with("Directive 2004/37/EC"),
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
    let points = asking(&empty(), "74-82-8", &[Flammable]);
    let beyond = |kind: &ItemKind| beyond_range(kind, "74-82-8", &empty(), &points);
    assert!(beyond(&part(100.0, Unit::PercentLfl)).is_none());
    // 40 %LFL of methane is 1.76 %vol with the 4.4 %vol of IEC 60079-20-1 (from memory).
    assert!(beyond(&part(1.8, Unit::PercentVolume)).is_none());
    let (point, end) = beyond(&part(15_000.0, Unit::Ppm)).unwrap();
    assert_eq!(point.value, 40.0);
    assert!((end - 34.09).abs() < 0.01, "{end}");
}

/// US 29 CFR 1910.1000 table Z-1: chlorine has a ceiling of 1 ppm and nothing else (from memory).
#[test]
fn a_ceiling_alone_alarms_at_half_of_it_and_at_it() {
    let found = points(Us, "chlorine", &[Toxic]);
    assert_eq!(found, [(0.5, "ppm", true), (1.0, "ppm", true)]);
}

/// EH40/2005, Table 1 (from memory): carbon monoxide 20 ppm over 8 hours, 100 ppm over 15 minutes.
#[test]
fn a_limit_stated_as_an_average_is_also_alarmed_as_that_average() {
    let mut project = empty();
    project.head.jurisdiction = Uk;
    let beside = |project: &Project| -> Vec<(f64, f64)> {
        let found = asking(project, "630-08-0", &[Toxic]);
        let beside = found.iter().filter(|one| one.is_beside());
        beside
            .map(|one| (one.averaging.minutes(), one.value.value))
            .collect()
    };
    assert_eq!(beside(&project), [(15.0, 100.0), (480.0, 20.0)]);
    project.basis.set("time_weighted", Some(0.0));
    assert!(beside(&project).is_empty());
}

/// EN 50545-1: carbon monoxide 30 and 60 ppm over 15 minutes, 150 ppm held for a minute.
#[test]
fn a_car_park_alarms_by_its_own_standard_and_a_mixed_space_does_not() {
    let of = |uses: &[RoomUse]| -> Vec<(f64, f64)> {
        let asked = Asked {
            measures: "630-08-0",
            hazards: &[Toxic],
            uses,
            ..Asked::default()
        };
        let found = set_points(&empty(), &mut Trace::default(), &asked);
        found
            .iter()
            .map(|one| (one.value.value, one.averaging.minutes()))
            .collect()
    };
    assert_eq!(
        of(&[RoomUse::CarPark]),
        [(30.0, 15.0), (60.0, 15.0), (150.0, 1.0)]
    );
    assert_eq!(of(&[RoomUse::CarPark, RoomUse::Corridor])[0], (20.0, 0.0));
}

/// IIAR 2: 25 ppm and 150 ppm in an ammonia machinery room.
#[test]
fn an_ammonia_plant_room_of_the_united_states_alarms_at_25_and_150_ppm() {
    let mut project = empty();
    project.head.jurisdiction = Us;
    let asked = Asked {
        measures: "7664-41-7",
        hazards: &[Toxic],
        uses: &[RoomUse::RefrigerationRoom],
        ..Asked::default()
    };
    let found = set_points(&project, &mut Trace::default(), &asked);
    let values: Vec<f64> = found.iter().map(|one| one.value.value).collect();
    assert_eq!(values, [25.0, 150.0]);
}

/// EN 378-3 (from memory): pre-alarm 500 ppm, main alarm 30000 ppm, which are 20 % of the 15 %vol
/// of IEC 60079-20-1; EH40 25 and 35 ppm stay for people.
#[test]
fn an_ammonia_plant_room_may_have_the_plants_levels_beside_those_for_people() {
    let mut project = empty();
    project.head.jurisdiction = Uk;
    let of = |project: &Project, hazard| {
        let asked = Asked {
            measures: "7664-41-7",
            hazards: &[hazard],
            uses: &[RoomUse::RefrigerationRoom],
            ..Asked::default()
        };
        let found = set_points(project, &mut Trace::default(), &asked);
        let ranked = found.iter().filter(|one| !one.is_beside());
        let values: Vec<f64> = ranked.map(|one| one.value.value).collect();
        (values, found[0].reason.clone())
    };
    assert_eq!(of(&project, Toxic).0, [25.0, 35.0]);
    project.basis.set("ammonia_plant_levels", Some(1.0));
    assert_eq!(of(&project, Toxic).0, [25.0, 35.0, 500.0]);
    let (values, reason) = of(&project, Flammable);
    assert_eq!(values, [20.0, 40.0]);
    assert!(reason.contains("30000 ppm"), "{reason}");
    project
        .basis
        .set("ammonia_plant_main_alarm", Some(15_000.0));
    assert_eq!(of(&project, Flammable).0, [10.0, 40.0]);
}

/// Every substance of the tables in every jurisdiction: set-points in order, and before the harm.
#[test]
fn no_rule_alarms_at_the_harm_or_out_of_order() {
    let mut wrong = Vec::new();
    for jurisdiction in [Eu, Uk, Us] {
        let mut project = empty();
        project.head.jurisdiction = jurisdiction;
        for known in crate::engine::gas::substances() {
            let hazards = crate::engine::gas::hazards(known);
            let found = asking(&project, &known.key, &hazards);
            let ranked: Vec<_> = found.iter().filter(|one| !one.is_beside()).collect();
            let rising = |pair: &[&SetPointResult]| pair[0].value.value < pair[1].value.value;
            let falls = ranked.iter().any(|one| !one.rising);
            if !falls && !ranked.windows(2).all(rising) {
                wrong.push(format!("{} {jurisdiction:?}: out of order", known.name));
            }
            let idlh = known.idlh.as_ref().map_or(f64::INFINITY, |idlh| idlh.value);
            let in_ppm = found.iter().filter(|one| one.value.unit == Unit::Ppm);
            if in_ppm.clone().any(|one| one.value.value >= idlh) {
                wrong.push(format!("{} {jurisdiction:?}: at the harm", known.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

fn detecting(watches: &str, range: (f64, Unit), points: &[(f64, Unit, bool)]) -> Vec<Finding> {
    let project = empty();
    let mut own = crate::engine::drawn::detector(1, [1.0, 1.0], 2.0, watches, Band::High);
    own.set_points = points
        .iter()
        .map(|&(value, unit, rising)| SetPoint {
            value,
            unit,
            rising,
            averaging: Averaging::Instant,
        })
        .collect();
    let part = ItemKind::DetectorDevice {
        measures: vec![watches.to_owned()],
        principle: Principle::ThermalConductivity,
        range_low: 0.0,
        range_high: range.0,
        range_unit: range.1,
        load: project.catalogue.items[0].load().unwrap(),
        t90: None,
    };
    let asked = Asked {
        measures: watches,
        hazards: &[Flammable],
        stated: &own.set_points,
        ..Asked::default()
    };
    let mut trace = Trace::default();
    let points = set_points(&project, &mut trace, &asked);
    unfit(&project, &mut trace, &own, Some(&part), &asked, &points)
}

/// 20 %LFL of hydrogen is 0.8 %vol with the 4.0 %vol of IEC 60079-20-1 (from memory); thermal
/// conductivity over 100 %vol with 1 % noise cannot tell less than 3 %vol.
#[test]
fn a_set_point_in_the_noise_of_a_wide_range_is_found() {
    let percent = Unit::PercentVolume;
    let points = [(0.8, percent, true), (1.6, percent, true)];
    let found = detecting("1333-74-0", (100.0, percent), &points);
    assert_eq!(found.len(), 1);
    assert!(
        found[0].id.starts_with("setpoints.noise"),
        "{}",
        found[0].message
    );
    assert!(detecting("1333-74-0", (10.0, percent), &points).is_empty());
}

#[test]
fn a_set_point_at_the_harm_is_a_blocker() {
    let id = |watches, range, points: &[(f64, Unit, bool)]| {
        let found = detecting(watches, range, points);
        found.first().map(|one| one.id.clone()).unwrap_or_default()
    };
    let lfl = Unit::PercentLfl;
    assert!(id("74-82-8", (100.0, lfl), &[(100.0, lfl, true)]).starts_with("setpoints.harm"));
    assert_eq!(id("74-82-8", (100.0, lfl), &[(60.0, lfl, true)]), "");
    let percent = Unit::PercentVolume;
    assert!(id(OXYGEN, (25.0, percent), &[(15.0, percent, false)]).starts_with("setpoints.harm"));
    assert!(id(OXYGEN, (30.0, percent), &[(26.0, percent, true)]).starts_with("setpoints.harm"));
    // Carbon monoxide: 1200 ppm immediately dangerous (NIOSH Pocket Guide, from memory).
    let ppm = Unit::Ppm;
    assert!(id("630-08-0", (3000.0, ppm), &[(1200.0, ppm, true)]).starts_with("setpoints.harm"));
}

/// Additive rule by hand: hydrogen sulfide makes up 0.04 of 0.048 of this biogas's toxic hazard
/// with the British limits, so 5 ppm becomes 4.17 ppm; infrared sees no hydrogen.
#[test]
fn a_part_that_stands_for_a_mixture_alarms_sooner() {
    let mut project = empty();
    project.head.jurisdiction = Uk;
    let part = |(key, fraction): (&str, f64)| MixturePart {
        substance: key.to_owned(),
        fraction,
    };
    let biogas = Mixture {
        id: MixtureId(1),
        name: "Biogas".to_owned(),
        by: FractionOf::Mole,
        components: [("74-82-8", 0.598), ("124-38-9", 0.4), ("7783-06-4", 0.002)]
            .map(part)
            .to_vec(),
    };
    project.mixtures = [biogas].into_iter().collect();
    let released = ["mixture-1".to_owned()];
    let asked = Asked {
        measures: "7783-06-4",
        hazards: &[Toxic],
        released: &released,
        ..Asked::default()
    };
    let found = set_points(&project, &mut Trace::default(), &asked);
    assert!(
        (found[0].value.value - 4.1667).abs() < 1e-3,
        "{}",
        found[0].value.value
    );
    assert!(found[0].reason.contains("all that harms in Biogas"));
}

use crate::engine::finding::Finding;

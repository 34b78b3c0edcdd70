//! What a release does in a room, against published solutions and independent integrations.
//!
//! SciPy 1.17 integrates the differential equations of plume and filling box, CoolProp 8.0.0 mixes
//! real gases by their enthalpies; both ran outside the project and their figures stand in `cases`.
//! The layer's own balance was written a second time in Python from the description in
//! `layer.rs`: agreement there says that it is integrated rightly, not that the model is right.
//! Heat capacities in `mixing.rs` come from another library than CoolProp.

use std::collections::BTreeMap;

use brattice::engine::atmosphere::layer::{self, Setting};
use brattice::engine::atmosphere::mixing::{Air, Heat};
use brattice::engine::atmosphere::{Course, Discharge, oxygen, plume, room, vents};
use brattice::engine::gas::density::OXYGEN_AFTER_RELEASE;
use brattice::engine::gas::find;
use brattice::engine::trace::Trace;
use brattice::units::Unit;

use crate::worst::Worst;

type Case = BTreeMap<String, String>;

fn cases(text: &str) -> Vec<Case> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let rows = reader.deserialize().map(|row| row.unwrap());
    rows.collect()
}

fn number(case: &Case, column: &str) -> f64 {
    case[column]
        .parse()
        .unwrap_or_else(|_| panic!("{column} of {case:?}"))
}

fn close(ours: f64, theirs: f64, part: f64, what: &dyn std::fmt::Debug) {
    let off = (ours / theirs - 1.0).abs();
    assert!(
        off < part,
        "{ours} against {theirs}, off by {off:.1e}: {what:?}"
    );
}

/// Morton, Taylor & Turner 1956, Proc. R. Soc. Lond. A 234: their equations integrated from a
/// vanishing source.
#[test]
fn plume_flux_and_time_are_those_of_the_integrated_equations() {
    let all = cases(include_str!("cases/scipy_plume.csv"));
    assert_eq!(all.len(), 36);
    let mut fluxes = Worst::of("flux of the plume and SciPy");
    let mut times = Worst::of("time of the plume and SciPy");
    for case in all {
        let of = |column: &str| number(&case, column);
        let (alpha, buoyancy, run) = (
            of("entrainment"),
            of("buoyancy_m4_per_s3"),
            of("distance_m"),
        );
        let flux = plume::flux(plume::coefficient(alpha), buoyancy, run);
        let at = format!("α {alpha}, B {buoyancy} m⁴/s³, {run} m");
        fluxes.hold(flux, of("flux_m3_per_s"), 0.1, &at);
        times.hold(plume::transit(alpha, run, flux), of("time_s"), 0.1, &at);
    }
}

/// Facts of the similarity solution by hand: C for the entrainment coefficients 0.10 to 0.16, and
/// that of a Gaussian plume with 0.093 as of top-hat profiles with √2 times as much.
#[test]
fn plume_coefficients_are_those_of_the_similarity_solution() {
    for (alpha, coefficient) in [
        (0.10, 0.1154),
        (0.117, 0.1422),
        (0.13, 0.1637),
        (0.16, 0.2159),
    ] {
        close(plume::coefficient(alpha), coefficient, 5e-4, &alpha);
    }
    close(
        plume::coefficient(0.093 * 2f64.sqrt()),
        0.1662,
        1e-3,
        &"0.093 Gaussian",
    );
}

/// Baines & Turner 1969, J. Fluid Mech. 37: the front moves by what the plume carries through it.
#[test]
fn the_first_front_is_that_of_the_integrated_filling_box() {
    let all = cases(include_str!("cases/scipy_filling_box.csv"));
    assert_eq!(all.len(), 16);
    let mut worst = Worst::of("first front and its time, and SciPy");
    for case in all {
        let of = |column: &str| number(&case, column);
        let coefficient = plume::coefficient(of("entrainment"));
        let (run, buoyancy, area) = (of("height_m"), of("buoyancy_m4_per_s3"), of("area_m2"));
        let front = layer::front(run, coefficient, buoyancy, area, of("time_s"));
        let at = format!("H {run} m, {} s", of("time_s"));
        worst.hold(front, of("front_m"), 0.1, &at);
        let time = layer::front_time(run, coefficient, buoyancy, area, of("front_m"));
        worst.hold(time, of("time_s"), 0.1, &at);
    }
}

/// Worster & Huppert 1983, J. Fluid Mech. 132 (form from memory): τ = 4 π^(2/3) α_G^(4/3) H^(2/3)
/// B^(1/3) t / S, ζ = [1 + (1/5)(18/5)^(1/3) τ]^(-3/2), Gaussian α_G.
#[test]
fn the_first_front_is_that_of_worster_and_huppert() {
    let pi = std::f64::consts::PI;
    for (gaussian, height, buoyancy, area) in [(0.1, 2.5, 4.4e-3, 20.0), (0.093, 6.0, 0.02, 80.0)] {
        let coefficient = plume::coefficient(f64::sqrt(2.0) * gaussian);
        for seconds in [1.0, 60.0, 900.0, 7200.0] {
            let tau = 4.0
                * pi.powf(2.0 / 3.0)
                * f64::powf(gaussian, 4.0 / 3.0)
                * f64::powf(height, 2.0 / 3.0)
                * f64::cbrt(buoyancy)
                * seconds
                / area;
            let zeta = (1.0 + 0.2 * 3.6f64.cbrt() * tau).powf(-1.5);
            let front = layer::front(height, coefficient, buoyancy, area, seconds);
            close(front / height, zeta, 1e-9, &(gaussian, seconds));
        }
    }
}

/// 1 L/s of methane in a room of 20 m² and 2.5 m, by hand from Baines & Turner's solution.
#[test]
fn methane_fills_a_small_room_as_reckoned_by_hand() {
    let buoyancy = plume::buoyancy(0.001, 0.553_85, 0.553_85);
    close(buoyancy, 4.375e-3, 1e-3, &"buoyancy");
    for (alpha, front, seconds) in [
        (0.1, 2.0, 138.5),
        (0.1, 1.5, 350.2),
        (0.1, 1.0, 726.9),
        (0.13, 2.0, 97.6),
    ] {
        let time = layer::front_time(2.5, plume::coefficient(alpha), buoyancy, 20.0, front);
        close(time, seconds, 1e-3, &(alpha, front));
    }
    let flux = plume::flux(plume::coefficient(0.1), buoyancy, 2.5);
    close(plume::dilution(0.001, flux), 1.151, 1e-3, &"dilution");
}

fn discharge(case: &Case) -> Discharge {
    let mut trace = Trace::default();
    let total = case["total_m3"].parse().ok();
    Discharge {
        rate: trace.measured(
            "rate",
            number(case, "rate_m3_per_s"),
            Unit::CubicMetrePerSecond,
        ),
        relative_density: trace.measured("density", 1.0, Unit::One),
        total: total.map(|total: f64| trace.measured("total", total, Unit::CubicMetre)),
        course: match case["course"].as_str() {
            "steady" => Course::Steady,
            "emptying" => Course::Emptying,
            other => panic!("{other}"),
        },
        pool: None,
    }
}

#[test]
fn layer_and_mixed_room_are_those_of_an_independent_integration() {
    let all = cases(include_str!("cases/scipy_layer.csv"));
    assert_eq!(all.len(), 24);
    let mut worst = Worst::of("layer and mixed room under ventilation, and SciPy");
    for case in all {
        let of = |column: &str| number(&case, column);
        let (rate, density) = (of("rate_m3_per_s"), of("relative_density"));
        let setting = Setting {
            area: of("area_m2"),
            height: of("height_m"),
            run: of("run_m"),
            supply: of("supply_m3_per_s"),
            coefficient: plume::coefficient(of("entrainment")),
            buoyancy: plume::buoyancy(rate, density, density),
            strength: 1.0,
            vents: 0.0,
            vent_rise: 0.0,
        };
        let gas = discharge(&case);
        let times = layer::times(&setting, &gas, of("time_s"));
        let last = *layer::march(&setting, &gas, &times).last().unwrap();
        let at = format!("{rate} m³/s, {} s", of("time_s"));
        worst.hold(last.depth, of("depth_m"), 0.1, &at);
        worst.hold(last.layer, of("layer_percent"), 0.1, &at);
        worst.hold(last.mixed, of("mixed_percent"), 0.1, &at);
    }
}

/// The same balance with vents, in parts after Kaye & Hunt 2004 (see the file's head); at last the
/// front stands where Linden's relation has it, and where its lift is capped by the vents' distance.
#[test]
fn a_layer_between_vents_is_that_of_an_independent_integration() {
    let all = cases(include_str!("cases/scipy_vented.csv"));
    assert_eq!(all.len(), 24);
    let mut worst = Worst::of("layer and mixed room between vents, and SciPy");
    for case in all {
        let of = |column: &str| number(&case, column);
        let (rate, density) = (of("rate_m3_per_s"), of("relative_density"));
        let setting = Setting {
            area: of("area_m2"),
            height: of("height_m"),
            run: of("run_m"),
            supply: of("supply_m3_per_s"),
            coefficient: plume::coefficient(of("entrainment")),
            buoyancy: plume::buoyancy(rate, density, density),
            strength: 1.0,
            vents: of("vents_m2"),
            vent_rise: of("vent_rise_m"),
        };
        let gas = discharge(&case);
        let times = layer::times(&setting, &gas, of("time_s"));
        let last = *layer::march(&setting, &gas, &times).last().unwrap();
        for (ours, column) in [
            (last.depth, "depth_m"),
            (last.layer, "layer_percent"),
            (last.mixed, "mixed_percent"),
        ] {
            // All has gone out by the vents: an empty layer has no share of gas to compare.
            if of("depth_m") < 1e-9 && column != "mixed_percent" {
                assert!(last.depth < 1e-6, "{case:?}");
                continue;
            }
            worst.hold(ours, of(column), 0.1, &format!("{column} {rate} m³/s"));
        }
        if of("time_s") < 7000.0 || gas.total.is_some() || of("supply_m3_per_s") > 0.0 {
            continue;
        }
        let times = layer::times(&setting, &gas, 1e6);
        let last = *layer::march(&setting, &gas, &times).last().unwrap();
        let (vents, run) = (setting.vents, setting.run);
        let free = vents::vented_front(vents, run, setting.coefficient);
        let rest = match run - free > setting.vent_rise {
            true => vents::front_between(vents, setting.vent_rise, setting.coefficient),
            false => free,
        };
        close(run - last.depth, rest, 1e-3, &("front at rest", &case));
        let pair = (vents, setting.vent_rise);
        let mixed = vents::mixed_at_rest(rate, 0.0, pair, setting.buoyancy);
        close(last.mixed, mixed, 1e-3, &("mixed at rest", &case));
    }
}

/// V = 60 m³, 2 air changes, methane with 4.4 %vol: exact solutions by hand.
#[test]
fn a_mixed_room_builds_up_and_decays_by_its_exact_solution() {
    let supply = 120.0 / 3600.0;
    close(
        room::steady(0.5 / 3600.0, supply),
        0.4149,
        1e-3,
        &"0.5 m³/h",
    );
    assert_eq!(
        room::time_to(0.5 / 3600.0, supply, 60.0, 0.88),
        None,
        "it never alarms"
    );
    let rate = 4.0 / 3600.0;
    close(room::steady(rate, supply), 3.226, 1e-3, &"4 m³/h");
    for (gas, minutes) in [(0.88, 9.248), (1.76, 22.90)] {
        let time = room::time_to(rate, supply, 60.0, gas).unwrap();
        close(time / 60.0, minutes, 1e-3, &gas);
        close(room::build_up(rate, supply, 60.0, time), gas, 1e-9, &gas);
    }
    let minutes = 13.86;
    close(
        (room::DECAY.compute)(&[40.0, 6.0, 60.0 * minutes]),
        10.0,
        1e-3,
        &"decay",
    );
}

/// The worked example of a university's note on asphyxiation (S4/03, appendix, seen in public): five
/// dewars of 0.15 L a day, 700 L of gas a litre, twice for losses, in 36 m³ at 0.4 air changes; the
/// page prints 0.044 m³/h, and oxygen lower by 0.06 %. It reckons with 21 % and with L / (V n).
#[test]
fn oxygen_beside_evaporating_dewars_is_that_of_the_published_example() {
    let gas: f64 = 2.0 * 700.0 * 5.0 * 0.15 / 24_000.0;
    assert_eq!(format!("{gas:.3}"), "0.044");
    let gas = room::steady(gas / 3600.0, 36.0 * 0.4 / 3600.0);
    assert_eq!(
        format!(
            "{:.2}",
            oxygen::beside_inert(0.0) - oxygen::beside_inert(gas)
        ),
        "0.06"
    );
}

/// Full release of 25 L of liquid nitrogen into 36 m³: 0.683 m³/L gives 10.99 %vol as a plug (the
/// form of BCGA GN11, from memory), 13.01 %vol mixed.
#[test]
fn oxygen_after_a_full_release_is_that_of_the_published_form() {
    let released = 25.0 * 0.683;
    let mut worst = Worst::of("oxygen after full release and the published form");
    let plug = (OXYGEN_AFTER_RELEASE.compute)(&[36.0, released]);
    worst.hold(plug, 10.99, 0.05, "plug");
    let mixed = (oxygen::AFTER_MIXING.compute)(&[36.0, released]);
    worst.hold(mixed, 13.01, 0.05, "mixed");
}

/// EIGA's form (from memory): C∞ = 0.21 V n / (L + V n), C = C∞ + (0.21 - C∞) exp(-t / m), m = V /
/// (L + V n); 60 m³, 2 air changes, 5 m³/h: 20.16 % at last, 20.456 % after half an hour. Ours
/// starts from 20.9 instead of 21.
#[test]
fn oxygen_under_a_steady_release_follows_the_published_form() {
    let (rate, supply) = (5.0 / 3600.0, 120.0 / 3600.0);
    let per_21 = |gas: f64| oxygen::beside_inert(gas) * 21.0 / 20.9;
    close(per_21(room::steady(rate, supply)), 20.16, 5e-5, &"steady");
    close(
        per_21(room::build_up(rate, supply, 60.0, 1800.0)),
        20.456,
        5e-5,
        &"30 min",
    );
    // Without ventilation C0 exp(-R t / V), the form of oxygen-deficiency analysis: 19.5 % after
    // 12.48 min and 18 % after 26.89 min for 20 m³/h in 60 m³.
    for (oxygen, minutes) in [(19.5, 12.48), (18.0, 26.89)] {
        let gas = 100.0 * (1.0 - oxygen / 20.9);
        let time = room::time_to(20.0 / 3600.0, 0.0, 60.0, gas).unwrap();
        close(time / 60.0, minutes, 5e-4, &oxygen);
    }
}

/// 3 m³/h of oxygen in 60 m³ at one air change, by hand: 24.67 % at last, 23.5 % after 67.0 min;
/// 1 m³/h settles at 22.20 % and never enriches.
#[test]
fn oxygen_enriches_as_reckoned_by_hand() {
    let supply = 60.0 / 3600.0;
    let steady =
        |cubic_metres: f64| oxygen::beside_oxygen(room::steady(cubic_metres / 3600.0, supply));
    close(steady(3.0), 24.67, 5e-4, &"3 m³/h");
    close(steady(1.0), 22.20, 5e-4, &"1 m³/h");
    let gas = 100.0 * (23.5 - 20.9) / 79.1;
    let time = room::time_to(3.0 / 3600.0, supply, 60.0, gas).unwrap();
    close(time / 60.0, 67.0, 1e-3, &"time");
    assert_eq!(room::time_to(1.0 / 3600.0, supply, 60.0, gas), None);
}

/// Linden, Lane-Serff & Smeed 1990, as a review quotes it: A* / H² = C^(3/2) √(ξ⁵ / (1 - ξ)), and
/// independently the flow through the vents, A* √(g' (H - h)), is the plume's at the front.
#[test]
fn the_front_at_rest_satisfies_the_published_relation_and_passes_the_plume_through_the_vents() {
    let area = (vents::VENT_AREA.compute)(&[0.6, 0.05, 0.05]);
    close(area, 0.03, 1e-9, &"effective area");
    let buoyancy = 4.375e-3;
    for (area, height, alpha) in [(area, 2.5, 0.1), (0.2, 4.0, 0.13), (0.005, 3.0, 0.13)] {
        let coefficient = plume::coefficient(alpha);
        let front = vents::vented_front(area, height, coefficient);
        let xi = front / height;
        let relation = coefficient.powf(1.5) * (xi.powi(5) / (1.0 - xi)).sqrt();
        close(relation, area / (height * height), 1e-3, &xi);
        let flux = plume::flux(coefficient, buoyancy, front);
        let through = area * (buoyancy / flux * (height - front)).sqrt();
        close(through, flux, 1e-3, &xi);
    }
    let front = vents::vented_front(area, 2.5, plume::coefficient(0.1));
    close(front / 2.5, 0.3910, 1e-3, &"two vents of 0.05 m²");
}

/// Cold gases mixed with air by CoolProp's enthalpies. The air of the room is dry there. 1 % is what
/// this project asks of densities against real gases; it holds to half gas. Beyond, cold vapour is
/// denser than an ideal gas, and 2 % holds to seven tenths.
#[test]
fn cold_gases_mix_with_air_as_real_gases_do() {
    let all = cases(include_str!("cases/coolprop_8_mixing.csv"));
    assert_eq!(all.len(), 35);
    let mut to_half = Worst::of("density of cold gas in air, to half gas, and CoolProp");
    let mut beyond = Worst::of("density of cold gas in air, more gas than air, and CoolProp");
    let mut kelvins = Worst::of("temperature of cold gas in air and CoolProp");
    let air = Air {
        temperature: 293.15,
        humidity: 0.0,
        made_up: 0.0,
    };
    for case in all {
        let substance = find(&case["key"]).unwrap();
        let heat = Heat::of(substance).unwrap();
        let (x, boils) = (number(&case, "mole_fraction"), number(&case, "boils_k"));
        let mixed = heat.mixed(x, boils, air.temperature);
        let at = format!("{} {x}", case["name"]);
        kelvins.hold(mixed, number(&case, "temperature_k"), 1.0, &at);
        let density = air.adiabatic(heat, substance.relative_density(), boils, x);
        let expected = number(&case, "relative_density");
        match x <= 0.5 {
            true => to_half.hold(density, expected, 1.0, &at),
            false => beyond.hold(density, expected, 2.0, &at),
        }
    }
}

/// The trade's figures for cold methane and hydrogen, computed with CoolProp's enthalpies.
#[test]
fn cold_methane_stays_dense_and_cold_hydrogen_crosses_over() {
    let air = Air {
        temperature: 293.15,
        humidity: 0.0,
        made_up: 0.0,
    };
    let density = |name: &str, boils: f64, x: f64| {
        let substance = find(name).unwrap();
        let heat = Heat::of(substance).unwrap();
        air.adiabatic(heat, substance.relative_density(), boils, x)
    };
    close(
        density("methane", 111.67, 0.5),
        1.17,
        1e-2,
        &"methane, half",
    );
    close(
        density("methane", 111.67, 0.1),
        1.029,
        1e-3,
        &"methane, a tenth",
    );
    close(
        density("methane", 111.67, 0.01),
        1.003,
        1e-3,
        &"methane, a hundredth",
    );
    close(
        density("hydrogen", 20.37, 0.5),
        0.91,
        1e-2,
        &"hydrogen, half",
    );
}

/// Britter 1979 found r = 0.84 B^(1/4) t^(3/4) for a current fed at a constant rate. A box of the
/// same volume whose front runs at Fr √(g' h) gives r = √(4 Fr / 3) π^(-1/4) B^(1/4) t^(3/4), 0.84
/// for Fr = 0.94; Froude numbers measured lie between 0.9 and 1.2.
#[test]
fn the_current_along_a_floor_is_as_fast_as_a_box_of_its_volume() {
    let slow = (4.0 * 0.9 / 3.0f64).sqrt() * std::f64::consts::PI.powf(-0.25);
    let fast = (4.0 * 1.2 / 3.0f64).sqrt() * std::f64::consts::PI.powf(-0.25);
    for (distance, buoyancy) in [(2.0, 1e-3), (5.0, 4.375e-3), (10.0, 0.05)] {
        let time = plume::current_time(distance, buoyancy);
        let factor = distance / (f64::powf(buoyancy, 0.25) * time.powf(0.75));
        assert!(
            slow < factor && factor < fast,
            "{factor} between {slow} and {fast}"
        );
    }
}

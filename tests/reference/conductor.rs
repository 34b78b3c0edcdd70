//! Conductor resistance against IEC 60228:2004 (greatest resistance at 20 °C, plain copper), as
//! quoted alike on four trade pages; copied here a second time, column by column.

use brattice::engine::bus::conductor;

const CROSS_SECTIONS: [f64; 8] = [0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0];
const CLASS_1_AND_2: [f64; 8] = [36.0, 24.5, 18.1, 12.1, 7.41, 4.61, 3.08, 1.83];
const CLASS_5_AND_6: [f64; 8] = [39.0, 26.0, 19.5, 13.3, 7.98, 4.95, 3.30, 1.91];

#[test]
fn table_is_that_of_iec_60228() {
    let table = conductor::table();
    assert_eq!(table.len(), CROSS_SECTIONS.len());
    for (idx, row) in table.into_iter().enumerate() {
        assert_eq!(
            row,
            (CROSS_SECTIONS[idx], CLASS_1_AND_2[idx], CLASS_5_AND_6[idx])
        );
    }
}

/// IEC 60028 (from memory): annealed copper has 17.241 ohm mm² per kilometre at 20 °C. No real
/// conductor of the nominal section may be said to have less.
#[test]
fn no_conductor_is_better_than_pure_copper() {
    for (area, fixed, flexible) in conductor::table() {
        assert!(fixed * area > 17.241 && flexible > fixed, "{area} mm²");
    }
}

/// IEC 60228's own correction to other temperatures, R_T = R_20 (230 + T) / 250: within 0.3 %.
#[test]
fn warm_resistance_agrees_with_the_correction_of_iec_60228() {
    for temperature in [20.0, 35.0, 50.0, 70.0] {
        for (_, fixed, _) in conductor::table() {
            let ours = (conductor::RESISTANCE_WARM.compute)(&[fixed, temperature]);
            let theirs = fixed * (230.0 + temperature) / 250.0;
            assert!(
                (ours / theirs - 1.0).abs() < 0.004,
                "{ours} against {theirs}"
            );
        }
    }
}

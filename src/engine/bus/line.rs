//! Voltage along a line of constant currents: the arithmetic alone, for searches that try many.
//! What is printed is computed through the trace, in `segment`.

/// Voltage at each load of a line fed at one end. `lengths` are the cables (m) in order, each
/// ending at the load (A) of the same place; `ohm_per_km` is one core's.
pub fn volts(supply: f64, ohm_per_km: f64, lengths: &[f64], loads: &[f64]) -> Vec<f64> {
    let mut beyond: f64 = loads.iter().sum();
    let mut here = supply;
    lengths
        .iter()
        .zip(loads)
        .map(|(length, load)| {
            here -= 2.0 * ohm_per_km * length / 1000.0 * beyond;
            beyond -= load;
            here
        })
        .collect()
}

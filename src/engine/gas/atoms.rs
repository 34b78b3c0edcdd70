//! Molar masses from formulas and standard atomic weights (IUPAC CIAAW 2021, abridged).
//!
//! Nobody types a molar mass by hand.

use std::collections::BTreeMap;

use crate::engine::gas::table::ATOMIC_WEIGHTS;

/// Atomic weights by symbol, g/mol.
pub struct AtomicWeights(BTreeMap<&'static str, f64>);

impl AtomicWeights {
    /// Reads the table.
    pub fn read() -> Self {
        let rows = ATOMIC_WEIGHTS.rows();
        AtomicWeights(
            rows.iter()
                .map(|row| (row.key(), row.required("atomic_weight")))
                .collect(),
        )
    }

    /// Molar mass of a formula such as "C2H6O", g/mol; `None` where it is not a formula of atoms
    /// in the table.
    pub fn molar_mass(&self, formula: &str) -> Option<f64> {
        let mut rest = formula;
        let mut sum = 0.0;
        while let Some(first) = rest.chars().next().filter(char::is_ascii_uppercase) {
            let tail = &rest[first.len_utf8()..];
            let small = tail.chars().take_while(char::is_ascii_lowercase).count();
            let weight = self.0.get(&rest[..1 + small])?;
            let tail = &tail[small..];
            let digits = tail.chars().take_while(char::is_ascii_digit).count();
            let count: u32 = if digits == 0 {
                1
            } else {
                tail[..digits].parse().ok()?
            };
            sum += weight * f64::from(count);
            rest = &tail[digits..];
        }
        (rest.is_empty() && !formula.is_empty()).then_some(sum)
    }
}

#[cfg(test)]
mod tests {
    use super::AtomicWeights;

    /// By hand from the same abridged weights: 12.011 + 2 x 15.999; 2 x 12.011 + 6 x 1.008 +
    /// 15.999; 12.011 + 15.999 + 2 x 35.45.
    #[test]
    fn formula_adds_up_its_atoms() {
        let weights = AtomicWeights::read();
        let check = |formula: &str, expected: f64| {
            let found = weights.molar_mass(formula).unwrap();
            assert!((found - expected).abs() < 1e-9, "{formula} {found}");
        };
        check("CO2", 44.009);
        check("C2H6O", 46.069);
        check("COCl2", 98.91);
        check("He", 4.0026);
    }

    #[test]
    fn what_is_no_formula_has_no_mass() {
        let weights = AtomicWeights::read();
        for text in ["", "natural gas", "Qz2", "co2", "C2H6O!", "C99999999999"] {
            assert_eq!(weights.molar_mass(text), None, "{text}");
        }
    }
}

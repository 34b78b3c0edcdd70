//! What a discharge must know of a substance beyond the substance table: ratio of heat capacities,
//! densities of liquids, latent heat, heat of combustion.
//!
//! From `tables/<publication>_<year>.csv`, typed from memory of the publications named there; where
//! tables differ the first here is taken. Must not calculate.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use crate::engine::gas::Figure;
use crate::engine::gas::table::Table;
use crate::units::Unit;

/// Ratios of heat capacities, API first.
static RATIOS: [Table; 2] = [
    Table::new(
        "api_520_1_2014_heat_capacity_ratios.csv",
        include_str!("tables/api_520_1_2014_heat_capacity_ratios.csv"),
    ),
    Table::new(
        "heat_capacity_ratios_common_practice.csv",
        include_str!("tables/heat_capacity_ratios_common_practice.csv"),
    ),
];
static BOILING_LIQUIDS: Table = Table::new(
    "crc_handbook_97_boiling_liquids.csv",
    include_str!("tables/crc_handbook_97_boiling_liquids.csv"),
);
static LIQUIDS: Table = Table::new(
    "crc_handbook_97_liquid_density.csv",
    include_str!("tables/crc_handbook_97_liquid_density.csv"),
);
static LIQUEFIED: Table = Table::new(
    "liquefied_gases_common_practice.csv",
    include_str!("tables/liquefied_gases_common_practice.csv"),
);
static COMBUSTION: Table = Table::new(
    "crc_handbook_97_heat_of_combustion.csv",
    include_str!("tables/crc_handbook_97_heat_of_combustion.csv"),
);

/// The figures of one substance, as far as they are known.
#[derive(Debug, Clone, Default)]
pub struct Properties {
    /// Ratio of heat capacities of the gas at 20 degC and low pressure.
    pub heat_capacity_ratio: Option<Figure>,
    /// kg/m3 of the liquid (or solid) at its boiling (or sublimation) point.
    pub boiling_density: Option<Figure>,
    /// kg/m3 of the liquid at 20 degC, under its vapour pressure where that is above the air's.
    pub liquid_density: Option<Figure>,
    /// kJ/kg at the boiling point.
    pub latent_heat: Option<Figure>,
    /// kJ/(kg K) of the liquid between its boiling point and 20 degC.
    pub heat_capacity: Option<Figure>,
    /// kJ/mol, net, of the gas at 25 degC.
    pub combustion: Option<Figure>,
}

/// The figures of the substance with this key; nothing where no table has it.
pub fn properties(key: &str) -> &'static Properties {
    static ALL: OnceLock<BTreeMap<&'static str, Properties>> = OnceLock::new();
    static NONE: Properties = Properties {
        heat_capacity_ratio: None,
        boiling_density: None,
        liquid_density: None,
        latent_heat: None,
        heat_capacity: None,
        combustion: None,
    };
    ALL.get_or_init(read).get(key).unwrap_or(&NONE)
}

fn read() -> BTreeMap<&'static str, Properties> {
    let mut all: BTreeMap<&'static str, Properties> = BTreeMap::new();
    let mut fill =
        |table: &Table, column, unit, place: fn(&mut Properties) -> &mut Option<Figure>| {
            for row in table.rows() {
                let slot = place(all.entry(row.key()).or_default());
                if let (None, Some(value)) = (&slot, row.number(column)) {
                    *slot = Some(Figure {
                        value,
                        unit,
                        citation: row.citation(),
                    });
                }
            }
        };
    let density = Unit::KilogramPerCubicMetre;
    for table in &RATIOS {
        fill(table, "ratio", Unit::One, |of| &mut of.heat_capacity_ratio);
    }
    fill(&BOILING_LIQUIDS, "density_kg_m3", density, |of| {
        &mut of.boiling_density
    });
    fill(&LIQUIDS, "density_kg_m3", density, |of| {
        &mut of.liquid_density
    });
    fill(&LIQUEFIED, "density_kg_m3", density, |of| {
        &mut of.liquid_density
    });
    fill(
        &LIQUEFIED,
        "latent_heat_kj_kg",
        Unit::KilojoulePerKilogram,
        |of| &mut of.latent_heat,
    );
    let heat = Unit::KilojoulePerKilogramKelvin;
    fill(&LIQUEFIED, "heat_capacity_kj_kg_k", heat, |of| {
        &mut of.heat_capacity
    });
    fill(&COMBUSTION, "net_kj_mol", Unit::KilojoulePerMole, |of| {
        &mut of.combustion
    });
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::gas::find;

    #[test]
    fn every_row_is_of_a_known_substance() {
        for key in read().keys() {
            assert!(find(key).is_some_and(|known| known.key == *key), "{key}");
        }
    }

    #[test]
    fn a_substance_without_figures_has_none() {
        let none = properties("no such key");
        assert!(none.heat_capacity_ratio.is_none() && none.latent_heat.is_none());
        let propane = properties("74-98-6");
        assert_eq!(
            propane.liquid_density.as_ref().map(|it| it.value),
            Some(500.0)
        );
    }
}

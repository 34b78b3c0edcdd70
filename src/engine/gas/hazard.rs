//! Why a substance matters to people in a room.
//!
//! Toxic is decided by the harmonised classification for inhalation (Regulation (EC) No
//! 1272/2008, Annex VI: statements H330 to H332, H340, H350, H351, H360, H372) or by the mark of
//! common practice in the identity table. A bare exposure limit does not make a gas toxic here:
//! propane, sulfur hexafluoride and ethanol have one, and nobody watches them at head height.

use crate::engine::gas::substance::Substance;
use crate::model::Hazard;

/// The hazards of a substance, in the order of [`Hazard`].
pub fn hazards(substance: &Substance) -> Vec<Hazard> {
    let mut hazards = Vec::new();
    if substance.burns || !substance.lfl.is_empty() {
        hazards.push(Hazard::Flammable);
    }
    if is_toxic(substance) {
        hazards.push(Hazard::Toxic);
    }
    if substance.asphyxiant {
        hazards.push(Hazard::OxygenDepletion);
    }
    if substance.enriches {
        hazards.push(Hazard::OxygenEnrichment);
    }
    hazards
}

/// Whether it harms by being breathed, at concentrations far below those that displace oxygen.
pub fn is_toxic(substance: &Substance) -> bool {
    substance.harms || !substance.inhalation_statements.is_empty()
}

#[cfg(test)]
mod tests {
    use super::hazards;
    use crate::engine::gas::{find, substances};
    use crate::model::Hazard::{self, Flammable, OxygenDepletion, OxygenEnrichment, Toxic};

    fn check(name: &str, expected: &[Hazard]) {
        assert_eq!(hazards(find(name).unwrap()), expected, "{name}");
    }

    /// Common practice, no source.
    #[test]
    fn practice_names_the_hazards_so() {
        check("methane", &[Flammable]);
        check("natural gas", &[Flammable]);
        check("propane", &[Flammable]);
        check("acetone", &[Flammable]);
        check("toluene", &[Flammable]);
        check("silane", &[Flammable]);
        check("ammonia", &[Flammable, Toxic]);
        check("carbon monoxide", &[Flammable, Toxic]);
        check("hydrogen sulfide", &[Flammable, Toxic]);
        check("methanol", &[Flammable, Toxic]);
        check("o-xylene", &[Flammable, Toxic]);
        check("arsine", &[Flammable, Toxic]);
        check("chlorine", &[Toxic]);
        check("ozone", &[Toxic]);
        check("nitrous oxide", &[Toxic]);
        check("nitrogen", &[OxygenDepletion]);
        check("sulfur hexafluoride", &[OxygenDepletion]);
        check("R134a", &[OxygenDepletion]);
        check("R410A", &[OxygenDepletion]);
        check("R32", &[Flammable, OxygenDepletion]);
        check("carbon dioxide", &[Toxic, OxygenDepletion]);
        check("oxygen", &[OxygenEnrichment]);
    }

    #[test]
    fn every_substance_has_a_hazard() {
        for known in substances() {
            assert!(!hazards(known).is_empty(), "{}", known.name);
        }
    }
}

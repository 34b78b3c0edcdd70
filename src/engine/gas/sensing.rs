//! What each sensing principle can and cannot see, and under which conditions it fails.
//!
//! Limits of the principles are common practice; ionisation energies come from their table. Must
//! not know a maker's part: a part's own data sheet overrides all of this.

use crate::engine::gas::hazards;
use crate::engine::gas::substance::{Component, Substance, SubstanceOrigin};
use crate::model::{Citation, Hazard, Principle};

/// Conditions a detector measures in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensing {
    /// What it is to warn of.
    pub hazard: Hazard,
    /// Temperature at the detector, degC.
    pub celsius: f64,
    /// Oxygen in the air it measures, %vol.
    pub oxygen_percent: f64,
}

impl Sensing {
    /// Air of a room at 20 degC.
    pub const fn room(hazard: Hazard) -> Self {
        Sensing {
            hazard,
            celsius: 20.0,
            oxygen_percent: 20.9,
        }
    }
}

/// Least oxygen a catalytic bead burns with, %vol (common practice).
pub const CATALYTIC_OXYGEN: f64 = 10.0;
/// Temperatures an electrochemical cell works in, degC (common practice).
pub const CELL_CELSIUS: (f64, f64) = (-20.0, 50.0);
/// Photon energy of the usual and of the strong lamp of a photoionisation detector, eV.
pub const LAMPS: (f64, f64) = (10.6, 11.7);

const OXYGEN: &str = "7782-44-7";
const NITROGEN: &str = "7727-37-9";
const CARBON_DIOXIDE: &str = "124-38-9";
const HYDROGEN_SULFIDE: &str = "7783-06-4";

/// Molecules of one element: they absorb no infrared.
const WITHOUT_INFRARED: [&str; 11] = [
    "1333-74-0",
    "7782-39-0",
    NITROGEN,
    OXYGEN,
    "7440-59-7",
    "7440-01-9",
    "7440-37-1",
    "7439-90-9",
    "7440-63-3",
    "7782-41-4",
    "7782-50-5",
];

/// Gases that conduct heat within about 15 % of air: nitrogen, oxygen, carbon monoxide, nitric
/// oxide, ammonia, ethylene, acetylene, ethane.
const CONDUCT_LIKE_AIR: [&str; 8] = [
    NITROGEN,
    OXYGEN,
    "630-08-0",
    "10102-43-9",
    "7664-41-7",
    "74-85-1",
    "74-86-2",
    "74-84-0",
];

/// Why a detector of `principle` cannot warn of `substance` in these conditions; `None` where it
/// can. A mixture is measured where any part that matters is.
pub fn unfit(principle: Principle, substance: &Substance, at: Sensing) -> Option<String> {
    if let Some(reason) = conditions(principle, at) {
        return Some(reason);
    }
    if let Some((_, sees, citation)) = stated(principle, substance) {
        let name = &substance.name;
        let ground = citation.text();
        return (!sees).then(|| format!("{name} is not seen by it ({ground})"));
    }
    if !substance.is_mixture() {
        return pure(principle, substance, at);
    }
    let matters = |part: &Substance| hazards(part).contains(&at.hazard);
    let known = substance.composition.iter().filter_map(Component::known);
    let mut first = None;
    for part in known.filter(|part| matters(part)) {
        first.get_or_insert(pure(principle, part, at)?);
    }
    first
}

/// Whether a flammable detector of `principle` that is meant for `watched` reads `part` as well.
/// Infrared absorbs at the bond of carbon and hydrogen, so it takes one hydrocarbon for another; a
/// cell and a lamp are held to their own gas (common practice, no source).
pub fn also_sees(principle: Principle, watched: &Substance, part: &Substance) -> bool {
    let answers = match principle {
        Principle::Catalytic | Principle::Semiconductor | Principle::ThermalConductivity => true,
        Principle::Infrared => {
            let known = || watched.composition.iter().filter_map(Component::known);
            let bond = has_hydrocarbon_bond(watched) || known().any(has_hydrocarbon_bond);
            part.key == watched.key || bond && has_hydrocarbon_bond(part)
        }
        Principle::Electrochemical | Principle::Photoionisation => part.key == watched.key,
    };
    answers && unfit(principle, part, Sensing::room(Hazard::Flammable)).is_none()
}

/// Whether the principle can warn of no hazard of the substance.
pub fn never_fit(principle: Principle, substance: &Substance) -> bool {
    let mut all = hazards(substance).into_iter();
    all.all(|hazard| unfit(principle, substance, Sensing::room(hazard)).is_some())
}

/// What weakens or shortens the principle though it can measure, in sentences.
pub fn cautions(principle: Principle, substance: &Substance) -> Vec<String> {
    let name = &substance.name;
    let mut said = Vec::new();
    let mut say = |text: String| said.push(text);
    match principle {
        Principle::Catalytic => {
            say(format!(
                "Needs at least {CATALYTIC_OXYGEN} %vol oxygen; silicones, lead and sulfur \
                 compounds poison it and halogenated vapours inhibit it; above the lower limit \
                 its reading is ambiguous."
            ));
        }
        Principle::Infrared => say(
            "Needs no oxygen and is not poisoned; wet or dirty windows blind it, and it does not \
             see hydrogen that comes along."
                .to_owned(),
        ),
        Principle::Electrochemical => {
            say(format!(
                "The cell lives two to three years, from {} to {} °C; dry air dries it out.",
                CELL_CELSIUS.0, CELL_CELSIUS.1
            ));
            if let Some(others) = substance.cell.filter(|others| !others.is_empty()) {
                say(format!("A cell for {name} also answers to {others}."));
            }
        }
        Principle::ThermalConductivity => {
            say("For percents by volume only; it cannot tell one gas from another.".to_owned())
        }
        Principle::Semiconductor => {
            say("Drifts with humidity and temperature and selects poorly.".to_owned());
        }
        Principle::Photoionisation => {
            let energy = substance.ionisation.as_ref().map(|figure| figure.value);
            match energy {
                Some(energy) if energy > LAMPS.0 => say(format!(
                    "{name} has an ionisation energy of {energy} eV: the lamp must be the one of \
                     {} eV, which lives a few months.",
                    LAMPS.1
                )),
                Some(_) => {}
                None => say(format!(
                    "No table here has the ionisation energy of {name}."
                )),
            }
            say("Reads every vapour its lamp ionises; humidity quenches it.".to_owned());
        }
    }
    said
}

fn conditions(principle: Principle, at: Sensing) -> Option<String> {
    match principle {
        Principle::Catalytic if at.oxygen_percent < CATALYTIC_OXYGEN => Some(format!(
            "a catalytic detector needs at least {CATALYTIC_OXYGEN} %vol oxygen, and there are {} \
             here",
            at.oxygen_percent
        )),
        Principle::Electrochemical if !(CELL_CELSIUS.0..=CELL_CELSIUS.1).contains(&at.celsius) => {
            Some(format!(
                "an electrochemical cell works from {} to {} °C, and it is {} °C here",
                CELL_CELSIUS.0, CELL_CELSIUS.1, at.celsius
            ))
        }
        _ => None,
    }
}

/// What the project states of this principle and the substance.
fn stated(principle: Principle, substance: &Substance) -> Option<&(Principle, bool, Citation)> {
    substance.sensing.iter().find(|(of, ..)| *of == principle)
}

/// Why nothing is known of a principle and a substance of the project's own.
fn unsaid(principle: Principle, substance: &Substance) -> Option<String> {
    let follows = match principle {
        Principle::Catalytic => substance.formula.is_some(),
        Principle::Infrared => has_hydrocarbon_bond(substance),
        Principle::Photoionisation => substance.ionisation.is_some(),
        Principle::Electrochemical | Principle::Semiconductor | Principle::ThermalConductivity => {
            false
        }
    };
    let is_own = substance.origin == SubstanceOrigin::Own && !substance.is_mixture();
    let kind = principle.label();
    (is_own && !follows).then(|| {
        format!(
            "nothing is stated of whether {kind} sees {}: state it with its figures, from the \
             maker of the detector",
            substance.name
        )
    })
}

/// Whether the molecule has carbon and hydrogen, by its formula.
fn has_hydrocarbon_bond(substance: &Substance) -> bool {
    let formula = substance.formula.as_deref().unwrap_or_default();
    let atoms: Vec<&str> = symbols(formula).collect();
    atoms.first() == Some(&"C") && atoms.contains(&"H")
}

fn pure(principle: Principle, substance: &Substance, at: Sensing) -> Option<String> {
    if let Some(reason) = unsaid(principle, substance) {
        return Some(reason);
    }
    let name = &substance.name;
    let key = substance.key.as_ref();
    let burns = hazards(substance).contains(&Hazard::Flammable);
    let toxic = at.hazard == Hazard::Toxic;
    let refused = |reason: &str| Some(format!("{name} {reason}"));
    match principle {
        Principle::Catalytic if !burns => {
            refused("does not burn, and a catalytic detector only sees what burns")
        }
        Principle::Catalytic if toxic => refused(
            "harms at parts per million, where a catalytic detector sees nothing: its scale is \
             percents of the lower flammable limit",
        ),
        Principle::Catalytic if poisons(substance) => refused(
            "holds silicon, halogen, metal or sulfur, which poison the catalyst of the detector \
             that is to see it",
        ),
        Principle::Infrared if WITHOUT_INFRARED.contains(&key) => refused("absorbs no infrared"),
        Principle::Infrared if key == HYDROGEN_SULFIDE => {
            refused("absorbs too little infrared for a point detector")
        }
        Principle::Electrochemical if substance.cell.is_none() => {
            refused("has no electrochemical cell that is in common use")
        }
        Principle::ThermalConductivity if toxic => refused(
            "harms at parts per million, and thermal conductivity tells percents by volume only",
        ),
        Principle::ThermalConductivity if CONDUCT_LIKE_AIR.contains(&key) => {
            refused("conducts heat so much like air that thermal conductivity does not tell it")
        }
        Principle::Semiconductor if !burns && !toxic => {
            refused("is inert to a semiconductor detector")
        }
        Principle::Semiconductor if key == CARBON_DIOXIDE => {
            refused("is inert to a semiconductor detector")
        }
        Principle::Photoionisation => {
            let energy = substance.ionisation.as_ref()?.value;
            (energy > LAMPS.1).then(|| {
                format!(
                    "{name} has an ionisation energy of {energy} eV, more than the {} eV of the \
                     strongest lamp",
                    LAMPS.1
                )
            })
        }
        _ => None,
    }
}

/// Whether the molecule itself poisons or inhibits a catalyst.
fn poisons(substance: &Substance) -> bool {
    const POISONS: [&str; 14] = [
        "Si", "Cl", "F", "Br", "I", "S", "P", "As", "Sb", "Se", "Ge", "Ni", "Fe", "Hg",
    ];
    let formula = substance.formula.as_deref().unwrap_or_default();
    symbols(formula).any(|symbol| POISONS.contains(&symbol))
}

/// The atoms' symbols of a formula.
fn symbols(formula: &str) -> impl Iterator<Item = &str> {
    let starts = formula
        .char_indices()
        .filter(|(_, c)| c.is_ascii_uppercase());
    starts.map(|(at, _)| {
        let rest = &formula[at + 1..];
        let small = rest.chars().take_while(char::is_ascii_lowercase).count();
        &formula[at..=at + small]
    })
}

#[cfg(test)]
mod tests {
    use super::{Sensing, cautions, unfit};
    use crate::engine::gas::find;
    use crate::model::Hazard::{self, Flammable, OxygenDepletion, Toxic};
    use crate::model::Principle::{self, *};

    #[track_caller]
    fn check(principle: Principle, name: &str, hazard: Hazard, reason: Option<&str>) {
        let found = unfit(principle, find(name).unwrap(), Sensing::room(hazard));
        match (reason, &found) {
            (None, None) => {}
            (Some(words), Some(said)) => assert!(said.contains(words), "{name}: {said}"),
            _ => panic!("{principle:?} {name}: {found:?}"),
        }
    }

    /// Common practice, no source; ionisation energies of the CRC Handbook, from memory.
    #[test]
    fn practice_refuses_these_pairs_and_takes_those() {
        check(Catalytic, "methane", Flammable, None);
        check(Catalytic, "natural gas", Flammable, None);
        check(Catalytic, "hydrogen", Flammable, None);
        check(Catalytic, "ammonia", Flammable, None);
        check(Catalytic, "ammonia", Toxic, Some("parts per million"));
        check(Catalytic, "R32", Flammable, Some("poison"));
        check(Catalytic, "silane", Flammable, Some("poison"));
        check(
            Catalytic,
            "nitrogen",
            OxygenDepletion,
            Some("does not burn"),
        );
        check(Infrared, "hydrogen", Flammable, Some("absorbs no infrared"));
        check(Infrared, "propane", Flammable, None);
        check(Infrared, "carbon dioxide", Toxic, None);
        check(Infrared, "R134a", OxygenDepletion, None);
        check(Electrochemical, "carbon monoxide", Toxic, None);
        check(
            Electrochemical,
            "methane",
            Flammable,
            Some("no electrochemical cell"),
        );
        check(ThermalConductivity, "helium", OxygenDepletion, None);
        check(
            ThermalConductivity,
            "carbon monoxide",
            Flammable,
            Some("like air"),
        );
        check(
            ThermalConductivity,
            "chlorine",
            Toxic,
            Some("percents by volume"),
        );
        check(Photoionisation, "benzene", Toxic, None);
        check(Photoionisation, "methane", Flammable, Some("12.61 eV"));
        check(Semiconductor, "carbon dioxide", Toxic, Some("inert"));
    }

    #[test]
    fn conditions_refuse_what_the_gas_would_allow() {
        let methane = find("methane").unwrap();
        let inerted = Sensing {
            oxygen_percent: 5.0,
            ..Sensing::room(Flammable)
        };
        let said = unfit(Catalytic, methane, inerted).unwrap();
        assert!(said.contains("10 %vol oxygen"), "{said}");
        assert_eq!(unfit(Infrared, methane, inerted), None);
        let frozen = Sensing {
            celsius: -30.0,
            ..Sensing::room(Toxic)
        };
        let ammonia = find("ammonia").unwrap();
        assert!(unfit(Electrochemical, ammonia, frozen).is_some());
    }

    #[test]
    fn a_lamp_that_is_too_weak_and_a_cell_that_answers_to_others_are_said() {
        let said = cautions(Photoionisation, find("methanol").unwrap()).concat();
        assert!(said.contains("11.7 eV"), "{said}");
        let said = cautions(Electrochemical, find("carbon monoxide").unwrap()).concat();
        assert!(said.contains("hydrogen (20 to 60 %)"), "{said}");
    }
}

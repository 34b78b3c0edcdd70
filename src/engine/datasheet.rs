//! Everything known of one substance at one temperature and pressure, as one value: what the
//! command prints and what the server answers.
//!
//! Figures come from `gas`, bands from `mounting` with the defaults of the basis of design. Must
//! not calculate anything itself. A figure that has no meaning at the conditions is `None`, and
//! `notes` says why.

use serde::Serialize;

use crate::engine::gas::sensing::{self, Sensing};
use crate::engine::gas::state::{Conditions, Phase, Saturated, State, state};
use crate::engine::gas::{ExposureLimit, Figure, FlammabilityTable, Substance, hazards};
use crate::engine::mounting::bands::{self, Limits};
use crate::engine::trace::Trace;
use crate::model::{Band, Basis, Hazard, Jurisdiction, Principle};

/// A substance at conditions, ready to be printed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Datasheet {
    pub key: String,
    pub cas: Option<String>,
    pub name: String,
    pub synonyms: Vec<String>,
    pub formula: Option<String>,
    pub composition: Vec<Part>,
    pub hazards: Vec<Hazard>,
    pub temperature_c: f64,
    pub pressure_kpa: f64,
    /// What it is at these conditions.
    pub state: Phase,
    pub molar_mass_g_per_mol: f64,
    /// Beside dry air at the same temperature and pressure. Of a gas: real. Of a liquid: its vapour
    /// by molar mass, as tables list it; what stands over the liquid is in `saturated_mixture`.
    pub relative_density: Option<f64>,
    /// M / 28.9647, whatever the conditions.
    pub relative_density_by_molar_mass: f64,
    /// Of the gas; of a liquid or solid nothing.
    pub density_kg_per_m3: Option<f64>,
    pub air_density_kg_per_m3: f64,
    pub compressibility_factor: Option<f64>,
    pub vapour_pressure_pa: Option<f64>,
    pub vapour_pressure_is_estimate: Option<bool>,
    pub saturated_mixture: Option<Saturated>,
    pub boiling_point_c: Option<f64>,
    pub melting_point_c: Option<f64>,
    /// Of the table the jurisdiction asks first; the others are in `flammable_limits`.
    pub lfl_percent_volume: Option<f64>,
    pub ufl_percent_volume: Option<f64>,
    pub flammable_limits: Vec<FlammableRange>,
    pub auto_ignition_c: Option<f64>,
    pub gas_group: Option<crate::engine::gas::GasGroup>,
    pub temperature_class: Option<crate::engine::gas::TemperatureClass>,
    pub nec_group: Option<String>,
    pub exposure_limits: Vec<ExposureLimit>,
    pub idlh_ppm: Option<f64>,
    pub practical_limit_kg_per_m3: Option<f64>,
    pub safety_class: Option<String>,
    pub ionisation_energy_ev: Option<f64>,
    /// The band it is first sought in where it is held as it usually is.
    pub band: Option<Band>,
    pub bands: Vec<SoughtIn>,
    pub principles: Vec<Fitness>,
    pub notes: Vec<String>,
    /// Where each figure comes from.
    pub citations: Vec<Cited>,
}

/// A part of a mixture.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Part {
    pub key: String,
    pub mole_fraction: f64,
}

/// The limits one work states.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FlammableRange {
    pub table: FlammabilityTable,
    pub lfl_percent_volume: Option<f64>,
    pub ufl_percent_volume: Option<f64>,
    pub citation: String,
}

/// A band one hazard is sought in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SoughtIn {
    pub hazard: Hazard,
    pub band: Band,
    pub reason: String,
}

/// Whether a sensing principle can warn of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fitness {
    pub principle: Principle,
    pub hazard: Hazard,
    pub fit: bool,
    /// Why not, or what weakens it.
    pub remarks: Vec<String>,
}

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cited {
    pub figure: &'static str,
    pub citation: String,
}

/// The datasheet of a substance at the conditions, with the tables `jurisdiction` asks first.
pub fn datasheet(substance: &Substance, at: Conditions, jurisdiction: Jurisdiction) -> Datasheet {
    let found = state(substance, at);
    let bands = bands(substance);
    let ranges = ranges(substance);
    let lfl = substance.lfl_in(jurisdiction);
    let ufl = substance.ufl_in(jurisdiction);
    let mut notes = found.remarks.clone();
    notes.extend(state_note(substance, &found));
    notes.extend(toxicity_note(substance, jurisdiction));
    let value = |figure: &Option<Figure>| figure.as_ref().map(|figure| figure.value);
    let owned = |text: &str| text.to_owned();
    Datasheet {
        key: substance.key.to_string(),
        cas: substance.cas.as_deref().map(owned),
        name: substance.name.to_string(),
        synonyms: substance.synonyms.iter().copied().map(owned).collect(),
        formula: substance.formula.as_deref().map(owned),
        composition: composition(substance),
        hazards: hazards(substance),
        temperature_c: at.celsius(),
        pressure_kpa: at.pascals() / 1e3,
        state: found.phase,
        molar_mass_g_per_mol: substance.molar_mass.value,
        relative_density: found.relative_density,
        relative_density_by_molar_mass: substance.relative_density(),
        density_kg_per_m3: found.density,
        air_density_kg_per_m3: found.air_density,
        compressibility_factor: found.compressibility,
        vapour_pressure_pa: found.vapour.as_ref().map(|vapour| vapour.pascals),
        vapour_pressure_is_estimate: found.vapour.as_ref().map(|vapour| vapour.estimate),
        saturated_mixture: found.saturated,
        boiling_point_c: value(&substance.boiling_point),
        melting_point_c: value(&substance.melting_point),
        lfl_percent_volume: lfl.map(|limit| limit.figure.value),
        ufl_percent_volume: ufl.map(|limit| limit.figure.value),
        flammable_limits: ranges,
        auto_ignition_c: value(&substance.auto_ignition),
        gas_group: substance.gas_group,
        temperature_class: substance.temperature_class,
        nec_group: substance.nec_group.map(owned),
        exposure_limits: substance.limits.clone(),
        idlh_ppm: value(&substance.idlh),
        practical_limit_kg_per_m3: value(&substance.practical_limit),
        safety_class: substance.safety_class.map(owned),
        ionisation_energy_ev: value(&substance.ionisation),
        band: bands.first().map(|sought| sought.band),
        bands,
        principles: principles(substance),
        notes,
        citations: citations(substance, &found),
    }
}

impl Datasheet {
    /// The datasheet in lines a person reads.
    pub fn text(&self) -> String {
        let mut lines = vec![self.name.clone()];
        let mut say = |what: &str, figure: Option<String>| {
            lines.push(format!(
                "  {what:<34}{}",
                figure.as_deref().unwrap_or("not known")
            ));
        };
        let of = |value: Option<f64>, unit: &str| {
            value.map(|value| format!("{value:.4} {unit}").trim_end().to_owned())
        };
        say("CAS number", self.cas.clone());
        say("Formula", self.formula.clone());
        say(
            "Also called",
            Some(self.synonyms.join(", ")).filter(|text| !text.is_empty()),
        );
        let at = format!("{} °C, {} kPa", self.temperature_c, self.pressure_kpa);
        say("Conditions", Some(at));
        say(
            "State there",
            Some(format!("{:?}", self.state).to_lowercase()),
        );
        say("Molar mass", of(Some(self.molar_mass_g_per_mol), "g/mol"));
        say("Density relative to air", of(self.relative_density, ""));
        say("Density", of(self.density_kg_per_m3, "kg/m³"));
        say("Vapour pressure", of(self.vapour_pressure_pa, "Pa"));
        let saturated = self.saturated_mixture.map(|mixed| {
            let Saturated {
                percent_volume,
                relative_density,
                ..
            } = mixed;
            format!("{percent_volume:.3} %vol, {relative_density:.4} times as dense as air")
        });
        say("Air saturated with its vapour", saturated);
        say("Lower flammable limit", of(self.lfl_percent_volume, "%vol"));
        say("Upper flammable limit", of(self.ufl_percent_volume, "%vol"));
        let group = self
            .gas_group
            .map(|group| format!("{group:?}").to_uppercase());
        say("Gas group", group);
        say(
            "Temperature class",
            self.temperature_class.map(|class| format!("{class:?}")),
        );
        say("Ionisation energy", of(self.ionisation_energy_ev, "eV"));
        for limit in &self.exposure_limits {
            say(limit.regime.label(), Some(limit_text(limit)));
        }
        say("Immediately dangerous", of(self.idlh_ppm, "ppm"));
        for sought in &self.bands {
            lines.push(format!("  {}: {}", sought.band.label(), sought.reason));
        }
        lines.extend(self.notes.iter().map(|note| format!("  Note: {note}")));
        let cited = self.citations.iter();
        lines.extend(cited.map(|cited| format!("  {}: {}", cited.figure, cited.citation)));
        lines.push(
            "  Check every figure against the work named before anybody's safety rests on it."
                .to_owned(),
        );
        lines.join("\n")
    }
}

/// What a set-point for breathing air rests on where the jurisdiction has no limit of its own.
fn toxicity_note(substance: &Substance, jurisdiction: Jurisdiction) -> Option<String> {
    if !hazards(substance).contains(&Hazard::Toxic) {
        return None;
    }
    let name = &substance.name;
    match (substance.limit_in(jurisdiction), &substance.idlh) {
        (Some(limit), _) if limit.regime.applies_in(jurisdiction) => None,
        (Some(limit), _) => Some(format!(
            "No table here has an exposure limit of {name} for the jurisdiction: set-points take \
             the {}.",
            limit.regime.label()
        )),
        (None, Some(_)) => Some(format!(
            "No table here has an exposure limit of {name}: set-points are shares of what is \
             immediately dangerous."
        )),
        (None, None) => Some(format!(
            "{name} harms those who breathe it, but no table here says from what concentration: \
             take its limit from the safety data sheet and state it in the project."
        )),
    }
}

fn limit_text(limit: &ExposureLimit) -> String {
    let figures = [
        ("8 h", limit.twa_ppm),
        ("15 min", limit.stel_ppm),
        ("ceiling", limit.ceiling_ppm),
    ];
    let stated = figures
        .iter()
        .filter_map(|(what, value)| value.map(|value| format!("{value} ppm {what}")));
    stated.collect::<Vec<_>>().join(", ")
}

fn state_note(substance: &Substance, found: &State) -> Option<String> {
    (found.phase == Phase::Liquid && found.relative_density.is_some()).then(|| {
        format!(
            "{} is a liquid here: relative_density is that of its vapour by molar mass, as tables \
             list it; air saturated with it is in saturated_mixture. Vapour flows off a liquid \
             along the floor however near 1 the mixture is.",
            substance.name
        )
    })
}

fn composition(substance: &Substance) -> Vec<Part> {
    let parts = substance.composition.iter();
    let parts = parts.map(|part| Part {
        key: part.key.to_string(),
        mole_fraction: part.mole_fraction,
    });
    parts.collect()
}

/// Both limits of each work that states one.
fn ranges(substance: &Substance) -> Vec<FlammableRange> {
    let upper = |table| {
        let mut limits = substance.ufl.iter();
        limits
            .find(|limit| limit.table == table)
            .map(|limit| limit.figure.value)
    };
    let lower = substance.lfl.iter().map(|limit| FlammableRange {
        table: limit.table,
        lfl_percent_volume: Some(limit.figure.value),
        ufl_percent_volume: upper(limit.table),
        citation: limit.figure.citation.text(),
    });
    lower.collect()
}

/// The bands of each hazard, with the substance held as it usually is.
fn bands(substance: &Substance) -> Vec<SoughtIn> {
    let Some(held) = substance.usual_holdings.first() else {
        return Vec::new();
    };
    let basis = Basis::default();
    let release = bands::release(&mut Trace::default(), &basis, substance, *held);
    let mut found = Vec::new();
    for hazard in bands::hazards_watched(substance) {
        let mut choices = bands::choose(substance, &release, hazard, Limits::of(&basis));
        choices.sort_by_key(|choice| choice.density.is_none());
        found.extend(choices.into_iter().map(|choice| SoughtIn {
            hazard,
            band: choice.band,
            reason: choice.reason,
        }));
    }
    found
}

fn principles(substance: &Substance) -> Vec<Fitness> {
    let mut found = Vec::new();
    for hazard in hazards(substance) {
        for principle in Principle::ALL {
            let reason = sensing::unfit(principle, substance, Sensing::room(hazard));
            let fit = reason.is_none();
            let remarks = match reason {
                Some(reason) => vec![reason],
                None => sensing::cautions(principle, substance),
            };
            found.push(Fitness {
                principle,
                hazard,
                fit,
                remarks,
            });
        }
    }
    found
}

fn citations(substance: &Substance, found: &State) -> Vec<Cited> {
    let mut cited = Vec::new();
    let mut cite = |figure: &'static str, citation: Option<&crate::model::Citation>| {
        if let Some(citation) = citation {
            let citation = citation.text();
            cited.push(Cited { figure, citation });
        }
    };
    let of = |figure: &'_ Option<Figure>| figure.as_ref().map(|figure| figure.citation.clone());
    cite("molar_mass_g_per_mol", Some(&substance.molar_mass.citation));
    if found.compressibility.is_some() {
        let critical = substance
            .critical
            .as_ref()
            .map(|critical| &critical.citation);
        let formula = crate::engine::gas::virial::FIRST_TERM.citation.clone();
        cite("density_kg_per_m3", Some(&formula));
        cite("density_kg_per_m3", critical);
    }
    cite(
        "vapour_pressure_pa",
        found.vapour.as_ref().map(|vapour| &vapour.citation),
    );
    cite("boiling_point_c", of(&substance.boiling_point).as_ref());
    for limit in &substance.lfl {
        cite("lfl_percent_volume", Some(&limit.figure.citation));
    }
    for limit in &substance.ufl {
        cite("ufl_percent_volume", Some(&limit.figure.citation));
    }
    cite("auto_ignition_c", of(&substance.auto_ignition).as_ref());
    for limit in &substance.limits {
        cite("exposure_limits", Some(&limit.citation));
        for stated in limit.stated.values() {
            cite("exposure_limits", Some(stated));
        }
    }
    cite("idlh_ppm", of(&substance.idlh).as_ref());
    cite(
        "practical_limit_kg_per_m3",
        of(&substance.practical_limit).as_ref(),
    );
    cite("ionisation_energy_ev", of(&substance.ionisation).as_ref());
    cited
}

#[cfg(test)]
mod tests {
    use super::{Datasheet, datasheet};
    use crate::engine::gas::find;
    use crate::engine::gas::state::{Conditions, Phase};
    use crate::model::{Band, Jurisdiction};

    fn sheet(name: &str, celsius: f64, kilopascals: f64) -> Datasheet {
        let at = Conditions::new(Some(celsius), Some(kilopascals)).unwrap();
        datasheet(find(name).unwrap(), at, Jurisdiction::Eu)
    }

    /// CoolProp 8.0.0: propane 1.86499 kg/m3 and 836 kPa, acetone 24.66 kPa, at 20 degC.
    #[test]
    fn a_gas_has_a_density_and_a_liquid_what_stands_over_it() {
        let propane = sheet("R-290", 20.0, 101.325);
        assert_eq!((propane.state, propane.band), (Phase::Gas, Some(Band::Low)));
        assert!((propane.density_kg_per_m3.unwrap() / 1.864_99 - 1.0).abs() < 0.002);
        assert!((propane.vapour_pressure_pa.unwrap() / 836e3 - 1.0).abs() < 0.02);
        assert_eq!(propane.lfl_percent_volume, Some(1.7));
        let acetone = sheet("propanone", 20.0, 101.325);
        assert_eq!(acetone.state, Phase::Liquid);
        assert_eq!(acetone.density_kg_per_m3, None);
        let mixed = acetone.saturated_mixture.unwrap();
        assert!((mixed.relative_density - 1.245).abs() < 0.002);
        let text = acetone.text();
        assert!(text.contains("67-64-1") && text.contains("low:"), "{text}");
    }

    #[test]
    fn what_cannot_be_said_is_left_out_with_a_note() {
        let fluoride = sheet("hydrogen fluoride", 60.0, 101.325);
        assert_eq!(fluoride.relative_density, None);
        assert!(fluoride.notes.concat().contains("associates"));
        let carbon_dioxide = sheet("CO2", -90.0, 101.325);
        assert_eq!(
            (carbon_dioxide.state, carbon_dioxide.density_kg_per_m3),
            (Phase::Solid, None)
        );
        let squeezed = sheet("ethylene", 20.0, 5000.0);
        assert!(squeezed.density_kg_per_m3.is_none(), "{squeezed:?}");
        assert!(
            squeezed
                .notes
                .concat()
                .contains("virial equation does not hold")
        );
    }

    /// Methyl isocyanate has a limit in the United States, in Ontario and none in Great Britain.
    #[test]
    fn a_toxic_gas_without_a_limit_says_what_stands_for_it() {
        let note = |name: &str, jurisdiction| {
            let sheet = datasheet(find(name).unwrap(), Conditions::ROOM, jurisdiction);
            sheet.notes.concat()
        };
        let of_none = note("silicon tetrafluoride", Jurisdiction::Eu);
        assert!(of_none.contains("safety data sheet"), "{of_none}");
        let of_idlh = note("ethyleneimine", Jurisdiction::Us);
        assert!(of_idlh.contains("Ontario exposure limit"), "{of_idlh}");
        let borrowed = note("methyl isocyanate", Jurisdiction::Uk);
        assert!(borrowed.contains("EU indicative limit"), "{borrowed}");
        let own = note("methyl isocyanate", Jurisdiction::Us);
        assert!(!own.contains("exposure limit"), "{own}");
        let propane = note("propane", Jurisdiction::Eu);
        assert!(!propane.contains("exposure limit"), "{propane}");
    }

    /// Each with a density that is impossible for its molar mass would show a slip of the tables.
    #[test]
    fn every_substance_has_a_datasheet_at_every_condition() {
        for known in crate::engine::gas::substances() {
            for (celsius, kilopascals) in [(20.0, 101.325), (-100.0, 101.325), (400.0, 10.0)] {
                let at = Conditions::new(Some(celsius), Some(kilopascals)).unwrap();
                let sheet = datasheet(known, at, Jurisdiction::Us);
                let ideal = sheet.relative_density_by_molar_mass;
                if let Some(real) = sheet.relative_density {
                    assert!(
                        (0.95..1.2).contains(&(real / ideal)),
                        "{} {real}",
                        known.name
                    );
                }
                assert!(
                    !sheet.citations.is_empty() && !sheet.bands.is_empty(),
                    "{}",
                    known.name
                );
            }
        }
    }
}

//! What the tables say about one substance or mixture.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::Serialize;

use crate::engine::gas::lookup;
use crate::engine::gas::naming::within_sentence;
use crate::model::{Citation, Holding, Jurisdiction, Principle};
use crate::units::Unit;

pub use crate::model::{GasGroup, TemperatureClass};

/// Molar mass of dry air, g/mol (design words, "Numbers").
pub const AIR_MOLAR_MASS: f64 = 28.9647;

/// A number with its unit and where it comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    pub value: f64,
    pub unit: Unit,
    pub citation: Citation,
}

/// What a substance is sought as in a picker; no figure depends on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    FuelGas,
    InertGas,
    OxidisingGas,
    ToxicGas,
    Solvent,
    Refrigerant,
}

/// A part of a mixture.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Component {
    /// Key of the part.
    pub key: Cow<'static, str>,
    /// 0 to 1.
    pub mole_fraction: f64,
    /// The part as the project states it; `None` where it is as the tables have it.
    #[serde(skip)]
    pub stated: Option<Box<Substance>>,
}

/// What a mixture is made of, the most first: "methane 90 %, ethane 6 %"; empty for all else.
pub fn composition_text(composition: &[Component]) -> String {
    let mut parts: Vec<&Component> = composition.iter().collect();
    parts.sort_by(|a, b| b.mole_fraction.total_cmp(&a.mole_fraction));
    let words = parts.iter().map(|part| {
        let name = part
            .known()
            .map_or(part.key.as_ref(), |known| known.name.as_ref());
        let percent = (part.mole_fraction * 1000.0).round() / 10.0;
        format!("{} {percent}\u{202f}%", within_sentence(name))
    });
    words.collect::<Vec<_>>().join(", ")
}

impl Component {
    /// The part, with the figures of the project where it states any.
    pub fn known(&self) -> Option<&Substance> {
        self.stated.as_deref().or_else(|| lookup::find(&self.key))
    }
}

/// Which work a flammable limit was read from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FlammabilityTable {
    /// IEC 60079-20-1, or Le Chatelier over its figures.
    Iec,
    /// NFPA 497, or Le Chatelier over its figures.
    Nfpa,
    /// EN 378-1, IEC 60335-2-40: refrigerants, from kg/m3 at 25 degC.
    Refrigerants,
    /// A gas supplier's code or the NIOSH Pocket Guide.
    Other,
    /// The project's own figure; it goes before all tables.
    Project,
}

/// A lower or upper flammable limit in air, %vol.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FlammableLimit {
    pub table: FlammabilityTable,
    pub figure: Figure,
}

/// Whose exposure limit it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Regime {
    /// Indicative limit values of the European Union.
    EuIndicative,
    /// Binding limit values for carcinogens of the European Union.
    EuBinding,
    /// Workplace exposure limits, Great Britain.
    UkWel,
    /// Permissible exposure limits, OSHA.
    UsOsha,
    /// Ontario, Canada.
    Ontario,
    /// Stated for the project.
    Project,
}

/// An exposure limit; at least one of the three figures is stated.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ExposureLimit {
    pub regime: Regime,
    /// 8-hour time-weighted average, ppm.
    pub twa_ppm: Option<f64>,
    /// 15-minute average, ppm.
    pub stel_ppm: Option<f64>,
    /// Never to be exceeded, ppm.
    pub ceiling_ppm: Option<f64>,
    pub citation: Citation,
    /// Those of the three that the project states in the place of the regime's.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub stated: BTreeMap<LimitKind, Citation>,
}

/// Which of the figures of an exposure limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LimitKind {
    /// 8-hour time-weighted average.
    Long,
    /// 15-minute average.
    Short,
    Ceiling,
}

/// How a table writes the Antoine equation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AntoineForm {
    /// ln p/kPa = A - B/(t + C), t in degC.
    LnKilopascal,
    /// log10 p/mmHg = A - B/(t + C), t in degC.
    Log10Mmhg,
}

/// Antoine constants.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Antoine {
    pub form: AntoineForm,
    pub a: f64,
    pub b: f64,
    pub c: f64,
    /// Range the constants were fitted in, degC.
    pub min_celsius: f64,
    pub max_celsius: f64,
    pub citation: Citation,
}

/// How the second virial coefficient of a polar gas departs from the nonpolar correlation, after
/// Tsonopoulos.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PolarClass {
    /// Not polar, or its polarity shows in the acentric factor alone.
    None,
    /// Ketones, aldehydes, nitriles, ethers, esters, amines, ammonia, hydrogen sulfide and cyanide.
    Oxygenated,
    /// Alkyl halides, mercaptans, sulfides.
    Halide,
    /// Alcohols but methanol.
    Alkanol,
    Methanol,
}

/// A second virial coefficient as it was measured: B = a + b/T + c/T², cm³/mol and K.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SecondVirial {
    pub a: f64,
    pub b: f64,
    pub c: f64,
    pub min_kelvin: f64,
    pub max_kelvin: f64,
    pub citation: Citation,
}

/// Critical constants, and what else a corresponding-states correlation asks for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Critical {
    /// K.
    pub temperature: f64,
    /// Pa.
    pub pressure: f64,
    /// As the table states it, or from the boiling point where it does not.
    pub acentric: f64,
    /// Whether the table states the acentric factor.
    pub acentric_stated: bool,
    /// Debye.
    pub dipole: f64,
    pub polar: PolarClass,
    /// Where the correlation misses it.
    pub second_virial: Option<SecondVirial>,
    pub citation: Citation,
}

/// A substance or a named mixture.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Substance {
    /// Stable: the CAS number, a slug for a mixture, such as "natural-gas", or "mixture-3" for one
    /// that the project states.
    pub key: Cow<'static, str>,
    pub cas: Option<Cow<'static, str>>,
    pub name: Cow<'static, str>,
    pub synonyms: Vec<&'static str>,
    /// Sum formula; `None` for a mixture.
    pub formula: Option<Cow<'static, str>>,
    /// Parts of a mixture, mole fractions adding up to 1; empty for a substance.
    pub composition: Vec<Component>,
    pub family: Family,
    /// How it is usually held, the likeliest first.
    pub usual_holdings: Vec<Holding>,
    /// g/mol.
    pub molar_mass: Figure,
    /// Lower flammable limits, %vol, one a table.
    pub lfl: Vec<FlammableLimit>,
    /// Upper flammable limits, %vol, one a table; a table may state none.
    pub ufl: Vec<FlammableLimit>,
    pub limits: Vec<ExposureLimit>,
    /// Immediately dangerous to life or health, ppm.
    pub idlh: Option<Figure>,
    /// Practical limit of a refrigerant, kg/m3.
    pub practical_limit: Option<Figure>,
    /// Class of a refrigerant, such as "A2L".
    pub safety_class: Option<&'static str>,
    pub antoine: Option<Antoine>,
    pub critical: Option<Critical>,
    /// Over the liquid at 20 degC, Pa, where the project states it; it goes before the constants.
    pub stated_vapour: Option<Figure>,
    /// At 101325 Pa, degC; the sublimation point where it has no liquid there.
    pub boiling_point: Option<Figure>,
    /// degC.
    pub melting_point: Option<Figure>,
    /// degC.
    pub auto_ignition: Option<Figure>,
    /// Ionisation energy, eV.
    pub ionisation: Option<Figure>,
    /// What an electrochemical cell for it also answers to; `None` where no cell is in common use.
    pub cell: Option<&'static str>,
    pub gas_group: Option<GasGroup>,
    /// Class I group of the US National Electrical Code, "A" to "D".
    pub nec_group: Option<&'static str>,
    pub temperature_class: Option<TemperatureClass>,
    /// Inhalation hazard statements such as "H331", with the regulation that assigns them.
    pub inhalation_statements: Vec<&'static str>,
    /// Burns, though no table states a limit.
    pub burns: bool,
    /// Ignites in air without a source.
    pub pyrophoric: bool,
    /// Displaces oxygen and does nothing else of note.
    pub asphyxiant: bool,
    /// Feeds a fire.
    pub oxidiser: bool,
    /// Raises the oxygen fraction of a room.
    pub enriches: bool,
    /// Harms by inhalation by common practice, where the regulation has no entry.
    pub harms: bool,
    /// Associates or dimerises: its cloud is heavier than its molar mass says.
    pub associates: bool,
    /// Whether these principles see it, by the project.
    pub sensing: Vec<(Principle, bool, Citation)>,
    /// Whose figures these are.
    pub origin: SubstanceOrigin,
}

/// Whose figures a substance has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SubstanceOrigin {
    /// All of them stand in the tables.
    Tables,
    /// The project states some of them over those of the tables.
    Overridden,
    /// The project states all there is; no table has it.
    Own,
}

impl Substance {
    /// Density relative to air at equal temperature and pressure, ideal gas.
    pub fn relative_density(&self) -> f64 {
        self.molar_mass.value / AIR_MOLAR_MASS
    }

    /// The lower flammable limit that applies in `jurisdiction`: IEC first in Europe and Britain,
    /// NFPA first in the United States, and another table where the first states none.
    pub fn lfl_in(&self, jurisdiction: Jurisdiction) -> Option<&FlammableLimit> {
        preferred(&self.lfl, jurisdiction)
    }

    /// The upper flammable limit of the work that the lower one is taken from.
    pub fn ufl_in(&self, jurisdiction: Jurisdiction) -> Option<&FlammableLimit> {
        let own = |limit: &&FlammableLimit| limit.table == FlammabilityTable::Project;
        let table = self.lfl_in(jurisdiction).map(|limit| limit.table);
        let same = |limit: &&FlammableLimit| Some(limit.table) == table;
        let found = self.ufl.iter().find(own);
        let found = found.or_else(|| self.ufl.iter().find(same));
        match table {
            Some(FlammabilityTable::Project) => {
                found.or_else(|| preferred(&self.ufl, jurisdiction))
            }
            _ => found,
        }
    }

    /// The exposure limit of `jurisdiction`; where it has none, another regime's, which the
    /// caller must say (see [`Regime::applies_in`]).
    pub fn limit_in(&self, jurisdiction: Jurisdiction) -> Option<&ExposureLimit> {
        self.limits
            .iter()
            .min_by_key(|limit| limit.regime.rank(jurisdiction))
    }

    /// Whether it is a mixture.
    pub fn is_mixture(&self) -> bool {
        !self.composition.is_empty()
    }
}

impl ExposureLimit {
    /// What of it is the limit of a working day: the average, else the shorter limits.
    pub fn long_kind(&self) -> LimitKind {
        match (self.twa_ppm, self.stel_ppm) {
            (Some(_), _) => LimitKind::Long,
            (None, Some(_)) => LimitKind::Short,
            (None, None) => LimitKind::Ceiling,
        }
    }

    /// What of it is the limit of short exposure.
    pub fn short_kind(&self) -> LimitKind {
        match self.stel_ppm {
            Some(_) => LimitKind::Short,
            None => LimitKind::Ceiling,
        }
    }

    /// One of its figures, ppm.
    pub fn ppm(&self, kind: LimitKind) -> Option<f64> {
        match kind {
            LimitKind::Long => self.twa_ppm,
            LimitKind::Short => self.stel_ppm,
            LimitKind::Ceiling => self.ceiling_ppm,
        }
    }

    /// The figure a first alarm is held against: the average, else the shorter limits, ppm.
    pub fn long_ppm(&self) -> f64 {
        let figure = self.ppm(self.long_kind());
        figure.expect("a limit states at least one figure")
    }

    /// The figure for short exposure, ppm, where one is stated.
    pub fn short_ppm(&self) -> Option<f64> {
        self.ppm(self.short_kind())
    }

    /// Where one of its figures comes from.
    pub fn citation_of(&self, kind: LimitKind) -> Citation {
        self.stated.get(&kind).unwrap_or(&self.citation).clone()
    }

    /// Whose figure it is, in words.
    pub fn whose(&self, kind: LimitKind) -> &'static str {
        match self.stated.contains_key(&kind) {
            true => Regime::Project.label(),
            false => self.regime.label(),
        }
    }

    /// Whether the figure is `jurisdiction`'s own, or the project's.
    pub fn applies_in(&self, kind: LimitKind, jurisdiction: Jurisdiction) -> bool {
        self.stated.contains_key(&kind) || self.regime.applies_in(jurisdiction)
    }
}

impl Regime {
    /// Whether the limit is `jurisdiction`'s own.
    pub fn applies_in(self, jurisdiction: Jurisdiction) -> bool {
        match self {
            Regime::EuIndicative | Regime::EuBinding => jurisdiction == Jurisdiction::Eu,
            Regime::UkWel => jurisdiction == Jurisdiction::Uk,
            Regime::UsOsha => jurisdiction == Jurisdiction::Us,
            Regime::Ontario => false,
            Regime::Project => true,
        }
    }

    /// The regime in words.
    pub const fn label(self) -> &'static str {
        match self {
            Regime::EuIndicative => "EU indicative limit value",
            Regime::EuBinding => "EU binding limit value",
            Regime::UkWel => "GB workplace exposure limit",
            Regime::UsOsha => "US permissible exposure limit",
            Regime::Ontario => "Ontario exposure limit",
            Regime::Project => "exposure limit stated for this project",
        }
    }

    fn rank(self, jurisdiction: Jurisdiction) -> u8 {
        use Regime::{EuBinding, EuIndicative, Ontario, Project, UkWel, UsOsha};
        let order = match jurisdiction {
            Jurisdiction::Eu => [Project, EuBinding, EuIndicative, UkWel, Ontario, UsOsha],
            Jurisdiction::Uk => [Project, UkWel, EuBinding, EuIndicative, Ontario, UsOsha],
            Jurisdiction::Us => [Project, UsOsha, Ontario, UkWel, EuBinding, EuIndicative],
        };
        let place = order.iter().position(|regime| *regime == self);
        u8::try_from(place.expect("every regime is in every order")).expect("six regimes")
    }
}

impl Family {
    /// The family in words.
    pub const fn label(self) -> &'static str {
        match self {
            Family::FuelGas => "fuel gas",
            Family::InertGas => "inert gas",
            Family::OxidisingGas => "oxidising gas",
            Family::ToxicGas => "toxic gas",
            Family::Solvent => "solvent",
            Family::Refrigerant => "refrigerant",
        }
    }
}

fn preferred(limits: &[FlammableLimit], jurisdiction: Jurisdiction) -> Option<&FlammableLimit> {
    use FlammabilityTable::{Iec, Nfpa, Other, Project, Refrigerants};
    let order = match jurisdiction {
        Jurisdiction::Eu | Jurisdiction::Uk => [Project, Iec, Refrigerants, Nfpa, Other],
        Jurisdiction::Us => [Project, Nfpa, Refrigerants, Iec, Other],
    };
    order
        .iter()
        .find_map(|table| limits.iter().find(|limit| limit.table == *table))
}

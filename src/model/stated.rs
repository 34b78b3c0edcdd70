//! Figures of substances that the designer states: of a substance of the tables in the place of
//! the published ones, or of a substance that no table has. Each with its reason.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model::detector::{Hazard, Principle};
use crate::model::ids::SubstanceId;
use crate::model::register::Entry;
use crate::model::source::Holding;
use crate::units::Unit;

/// How the key of every substance of the project's own begins; its number follows.
const KEY_PREFIX: &str = "substance-";

/// What a project states of one substance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StatedSubstance {
    pub id: SubstanceId,
    /// Key of the substance of the tables whose figures these are; `null` for a substance of the
    /// project's own.
    #[serde(default)]
    pub of: Option<String>,
    /// Of a substance of the project's own, such as "Thinner 12"; empty otherwise.
    #[serde(default)]
    pub name: String,
    /// Sum formula of a substance of the project's own, where it is known.
    #[serde(default)]
    pub formula: Option<String>,
    /// CAS number of a substance of the project's own, where it has one.
    #[serde(default)]
    pub cas: Option<String>,
    /// How a substance of the project's own is usually held; `null` where nobody said.
    #[serde(default)]
    pub holding: Option<Holding>,
    /// Why it matters; of a substance of the tables, beside what they say.
    #[serde(default)]
    pub hazards: Option<Stated<Vec<Hazard>>>,
    #[serde(default)]
    pub figures: Vec<StatedFigure>,
    #[serde(default)]
    pub gas_group: Option<Stated<GasGroup>>,
    #[serde(default)]
    pub temperature_class: Option<Stated<TemperatureClass>>,
    /// What sees it, by principle.
    #[serde(default)]
    pub sensing: Vec<StatedSensing>,
}

/// A statement with the reason or citation that the designer gives for it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stated<T> {
    pub value: T,
    /// Such as "safety data sheet of the supplier, 2024, section 9".
    pub reason: String,
}

/// A number that the designer states.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StatedFigure {
    pub figure: FigureKind,
    /// In the unit of [`FigureKind::unit`].
    pub value: f64,
    pub reason: String,
}

/// Whether a principle sees the substance, by what the designer knows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StatedSensing {
    pub principle: Principle,
    pub sees: bool,
    pub reason: String,
}

/// What number is stated.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum FigureKind {
    /// g/mol.
    MolarMass,
    /// Lower flammable limit, %vol.
    Lfl,
    /// Upper flammable limit, %vol.
    Ufl,
    /// 8-hour average, ppm.
    LongLimit,
    /// 15-minute average, ppm.
    ShortLimit,
    /// Never to be exceeded, ppm.
    CeilingLimit,
    /// Immediately dangerous to life or health, ppm.
    Idlh,
    /// Of a refrigerant, kg/m3.
    PracticalLimit,
    /// At 101325 Pa, degC.
    BoilingPoint,
    /// Over the liquid at 20 degC, Pa.
    VapourPressure,
    /// degC.
    AutoIgnition,
    /// eV.
    IonisationEnergy,
}

/// Equipment group of IEC 60079-0: a detector must be of the gas's group or a later one.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum GasGroup {
    #[serde(rename = "IIA")]
    Iia,
    #[serde(rename = "IIB")]
    Iib,
    #[serde(rename = "IIC")]
    Iic,
}

/// Temperature class of IEC 60079-0.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum TemperatureClass {
    T1,
    T2,
    T3,
    T4,
    T5,
    T6,
}

impl StatedSubstance {
    /// Nothing stated yet: of a substance of the tables, or of the project's own.
    pub fn blank(id: SubstanceId, of: Option<String>) -> Self {
        StatedSubstance {
            id,
            of,
            name: String::new(),
            formula: None,
            cas: None,
            holding: None,
            hazards: None,
            figures: Vec::new(),
            gas_group: None,
            temperature_class: None,
            sensing: Vec::new(),
        }
    }

    /// What release sources and detectors name it by: the key of the substance of the tables, or
    /// "substance-3".
    pub fn key(&self) -> String {
        match &self.of {
            Some(key) => key.clone(),
            None => format!("{KEY_PREFIX}{}", self.id),
        }
    }

    /// Whether it is a substance that no table has.
    pub fn is_own(&self) -> bool {
        self.of.is_none()
    }

    /// The substance of the project's own that `key` names, whether or not the project has it.
    pub fn id_of(key: &str) -> Option<SubstanceId> {
        let number = key.strip_prefix(KEY_PREFIX)?;
        number.parse().ok().map(SubstanceId)
    }

    /// The number stated of this kind.
    pub fn figure(&self, kind: FigureKind) -> Option<&StatedFigure> {
        self.figures.iter().find(|one| one.figure == kind)
    }

    /// Its name in a message: its own, or the key of the tables' substance.
    pub fn called(&self) -> &str {
        match &self.of {
            Some(key) => key,
            None => self.name.trim(),
        }
    }

    /// Whether nothing at all is stated.
    pub fn says_nothing(&self) -> bool {
        self.figures.is_empty()
            && self.sensing.is_empty()
            && self.hazards.is_none()
            && self.gas_group.is_none()
            && self.temperature_class.is_none()
    }
}

impl FigureKind {
    /// Every kind, in the order of a form.
    pub const ALL: [FigureKind; 12] = [
        FigureKind::MolarMass,
        FigureKind::Lfl,
        FigureKind::Ufl,
        FigureKind::LongLimit,
        FigureKind::ShortLimit,
        FigureKind::CeilingLimit,
        FigureKind::Idlh,
        FigureKind::PracticalLimit,
        FigureKind::BoilingPoint,
        FigureKind::VapourPressure,
        FigureKind::AutoIgnition,
        FigureKind::IonisationEnergy,
    ];

    /// The kind in words.
    pub const fn label(self) -> &'static str {
        match self {
            FigureKind::MolarMass => "molar mass",
            FigureKind::Lfl => "lower flammable limit",
            FigureKind::Ufl => "upper flammable limit",
            FigureKind::LongLimit => "exposure limit, 8-hour average",
            FigureKind::ShortLimit => "exposure limit, 15-minute average",
            FigureKind::CeilingLimit => "exposure limit, ceiling",
            FigureKind::Idlh => "immediately dangerous to life or health",
            FigureKind::PracticalLimit => "practical limit of a refrigerant",
            FigureKind::BoilingPoint => "boiling point",
            FigureKind::VapourPressure => "vapour pressure at 20 °C",
            FigureKind::AutoIgnition => "auto-ignition temperature",
            FigureKind::IonisationEnergy => "ionisation energy",
        }
    }

    /// Its word in a form and in the project file.
    pub const fn word(self) -> &'static str {
        match self {
            FigureKind::MolarMass => "molar_mass",
            FigureKind::Lfl => "lfl",
            FigureKind::Ufl => "ufl",
            FigureKind::LongLimit => "long_limit",
            FigureKind::ShortLimit => "short_limit",
            FigureKind::CeilingLimit => "ceiling_limit",
            FigureKind::Idlh => "idlh",
            FigureKind::PracticalLimit => "practical_limit",
            FigureKind::BoilingPoint => "boiling_point",
            FigureKind::VapourPressure => "vapour_pressure",
            FigureKind::AutoIgnition => "auto_ignition",
            FigureKind::IonisationEnergy => "ionisation_energy",
        }
    }

    /// Its unit.
    pub const fn unit(self) -> Unit {
        match self {
            FigureKind::MolarMass => Unit::GramPerMole,
            FigureKind::Lfl | FigureKind::Ufl => Unit::PercentVolume,
            FigureKind::LongLimit
            | FigureKind::ShortLimit
            | FigureKind::CeilingLimit
            | FigureKind::Idlh => Unit::Ppm,
            FigureKind::PracticalLimit => Unit::KilogramPerCubicMetre,
            FigureKind::BoilingPoint | FigureKind::AutoIgnition => Unit::Celsius,
            FigureKind::VapourPressure => Unit::Pascal,
            FigureKind::IonisationEnergy => Unit::Electronvolt,
        }
    }

    /// Least and most that it can be, in its unit.
    pub const fn range(self) -> (f64, f64) {
        match self {
            FigureKind::MolarMass => (1.0, 1000.0),
            FigureKind::Lfl => (0.01, 99.0),
            FigureKind::Ufl => (0.02, 100.0),
            FigureKind::LongLimit
            | FigureKind::ShortLimit
            | FigureKind::CeilingLimit
            | FigureKind::Idlh => (1e-4, 1e6),
            FigureKind::PracticalLimit => (1e-6, 10.0),
            FigureKind::BoilingPoint => (-272.0, 1000.0),
            FigureKind::VapourPressure => (1e-3, 2e7),
            FigureKind::AutoIgnition => (20.0, 1200.0),
            FigureKind::IonisationEnergy => (3.0, 25.0),
        }
    }
}

impl GasGroup {
    /// Every group, the least demanding first.
    pub const ALL: [GasGroup; 3] = [GasGroup::Iia, GasGroup::Iib, GasGroup::Iic];

    /// As it is written.
    pub const fn label(self) -> &'static str {
        match self {
            GasGroup::Iia => "IIA",
            GasGroup::Iib => "IIB",
            GasGroup::Iic => "IIC",
        }
    }
}

impl TemperatureClass {
    /// Every class, the least demanding first.
    pub const ALL: [TemperatureClass; 6] = [
        TemperatureClass::T1,
        TemperatureClass::T2,
        TemperatureClass::T3,
        TemperatureClass::T4,
        TemperatureClass::T5,
        TemperatureClass::T6,
    ];

    /// As it is written.
    pub const fn label(self) -> &'static str {
        match self {
            TemperatureClass::T1 => "T1",
            TemperatureClass::T2 => "T2",
            TemperatureClass::T3 => "T3",
            TemperatureClass::T4 => "T4",
            TemperatureClass::T5 => "T5",
            TemperatureClass::T6 => "T6",
        }
    }

    /// Highest surface temperature of equipment of the class, degC (IEC 60079-0, from memory).
    pub const fn max_surface_celsius(self) -> f64 {
        match self {
            TemperatureClass::T1 => 450.0,
            TemperatureClass::T2 => 300.0,
            TemperatureClass::T3 => 200.0,
            TemperatureClass::T4 => 135.0,
            TemperatureClass::T5 => 100.0,
            TemperatureClass::T6 => 85.0,
        }
    }
}

impl Entry for StatedSubstance {
    type Id = SubstanceId;
    const NOUN: &'static str = "substance";
    fn id(&self) -> SubstanceId {
        self.id
    }
}

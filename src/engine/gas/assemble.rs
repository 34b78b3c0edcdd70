//! Builds the substances from the tables. A fault in a table stops the program at first use, and
//! the tests before that.

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::engine::gas::atoms::AtomicWeights;
use crate::engine::gas::density;
use crate::engine::gas::substance::{
    Antoine, AntoineForm, Component, Critical, ExposureLimit, Family, Figure, FlammabilityTable,
    FlammableLimit, GasGroup, PolarClass, Regime, SecondVirial, Substance, SubstanceOrigin,
    TemperatureClass,
};
use crate::engine::gas::table::{self, Row, Table};
use crate::engine::gas::vapour;
use crate::model::{Citation, Holding};
use crate::units::Unit;

/// Every substance in the order of the identity table.
pub fn all() -> Vec<Substance> {
    let tables = Loaded::read();
    let mut all: Vec<Substance> = table::IDENTITY
        .rows()
        .iter()
        .filter_map(|row| pure(row, &tables))
        .collect();
    let mixtures: Vec<Substance> = table::IDENTITY
        .rows()
        .iter()
        .filter(|row| row.stated("formula").is_none())
        .map(|row| mixture(row, &tables, &all))
        .collect();
    all.extend(mixtures);
    all
}

/// The tables that are keyed by substance, read once.
struct Loaded {
    weights: AtomicWeights,
    iec: Vec<Row>,
    nfpa: Vec<Row>,
    refrigerants: Vec<Row>,
    appliances: Vec<Row>,
    silane: Vec<Row>,
    pocket_guide: Vec<Row>,
    classification: Vec<Row>,
    safety_classes: Vec<Row>,
    boiling_points: Vec<Row>,
    antoine: [(AntoineForm, Vec<Row>); 2],
    critical: [Vec<Row>; 3],
    measured_virial: Vec<Row>,
    ionisation: Vec<Row>,
    cells: Vec<Row>,
    limits: Vec<(Regime, Vec<Row>)>,
}

impl Loaded {
    fn read() -> Self {
        let limits: [(Regime, &Table); 7] = [
            (Regime::EuIndicative, &table::EU_INDICATIVE),
            (Regime::EuBinding, &table::EU_CARCINOGENS),
            (Regime::UkWel, &table::UK_WELS),
            (Regime::UsOsha, &table::US_SUBSTANCES),
            (Regime::UsOsha, &table::US_Z1),
            (Regime::UsOsha, &table::US_Z2),
            (Regime::Ontario, &table::ONTARIO),
        ];
        Loaded {
            weights: AtomicWeights::read(),
            iec: table::IEC_FLAMMABLE.rows(),
            nfpa: table::NFPA_FLAMMABLE.rows(),
            refrigerants: table::REFRIGERANT_LIMITS.rows(),
            appliances: table::APPLIANCE_REFRIGERANTS.rows(),
            silane: table::SILANE.rows(),
            pocket_guide: table::POCKET_GUIDE.rows(),
            classification: table::CLASSIFICATION.rows(),
            safety_classes: table::SAFETY_CLASSES.rows(),
            boiling_points: table::BOILING_POINTS.rows(),
            antoine: [
                (AntoineForm::LnKilopascal, table::ANTOINE_LN_KPA.rows()),
                (AntoineForm::Log10Mmhg, table::ANTOINE_LOG_MMHG.rows()),
            ],
            critical: [
                table::CRITICAL.rows(),
                table::CRITICAL_REFRIGERANTS.rows(),
                table::CRITICAL_FLUIDS.rows(),
            ],
            measured_virial: table::MEASURED_VIRIAL.rows(),
            ionisation: table::IONISATION.rows(),
            cells: table::CELLS.rows(),
            limits: limits
                .into_iter()
                .map(|(regime, table)| (regime, table.rows()))
                .collect(),
        }
    }
}

fn pure(row: &Row, tables: &Loaded) -> Option<Substance> {
    let formula = row.stated("formula")?;
    let mass = tables.weights.molar_mass(formula);
    let mass = mass.unwrap_or_else(|| panic!("the formula {formula} is of atoms in the table"));
    let weights = "IUPAC CIAAW, Standard atomic weights of the elements 2021";
    let molar_mass = Figure {
        value: mass,
        unit: Unit::GramPerMole,
        citation: Citation::from_memory(weights, "sum over the formula"),
    };
    Some(described(row, tables, molar_mass, Vec::new()))
}

fn mixture(row: &Row, tables: &Loaded, parts: &[Substance]) -> Substance {
    let key = row.key();
    let (composition, citation) = composition(key, parts);
    let mass_of = |component: &Component| part(parts, &component.key).molar_mass.value;
    let value = composition
        .iter()
        .map(|part| part.mole_fraction * mass_of(part))
        .sum();
    let molar_mass = Figure {
        value,
        unit: Unit::GramPerMole,
        citation,
    };
    let mut known = described(row, tables, molar_mass, composition);
    let all_burn = || {
        let mut members = known.composition.iter();
        members.all(|member| !part(parts, &member.key).lfl.is_empty())
    };
    if known.lfl.is_empty() && (known.family == Family::FuelGas || all_burn()) {
        limits_of_parts(&mut known, parts);
        let members = || {
            known
                .composition
                .iter()
                .map(|member| part(parts, &member.key))
        };
        known.gas_group = members().filter_map(|part| part.gas_group).max();
        known.temperature_class = members().filter_map(|part| part.temperature_class).max();
        known.nec_group = members().filter_map(|part| part.nec_group).min();
    }
    known
}

/// A mixture of the tables made anew of `parts`, among them such as a project states: its molar
/// mass and the limits that follow from its parts. Limits that a table states stay.
pub fn remade(mut known: Substance, parts: &[Substance]) -> Substance {
    let mass_of = |component: &Component| part(parts, &component.key).molar_mass.value;
    known.molar_mass.value = known
        .composition
        .iter()
        .map(|part| part.mole_fraction * mass_of(part))
        .sum();
    let of_parts = |limit: &FlammableLimit| match &limit.figure.citation {
        Citation::Published { clause, .. } => clause == OVER_PARTS,
        _ => false,
    };
    if known.lfl.iter().any(of_parts) {
        known.lfl.retain(|limit| !of_parts(limit));
        known.ufl.retain(|limit| !of_parts(limit));
        limits_of_parts(&mut known, parts);
    }
    for component in &mut known.composition {
        let part = part(parts, &component.key);
        let as_in_tables = part.origin == SubstanceOrigin::Tables;
        component.stated = (!as_in_tables).then(|| Box::new(part.clone()));
    }
    known
}

/// How the clause of a limit reads that follows from the parts.
const OVER_PARTS: &str = "Le Chatelier's rule over the parts that burn";

/// Flammable limits by Le Chatelier's rule, one a table.
fn limits_of_parts(known: &mut Substance, parts: &[Substance]) {
    for table in [FlammabilityTable::Iec, FlammabilityTable::Nfpa] {
        let lower = le_chatelier(&known.composition, parts, table, |part| &part.lfl);
        let upper = le_chatelier(&known.composition, parts, table, |part| &part.ufl);
        known.lfl.extend(lower);
        known.ufl.extend(upper);
    }
}

/// Mole fractions of a mixture; mass fractions are converted over the molar masses.
fn composition(key: &str, parts: &[Substance]) -> (Vec<Component>, Citation) {
    let by_mole = table::MIXTURES.rows_of(key);
    let by_mass = table::BLENDS.rows_of(key);
    let rows = if by_mole.is_empty() {
        &by_mass
    } else {
        &by_mole
    };
    let first = rows
        .first()
        .unwrap_or_else(|| panic!("mixture {key} has a composition"));
    let moles: Vec<(&'static str, f64)> = rows
        .iter()
        .map(|row| {
            let component = row.text("component");
            let moles = match by_mole.is_empty() {
                true => row.required("mass_fraction") / part(parts, component).molar_mass.value,
                false => row.required("mole_fraction"),
            };
            (component, moles)
        })
        .collect();
    let sum: f64 = moles.iter().map(|(_, moles)| moles).sum();
    let fractions = moles.into_iter();
    let fractions = fractions.map(|(key, moles)| Component {
        key: Cow::Borrowed(key),
        mole_fraction: moles / sum,
        stated: None,
    });
    (fractions.collect(), first.citation())
}

fn part<'a>(parts: &'a [Substance], key: &str) -> &'a Substance {
    let found = parts.iter().find(|part| part.key == key);
    found.unwrap_or_else(|| panic!("component {key} is in the identity table"))
}

/// Le Chatelier's rule over one table; `None` where a burning part has no figure in it.
fn le_chatelier(
    composition: &[Component],
    parts: &[Substance],
    table: FlammabilityTable,
    limits: fn(&Substance) -> &Vec<FlammableLimit>,
) -> Option<FlammableLimit> {
    let burning = composition
        .iter()
        .filter(|member| !part(parts, &member.key).lfl.is_empty());
    let mut terms = Vec::new();
    let mut works = Vec::new();
    for member in burning {
        let limits = limits(part(parts, &member.key));
        let own = |limit: &&FlammableLimit| limit.table == FlammabilityTable::Project;
        let listed = || limits.iter().find(|limit| limit.table == table);
        let limit = limits.iter().find(own).or_else(listed)?;
        terms.push(member.mole_fraction / limit.figure.value);
        works.push(&limit.figure.citation);
    }
    let published = works.into_iter().find_map(|citation| match citation {
        Citation::Published { work, .. } => Some(work.clone()),
        _ => None,
    });
    if terms.is_empty() {
        return None;
    }
    let citation = Citation::Published {
        work: published.unwrap_or(Cow::Borrowed("Figures stated for this project")),
        clause: Cow::Borrowed(OVER_PARTS),
        from_memory: true,
    };
    let figure = Figure {
        value: density::le_chatelier(&terms),
        unit: Unit::PercentVolume,
        citation,
    };
    Some(FlammableLimit { table, figure })
}

fn described(
    row: &Row,
    tables: &Loaded,
    molar_mass: Figure,
    composition: Vec<Component>,
) -> Substance {
    let key = row.key();
    let nature = row.list("nature");
    let is = |word: &str| nature.contains(&word);
    let iec = of(&tables.iec, key);
    let (lfl, ufl) = flammable(key, tables, molar_mass.value);
    let guide = of(&tables.pocket_guide, key);
    let refrigerant = of(&tables.refrigerants, key);
    let boiling_point = of(&tables.boiling_points, key);
    let group = iec.and_then(|row| row.stated("gas_group"));
    let class = iec.and_then(|row| row.stated("temperature_class"));
    Substance {
        key: Cow::Borrowed(key),
        cas: row.stated("cas").map(Cow::Borrowed),
        name: Cow::Borrowed(row.text("name")),
        synonyms: row.list("synonyms"),
        formula: row.stated("formula").map(Cow::Borrowed),
        composition,
        family: family(row.text("family")),
        usual_holdings: row.list("held").into_iter().map(holding).collect(),
        molar_mass,
        lfl,
        ufl,
        limits: tables
            .limits
            .iter()
            .filter_map(|(regime, rows)| limit(key, *regime, rows))
            .collect(),
        idlh: guide.and_then(|row| figure(row, "idlh_ppm", Unit::Ppm)),
        practical_limit: refrigerant
            .and_then(|row| figure(row, "practical_limit_kg_m3", Unit::KilogramPerCubicMetre)),
        safety_class: of(&tables.safety_classes, key).map(|row| row.text("safety_class")),
        antoine: antoine(key, tables),
        critical: critical(key, tables),
        stated_vapour: None,
        boiling_point: boiling_point
            .and_then(|row| figure(row, "boiling_point_celsius", Unit::Celsius)),
        melting_point: boiling_point
            .and_then(|row| figure(row, "melting_point_celsius", Unit::Celsius)),
        auto_ignition: iec.and_then(|row| figure(row, "ait_celsius", Unit::Celsius)),
        ionisation: of(&tables.ionisation, key)
            .and_then(|row| figure(row, "electronvolts", Unit::Electronvolt)),
        cell: of(&tables.cells, key).map(|row| row.text("also_answers_to")),
        gas_group: group.map(gas_group),
        nec_group: of(&tables.nfpa, key).and_then(|row| row.stated("gas_group")),
        temperature_class: class.map(temperature_class),
        inhalation_statements: of(&tables.classification, key)
            .map_or(Vec::new(), |row| row.list("inhalation_statements")),
        burns: is("flammable") || is("pyrophoric"),
        pyrophoric: is("pyrophoric"),
        asphyxiant: is("asphyxiant"),
        oxidiser: is("oxidiser"),
        enriches: is("enriches"),
        harms: is("toxic"),
        associates: is("associates"),
        sensing: Vec::new(),
        origin: SubstanceOrigin::Tables,
    }
}

fn of<'a>(rows: &'a [Row], key: &str) -> Option<&'a Row> {
    rows.iter().find(|row| row.key() == key)
}

fn figure(row: &Row, column: &str, unit: Unit) -> Option<Figure> {
    row.number(column).map(|value| Figure {
        value,
        unit,
        citation: row.citation(),
    })
}

/// Lower and upper limits of a substance from every table that states them.
fn flammable(
    key: &str,
    tables: &Loaded,
    molar_mass: f64,
) -> (Vec<FlammableLimit>, Vec<FlammableLimit>) {
    let percent = [
        (FlammabilityTable::Iec, &tables.iec),
        (FlammabilityTable::Nfpa, &tables.nfpa),
        (FlammabilityTable::Other, &tables.silane),
        (FlammabilityTable::Other, &tables.pocket_guide),
    ];
    let read = |column: &str| -> Vec<FlammableLimit> {
        let found = percent.iter().filter_map(|(table, rows)| {
            let figure = figure(of(rows, key)?, column, Unit::PercentVolume)?;
            Some(FlammableLimit {
                table: *table,
                figure,
            })
        });
        found.collect()
    };
    let (mut lfl, ufl) = (read("lfl_percent"), read("ufl_percent"));
    for rows in [&tables.refrigerants, &tables.appliances] {
        let stated = of(rows, key).and_then(|row| Some((row, row.number("lfl_kg_m3")?)));
        if let Some((row, kilograms)) = stated {
            let value = density::percent_from_kg_per_m3(kilograms, molar_mass);
            let citation = row.citation();
            let figure = Figure {
                value,
                unit: Unit::PercentVolume,
                citation,
            };
            lfl.push(FlammableLimit {
                table: FlammabilityTable::Refrigerants,
                figure,
            });
        }
    }
    (lfl, ufl)
}

fn limit(key: &str, regime: Regime, rows: &[Row]) -> Option<ExposureLimit> {
    let row = of(rows, key)?;
    Some(ExposureLimit {
        regime,
        twa_ppm: row.number("twa_ppm"),
        stel_ppm: row.number("stel_ppm"),
        ceiling_ppm: row.number("ceiling_ppm"),
        citation: row.citation(),
        stated: BTreeMap::new(),
    })
}

fn antoine(key: &str, tables: &Loaded) -> Option<Antoine> {
    tables.antoine.iter().find_map(|(form, rows)| {
        let row = of(rows, key)?;
        Some(Antoine {
            form: *form,
            a: row.required("a"),
            b: row.required("b"),
            c: row.required("c"),
            min_celsius: row.required("min_celsius"),
            max_celsius: row.required("max_celsius"),
            citation: row.citation(),
        })
    })
}

/// Critical constants; an acentric factor the table leaves open follows from the boiling point.
fn critical(key: &str, tables: &Loaded) -> Option<Critical> {
    let row = tables.critical.iter().find_map(|rows| of(rows, key))?;
    let temperature = row.required("critical_kelvin");
    let pressure = row.required("critical_kilopascals") * 1e3;
    let stated = row.number("acentric");
    let boils = of(&tables.boiling_points, key).map(|row| row.required("boiling_point_celsius"));
    let acentric = stated.or_else(|| {
        let boils = boils? + density::ZERO_CELSIUS;
        let inputs = [boils, density::ATMOSPHERE, temperature, pressure];
        Some((vapour::ACENTRIC.compute)(&inputs))
    });
    Some(Critical {
        temperature,
        pressure,
        acentric: acentric?,
        acentric_stated: stated.is_some(),
        dipole: row.number("dipole_debye").unwrap_or(0.0),
        polar: polar_class(row.text("polar_class")),
        second_virial: of(&tables.measured_virial, key).map(measured_virial),
        citation: row.citation(),
    })
}

fn measured_virial(row: &Row) -> SecondVirial {
    SecondVirial {
        a: row.required("a"),
        b: row.required("b"),
        c: row.required("c"),
        min_kelvin: row.required("min_kelvin"),
        max_kelvin: row.required("max_kelvin"),
        citation: row.citation(),
    }
}

fn polar_class(text: &str) -> PolarClass {
    match text {
        "" => PolarClass::None,
        "oxygenated" => PolarClass::Oxygenated,
        "halide" => PolarClass::Halide,
        "alkanol" => PolarClass::Alkanol,
        "methanol" => PolarClass::Methanol,
        _ => panic!("critical constants: {text:?} is a polar class"),
    }
}

fn family(text: &str) -> Family {
    match text {
        "fuel gas" => Family::FuelGas,
        "inert gas" => Family::InertGas,
        "oxidising gas" => Family::OxidisingGas,
        "toxic gas" => Family::ToxicGas,
        "solvent" => Family::Solvent,
        "refrigerant" => Family::Refrigerant,
        _ => panic!("identity table: {text:?} is a family"),
    }
}

fn holding(text: &str) -> Holding {
    match text {
        "gas" => Holding::Gas,
        "cryogenic liquid" => Holding::CryogenicLiquid,
        "liquefied gas" => Holding::LiquefiedGas,
        "liquid" => Holding::Liquid,
        "flue gas" => Holding::FlueGas,
        _ => panic!("identity table: {text:?} is a way of holding"),
    }
}

fn gas_group(text: &str) -> GasGroup {
    match text {
        "IIA" => GasGroup::Iia,
        "IIB" => GasGroup::Iib,
        "IIC" => GasGroup::Iic,
        _ => panic!("flammability table: {text:?} is a gas group"),
    }
}

fn temperature_class(text: &str) -> TemperatureClass {
    match text {
        "T1" => TemperatureClass::T1,
        "T2" => TemperatureClass::T2,
        "T3" => TemperatureClass::T3,
        "T4" => TemperatureClass::T4,
        "T5" => TemperatureClass::T5,
        "T6" => TemperatureClass::T6,
        _ => panic!("flammability table: {text:?} is a temperature class"),
    }
}

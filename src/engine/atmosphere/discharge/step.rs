//! One source at work: figures stated or assumed, formulas with their validity, what is missing.

use crate::engine::atmosphere::discharge::inventory::COMPRESSIBILITY;
use crate::engine::atmosphere::discharge::orifice;
use crate::engine::atmosphere::discharge::properties::properties;
use crate::engine::atmosphere::discharge::rules;
use crate::engine::finding::{Finding, Severity};
use crate::engine::formula::{Formula, Rule};
use crate::engine::gas::air::RoomAir;
use crate::engine::gas::density::{self, KELVIN};
use crate::engine::gas::state::relative_to_room;
use crate::engine::gas::{Figure, Substance, vapour};
use crate::engine::results::Question;
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis::{self, BasisItem};
use crate::model::{Citation, Holding, ItemKey, Project, ReleaseSource};
use crate::units::Unit;

/// Pressure, Pa, above which an ideal gas is worth a remark.
const IDEAL_TO: f64 = 2e6;

/// A source while its discharge is worked out.
pub(super) struct Step<'a> {
    pub project: &'a Project,
    pub source: &'a ReleaseSource,
    pub substance: &'a Substance,
    /// How it behaves as it comes out.
    pub held: Holding,
    pub air: RoomAir,
    /// Whether single figures that are not known are asked for.
    pub asks: bool,
    pub trace: &'a mut Trace,
    pub findings: &'a mut Vec<Finding>,
    pub questions: &'a mut Vec<Question>,
}

impl Step<'_> {
    /// A formula, with a warning where an input lies outside its validity.
    pub fn eval(&mut self, formula: &Formula, inputs: &[Quantity]) -> Quantity {
        let result = self.trace.eval(formula, inputs);
        let outside = self.trace.entry(result.why);
        if let Some(outside) = outside.and_then(|entry| entry.outside.clone()) {
            let message = format!(
                "{}: {} is outside its validity: {outside}.",
                self.source.name, formula.title
            );
            let remedy = "Correct the figure, or state the flow that was measured or calculated \
                          elsewhere.";
            self.find(formula.id, Severity::Warning, message, remedy);
        }
        result
    }

    /// A figure somebody stated, or the assumption; it is asked for where it is not known.
    pub fn ask(&mut self, what: &str, stated: Option<f64>, item: &BasisItem) -> Quantity {
        let question = format!("What is the {what} of {}?", self.source.name);
        self.ask_so(what, stated, item, question)
    }

    /// The same, with a question of its own.
    pub fn ask_so(
        &mut self,
        what: &str,
        stated: Option<f64>,
        item: &BasisItem,
        question: String,
    ) -> Quantity {
        let known = stated.is_some();
        let title = format!("{what} of {}", self.source.name);
        let value = self.trace.stated_or(self.project, title, stated, item);
        if self.asks && !known {
            self.questions.push(Question {
                about: ItemKey::Source(self.source.id),
                question,
                assumed: value,
            });
        }
        value
    }

    /// A figure somebody stated, or the assumption, without a question.
    pub fn take(&mut self, what: &str, stated: Option<f64>, item: &BasisItem) -> Quantity {
        let title = format!("{what} of {}", self.source.name);
        self.trace.stated_or(self.project, title, stated, item)
    }

    /// An assumption.
    pub fn basis(&mut self, item: &BasisItem) -> Quantity {
        self.trace.basis(&self.project.basis, item)
    }

    /// A figure somebody stated.
    pub fn stated(&mut self, what: &str, value: f64, unit: Unit) -> Quantity {
        let title = format!("{what} of {}", self.source.name);
        self.trace.given(title, value, unit, Citation::Designer)
    }

    /// A temperature, degC: as stated, or that of the room.
    pub fn temperature(&mut self, stated: Option<f64>) -> Quantity {
        match stated {
            Some(celsius) => self.stated("temperature", celsius, Unit::Celsius),
            None => self.air.temperature,
        }
    }

    /// A figure of the tables.
    pub fn figure(&mut self, what: &str, figure: &Figure) -> Quantity {
        let title = format!("{what} of {}", self.substance.name);
        self.trace
            .given(title, figure.value, figure.unit, figure.citation.clone())
    }

    /// A figure of the tables, or what the rule takes instead, with a finding that names the datum.
    pub fn figure_or(
        &mut self,
        what: &str,
        figure: Option<&Figure>,
        rule: &Rule,
        value: f64,
        unit: Unit,
    ) -> Quantity {
        match figure {
            Some(figure) => self.figure(what, figure),
            None => {
                self.missing(what, rule);
                self.trace.rule(rule, value, unit, &[])
            }
        }
    }

    /// Says that a datum is not known and what is done instead.
    pub fn missing(&mut self, what: &str, rule: &Rule) {
        let message = format!(
            "{}: the {what} of {} is not known here. {}",
            self.source.name, self.substance.name, rule.statement
        );
        let remedy = "State the flow that was measured or calculated elsewhere, or accept the \
                      conservative figure.";
        self.find(rule.id, Severity::Note, message, remedy);
    }

    /// A finding about this source.
    pub fn find(&mut self, id: &str, severity: Severity, message: String, remedy: &str) {
        let id = format!("{id}/source-{}", self.source.id);
        if self.findings.iter().any(|known| known.id == id) {
            return;
        }
        let finding = Finding::new(id, severity, message, remedy);
        let about = ItemKey::Source(self.source.id);
        self.findings
            .push(finding.about(about).at(self.source.floor, self.source.at));
    }

    /// g/mol.
    pub fn molar_mass(&mut self) -> Quantity {
        let mass = &self.substance.molar_mass;
        self.figure("Molar mass", &mass.clone())
    }

    /// m3/s at room conditions of a flow in kg/s.
    pub fn gas_flow(&mut self, mass_flow: Quantity) -> Quantity {
        let mass = self.molar_mass();
        let inputs = [mass_flow, self.air.kelvin, self.air.pressure, mass];
        self.eval(&orifice::GAS_FLOW, &inputs)
    }

    /// Density beside the room's air of the gas at `celsius`.
    pub fn relative_density(&mut self, celsius: Quantity) -> Quantity {
        relative_to_room(self.trace, self.substance, celsius, &self.air)
    }

    /// Density beside the room's air of a vapour over its liquid, as an ideal gas.
    pub fn vapour_density(&mut self, celsius: Quantity) -> Quantity {
        let pure = density::relative_density(self.trace, self.substance);
        let kelvin = self.trace.eval(&KELVIN, &[celsius]);
        let inputs = [pure, self.air.kelvin, kelvin];
        self.trace.eval(&density::RELEASE_DENSITY, &inputs)
    }

    /// Density beside the room's air of what lies over a liquid that does not boil: air as full of
    /// its vapour as it can be.
    pub fn saturated_density(&mut self, celsius: Quantity) -> Quantity {
        let pressure = self.air.pressure;
        match vapour::pool_vapour(self.trace, self.substance, celsius, pressure) {
            Ok(pool) => pool.relative_density,
            Err(_) => self.vapour_density(celsius),
        }
    }

    /// Temperature at which a boiling liquid gives its vapour, degC; the room's where not known.
    pub fn boiling_point(&mut self) -> Quantity {
        match &self.substance.boiling_point {
            Some(boils) if boils.value < self.air.temperature.value => {
                self.figure("Boiling point", &boils.clone())
            }
            _ => self.air.temperature,
        }
    }

    /// Ratio of heat capacities, of a mixture from its parts.
    pub fn heat_capacity_ratio(&mut self) -> Quantity {
        let own = properties(&self.substance.key).heat_capacity_ratio.as_ref();
        if let Some(figure) = own {
            return self.figure("Ratio of heat capacities", figure);
        }
        if let Some(terms) = self.heat_capacity_terms() {
            return self.eval(&orifice::MIXTURE_RATIO, &terms);
        }
        let assumed = self.basis(&basis::HEAT_CAPACITY_RATIO);
        let message = format!(
            "{}: the ratio of heat capacities of {} is not known here; {} is taken, which gives \
             the larger flow for a gas of larger molecules.",
            self.source.name, self.substance.name, assumed.value
        );
        let remedy = "Nothing need be done: the flow is at most 10 % too large.";
        self.find(
            "discharge.heat_capacity_ratio",
            Severity::Note,
            message,
            remedy,
        );
        assumed
    }

    fn heat_capacity_terms(&mut self) -> Option<Vec<Quantity>> {
        let parts = &self.substance.composition;
        let known = |key: &str| properties(key).heat_capacity_ratio.as_ref();
        if parts.is_empty() || parts.iter().any(|part| known(&part.key).is_none()) {
            return None;
        }
        let mut terms = Vec::new();
        for part in parts {
            let figure = known(&part.key)?;
            let title = format!("Share in {}", self.substance.name);
            let (share, unit) = (100.0 * part.mole_fraction, Unit::PercentVolume);
            let share = self
                .trace
                .given(title, share, unit, figure.citation.clone());
            let ratio = self.figure("Ratio of heat capacities of a part", figure);
            terms.push(self.eval(&orifice::HEAT_CAPACITY_TERM, &[share, ratio]));
        }
        Some(terms)
    }

    /// Compressibility factor at `pressure` (Pa) and `kelvin`; 1 where nothing is known.
    pub fn compressibility(&mut self, pressure: Quantity, kelvin: Quantity) -> Quantity {
        let critical = self.substance.critical.as_ref();
        let Some(critical) = critical.filter(|_| !self.substance.associates) else {
            if pressure.value > IDEAL_TO {
                self.missing("critical constants", &rules::IDEAL_GAS);
            }
            let inputs = [("absolute pressure", pressure)];
            return self.trace.rule(&rules::IDEAL_GAS, 1.0, Unit::One, &inputs);
        };
        let (cited, name) = (critical.citation.clone(), &self.substance.name);
        let mut of = |what: &str, value, unit| {
            self.trace
                .given(format!("{what} of {name}"), value, unit, cited.clone())
        };
        let t = of("Critical temperature", critical.temperature, Unit::Kelvin);
        let p = of("Critical pressure", critical.pressure, Unit::Pascal);
        let w = of("Acentric factor", critical.acentric, Unit::One);
        self.eval(&COMPRESSIBILITY, &[pressure, kelvin, t, p, w])
    }
}

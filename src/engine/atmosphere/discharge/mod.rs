//! What comes out of a release source: how much gas, how fast, how dense, until when.
//!
//! Formulas of IEC 60079-10-1 annex B, EN 62485-2 and the gas laws; each cites its own. Where
//! nobody knows, the assumption of the basis of design, and a question; where no table knows, a
//! conservative rule, and a finding that names the datum. Must not know of the room.

mod appliance;
mod battery;
mod inventory;
mod leak;
mod orifice;
mod piped;
mod pool;
mod properties;
mod rules;
mod step;
#[cfg(test)]
mod tests;
mod vessel;

use std::collections::BTreeMap;

use crate::engine::atmosphere::Discharge;
use crate::engine::finding::{Finding, Severity};
use crate::engine::formula::Formula;
use crate::engine::gas::air::RoomAir;
use crate::engine::gas::density::{self, KELVIN};
use crate::engine::gas::{Family, Substance, Substances};
use crate::engine::results::{BatteryAir, Question};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::release::*;
use crate::model::{Holding, ItemKey, Project, Release, ReleaseSource, SourceId};
use crate::units::Unit;
use step::Step;

pub use properties::{Properties, properties};
pub use rules::RULES;
pub use vessel::charge_assumed;

/// Every formula of discharge, by file.
pub static FORMULAS: &[&[&Formula]] = &[
    orifice::FORMULAS,
    inventory::FORMULAS,
    pool::FORMULAS,
    battery::FORMULAS,
    appliance::FORMULAS,
];

/// Below this boiling point, degC, a liquid is held cold, not under pressure.
const CRYOGENIC_BELOW_C: f64 = -90.0;

/// What comes out of the sources `of` the project; those of an unknown substance are left out.
pub fn discharges(
    project: &Project,
    of: &[&ReleaseSource],
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
    questions: &mut Vec<Question>,
) -> BTreeMap<SourceId, Discharge> {
    let substances = Substances::of(project);
    let mut discharges = BTreeMap::new();
    for source in of {
        if let Some(substance) = substances.find(&source.substance) {
            let found = discharge(project, source, &substance, trace, findings, questions);
            discharges.insert(source.id, found);
        }
    }
    discharges
}

/// What comes out of `source`, with findings on what is not known and questions for the client.
pub fn discharge(
    project: &Project,
    source: &ReleaseSource,
    substance: &Substance,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
    questions: &mut Vec<Question>,
) -> Discharge {
    let air = RoomAir::of(trace, &project.basis);
    let held = match source.holding {
        // Propane at a boiler comes through its regulator.
        None if piped::burns_in_boiler_room(project, source, substance) => Holding::Gas,
        _ => held(source, substance, air.temperature.value),
    };
    let mut step = Step {
        project,
        source,
        substance,
        held,
        air,
        asks: true,
        trace,
        findings,
        questions,
    };
    match &source.release {
        Some(Release::Flow(KnownFlow { rate: None, .. })) | None => step.unknown(),
        Some(release) => match impossible(release) {
            Some(figure) => step.instead_of(&figure),
            None => step.stated_release(release),
        },
    }
}

/// A figure that no edit lets in, but code may.
fn impossible(release: &Release) -> Option<Limited> {
    let figures = release.figures().into_iter();
    let mut wrong = figures.filter(|it| !(it.least <= it.value && it.value <= it.most));
    wrong.next()
}

/// The air that the cells of a battery require; what is not known is taken as in [`discharge`].
pub fn battery_air(
    project: &Project,
    source: &ReleaseSource,
    of: &Battery,
    trace: &mut Trace,
) -> BatteryAir {
    let title = |what: &str| format!("{what} of {}", source.name);
    let number = of.cells.map(f64::from);
    let (cells, amount) = (&basis::CELLS_UNKNOWN, &basis::CAPACITY_UNKNOWN);
    let cells = trace.stated_or(project, title("number of cells"), number, cells);
    let capacity = trace.stated_or(project, title("capacity"), of.capacity, amount);
    let cell = of.cell.unwrap_or(Cell::VentedLead);
    let charge = of.charge.unwrap_or(ChargeMode::Boost);
    let current = battery::gas_current(trace, cell, charge);
    let inputs = [cells, current, capacity];
    let airflow = trace.eval(&battery::AIRFLOW, &inputs);
    BatteryAir {
        hydrogen: trace.eval(&battery::HYDROGEN, &inputs),
        best_estimate: trace.eval(&battery::HYDROGEN_BEST_ESTIMATE, &inputs),
        airflow,
        opening: trace.eval(&battery::OPENING, &[airflow]),
    }
}

/// kg of the refrigerant that a room of `volume` (m3) may hold: practical limit times volume (EN
/// 378-1); `None` where no table states its practical limit.
pub fn charge_limit(
    substance: &Substance,
    volume: Quantity,
    trace: &mut Trace,
) -> Option<Quantity> {
    let limit = substance.practical_limit.as_ref()?;
    let title = format!("Practical limit of {}", substance.name);
    let limit = trace.given(title, limit.value, limit.unit, limit.citation.clone());
    Some(trace.eval(&inventory::CHARGE_LIMIT, &[limit, volume]))
}

/// How it comes out: as stated, else the likeliest way; a "liquid" that boils below room
/// temperature is held as one that boils.
fn held(source: &ReleaseSource, substance: &Substance, room_c: f64) -> Holding {
    let likeliest = substance.usual_holdings.first().copied();
    let held = source.holding.or(likeliest).unwrap_or(Holding::Gas);
    let Some(boils) = substance.boiling_point.as_ref().map(|it| it.value) else {
        return held;
    };
    match held {
        Holding::Liquid if boils < CRYOGENIC_BELOW_C => Holding::CryogenicLiquid,
        Holding::Liquid if boils < room_c => Holding::LiquefiedGas,
        Holding::CryogenicLiquid | Holding::LiquefiedGas if boils >= room_c => Holding::Liquid,
        _ => held,
    }
}

impl Step<'_> {
    fn stated_release(&mut self, release: &Release) -> Discharge {
        match release {
            Release::Flow(flow) => match flow.rate {
                Some(rate) => self.known_flow(flow, rate),
                None => self.unknown(),
            },
            Release::Leak(leak) => self.leak(leak),
            Release::LowPressure(pipe) => self.low_pressure(pipe),
            Release::Cylinder(cylinder) => self.cylinder(cylinder),
            Release::Dewar(dewar) => self.dewar(dewar),
            Release::Spill(spill) => self.spill(spill),
            Release::Battery(battery) => self.battery(battery),
            Release::Charge(charge) => self.charge(charge),
        }
    }

    /// What is taken where a figure that is stated cannot be.
    fn instead_of(&mut self, figure: &Limited) -> Discharge {
        let message = format!(
            "{}: the {} is stated as {} {}, which cannot be (from {} to {}); the release is taken \
             as not stated.",
            self.source.name, figure.name, figure.value, figure.unit, figure.least, figure.most
        );
        let remedy = "Correct the figure, or leave it unknown.";
        let id = "discharge.impossible";
        self.find(id, Severity::Warning, message, remedy);
        self.unknown()
    }

    /// The conservative release of its holding, and one question.
    fn unknown(&mut self) -> Discharge {
        let leak = Release::Leak(Leak {
            joint: Some(Joint::SmallBore),
            ..Leak::default()
        });
        let refrigerant = self.substance.family == Family::Refrigerant;
        let (rule, release) = match self.held {
            Holding::Gas if self.is_piped_fuel() => {
                let appliance = Release::LowPressure(LowPressure::default());
                (&rules::UNKNOWN_APPLIANCE, appliance)
            }
            Holding::Gas => (&rules::UNKNOWN_GAS, leak),
            Holding::LiquefiedGas if refrigerant => {
                let charge = Release::Charge(RefrigerantCharge::default());
                (&rules::UNKNOWN_CHARGE, charge)
            }
            Holding::LiquefiedGas => (&rules::UNKNOWN_LIQUEFIED, leak),
            Holding::CryogenicLiquid => {
                let dewar = Release::Dewar(Dewar::default());
                (&rules::UNKNOWN_CRYOGENIC, dewar)
            }
            Holding::Liquid => (&rules::UNKNOWN_LIQUID, Release::Spill(Spill::default())),
            Holding::FlueGas => {
                let appliance = Release::LowPressure(LowPressure::default());
                (&rules::UNKNOWN_FLUE_GAS, appliance)
            }
        };
        self.asks = false;
        let mut discharge = self.stated_release(&release);
        let inputs = [("flow of that release", discharge.rate)];
        let (rate, unit) = (discharge.rate.value, Unit::CubicMetrePerSecond);
        discharge.rate = self.trace.rule(rule, rate, unit, &inputs);
        self.questions.push(Question {
            about: ItemKey::Source(self.source.id),
            question: format!(
                "What can come out of {}, and how fast? Until answered: {}",
                self.source.name, rule.statement
            ),
            assumed: discharge.rate,
        });
        discharge
    }

    /// Density of flue gas beside the room's air.
    fn flue_gas_density(&mut self) -> Quantity {
        let (rule, unit) = (&rules::FLUE_GAS_MASS, Unit::GramPerMole);
        let mass = self.trace.rule(rule, 29.5, unit, &[]);
        let flue = self.trace.eval(&density::RELATIVE_DENSITY, &[mass]);
        let celsius = self.basis(&basis::FLUE_GAS_TEMPERATURE);
        let kelvin = self.trace.eval(&KELVIN, &[celsius]);
        let inputs = [flue, self.air.kelvin, kelvin];
        self.trace.eval(&density::RELEASE_DENSITY, &inputs)
    }
}

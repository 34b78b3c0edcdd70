//! What vessels lose: cylinders, dewars, spills, circuits of refrigerant; and cells on charge.

use crate::engine::atmosphere::discharge::leak::Behind;
use crate::engine::atmosphere::discharge::properties::properties;
use crate::engine::atmosphere::discharge::step::Step;
use crate::engine::atmosphere::discharge::{battery, inventory, orifice, pool, rules};
use crate::engine::atmosphere::{Course, Discharge};
use crate::engine::finding::Severity;
use crate::engine::gas::density::{self, KELVIN};
use crate::engine::gas::vapour;
use crate::engine::trace::Quantity;
use crate::model::Holding;
use crate::model::basis::{self, BasisItem};
use crate::model::release::{
    Battery, Cell, ChargeMode, Cylinder, Dewar, DewarLoss, Equipment, Outlet, RefrigerantCharge,
    Spill,
};
use crate::units::Unit;

/// How much a circuit is taken to hold whose nameplate was not read.
pub fn charge_assumed(of: &RefrigerantCharge) -> &'static BasisItem {
    match of.equipment {
        Some(Equipment::Household) => &basis::CHARGE_HOUSEHOLD,
        Some(Equipment::Cabinet) => &basis::CHARGE_CABINET,
        Some(Equipment::RoomUnit) => &basis::CHARGE_ROOM_UNIT,
        Some(Equipment::Plant) | None => &basis::CHARGE_UNKNOWN,
    }
}

impl Step<'_> {
    /// Cylinders that empty through one hole.
    pub fn cylinder(&mut self, cylinder: &Cylinder) -> Discharge {
        let number = f64::from(cylinder.number.unwrap_or(1));
        let number = self.stated("number of cylinders", number, Unit::One);
        let (hole, coefficient) = match cylinder.outlet {
            Outlet::ValveOpened => (&basis::CYLINDER_VALVE, &basis::COEFFICIENT_ROUNDED),
            Outlet::Hole => (&basis::HOLE_SMALL_BORE, &basis::COEFFICIENT_SHARP),
        };
        let hole = match cylinder.outlet {
            Outlet::ValveOpened => self.basis(hole),
            Outlet::Hole => {
                let name = &self.source.name;
                let question =
                    format!("Through what can gas leak at {name}, and how large is it, in mm²?");
                self.ask_so("hole", cylinder.hole, hole, question)
            }
        };
        let coefficient = self.basis(coefficient);
        if self.held == Holding::LiquefiedGas {
            return self.liquefied_cylinder(cylinder, number, hole, coefficient);
        }
        let litres = self.ask(
            "water volume",
            cylinder.litres,
            &basis::CYLINDER_LITRES_UNKNOWN,
        );
        let gauge = self.ask(
            "fill pressure",
            cylinder.pressure,
            &basis::CYLINDER_PRESSURE_UNKNOWN,
        );
        let pressure = self.eval(&orifice::ABSOLUTE_BAR, &[self.air.pressure, gauge]);
        let factor = self.compressibility(pressure, self.air.kelvin);
        let inputs = [number, litres, pressure, self.air.pressure, factor];
        let total = self.eval(&inventory::CYLINDER, &inputs);
        let rate = self.through(&Behind {
            pressure,
            celsius: self.air.temperature,
            hole,
            coefficient,
        });
        Discharge {
            rate,
            relative_density: self.relative_density(self.air.temperature),
            total: Some(total),
            course: Course::Emptying,
            pool: None,
        }
    }

    /// Gas drawn from over a liquid: at its vapour pressure until the liquid is gone.
    fn liquefied_cylinder(
        &mut self,
        cylinder: &Cylinder,
        number: Quantity,
        hole: Quantity,
        coefficient: Quantity,
    ) -> Discharge {
        let mass = match cylinder.contents {
            Some(contents) => {
                let contents = self.stated("contents of a cylinder", contents, Unit::Kilogram);
                self.eval(&inventory::CONTENTS, &[number, contents])
            }
            None => {
                let item = &basis::CYLINDER_LITRES_UNKNOWN;
                let litres = self.ask("water volume", cylinder.litres, item);
                let density = self.liquid_density(properties(&self.substance.key));
                self.eval(&inventory::LIQUID_CONTENTS, &[number, litres, density])
            }
        };
        let total = self.gas_of(mass);
        let celsius = self.air.temperature;
        let pressure = self.pressure_over_liquid(None, celsius);
        let rate = self.through(&Behind {
            pressure,
            celsius,
            hole,
            coefficient,
        });
        let inputs = [("flow at the vapour pressure", rate)];
        let (rule, unit) = (&rules::OUTFLOW_HOLDS, Unit::CubicMetrePerSecond);
        Discharge {
            rate: self.trace.rule(rule, rate.value, unit, &inputs),
            relative_density: self.relative_density(celsius),
            total: Some(total),
            course: Course::Steady,
            pool: None,
        }
    }

    /// m3 of gas at room conditions of a mass.
    fn gas_of(&mut self, mass: Quantity) -> Quantity {
        let molar = self.molar_mass();
        let inputs = [mass, self.air.kelvin, self.air.pressure, molar];
        self.eval(&inventory::GAS_OF_MASS, &inputs)
    }

    /// Volumes of gas from one of boiling liquid.
    fn expansion(&mut self) -> Quantity {
        let known = properties(&self.substance.key);
        let figure = known
            .boiling_density
            .as_ref()
            .or(known.liquid_density.as_ref());
        let Some(figure) = figure else {
            self.missing("density of the boiling liquid", &rules::EXPANSION);
            return self.trace.rule(&rules::EXPANSION, 900.0, Unit::One, &[]);
        };
        let density = self.figure("Density of the boiling liquid", figure);
        let molar = self.molar_mass();
        let inputs = [density, self.air.kelvin, self.air.pressure, molar];
        self.eval(&inventory::EXPANSION, &inputs)
    }

    /// A vessel of cryogenic liquid.
    pub fn dewar(&mut self, dewar: &Dewar) -> Discharge {
        let litres = self.ask(
            "liquid when full",
            dewar.litres,
            &basis::DEWAR_LITRES_UNKNOWN,
        );
        let expands = self.expansion();
        let total = self.eval(&inventory::GAS_OF_LIQUID, &[expands, litres]);
        let rate = match dewar.loss {
            DewarLoss::Full => {
                let minutes = self.basis(&basis::FULL_LOSS_TIME);
                self.eval(&inventory::LOST_IN, &[total, minutes])
            }
            DewarLoss::BoilOff => {
                let a_day = match dewar.boil_off {
                    Some(a_day) => self.stated("boil-off", a_day, Unit::LitrePerDay),
                    None => {
                        let item = &basis::BOIL_OFF_UNKNOWN;
                        let percent = self.ask("boil-off a day", None, item);
                        self.eval(&inventory::BOIL_OFF_OF_CONTENTS, &[percent, litres])
                    }
                };
                let factor = self.basis(&basis::BOIL_OFF_FACTOR);
                self.eval(&inventory::BOIL_OFF, &[factor, expands, a_day])
            }
        };
        let boils = self.boiling_point();
        Discharge {
            rate,
            relative_density: self.relative_density(boils),
            total: Some(total),
            course: Course::Steady,
            pool: None,
        }
    }

    /// A liquid on the floor.
    pub fn spill(&mut self, spill: &Spill) -> Discharge {
        let celsius = self.temperature(spill.temperature);
        let depth = self.basis(&basis::POOL_DEPTH);
        let (litres, area) = match (spill.litres, spill.area) {
            (None, Some(area)) => {
                let area = self.stated("surface", area, Unit::SquareMetre);
                (self.eval(&pool::POOL_LITRES, &[area, depth]), area)
            }
            (litres, area) => {
                let question = format!(
                    "How much liquid is in the largest vessel that can be spilt at {}?",
                    self.source.name
                );
                let item = &basis::SPILL_LITRES_UNKNOWN;
                let litres = self.ask_so("liquid spilt", litres, item, question);
                let area = match area {
                    Some(area) => self.stated("surface", area, Unit::SquareMetre),
                    None => self.eval(&pool::POOL_AREA, &[litres, depth]),
                };
                (litres, area)
            }
        };
        let one = self.trace.measured("one spill", 1.0, Unit::One);
        let density = self.liquid_density(properties(&self.substance.key));
        let mass = self.eval(&inventory::LIQUID_CONTENTS, &[one, litres, density]);
        let total = self.gas_of(mass);
        let evaporates = self.evaporation(spill, area, celsius);
        let boils = evaporates.is_none();
        let rate = match evaporates {
            Some(flow) => self.gas_flow(flow),
            None => {
                let minutes = self.basis(&basis::FULL_LOSS_TIME);
                let rate = self.eval(&inventory::LOST_IN, &[total, minutes]);
                let inputs = [("all of it in that time", rate)];
                let unit = Unit::CubicMetrePerSecond;
                self.trace.rule(&rules::BOILS, rate.value, unit, &inputs)
            }
        };
        Discharge {
            rate,
            relative_density: match boils {
                true => {
                    let leaves = self.boiling_point();
                    self.vapour_density(leaves)
                }
                false => self.saturated_density(celsius),
            },
            total: Some(total),
            course: Course::Steady,
            pool: Some(area),
        }
    }

    /// kg/s off a pool; `None` where it boils or nothing is known of its vapour.
    fn evaporation(
        &mut self,
        spill: &Spill,
        area: Quantity,
        celsius: Quantity,
    ) -> Option<Quantity> {
        let boiling = self.substance.boiling_point.as_ref();
        if boiling.is_some_and(|boils| boils.value <= celsius.value) {
            return None;
        }
        let vapour = match vapour::traced(self.trace, self.substance, celsius) {
            Ok(vapour) => vapour,
            Err(_) => {
                self.missing("vapour pressure", &rules::BOILS);
                return None;
            }
        };
        let speed = self.take(
            "air over the pool",
            spill.air_speed,
            &basis::AIR_SPEED_UNKNOWN,
        );
        let kelvin = self.trace.eval(&KELVIN, &[celsius]);
        let molar = self.molar_mass();
        let inputs = [speed, area, vapour, molar, kelvin];
        let older = self.basis(&basis::EVAPORATION_2015).value >= 0.5;
        let formula = match older {
            true => &pool::EVAPORATION_2015,
            false => &pool::EVAPORATION,
        };
        Some(self.eval(formula, &inputs))
    }

    /// Hydrogen of cells on charge.
    pub fn battery(&mut self, of: &Battery) -> Discharge {
        if self.substance.key != battery::HYDROGEN_KEY {
            let message = format!(
                "{}: cells on charge give hydrogen, but the substance is {}; the flow is that of \
                 hydrogen.",
                self.source.name, self.substance.name
            );
            let remedy = "Choose hydrogen as the substance of the source.";
            self.find("discharge.battery", Severity::Warning, message, remedy);
        }
        let stated = of.cells.map(f64::from);
        let question = format!("How many cells are in series at {}?", self.source.name);
        let cells = self.ask_so("number of cells", stated, &basis::CELLS_UNKNOWN, question);
        let capacity = self.ask("capacity", of.capacity, &basis::CAPACITY_UNKNOWN);
        // Boost charge of vented cells where nobody knows: they give the most but nickel-cadmium.
        let cell = of.cell.unwrap_or(Cell::VentedLead);
        let charge = of.charge.unwrap_or(ChargeMode::Boost);
        let current = battery::gas_current(self.trace, cell, charge);
        let hourly = self.eval(&battery::HYDROGEN, &[cells, current, capacity]);
        self.say_how_cautious(hourly, [cells, current, capacity]);
        Discharge {
            rate: self.eval(&inventory::PER_HOUR, &[hourly]),
            relative_density: self.relative_density(self.air.temperature),
            total: None,
            course: Course::Steady,
            pool: None,
        }
    }

    /// The standard's current holds a safety factor; the best estimate stands beside it.
    fn say_how_cautious(&mut self, hourly: Quantity, inputs: [Quantity; 3]) {
        let best = self.eval(&battery::HYDROGEN_BEST_ESTIMATE, &inputs);
        let airflow = self.eval(&battery::AIRFLOW, &inputs);
        let message = format!(
            "{}: {:.4} m³/h of hydrogen by EN 62485-2, whose gas-producing current holds a safety \
             factor of 5; the best estimate is {:.4} m³/h. The airflow it requires, {:.2} m³/h, \
             holds another factor of 5.",
            self.source.name, hourly.value, best.value, airflow.value
        );
        let remedy = "Take the times to alarm as early, and size the ventilation by the standard.";
        self.find("discharge.battery_caution", Severity::Note, message, remedy);
    }

    /// A circuit that loses its charge.
    pub fn charge(&mut self, charge: &RefrigerantCharge) -> Discharge {
        let question = format!(
            "How much refrigerant does {} hold, in kg? Its nameplate says.",
            self.source.name
        );
        let item = charge_assumed(charge);
        let mass = self.ask_so("refrigerant charge", charge.mass, item, question);
        let minutes = self.take(
            "time to lose the charge",
            charge.minutes,
            &basis::CHARGE_LOSS_TIME,
        );
        let total = self.gas_of(mass);
        let rate = self.eval(&inventory::LOST_IN, &[total, minutes]);
        let pure = density::relative_density(self.trace, self.substance);
        let boils = self.boiling_point();
        let kelvin = self.trace.eval(&KELVIN, &[boils]);
        let inputs = [pure, self.air.kelvin, kelvin];
        Discharge {
            rate,
            relative_density: self.trace.eval(&density::RELEASE_DENSITY, &inputs),
            total: Some(total),
            course: Course::Steady,
            pool: None,
        }
    }
}

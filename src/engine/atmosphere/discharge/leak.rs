//! Leaks: gas, liquid or liquefied gas through a hole; gas pipes and appliances at low pressure.

use crate::engine::atmosphere::discharge::properties::{Properties, properties};
use crate::engine::atmosphere::discharge::step::Step;
use crate::engine::atmosphere::discharge::{appliance, inventory, orifice, rules};
use crate::engine::atmosphere::{Course, Discharge};
use crate::engine::gas::density::KELVIN;
use crate::engine::gas::{self, Substance, vapour};
use crate::engine::trace::Quantity;
use crate::model::Holding;
use crate::model::basis::{self, BasisItem};
use crate::model::release::{FlowUnit, Joint, KnownFlow, Leak, LowPressure};
use crate::units::Unit;

/// The gas behind a hole.
pub(super) struct Behind {
    /// Pa, absolute.
    pub pressure: Quantity,
    /// degC.
    pub celsius: Quantity,
    pub hole: Quantity,
    pub coefficient: Quantity,
}

impl Step<'_> {
    /// A stated flow.
    pub fn known_flow(&mut self, flow: &KnownFlow, stated: f64) -> Discharge {
        let rate = match flow.per {
            FlowUnit::CubicMetresPerHour => {
                let stated = self.stated("flow", stated, Unit::CubicMetrePerHour);
                self.eval(&inventory::PER_HOUR, &[stated])
            }
            FlowUnit::KilogramsPerHour => {
                let stated = self.stated("flow", stated, Unit::KilogramPerHour);
                let mass = self.eval(&inventory::MASS_PER_HOUR, &[stated]);
                self.gas_flow(mass)
            }
        };
        Discharge {
            rate,
            relative_density: self.density_as_held(),
            total: None,
            course: Course::Steady,
            pool: None,
        }
    }

    /// Density of what leaves, by how it is held.
    pub fn density_as_held(&mut self) -> Quantity {
        match self.held {
            Holding::CryogenicLiquid | Holding::LiquefiedGas => {
                let boils = self.boiling_point();
                self.relative_density(boils)
            }
            Holding::Liquid => self.vapour_density(self.air.temperature),
            Holding::FlueGas => self.flue_gas_density(),
            Holding::Gas => self.relative_density(self.air.temperature),
        }
    }

    /// A leak of a pipe or vessel.
    pub fn leak(&mut self, leak: &Leak) -> Discharge {
        let coefficient = match leak.joint {
            Some(Joint::OpenEnd) if leak.hole.is_none() => &basis::COEFFICIENT_ROUNDED,
            _ => &basis::COEFFICIENT_SHARP,
        };
        let (hole, coefficient) = (self.hole(leak), self.basis(coefficient));
        let celsius = self.temperature(leak.temperature);
        let liquid = matches!(
            self.held,
            Holding::CryogenicLiquid | Holding::LiquefiedGas | Holding::Liquid
        );
        if liquid {
            return self.liquid_leak(leak, hole, coefficient, celsius);
        }
        let pressure = match leak.pressure {
            None if self.is_piped_fuel() => {
                let gauge = self.ask("pressure", None, &basis::LOW_PRESSURE_UNKNOWN);
                self.eval(&orifice::ABSOLUTE_MILLIBAR, &[self.air.pressure, gauge])
            }
            stated => {
                let gauge = self.ask("pressure", stated, &basis::PRESSURE_UNKNOWN);
                self.eval(&orifice::ABSOLUTE_BAR, &[self.air.pressure, gauge])
            }
        };
        let rate = self.through(&Behind {
            pressure,
            celsius,
            hole,
            coefficient,
        });
        let relative_density = match self.held {
            Holding::FlueGas => self.flue_gas_density(),
            _ => self.relative_density(celsius),
        };
        Discharge {
            rate,
            relative_density,
            total: None,
            course: Course::Steady,
            pool: None,
        }
    }

    /// m3/s of gas through a hole, choked or not.
    pub fn through(&mut self, behind: &Behind) -> Quantity {
        let ratio = self.heat_capacity_ratio();
        let kelvin = self.trace.eval(&KELVIN, &[behind.celsius]);
        let mass = self.molar_mass();
        let factor = self.compressibility(behind.pressure, kelvin);
        let air = self.air.pressure;
        let critical = self.eval(&orifice::CRITICAL_PRESSURE, &[air, ratio]);
        let (c, s, p) = (behind.coefficient, behind.hole, behind.pressure);
        let flow = match p.value > critical.value {
            true => self.eval(&orifice::CHOKED, &[c, s, p, ratio, mass, factor, kelvin]),
            false => {
                let inputs = [c, s, p, air, ratio, mass, factor, kelvin];
                self.eval(&orifice::SUBSONIC, &inputs)
            }
        };
        self.gas_flow(flow)
    }

    /// mm2: as stated, or suggested for the joint; no larger than the bore.
    fn hole(&mut self, leak: &Leak) -> Quantity {
        let bore = leak.bore.map(|bore| {
            let bore = self.stated("bore", bore, Unit::Millimetre);
            self.eval(&orifice::BORE_AREA, &[bore])
        });
        let hole = match (leak.hole, leak.joint, bore) {
            (Some(hole), _, _) => self.stated("hole", hole, Unit::SquareMillimetre),
            (None, Some(Joint::OpenEnd), Some(bore)) => return bore,
            (None, joint, _) => {
                let item = suggested_hole(joint);
                let known = joint.filter(|joint| *joint != Joint::OpenEnd).is_some();
                let figure = known.then(|| self.project.basis.get(item));
                match figure {
                    Some(_) => self.basis(item),
                    None => {
                        let question = format!(
                            "What can leak at {}: a joint, a valve, a seal, or a pipe torn off \
                             (of what bore)?",
                            self.source.name
                        );
                        self.ask_so("hole", None, item, question)
                    }
                }
            }
        };
        match bore.filter(|bore| bore.value < hole.value) {
            None => hole,
            Some(bore) => {
                let inputs = [("hole", hole), ("area of the bore", bore)];
                let (rule, unit) = (&rules::NO_LARGER_THAN_BORE, Unit::SquareMillimetre);
                self.trace.rule(rule, bore.value, unit, &inputs)
            }
        }
    }

    fn liquid_leak(
        &mut self,
        leak: &Leak,
        hole: Quantity,
        coefficient: Quantity,
        celsius: Quantity,
    ) -> Discharge {
        let known = properties(&self.substance.key);
        let pressure = self.pressure_over_liquid(leak.pressure, celsius);
        let density = self.liquid_density(known);
        let drop = self.eval(&orifice::PRESSURE_DROP, &[pressure, self.air.pressure]);
        let flow = self.eval(&orifice::LIQUID, &[coefficient, hole, density, drop]);
        let flow = match self.held {
            Holding::LiquefiedGas => self.airborne(flow, known, celsius),
            _ => {
                let inputs = [("flow of liquid", flow)];
                let (rule, unit) = (&rules::ALL_IN_THE_AIR, Unit::KilogramPerSecond);
                self.trace.rule(rule, flow.value, unit, &inputs)
            }
        };
        Discharge {
            rate: self.gas_flow(flow),
            relative_density: self.density_as_held(),
            total: None,
            course: Course::Steady,
            pool: None,
        }
    }

    /// kg/m3 of the liquid as it is held.
    pub fn liquid_density(&mut self, known: &Properties) -> Quantity {
        let figure = match self.held {
            Holding::CryogenicLiquid => known.boiling_density.as_ref(),
            _ => known
                .liquid_density
                .as_ref()
                .or(known.boiling_density.as_ref()),
        };
        let (rule, unit) = (&rules::LIQUID_DENSITY, Unit::KilogramPerCubicMetre);
        self.figure_or("density of the liquid", figure, rule, 1500.0, unit)
    }

    /// Pa, absolute: as stated; of a liquefied gas its vapour pressure.
    pub fn pressure_over_liquid(&mut self, stated: Option<f64>, celsius: Quantity) -> Quantity {
        if stated.is_none() && self.held == Holding::LiquefiedGas {
            match vapour::traced(self.trace, self.substance, celsius) {
                Ok(pressure) => return pressure,
                Err(_) => self.missing("vapour pressure", &rules::PRESSURE_ASSUMED),
            }
        }
        let gauge = self.ask("pressure", stated, &basis::PRESSURE_UNKNOWN);
        self.eval(&orifice::ABSOLUTE_BAR, &[self.air.pressure, gauge])
    }

    /// kg/s that flashes or floats as droplets; all of it where the flash is not known.
    fn airborne(&mut self, flow: Quantity, known: &Properties, celsius: Quantity) -> Quantity {
        let boils = self.substance.boiling_point.clone();
        let heats = known.heat_capacity.as_ref().zip(known.latent_heat.as_ref());
        let Some((boils, (capacity, latent))) = boils.zip(heats) else {
            self.missing("latent heat or heat capacity", &rules::ALL_IN_THE_AIR);
            let inputs = [("flow of liquid", flow)];
            let (rule, unit) = (&rules::ALL_IN_THE_AIR, Unit::KilogramPerSecond);
            return self.trace.rule(rule, flow.value, unit, &inputs);
        };
        let capacity = self.figure("Heat capacity of the liquid", capacity);
        let latent = self.figure("Latent heat", latent);
        let boils = self.figure("Boiling point", &boils);
        let flash = self.eval(&orifice::FLASH, &[capacity, celsius, boils, latent]);
        let share = self.eval(&orifice::AIRBORNE, &[flash]);
        self.eval(&inventory::AIRBORNE_FLOW, &[share, flow])
    }

    /// A gas pipe or appliance at low pressure.
    pub fn low_pressure(&mut self, pipe: &LowPressure) -> Discharge {
        let torn = pipe.bore.map(|bore| {
            let bore = self.stated("bore", bore, Unit::Millimetre);
            let hole = self.eval(&orifice::BORE_AREA, &[bore]);
            let gauge = self.ask("pressure", pipe.pressure, &basis::LOW_PRESSURE_UNKNOWN);
            let inputs = [self.air.pressure, gauge];
            let pressure = self.eval(&orifice::ABSOLUTE_MILLIBAR, &inputs);
            let coefficient = self.basis(&basis::COEFFICIENT_ROUNDED);
            self.through(&Behind {
                pressure,
                celsius: self.air.temperature,
                hole,
                coefficient,
            })
        });
        let torn = torn.filter(|_| self.held != Holding::FlueGas);
        let rate = match (pipe.rating, torn) {
            (None, Some(torn)) => torn,
            (rating, None) => self.appliance(rating),
            (Some(_), Some(torn)) => {
                let unburnt = self.appliance(pipe.rating);
                let larger = torn.value.max(unburnt.value);
                let inputs = [("torn pipe", torn), ("appliance", unburnt)];
                let unit = Unit::CubicMetrePerSecond;
                self.trace.rule(&rules::LARGER, larger, unit, &inputs)
            }
        };
        Discharge {
            rate,
            relative_density: self.density_as_held(),
            total: None,
            course: Course::Steady,
            pool: None,
        }
    }

    /// Unburnt gas of an appliance at its rating, or what is watched in its flue gas.
    fn appliance(&mut self, rating: Option<f64>) -> Quantity {
        let rating = self.ask("rated output", rating, &basis::RATING_UNKNOWN);
        let efficiency = self.basis(&basis::EFFICIENCY);
        if self.held != Holding::FlueGas {
            let heat = self.heating_value(self.substance);
            return self.eval(&appliance::UNBURNT, &[rating, efficiency, heat]);
        }
        // Flue gas is of the fuel, not of what is watched in it: natural gas, the commonest.
        let fuel = gas::find("natural-gas").unwrap_or(self.substance);
        let heat = self.heating_value(fuel);
        let burnt = self.eval(&appliance::UNBURNT, &[rating, efficiency, heat]);
        let ratio = self.basis(&basis::FLUE_GAS_RATIO);
        let flue = self.eval(&appliance::FLUE_GAS, &[ratio, burnt]);
        let share = self.basis(&basis::FLUE_GAS_SHARE);
        self.eval(&appliance::SHARE_OF_FLUE_GAS, &[share, flue])
    }

    fn heating_value(&mut self, fuel: &Substance) -> Quantity {
        match self.combustion_terms(fuel) {
            Some(terms) => {
                let mut inputs = vec![self.air.kelvin, self.air.pressure];
                inputs.extend(terms);
                self.eval(&appliance::HEATING_VALUE, &inputs)
            }
            None => {
                self.missing("heat of combustion", &rules::HEATING_VALUE);
                let unit = Unit::MegajoulePerCubicMetre;
                self.trace.rule(&rules::HEATING_VALUE, 10.0, unit, &[])
            }
        }
    }

    /// Heats of combustion of the parts; what does not burn gives none.
    fn combustion_terms(&mut self, fuel: &Substance) -> Option<Vec<Quantity>> {
        let burns = |part: &Substance| part.burns || !part.lfl.is_empty();
        let parts: Vec<(&str, f64)> = match fuel.composition.is_empty() {
            true => Vec::from_iter(burns(fuel).then_some((&*fuel.key, 1.0))),
            false => (fuel.composition.iter())
                .filter(|part| part.known().is_none_or(burns))
                .map(|part| (&*part.key, part.mole_fraction))
                .collect(),
        };
        let mut terms = Vec::new();
        for (key, fraction) in parts {
            let heat = properties(key).combustion.as_ref()?;
            let title = format!("Heat of combustion of a part of {}", fuel.name);
            let cited = heat.citation.clone();
            let value = self
                .trace
                .given(title, heat.value, heat.unit, cited.clone());
            let share = format!("Share in {}", fuel.name);
            let (percent, unit) = (100.0 * fraction, Unit::PercentVolume);
            let share = self.trace.given(share, percent, unit, cited);
            terms.push(self.eval(&appliance::COMBUSTION_TERM, &[share, value]));
        }
        (!terms.is_empty()).then_some(terms)
    }
}

/// The assumption that suggests the hole of a joint.
fn suggested_hole(joint: Option<Joint>) -> &'static BasisItem {
    match joint {
        None | Some(Joint::SmallBore | Joint::OpenEnd) => &basis::HOLE_SMALL_BORE,
        Some(Joint::FibreGasket) => &basis::HOLE_FIBRE_GASKET,
        Some(Joint::SpiralWoundGasket) => &basis::HOLE_SPIRAL_WOUND,
        Some(Joint::RingJoint) => &basis::HOLE_RING_JOINT,
        Some(Joint::ValveStem) => &basis::HOLE_VALVE_STEM,
        Some(Joint::ShaftSeal) => &basis::HOLE_SHAFT_SEAL,
    }
}

//! The bill of materials with labour and commissioning.
//!
//! Quantities and prices are rounded to what the bill prints before they are multiplied, so that
//! whoever multiplies the printed figures gets the printed amounts.

use std::collections::{BTreeMap, BTreeSet};

use crate::engine::bus::TOTAL_LENGTH;
use crate::engine::formula::Formula;
use crate::engine::results::{BillGroup, BillRow, CrossingKind, SegmentResult};
use crate::engine::takeoff::{formulas, is_existing, without_device};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis::{
    BasisItem, HOURS_CABLE, HOURS_CROSSING, HOURS_DEVICE, HOURS_GASSING, HOURS_PANEL, HOURS_SETUP,
    RATE_COMMISSIONING, RATE_LABOUR,
};
use crate::model::catalogue::GoesWith;
use crate::model::{CatalogueItem, Citation, ItemKind, Origin, Project, SegmentId, UnitSystem};
use crate::units::Unit;

/// Walls are sealed once per place: cables through one wall this near share a seal, m.
const SEAL_M: f64 = 0.1;

/// Every row, group by group.
pub fn bill(
    project: &Project,
    segments: &BTreeMap<SegmentId, SegmentResult>,
    trace: &mut Trace,
) -> Vec<BillRow> {
    let mut bill = Bill {
        project,
        trace,
        rows: Vec::new(),
    };
    let counts = Counts::of(project, segments);
    bill.devices(&counts);
    bill.panels(&counts);
    bill.cable(segments);
    bill.accessories(&counts);
    bill.labour(&counts, segments);
    bill.rows
}

/// What the rows count.
struct Counts {
    devices: BTreeMap<String, usize>,
    existing_devices: BTreeMap<String, usize>,
    panels: BTreeMap<String, usize>,
    existing_panels: BTreeMap<String, usize>,
    detectors_bought: usize,
    detectors: usize,
    cable_ends: usize,
    crossings: usize,
}

impl Counts {
    fn of(project: &Project, segments: &BTreeMap<SegmentId, SegmentResult>) -> Self {
        let mut counts = Counts {
            devices: BTreeMap::new(),
            existing_devices: BTreeMap::new(),
            panels: BTreeMap::new(),
            existing_panels: BTreeMap::new(),
            detectors_bought: 0,
            detectors: project.detectors.len(),
            cable_ends: 0,
            crossings: 0,
        };
        for device in &project.devices {
            let existing = device.existing;
            let list = if existing {
                &mut counts.existing_devices
            } else {
                &mut counts.devices
            };
            *list.entry(device.part.clone()).or_default() += 1;
            counts.detectors_bought += if existing { 0 } else { device.detectors.len() };
        }
        for detector in without_device(project) {
            let existing = detector.origin == Origin::Existing;
            let list = if existing {
                &mut counts.existing_devices
            } else {
                &mut counts.devices
            };
            *list
                .entry(detector.part.clone().unwrap_or_default())
                .or_default() += 1;
            counts.detectors_bought += usize::from(!existing);
        }
        for panel in &project.panels {
            let list = if panel.existing {
                &mut counts.existing_panels
            } else {
                &mut counts.panels
            };
            *list.entry(panel.part.clone()).or_default() += 1;
        }
        let mut places = BTreeSet::new();
        for cable in new_cables(project, segments) {
            counts.cable_ends += 2;
            for crossing in &cable.crossings {
                let cell = |v: f64| (v / SEAL_M).round() as i64;
                let slab = crossing.through == CrossingKind::Slab;
                let (x, y) = (cell(crossing.at.x), cell(crossing.at.y));
                places.insert((crossing.floor, slab, x, y));
            }
        }
        counts.crossings = places.len();
        counts
    }
}

/// The cables that are laid anew.
fn new_cables<'a>(
    project: &'a Project,
    segments: &'a BTreeMap<SegmentId, SegmentResult>,
) -> impl Iterator<Item = &'a crate::engine::results::CableResult> {
    segments
        .iter()
        .filter(|(id, _)| {
            project
                .segments
                .get(**id)
                .is_some_and(|s| !is_existing(project, s))
        })
        .flat_map(|(_, result)| &result.cables)
}

struct Bill<'a> {
    project: &'a Project,
    trace: &'a mut Trace,
    rows: Vec<BillRow>,
}

impl Bill<'_> {
    fn devices(&mut self, counts: &Counts) {
        self.parts(
            BillGroup::FieldDevices,
            &counts.devices,
            &counts.existing_devices,
            "field device",
        );
    }

    fn panels(&mut self, counts: &Counts) {
        self.parts(
            BillGroup::Panels,
            &counts.panels,
            &counts.existing_panels,
            "control panel",
        );
        let Some((item, volts)) = smallest_battery(self.project) else {
            return;
        };
        let mut n_blocks = 0.0;
        for (part, n_panels) in &counts.panels {
            let bus = match self.project.catalogue.item(part).map(|item| &item.kind) {
                Some(ItemKind::Panel(limits)) => limits.bus_voltage.get(),
                _ => continue,
            };
            n_blocks += (bus / volts).ceil() * *n_panels as f64;
        }
        if n_blocks > 0.0 {
            let note = "one set for each panel; the capacity is not sized yet";
            let description = format!("{} ({note})", item.description);
            let (part, price) = (item.part.clone(), item.price.get());
            let count = self.count(format!("Battery blocks: {note}"), n_blocks);
            self.priced(BillGroup::Panels, part, description, count, Some(price));
        }
    }

    fn parts(
        &mut self,
        group: BillGroup,
        bought: &BTreeMap<String, usize>,
        existing: &BTreeMap<String, usize>,
        noun: &str,
    ) {
        for (part, &n) in bought {
            let item = self.project.catalogue.item(part);
            let description = match item {
                Some(item) => item.description.clone(),
                None => format!("{noun} that is not in the catalogue: no price"),
            };
            let count = self.count(format!("{noun}s of part {part} to be bought"), n as f64);
            let price = item.map(|item| item.price.get());
            self.priced(group, part.clone(), description, count, price);
        }
        for (part, &n) in existing {
            let item = self.project.catalogue.item(part);
            let words = item.map_or(noun, |item| item.description.as_str());
            let description = format!("{words} (on site already, not bought)");
            let count = self.count(format!("{noun}s of part {part} on site"), n as f64);
            self.priced(group, part.clone(), description, count, Some(0.0));
        }
    }

    fn cable(&mut self, segments: &BTreeMap<SegmentId, SegmentResult>) {
        let mut by_part: BTreeMap<&str, Vec<Quantity>> = BTreeMap::new();
        for cable in new_cables(self.project, segments) {
            by_part.entry(&cable.part).or_default().push(cable.length);
        }
        for (part, lengths) in by_part {
            let item = self.project.catalogue.item(part);
            let length = self.trace.eval(&TOTAL_LENGTH, &lengths);
            let price = item.map_or(0.0, |item| item.price.get());
            let price = self.catalogue_price(part, price);
            let in_feet = self.project.head.units == UnitSystem::UsCustomary;
            let (of_length, of_price, amount) = match in_feet {
                true => (
                    &formulas::BILLED_FEET,
                    &formulas::PRICE_OF_FOOT,
                    &formulas::AMOUNT_OF_CABLE_IN_FEET,
                ),
                false => (
                    &formulas::BILLED_LENGTH,
                    &formulas::BILLED_PRICE,
                    &formulas::AMOUNT_OF_CABLE,
                ),
            };
            let length = self.as_printed(length, of_length);
            let unit_price = self.as_printed(price, of_price);
            let description = match item {
                Some(item) => item.description.clone(),
                None => "cable that is not in the catalogue: no price".to_owned(),
            };
            self.row(
                BillGroup::Cable,
                part,
                description,
                (length, unit_price),
                amount,
            );
        }
    }

    fn accessories(&mut self, counts: &Counts) {
        let total = |list: &BTreeMap<String, usize>| list.values().sum::<usize>() as f64;
        let catalogue = &self.project.catalogue;
        let listed: Vec<(&CatalogueItem, GoesWith, f64)> = catalogue
            .items
            .iter()
            .filter_map(|item| match item.kind {
                ItemKind::Accessory { goes_with, each } => Some((item, goes_with, each)),
                _ => None,
            })
            .collect();
        for (item, goes_with, each) in listed {
            let (what, n) = match goes_with {
                GoesWith::FieldDevice => ("Field devices bought", total(&counts.devices)),
                GoesWith::Detector => ("Detectors bought", counts.detectors_bought as f64),
                GoesWith::CableEnd => ("Cable ends", counts.cable_ends as f64),
                GoesWith::Panel => ("Control panels bought", total(&counts.panels)),
                GoesWith::WallCrossing => (
                    "Places where cables go through walls and slabs",
                    counts.crossings as f64,
                ),
                GoesWith::Project => ("Project", 1.0),
            };
            let things = self.count(what.to_owned(), n);
            let title = format!("{} for each", item.part);
            let each = self
                .trace
                .given(title, each, Unit::One, Citation::Catalogue);
            let count = self.trace.eval(&formulas::ACCESSORIES, &[things, each]);
            if count.value > 0.0 {
                let (part, words) = (item.part.clone(), item.description.clone());
                let price = Some(item.price.get());
                self.priced(BillGroup::Accessories, part, words, count, price);
            }
        }
    }

    fn labour(&mut self, counts: &Counts, segments: &BTreeMap<SegmentId, SegmentResult>) {
        let n_devices = counts.devices.values().sum::<usize>();
        let n_panels = counts.panels.values().sum::<usize>();
        let group = BillGroup::Labour;
        let fixing = "Fix and connect field devices";
        self.hours(
            group,
            (fixing, "Field devices bought"),
            n_devices,
            &HOURS_DEVICE,
        );
        let panels = "Control panels bought";
        self.hours(
            group,
            ("Fix and connect control panels", panels),
            n_panels,
            &HOURS_PANEL,
        );
        let lengths: Vec<Quantity> = new_cables(self.project, segments)
            .map(|cable| cable.length)
            .collect();
        if !lengths.is_empty() {
            let length = self.trace.eval(&TOTAL_LENGTH, &lengths);
            let each = self.trace.basis(&self.project.basis, &HOURS_CABLE);
            let hours = self.trace.eval(&formulas::HOURS_OF_CABLE, &[length, each]);
            let label = format!("Lay cable, {} h a metre", each.value);
            self.timed(group, label, hours);
        }
        let what = (
            "Make and seal crossings of walls and slabs",
            "Places where cables go through walls and slabs",
        );
        self.hours(group, what, counts.crossings, &HOURS_CROSSING);
        let group = BillGroup::Commissioning;
        let what = (
            "Gas and prove detectors",
            "Detectors, those on site included",
        );
        self.hours(group, what, counts.detectors, &HOURS_GASSING);
        self.hours(
            group,
            ("Set up control panels", panels),
            n_panels,
            &HOURS_SETUP,
        );
    }

    /// A work done `n` times: its name, and what is counted.
    fn hours(&mut self, group: BillGroup, what: (&str, &str), n: usize, each: &BasisItem) {
        if n > 0 {
            let count = self.count(what.1.to_owned(), n as f64);
            let one = self.trace.basis(&self.project.basis, each);
            let hours = self.trace.eval(&formulas::HOURS_OF_COUNT, &[count, one]);
            let label = format!("{}: {n} at {} h", what.0, one.value);
            self.timed(group, label, hours);
        }
    }

    fn timed(&mut self, group: BillGroup, label: String, hours: Quantity) {
        let rate = match group {
            BillGroup::Commissioning => &RATE_COMMISSIONING,
            _ => &RATE_LABOUR,
        };
        let rate = self.trace.basis(&self.project.basis, rate);
        let rate = self.as_printed(rate, &formulas::BILLED_RATE);
        let hours = self.as_printed(hours, &formulas::BILLED_HOURS);
        self.row(group, "", label, (hours, rate), &formulas::AMOUNT_OF_HOURS);
    }

    fn priced(
        &mut self,
        group: BillGroup,
        part: String,
        description: String,
        count: Quantity,
        price: Option<f64>,
    ) {
        let unit_price = self.catalogue_price(&part, price.unwrap_or(0.0));
        let unit_price = self.as_printed(unit_price, &formulas::BILLED_PRICE);
        let amount = &formulas::AMOUNT_OF_PARTS;
        self.row(group, &part, description, (count, unit_price), amount);
    }

    /// A figure rounded as it prints; itself where it needs no rounding.
    fn as_printed(&mut self, exact: Quantity, formula: &Formula) -> Quantity {
        match (formula.compute)(&[exact.value]) == exact.value {
            true => exact,
            false => self.trace.eval(formula, &[exact]),
        }
    }

    fn catalogue_price(&mut self, part: &str, price: f64) -> Quantity {
        self.trace.given(
            format!("Price of {part}"),
            price,
            Unit::Money,
            Citation::Catalogue,
        )
    }

    fn count(&mut self, what: String, n: f64) -> Quantity {
        self.trace.measured(what, n, Unit::One)
    }

    fn row(
        &mut self,
        group: BillGroup,
        part: &str,
        description: String,
        (quantity, unit_price): (Quantity, Quantity),
        amount: &Formula,
    ) {
        self.rows.push(BillRow {
            group,
            part: part.to_owned(),
            description,
            quantity,
            unit_price,
            amount: self.trace.eval(amount, &[quantity, unit_price]),
        });
    }
}

/// The battery of least capacity, then price, with its voltage.
fn smallest_battery(project: &Project) -> Option<(&CatalogueItem, f64)> {
    project
        .catalogue
        .items
        .iter()
        .filter_map(|item| match item.kind {
            ItemKind::Battery { voltage, capacity } if voltage.get() > 0.0 => {
                Some((item, voltage.get(), capacity.get()))
            }
            _ => None,
        })
        .min_by(|a, b| {
            let prices = (a.0.price.get(), b.0.price.get());
            a.2.total_cmp(&b.2)
                .then(prices.0.total_cmp(&prices.1))
                .then(a.0.part.cmp(&b.0.part))
        })
        .map(|(item, volts, _)| (item, volts))
}

//! What must be watched where air leaves a room, enters the building or passes on.
//!
//! Each demand is like those of the sources whose gas comes there, but at the place of an air
//! terminal or an opening. The basis of design switches each kind.

use std::collections::BTreeSet;

use crate::engine::airspace::{Airspaces, beside, room_name};
use crate::engine::coverage::demands::{Need, joined, reach};
use crate::engine::coverage::rules::{CUPBOARD, DOOR_OXYGEN, GRILLE, INTAKE, WAY_OUT};
use crate::engine::coverage::voting::needed;
use crate::engine::coverage::within::Within;
use crate::engine::formula::Rule;
use crate::engine::mounting::{self, OXYGEN, same_gas};
use crate::engine::results::{Demand, DemandKind};
use crate::engine::trace::{Quantity, Trace};
use crate::geometry::{Point, Segment};
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// Where a demand of the air lies.
struct Place {
    kind: DemandKind,
    /// Begins the id of the demand.
    id: String,
    title: String,
    at: Point,
}

struct Step<'a> {
    project: &'a Project,
    spaces: &'a Airspaces<'a>,
    /// The needs of the sources.
    of_sources: &'a [Need],
    trace: &'a mut Trace,
    found: Vec<Need>,
}

/// The needs at air terminals, then at openings, each in the order of their ids.
pub fn needs(
    project: &Project,
    spaces: &Airspaces<'_>,
    of_sources: &[Need],
    trace: &mut Trace,
) -> Vec<Need> {
    let mut step = Step {
        project,
        spaces,
        of_sources,
        trace,
        found: Vec::new(),
    };
    for terminal in &project.terminals {
        match terminal.kind {
            AirTerminalKind::Supply => {}
            AirTerminalKind::Intake => step.intake(terminal),
            AirTerminalKind::Cupboard => step.cupboard(terminal),
            _ => step.grille(terminal),
        }
    }
    for opening in &project.openings {
        let rooms = beside(project, opening);
        let rooms = rooms.into_iter().take(2);
        let rooms: Vec<&Room> = rooms.filter_map(|id| project.rooms.get(id)).collect();
        for room in &rooms {
            let other = rooms.iter().find(|other| other.id != room.id).copied();
            step.way_out(opening, room, other);
            step.door(opening, room);
        }
    }
    step.found
}

impl Step<'_> {
    /// Strong ventilation carries the gas of a room to where its air leaves.
    fn grille(&mut self, terminal: &AirTerminal) {
        let basis = &self.project.basis;
        let stands_in = self.spaces.room_beside(terminal.floor, terminal.at);
        let Some((room, at)) = stands_in.filter(|_| basis.is_on(&basis::WATCH_GRILLES)) else {
            return;
        };
        let here = |need: &&Need| need.demand.room == room.id;
        let needs = joined(self.project, self.of_sources.iter().filter(here));
        if needs.is_empty() {
            return;
        }
        let title = format!("Air changes of {}", room_name(room));
        let unknown = &basis::AIR_CHANGES_UNKNOWN;
        let changes = (self.trace).stated_or(self.project, title, room.air_changes, unknown);
        let strong = self.trace.basis(basis, &basis::STRONG_VENTILATION);
        if changes.value < strong.value {
            return;
        }
        let place = at_terminal(terminal, room, at);
        let also = [("air changes", changes), ("strong from", strong)];
        for like in needs {
            self.add(like, room, &place, &GRILLE, &also);
        }
    }

    /// What is released in the open near an intake is drawn into the building.
    fn intake(&mut self, terminal: &AirTerminal) {
        let basis = &self.project.basis;
        let stands_in = self.spaces.room_beside(terminal.floor, terminal.at);
        let Some((room, at)) = stands_in.filter(|_| basis.is_on(&basis::WATCH_INTAKES)) else {
            return;
        };
        if !mounting::is_open(Some(room)) {
            return;
        }
        let near = self.trace.basis(basis, &basis::INTAKE_NEAR);
        let space = self.spaces.space_of(room.id);
        let needs = self.of_sources.iter().filter(|need| {
            need.space == space
                && mounting::is_open(self.project.rooms.get(need.demand.room))
                && need.off(terminal.at) <= near.value
        });
        let here = |need: &Need| {
            let mut need = need.clone();
            need.demand.room = room.id;
            need
        };
        let needs: Vec<Need> = needs.map(here).collect();
        let place = at_terminal(terminal, room, at);
        for like in joined(self.project, needs.iter()) {
            self.add(like, room, &place, &INTAKE, &[("near up to", near)]);
        }
    }

    /// What is released in a cupboard goes into its extract.
    fn cupboard(&mut self, terminal: &AirTerminal) {
        let basis = &self.project.basis;
        let stands_in = self.spaces.room_beside(terminal.floor, terminal.at);
        let Some((room, at)) = stands_in.filter(|_| basis.is_on(&basis::WATCH_CUPBOARDS)) else {
            return;
        };
        let near = self.trace.basis(basis, &basis::CUPBOARD_NEAR);
        let inside = |need: &&Need| need.demand.room == room.id && need.off(at) <= near.value;
        let needs = joined(self.project, self.of_sources.iter().filter(inside));
        let place = at_terminal(terminal, room, at);
        for like in needs {
            let reach = self.trace.basis(basis, &basis::REACH_CUPBOARD);
            let inputs = [("reach of the extract", reach), ("in it up to", near)];
            let like = Need {
                within: Within::Duct,
                ..like
            };
            self.add_within(reach, like, &place, (&CUPBOARD, &inputs));
        }
    }

    /// Gas that leaves a room comes into one where nobody expects it.
    fn way_out(&mut self, opening: &Opening, room: &Room, other: Option<&Room>) {
        let is_way = matches!(opening.form, OpeningForm::Door | OpeningForm::OpenWay);
        let into = other.filter(|other| other.enclosure == Enclosure::Enclosed);
        let on = self.project.basis.is_on(&basis::WATCH_WAYS_OUT);
        let Some(other) = into.filter(|_| on && is_way) else {
            return;
        };
        let there = self.released_in(other.id);
        let new = |need: &&Need| {
            let source = need.source.and_then(|id| self.project.sources.get(id));
            let gas = source.map(|source| source.substance.as_str());
            let is_there = |gas: &str| there.iter().any(|one| same_gas(self.project, one, gas));
            need.demand.room == room.id && gas.is_some_and(|gas| !is_there(gas))
        };
        let needs = joined(self.project, self.of_sources.iter().filter(new));
        let mut place = self.at_opening(opening, room);
        place.title = format!("{} to {}", place.title, room_name(other));
        for like in needs {
            self.add(like, room, &place, &WAY_OUT, &[]);
        }
    }

    /// Keys of the substances that the sources in a room release.
    fn released_in(&self, room: RoomId) -> BTreeSet<&str> {
        let sources = self.project.sources.iter();
        let inside = sources.filter(|source| {
            let found = self.spaces.room_at(source.floor, source.at);
            found.is_some_and(|found| found.id == room)
        });
        inside.map(|source| source.substance.as_str()).collect()
    }

    /// Who opens a door to air without oxygen is warned there.
    fn door(&mut self, opening: &Opening, room: &Room) {
        let on = self.project.basis.is_on(&basis::WATCH_DOORS_OXYGEN);
        let is_door = opening.form == OpeningForm::Door;
        if !on || !is_door || room.enclosure != Enclosure::Enclosed {
            return;
        }
        let like = self.of_sources.iter().find(|need| {
            let depletes = need.hazards.contains(&Hazard::OxygenDepletion);
            need.demand.room == room.id && depletes && need.demand.measures == OXYGEN
        });
        let Some(like) = like else {
            return;
        };
        let place = self.at_opening(opening, room);
        let id = id_of(&place, OXYGEN, Band::Breathing);
        if self.found.iter().any(|need| need.demand.id == id) {
            return;
        }
        let mut like = like.clone();
        let height = mounting::height(self.trace, self.project, Some(room), Band::Breathing, None);
        like.demand.hazard = Hazard::OxygenDepletion;
        like.demand.band = Band::Breathing;
        like.demand.need = needed(self.project, Hazard::OxygenDepletion, self.trace);
        like.hazards = vec![Hazard::OxygenDepletion];
        like.height = height.value;
        like.heights = None;
        like.reason = DOOR_OXYGEN.statement.to_owned();
        self.add(like, room, &place, &DOOR_OXYGEN, &[]);
    }

    fn at_opening(&self, opening: &Opening, room: &Room) -> Place {
        let middle = Segment::new(opening.a, opening.b).point_at(0.5);
        Place {
            kind: DemandKind::Opening(opening.id),
            id: format!("opening-{}/room-{}", opening.id, room.id),
            title: format!(
                "{} {} of {}",
                opening.form.label(),
                opening.id,
                room_name(room)
            ),
            at: self.spaces.just_inside(room.id, middle),
        }
    }

    /// A need like another, at a place in a room; its reach says by which rule.
    fn add(
        &mut self,
        like: Need,
        room: &Room,
        place: &Place,
        rule: &Rule,
        also: &[(&str, Quantity)],
    ) {
        let from = reach(self.project, Some(room), like.demand.hazard, self.trace);
        let mut inputs = vec![("reach of the hazard", from)];
        inputs.extend(also);
        self.add_within(from, like, place, (rule, &inputs));
    }

    fn add_within(
        &mut self,
        reach: Quantity,
        like: Need,
        place: &Place,
        (rule, inputs): (&Rule, &[(&str, Quantity)]),
    ) {
        let demand = Demand {
            id: id_of(place, &like.demand.measures, like.demand.band),
            kind: place.kind,
            title: place.title.clone(),
            at: place.at,
            size: None,
            reach: self.trace.rule(rule, reach.value, Unit::Metre, inputs),
            ..like.demand
        };
        self.found.push(Need {
            demand,
            cells: Vec::new(),
            ..like
        });
    }
}

fn id_of(place: &Place, measures: &str, band: Band) -> String {
    format!("{}/{measures}/{}", place.id, band.label())
}

fn at_terminal(terminal: &AirTerminal, room: &Room, at: Point) -> Place {
    Place {
        kind: DemandKind::Terminal(terminal.id),
        id: format!("terminal-{}", terminal.id),
        title: format!("{} in {}", terminal.name(), room_name(room)),
        at,
    }
}

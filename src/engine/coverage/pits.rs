//! What must be watched in the pits of a room: what sinks gathers there, below the low band.

use std::rc::Rc;

use crate::engine::airspace::{Airspaces, Pit, room_name};
use crate::engine::coverage::demands::{Need, joined};
use crate::engine::coverage::within::Within;
use crate::engine::mounting;
use crate::engine::results::{Demand, DemandKind};
use crate::engine::trace::Trace;
use crate::geometry::cells;
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// For each pit that holds gas and each gas of its air that is sought near the floor, a need over
/// the whole pit.
pub fn needs(
    project: &Project,
    spaces: &Airspaces<'_>,
    of_sources: &[Need],
    trace: &mut Trace,
) -> Vec<Need> {
    if !project.basis.is_on(&basis::WATCH_PITS) {
        return Vec::new();
    }
    let mut found = Vec::new();
    for pit in spaces.pits() {
        let Some(room) = project.rooms.get(pit.room()) else {
            continue;
        };
        if pit.depth < mounting::PIT_HOLDS_M {
            continue;
        }
        let sinks = |need: &&Need| need.space == pit.space && need.demand.band == Band::Low;
        let here = |need: &Need| {
            let mut need = need.clone();
            need.demand.room = room.id;
            need
        };
        let sinking: Vec<Need> = of_sources.iter().filter(sinks).map(here).collect();
        for like in joined(project, sinking.iter()) {
            found.push(of_pit(project, room, pit, like, trace));
        }
    }
    found
}

fn of_pit(project: &Project, room: &Room, pit: &Rc<Pit>, like: Need, trace: &mut Trace) -> Need {
    let height = mounting::height_in(trace, project, pit);
    let title = format!("{} in {}", pit.name(), room_name(room));
    let size = trace.measured(
        format!("Area of {title}"),
        pit.outline.area(),
        Unit::SquareMetre,
    );
    let demand = Demand {
        id: format!(
            "{}/{}/{}",
            pit.key(),
            like.demand.measures,
            Band::Low.label()
        ),
        kind: DemandKind::Pit(pit.id),
        title,
        at: pit.outline.label_point(),
        reach: trace.basis(&project.basis, &basis::REACH_AREA),
        size: Some(size),
        watched: None,
        ..like.demand
    };
    let pitch = project.basis.get(&basis::AREA_CELL);
    Need {
        demand,
        height: height.value,
        heights: None,
        reason: format!(
            "What sinks gathers in the pit, {:.2} m deep, and stays there: it is sought {:.2} m \
             above its floor.",
            pit.depth,
            height.value + pit.depth
        ),
        cells: pit
            .floors
            .iter()
            .flat_map(|floor| cells(floor, pitch))
            .collect(),
        within: Within::Pit(pit.clone()),
        unit: Unit::SquareMetre,
        ..like
    }
}

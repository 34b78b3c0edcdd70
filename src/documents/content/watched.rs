//! How well each room is watched; what must be watched, by how many detectors, and who does it.

use crate::documents::content::names;
use crate::documents::table::{Cell, Column, Table};
use crate::engine::Results;
use crate::engine::coverage::{need_item, vote};
use crate::engine::mounting::name_of;
use crate::engine::results::{Demand, Scenario};
use crate::model::basis::{self, BasisItem};
use crate::model::{FloorId, Project, SourceId};
use crate::units::Unit;

/// One row per room that has something to be watched: sources met, floor watched, latest alarm.
pub fn scenarios(project: &Project, results: &Results) -> Table {
    let columns = vec![
        Column::text("room", 60.0),
        Column::number("release sources", Unit::One, 20.0),
        Column::number("all their demands met", Unit::One, 24.0),
        Column::number("share of sources met", Unit::Percent, 24.0),
        Column::number("share of floor watched", Unit::Percent, 24.0),
        Column::number("latest alarm", Unit::Second, 22.0),
        Column::text("of", 46.0),
        Column::text("no alarm from", 54.0),
    ];
    let title = "How well rooms are watched";
    let empty = "Nothing has to be watched yet: no release source is marked.";
    let mut table = Table::new(project, "scenarios", title, columns, empty);
    let source = |id: &SourceId| project.sources.get(*id).map(|one| one.name.as_str());
    let rooms = results.rooms.iter();
    let mut rooms: Vec<((FloorId, String), &Scenario)> = rooms
        .filter_map(|(id, found)| {
            let room = project.rooms.get(*id)?;
            Some(((room.floor, names::room(room)), found.scenario.as_ref()?))
        })
        .collect();
    rooms.sort_by(|a, b| a.0.cmp(&b.0));
    for ((_, room), found) in rooms {
        let silent: Vec<&str> = found.silent.iter().filter_map(source).collect();
        table.row(vec![
            Cell::text(room),
            Cell::number(found.sources),
            Cell::number(found.met),
            Cell::number(found.share),
            Cell::maybe(found.floor.map(Cell::number)),
            Cell::maybe(found.alarm.map(Cell::number)),
            Cell::text(found.last.as_ref().and_then(source).unwrap_or_default()),
            Cell::text(silent.join(", ")),
        ]);
    }
    let hours = project.basis.get(&basis::ALARM_HORIZON);
    table.notes.extend(share_asked(project, results));
    table.notes.push(format!(
        "Floor: only where the basis of design asks for the whole floor; of several gases and \
         bands the least share. Alarm: the first detector that watches the source, bus, panel and \
         sounder with it; no alarm from a source whose release stays below every set-point for \
         {hours} h, or that no detector watches. Releases into the open are not timed."
    ));
    table
}

/// One row per demand, room by room: how many detectors it needs, who has it in reach, how far.
pub fn watched(project: &Project, results: &Results) -> Table {
    let columns = vec![
        Column::text("room", 40.0),
        Column::text("what", 52.0),
        Column::text("measures", 26.0),
        Column::text("band", 20.0),
        Column::number("detectors needed", Unit::One, 18.0),
        Column::number("reach", Unit::Metre, 14.0),
        Column::text("in reach of", 46.0),
        Column::mixed("nearest, or how much is watched", 22.0),
        Column::mixed("of", 18.0),
        Column::text("state", 18.0),
    ];
    let title = "What is watched";
    let empty = "Nothing has to be watched yet: no release source is marked.";
    let mut table = Table::new(project, "watched", title, columns, empty);
    let room = |demand: &Demand| project.rooms.get(demand.room).map(names::room);
    let place = |(room, demand): &(String, &Demand)| (demand.floor, room.clone(), demand.room);
    let mut demands: Vec<(String, &Demand)> = results
        .demands
        .iter()
        .map(|demand| (room(demand).unwrap_or_default(), demand))
        .collect();
    demands.sort_by_key(place);
    for (room, demand) in demands {
        table.row(cells(project, room, demand));
    }
    table.notes.extend(share_asked(project, results));
    table.notes.extend(votes(project, results));
    table
}

fn cells(project: &Project, room: String, demand: &Demand) -> Vec<Cell> {
    let tag = |id| project.detectors.get(id).map(|one| one.tag.as_str());
    let tags: Vec<&str> = (demand.met_by.iter())
        .filter_map(|one| tag(one.detector))
        .collect();
    let nearest = demand.met_by.first().map(|one| one.figure);
    vec![
        Cell::text(room),
        Cell::text(&demand.title),
        Cell::text(name_of(project, &demand.measures)),
        Cell::text(format!("{} {}", demand.band.letter(), demand.band.label())),
        Cell::number(demand.need),
        Cell::number(demand.reach),
        Cell::text(tags.join(", ")),
        Cell::maybe(demand.watched.or(nearest).map(Cell::number)),
        Cell::maybe(demand.size.map(Cell::number)),
        Cell::text(state(project, demand)),
    ]
}

fn state(project: &Project, demand: &Demand) -> String {
    match (demand.met, demand.asked) {
        (false, _) => "not met".to_owned(),
        (true, None) => "met".to_owned(),
        (true, Some(_)) => {
            let share = project.basis.get(&basis::FLOOR_SHARE);
            format!("met, {share} % asked")
        }
    }
}

/// Said where less than all of a floor is to be watched.
fn share_asked(project: &Project, results: &Results) -> Option<String> {
    let share = project.basis.get(&basis::FLOOR_SHARE);
    let is_part = results.demands.iter().any(|demand| demand.asked.is_some());
    is_part.then(|| {
        format!(
            "Of each whole floor {share} % is to be watched (basis of design); the rest may stay \
             out of reach of every detector. Sources and other places are watched all the same."
        )
    })
}

/// What the number of detectors means for a vote, by hazard, where more than one is asked for.
fn votes(project: &Project, results: &Results) -> Vec<String> {
    let watches = results.sources.values().flat_map(|source| &source.watches);
    let mut items: Vec<&BasisItem> = watches.map(|watch| need_item(watch.hazard)).collect();
    items.sort_by_key(|item| item.key);
    items.dedup_by_key(|item| item.key);
    let several = items.into_iter().filter_map(|item| {
        let need = project.basis.get(item) as usize;
        let what = item.label.split(':').next().unwrap_or_default();
        (need > 1).then(|| format!("{what}: {}", vote(project, need)))
    });
    let mut notes: Vec<String> = several.collect();
    if !notes.is_empty() {
        let apart = project.basis.get(&basis::VOTE_APART);
        notes.push(format!(
            "Detectors closer than {apart} m to each other count as one for a demand that needs \
             several, so that one local cause does not carry the vote (basis of design)."
        ));
    }
    notes
}

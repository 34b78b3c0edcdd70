//! What must be watched, by how many detectors, and who does it.

use crate::documents::content::names;
use crate::documents::table::{Cell, Column, Table};
use crate::engine::Results;
use crate::engine::coverage::{need_item, vote};
use crate::engine::mounting::name_of;
use crate::engine::results::Demand;
use crate::model::Project;
use crate::model::basis::{self, BasisItem};
use crate::units::Unit;

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
        Column::mixed("nearest, or floor watched", 22.0),
        Column::mixed("of", 18.0),
        Column::text("state", 18.0),
    ];
    let title = "What is watched";
    let empty = "Nothing has to be watched yet: no release source is marked.";
    let mut table = Table::new(project, "watched", title, columns, empty);
    let room = |demand: &Demand| project.rooms.get(demand.room).map(names::room);
    let mut demands: Vec<(String, &Demand)> = results
        .demands
        .iter()
        .map(|demand| (room(demand).unwrap_or_default(), demand))
        .collect();
    demands.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.room.cmp(&b.1.room)));
    for (room, demand) in demands {
        table.row(cells(project, room, demand));
    }
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
        Cell::text(if demand.met { "met" } else { "not met" }),
    ]
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

//! What must be watched: each source in its bands, where its gas is carried, and the floors of
//! rooms the basis names.

use std::collections::BTreeMap;

use crate::engine::airspace::{Airspaces, room_name};
use crate::engine::coverage::rules::{FLOOR_ASKED, TOXIC_GOVERNS};
use crate::engine::coverage::voting::needed;
use crate::engine::coverage::within::Within;
use crate::engine::coverage::{ROUNDED_M, air, centimetres, extent, pits};
use crate::engine::mounting::{
    self, HeightRange, OXYGEN, height_range, name_of, same_gas, within_sentence,
};
use crate::engine::results::{Demand, DemandKind, SourceResult};
use crate::engine::trace::{Quantity, Trace};
use crate::geometry::{Cell, Point, cells};
use crate::model::basis::{self, BasisItem};
use crate::model::*;
use crate::units::Unit;

/// A demand with what is needed to see whether it is met.
#[derive(Debug, Clone)]
pub struct Need {
    pub demand: Demand,
    pub space: usize,
    /// The source whose gas it is, the first of several; `None` for an area.
    pub source: Option<SourceId>,
    /// Every hazard it is watched for; `demand.hazard` is the one that governs.
    pub hazards: Vec<Hazard>,
    /// Mounting height of its band at its place, m.
    pub height: f64,
    /// In the open the high band lies above its own source: the heights a detector watches it
    /// from. `None` where its band is that of the whole airspace.
    pub heights: Option<OwnHeights>,
    /// Why there, in sentences.
    pub reason: String,
    /// Cells of the floor, for an area; the places of a source that is a pipe run or an area;
    /// empty for one place.
    pub cells: Vec<Cell>,
    /// A detector watches only what lies in the same air.
    pub within: Within,
    /// What the size of its cells is measured in.
    pub unit: Unit,
}

/// The heights one source in the open is watched from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnHeights {
    pub range: HeightRange,
    /// A detector this far off them still counts, m.
    pub tolerance: f64,
}

/// Needs that the same detectors can meet: one airspace, one gas, one band.
#[derive(Debug, Clone)]
pub struct Group {
    pub space: usize,
    /// Key of what is measured.
    pub measures: String,
    pub band: Band,
    /// The hazard that governs.
    pub hazard: Hazard,
    /// Every hazard of its needs.
    pub hazards: Vec<Hazard>,
    /// Keys of the substances released, each once.
    pub released: Vec<String>,
    /// Uses of the rooms of its needs, each once.
    pub uses: Vec<RoomUse>,
    /// Height the free paths are looked for at, m.
    pub height: f64,
    /// In the open, heights among which those of an optimum are: the mounting height of each need
    /// and the highest it is watched from, least first. Empty where the band has one height.
    pub levels: Vec<f64>,
    /// Places in the list of needs.
    pub needs: Vec<usize>,
}

impl Need {
    /// Whether it is the floor of a room, not a source or another place.
    pub fn is_floor(&self) -> bool {
        self.demand.kind == DemandKind::Area
    }

    /// How far it is from `at` as the crow flies, to the nearest of its places, m.
    pub fn off(&self, at: Point) -> f64 {
        let places = self.cells.iter().map(|cell| cell.centre.distance(at));
        let nearest = places.min_by(f64::total_cmp);
        nearest.unwrap_or_else(|| self.demand.at.distance(at))
    }

    /// Whether a detector at `height` watches its band, as far as that depends on the need; a
    /// height not settled yet is taken to be right.
    pub fn holds(&self, height: Option<f64>) -> bool {
        let (Some(own), Some(height)) = (self.heights, height) else {
            return true;
        };
        own.range.off(height) <= own.tolerance + ROUNDED_M
    }
}

impl Group {
    /// How many detectors must have each of its needs in reach; the most where they differ.
    pub fn need(&self, needs: &[Need]) -> Quantity {
        let all = self.needs.iter().map(|idx| needs[*idx].demand.need);
        all.reduce(more).expect("a group has needs")
    }

    /// Height the free paths of a detector at `height` are looked for at, m.
    pub fn path_height(&self, height: Option<f64>) -> f64 {
        match (height, self.levels.is_empty()) {
            (Some(height), false) => height,
            _ => self.height,
        }
    }
}

/// All needs of the sources given: sources first, then air terminals and openings, then pits, then
/// areas.
pub fn needs(
    project: &Project,
    spaces: &Airspaces<'_>,
    sources: &BTreeMap<SourceId, SourceResult>,
    trace: &mut Trace,
) -> Vec<Need> {
    let mut needs = Vec::new();
    for (id, result) in sources {
        let room = result.room.and_then(|room| project.rooms.get(room));
        if let (Some(source), Some(room)) = (project.sources.get(*id), room) {
            of_source(project, spaces, source, room, result, trace, &mut needs);
        }
    }
    let floors = whole_floors(project, &needs);
    let in_pits = pits::needs(project, spaces, &needs, trace);
    needs.extend(air::needs(project, spaces, &needs, trace));
    needs.extend(in_pits);
    let mut cut: BTreeMap<RoomId, Vec<Cell>> = BTreeMap::new();
    for need in floors {
        let room = need.demand.room;
        let pitch = project.basis.get(&basis::AREA_CELL);
        let cells = cut
            .entry(room)
            .or_insert_with(|| cells(spaces.outline(room), pitch))
            .clone();
        let room = project
            .rooms
            .get(room)
            .expect("the room of a source is there");
        needs.push(of_floor(project, spaces, room, need, cells, trace));
    }
    needs
}

/// For each room that the basis of design names, and each gas and band sought in it, a need like
/// that of its sources with the hazards of all of them; by room, gas and band.
fn whole_floors(project: &Project, needs: &[Need]) -> Vec<Need> {
    let named = |need: &&Need| {
        let room = project.rooms.get(need.demand.room);
        let item = room.and_then(|room| area_item(room.room_use));
        item.is_some_and(|item| project.basis.is_on(item))
    };
    joined(project, needs.iter().filter(named))
}

/// For each room, gas and band of the needs given one like them with the hazards of all of them; by
/// room, gas and band.
pub fn joined<'a>(project: &Project, needs: impl Iterator<Item = &'a Need>) -> Vec<Need> {
    let mut found: Vec<Need> = Vec::new();
    for need in needs {
        let same = found.iter_mut().find(|one| {
            one.demand.room == need.demand.room
                && one.demand.band == need.demand.band
                && same_gas(project, &one.demand.measures, &need.demand.measures)
        });
        let Some(one) = same else {
            found.push(need.clone());
            continue;
        };
        one.demand.hazard = governing(one.demand.hazard, need.demand.hazard);
        one.demand.need = more(one.demand.need, need.demand.need);
        let new = need
            .hazards
            .iter()
            .filter(|hazard| !one.hazards.contains(hazard));
        let new: Vec<Hazard> = new.copied().collect();
        one.hazards.extend(new);
    }
    let key = |one: &Need| {
        let demand = &one.demand;
        (demand.room, demand.measures.clone(), demand.band)
    };
    found.sort_by_key(key);
    found
}

/// The needs by airspace, gas and band, in the order of their first need.
pub fn groups(project: &Project, needs: &[Need]) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    let room_use = |need: &Need| {
        project
            .rooms
            .get(need.demand.room)
            .map(|room| room.room_use)
    };
    for (idx, need) in needs.iter().enumerate() {
        let demand = &need.demand;
        let found = groups.iter_mut().find(|group| {
            group.space == need.space
                && group.band == demand.band
                && same_gas(project, &group.measures, &demand.measures)
        });
        match found {
            Some(group) => {
                group.needs.push(idx);
                group.hazard = governing(group.hazard, demand.hazard);
                for hazard in &need.hazards {
                    if !group.hazards.contains(hazard) {
                        group.hazards.push(*hazard);
                    }
                }
            }
            None => groups.push(Group {
                space: need.space,
                measures: demand.measures.clone(),
                band: demand.band,
                hazard: demand.hazard,
                hazards: need.hazards.clone(),
                released: Vec::new(),
                uses: Vec::new(),
                height: need.height,
                levels: Vec::new(),
                needs: vec![idx],
            }),
        }
    }
    for group in &mut groups {
        group.levels = levels(group.needs.iter().map(|idx| &needs[*idx]));
        for need in group.needs.iter().map(|idx| &needs[*idx]) {
            group.uses.extend(room_use(need));
            let source = need.source.and_then(|id| project.sources.get(id));
            let released = source.map(|source| source.substance.clone());
            group.released.extend(released);
        }
        group.uses.sort();
        group.uses.dedup();
        group.released.sort();
        group.released.dedup();
    }
    groups
}

/// Where some detector watches several needs, it does so from the lowest of their highest heights.
fn levels<'a>(needs: impl Iterator<Item = &'a Need>) -> Vec<f64> {
    let own = |need: &Need| Some([need.height, need.heights?.range.most]);
    let mut levels: Vec<f64> = needs.filter_map(own).flatten().map(centimetres).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    levels
}

/// Whether a detector set for `own` also serves a demand for `asked`.
pub fn serves(own: Hazard, asked: Hazard) -> bool {
    let oxygen = |hazard| matches!(hazard, Hazard::OxygenDepletion | Hazard::OxygenEnrichment);
    own == asked
        || own == Hazard::Toxic && asked == Hazard::Flammable
        || oxygen(own) && oxygen(asked)
}

/// The more severe of two hazards watched by one detector.
pub fn governing(one: Hazard, other: Hazard) -> Hazard {
    let rank = |hazard| match hazard {
        Hazard::Toxic => 0,
        Hazard::OxygenDepletion => 1,
        Hazard::OxygenEnrichment => 2,
        Hazard::Flammable => 3,
    };
    if rank(other) < rank(one) { other } else { one }
}

/// How far from a detector a source of this hazard may lie in this room.
pub fn reach(
    project: &Project,
    room: Option<&Room>,
    hazard: Hazard,
    trace: &mut Trace,
) -> Quantity {
    let outdoor = room.is_some_and(|room| room.enclosure == Enclosure::Outdoor);
    let item = match (hazard, outdoor) {
        (Hazard::Flammable, false) => &basis::REACH_FLAMMABLE_INDOOR,
        (Hazard::Flammable, true) => &basis::REACH_FLAMMABLE_OUTDOOR,
        (Hazard::Toxic, false) => &basis::REACH_TOXIC_INDOOR,
        (Hazard::Toxic, true) => &basis::REACH_TOXIC_OUTDOOR,
        (Hazard::OxygenDepletion | Hazard::OxygenEnrichment, _) => &basis::REACH_OXYGEN,
    };
    trace.basis(&project.basis, item)
}

fn area_item(room_use: RoomUse) -> Option<&'static BasisItem> {
    match room_use {
        RoomUse::Laboratory => Some(&basis::AREA_LABORATORY),
        RoomUse::BoilerRoom => Some(&basis::AREA_BOILER_ROOM),
        RoomUse::PlantRoom => Some(&basis::AREA_PLANT_ROOM),
        RoomUse::Store => Some(&basis::AREA_STORE),
        _ => None,
    }
}

fn of_source(
    project: &Project,
    spaces: &Airspaces<'_>,
    source: &ReleaseSource,
    room: &Room,
    result: &SourceResult,
    trace: &mut Trace,
    needs: &mut Vec<Need>,
) {
    let first = needs.len();
    let space = spaces.space_of(room.id);
    let places = extent::places(spaces, source, space);
    for watch in &result.watches {
        let merged = needs[first..]
            .iter_mut()
            .find(|need| need.demand.measures == watch.measures && need.demand.band == watch.band);
        if let Some(need) = merged {
            let governs = governing(need.demand.hazard, watch.hazard);
            let also = needed(project, watch.hazard, trace);
            need.demand.need = more(need.demand.need, also);
            need.hazards.push(watch.hazard);
            if governs != need.demand.hazard {
                need.demand.hazard = governs;
                let reach = reach(project, Some(room), governs, trace);
                let inputs = [("reach of the hazard that governs", reach)];
                need.demand.reach = trace.rule(&TOXIC_GOVERNS, reach.value, Unit::Metre, &inputs);
                need.reason = watch.reason.clone();
            }
            continue;
        }
        let demand = Demand {
            id: format!(
                "source-{}/{}/{}",
                source.id,
                watch.measures,
                watch.band.label()
            ),
            room: room.id,
            floor: source.floor,
            kind: DemandKind::Source(source.id),
            measures: watch.measures.clone(),
            hazard: watch.hazard,
            band: watch.band,
            title: format!("source: {}", source.name),
            at: source.at,
            need: needed(project, watch.hazard, trace),
            watching: 0,
            asked: None,
            reach: reach(project, Some(room), watch.hazard, trace),
            met_by: Vec::new(),
            watched: None,
            size: size(source, &places, trace),
            met: false,
        };
        needs.push(Need {
            demand,
            space,
            source: Some(source.id),
            hazards: vec![watch.hazard],
            height: watch.height.value,
            heights: own_heights(project, room, watch.band, watch.height.value),
            reason: watch.reason.clone(),
            cells: places.clone(),
            within: Within::Room,
            unit: extent::unit(source),
        });
    }
}

/// How far a source goes that is more than a point.
fn size(source: &ReleaseSource, places: &[Cell], trace: &mut Trace) -> Option<Quantity> {
    let extent = source.extent.as_ref()?;
    let what = match extent {
        Extent::Line(_) => "Length",
        Extent::Area(_) => "Area",
    };
    let size = places.iter().map(|place| place.area).sum();
    let title = format!("{what} of {}", source.name);
    (!places.is_empty()).then(|| trace.measured(title, size, extent::unit(source)))
}

/// The greater of two numbers of detectors.
fn more(one: Quantity, other: Quantity) -> Quantity {
    if other.value > one.value { other } else { one }
}

/// The heights the high band of a source in the open is watched from; under a roof, below it.
fn own_heights(project: &Project, room: &Room, band: Band, aim: f64) -> Option<OwnHeights> {
    if band != Band::High || !mounting::is_open(Some(room)) {
        return None;
    }
    let mut range = height_range(project, Some(room), band, aim);
    if room.enclosure == Enclosure::OpenSided {
        let unknown = project.basis.get(&basis::CEILING_UNKNOWN);
        let roof = room.ceiling.map_or(unknown, |ceiling| ceiling.get());
        range.most = range.most.min(roof).max(aim);
    }
    let tolerance = project.basis.get(&basis::HEIGHT_TOLERANCE);
    Some(OwnHeights { range, tolerance })
}

fn of_floor(
    project: &Project,
    spaces: &Airspaces<'_>,
    room: &Room,
    like: Need,
    cells: Vec<Cell>,
    trace: &mut Trace,
) -> Need {
    let outline = spaces.outline(room.id);
    let size = trace.measured(
        format!("Floor of {}", room_name(room)),
        outline.area(),
        Unit::SquareMetre,
    );
    let is_part = project.basis.get(&basis::FLOOR_SHARE) < 100.0;
    let asked = is_part.then(|| {
        let share = trace.basis(&project.basis, &basis::FLOOR_SHARE);
        let inputs = [("floor", size), ("share", share)];
        let asked = size.value * share.value / 100.0;
        trace.rule(&FLOOR_ASKED, asked, Unit::SquareMetre, &inputs)
    });
    let measures = like.demand.measures.clone();
    let demand = Demand {
        id: format!("area-{}/{}/{}", room.id, measures, like.demand.band.label()),
        kind: DemandKind::Area,
        title: format!("floor of {}", room_name(room)),
        at: outline.label_point(),
        reach: trace.basis(&project.basis, &basis::REACH_AREA),
        size: Some(size),
        asked,
        watched: None,
        ..like.demand
    };
    Need {
        demand,
        cells,
        unit: Unit::SquareMetre,
        source: None,
        heights: None,
        ..like
    }
}

/// "hydrogen", or "oxygen (for nitrogen)" is left to the caller: the name of what is measured.
pub fn gas_in_sentence(project: &Project, measures: &str) -> String {
    match measures {
        OXYGEN => "oxygen".to_owned(),
        key => within_sentence(&name_of(project, key)),
    }
}

/// The point in a need's list nearest to `at` as the crow flies, those first that lie in the same
/// air and are watched from `height`.
pub fn nearest_need<'a>(
    needs: &'a [Need],
    group: &Group,
    at: Point,
    height: Option<f64>,
) -> Option<&'a Need> {
    let far = |need: &Need| need.off(at);
    let own = Within::at(needs, group, at, height);
    group
        .needs
        .iter()
        .map(|idx| &needs[*idx])
        .filter(|need| !need.is_floor())
        .min_by(|a, b| {
            let off = |need: &Need| (!need.within.is_same(&own), !need.holds(height));
            off(a).cmp(&off(b)).then(far(a).total_cmp(&far(b)))
        })
        .or_else(|| group.needs.first().map(|idx| &needs[*idx]))
}

/// The height a detector of `group` is mounted at in `room`, traced; in the open for a source that
/// is watched from `height`, if there is one.
pub fn aim(
    project: &Project,
    needs: &[Need],
    group: &Group,
    room: &Room,
    (at, height): (Point, Option<f64>),
    trace: &mut Trace,
) -> Quantity {
    if let Within::Pit(pit) = Within::at(needs, group, at, height) {
        return mounting::height_in(trace, project, &pit);
    }
    let nearest = nearest_need(needs, group, at, height);
    let source = nearest.and_then(|need| project.sources.get(need.source?));
    mounting::height(trace, project, Some(room), group.band, source)
}

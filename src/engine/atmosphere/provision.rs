//! What a room must give beside detection: air for cells on charge, volume for refrigerant.
//!
//! EN 62485-2 for the air, EN 378-1 for the charge. Air that is stated and does not suffice blocks:
//! no detector stands for the ventilation of a battery room. A charge beyond the limit is allowed
//! with measures, of which detection is one, so it warns. What of a room is not stated is said once
//! a room. Must not judge times to alarm.

use std::collections::BTreeMap;

use crate::engine::airspace::{Airspaces, room_name};
use crate::engine::atmosphere::air::SharedAir;
use crate::engine::atmosphere::discharge::{battery_air, charge_assumed, charge_limit};
use crate::engine::atmosphere::words::{figure, said};
use crate::engine::finding::{Finding, Severity};
use crate::engine::formula::{Formula, Symbol};
use crate::engine::gas::{Substance, within_sentence};
use crate::engine::results::*;
use crate::engine::trace::{Quantity, Trace};
use crate::model::release::{Battery, Equipment, RefrigerantCharge};
use crate::model::*;
use crate::units::Unit;

/// Every formula of this module.
pub static FORMULAS: &[&Formula] = &[&AIR_TOGETHER, &CHANGES_ASKED];

/// Air that all the cells of a room require.
pub static AIR_TOGETHER: Formula = Formula {
    id: "atmosphere.battery_air_together",
    title: "Airflow that all cells on charge in the room require",
    expression: "Q = Σ Q_i",
    inputs: &[Symbol::new("Q_i", "airflow of a battery", Unit::CubicMetrePerHour).within(0.0, 1e6)],
    repeats: true,
    output: Symbol::new("Q", "airflow", Unit::CubicMetrePerHour),
    citation: Citation::from_memory("EN 62485-2", "batteries in one room are added"),
    compute: |x| x.iter().sum(),
    example: (&[4.8, 1.2], 6.0),
    example_from: "by hand",
};

/// Air changes that give an airflow.
pub static CHANGES_ASKED: Formula = Formula {
    id: "atmosphere.changes_asked",
    title: "Air changes that give it",
    expression: "n = Q / V",
    inputs: &[
        Symbol::new("Q", "airflow", Unit::CubicMetrePerHour).within(0.0, 1e6),
        Symbol::new("V", "volume of air", Unit::CubicMetre).within(0.1, 1e6),
    ],
    repeats: false,
    output: Symbol::new("n", "air changes", Unit::PerHour),
    citation: Citation::CommonPractice,
    compute: |x| x[0] / x[1],
    example: (&[120.0, 60.0], 2.0),
    example_from: "by hand",
};

/// What cells on charge and refrigerant ask of the room, into `result`.
pub fn of_source(
    project: &Project,
    source: &ReleaseSource,
    substance: &Substance,
    air: Option<&SharedAir>,
    trace: &mut Trace,
    result: &mut ReleaseResult,
) {
    match &source.release {
        Some(Release::Battery(battery)) => {
            let needs = battery_air(project, source, battery, trace);
            result.sentences.push(format!(
                "Cells on charge require {} of fresh air by EN 62485-2, or openings of {} low and \
                 again high; {} of hydrogen come by the standard's current, {} by the best \
                 estimate.",
                said(needs.airflow),
                said(needs.opening),
                said(needs.hydrogen),
                said(needs.best_estimate)
            ));
            result.battery = Some(needs);
        }
        Some(Release::Charge(charge)) => {
            result.charge = self::charge(project, source, (substance, charge), air, trace);
            let name = within_sentence(&substance.name);
            result.sentences.extend(result.charge.as_ref().map(|held| {
                format!(
                    "By its practical limit the room may hold {} of {name}; the circuit holds {}.",
                    said(held.limit),
                    said(held.charge)
                )
            }));
        }
        _ => {}
    }
}

fn charge(
    project: &Project,
    source: &ReleaseSource,
    (substance, of): (&Substance, &RefrigerantCharge),
    air: Option<&SharedAir>,
    trace: &mut Trace,
) -> Option<ChargeHeld> {
    let limit = charge_limit(substance, air?.volume, trace)?;
    let title = format!("Refrigerant charge of {}", source.name);
    Some(ChargeHeld {
        charge: trace.stated_or(project, title, of.mass, charge_assumed(of)),
        limit,
    })
}

/// The findings about all sources: charges one by one, cells by the air they share.
pub fn findings(
    project: &Project,
    spaces: &Airspaces<'_>,
    airs: &BTreeMap<RoomId, Option<SharedAir>>,
    releases: &Releases,
    trace: &mut Trace,
) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut charging: BTreeMap<usize, Vec<(&ReleaseSource, &Room, BatteryAir)>> = BTreeMap::new();
    for (id, release) in releases {
        let room = release.room.and_then(|id| project.rooms.get(id));
        let (Some(source), Some(room)) = (project.sources.get(*id), room) else {
            continue;
        };
        if let Some(battery) = release.battery {
            let space = charging.entry(spaces.space_of(room.id)).or_default();
            space.push((source, room, battery));
        }
        if let Some(Release::Charge(charge)) = &source.release {
            found.extend(too_much(source, room, charge, release));
        }
    }
    found.extend(airs.iter().filter_map(|(room, air)| {
        let air = air.as_ref().filter(|air| !air.unknown.is_empty())?;
        let message = format!("{} Times to alarm here rest on it.", air.unknown.join(" "));
        let remedy = "Measure it, or ask the client; the questions list it.";
        let id = format!("room.assumed/room-{room}");
        Some(Finding::new(id, Severity::Note, message, remedy).about(ItemKey::Room(*room)))
    }));
    for batteries in charging.values() {
        let air = batteries
            .iter()
            .find_map(|(_, room, _)| airs.get(&room.id)?.as_ref());
        found.extend(air.and_then(|air| too_little_air(batteries, air, trace)));
    }
    found
}

/// More refrigerant than the room may hold, or a limit that no table states.
fn too_much(
    source: &ReleaseSource,
    room: &Room,
    of: &RefrigerantCharge,
    release: &ReleaseResult,
) -> Option<Finding> {
    let name = format!("{} in {}", source.name, room_name(room));
    let about = |finding: Finding| {
        finding
            .about(ItemKey::Source(source.id))
            .at(source.floor, source.at)
    };
    release.volume?;
    let Some(held) = &release.charge else {
        let message = format!(
            "{name}: the practical limit of {} is not known here, so no limit of the charge is \
             computed; the time to alarm stands without it.",
            release.substance
        );
        let remedy = "Take the practical limit from EN 378-1 or the safety data sheet, times the \
                      volume of the room.";
        let id = format!("room.charge_limit_unknown/source-{}", source.id);
        return Some(about(Finding::new(id, Severity::Note, message, remedy)));
    };
    if held.charge.value <= held.limit.value {
        return None;
    }
    let machinery = room.room_use == RoomUse::RefrigerationRoom;
    let severity = match machinery {
        true => Severity::Note,
        false => Severity::Warning,
    };
    let message = match of.mass {
        Some(_) => format!(
            "{name}: the charge of {} is more than the {} that the room may hold by the practical \
             limit of {}.",
            said(held.charge),
            said(held.limit),
            release.substance
        ),
        None => format!(
            "{name}: how much {} it holds is not stated. The room may hold {} by the practical \
             limit; {} is assumed, as of {}.",
            within_sentence(&release.substance),
            said(held.limit),
            said(held.charge),
            equipment_name(of.equipment)
        ),
    };
    let remedy = if machinery {
        "A machinery room may hold it with detection, emergency ventilation and alarms inside and \
         outside each door (EN 378-3): see that all three are there."
    } else if of.mass.is_none() {
        "Say what holds it, or read the charge off its nameplate: a small unit may hold less than \
         the room allows."
    } else {
        "Have the charge lowered or split, the room enlarged by permanent openings, or the \
         measures of EN 378-3 provided beside detection: ventilation or shut-off valves that its \
         alarm works."
    };
    let id = format!("room.charge/source-{}", source.id);
    let finding = Finding::new(id, severity, message, remedy);
    Some(about(finding.held_against(held.charge, held.limit)))
}

fn equipment_name(equipment: Option<Equipment>) -> &'static str {
    match equipment {
        Some(Equipment::Household) => "a household appliance",
        Some(Equipment::Cabinet) => "a refrigerated cabinet",
        Some(Equipment::RoomUnit) => "a split unit",
        Some(Equipment::Plant) | None => "commercial plant",
    }
}

/// Less air than the cells that share it require.
fn too_little_air(
    batteries: &[(&ReleaseSource, &Room, BatteryAir)],
    air: &SharedAir,
    trace: &mut Trace,
) -> Option<Finding> {
    let (first, room, _) = batteries.first()?;
    let flows: Vec<Quantity> = batteries.iter().map(|(.., needs)| needs.airflow).collect();
    let required = match flows[..] {
        [one] => one,
        _ => trace.eval(&AIR_TOGETHER, &flows),
    };
    let opening: f64 = batteries
        .iter()
        .map(|(.., needs)| needs.opening.value)
        .sum();
    let open = air
        .vents
        .map_or(0.0, |vents| 1e4 * vents.low.min(vents.high));
    if air.supply.value >= required.value || open >= opening {
        return None;
    }
    let changes = trace.eval(&CHANGES_ASKED, &[required, air.volume]);
    let whole = |battery: &Battery| battery.cells.is_some() && battery.capacity.is_some();
    let all_stated = batteries.iter().all(
        |(source, ..)| matches!(&source.release, Some(Release::Battery(battery)) if whole(battery)),
    );
    let (severity, whose) = match (air.is_stated, all_stated) {
        (true, true) => (Severity::Blocker, "give"),
        (true, false) => (
            Severity::Warning,
            "give, against cells that are partly assumed,",
        ),
        (false, _) => (Severity::Warning, "are assumed to give"),
    };
    let names: Vec<&str> = batteries.iter().map(|(source, ..)| &*source.name).collect();
    let message = format!(
        "{} in {}: cells on charge require {} of fresh air by EN 62485-2; the room's {} air \
         changes an hour {whose} {}.",
        names.join(", "),
        room_name(room),
        said(required),
        figure(air.air_changes),
        said(air.supply)
    );
    let unknown = match air.is_stated {
        true => "",
        false => "State the air changes of the room. ",
    };
    let remedy = format!(
        "{unknown}Have {} air changes an hour while the cells charge, or vents of {} cm² low and \
         again high; ventilation that a detector only starts does not stand for it.",
        figure(changes.value),
        figure(opening)
    );
    let id = format!("room.battery_air/room-{}", room.id);
    let finding = Finding::new(id, severity, message, remedy);
    let finding = finding
        .about(ItemKey::Room(room.id))
        .at(first.floor, first.at);
    Some(finding.held_against(air.supply, required))
}

//! Tables of a calculation sheet: inputs, alarms, harms.

use crate::documents::calculation::steps::InputLine;
use crate::documents::calculation::{printed, state_words};
use crate::documents::drawing::{time_text, watcher};
use crate::documents::number::{self, Decimals};
use crate::documents::table::{Cell, Column, Table};
use crate::engine::Quantity;
use crate::engine::results::{AlarmResult, HarmResult, Motion, ReleaseCase, ReleaseResult};
use crate::model::Project;

/// What was stated, assumed or measured, with its ground.
pub fn inputs_table(project: &Project, lines: &[InputLine]) -> Table {
    let columns = vec![
        Column::text("input", 14.0),
        Column::text("what", 100.0),
        Column::mixed("value", 30.0),
        Column::text("ground", 110.0),
    ];
    let empty = "No input is recorded.";
    let mut table = Table::new(project, "inputs", "Inputs", columns, empty);
    for line in lines {
        let basis = match line.is_basis {
            true => "basis of design; ",
            false => "",
        };
        table.row(vec![
            Cell::text(line.number.to_string()),
            Cell::text(&line.title),
            Cell::Number {
                quantity: line.quantity,
                decimals: number::reason_decimals(line.quantity.value, line.quantity.unit),
            },
            Cell::text(format!("{basis}{}", line.citation)),
        ]);
    }
    table
}

/// When each watch sees the release.
pub fn alarms(project: &Project, release: &ReleaseResult) -> Table {
    let columns = vec![
        Column::text("watch", 44.0),
        Column::mixed("first set-point", 24.0),
        Column::mixed("gas there, in a layer", 26.0),
        Column::text("least and most entrainment", 30.0),
        Column::mixed("gas there, mixed", 26.0),
        Column::mixed("own delay", 20.0),
        Column::mixed("alarm, in a layer", 24.0),
        Column::mixed("alarm, mixed", 24.0),
    ];
    let empty = "Nothing watches this release.";
    let mut table = Table::new(project, "alarms", "Time to alarm", columns, empty);
    for case in &release.cases {
        for alarm in &case.alarms {
            table.row(alarm_cells(project, release, case, alarm));
        }
    }
    table.notes.push(
        "Nobody knows whether the gas keeps to a layer or mixes through the room: the design must \
         hold in both."
            .to_owned(),
    );
    table
}

fn alarm_cells(
    project: &Project,
    release: &ReleaseResult,
    case: &ReleaseCase,
    alarm: &AlarmResult,
) -> Vec<Cell> {
    let band = alarm
        .gas_layered_band
        .map(|time| time.map_or("–".to_owned(), |time| printed(project, time)));
    let band = match case.front.is_empty() || alarm.gas_layered_band == [None, None] {
        true => String::new(),
        false => band.join(" to "),
    };
    let who = format!("{}, {}", watcher(project, alarm), alarm.hazard.label());
    vec![
        Cell::text(with_state(release, case, &who)),
        Cell::as_set(alarm.set_point),
        time(alarm.gas_layered),
        Cell::text(band),
        time(alarm.gas_mixed),
        time(Some(alarm.delay)),
        time(alarm.alarm_layered),
        time(alarm.alarm_mixed),
    ]
}

/// The alarm held against the harm, in each picture of the room.
pub fn harms(project: &Project, release: &ReleaseResult) -> Table {
    let columns = vec![
        Column::text("harm", 74.0),
        Column::mixed("level", 24.0),
        Column::text("if the gas is", 34.0),
        Column::mixed("first alarm", 22.0),
        Column::mixed("harm", 22.0),
        Column::text("verdict", 50.0),
    ];
    let empty = "No harmful level is known for this release.";
    let mut table = Table::new(project, "harms", "Alarm against harm", columns, empty);
    for case in &release.cases {
        for harm in &case.harms {
            let layered = ("in a layer", harm.alarm_layered, harm.harm_layered);
            if case.motion != Motion::Mixes {
                table.row(harm_cells(release, case, harm, layered));
            }
            let mixed = ("mixed through the room", harm.alarm_mixed, harm.harm_mixed);
            table.row(harm_cells(release, case, harm, mixed));
        }
    }
    table
}

/// A picture in words, with its first alarm and its harm.
type InPicture = (&'static str, Option<Quantity>, Option<Quantity>);

fn harm_cells(
    release: &ReleaseResult,
    case: &ReleaseCase,
    harm: &HarmResult,
    (picture, alarm, harmed): InPicture,
) -> Vec<Cell> {
    let verdict = match (alarm, harmed) {
        (Some(alarm), Some(harmed)) if alarm.value > harmed.value => {
            let late = time_text(alarm.value - harmed.value);
            format!("HARM {late} BEFORE ALARM")
        }
        (Some(alarm), Some(harmed)) => {
            format!(
                "alarm {} before harm",
                time_text(harmed.value - alarm.value)
            )
        }
        (Some(_), None) => "no harm in the time looked at".to_owned(),
        (None, Some(_)) => "HARM WITHOUT ALARM".to_owned(),
        (None, None) => "neither in the time looked at".to_owned(),
    };
    let what = format!("{}: {}", harm.hazard.label(), harm.name);
    vec![
        Cell::text(with_state(release, case, &what)),
        Cell::as_set(harm.level),
        Cell::text(picture),
        time(alarm),
        time(harmed),
        Cell::text(verdict),
    ]
}

fn with_state(release: &ReleaseResult, case: &ReleaseCase, words: &str) -> String {
    match state_words(release, case) {
        "" => words.to_owned(),
        state => format!("{words}, {state}"),
    }
}

/// A time, or a dash where it does not come in the time looked at.
fn time(quantity: Option<Quantity>) -> Cell {
    match quantity {
        Some(quantity) => Cell::Number {
            quantity,
            decimals: Decimals::OfUnit,
        },
        None => Cell::text("–"),
    }
}

fn figures_of_alarm(alarm: &AlarmResult) -> Vec<Quantity> {
    let times = [
        alarm.gas_layered,
        alarm.gas_mixed,
        alarm.alarm_layered,
        alarm.alarm_mixed,
        alarm.alarm,
    ];
    let mut all = vec![
        alarm.height,
        alarm.distance,
        alarm.set_point,
        alarm.set_point_gas,
        alarm.delay,
    ];
    all.extend(times.into_iter().flatten());
    all.extend(alarm.gas_layered_band.into_iter().flatten());
    all
}

fn figures_of_harm(harm: &HarmResult) -> Vec<Quantity> {
    let times = [
        harm.harm_layered,
        harm.harm_mixed,
        harm.harm_later,
        harm.harm,
        harm.alarm,
    ];
    let mut all = vec![harm.level];
    all.extend(times.into_iter().flatten());
    all
}

/// Every figure of a release that has a reason.
pub fn figures_of(release: &ReleaseResult) -> Vec<Quantity> {
    let mut all = vec![
        release.rate,
        release.relative_density,
        release.source_height,
        release.occupied_height,
    ];
    let room = [
        release.total,
        release.volume,
        release.area,
        release.height,
        release.ventilation,
        release.ends,
    ];
    all.extend(room.into_iter().flatten());
    for case in &release.cases {
        all.extend([case.from, case.relative_density, case.highest]);
        all.extend(case.steady);
        if let Some(plume) = &case.plume {
            all.extend([plume.run, plume.buoyancy, plume.flux, plume.dilution]);
            all.extend(plume.dilution_band);
        }
        if let Some(vented) = &case.vented {
            all.extend([vented.vents, vented.front, vented.flow, vented.gas]);
        }
        all.extend(case.alarms.iter().flat_map(figures_of_alarm));
        all.extend(case.harms.iter().flat_map(figures_of_harm));
    }
    if let Some(mixing) = &release.mixing {
        let crossings = [mixing.crossing_adiabatic, mixing.crossing_heated];
        all.extend(crossings.into_iter().flatten());
    }
    if let Some(oxygen) = &release.final_oxygen {
        all.extend([oxygen.plug, oxygen.mixed]);
    }
    if let Some(air) = release.battery {
        all.extend([air.hydrogen, air.best_estimate, air.airflow, air.opening]);
    }
    if let Some(held) = release.charge {
        all.extend([held.charge, held.limit]);
    }
    all
}

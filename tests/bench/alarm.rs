//! How long the times to alarm of 200 sources on one floor take. Prints the figure; it must stay
//! below 50 ms in a release build.

#![allow(clippy::disallowed_methods, reason = "a bench looks at the clock")]

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use brattice::engine::airspace::Airspaces;
use brattice::engine::atmosphere::discharge::discharge;
use brattice::engine::atmosphere::{Inputs, step};
use brattice::engine::gas::find;
use brattice::engine::{Trace, coverage, mounting};
use brattice::model::Project;
use serde_json::{Value, json};

const ROOMS: usize = 20;
const SOURCES: usize = 200;
const ROUNDS: usize = 15;
const LIMIT: Duration = Duration::from_millis(50);

/// Twenty rooms in a row, ten sources in each: light, heavy, cold, toxic and pool releases.
fn floor() -> Project {
    let rooms: Vec<Value> = (0..ROOMS)
        .map(|idx| {
            let x = 11.0 * idx as f64;
            json!({"id": idx + 1, "floor": 1, "number": format!("{idx}"), "name": "laboratory",
                   "room_use": "laboratory", "ceiling": 3.0, "air_changes": 4.0,
                   "outline": [[x, 0.0], [x + 10.0, 0.0], [x + 10.0, 8.0], [x, 8.0]]})
        })
        .collect();
    let kinds = [
        ("74-82-8", "gas"),
        ("1333-74-0", "gas"),
        ("74-98-6", "liquefied_gas"),
        ("7727-37-9", "cryogenic_liquid"),
        ("74-82-8", "cryogenic_liquid"),
        ("7664-41-7", "liquefied_gas"),
        ("7783-06-4", "gas"),
        ("108-88-3", "liquid"),
        ("630-08-0", "gas"),
        ("124-38-9", "gas"),
    ];
    let sources: Vec<Value> = (0..SOURCES)
        .map(|idx| {
            let (substance, holding) = kinds[idx % kinds.len()];
            let place = idx % (SOURCES / ROOMS);
            let x = 11.0 * (idx / (SOURCES / ROOMS)) as f64 + 0.9 * place as f64 + 0.5;
            json!({"id": idx + 1, "floor": 1, "name": format!("source {idx}"),
                   "at": [x, 1.0 + 0.6 * place as f64], "height": 1.0, "substance": substance,
                   "holding": holding, "release": {"kind": "flow", "rate": 0.5 + idx as f64 / 20.0}})
        })
        .collect();
    let project = json!({
        "head": {"name": "Two hundred sources"},
        "floors": [{"id": 1, "name": "Ground", "elevation": 0.0}],
        "rooms": rooms,
        "sources": sources,
    });
    serde_json::from_value(project).expect("a project")
}

fn main() {
    let project = floor();
    let spaces = Airspaces::new(&project);
    let (mut findings, mut questions) = (Vec::new(), Vec::new());
    let mut trace = Trace::default();
    let sources = mounting::mount(&project, &spaces, &mut trace, &mut findings, &mut questions);
    let found = coverage::assess(&project, &spaces, &sources, None, &mut trace, &mut findings);
    let watchers = coverage::watchers(&project, &found.needs, &found.detectors, &mut trace);
    let discharges: BTreeMap<_, _> = project
        .sources
        .iter()
        .map(|source| {
            let substance = find(&source.substance).expect("a known substance");
            let out = discharge(
                &project,
                source,
                substance,
                &mut trace,
                &mut findings,
                &mut questions,
            );
            (source.id, out)
        })
        .collect();
    assert_eq!(discharges.len(), SOURCES);
    let inputs = Inputs {
        project: &project,
        spaces: &spaces,
        discharges: &discharges,
        watchers: &watchers,
        questions: &[],
    };
    let mut times: Vec<Duration> = (0..ROUNDS)
        .map(|_| {
            let (mut trace, mut findings) = (Trace::default(), Vec::new());
            let start = Instant::now();
            let releases = step(inputs, &mut trace, &mut findings);
            let taken = start.elapsed();
            assert_eq!(releases.len(), SOURCES);
            taken
        })
        .collect();
    times.sort();
    let (least, middle) = (times[0], times[ROUNDS / 2]);
    println!("times to alarm of {SOURCES} sources on one floor: {middle:.1?} (least {least:.1?})");
    assert!(middle < LIMIT, "{middle:?} is more than {LIMIT:?}");
}

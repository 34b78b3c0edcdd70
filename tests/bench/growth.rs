//! How the time of each step grows with the project: the demo, campuses of 40 to 400 rooms, halls.
//!
//! `cargo bench --bench growth`. Seconds by the clock, so nothing else should run. The last column
//! of the campuses is the time for one room beside that of the smallest campus: 1 where growth is linear.

#![allow(clippy::disallowed_methods, reason = "a bench looks at the clock")]

use std::time::Instant;

use brattice::engine::{self, Scope, Silent};
use brattice::geometry::Point;
use brattice::model::*;

mod made_projects;
use made_projects::{bare, floor, hall, room};

/// What stands in a room of each kind.
const KINDS: [(RoomUse, &[&str]); 5] = [
    (RoomUse::Laboratory, &["1333-74-0", "7727-37-9"]),
    (RoomUse::PlantRoom, &["7664-41-7"]),
    (RoomUse::Store, &["124-38-9"]),
    (RoomUse::BoilerRoom, &["natural-gas", "natural-gas"]),
    (RoomUse::Office, &[]),
];

/// Rooms of 6 m by 7 m either side of corridors, 40 on a floor, with sources in four of five; each
/// furnished.
fn large(n_rooms: u32) -> Project {
    let (mut project, demo) = bare();
    let n_floors = n_rooms.div_ceil(40);
    project.floors = (1..=n_floors).map(floor).collect();
    let (mut rooms, mut sources) = (Vec::new(), Vec::new());
    let like_panel = demo.panels.iter().next().expect("a panel");
    let like_source = demo.sources.iter().next().expect("a source");
    project.panels = (1..=n_floors)
        .map(|id| ControlPanel {
            id: PanelId(id),
            tag: format!("CP-{id}"),
            floor: FloorId(id),
            at: Point::new(60.0, 7.2),
            ..like_panel.clone()
        })
        .collect();
    for id in 1..=n_floors {
        let (a, b) = ([0.0, 7.0], [120.0, 9.4]);
        rooms.push(room(10_000 + id, FloorId(id), a, b, RoomUse::Corridor));
    }
    for n in 0..n_rooms {
        let floor = FloorId(n / 40 + 1);
        let (bay, south) = (f64::from(n % 40 / 2), n % 2 == 1);
        let (x, y) = (6.0 * bay, if south { 9.4 } else { 0.0 });
        let (room_use, gases) = KINDS[n as usize % KINDS.len()];
        rooms.push(room(n + 1, floor, [x, y], [x + 6.0, y + 7.0], room_use));
        for (k, gas) in gases.iter().enumerate() {
            sources.push(ReleaseSource {
                id: SourceId(sources.len() as u32 + 1),
                floor,
                name: format!("source {n}.{k}"),
                at: Point::new(x + 1.5 + 2.0 * k as f64, y + 2.0 + k as f64),
                substance: (*gas).to_owned(),
                called: None,
                holding: Some(Holding::Gas),
                ..like_source.clone()
            });
        }
    }
    furnish(&mut project, &rooms[n_floors as usize..]);
    project.rooms = rooms.into_iter().collect();
    project.sources = sources.into_iter().collect();
    project
}

/// Gives each room a door to the corridor, a supply and an extract terminal, and every eighth a
/// partition.
fn furnish(project: &mut Project, rooms: &[Room]) {
    let at = |room: &Room, x: f64, y: f64| {
        let corner = room.outline[0];
        Point::new(corner.x + x, corner.y + y)
    };
    let door = |room: &Room| {
        let wall = if room.outline[0].y > 0.0 { 0.0 } else { 7.0 };
        Opening {
            id: OpeningId(room.id.0),
            floor: room.floor,
            a: at(room, 4.5, wall),
            b: at(room, 5.5, wall),
            form: OpeningForm::Door,
            head: None,
        }
    };
    let terminal = |room: &Room, id: u32, kind: AirTerminalKind, [x, y]: [f64; 2]| AirTerminal {
        id: AirTerminalId(id),
        floor: room.floor,
        kind,
        at: at(room, x, y),
        height: None,
        flow: None,
    };
    let terminals = |room: &Room| {
        let id = 2 * room.id.0;
        [
            terminal(room, id, AirTerminalKind::Supply, [1.0, 6.0]),
            terminal(room, id + 1, AirTerminalKind::Extract, [5.0, 1.0]),
        ]
    };
    let partition = |room: &Room| Barrier {
        id: BarrierId(room.id.0),
        floor: room.floor,
        line: vec![at(room, 0.0, 4.5), at(room, 1.5, 4.5)],
        height: None,
        underside: None,
    };
    project.openings = rooms.iter().map(door).collect();
    project.terminals = rooms.iter().flat_map(terminals).collect();
    project.barriers = rooms.iter().step_by(8).map(partition).collect();
}

/// With the seconds it took by the clock: what a designer waits.
fn seconds<T>(what: impl FnOnce() -> T) -> (T, f64) {
    let start = Instant::now();
    let made = what();
    (made, start.elapsed().as_secs_f64())
}

/// The whole project's detectors by an exact search, then what was found as one edit.
fn suggested(project: &Project) -> Project {
    let found = engine::suggest(project, Scope::Project, &Silent);
    apply(project, &found.edit).expect("a suggestion is a sound edit")
}

/// The project less its detectors and what is wired.
fn stripped(mut project: Project) -> Project {
    project.detectors = Default::default();
    project.devices = Default::default();
    project.segments = Default::default();
    project
}

fn main() {
    demo();
    campuses();
    halls();
}

fn demo() {
    let (_, demo) = bare();
    let project = stripped(demo);
    let (after, took) = seconds(|| suggested(&project));
    let n = after.detectors.len();
    println!("demo, suggested from nothing: {n} detectors in {took:.2} s");
}

fn campuses() {
    println!(
        "rooms  points  proven  run bare  suggest   wire    run  s; each room against the first"
    );
    let mut first = None;
    for n_rooms in [40, 80, 160, 240, 320, 400] {
        let project = large(n_rooms);
        let (_, bare) = seconds(|| engine::run(&project, &Silent));
        let (project, suggest) = seconds(|| suggested(&project));
        let (found, wire) = seconds(|| engine::wire(&project, &Silent));
        let project = apply(&project, &found.edit).expect("a sound edit");
        let (results, run) = seconds(|| engine::run(&project, &Silent));
        assert!(
            results.demands.iter().all(|demand| demand.met),
            "{n_rooms} rooms"
        );
        let covers: Vec<_> = results
            .rooms
            .values()
            .flat_map(|room| &room.covers)
            .collect();
        let proven = covers.iter().filter(|cover| cover.proven).count();
        let each = [bare, suggest, wire, run].map(|took| took / f64::from(n_rooms));
        let base = *first.get_or_insert(each);
        let ratio = [0, 1, 2, 3].map(|i| each[i] / base[i]);
        println!(
            "{n_rooms:5}  {:6}  {proven:3}/{:3}  {bare:8.2}  {suggest:7.2}  {wire:5.2}  {run:5.2}     {}",
            project.detectors.len(),
            covers.len(),
            ratio.map(|one| format!("{one:5.2}")).join(" ")
        );
    }
}

fn halls() {
    println!("   m2  fewest  bound  found  run bare  suggest    run  s; holds for");
    for (width, depth) in [(20.0, 10.0), (25.0, 20.0), (40.0, 25.0), (50.0, 40.0)] {
        let project = hall(width, depth);
        let (results, bare) = seconds(|| engine::run(&project, &Silent));
        let cover = &results.rooms[&RoomId(1)].covers[0];
        let (after, suggest) = seconds(|| suggested(&project));
        let (_, run) = seconds(|| engine::run(&after, &Silent));
        let (fewest, bound, found) = (cover.fewest.value, cover.bound.value, after.detectors.len());
        println!(
            "{:5}  {fewest:6}  {bound:5}  {found:5}  {bare:8.2}  {suggest:7.2}  {run:5.2}     {}",
            width * depth,
            cover.holds_for
        );
    }
}

use crate::engine::drawn::{detector, empty, room, source};
use crate::engine::results::{Demand, DemandKind, Results};
use crate::engine::{Scope, Silent, run, suggest};
use crate::geometry::Point;
use crate::model::*;
use crate::units::Metres;

const PROPANE: &str = "74-98-6";
const METHANE: &str = "74-82-8";

fn pit(id: u32, corners: &[[f64; 2]], depth: Option<f64>) -> MarkedArea {
    MarkedArea {
        id: MarkedAreaId(id),
        floor: FloorId(1),
        kind: MarkedKind::Pit,
        outline: corners.iter().copied().map(Point::from).collect(),
        level: depth.map(Metres::new),
    }
}

/// A workshop of 12 m by 8 m with a source in a corner and this pit, watched by its sources alone.
fn workshop(gas: &str, pit: MarkedArea) -> Project {
    let mut project = empty();
    let workshop = room(1, [0.0, 0.0], [12.0, 8.0], RoomUse::Workshop);
    project.rooms = [workshop].into_iter().collect();
    project.sources = [source(1, [1.0, 1.0], gas, Holding::Gas)]
        .into_iter()
        .collect();
    project.marked = [pit].into_iter().collect();
    project
}

const SQUARE: [[f64; 2]; 4] = [[8.0, 4.0], [10.0, 4.0], [10.0, 6.0], [8.0, 6.0]];

fn suggested(project: &Project) -> Project {
    let suggestion = suggest(project, Scope::Project, &Silent);
    apply(project, &suggestion.edit).expect("a sound edit")
}

fn of_pit(results: &Results) -> Vec<&Demand> {
    let is_pit = |demand: &&Demand| matches!(demand.kind, DemandKind::Pit(_));
    results.demands.iter().filter(is_pit).collect()
}

fn heights(project: &Project) -> Vec<f64> {
    project
        .detectors
        .iter()
        .map(|one| one.height.get())
        .collect()
}

/// 0.3 m above the floor of a pit 1.2 m deep is 0.9 m below that of the room, by hand.
#[test]
fn heavy_gas_is_watched_in_the_pit_and_light_gas_is_not() {
    let heavy = suggested(&workshop(PROPANE, pit(1, &SQUARE, Some(1.2))));
    let results = run(&heavy, &Silent);
    let pits = of_pit(&results);
    assert_eq!(pits.len(), 1);
    let (watched, size) = (pits[0].watched.unwrap(), pits[0].size.unwrap());
    assert!(pits[0].met && (watched.value, size.value) == (4.0, 4.0));
    let mut found = heights(&heavy);
    found.sort_by(f64::total_cmp);
    assert_eq!(found, [-0.9, 0.3]);
    let cover = &results.rooms[&RoomId(1)].covers[0];
    assert!(cover.proven && cover.fewest.value == 2.0);
    let blockers = results
        .findings
        .iter()
        .filter(|one| one.id.starts_with("mounting.height"));
    assert_eq!(blockers.count(), 0, "the height in the pit is no mistake");

    let light = suggested(&workshop(METHANE, pit(1, &SQUARE, Some(1.2))));
    assert!(of_pit(&run(&light, &Silent)).is_empty());
    assert_eq!(light.detectors.len(), 1);
}

#[test]
fn a_pit_can_be_left_out_and_a_shallow_step_is_none() {
    let mut project = workshop(PROPANE, pit(1, &SQUARE, Some(0.2)));
    assert!(
        of_pit(&run(&project, &Silent)).is_empty(),
        "0.2 m hold no gas"
    );
    project.marked = [pit(1, &SQUARE, None)].into_iter().collect();
    let assumed = of_pit(&run(&project, &Silent)).len();
    assert_eq!(assumed, 1, "a depth not known is assumed");
    let off = Edit::SetBasis {
        key: "watch_pits".to_owned(),
        value: Some(0.0),
    };
    let project = apply(&project, &off).unwrap();
    assert!(of_pit(&run(&project, &Silent)).is_empty());
}

/// A detector over the pit, right beside it or in another pit does not watch it, one in it watches
/// nothing of the room.
#[test]
fn a_pit_is_an_air_of_its_own() {
    let mut project = workshop(PROPANE, pit(1, &SQUARE, Some(1.2)));
    project.marked.put(pit(
        2,
        &[[1.0, 5.0], [3.0, 5.0], [3.0, 7.0], [1.0, 7.0]],
        Some(1.2),
    ));
    let mut stand = |at: [f64; 2], height: f64| {
        let one = detector(1, at, height, PROPANE, Band::Low);
        project.detectors = [one].into_iter().collect();
        let results = run(&project, &Silent);
        let met = |demand: &Demand| (demand.id.clone(), demand.met);
        results.demands.iter().map(met).collect::<Vec<_>>()
    };
    let (room, first, second) = (
        "source-1/74-98-6/low",
        "pit-1/74-98-6/low",
        "pit-2/74-98-6/low",
    );
    let all = |met: [bool; 3]| {
        let ids = [room, first, second].map(str::to_owned);
        ids.into_iter().zip(met).collect::<Vec<_>>()
    };
    assert_eq!(stand([9.0, 5.0], 0.3), all([false; 3]), "over the pit");
    assert_eq!(stand([9.0, 5.0], -0.9), all([false, true, false]));
    assert_eq!(stand([2.0, 6.0], -0.9), all([false, false, true]));
    assert_eq!(stand([2.0, 2.0], 0.3), all([true, false, false]));
    let beside = stand([4.0, 2.0], -0.9);
    assert!(!beside[1].1, "below the floor where there is no pit");
}

/// The way in a pit goes along it. In a channel of two legs of 4.5 m, reach 3 m: from the end of one
/// to the end of the other it is 9 m along, 6.4 m as the crow flies, by hand.
#[test]
fn reach_in_a_channel_goes_along_the_channel() {
    let channel = [
        [2.0, 2.0],
        [7.0, 2.0],
        [7.0, 7.0],
        [6.5, 7.0],
        [6.5, 2.5],
        [2.0, 2.5],
    ];
    let mut project = workshop(PROPANE, pit(1, &channel, Some(0.6)));
    let reach = Edit::SetBasis {
        key: "reach_area".to_owned(),
        value: Some(3.0),
    };
    project = suggested(&apply(&project, &reach).unwrap());
    let results = run(&project, &Silent);
    assert!(of_pit(&results)[0].met);
    let in_channel = project
        .detectors
        .iter()
        .filter(|one| one.height.get() < 0.0);
    assert_eq!(in_channel.count(), 2, "9.5 m of channel at 6 m each");
    let found = &results.detectors;
    let rings = project
        .detectors
        .iter()
        .filter(|one| one.height.get() < 0.0)
        .flat_map(|one| {
            found[&one.id]
                .coverage
                .iter()
                .flatten()
                .copied()
                .collect::<Vec<_>>()
        });
    let rings: Vec<Point> = rings.collect();
    assert!(rings.len() > 8);
    for at in rings {
        let in_x = at.y <= 2.501 && at.y >= 1.999 && at.x >= 1.999;
        let in_y = at.x <= 7.001 && at.x >= 6.499;
        assert!(in_x || in_y, "what it watches lies in the channel: {at:?}");
    }
}

/// A drawn pit takes the place of the depth that the form of the room states.
#[test]
fn the_form_of_the_room_asks_for_a_pit_only_until_it_is_drawn() {
    let drawn = workshop(PROPANE, pit(1, &SQUARE, Some(1.2)));
    let mut undrawn = drawn.clone();
    undrawn.marked = Register::default();
    let stated = |project: &Project| {
        let mut project = project.clone();
        let mut room = project.rooms.get(RoomId(1)).unwrap().clone();
        room.features.pit = Some(Metres::new(1.2));
        project.rooms.put(room);
        let results = run(&project, &Silent);
        results
            .findings
            .iter()
            .any(|one| one.id.starts_with("mounting.pit"))
    };
    assert!(stated(&undrawn) && !stated(&drawn));
}

#[test]
fn a_pit_too_small_for_a_grid_gets_a_point_in_its_middle() {
    let sump = [[8.0, 4.0], [8.4, 4.0], [8.4, 4.4], [8.0, 4.4]];
    let project = suggested(&workshop(PROPANE, pit(1, &sump, Some(0.8))));
    let results = run(&project, &Silent);
    assert!(of_pit(&results)[0].met);
}

/// With two to vote, two stand in the pit as well, and apart.
#[test]
fn voting_counts_in_a_pit_as_elsewhere() {
    let project = workshop(PROPANE, pit(1, &SQUARE, Some(1.2)));
    let two = Edit::SetBasis {
        key: "need_flammable".to_owned(),
        value: Some(2.0),
    };
    let project = suggested(&apply(&project, &two).unwrap());
    let results = run(&project, &Silent);
    assert!(results.demands.iter().all(|demand| demand.met));
    assert_eq!(
        heights(&project)
            .iter()
            .filter(|height| **height < 0.0)
            .count(),
        2
    );
    assert_eq!(project.detectors.len(), 4);
}

/// A sump in the floor of a pit is deeper than it: each is watched in its own air.
#[test]
fn a_sump_within_a_pit_is_a_pit_of_its_own() {
    let mut project = workshop(PROPANE, pit(1, &SQUARE, Some(1.2)));
    let sump = [[8.8, 4.8], [9.2, 4.8], [9.2, 5.2], [8.8, 5.2]];
    project.marked.put(pit(2, &sump, Some(3.0)));
    let project = suggested(&project);
    let results = run(&project, &Silent);
    assert!(results.demands.iter().all(|demand| demand.met));
    let mut found = heights(&project);
    found.sort_by(f64::total_cmp);
    assert_eq!(found, [-2.7, -0.9, 0.3]);
    assert!(results.detectors.values().all(|one| one.counted));
}

/// By hand: 30 m of channel at 10 m each.
#[test]
fn a_narrow_channel_is_watched_along_its_length() {
    let mut project = empty();
    project.rooms = [room(1, [0.0, 0.0], [32.0, 4.0], RoomUse::Workshop)]
        .into_iter()
        .collect();
    project.sources = [source(1, [1.0, 1.0], PROPANE, Holding::Gas)]
        .into_iter()
        .collect();
    let channel = [[1.0, 2.0], [31.0, 2.0], [31.0, 2.15], [1.0, 2.15]];
    project.marked = [pit(1, &channel, Some(0.5))].into_iter().collect();
    let project = suggested(&project);
    assert!(of_pit(&run(&project, &Silent))[0].met);
    let below = heights(&project).into_iter().filter(|height| *height < 0.0);
    assert!((3..=4).contains(&below.count()));
}

#[test]
fn a_depth_that_is_not_known_is_asked_for() {
    let asked = |depth| {
        let results = run(&workshop(PROPANE, pit(1, &SQUARE, depth)), &Silent);
        let about = ItemKey::Marked(MarkedAreaId(1));
        results.questions.iter().any(|one| one.about == about)
    };
    assert!(asked(None) && !asked(Some(1.2)));
}

/// By hand: of 2 m by 2 m half lies in the room.
#[test]
fn a_pit_drawn_over_a_wall_ends_at_it() {
    let over = [[11.0, 4.0], [13.0, 4.0], [13.0, 6.0], [11.0, 6.0]];
    let project = suggested(&workshop(PROPANE, pit(1, &over, Some(1.2))));
    let results = run(&project, &Silent);
    let pits = of_pit(&results);
    assert_eq!(pits.len(), 1);
    let size = pits[0].size.unwrap().value;
    assert!((size - 2.0).abs() < 1e-6 && pits[0].met, "{size}");
    assert!(pits[0].at.x < 12.0);
    for one in &project.detectors {
        assert!(one.at.x <= 12.0, "it stands in the room: {:?}", one.at);
    }
    // A hand's breadth over the wall is no pit in the next room.
    let mut two = workshop(PROPANE, pit(1, &over, Some(1.2)));
    two.rooms
        .put(room(2, [12.98, 0.0], [18.0, 8.0], RoomUse::Workshop));
    two.sources
        .put(source(2, [15.0, 4.0], PROPANE, Holding::Gas));
    assert_eq!(of_pit(&run(&two, &Silent)).len(), 1);
}

/// Two rooms of 4 m by 4 m beside each other with an open way of 1 m, and a pit 1 m wide across it.
fn joined(from: f64, pit: MarkedArea) -> Project {
    let mut project = workshop(PROPANE, pit);
    project.rooms = [
        room(1, [0.0, 0.0], [4.0, 4.0], RoomUse::Workshop),
        room(2, [from, 0.0], [from + 4.0, 4.0], RoomUse::Workshop),
    ]
    .into_iter()
    .collect();
    let way = Opening {
        id: OpeningId(1),
        floor: FloorId(1),
        form: OpeningForm::OpenWay,
        a: Point::new(4.0, 1.0),
        b: Point::new(4.0, 2.0),
        head: None,
    };
    project.openings = [way].into_iter().collect();
    project
}

fn below_floor(project: &Project) -> usize {
    heights(project)
        .into_iter()
        .filter(|height| *height < 0.0)
        .count()
}

/// By hand: 1.5 m each way and the wall of 0.2 m, 1 m wide.
#[test]
fn a_pit_across_an_open_way_is_one_air() {
    let across = [[2.5, 1.0], [5.7, 1.0], [5.7, 2.0], [2.5, 2.0]];
    let mut project = suggested(&joined(4.2, pit(1, &across, Some(1.2))));
    let results = run(&project, &Silent);
    let pits = of_pit(&results);
    assert_eq!(pits.len(), 1);
    let size = pits[0].size.unwrap().value;
    assert!((size - 3.2).abs() < 1e-6 && pits[0].met, "{size}");
    assert_eq!(below_floor(&project), 1);
    for at in [[2.8, 1.5], [5.4, 1.5]] {
        let one = detector(9, at, -0.9, PROPANE, Band::Low);
        project.detectors = [one].into_iter().collect();
        let results = run(&project, &Silent);
        assert!(of_pit(&results)[0].met, "watched as a whole from {at:?}");
    }
}

/// Rooms are often drawn on one line: past the open way the wall parts the pit.
#[test]
fn a_wall_beside_the_open_way_parts_a_pit() {
    let across = [[3.5, 3.0], [4.5, 3.0], [4.5, 4.0], [3.5, 4.0]];
    for from in [4.0, 4.2] {
        let project = suggested(&joined(from, pit(1, &across, Some(1.2))));
        let results = run(&project, &Silent);
        assert!(of_pit(&results).iter().all(|one| one.met));
        assert_eq!(
            below_floor(&project),
            2,
            "a detector each side, from {from}"
        );
    }
}

#[test]
fn a_pit_under_a_wall_is_watched_in_both_rooms() {
    let across = [[2.0, 1.0], [7.0, 1.0], [7.0, 2.0], [2.0, 2.0]];
    let mut project = joined(4.2, pit(1, &across, Some(1.2)));
    project.openings = Register::default();
    assert_eq!(
        of_pit(&run(&project, &Silent)).len(),
        1,
        "the second room has no gas"
    );
    project
        .sources
        .put(source(2, [7.0, 3.0], PROPANE, Holding::Gas));
    let project = suggested(&project);
    let results = run(&project, &Silent);
    let pits = of_pit(&results);
    let titles: Vec<&str> = pits.iter().map(|one| one.title.as_str()).collect();
    assert_eq!(titles, ["pit 1 in G.01 Room", "pit 1, part 2 in G.02 Room"]);
    assert!(pits.iter().all(|one| one.met) && below_floor(&project) == 2);
}

use super::*;
use crate::engine::results::CrossingKind;
use crate::engine::test_building::{Plan, building, device, panel, room};
use crate::geometry::{Meeting, Polygon, Segment};
use crate::model::basis::CROSSING_COST;
use crate::model::*;
use crate::units::Metres;

fn example(wall: f64) -> Project {
    building(&Plan {
        floors: 2,
        bays: 4,
        wall,
        devices_per_room: 2,
    })
}

fn terminals(project: &Project) -> Vec<Terminal> {
    let panels = project.panels.iter().map(|panel| Terminal::Panel(panel.id));
    panels
        .chain(
            project
                .devices
                .iter()
                .map(|device| Terminal::Device(device.id)),
        )
        .collect()
}

fn outlines(project: &Project, floor: FloorId) -> Vec<Polygon> {
    project
        .rooms_on(floor)
        .map(|room| Polygon::new(room.outline.clone()))
        .collect()
}

/// Distances along a leg at which it crosses faces, counted with `geometry` alone: faces with
/// nothing but wall between them are one.
fn walls_crossed(rooms: &[Polygon], leg: &Segment) -> usize {
    let mut at: Vec<f64> = rooms
        .iter()
        .flat_map(|room| room.edges().collect::<Vec<_>>())
        .filter_map(|face| match leg.meeting(&face) {
            None => None,
            Some(Meeting::Crossing { first, .. }) => Some(first * leg.length()),
            Some(other) => panic!("{leg:?} lies on or ends at {face:?}: {other:?}"),
        })
        .collect();
    at.sort_by(f64::total_cmp);
    let in_a_room = |along: f64| {
        let point = leg.point_at(along / leg.length());
        rooms.iter().any(|room| room.contains(point))
    };
    let apart = |a: f64, b: f64| b - a > 1e-6 && (b - a > 0.6 || in_a_room((a + b) / 2.0));
    (0..at.len())
        .filter(|&idx| idx == 0 || apart(at[idx - 1], at[idx]))
        .count()
}

fn check_every_route(project: &Project) {
    let router = Router::new(project);
    let terminals = terminals(project);
    let lengths = router.lengths(&terminals);
    let mut n_crossed = 0;
    for (i, &a) in terminals.iter().enumerate() {
        for (j, &b) in terminals.iter().enumerate().skip(i + 1) {
            let route = router.route(a, b).expect("every terminal can be reached");
            let (mut walls, mut slabs, mut horizontal, mut vertical) = (0, 0, 0.0, 0.0);
            for pair in route.path.windows(2) {
                let level = |point: &PathPoint| {
                    let floor = project
                        .floors
                        .get(point.floor)
                        .expect("a floor of the project");
                    floor.elevation.get() + point.height
                };
                vertical += (level(&pair[0]) - level(&pair[1])).abs();
                horizontal += pair[0].at.distance(pair[1].at);
                slabs += usize::from(pair[0].floor != pair[1].floor);
                let leg = Segment::new(pair[0].at, pair[1].at);
                if leg.length() > 0.0 {
                    assert!(
                        (leg.from.x - leg.to.x)
                            .abs()
                            .min((leg.from.y - leg.to.y).abs())
                            < 1e-6,
                        "{leg:?} is askew"
                    );
                    walls += walls_crossed(&outlines(project, pair[0].floor), &leg);
                }
            }
            let counted = |slab: bool| {
                route
                    .crossings
                    .iter()
                    .filter(|c| (c.through == CrossingKind::Slab) == slab)
                    .count()
            };
            assert_eq!(
                (counted(false), counted(true)),
                (walls, slabs),
                "{:?}",
                route.path
            );
            assert!((route.horizontal - horizontal).abs() < 1e-6);
            assert!((route.vertical - vertical).abs() < 1e-6);
            assert!((lengths[i][j].expect("as routed") - route.length()).abs() < 1e-6);
            assert_eq!(lengths[i][j], lengths[j][i]);
            assert_eq!(router.route(b, a).map(Route::reversed), Some(route));
            n_crossed += walls;
        }
    }
    assert!(n_crossed > 100, "the example crosses walls");
}

#[test]
fn every_wall_a_route_crosses_is_counted_where_rooms_share_their_walls() {
    check_every_route(&example(0.0));
}

#[test]
fn every_wall_a_route_crosses_is_counted_once_where_walls_are_thick() {
    check_every_route(&example(0.24));
}

#[test]
fn floors_without_a_riser_have_no_route_and_a_riser_makes_one() {
    let mut project = example(0.0);
    let below = Terminal::Panel(PanelId(1));
    let above = project
        .devices
        .iter()
        .find(|d| d.floor == FloorId(2))
        .expect("one above")
        .id;
    let route = Router::new(&project)
        .route(below, Terminal::Device(above))
        .expect("by the riser");
    let slabs = route
        .crossings
        .iter()
        .filter(|c| c.through == CrossingKind::Slab);
    assert_eq!(slabs.map(|c| c.floor).collect::<Vec<_>>(), [FloorId(2)]);
    // From 1.5 m up to 2.8 m, a storey of 4.8 m, and down to the device at 0.3 m.
    assert!((route.vertical - (1.3 + 4.8 + 2.5)).abs() < 1e-9);
    project.risers.take(RiserId(1));
    assert_eq!(
        Router::new(&project).route(below, Terminal::Device(above)),
        None
    );
}

/// A floor with a catalogue and nothing else.
fn bare_floor() -> Project {
    let mut project = building(&Plan {
        floors: 1,
        bays: 0,
        wall: 0.0,
        devices_per_room: 0,
    });
    project.rooms.take(RoomId(1));
    project.panels.take(PanelId(1));
    project
}

/// Two places 2 m either side of a wall that ends 4 m below them.
fn round_or_through() -> (Project, Terminal, Terminal) {
    let mut project = bare_floor();
    let outline = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)];
    let outline = outline.map(|(x, y)| Point::new(x, y)).to_vec();
    room(&mut project, 1, "hall", RoomUse::Workshop, outline);
    let line = vec![Point::new(10.0, 0.0), Point::new(10.0, 9.0)];
    project.barriers.put(Barrier {
        id: BarrierId(1),
        floor: FloorId(1),
        line,
        height: None,
        underside: None,
    });
    let a = panel(&mut project, 1, Point::new(8.0, 5.0));
    let b = device(&mut project, 1, Point::new(12.0, 5.0), 1.5);
    // A place below the wall's end gives the way round its line, 1 m beyond the end.
    device(&mut project, 1, Point::new(10.0, 10.0), 1.5);
    (project, Terminal::Panel(a), Terminal::Device(b))
}

#[test]
fn a_wall_is_gone_round_when_that_costs_less_than_a_crossing() {
    let (mut project, a, b) = round_or_through();
    // Through: 4 m and one crossing. Round: 5 + 4 + 5 = 14 m and four turns of 0.1 m.
    for (worth, walls, metres) in [(9.9, 1, 4.0), (10.5, 0, 14.0)] {
        project.basis.set(CROSSING_COST.key, Some(worth));
        let route = Router::new(&project).route(a, b).expect("there is a way");
        assert_eq!(route.crossings.len(), walls);
        assert!(
            (route.horizontal - metres).abs() < 1e-9,
            "{}",
            route.horizontal
        );
    }
}

#[test]
fn a_tray_is_followed_at_its_height_and_a_way_through_an_opening_says_so() {
    let mut project = building(&Plan {
        floors: 1,
        bays: 3,
        wall: 0.0,
        devices_per_room: 0,
    });
    project.containments.put(Containment {
        id: ContainmentId(1),
        floor: FloorId(1),
        kind: ContainmentKind::Tray,
        line: vec![Point::new(0.5, 8.4), Point::new(17.5, 8.4)],
        height: Some(Metres::new(2.6)),
    });
    let far = device(&mut project, 1, Point::new(15.0, 6.0), 2.8);
    let router = Router::new(&project);
    let route = router
        .route(Terminal::Panel(PanelId(1)), Terminal::Device(far))
        .expect("a way");
    let on_tray = route.path.windows(2).any(|pair| {
        let along = |p: &PathPoint| (p.at.y - 8.4).abs() < 1e-6 && (p.height - 2.6).abs() < 1e-9;
        along(&pair[0]) && along(&pair[1]) && pair[0].at.distance(pair[1].at) > 10.0
    });
    assert!(on_tray, "{:?}", route.path);
    assert_eq!(route.crossings.len(), 1);
    assert_eq!(route.crossings[0].through, CrossingKind::Opening);
}

#[test]
fn a_device_outdoors_a_skewed_room_and_a_device_on_a_wall_are_all_reached() {
    let mut project = building(&Plan {
        floors: 1,
        bays: 2,
        wall: 0.2,
        devices_per_room: 1,
    });
    let skewed = [(20.0, 3.0), (26.0, 5.0), (24.0, 11.0), (18.0, 9.0)];
    let skewed = skewed.map(|(x, y)| Point::new(x, y)).to_vec();
    room(&mut project, 1, "skewed", RoomUse::Store, skewed);
    for (x, y) in [
        (22.0, 7.0),
        (30.0, 2.0),
        (6.1, 3.0),
        (6.0, 12.0),
        (12.0, 0.0),
    ] {
        device(&mut project, 1, Point::new(x, y), 1.5);
    }
    let router = Router::new(&project);
    for &terminal in &terminals(&project) {
        assert!(
            router
                .route(Terminal::Panel(PanelId(1)), terminal)
                .is_some(),
            "{terminal:?}"
        );
    }
    let length = |x: f64| {
        let device = project
            .devices
            .iter()
            .find(|d| d.at.x == x)
            .expect("it is there");
        let far = router.route(Terminal::Panel(PanelId(1)), Terminal::Device(device.id));
        far.expect("reached").length()
    };
    assert!(length(30.0) > 29.0 && length(6.0) < 40.0);
}

#[test]
fn a_big_floor_is_searched_quickly() {
    let project = building(&Plan {
        floors: 2,
        bays: 15,
        wall: 0.0,
        devices_per_room: 1,
    });
    let router = Router::new(&project);
    let (nodes, edges) = router.size();
    assert!(
        nodes < 20_000 && edges < 50_000,
        "{nodes} nodes, {edges} edges"
    );
    let reached = router.lengths(&terminals(&project));
    assert!(reached.iter().flatten().all(|length| length.is_some()));
}

#[test]
fn cable_between_devices_one_above_the_other_goes_straight() {
    let mut project = example(0.0);
    let at = Point::new(3.0, 0.1);
    let low = device(&mut project, 1, at, 0.3);
    let high = device(&mut project, 1, at, 1.5);
    let router = Router::new(&project);
    let route = router
        .route(Terminal::Device(low), Terminal::Device(high))
        .expect("they are on one floor");
    assert_eq!((route.horizontal, route.path.len()), (0.0, 2));
    assert!((route.vertical - 1.2).abs() < 1e-9);
}

/// A room of 10 m by 6 m, 3 m high, parted at x = 5 by a barrier of this height, with a panel on
/// the one side and a device on the other. Cables run at 2.8 m.
fn parted(barrier: f64) -> (Project, DeviceId) {
    let mut project = example(0.0);
    project.rooms.retain(|_| false);
    project.openings.retain(|_| false);
    project.devices.retain(|_| false);
    project.panels.retain(|_| false);
    let outline = [(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)];
    let outline = outline.map(|(x, y)| Point::new(x, y)).to_vec();
    room(&mut project, 1, "hall", RoomUse::Laboratory, outline);
    project.barriers.put(Barrier {
        id: BarrierId(1),
        floor: FloorId(1),
        line: vec![Point::new(5.0, -1.0), Point::new(5.0, 7.0)],
        height: Some(Metres::new(barrier)),
        underside: None,
    });
    panel(&mut project, 1, Point::new(1.0, 3.0));
    let device = device(&mut project, 1, Point::new(9.0, 3.0), 2.7);
    (project, device)
}

fn walls_of(project: &Project, device: DeviceId) -> usize {
    let route = Router::new(project)
        .route(Terminal::Panel(PanelId(1)), Terminal::Device(device))
        .expect("they are in one room");
    let wall = |crossing: &&Crossing| crossing.through == CrossingKind::Wall;
    route.crossings.iter().filter(wall).count()
}

#[test]
fn a_partition_that_reaches_the_cables_is_a_wall_though_it_ends_below_the_ceiling() {
    for (height, walls) in [(2.9, 1), (2.8, 1), (2.7, 0), (1.5, 0)] {
        let (project, device) = parted(height);
        assert_eq!(walls_of(&project, device), walls, "{height} m");
    }
}

#[test]
fn a_partition_below_the_cables_is_a_wall_for_a_tray_that_hangs_lower() {
    let (mut project, device) = parted(2.5);
    project.containments.put(Containment {
        id: ContainmentId(1),
        floor: FloorId(1),
        kind: ContainmentKind::Tray,
        line: vec![Point::new(1.0, 3.0), Point::new(9.0, 3.0)],
        height: Some(Metres::new(2.3)),
    });
    project.basis.set("crossing_cost", Some(0.0));
    assert_eq!(walls_of(&project, device), 1);
}

/// A hall with a ceiling of 3.7 m (cables at 3.5 m) left of x = 5, an office with one of 2.9 m
/// (cables at 2.7 m) right of it; half a metre before the wall a barrier of this height.
fn high_into_low(barrier: f64) -> (Project, DeviceId) {
    let (mut project, device) = parted(barrier);
    project.rooms.retain(|_| false);
    for (name, x0, x1, ceiling) in [("hall", 0.0, 5.0, 3.7), ("office", 5.0, 10.0, 2.9)] {
        let outline = [(x0, 0.0), (x1, 0.0), (x1, 6.0), (x0, 6.0)];
        let outline = outline.map(|(x, y)| Point::new(x, y)).to_vec();
        room(&mut project, 1, name, RoomUse::Laboratory, outline);
        let last = project.rooms.iter().next_back().expect("just made").clone();
        project.rooms.put(Room {
            ceiling: Some(Metres::new(ceiling)),
            ..last
        });
    }
    let mut line = project
        .barriers
        .get(BarrierId(1))
        .expect("it is there")
        .clone();
    line.line = vec![Point::new(4.5, -1.0), Point::new(4.5, 7.0)];
    project.barriers.put(line);
    // So far from the walls there is no corner of the route between the barrier and the wall.
    project.basis.set("cable_wall_offset", Some(1.0));
    // Straight on, not round.
    project.basis.set(CROSSING_COST.key, Some(0.0));
    (project, device)
}

/// Below the office's ceiling at 2.7 m the cable comes down in the hall already: a partition there
/// that reaches 2.7 m is in its way though the hall's cables at 3.5 m pass over it.
#[test]
fn a_cable_from_a_high_room_comes_down_before_a_low_one_and_counts_what_is_then_in_its_way() {
    for (height, walls) in [(3.0, 2), (2.7, 2), (2.6, 1), (1.0, 1)] {
        let (project, device) = high_into_low(height);
        let route = Router::new(&project)
            .route(Terminal::Panel(PanelId(1)), Terminal::Device(device))
            .expect("there is a way");
        assert_eq!(route.crossings.len(), walls, "{height} m: {:?}", route.path);
        assert!(
            (route.horizontal - 8.0).abs() < 1e-9,
            "{height} m: {:?}",
            route.path
        );
        let in_office = route.path.iter().filter(|point| point.at.x > 4.99);
        assert!(in_office.clone().count() > 0);
        for point in in_office {
            assert!(point.height <= 2.7 + 1e-9, "{:?}", route.path);
        }
    }
}

#[test]
fn a_tray_above_a_ceiling_is_told() {
    let (mut project, _) = high_into_low(2.0);
    for (height, told) in [(2.8, false), (3.5, true)] {
        project.containments.put(Containment {
            id: ContainmentId(1),
            floor: FloorId(1),
            kind: ContainmentKind::Tray,
            line: vec![Point::new(1.0, 3.0), Point::new(9.0, 3.0)],
            height: Some(Metres::new(height)),
        });
        let results = crate::engine::run(&project, &crate::engine::Silent);
        let about: Vec<&str> = (results.findings.iter())
            .filter(|one| one.id.starts_with("routing.above_ceiling/"))
            .map(|one| one.message.as_str())
            .collect();
        assert_eq!(about.len(), usize::from(told), "{about:?}");
        assert!(about.iter().all(|one| one.contains("office (2.90 m)")));
    }
}

#[test]
fn a_cable_keeps_to_what_is_drawn_where_it_can() {
    // Four rooms in a row: across them, 3 walls to go through; the ground before them is free.
    let mut project = bare_floor();
    for n in 0..4 {
        let x = f64::from(n) * 3.0;
        let outline = [(x, 0.0), (x + 3.0, 0.0), (x + 3.0, 4.0), (x, 4.0)];
        let outline = outline.map(|(x, y)| Point::new(x, y)).to_vec();
        room(&mut project, 1, "store", RoomUse::Store, outline);
    }
    let from = Terminal::Panel(panel(&mut project, 1, Point::new(1.0, 1.0)));
    let to = Terminal::Device(device(&mut project, 1, Point::new(11.0, 1.0), 1.5));
    let crossings = |project: &Project| {
        let route = Router::new(project).route(from, to).expect("a way");
        route.crossings.len()
    };
    assert_eq!(crossings(&project), 3, "through the rooms");
    project.basis.set("undrawn_factor", Some(1.0));
    project.basis.set(CROSSING_COST.key, Some(8.0));
    assert_eq!(crossings(&project), 2, "round the rooms");
    project.basis.set("undrawn_factor", None);
    assert_eq!(
        crossings(&project),
        3,
        "rather through than where nothing is drawn"
    );
    let yard = [(-2.0, -6.0), (14.0, -6.0), (14.0, 0.0), (-2.0, 0.0)];
    let yard = yard.map(|(x, y)| Point::new(x, y)).to_vec();
    room(&mut project, 1, "yard", RoomUse::Other, yard);
    let last = project.rooms.iter().map(|room| room.id).max();
    if let Some(mut area) = last.and_then(|id| project.rooms.take(id)) {
        area.enclosure = Enclosure::Outdoor;
        project.rooms.put(area);
    }
    project.basis.set("outdoor_factor", Some(1.0));
    assert_eq!(
        crossings(&project),
        2,
        "a yard that is drawn may be crossed"
    );
}

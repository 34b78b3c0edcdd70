//! Fewest detectors against brute force: every subset of the candidate points, smallest first, with
//! distances of plain geometry (convex rooms, so the straight line is the free path).

use brattice::engine::airspace::Airspaces;
use brattice::engine::coverage::{groups, needs};
use brattice::engine::mounting::mount;
use brattice::engine::placement::candidates;
use brattice::engine::{Scope, Silent, Trace, run, suggest};
use brattice::geometry::Point;
use brattice::model::{
    Edit, Enclosure, Floor, FloorId, Holding, Project, ReleaseSource, Room, RoomId, RoomUse,
    SourceId, apply, basis,
};
use brattice::units::Metres;

fn project(width: f64, depth: f64, room_use: RoomUse, sources: &[[f64; 2]]) -> Project {
    let mut project = Project::default();
    project.head.name = "Brute force".to_owned();
    project.floors = [Floor {
        id: FloorId(1),
        name: "Ground floor".to_owned(),
        elevation: Metres::new(0.0),
        sheet: None,
    }]
    .into_iter()
    .collect();
    project.rooms = [Room {
        id: RoomId(1),
        floor: FloorId(1),
        number: "G.01".to_owned(),
        name: "Room".to_owned(),
        room_use,
        enclosure: Enclosure::Enclosed,
        outline: [[0.0, 0.0], [width, 0.0], [width, depth], [0.0, depth]]
            .map(Point::from)
            .to_vec(),
        ceiling: Some(Metres::new(3.0)),
        air_changes: None,
        features: brattice::model::RoomFeatures::default(),
    }]
    .into_iter()
    .collect();
    project.sources = (1..)
        .zip(sources)
        .map(|(id, at)| ReleaseSource {
            id: SourceId(id),
            floor: FloorId(1),
            name: format!("valve {id}"),
            at: Point::from(*at),
            height: Some(Metres::new(1.0)),
            substance: "1333-74-0".to_owned(),
            called: None,
            extent: None,
            holding: Some(Holding::Gas),
            release: None,
        })
        .collect();
    project
}

/// What must be watched from how near; of a floor with its area, as so much may be left.
struct Target {
    at: Point,
    reach: f64,
    area: Option<f64>,
}

/// The fewest of `points` so that each target has `need` of them within its reach, but for floor of
/// no more than `spare` m2; every subset is tried.
fn brute_force(points: &[Point], targets: &[Target], need: u32, spare: f64) -> usize {
    let within: Vec<Vec<bool>> = points
        .iter()
        .map(|at| {
            targets
                .iter()
                .map(|to| at.distance(to.at) <= to.reach + 1e-9)
                .collect()
        })
        .collect();
    let enough = |counts: &[u32]| {
        let short = targets.iter().zip(counts).filter(|(_, n)| **n < need);
        let left: f64 = short
            .map(|(target, _)| target.area.unwrap_or(f64::INFINITY))
            .sum();
        left <= spare + 1e-6
    };
    (1..=points.len())
        .find(|size| covers(&within, &mut vec![0; targets.len()], (0, *size), &enough))
        .expect("all points together reach every target")
}

fn covers(
    within: &[Vec<bool>],
    counts: &mut Vec<u32>,
    (from, left): (usize, usize),
    enough: &dyn Fn(&[u32]) -> bool,
) -> bool {
    if left == 0 {
        return enough(counts);
    }
    for place in from..=within.len().saturating_sub(left) {
        let add = |counts: &mut Vec<u32>, sign: i64| {
            for (count, hit) in counts.iter_mut().zip(&within[place]) {
                *count = (i64::from(*count) + sign * i64::from(*hit)) as u32;
            }
        };
        add(counts, 1);
        let found = covers(within, counts, (place + 1, left - 1), enough);
        add(counts, -1);
        if found {
            return true;
        }
    }
    false
}

/// Fewest by the engine and by brute force, on the same candidate points.
fn check(project: &Project) -> usize {
    let spaces = Airspaces::new(project);
    let mut trace = Trace::default();
    let sources = mount(
        project,
        &spaces,
        &mut trace,
        &mut Vec::new(),
        &mut Vec::new(),
    );
    let needs = needs(project, &spaces, &sources, &mut trace);
    let groups = groups(project, &needs);
    assert_eq!(groups.len(), 1, "hydrogen is sought in one band");
    let points: Vec<Point> = candidates(project, &spaces, &needs, &groups[0])
        .iter()
        .map(|one| one.at)
        .collect();
    let mut targets = Vec::new();
    for need in &needs {
        let reach = need.demand.reach.value;
        match need.cells.is_empty() {
            true => targets.push(Target {
                at: need.demand.at,
                reach,
                area: None,
            }),
            false => targets.extend(need.cells.iter().map(|cell| Target {
                at: cell.centre,
                reach,
                area: Some(cell.area),
            })),
        }
    }
    let need = needs[0].demand.wanted() as u32;
    if need > 1 {
        let apart = 0.5 - 1e-6;
        let far = |(place, at): (usize, &Point)| {
            points[..place]
                .iter()
                .all(|other| other.distance(*at) >= apart)
        };
        assert!(points.iter().enumerate().all(far), "{points:?}");
    }
    let share = project.basis.get(&basis::FLOOR_SHARE) / 100.0;
    let floor: f64 = targets.iter().filter_map(|target| target.area).sum();
    let expected = brute_force(&points, &targets, need, (1.0 - share) * floor);
    let covers = &run(project, &Silent).rooms[&RoomId(1)].covers;
    assert_eq!(covers.len(), 1);
    assert_eq!(
        covers[0].fewest.value as usize, expected,
        "{}",
        covers[0].holds_for
    );
    assert!(covers[0].proven);
    let suggestion = suggest(project, Scope::Project, &Silent);
    let after = apply(project, &suggestion.edit).unwrap();
    assert_eq!(after.detectors.len(), expected);
    let demands = run(&after, &Silent).demands;
    assert!(demands.iter().all(|demand| demand.met));
    expected
}

fn with(project: Project, key: &str, value: f64) -> Project {
    apply(
        &project,
        &Edit::SetBasis {
            key: key.to_owned(),
            value: Some(value),
        },
    )
    .unwrap()
}

#[test]
fn sources_in_a_laboratory_need_as_few_as_brute_force_finds() {
    let sources = [[1.0, 1.0], [6.0, 0.5], [11.5, 3.0], [4.0, 4.5], [9.0, 4.8]];
    let laboratory = project(12.0, 5.0, RoomUse::Laboratory, &sources);
    for (reach, fewest) in [(5.0, 2), (3.0, 3), (1.2, 5)] {
        let project = with(laboratory.clone(), "reach_flammable_indoor", reach);
        assert_eq!(check(&project), fewest, "reach {reach} m");
    }
}

#[test]
fn the_floor_of_a_plant_room_needs_as_few_as_brute_force_finds() {
    let plant = project(9.0, 6.0, RoomUse::PlantRoom, &[[2.0, 2.0]]);
    for (reach, step) in [(5.5, 1.0), (4.0, 1.5), (3.5, 2.0)] {
        let project = with(with(plant.clone(), "reach_area", reach), "grid_step", step);
        check(&project);
    }
}

/// Voting: each source has two or three detectors in reach, half a metre apart or more.
#[test]
fn sources_that_several_must_watch_need_as_few_as_brute_force_finds() {
    let sources = [[1.0, 1.0], [4.0, 0.5], [7.5, 2.5]];
    let laboratory = project(8.0, 3.0, RoomUse::Laboratory, &sources);
    let laboratory = with(laboratory, "grid_step", 1.5);
    for (need, reach, fewest) in [(2.0, 5.0, 2), (2.0, 3.0, 4), (3.0, 5.0, 3), (3.0, 3.0, 6)] {
        let project = with(laboratory.clone(), "reach_flammable_indoor", reach);
        let project = with(project, "need_flammable", need);
        assert_eq!(check(&project), fewest, "{need} within {reach} m");
    }
}

/// Of the floor less than all is to be watched, the source in any case; by one and by two.
#[test]
fn a_share_of_a_floor_needs_as_few_as_brute_force_finds() {
    let plant = project(9.0, 6.0, RoomUse::PlantRoom, &[[0.5, 0.5]]);
    let plant = with(with(plant, "reach_area", 4.0), "grid_step", 2.0);
    let mut counts = Vec::new();
    for share in [100.0, 95.0, 90.0, 75.0, 50.0] {
        counts.push(check(&with(plant.clone(), "floor_share", share)));
    }
    assert!(counts.is_sorted_by(|a, b| a >= b), "{counts:?}");
    assert!(counts[4] < counts[0], "{counts:?}");
    let two = with(with(plant, "need_flammable", 2.0), "grid_step", 3.0);
    for share in [90.0, 60.0] {
        check(&with(two.clone(), "floor_share", share));
    }
}

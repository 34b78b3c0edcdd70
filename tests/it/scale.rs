//! Floors of the size and shape of real ones: that the work is done and says honestly how far it
//! got. Times are a matter of the bench `growth`.

use brattice::engine::{self, Results, Scope, Silent};
use brattice::geometry::Point;
use brattice::model::*;

#[path = "../bench/made_projects.rs"]
mod made_projects;
use made_projects::{bare, floor, hall, room};

/// Use and outline of a room, and its sources: where, of what, how held.
type Drawn<'a> = (RoomUse, &'a [[f64; 2]], &'a [([f64; 2], &'a str, Holding)]);

fn suggested(project: &Project) -> Project {
    let found = engine::suggest(project, Scope::Project, &Silent);
    apply(project, &found.edit).expect("a suggestion is a sound edit")
}

/// Every cover with its bound; what is not proven is told by a finding.
fn assert_honest(results: &Results) {
    for (id, room) in &results.rooms {
        for cover in &room.covers {
            let (fewest, bound) = (cover.fewest.value, cover.bound.value);
            assert!(
                bound <= fewest && (cover.proven == (bound == fewest)),
                "room {id}"
            );
            let told = results.findings.iter().any(|finding| {
                finding
                    .id
                    .starts_with(&format!("placement.unproven/room-{id}/"))
                    && finding.message.contains(&format!("fewer than {bound} are"))
            });
            assert_eq!(told, !cover.proven, "room {id}: {}", cover.holds_for);
        }
    }
}

/// A third of the reach: no step hides a place that would be much better.
#[test]
fn a_large_hall_keeps_a_fine_step_and_says_what_is_not_proven() {
    for (width, depth, step) in [
        (12.0, 10.0, "1.0"),
        (20.0, 20.0, "1.4"),
        (32.0, 20.0, "1.7"),
    ] {
        let results = engine::run(&hall(width, depth), &Silent);
        let cover = &results.rooms[&RoomId(1)].covers[0];
        let says = format!("candidates every {step} m");
        assert!(cover.holds_for.contains(&says), "{}", cover.holds_for);
        assert_honest(&results);
    }
}

/// Rooms of a clinic's ground floor as such are built: outer walls 31 m by 15 m, rooms from 6 to
/// 90 m2, some with a corner cut off; the numbers are our own.
fn clinic() -> Project {
    use RoomUse::*;
    let rooms: [Drawn<'_>; 10] = [
        (
            BoilerRoom,
            &[[0.3, 0.3], [5.1, 0.3], [5.1, 4.7], [0.3, 4.7]],
            &[
                ([1.2, 1.0], "natural-gas", Holding::Gas),
                ([3.9, 2.2], "natural-gas", Holding::Gas),
                ([2.6, 1.2], "630-08-0", Holding::FlueGas),
            ],
        ),
        (
            PlantRoom,
            &[
                [5.3, 0.3],
                [12.4, 0.3],
                [12.4, 6.9],
                [8.1, 6.9],
                [8.1, 4.7],
                [5.3, 4.7],
            ],
            &[
                ([6.4, 1.1], "7664-41-7", Holding::LiquefiedGas),
                ([11.3, 5.8], "7664-41-7", Holding::Gas),
            ],
        ),
        (
            Laboratory,
            &[[12.6, 0.3], [19.2, 0.3], [19.2, 6.9], [12.6, 6.9]],
            &[
                ([13.5, 0.9], "1333-74-0", Holding::Gas),
                ([18.4, 3.1], "67-64-1", Holding::Liquid),
                ([15.9, 6.2], "124-38-9", Holding::Gas),
            ],
        ),
        (
            Store,
            &[[19.4, 0.3], [22.2, 0.3], [22.2, 3.3], [19.4, 3.3]],
            &[
                ([20.1, 0.8], "124-38-9", Holding::Gas),
                ([21.5, 2.4], "7727-37-9", Holding::Gas),
            ],
        ),
        (
            Store,
            &[
                [22.4, 0.3],
                [30.7, 0.3],
                [30.7, 6.9],
                [25.5, 6.9],
                [25.5, 3.5],
                [22.4, 3.5],
            ],
            &[
                ([24.0, 1.0], "7727-37-9", Holding::CryogenicLiquid),
                ([29.6, 5.9], "1333-74-0", Holding::Gas),
            ],
        ),
        (
            Corridor,
            &[[0.3, 7.1], [30.7, 7.1], [30.7, 9.2], [0.3, 9.2]],
            &[],
        ),
        (
            PlantRoom,
            &[
                [0.3, 9.4],
                [9.8, 9.4],
                [9.8, 14.7],
                [2.4, 14.7],
                [2.4, 12.1],
                [0.3, 12.1],
            ],
            &[
                ([3.2, 13.8], "74-98-6", Holding::LiquefiedGas),
                ([8.9, 10.2], "7783-06-4", Holding::Gas),
            ],
        ),
        (
            Laboratory,
            &[[10.0, 9.4], [16.3, 9.4], [16.3, 14.7], [10.0, 14.7]],
            &[
                ([10.8, 13.9], "1333-74-0", Holding::Gas),
                ([15.4, 10.3], "7664-41-7", Holding::Gas),
            ],
        ),
        (
            Store,
            &[[16.5, 9.4], [19.0, 9.4], [19.0, 11.8], [16.5, 11.8]],
            &[([17.1, 10.0], "67-64-1", Holding::Liquid)],
        ),
        (
            BoilerRoom,
            &[
                [19.2, 9.4],
                [30.7, 9.4],
                [30.7, 14.7],
                [24.1, 14.7],
                [24.1, 12.4],
                [19.2, 12.4],
            ],
            &[
                ([20.4, 10.2], "natural-gas", Holding::Gas),
                ([29.5, 13.6], "natural-gas", Holding::Gas),
                ([25.0, 11.0], "630-08-0", Holding::FlueGas),
            ],
        ),
    ];
    let (mut project, demo) = bare();
    project.floors = [floor(1)].into_iter().collect();
    let like = demo.sources.iter().next().expect("a source");
    let (mut drawn, mut sources) = (Vec::new(), Vec::new());
    for ((room_use, outline, placed), id) in rooms.into_iter().zip(1..) {
        let made = room(id, FloorId(1), [0.0, 0.0], [1.0, 1.0], room_use);
        drawn.push(Room {
            outline: outline.iter().copied().map(Point::from).collect(),
            ..made
        });
        for (at, substance, held) in placed {
            sources.push(ReleaseSource {
                id: SourceId(sources.len() as u32 + 1),
                floor: FloorId(1),
                name: format!("source {id}"),
                at: Point::from(*at),
                substance: (*substance).to_owned(),
                called: None,
                holding: Some(*held),
                ..like.clone()
            });
        }
    }
    project.rooms = drawn.into_iter().collect();
    project.sources = sources.into_iter().collect();
    project
}

/// Bounds as the issue asks: no more than 10 % below what is found, before and after suggesting.
#[test]
fn on_a_floor_of_real_size_no_bound_is_further_than_a_tenth_away() {
    let bare = clinic();
    let project = suggested(&bare);
    for project in [&bare, &project] {
        let results = engine::run(project, &Silent);
        let covers: Vec<_> = results
            .rooms
            .values()
            .flat_map(|room| &room.covers)
            .collect();
        assert!(covers.len() >= 15, "{} covers", covers.len());
        for cover in covers {
            let (fewest, bound) = (cover.fewest.value, cover.bound.value);
            assert!(
                bound >= 0.9 * fewest,
                "{bound} of {fewest}: {}",
                cover.holds_for
            );
        }
    }
    let results = engine::run(&project, &Silent);
    assert_honest(&results);
    assert!(results.demands.iter().all(|demand| demand.met));
    let fewest: f64 = (results.rooms.values().flat_map(|room| &room.covers))
        .map(|cover| cover.fewest.value)
        .sum();
    assert_eq!(fewest, project.detectors.len() as f64);
}

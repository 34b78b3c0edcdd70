//! Floors made by rule from a seed, for comparing cover solvers: 60 m by 40 m, 40 rooms in four
//! rows, eight of them large with partitions to walk round. The sizes are our own.

use brattice::engine::placement;
use brattice::engine::{Silent, solve::cover::CoverProblem};
use brattice::geometry::Point;
use brattice::model::*;
use brattice::units::Metres;

/// The floors that comparisons are made on.
pub const SEEDS: [u64; 10] = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];

const WIDTH: f64 = 60.0;
const ROW_DEPTH: f64 = 10.0;
const ROWS: u32 = 4;
const ROOMS_IN_ROW: usize = 10;
/// Places in a row of its two large rooms.
const LARGE: [usize; 2] = [2, 7];

/// SplitMix64 (Steele, Lea, Flood, 2014): the same numbers on every machine.
struct Numbers(u64);

impl Numbers {
    /// From `least` to `most`, in steps of 0.1.
    fn tenths(&mut self, least: f64, most: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^= mixed >> 31;
        let n_steps = ((most - least) * 10.0).round() as u64 + 1;
        (least * 10.0 + (mixed % n_steps) as f64).round() / 10.0
    }
}

/// Reach of the floor of a seed, m: 3 to 5.
pub fn reach(seed: u64) -> f64 {
    3.0 + 0.5 * (seed % 5) as f64
}

/// The project of a seed.
pub fn floor(seed: u64) -> Project {
    let mut numbers = Numbers(seed);
    let mut project = Project::default();
    project.head.name = format!("Floor made from seed {seed}");
    project.basis = serde_json::from_value(serde_json::json!({
        "reach_area": reach(seed),
        "reach_flammable_indoor": reach(seed),
    }))
    .expect("keys and numbers");
    let ground = Floor {
        id: FloorId(1),
        name: "Ground floor".to_owned(),
        elevation: Metres::new(0.0),
        sheet: None,
    };
    project.floors = [ground].into_iter().collect();
    let (mut rooms, mut sources, mut barriers) = (Vec::new(), Vec::new(), Vec::new());
    for row in 0..ROWS {
        let south = ROW_DEPTH * f64::from(row);
        let mut west = 0.0;
        for (place, width) in widths(&mut numbers).into_iter().enumerate() {
            let id = rooms.len() as u32 + 1;
            rooms.push(room(id, [west, south], [west + width, south + ROW_DEPTH]));
            let (x, y) = (numbers.tenths(0.4, 1.6), numbers.tenths(1.0, 9.0));
            sources.push(source(id, Point::new(west + x, south + y)));
            if LARGE.contains(&place) {
                partitions(&mut numbers, [west, south], width, &mut barriers);
            }
            west += width;
        }
    }
    project.rooms = rooms.into_iter().collect();
    project.sources = sources.into_iter().collect();
    project.barriers = barriers.into_iter().collect();
    project
}

/// Of the rooms of a row, west to east, m.
fn widths(numbers: &mut Numbers) -> Vec<f64> {
    let large = LARGE.map(|_| numbers.tenths(17.0, 19.0));
    let mut left = WIDTH - large.iter().sum::<f64>();
    let mut n_small = ROOMS_IN_ROW - LARGE.len();
    let mut widths = Vec::new();
    for place in 0..ROOMS_IN_ROW {
        if let Some(one) = LARGE.iter().position(|large| *large == place) {
            widths.push(large[one]);
            continue;
        }
        let even = left / n_small as f64;
        let width = match n_small {
            1 => left,
            _ => (even + numbers.tenths(-0.3, 0.3)).clamp(2.2, 4.0),
        };
        widths.push(width);
        left -= width;
        n_small -= 1;
    }
    widths
}

/// Partitions up to the ceiling, about 3 m apart, by turns from the south and the north wall.
fn partitions(
    numbers: &mut Numbers,
    [west, south]: [f64; 2],
    width: f64,
    barriers: &mut Vec<Barrier>,
) {
    let mut x = numbers.tenths(2.7, 3.3);
    let mut from_south = true;
    while x < width - 1.5 {
        let length = numbers.tenths(6.5, 8.0);
        let (from, to) = match from_south {
            true => (south, south + length),
            false => (south + ROW_DEPTH, south + ROW_DEPTH - length),
        };
        barriers.push(Barrier {
            id: BarrierId(barriers.len() as u32 + 1),
            floor: FloorId(1),
            line: vec![Point::new(west + x, from), Point::new(west + x, to)],
            height: None,
            underside: None,
        });
        x += numbers.tenths(2.7, 3.3);
        from_south = !from_south;
    }
}

fn room(id: u32, a: [f64; 2], b: [f64; 2]) -> Room {
    Room {
        id: RoomId(id),
        floor: FloorId(1),
        number: format!("{id}"),
        name: "Plant".to_owned(),
        room_use: RoomUse::PlantRoom,
        enclosure: Enclosure::Enclosed,
        outline: [a, [b[0], a[1]], b, [a[0], b[1]]].map(Point::from).to_vec(),
        ceiling: Some(Metres::new(3.0)),
        air_changes: Some(2.0),
        features: RoomFeatures::default(),
    }
}

/// Of hydrogen: one gas and band to a room, whose whole floor a plant room has watched.
fn source(id: u32, at: Point) -> ReleaseSource {
    ReleaseSource {
        id: SourceId(id),
        floor: FloorId(1),
        name: format!("valve {id}"),
        at,
        height: Some(Metres::new(1.0)),
        substance: "1333-74-0".to_owned(),
        called: None,
        extent: None,
        holding: Some(Holding::Gas),
        release: None,
    }
}

/// The covers of all airspaces of a floor as one problem, every row to be met `k` times or, where
/// fewer columns reach it, by all of them.
pub fn whole(covers: &[placement::CoverFile], k: u32) -> CoverProblem {
    let mut whole = CoverProblem {
        columns: Vec::new(),
        rows: Vec::new(),
        fixed: Vec::new(),
    };
    for (cover, n) in covers.iter().zip(1..) {
        let before = whole.columns.len();
        whole
            .columns
            .extend(cover.columns.iter().cloned().map(|mut column| {
                column.id = format!("{n}/{}", column.id);
                column
            }));
        whole.rows.extend(cover.rows.iter().cloned().map(|mut row| {
            row.id = format!("{n}/{}", row.id);
            row.need = k.min(row.columns.len() as u32);
            row.columns.iter_mut().for_each(|column| *column += before);
            row
        }));
        whole
            .fixed
            .extend(cover.fixed.iter().map(|column| column + before));
    }
    whole
}

/// The covers of the floor of a seed, each airspace solved.
pub fn covers(seed: u64) -> Vec<placement::CoverFile> {
    placement::covers(&floor(seed), &Silent)
}

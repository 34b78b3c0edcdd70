//! Free paths and what lies in reach along them against the independent library `geo` (crate `geo`
//! 0.33): its line crossings for a dense graph, its union, difference and intersection of polygons
//! for the area.

use std::f64::consts::TAU;

use brattice::engine::{Silent, run};
use brattice::geometry::{Airways, Point, Polygon};
use brattice::model::Project;
use geo::{Area, BooleanOps, Contains, Distance, Euclidean, Intersects, Line, MultiPolygon};
use serde_json::{Value, json};

/// Splitmix64 (Steele, Lea and Flood, 2014): repeatable numbers for the tests.
struct Numbers(u64);

impl Numbers {
    /// From 0 to 1.
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) as f64 / u64::MAX as f64
    }

    fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.next()
    }
}

fn polygon(points: &[Point]) -> geo::Polygon {
    let line: geo::LineString = points.iter().map(|p| (p.x, p.y)).collect();
    geo::Polygon::new(line, vec![])
}

fn line(a: Point, b: Point) -> Line {
    Line::new((a.x, a.y), (b.x, b.y))
}

/// A room of 8 to 14 corners round a middle, some of which stick in, and what stands in it: a
/// partition from one of its corners, a bent one and a straight one that stand free.
struct Made {
    corners: Vec<Point>,
    partitions: Vec<Vec<Point>>,
}

impl Made {
    fn random(numbers: &mut Numbers) -> Self {
        let n = 8 + (numbers.next() * 6.0) as usize;
        let corners: Vec<Point> = (0..n)
            .map(|i| {
                let angle = (i as f64 + numbers.between(0.0, 0.6)) / n as f64 * TAU;
                let radius = numbers.between(3.0, 9.0);
                Point::new(10.0 + radius * angle.cos(), 10.0 + radius * angle.sin())
            })
            .collect();
        let middle = Point::new(10.0, 10.0);
        let inside = |numbers: &mut Numbers| {
            let corner = corners[(numbers.next() * n as f64) as usize % n];
            middle.lerp(corner, numbers.between(0.1, 0.8))
        };
        let from_corner = corners[(numbers.next() * n as f64) as usize % n];
        let along = from_corner.lerp(middle, numbers.between(0.3, 0.8));
        let bent = (0..3).map(|_| inside(numbers)).collect();
        let straight = (0..2).map(|_| inside(numbers)).collect();
        Made {
            partitions: vec![vec![from_corner, along], bent, straight],
            corners,
        }
    }

    /// Walls, then partitions.
    fn edges(&self) -> Vec<Line> {
        let n = self.corners.len();
        let walls = (0..n).map(|i| line(self.corners[i], self.corners[(i + 1) % n]));
        let partitions = self.partitions.iter().flat_map(|points| points.windows(2));
        walls
            .chain(partitions.map(|two| line(two[0], two[1])))
            .collect()
    }

    fn vertices(&self) -> Vec<Point> {
        let partitions = self.partitions.iter().flatten();
        self.corners.iter().chain(partitions).copied().collect()
    }

    /// Whether no gap is narrower than 5 cm, so that a graph of points beside corners passes each.
    fn is_wide(&self) -> bool {
        let edges = self.edges();
        let ends = |edge: &Line, at: geo::Point| at == edge.start_point() || at == edge.end_point();
        self.vertices().iter().all(|vertex| {
            let at = geo::Point::new(vertex.x, vertex.y);
            let near = |edge: &Line| Euclidean.distance(edge, &at) < 0.05;
            edges.iter().all(|edge| ends(edge, at) || !near(edge))
        })
    }
}

/// Points the graph goes through: a ring of them round every corner and end, and a grid, less what
/// lies outside. It knows nothing of which corners stick out.
fn nodes(made: &Made, room: &geo::Polygon) -> Vec<Point> {
    let round = |at: Point| {
        (0..10).map(move |i| {
            let angle = f64::from(i) / 10.0 * TAU + 0.05;
            Point::new(at.x + 0.004 * angle.cos(), at.y + 0.004 * angle.sin())
        })
    };
    let grid = (0..12).flat_map(|x| (0..12).map(move |y| (x, y)));
    let grid = grid.map(|(x, y)| Point::new(1.3 + 1.5 * f64::from(x), 1.2 + 1.5 * f64::from(y)));
    let vertices = made.vertices().into_iter().flat_map(round);
    let all = vertices.chain(grid);
    all.filter(|p| room.contains(&geo::Point::new(p.x, p.y)))
        .collect()
}

/// Lengths of shortest paths from the first of `points` to all, by Dijkstra's method; a straight
/// way between two is free where it meets no edge.
fn dense_graph(points: &[Point], edges: &[Line]) -> Vec<f64> {
    let free = |a: Point, b: Point| !edges.iter().any(|edge| edge.intersects(&line(a, b)));
    let mut lengths = vec![f64::INFINITY; points.len()];
    let mut settled = vec![false; points.len()];
    lengths[0] = 0.0;
    loop {
        let open = (0..points.len()).filter(|i| !settled[*i] && lengths[*i].is_finite());
        let Some(i) = open.min_by(|a, b| lengths[*a].total_cmp(&lengths[*b])) else {
            return lengths;
        };
        settled[i] = true;
        for j in (0..points.len()).filter(|j| !settled[*j]) {
            let through = lengths[i] + points[i].distance(points[j]);
            if through < lengths[j] && free(points[i], points[j]) {
                lengths[j] = through;
            }
        }
    }
}

#[test]
fn free_paths_of_fifty_random_rooms_are_as_long_as_those_of_a_dense_graph() {
    let mut numbers = Numbers(3);
    let (mut rooms, mut paths, mut bent, mut worst) = (0, 0, 0, 0.0_f64);
    while rooms < 50 {
        let made = Made::random(&mut numbers);
        if !made.is_wide() {
            continue;
        }
        rooms += 1;
        let room = polygon(&made.corners);
        let mut points = nodes(&made, &room);
        let clear = |p: &Point| {
            let at = geo::Point::new(p.x, p.y);
            made.edges()
                .iter()
                .all(|edge| Euclidean.distance(edge, &at) > 0.1)
        };
        let from = points
            .iter()
            .rposition(clear)
            .expect("some point is clear of all");
        points.swap(0, from);
        let dense = dense_graph(&points, &made.edges());
        let airways = Airways::new(&Polygon::new(made.corners.clone()), &made.partitions);
        let found = airways.distances_from(points[0], &points);
        for ((at, dense), found) in points.iter().zip(dense).zip(found).skip(1) {
            if !clear(at) || at.distance(points[0]) < 1.0 {
                continue;
            }
            let Some(found) = found else {
                assert!(
                    dense.is_infinite(),
                    "room {rooms}: no way to {at:?}, yet {dense}"
                );
                continue;
            };
            assert!(
                found <= dense + 1e-9,
                "room {rooms}: {found} to {at:?}, above {dense}"
            );
            worst = worst.max(dense / found - 1.0);
            assert!(
                worst <= 0.01,
                "room {rooms}: {found} to {at:?}, far below {dense}"
            );
            paths += 1;
            bent += usize::from(found > points[0].distance(*at) + 1e-9);
        }
    }
    println!(
        "50 rooms, {paths} paths, {bent} of them bent: at most {:.2} % apart",
        100.0 * worst
    );
    assert!(paths > 1000 && bent > 300, "{paths} paths, {bent} bent");
}

/// A plant room, watched for hydrogen over its whole floor by one detector.
fn project(corners: &[Point], partition: &[Point], at: Point) -> Project {
    let barriers: Vec<Value> = match partition.is_empty() {
        true => Vec::new(),
        false => vec![json!({"id": 1, "floor": 1, "line": partition})],
    };
    let value = json!({
        "head": {"name": "Area"},
        "floors": [{"id": 1, "name": "Ground", "elevation": 0.0}],
        "rooms": [{"id": 1, "floor": 1, "number": "1", "name": "plant", "room_use": "plant_room",
                   "ceiling": 3.0, "air_changes": 2.0, "outline": corners}],
        "barriers": barriers,
        "sources": [{"id": 1, "floor": 1, "name": "valve", "at": at, "height": 1.0,
                     "substance": "1333-74-0", "holding": "gas"}],
        "detectors": [{"id": 1, "tag": "AT-1", "floor": 1, "at": at, "height": 2.85,
                       "watches": "1333-74-0", "hazard": "flammable", "band": "high",
                       "origin": "by_hand"}],
    });
    serde_json::from_value(value).expect("a project")
}

/// The area of the coverage the engine draws, and the floor it counts as watched, m2; with the reach.
fn engine_areas(project: &Project) -> (f64, f64, f64) {
    let results = run(project, &Silent);
    let detector = results.detectors.values().next().expect("a detector");
    let rings = detector.coverage.iter();
    let area = rings.map(|ring| Polygon::new(ring.clone()).area()).sum();
    let watched = results.demands.iter().find_map(|demand| demand.watched);
    let watched = watched.expect("the floor is watched").value;
    (area, watched, detector.reach.value)
}

fn disc(at: Point, radius: f64) -> MultiPolygon {
    let rim = (0..720).map(|i| {
        let (sin, cos) = (f64::from(i) / 720.0 * TAU).sin_cos();
        Point::new(at.x + radius * cos, at.y + radius * sin)
    });
    MultiPolygon::new(vec![polygon(&rim.collect::<Vec<Point>>())])
}

/// What a straight partition hides from a point, as far as a kilometre.
fn shadow(at: Point, partition: &[Point]) -> MultiPolygon {
    let far = |end: Point| at.lerp(end, 1000.0 / at.distance(end));
    let (a, b) = (partition[0], partition[1]);
    MultiPolygon::new(vec![polygon(&[a, b, far(b), far(a)])])
}

/// In a convex room with one straight partition: what is seen within reach, and round each free end
/// what is left of the reach.
fn area_by_library(
    corners: &[Point],
    partition: &[Point],
    ends: usize,
    (at, reach): (Point, f64),
) -> f64 {
    let room = MultiPolygon::new(vec![polygon(corners)]);
    if partition.is_empty() {
        return disc(at, reach).intersection(&room).unsigned_area();
    }
    let mut all = disc(at, reach).difference(&shadow(at, partition));
    for end in &partition[..ends] {
        let left = reach - at.distance(*end);
        if left > 0.0 {
            all = all.union(&disc(*end, left));
        }
    }
    all.intersection(&room).unsigned_area()
}

#[test]
fn the_area_in_reach_is_that_of_a_polygon_library() {
    let mut numbers = Numbers(5);
    let (mut worst, mut engine, mut counted, mut library) = (0.0_f64, 0.0, 0.0, 0.0);
    for n in 0..60 {
        let (width, depth) = (numbers.between(5.0, 14.0), numbers.between(5.0, 14.0));
        let slant = numbers.between(0.0, 2.0);
        let corners = [
            [0.0, 0.0],
            [width, 0.0],
            [width + slant, depth],
            [-slant, depth],
        ];
        let corners = corners.map(Point::from);
        let inside = |numbers: &mut Numbers| {
            let (x, y) = (numbers.between(0.1, 0.9), numbers.between(0.1, 0.9));
            Point::new(x * width, y * depth)
        };
        let (free, other) = (inside(&mut numbers), inside(&mut numbers));
        let foot = Point::new(width * numbers.between(0.2, 0.8), 0.0);
        // No partition; one that stands free; one from a wall.
        let (partition, ends) = match n % 3 {
            0 => (vec![], 0),
            1 => (vec![free, other], 2),
            _ => (vec![free, foot], 1),
        };
        let mut at = inside(&mut numbers);
        let near = |at: Point| {
            let at = geo::Point::new(at.x, at.y);
            partition
                .windows(2)
                .any(|two| Euclidean.distance(&line(two[0], two[1]), &at) < 0.3)
        };
        while near(at) {
            at = inside(&mut numbers);
        }
        let (area, watched, reach) = engine_areas(&project(&corners, &partition, at));
        let theirs = area_by_library(&corners, &partition, ends, (at, reach));
        worst = worst.max((area / theirs - 1.0).abs());
        assert!(
            worst <= 0.005,
            "{n}: {area} m2, by the library {theirs}: {corners:?} {partition:?} {at:?}"
        );
        engine += area;
        counted += watched;
        library += theirs;
    }
    println!(
        "60 rooms, {library:.1} m2 in reach: drawn {engine:.1}, worst {:.2} %; counted {counted:.1}",
        100.0 * worst
    );
    assert!(
        (counted / library - 1.0).abs() <= 0.005,
        "{counted} m2 counted of {library}"
    );
}

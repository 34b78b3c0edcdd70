use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::*;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn ring(points: &[[f64; 2]]) -> Polygon {
    Polygon::new(points.iter().copied().map(Point::from).collect())
}

fn line(points: &[[f64; 2]]) -> Vec<Point> {
    points.iter().copied().map(Point::from).collect()
}

fn hall() -> Polygon {
    Polygon::rectangle(p(0.0, 0.0), p(10.0, 6.0))
}

#[track_caller]
fn check(airways: &Airways, a: Point, b: Point, expected: Option<f64>) {
    for (a, b) in [(a, b), (b, a)] {
        let found = airways.distance(a, b);
        let same = match (found, expected) {
            (Some(x), Some(y)) => (x - y).abs() < 1e-9,
            (x, y) => x == y,
        };
        assert!(same, "{a:?} to {b:?}: {found:?}, expected {expected:?}");
    }
}

#[test]
fn l_room_bends_at_its_reflex_corner() {
    let room = ring(&[
        [0.0, 0.0],
        [6.0, 0.0],
        [6.0, 3.0],
        [2.0, 3.0],
        [2.0, 5.0],
        [0.0, 5.0],
    ]);
    let air = Airways::new(&room, &[]);
    check(&air, p(5.0, 1.0), p(1.0, 1.0), Some(4.0));
    check(&air, p(6.0, 3.0), p(2.0, 5.0), Some(6.0));
    check(&air, p(5.0, 3.0), p(1.0, 5.0), Some(3.0 + 5f64.sqrt()));
    check(&air, p(2.0, 3.0), p(2.0, 5.0), Some(2.0));
    check(&air, p(2.0, 3.0), p(2.0, 3.0), Some(0.0));
    check(&air, p(5.0, 4.0), p(1.0, 1.0), None);
    assert_eq!(
        air.path(p(6.0, 3.0), p(2.0, 5.0)),
        Some(line(&[[6.0, 3.0], [2.0, 3.0], [2.0, 5.0]]))
    );
}

#[test]
fn u_room_goes_round_both_inner_corners_in_either_sense() {
    let mut corners = line(&[
        [0.0, 0.0],
        [2.0, 0.0],
        [2.0, 6.0],
        [5.0, 6.0],
        [5.0, 0.0],
        [7.0, 0.0],
        [7.0, 8.0],
        [0.0, 8.0],
    ]);
    for _ in 0..2 {
        let air = Airways::new(&Polygon::new(corners.clone()), &[]);
        check(&air, p(2.0, 1.0), p(5.0, 1.0), Some(5.0 + 3.0 + 5.0));
        let slope = 1f64.hypot(5.0);
        check(&air, p(1.0, 1.0), p(6.0, 1.0), Some(slope + 3.0 + slope));
        corners.reverse();
    }
}

#[test]
fn path_goes_through_the_gap_of_a_barrier() {
    let air = Airways::new(&hall(), &[line(&[[5.0, 0.0], [5.0, 4.0]])]);
    check(&air, p(2.0, 0.0), p(8.0, 0.0), Some(10.0));
    check(&air, p(2.0, 5.0), p(8.0, 5.0), Some(6.0));
    // On the barrier itself, and on its end.
    check(&air, p(5.0, 1.0), p(8.0, 5.0), Some(5.0));
    check(&air, p(5.0, 1.0), p(2.0, 5.0), Some(5.0));
    check(&air, p(5.0, 4.0), p(8.0, 0.0), Some(5.0));
}

#[test]
fn two_barriers_leave_a_door_between_them() {
    let barriers = [
        line(&[[5.0, 0.0], [5.0, 2.0]]),
        line(&[[5.0, 3.0], [5.0, 6.0]]),
    ];
    let air = Airways::new(&hall(), &barriers);
    check(&air, p(2.0, 6.0), p(8.0, 6.0), Some(2.0 * 3f64.hypot(3.0)));
    check(&air, p(2.0, 2.5), p(8.0, 2.5), Some(6.0));
}

#[test]
fn barrier_across_the_room_closes_it() {
    for barrier in [
        line(&[[5.0, 0.0], [5.0, 6.0]]),
        line(&[[5.0, -1.0], [5.0, 7.0]]),
        line(&[[5.0, 0.0009], [5.0, 5.9995]]),
        line(&[[4.0, 0.0], [5.0, 3.0], [4.0, 6.0]]),
        line(&[[0.0, 0.0], [10.0, 6.0]]),
    ] {
        let air = Airways::new(&hall(), &[barrier]);
        check(&air, p(2.0, 5.0), p(8.0, 1.0), None);
        check(&air, p(1.0, 6.0), p(9.0, 0.0), None);
        check(&air, p(0.0, 3.0), p(0.0, 5.0), Some(2.0));
    }
}

#[test]
fn barriers_joined_at_a_tee_or_crossing_close_it() {
    let tee = [
        line(&[[0.0, 3.0], [5.0, 3.0]]),
        line(&[[5.0, 0.0], [5.0, 3.0]]),
        line(&[[2.0, 3.0], [2.0, 6.0]]),
    ];
    let air = Airways::new(&hall(), &tee);
    check(&air, p(1.0, 2.0), p(1.0, 4.0), None);
    check(&air, p(1.0, 2.0), p(9.0, 1.0), None);
    check(&air, p(3.0, 3.5), p(9.0, 3.5), Some(6.0));
    let cross = [
        line(&[[5.0, 0.0], [5.0, 6.0]]),
        line(&[[0.0, 3.0], [10.0, 3.0]]),
    ];
    let air = Airways::new(&hall(), &cross);
    check(&air, p(1.0, 1.0), p(9.0, 5.0), None);
    check(&air, p(1.0, 1.0), p(9.0, 1.0), None);
    check(&air, p(5.0, 3.0), p(9.0, 5.0), Some(4f64.hypot(2.0)));
}

#[test]
fn free_standing_barrier_is_passed_at_the_nearer_end() {
    let air = Airways::new(&hall(), &[line(&[[3.0, 3.0], [7.0, 3.0]])]);
    check(&air, p(4.0, 2.0), p(4.0, 4.0), Some(2.0 * 2f64.sqrt()));
    check(&air, p(1.0, 3.0), p(9.0, 3.0), Some(8.0));
    check(&air, p(3.0, 3.0), p(7.0, 3.0), Some(4.0));
}

#[test]
fn closed_barrier_shuts_in_its_inside() {
    let island = line(&[[3.0, 2.0], [6.0, 2.0], [6.0, 4.0], [3.0, 4.0], [3.0, 2.0]]);
    let air = Airways::new(&hall(), &[island]);
    check(&air, p(4.0, 3.0), p(1.0, 1.0), None);
    check(&air, p(4.0, 3.0), p(5.0, 3.0), Some(1.0));
    check(
        &air,
        p(2.0, 3.0),
        p(7.0, 3.0),
        Some(3.0 + 2.0 * 2f64.sqrt()),
    );
}

#[test]
fn barrier_on_a_wall_or_at_a_reflex_corner_does_no_harm() {
    let room = ring(&[
        [0.0, 0.0],
        [6.0, 0.0],
        [6.0, 3.0],
        [2.0, 3.0],
        [2.0, 5.0],
        [0.0, 5.0],
    ]);
    let air = Airways::new(&room, &[line(&[[1.0, 0.0], [4.0, 0.0]])]);
    check(&air, p(0.5, 0.0), p(5.0, 0.0), Some(4.5));
    let air = Airways::new(&room, &[line(&[[2.0, 3.0], [2.0, 1.0]])]);
    check(&air, p(1.0, 3.0), p(3.0, 3.0), Some(2.0 * 5f64.sqrt()));
    let air = Airways::new(&room, &[line(&[[2.0, 3.0], [2.0, 0.0]])]);
    check(&air, p(1.0, 3.0), p(3.0, 3.0), None);
}

#[test]
fn bad_input_gives_no_path_and_no_panic() {
    let nowhere = Airways::new(&ring(&[]), &[vec![], line(&[[1.0, 1.0]])]);
    check(&nowhere, p(0.0, 0.0), p(1.0, 1.0), None);
    let air = Airways::new(&hall(), &[line(&[[f64::NAN, 1.0], [3.0, 3.0], [3.0, 3.0]])]);
    check(&air, p(1.0, 1.0), p(9.0, 1.0), Some(8.0));
    assert_eq!(air.distance(p(f64::NAN, 1.0), p(1.0, 1.0)), None);
}

/// Splitmix64 (Steele, Lea and Flood, 2014): repeatable numbers for the tests.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % n as u64) as usize
    }
}

/// A room of metre columns of different heights, `heights[i]` above y = 20.
fn skyline(heights: &[usize]) -> Polygon {
    let mut points = vec![p(heights.len() as f64, 20.0), p(0.0, 20.0)];
    for (i, h) in heights.iter().enumerate() {
        let y = 20.0 - *h as f64;
        points.extend([p(i as f64, y), p(i as f64 + 1.0, y)]);
    }
    points.dedup();
    let n = points.len();
    let keep = |i: &usize| {
        let (a, b, c) = (points[(i + n - 1) % n], points[*i], points[(i + 1) % n]);
        crate::geometry::segment::turn(a, b, c) != 0.0
    };
    Polygon::new((0..n).filter(keep).map(|i| points[i]).collect())
}

/// Grid steps per metre; places sit in the middle of the steps, so that none lies on a wall.
const STEPS: usize = 8;

/// Shortest paths by Dijkstra's method on a dense grid with knight-like moves up to (5, 5); moves
/// may not cross `walls` (vertical or horizontal unit segments on whole metres). Distances are a
/// little too long: a direction between two moves costs up to about 0.5 % more, a bend about a
/// step.
fn dense_grid(
    free: &dyn Fn(usize, usize) -> bool,
    from: (usize, usize),
    size: (usize, usize),
    step_free: &dyn Fn((usize, usize), (i64, i64)) -> bool,
) -> Vec<f64> {
    let mut best = vec![f64::INFINITY; size.0 * size.1];
    let mut queue = BinaryHeap::from([(Reverse(0u64), from)]);
    best[from.1 * size.0 + from.0] = 0.0;
    while let Some((Reverse(bits), (x, y))) = queue.pop() {
        let so_far = f64::from_bits(bits);
        if so_far > best[y * size.0 + x] {
            continue;
        }
        for dx in -5i64..=5 {
            for dy in -5i64..=5 {
                let (u, v) = (x as i64 + dx, y as i64 + dy);
                let inside = u >= 0 && v >= 0 && u < size.0 as i64 && v < size.1 as i64;
                if !inside || !free(u as usize, v as usize) || !step_free((x, y), (dx, dy)) {
                    continue;
                }
                let length = so_far + (dx as f64).hypot(dy as f64) / STEPS as f64;
                let place = &mut best[v as usize * size.0 + u as usize];
                if length < *place - 1e-12 {
                    *place = length;
                    queue.push((Reverse(length.to_bits()), (u as usize, v as usize)));
                }
            }
        }
    }
    best
}

/// Random rectilinear rooms with upright barriers against the dense grid above, which knows nothing
/// of corners or sight: a step is tested against a map of free metre squares and barred metre
/// sides.
#[test]
fn agrees_with_a_dense_grid_on_random_rectilinear_rooms() {
    let mut numbers = Numbers(7);
    let mut closed = 0;
    for _ in 0..12 {
        let heights: Vec<usize> = (0..6).map(|_| 1 + numbers.below(5)).collect();
        let room = skyline(&heights);
        let top = |c: usize| 20 - heights[c];
        // A barrier on x = bar between the whole-metre heights low and high (y down).
        let bars: Vec<(usize, usize, usize)> = (0..2)
            .map(|_| {
                (
                    1 + numbers.below(5),
                    15 + numbers.below(3),
                    18 + numbers.below(3),
                )
            })
            .collect();
        let lines: Vec<Vec<Point>> = bars
            .iter()
            .map(|&(x, low, high)| vec![p(x as f64, low as f64), p(x as f64, high as f64)])
            .collect();
        let air = Airways::new(&room, &lines);
        let size = (6 * STEPS, 6 * STEPS);
        let free = |x: usize, y: usize| 14 + y / STEPS >= top(x / STEPS);
        let barred = |x: usize, y: f64| {
            bars.iter()
                .any(|&(b, low, high)| b == x && y >= low as f64 && y <= high as f64)
        };
        let place = |x: usize, y: usize| {
            p(
                (x as f64 + 0.5) / STEPS as f64,
                14.0 + (y as f64 + 0.5) / STEPS as f64,
            )
        };
        let step_free = |(x, y): (usize, usize), (dx, dy): (i64, i64)| {
            let a = place(x, y);
            let b = p(
                a.x + dx as f64 / STEPS as f64,
                a.y + dy as f64 / STEPS as f64,
            );
            // Every whole-metre line the step crosses must be crossed where both sides are free.
            let (left, right) = (a.x.min(b.x).floor() as usize, a.x.max(b.x).floor() as usize);
            (left + 1..=right).all(|line| {
                let y = a.y + (b.y - a.y) * (line as f64 - a.x) / (b.x - a.x);
                let clear = |c: usize| y > top(c) as f64;
                clear(line - 1) && clear(line) && !barred(line, y)
            })
        };
        let from = (numbers.below(6) * STEPS + 3, 5 * STEPS + 4);
        let grid = dense_grid(&free, from, size, &step_free);
        let places: Vec<(usize, usize)> = (0..size.0)
            .step_by(3)
            .flat_map(|x| (0..size.1).step_by(5).map(move |y| (x, y)))
            .filter(|&(x, y)| free(x, y))
            .collect();
        let points: Vec<Point> = places.iter().map(|&(x, y)| place(x, y)).collect();
        let exact = air.distances_from(place(from.0, from.1), &points);
        for (&(x, y), found) in places.iter().zip(exact) {
            let dense = grid[y * size.0 + x];
            match found {
                None => {
                    closed += 1;
                    assert!(
                        dense.is_infinite(),
                        "{:?}: no path, yet {dense}",
                        place(x, y)
                    );
                }
                Some(d) => {
                    assert!(d <= dense + 1e-9, "{:?}: {d} above {dense}", place(x, y));
                    assert!(
                        dense <= d * 1.02 + 0.4,
                        "{:?}: {d} far below {dense}",
                        place(x, y)
                    );
                }
            }
        }
    }
    assert!(closed > 0, "some room ought to be closed by its barriers");
}

#[test]
fn distances_are_symmetric_and_obey_the_triangle_inequality() {
    let mut numbers = Numbers(11);
    for _ in 0..20 {
        let heights: Vec<usize> = (0..7).map(|_| 1 + numbers.below(6)).collect();
        let bar = 1 + numbers.below(6);
        let air = Airways::new(
            &skyline(&heights),
            &[vec![p(bar as f64, 19.5), p(bar as f64, 16.0)]],
        );
        let points: Vec<Point> = (0..7)
            .map(|c| p(c as f64 + 0.25 * numbers.below(5) as f64, 20.0))
            .collect();
        for a in &points {
            for b in &points {
                let ab = air.distance(*a, *b).unwrap();
                assert!((ab - air.distance(*b, *a).unwrap()).abs() < 1e-9);
                assert!(ab >= a.distance(*b) - 1e-12);
                for c in &points {
                    let round = air.distance(*a, *c).unwrap() + air.distance(*c, *b).unwrap();
                    // A point on the barrier stands for both of its sides.
                    assert!(ab <= round + 1e-9 || c.x == bar as f64);
                }
            }
        }
    }
}

use geo::{Area, Centroid};
use proptest::prelude::*;

use super::*;

fn ring(points: &[[f64; 2]]) -> Polygon {
    Polygon::new(points.iter().copied().map(Point::from).collect())
}

fn l_room() -> Polygon {
    ring(&[
        [0.0, 0.0],
        [6.0, 0.0],
        [6.0, 3.0],
        [2.0, 3.0],
        [2.0, 5.0],
        [0.0, 5.0],
    ])
}

#[test]
fn area_and_centre_of_an_l_shape() {
    let room = l_room();
    // By hand: 6 x 3 at (3, 1.5) and 2 x 2 at (1, 4).
    assert_eq!(room.area(), 22.0);
    assert!(room.signed_area() > 0.0, "drawn clockwise on the plan");
    let expected = Point::new((18.0 * 3.0 + 4.0) / 22.0, (18.0 * 1.5 + 16.0) / 22.0);
    assert!(room.centroid().distance(expected) < 1e-12);
    assert_eq!(room.perimeter(), 22.0);
    assert_eq!(room.bounds().unwrap().height(), 5.0);
}

#[test]
fn boundary_and_corners_count_as_inside() {
    let room = l_room();
    for [x, y] in [
        [0.0, 0.0],
        [6.0, 1.0],
        [2.0, 3.0],
        [2.0, 4.0],
        [1.0, 5.0],
        [3.0, 3.0 + 5e-10],
    ] {
        assert!(room.contains(Point::new(x, y)), "{x} {y}");
    }
    for [x, y] in [
        [2.1, 3.1],
        [-1e-6, 1.0],
        [3.0, 3.0 + 1e-8],
        [7.0, 0.0],
        [-1.0, 0.0],
    ] {
        assert!(!room.contains(Point::new(x, y)), "{x} {y}");
    }
    assert!(room.contains_clear(Point::new(1.0, 4.0), 1.0));
    assert!(!room.contains_clear(Point::new(1.0, 4.1), 1.0));
}

#[test]
fn faults_are_named() {
    assert_eq!(
        ring(&[[0.0, 0.0], [1.0, 0.0]]).check(),
        Err(PolygonFault::TooFewCorners(2))
    );
    let bow = ring(&[[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]]);
    assert_eq!(bow.check(), Err(PolygonFault::Crossing(0, 2)));
    assert_eq!(
        bow.check().unwrap_err().to_string(),
        "edge 0 meets edge 2; move their corners so that the outline does not cross itself"
    );
    let spike = ring(&[[0.0, 0.0], [4.0, 0.0], [2.0, 0.0], [2.0, 2.0]]);
    assert_eq!(spike.check(), Err(PolygonFault::Crossing(0, 1)));
    let touching = ring(&[[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [2.0, 0.0], [0.0, 4.0]]);
    assert_eq!(touching.check(), Err(PolygonFault::Crossing(0, 2)));
    let repeated = ring(&[[0.0, 0.0], [1.0, 0.0], [1.0, 0.0], [0.0, 1.0]]);
    assert_eq!(repeated.check(), Err(PolygonFault::RepeatedCorner(1)));
    let nowhere = ring(&[[0.0, 0.0], [f64::NAN, 0.0], [1.0, 1.0]]);
    assert_eq!(nowhere.check(), Err(PolygonFault::NotFinite(1)));
    assert_eq!(l_room().check(), Ok(()));
}

#[test]
fn bad_rings_do_not_panic() {
    for polygon in [
        ring(&[]),
        ring(&[[1.0, 1.0]]),
        ring(&[[f64::NAN, 0.0], [1.0, 1.0], [0.0, 2.0]]),
    ] {
        assert!(polygon.check().is_err());
        let _ = (
            polygon.centroid(),
            polygon.label_point(),
            polygon.inset_points(0.1, 1.0, 0.1),
        );
        let _ = (
            polygon.contains(Point::default()),
            polygon.nearest_boundary(Point::default()),
        );
    }
    assert_eq!(ring(&[]).nearest_boundary(Point::default()), None);
}

#[test]
fn last_point_that_repeats_the_first_is_dropped() {
    let closed = ring(&[[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.0, 0.0]]);
    assert_eq!(closed.points().len(), 3);
    let wire: Polygon = serde_json::from_str("[[0,0],[1,0],[0,1],[0,0]]").unwrap();
    assert_eq!(wire, closed);
    assert_eq!(
        serde_json::to_string(&wire).unwrap(),
        "[[0.0,0.0],[1.0,0.0],[0.0,1.0]]"
    );
}

#[test]
fn nearest_boundary_names_the_edge_and_the_place_on_it() {
    let near = l_room().nearest_boundary(Point::new(5.0, 2.5)).unwrap();
    assert_eq!((near.edge, near.along, near.distance), (2, 1.0, 0.5));
    assert_eq!(near.point, Point::new(5.0, 3.0));
}

#[test]
fn inset_points_stand_off_their_walls_in_either_sense() {
    let mut corners = l_room().points().to_vec();
    for _ in 0..2 {
        let room = Polygon::new(corners.clone());
        let points = room.inset_points(0.2, 1.0, 0.5);
        // By hand: the six edges (6, 3, 4, 2, 2, 5 m) less a metre each, at most a metre apart.
        assert_eq!(points.len(), 6 + 3 + 4 + 2 + 2 + 5);
        for p in &points {
            assert!((room.boundary_distance(p.point) - 0.2).abs() < 1e-9 && room.contains(p.point));
            let edge = room.edges().nth(p.edge).unwrap();
            assert!(p.along >= 0.5 && p.along <= edge.length() - 0.5);
            assert!((edge.point_at(p.along / edge.length()).distance(p.point) - 0.2).abs() < 1e-9);
        }
        corners.reverse();
    }
    assert!(l_room().inset_points(0.2, 0.0, 0.5).is_empty());
}

#[test]
fn inset_points_keep_off_the_other_walls() {
    // A slot 0.3 m wide has no place 0.2 m from both of its walls.
    let slot = ring(&[[0.0, 0.0], [5.0, 0.0], [5.0, 0.3], [0.0, 0.3]]);
    assert!(slot.inset_points(0.2, 1.0, 0.0).is_empty());
}

#[test]
fn label_point_of_a_concave_shape_is_well_inside() {
    // A U whose centre of area lies outside it; the widest part is the bar of 4 m at the bottom.
    let u = ring(&[
        [0.0, 0.0],
        [1.0, 0.0],
        [1.0, 8.0],
        [9.0, 8.0],
        [9.0, 0.0],
        [10.0, 0.0],
        [10.0, 12.0],
        [0.0, 12.0],
    ]);
    let label = u.label_point();
    assert!(
        u.contains(label) && u.boundary_distance(label) > 1.9,
        "{label:?}"
    );
    let square = Polygon::rectangle(Point::new(0.0, 0.0), Point::new(4.0, 4.0));
    assert!(square.label_point().distance(Point::new(2.0, 2.0)) < 1e-9);
}

proptest! {
    /// The independent library `geo` gives area and centre; a rotation of the list changes nothing.
    #[test]
    fn area_and_centre_agree_with_another_library(
        radii in prop::collection::vec(0.5f64..50.0, 3..20),
        turn in 0usize..20,
    ) {
        let n = radii.len() as f64;
        let mut points: Vec<Point> = radii.iter().enumerate().map(|(i, r)| {
            let angle = i as f64 / n * std::f64::consts::TAU;
            Point::new(300.0 + r * angle.cos(), 200.0 + r * angle.sin())
        }).collect();
        let line: geo::LineString = points.iter().map(|p| (p.x, p.y)).collect();
        let theirs = geo::Polygon::new(line, vec![]);
        let places = turn % points.len();
        points.rotate_left(places);
        let ours = Polygon::new(points);
        prop_assert!((ours.area() - theirs.unsigned_area()).abs() < 1e-7);
        let centre = theirs.centroid().unwrap();
        prop_assert!(ours.centroid().distance(Point::new(centre.x(), centre.y())) < 1e-7);
        prop_assert!(ours.is_simple());
        prop_assert!(ours.contains(ours.label_point()));
    }
}

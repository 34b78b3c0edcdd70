//! Where the words of a floor stand on a screen: apart, off the symbols, where the designer put
//! them. Boxes are compared by plain interval arithmetic.

use axum::http::StatusCode;
use brattice::documents::drawing::{FloorLabels, Words, floor_labels};
use brattice::engine::{self, Results, Silent};
use brattice::geometry::Point;
use brattice::model::*;
use serde_json::json;

use crate::support::{App, laboratory};

const DEMO: &str = include_str!("../../static/demo/research-building.json");

/// Pixels for a metre: the whole demo on a small screen, on a large one, and one room.
const SCALES: [f64; 3] = [15.0, 21.0, 60.0];

fn demo() -> (Project, Results) {
    let file = ProjectFile::read(DEMO).expect("the demo is a sound project");
    let results = engine::run(&file.project, &Silent);
    (file.project, results)
}

/// Left, top, right, bottom, px.
fn sides(words: &Words, scale: f64) -> [f64; 4] {
    let (x, y) = (words.at.x * scale, words.at.y * scale);
    let (w, h) = (words.width / 2.0, words.height / 2.0);
    [x - w, y - h, x + w, y + h]
}

fn overlap(a: [f64; 4], b: [f64; 4]) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// The place of a detector's symbol, px.
fn symbol(labels: &FloorLabels, detector: &Detector, scale: f64) -> (f64, f64) {
    let key = ItemKey::Detector(detector.id);
    let aside = labels.asides.iter().find(|aside| aside.about == key);
    let (right, down) = aside.map_or((0.0, 0.0), |aside| (aside.right, aside.down));
    (detector.at.x * scale + right, detector.at.y * scale + down)
}

#[test]
fn no_word_lies_on_another_or_on_a_detector() {
    let (project, results) = demo();
    for floor in &project.floors {
        for scale in SCALES {
            let labels = floor_labels(&project, &results, floor, scale);
            let boxes: Vec<[f64; 4]> = labels.words.iter().map(|w| sides(w, scale)).collect();
            for (idx, one) in boxes.iter().enumerate() {
                let hit = boxes[..idx].iter().position(|other| overlap(*one, *other));
                let lines = |idx: usize| &labels.words[idx].lines;
                assert!(hit.is_none(), "{:?} on {:?}", lines(idx), hit.map(lines));
                for detector in project.detectors.iter().filter(|d| d.floor == floor.id) {
                    let (x, y) = symbol(&labels, detector, scale);
                    let ring = [x - 13.0, y - 13.0, x + 13.0, y + 13.0];
                    assert!(!overlap(*one, ring), "{:?} on {}", lines(idx), detector.tag);
                }
            }
        }
    }
}

#[test]
fn nearly_every_detector_has_its_tag_and_from_close_by_all_have() {
    let (project, results) = demo();
    for floor in &project.floors {
        let here = project.detectors.iter().filter(|d| d.floor == floor.id);
        let n_detectors = here.count();
        for (scale, most_missing) in [(15.0, n_detectors / 8), (60.0, 0)] {
            let labels = floor_labels(&project, &results, floor, scale);
            let is_tag = |words: &&Words| matches!(words.about, ItemKey::Detector(_));
            let n_tags = labels.words.iter().filter(is_tag).count();
            assert!(
                n_tags + most_missing >= n_detectors,
                "{n_tags} of {n_detectors} at {scale}"
            );
        }
    }
}

#[test]
fn from_close_by_no_tag_lies_over_a_wall() {
    let (project, results) = demo();
    let scale = 60.0;
    for floor in &project.floors {
        let labels = floor_labels(&project, &results, floor, scale);
        for words in &labels.words {
            let [left, top, right, bottom] = sides(words, scale).map(|side| side / scale);
            for room in project.rooms_on(floor.id) {
                for (idx, a) in room.outline.iter().enumerate() {
                    let b = room.outline[(idx + 1) % room.outline.len()];
                    // The demo's walls run along the axes.
                    let apart = a.x.max(b.x) <= left
                        || a.x.min(b.x) >= right
                        || a.y.max(b.y) <= top
                        || a.y.min(b.y) >= bottom;
                    assert!(apart, "{:?} over a wall of {}", words.lines, room.number);
                }
            }
        }
    }
}

#[test]
fn a_tag_stands_where_it_was_put() {
    let (mut project, _) = demo();
    let id = DetectorId(7);
    let mut moved = project.detectors.get(id).expect("the demo has it").clone();
    let at = Point::new(moved.at.x - 0.4, moved.at.y + 1.2);
    moved.tag_offset = Some(Point::new(-0.4, 1.2));
    let item = Item::Detector(moved.clone());
    project = apply(&project, &Edit::Change { item }).expect("a tag can be moved");
    let results = engine::run(&project, &Silent);
    let floor = project.floors.get(moved.floor).expect("it is on a floor");
    let labels = floor_labels(&project, &results, floor, 60.0);
    let tag = labels
        .words
        .iter()
        .find(|words| words.about == ItemKey::Detector(id))
        .expect("it has a tag");
    assert!(tag.at.distance(at) < 1e-9, "{:?} and not {at:?}", tag.at);
}

#[tokio::test]
async fn the_words_of_a_floor_come_with_the_version_they_hold_for() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let path = |query: &str| format!("/api/projects/{id}/floors/1/labels{query}");
    let first = app.get(&path("?pixels_per_metre=60")).await.json();
    assert_eq!(first["version"], 1);
    assert!(
        first["pixels_per_metre"]
            .as_f64()
            .is_some_and(|n| n <= 60.0 && n > 56.6)
    );
    let about = |answer: &serde_json::Value, kind: &str| {
        let labels = answer["labels"].as_array().expect("a list").clone();
        labels
            .into_iter()
            .filter(|one| one["about"]["kind"] == kind)
            .count()
    };
    assert_eq!(about(&first, "room"), 1, "{first}");
    let edit = json!({"do": "remove", "key": {"kind": "source", "id": 1}});
    app.edit(id, &json!(1), edit, "gone").await;
    let second = app.get(&path("?pixels_per_metre=60")).await.json();
    assert_eq!(second["version"], 2);
    assert!(
        about(&second, "source") < about(&first, "source"),
        "{first}"
    );
    for query in [
        "",
        "?pixels_per_metre=many",
        "?pixels_per_metre=0",
        "?pixels_per_metre=NaN",
    ] {
        let answer = app.get(&path(query)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
    }
    let elsewhere = format!("/api/projects/{id}/floors/9/labels?pixels_per_metre=20");
    assert_eq!(app.get(&elsewhere).await.status, StatusCode::NOT_FOUND);
}

#[test]
fn a_preview_says_what_the_whole_calculation_says() {
    let (project, results) = demo();
    for detector in &project.detectors {
        let only = std::iter::once(detector.id).collect();
        let preview = engine::preview(&project, &only);
        let (one, whole) = (
            &preview.detectors[&detector.id],
            &results.detectors[&detector.id],
        );
        assert_eq!(one.coverage, whole.coverage, "{}", detector.tag);
        assert_eq!(
            (&one.meets, &one.without, &one.height_reason),
            (&whole.meets, &whole.without, &whole.height_reason)
        );
        let figures = |one: &engine::results::DetectorResult| {
            let points = one.set_points.iter().map(|point| point.value.value);
            points.chain([one.reach.value]).collect::<Vec<f64>>()
        };
        assert_eq!(figures(one), figures(whole), "{}", detector.tag);
        assert_eq!(preview.detectors.len(), 1);
    }
}

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

/// How far a box reaches over the walls of a room whose walls run along the axes, px.
fn over_a_wall(room: &Room, centre: (f64, f64), half: f64, scale: f64) -> f64 {
    let range = |of: fn(&Point) -> f64| {
        let values = room.outline.iter().map(of);
        let none = (f64::INFINITY, f64::NEG_INFINITY);
        values.fold(none, |(a, b), v| (a.min(v * scale), b.max(v * scale)))
    };
    let ((left, right), (top, foot)) = (range(|p| p.x), range(|p| p.y));
    let (x, y) = centre;
    let over = [
        left - (x - half),
        x + half - right,
        top - (y - half),
        y + half - foot,
    ];
    over.into_iter().fold(0.0, f64::max)
}

#[test]
fn on_a_wall_a_detector_is_drawn_in_its_room_at_every_scale() {
    let (project, results) = demo();
    let mut beside = 0;
    for floor in &project.floors {
        for scale in [12.0, 15.0, 21.0, 60.0, 150.0] {
            let labels = floor_labels(&project, &results, floor, scale);
            let here = project.detectors.iter().filter(|d| d.floor == floor.id);
            for detector in here {
                let room = results.detectors[&detector.id].room;
                let Some(room) = room.and_then(|id| project.rooms.get(id)) else {
                    continue;
                };
                // Rooms with a corner inside, or narrower than the symbol, are not measured so.
                let wide = |of: fn(&Point) -> f64| {
                    let values: Vec<f64> = room.outline.iter().map(|p| of(p) * scale).collect();
                    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
                    values.iter().copied().fold(f64::NEG_INFINITY, f64::max) - least
                };
                if room.outline.len() != 4 || wide(|p| p.x).min(wide(|p| p.y)) < 30.0 {
                    continue;
                }
                let at = symbol(&labels, detector, scale);
                let over = over_a_wall(room, at, 14.0, scale);
                // From far off a full room has no place for all: one stands beside it, with a line.
                let is_beside = scale < 20.0 && over >= 27.0;
                beside += usize::from(is_beside);
                assert!(
                    over < 1.0 || is_beside,
                    "{} at {scale}: {over:.1} px over",
                    detector.tag
                );
            }
        }
    }
    // Of 84 at the two small scales.
    assert!(beside <= 14, "{beside} stand beside their rooms");
}

#[test]
fn from_close_by_every_room_and_source_has_its_name() {
    let (project, results) = demo();
    for floor in &project.floors {
        let labels = floor_labels(&project, &results, floor, 60.0);
        let has = |key: ItemKey| labels.words.iter().any(|words| words.about == key);
        for room in project.rooms_on(floor.id) {
            assert!(has(ItemKey::Room(room.id)), "{}", room.number);
        }
        for source in project.sources.iter().filter(|s| s.floor == floor.id) {
            assert!(has(ItemKey::Source(source.id)), "{}", source.name);
        }
    }
}

#[test]
fn a_blocker_is_marked_at_the_thing_it_is_about_and_no_word_lies_on_it() {
    let (project, _) = demo();
    let source = project
        .sources
        .iter()
        .next()
        .expect("the demo has one")
        .clone();
    let all: Vec<Edit> = project
        .detectors
        .iter()
        .filter(|detector| detector.floor == source.floor)
        .map(|detector| Edit::Remove {
            key: ItemKey::Detector(detector.id),
        })
        .collect();
    let label = "unwatched".to_owned();
    let bare = apply(&project, &Edit::All { label, edits: all });
    let bare = bare.expect("detectors can be removed");
    let results = engine::run(&bare, &Silent);
    let floor = bare.floors.get(source.floor).expect("it is on a floor");
    let labels = floor_labels(&bare, &results, floor, 30.0);
    let key = ItemKey::Source(source.id);
    let mark = labels.blockers.iter().find(|mark| mark.about == key);
    let mark = mark.expect("nobody watches it");
    assert_eq!(mark.home, source.at);
    for id in &mark.findings {
        let finding = results.findings.iter().find(|finding| finding.id == *id);
        assert_eq!(
            finding.map(|it| it.severity),
            Some(engine::Severity::Blocker)
        );
    }
    for mark in &labels.blockers {
        let (x, y) = (
            mark.home.x * 30.0 + mark.right,
            mark.home.y * 30.0 + mark.down,
        );
        let half = mark.half;
        for words in &labels.words {
            let on = overlap(sides(words, 30.0), [x - half, y - half, x + half, y + half]);
            assert!(!on, "{:?} on the mark of {:?}", words.lines, mark.about);
        }
    }
}

#[tokio::test]
async fn a_suggestion_is_drawn_as_it_will_stand() {
    let app = App::new().await;
    let id = app.import(&laboratory()).await;
    let wish = json!({"version": 1, "what": "detectors", "floor": null, "room": null});
    let path = format!("/api/projects/{id}/suggest");
    let job = app.post_json(&path, &wish).await.json()["job"].clone();
    let path = format!("/api/jobs/{}", job.as_str().expect("a name"));
    let report = loop {
        let report = app.get(&path).await.json();
        if report["state"] != "running" {
            break report;
        }
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    };
    let query = "?pixels_per_metre=20";
    let offered = format!("{path}/floors/1/labels{query}");
    let offered = app.get(&offered).await.json();
    assert_eq!(offered["version"], 1);
    let edit = report["suggestion"]["edit"].clone();
    app.edit(id, &json!(1), edit, "taken").await;
    let taken = format!("/api/projects/{id}/floors/1/labels{query}");
    let taken = app.get(&taken).await.json();
    assert_eq!(taken["version"], 2);
    for what in ["labels", "asides", "blockers"] {
        assert_eq!(offered[what], taken[what], "{what}");
    }
    let tags = taken["labels"].as_array().expect("a list").iter();
    assert!(
        tags.filter(|one| one["about"]["kind"] == "detector")
            .count()
            > 0
    );
    let elsewhere = format!("{path}/floors/9/labels{query}");
    assert_eq!(app.get(&elsewhere).await.status, StatusCode::NOT_FOUND);
}

#[test]
fn from_far_off_symbols_are_small_and_cover_no_other() {
    let (project, results) = demo();
    for floor in &project.floors {
        let labels = floor_labels(&project, &results, floor, 6.0);
        assert!((labels.symbol_size - 0.45).abs() < 1e-9);
        let side = 28.0 * labels.symbol_size;
        let here = project.detectors.iter().filter(|d| d.floor == floor.id);
        let spots: Vec<(f64, f64)> = here.map(|d| symbol(&labels, d, 6.0)).collect();
        for (n, (ax, ay)) in spots.iter().enumerate() {
            for (bx, by) in &spots[n + 1..] {
                let apart = (ax - bx).hypot(ay - by);
                assert!(apart > 0.95 * side, "{apart:.1} px apart");
            }
        }
        let named = |words: &Words| matches!(words.about, ItemKey::Detector(_));
        assert!(!labels.words.iter().any(named));
    }
}

#[test]
fn an_air_terminal_covers_no_other_symbol_and_no_word_lies_on_it() {
    let (mut project, _) = demo();
    let beside: Vec<&Detector> = project.detectors.iter().step_by(3).collect();
    let terminals = beside.iter().zip(1..).map(|(detector, id)| AirTerminal {
        id: AirTerminalId(id),
        floor: detector.floor,
        kind: AirTerminalKind::ALL[id as usize % 4],
        at: Point::new(detector.at.x, detector.at.y),
        height: None,
        flow: None,
    });
    project.terminals = terminals.collect();
    let results = engine::run(&project, &Silent);
    let scale = 60.0;
    let mut n_seen = 0;
    for floor in &project.floors {
        let labels = floor_labels(&project, &results, floor, scale);
        let square = |terminal: &AirTerminal| {
            let key = ItemKey::Terminal(terminal.id);
            let aside = labels.asides.iter().find(|aside| aside.about == key);
            let (right, down) = aside.map_or((0.0, 0.0), |aside| (aside.right, aside.down));
            let (x, y) = (terminal.at.x * scale + right, terminal.at.y * scale + down);
            [x - 12.0, y - 8.5, x + 12.0, y + 8.5]
        };
        let here = project.terminals.iter().filter(|one| one.floor == floor.id);
        let squares: Vec<[f64; 4]> = here.map(square).collect();
        n_seen += squares.len();
        for (idx, one) in squares.iter().enumerate() {
            assert!(!squares[..idx].iter().any(|other| overlap(*one, *other)));
            for detector in project.detectors.iter().filter(|d| d.floor == floor.id) {
                let (x, y) = symbol(&labels, detector, scale);
                let ring = [x - 9.0, y - 9.0, x + 9.0, y + 9.0];
                assert!(!overlap(*one, ring), "on {}", detector.tag);
            }
            for words in &labels.words {
                let on_words = overlap(*one, sides(words, scale));
                assert!(!on_words, "{:?}", words.lines);
            }
        }
    }
    assert!(n_seen > 10, "{n_seen} air terminals");
}

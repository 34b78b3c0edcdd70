//! The calculation sheet: releases made up by hand, a light, a heavy, a cold and a pool one.
//!
//! The curves are no engineering; `tests/reference` checks what the engine computes.

use std::collections::BTreeSet;
use std::f64::consts::E;

use brattice::documents::drawing::{Mark, section_figure, shape_at, text_width};
use brattice::documents::{CAUTION, CalculationSheets, Chosen, Step, calculation_sheets, writers};
use brattice::engine::results::*;
use brattice::engine::{self, Quantity, Results, Silent, Trace};
use brattice::model::*;
use brattice::units::{Metres, Unit};
use serde_json::Value;

use super::{captions, check_texts, reach, sample, text_of};

/// What one made-up release is.
struct Made {
    source: u32,
    room: u32,
    substance: &'static str,
    motion: Motion,
    density: f64,
    height: f64,
    hazard: Hazard,
    detector: Option<u32>,
    scale: Scale,
    set_point: f64,
    harm: f64,
    /// Gas in the layer, %vol.
    layer: f64,
    /// m2.
    pool: Option<f64>,
}

const LFL_4: Scale = Scale {
    unit: Unit::PercentLfl,
    at_zero: 0.0,
    per_percent: 25.0,
};
const OXYGEN: Scale = Scale {
    unit: Unit::PercentVolume,
    at_zero: 20.9,
    per_percent: -0.209,
};
const PPM: Scale = Scale {
    unit: Unit::Ppm,
    at_zero: 0.0,
    per_percent: 1e4,
};

fn kinds() -> [Made; 4] {
    let light = Made {
        source: 1,
        room: 2,
        substance: "hydrogen",
        motion: Motion::Rises,
        density: 0.07,
        height: 1.1,
        hazard: Hazard::Flammable,
        detector: Some(1),
        scale: LFL_4,
        set_point: 20.0,
        harm: 100.0,
        layer: 1.6,
        pool: None,
    };
    let pool = Made {
        source: 3,
        room: 3,
        substance: "acetone",
        motion: Motion::Falls,
        density: 1.3,
        height: 0.0,
        detector: Some(3),
        layer: 2.2,
        pool: Some(0.5),
        ..light
    };
    let heavy = Made {
        source: 4,
        room: 5,
        substance: "carbon dioxide",
        motion: Motion::Falls,
        density: 1.52,
        height: 1.4,
        hazard: Hazard::Toxic,
        detector: None,
        scale: PPM,
        set_point: 5000.0,
        harm: 40_000.0,
        layer: 12.0,
        pool: None,
    };
    let cold = Made {
        source: 5,
        room: 6,
        substance: "nitrogen",
        motion: Motion::Falls,
        density: 3.4,
        height: 0.8,
        hazard: Hazard::OxygenDepletion,
        detector: None,
        scale: OXYGEN,
        set_point: 19.5,
        harm: 18.0,
        layer: 30.0,
        pool: None,
    };
    [light, heavy, cold, pool]
}

fn relative_density(trace: &mut Trace, value: f64) -> Quantity {
    let formulas = engine::formulas();
    let formula = formulas
        .iter()
        .find(|one| one.id == "gas.relative_density")
        .unwrap();
    let citation = Citation::from_memory("a table of molar masses", "made up");
    let mass = trace.given("molar mass", value * 28.9647, Unit::GramPerMole, citation);
    trace.eval(formula, &[mass])
}

fn case(trace: &mut Trace, made: &Made, state: ReleaseState) -> ReleaseCase {
    let mut says = |title: &str, value: f64, unit: Unit| trace.measured(title, value, unit);
    let ceiling = 3.0;
    let rises = made.motion == Motion::Rises;
    let run = if rises {
        ceiling - made.height
    } else {
        made.height
    };
    let times: Vec<f64> = (0..=480).map(|n| 30.0 * f64::from(n)).collect();
    let deep = |t: &f64| (0.2 + 0.6 * run) * (1.0 - E.powf(-t / 400.0));
    let front = |t: &f64| if rises { ceiling - deep(t) } else { deep(t) };
    let gas = |t: &f64| made.layer * (1.0 - E.powf(-t / 900.0));
    let seconds = Unit::Second;
    let alarm = AlarmResult {
        hazard: made.hazard,
        measures: "made-up".to_owned(),
        band: if rises { Band::High } else { Band::Low },
        detector: made.detector.map(DetectorId),
        height: says("height", if rises { 2.7 } else { 0.3 }, Unit::Metre),
        distance: says("distance", 3.2, Unit::Metre),
        scale: made.scale,
        set_point: says("first set-point", made.set_point, made.scale.unit),
        set_point_gas: says("gas", made.scale.gas(made.set_point), Unit::PercentVolume),
        at_detector: times
            .iter()
            .map(|t| (*t, if *t < 210.0 { 0.0 } else { gas(t) }))
            .collect(),
        gas_layered: Some(says("gas at the detector", 210.0, seconds)),
        gas_layered_band: [
            Some(says("gas at the detector", 180.0, seconds)),
            Some(says("gas at the detector", 260.0, seconds)),
        ],
        gas_mixed: Some(says("gas, room mixed", 520.0, seconds)),
        delay: says("delay", 70.0, seconds),
        alarm_layered: Some(says("alarm", 280.0, seconds)),
        alarm_mixed: Some(says("alarm", 590.0, seconds)),
        alarm: Some(says("alarm", 590.0, seconds)),
        picture: Some(Picture::Layered),
        sentence: "AT-101 alarms after 590 s.".to_owned(),
    };
    let harm = HarmResult {
        hazard: made.hazard,
        scale: made.scale,
        name: format!("harmful level of {}", made.substance),
        level: says("harmful level", made.harm, made.scale.unit),
        harm_layered: Some(says("harm", 1500.0, seconds)),
        harm_mixed: None,
        harm_later: None,
        harm: Some(says("harm", 1500.0, seconds)),
        alarm_layered: alarm.alarm_layered,
        alarm_mixed: alarm.alarm_mixed,
        alarm: alarm.alarm_layered,
        picture: Some(Picture::Layered),
        verdict: Verdict::InTime,
        sentence: "The alarm comes 20 min before the harm.".to_owned(),
    };
    ReleaseCase {
        state,
        motion: made.motion,
        from: says("height", made.height, Unit::Metre),
        relative_density: says("relative density", made.density, Unit::One),
        plume: None,
        vented: None,
        front: times.iter().map(front).collect(),
        layer: times.iter().map(gas).collect(),
        occupied: times.iter().map(|t| 0.4 * gas(t)).collect(),
        mixed: times.iter().map(|t| 0.3 * gas(t)).collect(),
        times,
        highest: says("highest mean", 0.3 * made.layer, Unit::PercentVolume),
        steady: None,
        alarms: vec![alarm],
        harms: vec![harm],
    }
}

fn release(trace: &mut Trace, made: &Made) -> ReleaseResult {
    let mut cases = vec![case(trace, made, ReleaseState::Leaving)];
    let mut mixing = None;
    if made.substance == "nitrogen" {
        let warmed = Made {
            motion: Motion::Rises,
            density: 0.97,
            ..kinds().into_iter().nth(2).unwrap()
        };
        cases.push(case(trace, &warmed, ReleaseState::Warmed));
        let gas: Vec<f64> = (0..=20).map(|n| 1.0 - 0.05 * f64::from(n)).collect();
        mixing = Some(MixingCurves {
            adiabatic: gas.iter().map(|x| 1.0 + 2.4 * x * x).collect(),
            heated: gas
                .iter()
                .map(|x| 1.0 + 2.43 * x.powi(3) - 0.03 * x)
                .collect(),
            gas,
            crossing_adiabatic: None,
            crossing_heated: Some(trace.measured("crossing", 0.11, Unit::One)),
            sentence: "With heat it is as dense as air once it is 11 % of it.".to_owned(),
        });
    }
    ReleaseResult {
        room: Some(RoomId(made.room)),
        substance: made.substance.to_owned(),
        rate: trace.measured("flow", 4e-3, Unit::CubicMetrePerSecond),
        total: None,
        ends: None,
        relative_density: relative_density(trace, made.density),
        source_height: trace.measured("height", made.height, Unit::Metre),
        pool: made
            .pool
            .map(|area| trace.measured("pool", area, Unit::SquareMetre)),
        volume: Some(trace.measured("volume", 205.8, Unit::CubicMetre)),
        area: Some(trace.measured("area", 68.6, Unit::SquareMetre)),
        height: Some(trace.measured("ceiling", 3.0, Unit::Metre)),
        ventilation: Some(trace.measured("fresh air", 617.4, Unit::CubicMetrePerHour)),
        occupied_height: trace.measured("people breathe up to", 1.8, Unit::Metre),
        cases,
        mixing,
        final_oxygen: None,
        battery: None,
        charge: None,
        sentences: vec![format!("{} gathers and is seen.", made.substance)],
        notes: Vec::new(),
    }
}

fn made_up() -> (Project, Results) {
    let project = sample::project();
    let mut results = sample::results(&project);
    let mut trace = std::mem::take(&mut results.trace);
    for made in kinds() {
        let release = release(&mut trace, &made);
        results.releases.insert(SourceId(made.source), release);
    }
    results.trace = trace;
    (project, results)
}

fn sheets() -> CalculationSheets {
    let (project, results) = made_up();
    calculation_sheets(&project, &results, &sample::issue(), Chosen::All)
}

fn demo() -> (Project, Results) {
    let file = include_str!("../../../static/demo/research-building.json");
    let project = ProjectFile::read(file).unwrap().project;
    let results = engine::run(&project, &Silent);
    (project, results)
}

fn keep(name: &str, pdf: &[u8]) {
    if let Some(path) = std::env::var_os(name) {
        std::fs::write(path, pdf).unwrap();
    }
}

#[test]
fn the_section_reads_the_same_off_a_release_as_the_screen() {
    let cases: Value =
        serde_json::from_str(include_str!("../../data/release/section_cases.json")).unwrap();
    let (_, results) = made_up();
    let base = &results.releases[&SourceId(1)];
    let numbers = |value: &Value| -> Vec<f64> {
        value
            .as_array()
            .unwrap()
            .iter()
            .map(|one| one.as_f64().unwrap())
            .collect()
    };
    let cases = cases["cases"].as_array().unwrap();
    assert!(cases.len() >= 8);
    for one in cases {
        let course = &one["course"];
        let mut release = base.clone();
        let ends = one["ends"].as_f64();
        release.ends = ends.map(|value| Quantity {
            value,
            unit: Unit::Second,
            ..base.rate
        });
        let mut case = release.cases[0].clone();
        case.from.value = one["from"].as_f64().unwrap();
        case.motion = match course["motion"].as_str().unwrap() {
            "rises" => Motion::Rises,
            "falls" => Motion::Falls,
            _ => Motion::Mixes,
        };
        case.times = numbers(&course["times"]);
        case.front = numbers(&course["front"]);
        case.layer = numbers(&course["layer"]);
        case.mixed = numbers(&course["mixed"]);
        let figure = |key: &str| one[key].as_f64().unwrap();
        let (seconds, ceiling) = (figure("seconds"), figure("ceiling"));
        let shape = shape_at(&release, &case, seconds, ceiling, figure("entrainment"));
        let layer = shape
            .layer
            .map(|layer| vec![layer.low, layer.high, layer.gas]);
        let cone = shape.cone.map(|cone| vec![cone.from, cone.to, cone.radius]);
        let wanted = |part: &str, keys: [&str; 3]| {
            let part = &one["expect"][part];
            (!part.is_null()).then(|| keys.map(|key| part[key].as_f64().unwrap()).to_vec())
        };
        for (found, wanted) in [
            (layer, wanted("layer", ["low", "high", "gas"])),
            (cone, wanted("cone", ["from", "to", "radius"])),
        ] {
            assert_eq!(found.is_some(), wanted.is_some(), "{}", one["name"]);
            let pairs = found
                .into_iter()
                .flatten()
                .zip(wanted.into_iter().flatten());
            for (a, b) in pairs {
                assert!((a - b).abs() < 1e-9, "{}: {a} is not {b}", one["name"]);
            }
        }
    }
}

#[test]
fn the_front_of_a_section_stands_at_its_height_to_scale() {
    let (project, results) = made_up();
    let (id, release) = results.releases.first_key_value().unwrap();
    let source = project.sources.get(*id).unwrap();
    let case = &release.cases[0];
    let seconds = case.times[40];
    let drawing = section_figure(&project, &results, (source, release), case, seconds).unwrap();
    // Heavy lines are floor and ceiling; the dotted one is the front.
    let ys = |heavy: bool| -> Vec<f64> {
        let lines = drawing.marks.iter().filter_map(|mark| match mark {
            Mark::Line { points, pen, .. } if points.len() == 2 && points[0].y == points[1].y => {
                let dotted = pen.dash == [0.3, 0.9];
                ((pen.width > 0.6 && heavy) || (dotted && !heavy)).then_some(points[0].y)
            }
            _ => None,
        });
        lines.collect()
    };
    let (slabs, fronts) = (ys(true), ys(false));
    let floor = slabs.iter().copied().fold(0.0, f64::max);
    let roof = slabs.iter().copied().fold(f64::INFINITY, f64::min);
    assert_eq!(fronts.len(), 1);
    let height = 3.0 * (floor - fronts[0]) / (floor - roof);
    assert!(
        (height - case.front[40]).abs() < 1e-9,
        "{height} is not {}",
        case.front[40]
    );
}

#[test]
fn no_text_of_a_figure_lies_on_another() {
    for sheet in sheets().sheets {
        assert!(sheet.figures.len() >= 3, "{}", sheet.title);
        for figure in &sheet.figures {
            check_texts(&figure.drawing);
        }
    }
}

/// Steps and inputs in the order of their numbers, the shared ones first.
fn all_steps(sheets: &CalculationSheets) -> (Vec<&Step>, usize) {
    let shared = sheets.shared.iter().flat_map(|part| &part.steps);
    let own = sheets.sheets.iter().flat_map(|sheet| &sheet.steps);
    let mut numbers: Vec<usize> = Vec::new();
    numbers.extend(
        sheets
            .shared
            .iter()
            .flat_map(|part| &part.inputs)
            .map(|line| line.number),
    );
    numbers.extend(
        sheets
            .sheets
            .iter()
            .flat_map(|one| &one.inputs)
            .map(|line| line.number),
    );
    assert_eq!(numbers, (1..=numbers.len()).collect::<Vec<_>>());
    (shared.chain(own).collect(), numbers.len())
}

fn check_steps(sheets: &CalculationSheets) {
    let (steps, n_inputs) = all_steps(sheets);
    assert!(!steps.is_empty() && n_inputs > 5);
    for (idx, step) in steps.into_iter().enumerate() {
        assert_eq!(step.number, idx + 1);
        assert!(!step.citation.is_empty() && !step.result.is_empty());
        let formula = &sheets.grounds.formulas[step.formula - 1];
        assert_eq!(formula.statement, step.statement);
        assert_eq!(sheets.grounds.citations[formula.cited - 1], step.citation);
        assert!(!step.inputs.is_empty());
        for input in &step.inputs {
            let (kind, number) = input.from.split_once(' ').unwrap();
            let number: usize = number.parse().unwrap();
            match kind {
                "input" => assert!((1..=n_inputs).contains(&number)),
                "step" => assert!(number < step.number, "{} leads to itself", step.title),
                other => panic!("{other}"),
            }
        }
    }
}

#[test]
fn every_step_of_a_sheet_names_where_its_inputs_come_from() {
    check_steps(&sheets());
}

#[test]
fn every_figure_of_the_demo_leads_to_a_printed_step_and_none_is_printed_twice() {
    let (project, results) = demo();
    let all = calculation_sheets(&project, &results, &sample::issue(), Chosen::All);
    check_steps(&all);
    let (steps, _) = all_steps(&all);
    // What a step says, with where its figures come from, stands there once.
    let mut said = BTreeSet::new();
    for step in &steps {
        let from: Vec<_> = step
            .inputs
            .iter()
            .map(|one| (&one.from, &one.meaning))
            .collect();
        assert!(
            said.insert((&step.title, &step.statement, &step.result, from)),
            "{} stands there twice",
            step.title
        );
    }
    // A sheet of one source holds the same steps as the sheet of all prints for it.
    let key = |step: &Step| {
        (
            step.title.clone(),
            step.result.clone(),
            step.citation.clone(),
        )
    };
    let of_all: BTreeSet<_> = steps.iter().map(|step| key(step)).collect();
    let mut of_each = BTreeSet::new();
    for sheet in &all.sheets {
        let chosen = Chosen::Source(sheet.source);
        let one = calculation_sheets(&project, &results, &sample::issue(), chosen);
        assert!(one.sheets.len() == 1 && one.shared.is_empty());
        check_steps(&one);
        of_each.extend(one.sheets[0].steps.iter().map(key));
    }
    assert_eq!(of_all, of_each);
}

/// A surface of 0.5 m2 is a round pool 0.80 m wide; a spill of the example is as deep as the basis says.
#[test]
fn a_pool_is_drawn_and_named_in_its_section() {
    let (project, results) = made_up();
    let words = |source: u32| {
        let id = SourceId(source);
        let (of, release) = (project.sources.get(id).unwrap(), &results.releases[&id]);
        let case = &release.cases[0];
        let figure = section_figure(&project, &results, (of, release), case, 600.0).unwrap();
        format!("{:?}", figure.marks)
    };
    assert!(words(3).contains("pool 0.50"), "{}", words(3));
    assert!(!words(1).contains("pool"));
    let (project, results) = demo();
    let spilt = project
        .sources
        .iter()
        .find_map(|source| match &source.release {
            Some(Release::Spill(spill)) => Some((source.id, spill.litres?)),
            _ => None,
        });
    let (id, litres) = spilt.expect("the example has a spill");
    let depth = project.basis.get(&basis::POOL_DEPTH);
    let pool = results.releases[&id]
        .pool
        .expect("it lies on the floor")
        .value;
    assert!(
        (pool * depth - litres).abs() < 1e-9,
        "{pool} m² of {litres} L"
    );
}

#[test]
fn a_room_or_a_floor_alone_can_be_asked_for() {
    let (project, results) = demo();
    let of = |chosen| calculation_sheets(&project, &results, &sample::issue(), chosen);
    let room = results
        .releases
        .values()
        .find_map(|release| release.room)
        .unwrap();
    let floor = project.rooms.get(room).unwrap().floor;
    let (one, storey, all) = (
        of(Chosen::Room(room)),
        of(Chosen::Floor(floor)),
        of(Chosen::All),
    );
    assert!(!one.sheets.is_empty() && one.sheets.len() < storey.sheets.len());
    assert!(storey.sheets.len() < all.sheets.len() && !storey.of.is_empty() && all.of.is_empty());
    let in_room = |id| results.releases[&id].room == Some(room);
    assert!(one.sheets.iter().all(|sheet| in_room(sheet.source)));
}

#[test]
fn the_calculation_of_the_demo_stays_short() {
    let (project, results) = demo();
    let all = calculation_sheets(&project, &results, &sample::issue(), Chosen::All);
    let pdf = writers::calculation_pdf(&all).unwrap();
    keep("DEMO_CALCULATION_PDF", &pdf);
    assert!(pdf.len() < 4_000_000, "{} bytes", pdf.len());
    if let Some(text) = text_of(&pdf) {
        let pages = text.matches('\u{c}').count();
        let n = all.sheets.len();
        assert!(10 * pages <= 28 * n, "{pages} pages for {n} releases");
    }
}

#[test]
fn the_calculation_sheet_holds_verdict_steps_caution_and_repeats() {
    let sheets = sheets();
    let pdf = writers::calculation_pdf(&sheets).unwrap();
    assert!(
        pdf == writers::calculation_pdf(&sheets).unwrap(),
        "two runs differ"
    );
    keep("CALCULATION_PDF", &pdf);
    let Some(text) = text_of(&pdf) else { return };
    for wanted in [
        "hydrogen regulator: hydrogen",
        "The alarm comes 20 min before the harm.",
        "time to alarm, gas in a layer",
        "d = M / 28.9647",
        "G.02 Gas laboratory, Ground floor",
        "methane tap: what comes out is not known.",
        "before harm",
    ] {
        assert!(text.contains(wanted), "{wanted} is missing");
    }
    let pages = text.matches('\u{c}').count();
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.matches(CAUTION).count() > pages, "every page warns");
    assert!(text_width(CAUTION, 2.9) < 174.0, "in one line");
}

#[test]
fn a_late_alarm_stands_first_and_is_named() {
    let (project, mut results) = made_up();
    let release = results.releases.get_mut(&SourceId(5)).unwrap();
    release.cases[1].harms[0].verdict = Verdict::TooLate;
    release.cases[1].harms[0].sentence = "The harm comes first.".to_owned();
    let sheets = calculation_sheets(&project, &results, &sample::issue(), Chosen::All);
    let sheet = sheets
        .sheets
        .iter()
        .find(|sheet| sheet.source == SourceId(5))
        .unwrap();
    assert!(sheet.verdicts[0].bad && !sheet.verdicts[1].bad);
    assert_eq!(
        sheet.verdicts[0].sentence,
        "Once warmed: The harm comes first."
    );
    let pdf = writers::calculation_pdf(&sheets).unwrap();
    if let Some(text) = text_of(&pdf) {
        assert!(text.contains("Not in time."));
    }
}

#[test]
fn a_project_without_a_release_says_so() {
    let project = Project::default();
    let results = engine::run(&project, &Silent);
    let sheets = calculation_sheets(&project, &results, &sample::issue(), Chosen::All);
    assert!(sheets.sheets.is_empty());
    let pdf = writers::calculation_pdf(&sheets).unwrap();
    if let Some(text) = text_of(&pdf) {
        assert!(text.contains("No release is stated yet"));
    }
}

/// What stands in a pit or at its brim is named off the pit's dashed line, which ends at the walls.
#[test]
fn names_in_a_section_lie_off_the_line_of_a_pit() {
    let (mut project, results) = made_up();
    let (id, release) = results.releases.first_key_value().unwrap();
    let room = project.rooms.get(release.room.unwrap()).unwrap().clone();
    let of = project.sources.get(*id).unwrap().clone();
    let corners = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
    for (half, height) in [
        (0.3, 0.0),
        (0.5, -0.3),
        (0.8, -0.6),
        (1.5, -1.1),
        (90.0, -1.0),
    ] {
        let corner = |[x, y]: [f64; 2]| [of.at.x + half * x, of.at.y + half * y];
        project.marked = [MarkedArea {
            id: MarkedAreaId(1),
            floor: room.floor,
            kind: MarkedKind::Pit,
            outline: corners.map(|at| corner(at).into()).to_vec(),
            level: Some(Metres::new(1.2)),
        }]
        .into_iter()
        .collect();
        let mut release = release.clone();
        release.source_height.value = height;
        let case = &release.cases[0];
        let drawing = section_figure(&project, &results, (&of, &release), case, 60.0).unwrap();
        let dashed = drawing.marks.iter().filter_map(|mark| match mark {
            Mark::Line { points, pen, .. } if pen.dash == [1.2, 0.9] => Some(points),
            _ => None,
        });
        let lines: Vec<_> = dashed.collect();
        assert_eq!(lines.len(), 1, "one pit");
        assert!(lines[0].iter().all(|at| (0.0..174.0).contains(&at.x)));
        // The letters in a symbol stand where that does.
        let names = captions(&drawing).into_iter();
        for caption in names.filter(|caption| caption.text.ends_with('m')) {
            let [left, right, top, foot] = reach(caption);
            for pair in lines[0].windows(2) {
                let (low, high) = (pair[0].x.min(pair[1].x), pair[0].x.max(pair[1].x));
                let beside = high < left || low > right;
                let off = pair[0].y.max(pair[1].y) < top || pair[0].y.min(pair[1].y) > foot;
                assert!(beside || off, "{:?} over the pit of {half} m", caption.text);
            }
        }
    }
}

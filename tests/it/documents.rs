//! What is printed: figures with reasons, bytes that repeat, files that others can read.

#![allow(
    clippy::disallowed_methods,
    reason = "tests read files and run pdftotext"
)]

mod sample;
mod calculation;

use std::io::{Read, Write};
use std::process::{Command, Stdio};

use brattice::documents::drawing::{Anchor, Caption, Drawing, Mark, Spot, text_width};
use brattice::documents::{CAUTION, Cell, RowKind, Table, content, project_document, writers};
use brattice::engine::{self, Finding, Results, Severity, Silent};
use brattice::model::*;
use brattice::units::Unit;

fn sample_document() -> brattice::documents::Document {
    let project = sample::project();
    let results = sample::results(&project);
    project_document(&project, &results, &sample::no_sheets(), &sample::issue())
}

/// The text of a PDF by poppler, an independent reader; None where it is not on the machine.
fn text_of(pdf: &[u8]) -> Option<String> {
    let mut child = Command::new("pdftotext")
        .args(["-layout", "-", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    let mut stdin = child.stdin.take().unwrap();
    let pdf = pdf.to_vec();
    let feed = std::thread::spawn(move || stdin.write_all(&pdf));
    let output = child.wait_with_output().unwrap();
    feed.join().unwrap().unwrap();
    // Readers may show a thin space as a space.
    Some(
        String::from_utf8(output.stdout)
            .unwrap()
            .replace('\u{202f}', " "),
    )
}

/// The files of a ZIP archive by its central directory (PKWARE APPNOTE 4.3.12, from memory).
fn unzipped(bytes: &[u8]) -> Vec<(String, String)> {
    let u16_at = |at: usize| usize::from(u16::from_le_bytes([bytes[at], bytes[at + 1]]));
    let u32_at = |at: usize| u16_at(at) + (u16_at(at + 2) << 16);
    let end = bytes
        .windows(4)
        .rposition(|four| four == b"PK\x05\x06")
        .unwrap();
    let mut at = u32_at(end + 16);
    let mut files = Vec::new();
    for _ in 0..u16_at(end + 10) {
        let (packed, local) = (u32_at(at + 20), u32_at(at + 42));
        let name = String::from_utf8(bytes[at + 46..at + 46 + u16_at(at + 28)].to_vec()).unwrap();
        let start = local + 30 + u16_at(local + 26) + u16_at(local + 28);
        let mut text = String::new();
        let mut body = &bytes[start..start + packed];
        match u16_at(at + 10) {
            0 => body.read_to_string(&mut text).unwrap(),
            _ => flate2::read::DeflateDecoder::new(body)
                .read_to_string(&mut text)
                .unwrap(),
        };
        files.push((name, text));
        at += 46 + u16_at(at + 28) + u16_at(at + 30) + u16_at(at + 32);
    }
    files
}

/// Every figure of every table leads to a trace entry that says the same and why.
fn check_figures(project: &Project, results: &Results) -> usize {
    let mut n_figures = 0;
    for table in content::tables(project, results) {
        for cell in table.rows.iter().flat_map(|row| &row.cells) {
            let (quantities, citation) = match cell {
                Cell::Text(_) => continue,
                Cell::Number { quantity, .. } => (vec![*quantity], None),
                Cell::Sum { of, .. } => (of.clone(), None),
                Cell::Stated { citation, .. } => (vec![], Some(citation.clone())),
            };
            n_figures += 1;
            assert!(citation.is_none_or(|citation| !citation.text().is_empty()));
            for quantity in quantities {
                let entry = results.trace.entry(quantity.why);
                let entry = entry.unwrap_or_else(|| panic!("{}: {cell:?} has no trace", table.key));
                assert_eq!(
                    entry.value, quantity.value,
                    "{}: {}",
                    table.key, entry.title
                );
                assert_eq!(entry.unit, quantity.unit, "{}: {}", table.key, entry.title);
                assert!(!entry.citation.text().is_empty() && !entry.title.is_empty());
                for input in &entry.inputs {
                    assert!(input.why < quantity.why, "{} leads to itself", entry.title);
                }
            }
        }
    }
    n_figures
}

#[test]
fn every_printed_figure_leads_to_a_reason() {
    let project = sample::project();
    let computed = engine::run(&project, &Silent);
    assert!(check_figures(&project, &computed) > 100);
    if let Some(path) = std::env::var_os("COMPUTED_PDF") {
        let sheets = sample::no_sheets();
        let document = project_document(&project, &computed, &sheets, &sample::issue());
        std::fs::write(path, writers::pdf(&document).unwrap()).unwrap();
    }
    assert!(check_figures(&project, &sample::results(&project)) > 100);
}

#[test]
fn every_figure_of_the_demo_leads_to_a_reason() {
    let text = include_str!("../../static/demo/research-building.json");
    let project = ProjectFile::read(text).unwrap().project;
    assert!(check_figures(&project, &engine::run(&project, &Silent)) > 100);
}

#[test]
fn the_bill_adds_up() {
    let project = sample::project();
    let table = content::bill_of_materials(&project, &sample::results(&project));
    let last = |row: &brattice::documents::Row| row.cells.last().unwrap().figure().unwrap().0;
    let sum_of = |kind: RowKind| -> f64 {
        table
            .rows
            .iter()
            .filter(|row| row.kind == kind)
            .map(last)
            .sum()
    };
    // 5 x 420 + 160 + 118.4 x 1.90 + 9 x 60, by hand.
    assert!((sum_of(RowKind::Plain) - 3024.96).abs() < 1e-9);
    assert!((sum_of(RowKind::Subtotal) - 3024.96).abs() < 1e-9);
    assert!((sum_of(RowKind::Total) - 3024.96).abs() < 1e-9);
}

#[test]
fn the_detector_schedule_is_this_csv() {
    let project = sample::project();
    let table = content::detector_schedule(&project, &sample::results(&project));
    let csv = String::from_utf8(writers::csv(&table, &sample::issue())).unwrap();
    let lines: Vec<&str> = csv.split("\r\n").collect();
    assert_eq!(
        lines[0],
        "tag,floor,room,measures,hazard,band,height (m),principle,range from,range from unit,\
         range to,range to unit,first set-point,first set-point unit,second set-point,\
         second set-point unit,alarms,device,address,segment,part,state,issued"
    );
    assert_eq!(
        lines[1],
        "AT-101,Ground floor,G.02 Gas laboratory,hydrogen,flammable,H high,2.70,catalytic,\
         0,%LFL,100,%LFL,20,%LFL,40,%LFL,rising,FD-01,1,S1,D-FL,suggested,2026-03-31"
    );
    assert_eq!(
        lines.len(),
        8,
        "head, six detectors, the end of the last line"
    );
}

#[test]
fn the_bill_is_this_csv() {
    let mut project = sample::project();
    project.catalogue.sample = true;
    let table = content::bill_of_materials(&project, &sample::results(&project));
    let expected = "\
        group,part,description,quantity,quantity unit,price of one (€),amount (€),issued\r\n\
        Field devices,D-FL,Field device with one flammable-gas detector,5,,420.00,2100.00,2026-03-31\r\n\
        Field devices,XA-B,Sounder with beacon,1,,160.00,160.00,2026-03-31\r\n\
        Cable,C-15,\"Two-core cable 1.5 mm², screened\",118.4,m,1.90,224.96,2026-03-31\r\n\
        Labour,,Fix and connect field devices,9.00,h,60.00,540.00,2026-03-31\r\n\
        Total,,\"prices are invented, no offer\",,,,3024.96,2026-03-31\r\n";
    assert_eq!(
        String::from_utf8(writers::csv(&table, &sample::issue())).unwrap(),
        expected
    );
}

#[test]
fn a_limit_that_was_computed_prints_without_false_digits() {
    let project = sample::project();
    let mut results = sample::results(&project);
    let mut trace = std::mem::take(&mut results.trace);
    let late = [75.411_336_258, 26.0].map(|at| trace.measured("harm", at, Unit::Second));
    results.trace = trace;
    for (limit, printed) in late.into_iter().zip(["75", "26"]) {
        results.findings[0].limit = Some(limit);
        let table = content::findings(&project, &results);
        let cell = table
            .rows
            .iter()
            .map(|row| table.print(&row.cells[5]))
            .find(|text| text.ends_with('s'));
        assert_eq!(
            cell.as_deref(),
            Some(format!("{printed}\u{202f}s").as_str())
        );
    }
}

#[test]
fn a_name_never_becomes_a_formula() {
    let mut project = sample::project();
    for start in ["=", "+", "-", "@", "\t", "\r"] {
        project.head.name = "x".to_owned();
        let mut results = sample::results(&project);
        results.take_off.detectors[0].room = format!("{start}HYPERLINK(\"http://x\")");
        let table = content::detector_schedule(&project, &results);
        let csv = String::from_utf8(writers::csv(&table, &sample::issue())).unwrap();
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let first = reader.records().next().unwrap().unwrap();
        assert!(first[2].starts_with('\''), "{start:?} gives {}", &first[2]);
        let book = unzipped(&writers::xlsx(&[table], &sample::issue()).unwrap());
        assert!(
            book.iter().all(|(_, text)| !text.contains("<f>")),
            "{start:?} is a formula"
        );
    }
}

#[test]
fn the_workbook_holds_real_figures_and_repeats() {
    let project = sample::project();
    let tables = content::tables(&project, &sample::results(&project));
    let book = writers::xlsx(&tables, &sample::issue()).unwrap();
    assert!(
        book == writers::xlsx(&tables, &sample::issue()).unwrap(),
        "two runs differ"
    );
    let files = unzipped(&book);
    let file = |name: &str| &files.iter().find(|(file, _)| file == name).unwrap().1;
    for table in &tables {
        assert!(file("xl/workbook.xml").contains(&format!("name=\"{}\"", table.title)));
    }
    let detectors = file("xl/worksheets/sheet1.xml");
    assert!(detectors.contains("<v>2.7</v>"), "the height is a number");
    assert!(detectors.contains("state=\"frozen\""), "the head stays");
    assert!(file("xl/sharedStrings.xml").contains("AT-106"));
    assert!(file("docProps/core.xml").contains("2026-03-31T00:00:00Z"));
}

#[test]
fn the_pdf_holds_every_tag_the_caution_and_the_list_of_sheets() {
    let document = sample_document();
    let pdf = writers::pdf(&document).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    let Some(text) = text_of(&pdf) else { return };
    let project = sample::project();
    let tags = project
        .detectors
        .iter()
        .map(|detector| detector.tag.as_str());
    let devices = project
        .devices
        .iter()
        .filter(|device| !device.detectors.is_empty());
    for tag in tags.chain(devices.map(|device| device.tag.as_str())) {
        assert!(text.contains(tag), "{tag} is missing");
    }
    assert!(
        text.matches(CAUTION).count() >= 3,
        "cover and both floors warn"
    );
    for table in &document.tables {
        assert!(
            text.matches(&table.title).count() >= 2,
            "{} in list and on page",
            table.title
        );
    }
    assert!(
        text.contains("€ 3 025"),
        "the price stands in the title block"
    );
    assert!(
        text.contains("1:100"),
        "the scale stands in the title block"
    );
}

#[test]
fn the_same_document_gives_the_same_pdf() {
    let first = writers::pdf(&sample_document()).unwrap();
    assert!(
        first == writers::pdf(&sample_document()).unwrap(),
        "two runs differ"
    );
    if let Some(path) = std::env::var_os("SAMPLE_PDF") {
        std::fs::write(path, &first).unwrap();
    }
}

#[test]
fn an_empty_project_prints_and_says_what_is_missing() {
    let mut project = Project::default();
    project.head.name = "New project".to_owned();
    let results = engine::run(&project, &Silent);
    let document = project_document(&project, &results, &sample::no_sheets(), &sample::issue());
    assert!(
        document
            .notes
            .iter()
            .any(|note| note.contains("No floor is drawn yet"))
    );
    let pdf = writers::pdf(&document).unwrap();
    if let Some(text) = text_of(&pdf) {
        assert!(text.contains("No detector is placed yet."));
        assert!(text.contains("the field devices are not wired"));
    }
}

/// Three releases are named, each once, and the others counted.
#[test]
fn releases_that_harm_before_they_alarm_are_named_on_the_cover() {
    let project = sample::crowded();
    let mut results = engine::run(&project, &Silent);
    results.findings.clear();
    let note = |results: &Results| {
        let document = project_document(&project, results, &sample::no_sheets(), &sample::issue());
        let mut notes = document.notes.into_iter();
        notes.find(|note| note.starts_with("Harm comes before the alarm"))
    };
    assert_eq!(note(&results), None);
    let sources: Vec<SourceId> = results.sources.keys().copied().collect();
    let mut late = |n: usize, kind: &str| {
        let id = format!("alarm.{kind}/source-{}/{n}", sources[n]);
        let finding = Finding::new(id, Severity::Warning, "late", "move it");
        results
            .findings
            .push(finding.about(ItemKey::Source(sources[n])));
    };
    late(0, "late");
    late(0, "never");
    (1..4).for_each(|n| late(n, "late"));
    let note = note(&results).expect("four releases are late");
    assert_eq!(note.matches("; ").count(), 2, "{note}");
    assert!(note.contains(" and 1 more. "), "{note}");
    for id in &sources[..3] {
        let source = project.sources.get(*id).unwrap();
        let gas = results.sources[id].substance.to_lowercase();
        assert!(note.contains(&source.name) || note.contains(&gas), "{note}");
    }
}

#[test]
fn detectors_without_field_devices_are_said_not_to_be_wired() {
    let mut project = sample::crowded();
    project.devices = Default::default();
    project.segments = Default::default();
    let results = engine::run(&project, &Silent);
    let document = project_document(&project, &results, &sample::no_sheets(), &sample::issue());
    let totals = &document.title_block.totals;
    let says = |label: &str| {
        totals
            .iter()
            .find(|(of, _)| of == label)
            .map(|(_, says)| says)
    };
    assert_eq!(says("field devices").map(String::as_str), Some("not wired"));
    assert_eq!(says("cable").map(String::as_str), Some("–"));
}

#[test]
fn sixty_detectors_print() {
    let project = sample::crowded();
    let results = engine::run(&project, &Silent);
    let start = std::time::Instant::now();
    let document = project_document(&project, &results, &sample::no_sheets(), &sample::issue());
    let pdf = writers::pdf(&document).unwrap();
    eprintln!("60 detectors print in {:?}", start.elapsed());
    assert!(pdf.starts_with(b"%PDF-"));
    assert!(pdf.len() > 20_000, "{} bytes", pdf.len());
    if let Some(path) = std::env::var_os("CROWDED_PDF") {
        std::fs::write(path, &pdf).unwrap();
    }
}

fn captions(drawing: &Drawing) -> Vec<&Caption> {
    let captions = drawing.marks.iter().filter_map(|mark| match mark {
        Mark::Text(caption) if !caption.text.is_empty() => Some(caption),
        _ => None,
    });
    captions.collect()
}

/// Left, right, top and foot of a text, mm; capitals are 0.7 of the size.
fn reach(caption: &Caption) -> [f64; 4] {
    let width = text_width(&caption.text, caption.size) * 0.95;
    let left = match caption.anchor {
        Anchor::Start => caption.at.x,
        Anchor::Middle => caption.at.x - width / 2.0,
        Anchor::End => caption.at.x - width,
    };
    [
        left,
        left + width,
        caption.at.y - 0.7 * caption.size,
        caption.at.y,
    ]
}

fn check_texts(drawing: &Drawing) {
    let captions = captions(drawing);
    for (idx, a) in captions.iter().enumerate() {
        // Capitals of 2 mm, 0.7 of the size.
        assert!(a.size >= 2.85, "{:?} is {} mm", a.text, a.size);
        let [left, right, top, foot] = reach(a);
        assert!(
            left >= 0.0 && right <= drawing.width_mm,
            "{:?} leaves the paper",
            a.text
        );
        assert!(
            top >= 0.0 && foot <= drawing.height_mm,
            "{:?} leaves the paper",
            a.text
        );
        for b in &captions[idx + 1..] {
            let [other_left, other_right, other_top, other_foot] = reach(b);
            let apart = right <= other_left
                || other_right <= left
                || foot <= other_top
                || other_foot <= top;
            assert!(
                apart,
                "{}: {:?} lies on {:?}",
                drawing.title, a.text, b.text
            );
        }
    }
}

#[test]
fn no_text_of_a_sheet_lies_on_another() {
    let document = sample_document();
    check_texts(&document.cover);
    document.drawings.iter().for_each(check_texts);
    for project in [sample::project(), sample::crowded()] {
        let results = engine::run(&project, &Silent);
        let document = project_document(&project, &results, &sample::no_sheets(), &sample::issue());
        document.drawings.iter().for_each(check_texts);
    }
}

#[test]
fn the_sheets_of_the_example_are_legible() {
    let text = include_str!("../../static/demo/research-building.json");
    let project = ProjectFile::read(text).unwrap().project;
    let results = engine::run(&project, &Silent);
    let document = project_document(&project, &results, &sample::no_sheets(), &sample::issue());
    for drawing in &document.drawings {
        check_texts(drawing);
        check_circles(drawing);
    }
}

/// No instrument's circle (8 mm) lies on another, and no text but its own lies on one.
fn check_circles(drawing: &Drawing) {
    let circles = drawing.marks.iter().filter_map(|mark| match mark {
        Mark::Circle { at, radius, .. } if (*radius - 4.0).abs() < 1e-9 => Some(*at),
        _ => None,
    });
    let circles: Vec<Spot> = circles.collect();
    assert!(!circles.is_empty());
    for (idx, a) in circles.iter().enumerate() {
        for b in &circles[idx + 1..] {
            assert!(a.distance(*b) >= 7.99, "{}: {a:?} on {b:?}", drawing.title);
        }
        for caption in captions(drawing) {
            let [left, right, top, foot] = reach(caption);
            let nearest = Spot::new(a.x.clamp(left, right), a.y.clamp(top, foot));
            let own = (caption.at.x - a.x).abs() < 1e-9 && caption.anchor == Anchor::Middle;
            assert!(
                own || nearest.distance(*a) >= 3.9,
                "{}: {:?} lies on the circle at {a:?}",
                drawing.title,
                caption.text
            );
        }
    }
}

#[test]
fn long_names_stay_in_their_fields() {
    let mut project = sample::project();
    project.head.name = "Extension of the institute for applied thermodynamics, phase two".into();
    project.head.client = "An uncommonly long name of an invented client and its estates".into();
    project.head.reference = "REFERENCE-0000-1111-2222-3333-4444".into();
    let results = sample::results(&project);
    let document = project_document(&project, &results, &sample::no_sheets(), &sample::issue());
    document.drawings.iter().for_each(check_texts);
}

#[test]
fn us_customary_tables_print_feet() {
    let mut project = sample::project();
    project.head.units = UnitSystem::UsCustomary;
    let table: Table = content::detector_schedule(&project, &sample::results(&project));
    let csv = String::from_utf8(writers::csv(&table, &sample::issue())).unwrap();
    assert!(
        csv.contains("height (ft)") && csv.contains(",8.86,"),
        "{csv}"
    );
    assert!(table.print(&table.rows[0].cells[6]).ends_with("\u{202f}ft"));
}

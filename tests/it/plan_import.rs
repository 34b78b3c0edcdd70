//! Import of plan files: our own small plans always, and the folder of real and
//! hostile plans where the environment names it (`TEST_DATA`).

#![allow(
    clippy::disallowed_methods,
    reason = "tests read files and time the import"
)]

use std::path::{Path, PathBuf};

use brattice::plan::{ImportLimits, Sheet, SheetError, SheetKind, import, n_pages, thumbnail};

fn limits() -> ImportLimits {
    ImportLimits::default()
}

fn own(name: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/plans");
    std::fs::read(folder.join(name)).unwrap()
}

fn grey(sheet: &Sheet) -> image::GrayImage {
    image::load_from_memory(&sheet.png).unwrap().into_luma8()
}

/// The files of a folder of the given test data, by name; None where there is none.
fn files_of(folder: &str) -> Option<Vec<(String, PathBuf)>> {
    let data = std::env::var_os("TEST_DATA")?;
    let mut files: Vec<(String, PathBuf)> = std::fs::read_dir(Path::new(&data).join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file() && path.extension().is_none_or(|e| e != "csv"))
        .map(|path| {
            (
                path.file_name().unwrap().to_string_lossy().into_owned(),
                path,
            )
        })
        .collect();
    files.sort();
    assert!(!files.is_empty(), "{folder} holds no file");
    Some(files)
}

#[test]
fn png_and_pdf_of_one_plan_show_the_same_walls() {
    let png = grey(&import(&own("plant_room.png"), 1, &limits()).unwrap());
    let sheet = import(&own("plant_room.pdf"), 1, &limits()).unwrap();
    assert_eq!((sheet.n_pages, sheet.kind), (2, SheetKind::Pdf));
    let pdf = grey(&sheet);
    // Middle of a wall, of a door opening and of a room, in metres from the outer corner. PDF
    // pages count up from below, so its plan is mirrored: y runs from the lower edge.
    for (x, y, is_wall) in [
        (8.0, 3.0, true),
        (8.0, 5.5, false),
        (10.0, 4.0, true),
        (4.0, 4.0, false),
        (0.0, 7.0, true),
    ] {
        let in_png = png
            .get_pixel((60.0 + x * 40.0) as u32, (60.0 + y * 40.0) as u32)
            .0[0];
        let per_point = f64::from(pdf.width()) / 300.0;
        let up = f64::from(pdf.height()) - (30.0 + y * 20.0) * per_point;
        let in_pdf = pdf
            .get_pixel(((30.0 + x * 20.0) * per_point) as u32, up as u32)
            .0[0];
        assert_eq!(in_png < 128, is_wall, "picture at {x} {y}");
        assert_eq!(in_pdf < 128, is_wall, "page at {x} {y}");
    }
}

#[test]
fn turned_and_cut_page_is_the_upright_one_turned() {
    let sheet = import(&own("plant_room.pdf"), 2, &limits()).unwrap();
    let turned = grey(&sheet);
    let upright = grey(&import(&own("plant_room.pdf"), 1, &limits()).unwrap());
    // The CropBox is 260 by 180 points; a quarter turn clockwise makes it 180 by 260.
    assert!((f64::from(turned.width()) / f64::from(turned.height()) - 180.0 / 260.0).abs() < 1e-3);
    let (scale, cut) = (
        f64::from(turned.height()) / 260.0,
        f64::from(upright.width()) / 300.0,
    );
    for x in (1..260).step_by(3) {
        for y in (1..180).step_by(3) {
            // x and y in points from the upper left corner of the box.
            // Walls end on whole points, so samples stand half a point off.
            let (x, y) = (f64::from(x) + 0.5, f64::from(y) + 0.5);
            let a = turned
                .get_pixel(((180.0 - y) * scale) as u32, (x * scale) as u32)
                .0[0]
                < 128;
            let b = upright
                .get_pixel(((x + 20.0) * cut) as u32, ((y + 20.0) * cut) as u32)
                .0[0];
            assert_eq!(a, b < 128, "at {x} {y} points");
        }
    }
}

#[test]
fn thumbnail_of_an_imported_plan_is_small() {
    let sheet = import(&own("plant_room.pdf"), 1, &limits()).unwrap();
    let small = image::load_from_memory(&thumbnail(&sheet.png, 240).unwrap()).unwrap();
    assert_eq!((small.width(), small.height()), (240, 176));
}

#[test]
fn real_plans_are_read() {
    let Some(files) = files_of("plans/open") else {
        return;
    };
    for (name, path) in files {
        let bytes = std::fs::read(path).unwrap();
        let is_read = ["pdf", "png", "jpg", "webp", "tif"]
            .iter()
            .any(|e| name.ends_with(e));
        if !is_read {
            let error = import(&bytes, 1, &limits()).unwrap_err();
            assert!(
                matches!(error, SheetError::OtherFormat { .. }),
                "{name}: {error}"
            );
            continue;
        }
        for page in 1..=n_pages(&bytes, &limits()).unwrap() {
            let sheet = import(&bytes, page, &limits())
                .unwrap_or_else(|error| panic!("{name} page {page}: {error}"));
            let picture = grey(&sheet);
            let n_dark = picture.pixels().filter(|p| p.0[0] < 160).count() as f64;
            let share = n_dark / f64::from(sheet.width_px * sheet.height_px);
            // Lines are there, and the paper is light.
            assert!(
                (0.0005..0.5).contains(&share),
                "{name} page {page}: {share} dark"
            );
            let longer_side_is_width = sheet.width_px > sheet.height_px;
            let expected = !matches!(
                name.as_str(),
                "three_level_house_scan.pdf"
                    | "sketch_photo.jpg"
                    | "hotel_level2.png"
                    | "hotel_level3.webp"
            );
            assert_eq!(
                longer_side_is_width, expected,
                "{name} page {page} lies the wrong way"
            );
        }
    }
}

/// Reads the second and third column of the index of hostile plans.
fn what_the_user_should_get() -> std::collections::BTreeMap<String, String> {
    let data = std::env::var_os("TEST_DATA").unwrap();
    let path = Path::new(&data).join("plans/hostile/index.csv");
    let mut rows = csv::Reader::from_path(path).unwrap();
    rows.records()
        .map(|row| row.unwrap())
        .map(|row| (row[0].to_owned(), row[2].to_owned()))
        .collect()
}

#[test]
fn hostile_plans_give_what_the_index_says() {
    let Some(files) = files_of("plans/hostile") else {
        return;
    };
    let expected = what_the_user_should_get();
    for (name, path) in files {
        let bytes = std::fs::read(path).unwrap();
        let start = std::time::Instant::now();
        let got = import(&bytes, 1, &limits());
        assert!(
            start.elapsed().as_secs() < 5,
            "{name} took {:?}",
            start.elapsed()
        );
        let is_drawing = name.ends_with(".svg") || name.ends_with(".dxf");
        if is_drawing {
            assert!(got.is_err(), "{name} is not read yet");
            continue;
        }
        let wanted = &expected[&name];
        let must_refuse = wanted.starts_with("a clear refusal")
            && !wanted.contains(" or a")
            && !wanted.contains("or an");
        let must_draw = wanted.contains("drawn") || wanted.contains("as stored");
        assert!(
            !(must_refuse && got.is_ok()),
            "{name} should be refused: {wanted}"
        );
        assert!(
            !(must_draw && got.is_err()),
            "{name} should be drawn: {wanted}"
        );
        if let Err(error) = got {
            assert!(error.to_string().len() > 40, "{name}: {error}");
            assert_eq!(
                error == SheetError::Locked,
                wanted.contains("locked"),
                "{name}"
            );
        }
    }
}

//! Files made here, byte by byte or by the encoders, against what their formats say.

use std::io::Cursor;

use image::{DynamicImage, GrayImage, ImageFormat, Luma, Rgb, RgbImage, Rgba, RgbaImage};

use super::*;

mod hostile;

fn limits() -> ImportLimits {
    ImportLimits::default()
}

fn encoded(picture: DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

fn shown(sheet: &Sheet) -> RgbImage {
    let picture = image::load_from_memory_with_format(&sheet.png, ImageFormat::Png).unwrap();
    assert_eq!(
        (picture.width(), picture.height()),
        (sheet.width_px, sheet.height_px)
    );
    picture.into_rgb8()
}

/// 40 by 20, white, with a red square in the top left quarter.
fn marked() -> RgbImage {
    RgbImage::from_fn(40, 20, |x, y| {
        if x < 20 && y < 10 {
            Rgb([255, 0, 0])
        } else {
            Rgb([255, 255, 255])
        }
    })
}

/// A PDF of these objects (numbered from 1; object 1 is the catalogue), with a true
/// cross-reference table (ISO 32000-1, 7.5.4).
fn pdf_of(objects: &[String]) -> Vec<u8> {
    let mut file = b"%PDF-1.4\n".to_vec();
    let mut offsets = Vec::new();
    for (i, object) in objects.iter().enumerate() {
        offsets.push(file.len());
        file.extend(format!("{} 0 obj\n{object}\nendobj\n", i + 1).bytes());
    }
    let start = file.len();
    file.extend(format!("xref\n0 {}\n0000000000 65535 f \n", objects.len() + 1).bytes());
    for offset in &offsets {
        file.extend(format!("{offset:010} 00000 n \n").bytes());
    }
    let n = objects.len() + 1;
    file.extend(format!("trailer\n<</Size {n}/Root 1 0 R>>\nstartxref\n{start}\n%%EOF\n").bytes());
    file
}

fn stream(dictionary: &str, content: &str) -> String {
    format!(
        "<<{dictionary}/Length {}>>\nstream\n{content}\nendstream",
        content.len()
    )
}

/// One page with this page dictionary and content; more objects follow as number 5 and on.
fn one_page(page: &str, content: &str, more: &[String]) -> Vec<u8> {
    let mut objects = vec![
        "<</Type/Catalog/Pages 2 0 R>>".to_owned(),
        "<</Type/Pages/Kids[3 0 R]/Count 1>>".to_owned(),
        format!("<</Type/Page/Parent 2 0 R/Contents 4 0 R{page}>>"),
        stream("", content),
    ];
    objects.extend_from_slice(more);
    pdf_of(&objects)
}

#[test]
fn png_keeps_its_pixels() {
    let sheet = import(&encoded(marked().into(), ImageFormat::Png), 1, &limits()).unwrap();
    assert_eq!(shown(&sheet), marked());
    assert_eq!(
        (sheet.kind, sheet.page, sheet.n_pages),
        (SheetKind::Png, 1, 1)
    );
    assert_eq!(sheet.suggested_metres_per_px, None);
}

#[test]
fn transparent_png_is_laid_on_white() {
    let picture = RgbaImage::from_fn(3, 1, |x, _| Rgba([0, 0, 0, [0, 128, 255][x as usize]]));
    let sheet = import(&encoded(picture.into(), ImageFormat::Png), 1, &limits()).unwrap();
    let line: Vec<u8> = shown(&sheet).pixels().map(|p| p.0[0]).collect();
    // Source over white: 255 - alpha.
    assert_eq!(line, [255, 127, 0]);
}

#[test]
fn deep_transparent_png_is_laid_on_white() {
    let picture =
        image::ImageBuffer::from_fn(2, 1, |x, _| Rgba([0_u16, 0, 0, [0, 65535][x as usize]]));
    let bytes = encoded(DynamicImage::ImageRgba16(picture), ImageFormat::Png);
    let line: Vec<u8> = shown(&import(&bytes, 1, &limits()).unwrap())
        .pixels()
        .map(|p| p.0[0])
        .collect();
    assert_eq!(line, [255, 0]);
}

#[test]
fn webp_and_tiff_keep_their_pixels() {
    for (format, kind) in [
        (ImageFormat::WebP, SheetKind::WebP),
        (ImageFormat::Tiff, SheetKind::Tiff),
    ] {
        let sheet = import(&encoded(marked().into(), format), 1, &limits()).unwrap();
        assert_eq!(sheet.kind, kind);
        assert_eq!(shown(&sheet), marked());
    }
}

/// A JPEG with an EXIF segment holding only the orientation (EXIF 2.3, tag 0x0112).
fn jpeg_with_orientation(orientation: u8) -> Vec<u8> {
    let jpeg = encoded(marked().into(), ImageFormat::Jpeg);
    let mut exif = b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
    exif.extend([orientation, 0, 0, 0, 0, 0, 0]);
    let mut file = jpeg[..2].to_vec();
    file.extend([0xff, 0xe1]);
    file.extend(((exif.len() + 2) as u16).to_be_bytes());
    file.extend(exif);
    file.extend_from_slice(&jpeg[2..]);
    file
}

fn is_red(picture: &RgbImage, x: u32, y: u32) -> bool {
    let [r, g, b] = picture.get_pixel(x, y).0;
    r > 200 && g < 80 && b < 80
}

#[test]
fn jpeg_is_turned_upright() {
    // EXIF 2.3: 6 means the picture is to be turned a quarter clockwise to stand upright.
    let sheet = import(&jpeg_with_orientation(6), 1, &limits()).unwrap();
    assert_eq!((sheet.width_px, sheet.height_px), (20, 40));
    let picture = shown(&sheet);
    assert!(is_red(&picture, 15, 5) && !is_red(&picture, 5, 5) && !is_red(&picture, 15, 35));
}

#[test]
fn orientation_that_does_not_exist_is_ignored() {
    let sheet = import(&jpeg_with_orientation(9), 1, &limits()).unwrap();
    assert_eq!((sheet.width_px, sheet.height_px), (40, 20));
    assert!(is_red(&shown(&sheet), 5, 5));
}

#[test]
fn large_picture_is_shown_at_6000_pixels() {
    let picture = GrayImage::from_fn(9000, 30, |x, _| Luma([if x < 4500 { 0 } else { 255 }]));
    let sheet = import(&encoded(picture.into(), ImageFormat::Png), 1, &limits()).unwrap();
    assert_eq!((sheet.width_px, sheet.height_px), (6000, 20));
    let picture = shown(&sheet);
    assert_eq!(picture.get_pixel(2990, 10).0[0], 0);
    assert_eq!(picture.get_pixel(3010, 10).0[0], 255);
}

/// Two TIFF pages: two one-page files laid end to end, the second one's offsets moved.
fn two_page_tiff() -> Vec<u8> {
    let page = |width: u16, value: u8| {
        // A directory of 8 entries (TIFF 6.0, section 4) with its strip behind it.
        let entry = |tag: u16, long: bool, value: u32| {
            let mut e = tag.to_le_bytes().to_vec();
            e.extend((if long { 4_u16 } else { 3 }).to_le_bytes());
            e.extend(1_u32.to_le_bytes());
            e.extend(value.to_le_bytes());
            e
        };
        move |at: u32, next: u32| {
            let strip = at + 2 + 8 * 12 + 4;
            let mut d = 8_u16.to_le_bytes().to_vec();
            for (tag, long, v) in [
                (256, false, u32::from(width)),
                (257, false, 1),
                (258, false, 8),
                (259, false, 1),
                (262, false, 1),
                (273, true, strip),
                (278, false, 1),
                (279, true, u32::from(width)),
            ] {
                d.extend(entry(tag, long, v));
            }
            d.extend(next.to_le_bytes());
            d.extend(vec![value; usize::from(width)]);
            d
        }
    };
    let mut file = b"II*\0\x08\0\0\0".to_vec();
    file.extend(page(4, 10)(8, 114));
    assert_eq!(file.len(), 114);
    file.extend(page(6, 200)(114, 8));
    file
}

#[test]
fn each_page_of_a_tiff_is_found_and_a_ring_ends() {
    let file = two_page_tiff();
    assert_eq!(n_pages(&file, &limits()), Ok(2));
    for (page, width, value) in [(1, 4, 10), (2, 6, 200)] {
        let sheet = import(&file, page, &limits()).unwrap();
        assert_eq!(
            (sheet.width_px, sheet.page, sheet.n_pages),
            (width, page, 2)
        );
        assert!(shown(&sheet).pixels().all(|p| p.0 == [value; 3]));
    }
}

/// A page of 200 by 100 points with a black square of 20 points in its lower left corner.
const CORNER: &str = "0 g 0 0 20 20 re f";

#[test]
fn pdf_page_is_white_and_upright() {
    let file = one_page("/MediaBox[0 0 200 100]", CORNER, &[]);
    let sheet = import(&file, 1, &limits()).unwrap();
    assert_eq!(
        (sheet.width_px, sheet.height_px, sheet.n_pages),
        (4000, 2000, 1)
    );
    let picture = shown(&sheet);
    assert_eq!(picture.get_pixel(100, 1900).0, [0; 3]);
    assert_eq!(picture.get_pixel(100, 100).0, [255; 3]);
    assert_eq!(picture.get_pixel(420, 1900).0, [255; 3]);
}

#[test]
fn pdf_page_is_turned_clockwise_by_rotate() {
    // ISO 32000-1, table 30: /Rotate is clockwise. Lower left goes to upper left, then upper
    // right, then lower right.
    for (turn, corner) in [(90, (100, 100)), (180, (3900, 100)), (270, (1900, 3900))] {
        let page = format!("/MediaBox[0 0 200 100]/Rotate {turn}");
        let sheet = import(&one_page(&page, CORNER, &[]), 1, &limits()).unwrap();
        let upright = if turn == 180 {
            (4000, 2000)
        } else {
            (2000, 4000)
        };
        assert_eq!((sheet.width_px, sheet.height_px), upright);
        let picture = shown(&sheet);
        assert_eq!(
            picture.get_pixel(corner.0, corner.1).0,
            [0; 3],
            "turned by {turn}"
        );
        let n_black = picture.pixels().filter(|p| p.0 == [0; 3]).count();
        assert!(
            (158_000..162_000).contains(&n_black),
            "{n_black} black of 400 x 400"
        );
    }
}

#[test]
fn pdf_page_is_cut_to_its_crop_box() {
    let page = "/MediaBox[0 0 200 100]/CropBox[10 0 60 100]";
    let sheet = import(&one_page(page, CORNER, &[]), 1, &limits()).unwrap();
    assert_eq!((sheet.width_px, sheet.height_px), (2000, 4000));
    let picture = shown(&sheet);
    // The square reaches 10 points into the box: 400 pixels.
    assert_eq!(picture.get_pixel(390, 3900).0, [0; 3]);
    assert_eq!(picture.get_pixel(410, 3900).0, [255; 3]);
}

#[test]
fn pdf_page_stays_inside_the_pixel_limit() {
    let file = one_page("/MediaBox[0 0 200 100]", CORNER, &[]);
    let small = ImportLimits {
        max_pixels: 20_000,
        ..limits()
    };
    let sheet = import(&file, 1, &small).unwrap();
    assert_eq!((sheet.width_px, sheet.height_px), (200, 100));
}

#[test]
fn page_out_of_range_names_the_pages_there_are() {
    let file = one_page("/MediaBox[0 0 200 100]", CORNER, &[]);
    for page in [0, 2, u32::MAX] {
        let error = import(&file, page, &limits()).unwrap_err();
        assert_eq!(error.field(), "page");
        let text = error.to_string();
        assert!(
            text.contains(&page.to_string()) && text.contains("page 1"),
            "{text}"
        );
    }
}

#[test]
fn other_formats_are_named_with_a_remedy() {
    let cases: [(&[u8], &str, &str); 12] = [
        (b"AC1027\0\0\0\0", "DWG", "PDF"),
        (b"  0\r\nSECTION\r\n  2\r\nHEADER\r\n", "DXF", "PDF"),
        (b"<?xml version=\"1.0\"?>\n<svg xmlns=\"x\"/>", "SVG", "PNG"),
        (b"GIF89a\x01\0\x01\0", "GIF", "PNG"),
        (b"BM\x36\0\0\0", "BMP", "PNG"),
        (b"\0\0\0\x18ftypheic\0\0\0\0", "HEIC", "JPEG"),
        (b"\0\0\0\x18ftypavif\0\0\0\0", "AVIF", "JPEG"),
        (b"PK\x03\x04\x14\0", "ZIP", "Unpack"),
        (b"\xef\xbb\xbf <!DOCTYPE html><html>", "web page", "PDF"),
        (b"MZ\x90\0", "Windows program", "PDF"),
        (b"", "empty (0 bytes)", "again"),
        (b"hello", "68 65 6C 6C 6F", "PNG"),
    ];
    for (bytes, name, remedy) in cases {
        let error = import(bytes, 1, &limits()).unwrap_err();
        let text = error.to_string();
        assert!(text.contains(name) && text.contains(remedy), "{text}");
        assert_eq!(error.field(), "file");
    }
}

#[test]
fn thumbnail_is_as_long_as_asked_and_never_enlarged() {
    let png = encoded(marked().into(), ImageFormat::Png);
    for (asked, size) in [(10, (10, 5)), (400, (40, 20))] {
        let small = image::load_from_memory(&thumbnail(&png, asked).unwrap()).unwrap();
        assert_eq!((small.width(), small.height()), size);
    }
    assert_eq!(
        thumbnail(&png, 0),
        Err(SheetError::LongSide { long_side: 0 })
    );
    assert!(thumbnail(b"GIF89a", 10).is_err());
}

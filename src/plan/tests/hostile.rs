//! Files that lie, repeat themselves or break off: a refusal or a picture, never a panic.

use std::io::Write;

use super::*;

fn deflated(content: &[u8]) -> Vec<u8> {
    let mut encoder = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::fast());
    encoder.write_all(content).unwrap();
    encoder.finish().unwrap()
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect::<String>() + ">"
}

fn hex_stream(dictionary: &str, filters: &str, bytes: &[u8]) -> String {
    stream(
        &format!("{dictionary}/Filter[/ASCIIHexDecode{filters}]"),
        &hexadecimal(bytes),
    )
}

const PAGE: &str = "/MediaBox[0 0 100 100]";

fn refusal(file: &[u8]) -> String {
    import(file, 1, &limits()).unwrap_err().to_string()
}

#[test]
fn picture_larger_than_the_limit_is_refused_from_its_header() {
    let mut file = encoded(marked().into(), ImageFormat::Png);
    // IHDR holds width and height at bytes 16 to 23, its CRC at 29 (PNG, 11.2.2).
    file[16..24].copy_from_slice(&[0, 0, 0xea, 0x60, 0, 0, 0xea, 0x60]);
    let mut crc = flate2::Crc::new();
    crc.update(&file[12..29]);
    file[29..33].copy_from_slice(&crc.sum().to_be_bytes());
    let text = refusal(&file);
    assert!(
        text.contains("60000 by 60000") && text.contains("160000000"),
        "{text}"
    );
}

#[test]
fn file_larger_than_the_limit_is_refused() {
    let small = ImportLimits {
        max_bytes: 10,
        ..limits()
    };
    let file = encoded(marked().into(), ImageFormat::Png);
    let text = import(&file, 1, &small).unwrap_err().to_string();
    assert!(text.contains("limit is 10"), "{text}");
}

#[test]
fn every_cut_of_a_file_is_a_picture_or_a_refusal() {
    let formats = [
        ImageFormat::Png,
        ImageFormat::Jpeg,
        ImageFormat::WebP,
        ImageFormat::Tiff,
    ];
    let mut files: Vec<Vec<u8>> = formats
        .iter()
        .map(|format| encoded(marked().into(), *format))
        .collect();
    files.push(two_page_tiff());
    files.push(one_page("/MediaBox[0 0 9 9]", "0 0 1 1 re f", &[]));
    for file in files {
        for n in (0..file.len()).step_by(7) {
            let small = ImportLimits {
                max_pixels: 10_000,
                ..limits()
            };
            if let Err(error) = import(&file[..n], 1, &small) {
                assert!(!error.to_string().is_empty());
            }
        }
    }
}

#[test]
fn content_that_unpacks_too_far_is_refused() {
    let bomb = deflated(&vec![b' '; 50 << 20]);
    let twice = deflated(&bomb);
    for (filters, packed) in [
        ("/FlateDecode", &bomb),
        ("/FlateDecode/FlateDecode", &twice),
    ] {
        let objects = [
            "<</Type/Catalog/Pages 2 0 R>>".to_owned(),
            "<</Type/Pages/Kids[3 0 R]/Count 1>>".to_owned(),
            format!("<</Type/Page/Parent 2 0 R/Contents 4 0 R{PAGE}>>"),
            hex_stream("", filters, packed),
        ];
        let text = refusal(&pdf_of(&objects));
        assert!(text.contains("unpacks to more than 48 MiB"), "{text}");
    }
}

#[test]
fn packed_content_is_read() {
    let packed = deflated(b"0 g 0 0 50 50 re f");
    let objects = [
        "<</Type/Catalog/Pages 2 0 R>>".to_owned(),
        "<</Type/Pages/Kids[3 0 R]/Count 1>>".to_owned(),
        format!("<</Type/Page/Parent 2 0 R/Contents 4 0 R{PAGE}>>"),
        hex_stream("", "/FlateDecode", &packed),
    ];
    let picture = shown(&import(&pdf_of(&objects), 1, &limits()).unwrap());
    assert_eq!(picture.get_pixel(1000, 3000).0, [0; 3]);
    assert_eq!(picture.get_pixel(3000, 1000).0, [255; 3]);
}

#[test]
fn content_listed_ten_thousand_times_is_refused() {
    let list = "4 0 R ".repeat(10_000);
    let content = "0 0 1 1 re f ".repeat(1000);
    let objects = [
        "<</Type/Catalog/Pages 2 0 R>>".to_owned(),
        "<</Type/Pages/Kids[3 0 R]/Count 1>>".to_owned(),
        format!("<</Type/Page/Parent 2 0 R/Contents[{list}]{PAGE}>>"),
        stream("", &content),
    ];
    let text = refusal(&pdf_of(&objects));
    assert!(text.contains("48 MiB"), "{text}");
}

fn form(resources: &str, content: &str) -> String {
    let dictionary =
        format!("/Type/XObject/Subtype/Form/BBox[0 0 100 100]/Resources<<{resources}>>");
    stream(&dictionary, content)
}

#[test]
fn forms_that_multiply_are_refused() {
    let ten = "/F Do ".repeat(10);
    let mut more: Vec<String> = (6..16)
        .map(|next| form(&format!("/XObject<</F {next} 0 R>>"), &ten))
        .collect();
    more.push(form("", "0 0 10 10 re f"));
    let page = format!("{PAGE}/Resources<</XObject<</F 5 0 R>>>>");
    let text = refusal(&one_page(&page, &ten, &more));
    assert!(
        text.contains("too much work") && text.contains("Export that page"),
        "{text}"
    );
}

#[test]
fn forms_in_a_ring_end_and_their_sound_part_is_drawn() {
    let more = [
        form("/XObject<</F 6 0 R>>", "0 0 50 50 re f /F Do /F Do"),
        form("/XObject<</F 5 0 R>>", "/F Do /F Do"),
    ];
    let page = format!("{PAGE}/Resources<</XObject<</F 5 0 R>>>>");
    let picture = shown(&import(&one_page(&page, "/F Do", &more), 1, &limits()).unwrap());
    assert_eq!(picture.get_pixel(1000, 3000).0, [0; 3]);
}

#[test]
fn dashes_far_below_a_pixel_are_refused_and_a_dash_of_nothing_is_survived() {
    let text = refusal(&one_page(PAGE, "[0.000001] 0 d 0 0 m 100 100 l S", &[]));
    assert!(text.contains("dashes"), "{text}");
    let nothing = one_page(PAGE, "[0 0] 0 d 0 0 m 100 100 l S", &[]);
    assert!(import(&nothing, 1, &limits()).is_ok());
    let dashed = one_page(PAGE, "[3 2] 0 d 0 50 m 100 50 l S", &[]);
    assert!(import(&dashed, 1, &limits()).is_ok());
}

#[test]
fn tiles_without_number_are_refused() {
    let tile = stream(
        "/Type/Pattern/PatternType 1/PaintType 1/TilingType 1/BBox[0 0 1000 1000]\
         /XStep 0.01/YStep 0.01/Resources<<>>",
        "0 0 1 1 re f",
    );
    let page = format!("{PAGE}/Resources<</Pattern<</P 5 0 R>>>>");
    let content = "/Pattern cs /P scn 0 0 100 100 re f";
    assert!(refusal(&one_page(&page, content, &[tile])).contains("too much work"));
}

#[test]
fn painting_over_and_over_is_refused() {
    let content = "0 0 100 100 re f ".repeat(100_000);
    assert!(refusal(&one_page(PAGE, &content, &[])).contains("painted pixels"));
}

#[test]
fn picture_in_a_pdf_that_declares_too_much_is_refused() {
    let data = deflated(&[0; 100]);
    let picture = hex_stream(
        "/Type/XObject/Subtype/Image/Width 60000/Height 60000/BitsPerComponent 8\
         /ColorSpace/DeviceRGB",
        "/FlateDecode",
        &data,
    );
    let page = format!("{PAGE}/Resources<</XObject<</I 5 0 R>>>>");
    let text = refusal(&one_page(&page, "100 0 0 100 0 0 cm /I Do", &[picture]));
    assert!(text.contains("bytes in one picture"), "{text}");
}

#[test]
fn nested_brackets_do_not_overflow_the_stack() {
    let brackets = "[".repeat(2_000_000);
    let file = one_page(PAGE, &brackets, &[]);
    assert!(
        import(
            &file,
            1,
            &ImportLimits {
                max_pixels: 10_000,
                ..limits()
            }
        )
        .is_ok()
    );
    let page = format!("{PAGE}/X {}", "[".repeat(500_000));
    let _ = import(&one_page(&page, "", &[]), 1, &limits());
}

#[test]
fn page_without_a_usable_size_is_refused_or_drawn_small() {
    for size in ["0 0 0 0", "0 0 1e38 1e38", "0 0 1e38 1", "-1e30 5 1e30 6"] {
        let file = one_page(&format!("/MediaBox[{size}]"), CORNER, &[]);
        if let Ok(sheet) = import(&file, 1, &limits()) {
            assert!(sheet.width_px.max(sheet.height_px) <= PDF_LONG_SIDE_PX);
        }
    }
}

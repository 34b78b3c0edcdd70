//! Which format a file is, by its first bytes; its name is never asked.
//!
//! Formats that are known but not read get a remedy of their own, because
//! "unknown format" does not tell the user what to press in the drawing program.

use crate::plan::{SheetError, SheetKind};

const TO_PDF_OR_PNG: &str = "This format is not read yet; export the plan as PDF or PNG.";
const TO_PNG: &str = "This format is not read; save it as PNG or JPEG and choose that file.";
const PRINT_TO_PDF: &str = "This is not read as a plan; print it to PDF and choose that file.";
const UNPACK: &str = "Unpack it and choose the plan inside (PDF, PNG, JPEG, WebP or TIFF).";
const UNPACK_OR_PRINT: &str =
    "Unpack the archive and choose the plan inside, or print the document to PDF.";
const NOT_A_DRAWING: &str = "Choose the plan itself (a PDF, PNG, JPEG, WebP or TIFF).";

/// How far into a file a text format is looked for, in bytes.
const TEXT_WINDOW: usize = 4096;

/// The kind of a file.
///
/// # Errors
/// `Empty`, `OtherFormat` with a remedy, `UnknownFormat`.
pub(super) fn kind_of(bytes: &[u8]) -> Result<SheetKind, SheetError> {
    if bytes.is_empty() {
        return Err(SheetError::Empty);
    }
    if let Some(kind) = read_here(bytes) {
        return Ok(kind);
    }
    match known_elsewhere(bytes).or_else(|| known_as_text(bytes)) {
        Some((what, remedy)) => Err(SheetError::OtherFormat { what, remedy }),
        None => {
            let first: Vec<String> = bytes.iter().take(8).map(|b| format!("{b:02X}")).collect();
            Err(SheetError::UnknownFormat {
                starts_with: first.join(" "),
            })
        }
    }
}

fn read_here(bytes: &[u8]) -> Option<SheetKind> {
    let tiff = [b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"];
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some(SheetKind::Png)
    } else if bytes.starts_with(b"\xff\xd8\xff") {
        Some(SheetKind::Jpeg)
    } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        Some(SheetKind::WebP)
    } else if tiff.iter().any(|t| bytes.starts_with(*t)) {
        Some(SheetKind::Tiff)
    } else if find(&bytes[..bytes.len().min(1024)], b"%PDF-").is_some() {
        // Readers accept the header anywhere in the first 1024 bytes
        // (ISO 32000-1, implementation note to 7.5.2; from memory).
        Some(SheetKind::Pdf)
    } else {
        None
    }
}

fn known_elsewhere(bytes: &[u8]) -> Option<(&'static str, &'static str)> {
    let table: [(&[u8], &str, &str); 20] = [
        (
            b"AC10",
            "a DWG drawing",
            "Save it as PDF and choose that file.",
        ),
        (b"AutoCAD Binary DXF", "a binary DXF drawing", TO_PDF_OR_PNG),
        (b"GIF8", "a GIF picture", TO_PNG),
        (b"BM", "a BMP picture", TO_PNG),
        (b"8BPS", "a layered picture of a paint program", TO_PNG),
        (b"\0\0\0\x0cjP  ", "a JPEG 2000 picture", TO_PNG),
        (b"\xff\x4f\xff\x51", "a JPEG 2000 picture", TO_PNG),
        (b"\xff\x0a", "a JPEG XL picture", TO_PNG),
        (b"\0\0\0\x0cJXL ", "a JPEG XL picture", TO_PNG),
        (
            b"PK\x03\x04",
            "a ZIP archive or an office document",
            UNPACK_OR_PRINT,
        ),
        (b"PK\x05\x06", "an empty ZIP archive", NOT_A_DRAWING),
        (
            b"\xd0\xcf\x11\xe0",
            "an older office or building model document",
            PRINT_TO_PDF,
        ),
        (b"{\\rtf", "a text document (RTF)", PRINT_TO_PDF),
        (b"%!PS", "a PostScript file", PRINT_TO_PDF),
        (b"\x1f\x8b", "a packed archive (gzip)", UNPACK),
        (b"7z\xbc\xaf", "a packed archive (7z)", UNPACK),
        (b"Rar!", "a packed archive (RAR)", UNPACK),
        (
            b"ISO-10303-21",
            "a building model (STEP or IFC)",
            PRINT_TO_PDF,
        ),
        (b"MZ", "a Windows program", NOT_A_DRAWING),
        (b"\x7fELF", "a program", NOT_A_DRAWING),
    ];
    if bytes.get(4..8) == Some(b"ftyp") {
        return Some(match bytes.get(8..12) {
            Some(b"avif" | b"avis") => ("an AVIF picture", TO_PNG),
            Some(b"heic" | b"heix" | b"hevc" | b"heim" | b"heis" | b"mif1" | b"msf1") => {
                ("a HEIC photo", TO_PNG)
            }
            _ => ("a film or a photo in a film container", TO_PNG),
        });
    }
    let hit = table
        .iter()
        .find(|(signature, ..)| bytes.starts_with(signature))?;
    Some((hit.1, hit.2))
}

fn known_as_text(bytes: &[u8]) -> Option<(&'static str, &'static str)> {
    let head = &bytes[..bytes.len().min(TEXT_WINDOW)];
    let text = String::from_utf8_lossy(head).to_lowercase();
    let text = text.trim_start_matches(|c: char| c == '\u{feff}' || c.is_whitespace());
    if text.starts_with("<!doctype html") || text.starts_with("<html") {
        return Some(("a web page", NOT_A_DRAWING));
    }
    if text.starts_with('<') && (text.contains("<svg") || text.contains("<!doctype svg")) {
        return Some(("an SVG drawing", TO_PDF_OR_PNG));
    }
    if text.starts_with("<?xml") || text.starts_with("<!doctype") {
        return Some(("an XML document", NOT_A_DRAWING));
    }
    if text.starts_with('<') && text.contains("<html") {
        return Some(("a web page", NOT_A_DRAWING));
    }
    // A DXF begins with group code 0 and SECTION, or with comments (999).
    let mut lines = text.lines().map(str::trim);
    match (lines.next(), lines.next()) {
        (Some("0"), Some("section")) | (Some("999"), Some(_)) => {
            Some(("a DXF drawing", TO_PDF_OR_PNG))
        }
        _ => None,
    }
}

/// The place of the first `needle` in `hay`.
pub(super) fn find(hay: &[u8], needle: &[u8]) -> Option<usize> {
    hay.windows(needle.len())
        .position(|window| window == needle)
}

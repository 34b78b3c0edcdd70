//! Bytes of a plan file to the picture that stands under the design.
//!
//! A pure function of the bytes: no file is opened, no connection made, no
//! clock read, whatever the plan says. A file is what its content says, never
//! what its name says. Every limit is checked from the header, before a decoder
//! takes its buffer; a decoder that panics is contained.
//!
//! The picture is measured in the pixels *shown* (after orientation, /Rotate,
//! CropBox and any scaling down): a scale set on a sheet is metres per shown pixel.

mod error;
mod guard;
mod kind;
mod raster;
mod tiff_pages;
mod pdf;

use std::fmt;

pub use error::SheetError;

/// Largest plan file read by default, in bytes (64 MiB).
pub const DEFAULT_MAX_BYTES: usize = 64 * 1024 * 1024;
/// Largest picture read by default, in pixels.
pub const DEFAULT_MAX_PIXELS: u64 = 160_000_000;
/// Longest side of the picture shown, in pixels; larger pictures are scaled down.
pub const MAX_SHOWN_SIDE_PX: u32 = 6000;
/// Longest side of a PDF page as drawn, in pixels.
pub const PDF_LONG_SIDE_PX: u32 = 4000;

/// What an import may take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ImportLimits {
    /// Largest file, in bytes.
    pub max_bytes: usize,
    /// Largest picture, in pixels (width times height).
    pub max_pixels: u64,
}

impl Default for ImportLimits {
    fn default() -> Self {
        ImportLimits {
            max_bytes: DEFAULT_MAX_BYTES,
            max_pixels: DEFAULT_MAX_PIXELS,
        }
    }
}

/// What a plan file is, by its content.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SheetKind {
    Png,
    Jpeg,
    WebP,
    Tiff,
    Pdf,
}

impl SheetKind {
    /// The name with its article, for a message: `a PNG`.
    pub fn name(self) -> &'static str {
        match self {
            SheetKind::Png => "a PNG",
            SheetKind::Jpeg => "a JPEG",
            SheetKind::WebP => "a WebP",
            SheetKind::Tiff => "a TIFF",
            SheetKind::Pdf => "a PDF",
        }
    }
}

/// One page of a plan file, as a picture.
#[derive(Clone, PartialEq)]
pub struct Sheet {
    /// The picture shown: an opaque 8-bit PNG, grey or RGB, without metadata.
    pub png: Vec<u8>,
    /// Width of `png` in pixels. Scales are set in these pixels, not in the file's.
    pub width_px: u32,
    /// Height of `png` in pixels.
    pub height_px: u32,
    /// The page shown, from 1.
    pub page: u32,
    /// The pages in the file.
    pub n_pages: u32,
    /// Metres per shown pixel where the file states a scale of the building.
    /// None for every format read so far: the size of the paper is not a scale.
    pub suggested_metres_per_px: Option<f64>,
    /// What the file was.
    pub kind: SheetKind,
}

impl fmt::Debug for Sheet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Sheet")
            .field("png_bytes", &self.png.len())
            .field("width_px", &self.width_px)
            .field("height_px", &self.height_px)
            .field("page", &self.page)
            .field("n_pages", &self.n_pages)
            .field("kind", &self.kind)
            .finish_non_exhaustive()
    }
}

/// Reads one page of a plan file. `page` counts from 1.
///
/// # Errors
/// `SheetError`, whose message names the field, the value and the remedy.
pub fn import(bytes: &[u8], page: u32, limits: &ImportLimits) -> Result<Sheet, SheetError> {
    let kind = checked_kind(bytes, limits)?;
    guard::guarded(SheetError::Damaged { kind: kind.name() }, || match kind {
        SheetKind::Pdf => pdf::import_page(bytes, page, limits),
        SheetKind::Tiff => {
            let offsets = tiff_pages::directory_offsets(bytes)?;
            let n_pages = offsets.len() as u32;
            check_page(page, n_pages)?;
            let one = tiff_pages::starting_at(bytes, offsets[page as usize - 1]);
            let shown = raster::decode(&one, kind, limits)?;
            shown.into_sheet(page, n_pages, kind)
        }
        _ => {
            check_page(page, 1)?;
            raster::decode(bytes, kind, limits)?.into_sheet(page, 1, kind)
        }
    })
}

/// The pages in a plan file (1 for a picture).
///
/// # Errors
/// As `import`, for what can be told without decoding a page.
pub fn n_pages(bytes: &[u8], limits: &ImportLimits) -> Result<u32, SheetError> {
    let kind = checked_kind(bytes, limits)?;
    guard::guarded(SheetError::Damaged { kind: kind.name() }, || match kind {
        SheetKind::Pdf => pdf::n_pages(bytes),
        SheetKind::Tiff => Ok(tiff_pages::directory_offsets(bytes)?.len() as u32),
        _ => Ok(1),
    })
}

/// A smaller copy of a PNG, `long_side` pixels on its longer side at most; never enlarged.
///
/// # Errors
/// `LongSide` for 0 or more than 6000; else as `import`.
pub fn thumbnail(png: &[u8], long_side: u32) -> Result<Vec<u8>, SheetError> {
    if long_side == 0 || long_side > MAX_SHOWN_SIDE_PX {
        return Err(SheetError::LongSide { long_side });
    }
    let limits = ImportLimits::default();
    let kind = checked_kind(png, &limits)?;
    if kind != SheetKind::Png {
        let remedy = "Import the plan first, then make the thumbnail of its picture.";
        return Err(SheetError::OtherFormat {
            what: kind.name(),
            remedy,
        });
    }
    guard::guarded(SheetError::Damaged { kind: kind.name() }, || {
        raster::decode_to(png, kind, &limits, long_side)?.encoded()
    })
}

fn checked_kind(bytes: &[u8], limits: &ImportLimits) -> Result<SheetKind, SheetError> {
    if bytes.len() > limits.max_bytes {
        let max_bytes = limits.max_bytes;
        return Err(SheetError::FileTooLarge {
            bytes: bytes.len(),
            max_bytes,
        });
    }
    kind::kind_of(bytes)
}

fn check_page(page: u32, n_pages: u32) -> Result<(), SheetError> {
    if page >= 1 && page <= n_pages {
        return Ok(());
    }
    let range = if n_pages == 1 {
        "page 1".to_owned()
    } else {
        format!("pages 1 to {n_pages}")
    };
    Err(SheetError::PageOutOfRange {
        page,
        n_pages,
        range,
    })
}

#[cfg(test)]
mod tests;

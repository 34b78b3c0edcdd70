//! One page of a PDF as the picture that is shown.
//!
//! The renderer draws onto white, turned by /Rotate and cut to the CropBox
//! (ISO 32000-1, 7.7.3.3 and 14.11.2). It has no clock and no limits of its own, so
//! three things are judged before it may draw: what the compressed parts unpack to
//! (`unpack`), what the page's content repeats (`content`), and what drawing the page
//! would take (`work`, a dry run onto a device that only counts). Scripts,
//! actions and links are not interpreted at all.

mod content;
mod unpack;
mod work;

use hayro::hayro_interpret::{InterpreterSettings, TransformExt};
use hayro::hayro_syntax::page::Page;
use hayro::hayro_syntax::{LoadPdfError, Pdf};
use hayro::kurbo::Affine;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::vello_cpu::{Pixmap, RasterizerSettings, RenderContext, Resources, TargetInit};
use hayro::{RenderCache, RenderSettings};
use image::{DynamicImage, RgbImage};

use crate::plan::raster::Shown;
use crate::plan::{ImportLimits, PDF_LONG_SIDE_PX, Sheet, SheetError, SheetKind, check_page};

const DAMAGED: SheetError = SheetError::Damaged { kind: "a PDF" };

/// The pages of a PDF.
pub(super) fn n_pages(bytes: &[u8]) -> Result<u32, SheetError> {
    Ok(open(bytes)?.pages().len() as u32)
}

/// Draws page `page`, counted from 1.
pub(super) fn import_page(
    bytes: &[u8],
    page: u32,
    limits: &ImportLimits,
) -> Result<Sheet, SheetError> {
    let pdf = open(bytes)?;
    let n_pages = pdf.pages().len() as u32;
    check_page(page, n_pages)?;
    let leaf = &pdf.pages()[page as usize - 1];
    let frame = Frame::of(leaf, page, limits)?;
    content::check(leaf, page)?;
    work::check(leaf, page, &frame)?;
    draw(leaf, &frame).into_sheet(page, n_pages, SheetKind::Pdf)
}

fn open(bytes: &[u8]) -> Result<Pdf, SheetError> {
    unpack::check_file(bytes)?;
    let pdf = Pdf::new(bytes.to_vec()).map_err(|error| match error {
        LoadPdfError::Decryption(_) => SheetError::Locked,
        LoadPdfError::Invalid => no_page_or_damaged(bytes),
    })?;
    if pdf.pages().is_empty() {
        return Err(SheetError::NoPage);
    }
    Ok(pdf)
}

/// A file that ends properly but yields no page has none; any other is damaged.
fn no_page_or_damaged(bytes: &[u8]) -> SheetError {
    let tail = &bytes[bytes.len().saturating_sub(1024)..];
    match crate::plan::kind::find(tail, b"%%EOF") {
        Some(_) => SheetError::NoPage,
        None => DAMAGED,
    }
}

/// The picture a page is drawn on.
pub(super) struct Frame {
    width_px: u16,
    height_px: u16,
    /// From page space to pixels.
    transform: Affine,
}

impl Frame {
    fn of(leaf: &Page<'_>, page: u32, limits: &ImportLimits) -> Result<Frame, SheetError> {
        let (width, height) = leaf.render_dimensions();
        let (width, height) = (f64::from(width), f64::from(height));
        let usable = |side: f64| side.is_finite() && side > 0.0;
        if !usable(width) || !usable(height) {
            return Err(SheetError::PageSize {
                page,
                width,
                height,
            });
        }
        let by_side = f64::from(PDF_LONG_SIDE_PX) / width.max(height);
        let by_pixels = (limits.max_pixels as f64 / width / height).sqrt();
        let scale = by_side.min(by_pixels);
        let side = |points: f64| {
            (points * scale)
                .round()
                .clamp(1.0, f64::from(PDF_LONG_SIDE_PX))
        };
        let (width_px, height_px) = (side(width), side(height));
        let stretch = Affine::scale_non_uniform(width_px / width, height_px / height);
        Ok(Frame {
            width_px: width_px as u16,
            height_px: height_px as u16,
            transform: stretch * leaf.initial_transform(true).to_kurbo(),
        })
    }
}

fn draw(leaf: &Page<'_>, frame: &Frame) -> Shown {
    let mut context = RenderContext::new(frame.width_px, frame.height_px);
    let cache = RenderCache::new();
    hayro::render_into(
        leaf,
        &cache,
        &InterpreterSettings::default(),
        &RenderSettings::default(),
        &mut context,
        frame.transform,
    );
    context.flush();
    let mut pixmap = Pixmap::new(frame.width_px, frame.height_px);
    let on_white = RasterizerSettings {
        target_init: TargetInit::Clear(WHITE),
        ..RasterizerSettings::default()
    };
    context.render_with(&mut pixmap, &mut Resources::default(), on_white);
    drop(context);
    // Paint on opaque white leaves no transparency, so the fourth channel says nothing.
    let rgba = pixmap.data_as_u8_slice();
    let rgb: Vec<u8> = rgba
        .chunks_exact(4)
        .flat_map(|p| [p[0], p[1], p[2]])
        .collect();
    let (width, height) = (u32::from(frame.width_px), u32::from(frame.height_px));
    let picture = RgbImage::from_raw(width, height, rgb)
        .expect("the renderer fills width times height pixels");
    Shown::from_opaque(DynamicImage::ImageRgb8(picture))
}

//! How much drawing a page asks for, found by a dry run that draws nothing.
//!
//! The interpreter runs once onto a device that counts segments, pixels and
//! pictures, and stops it by unwinding as soon as a budget is spent. So the
//! renderer meets only pages whose time and memory are bounded, without a clock.

use std::collections::BTreeSet;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};

use hayro::hayro_interpret::font::{Glyph, GlyphRun};
use hayro::hayro_interpret::pattern::{Pattern, TilingPattern};
use hayro::hayro_interpret::{
    BlendMode, CacheKey, ClipPath, Context, Device, DrawMode, DrawProps, Image, ImageDrawProps,
    InterpreterCache, InterpreterSettings, Paint, SoftMask, StrokeProps, interpret_page,
};
use hayro::hayro_syntax::Filter;
use hayro::hayro_syntax::object::{Dict, Stream};
use hayro::hayro_syntax::page::Page;
use hayro::kurbo::{Affine, BezPath, ParamCurveArclen, Rect, Shape};

use super::unpack::{MAX_PICTURE_BYTES, unpacked_bytes};
use super::{DAMAGED, Frame};
use crate::plan::SheetError;
use crate::plan::raster::frame_header;

/// Path segments, glyphs, clips, groups and dashes.
const MAX_STEPS: f64 = 8e6;
/// Pixels that edges of paths run through.
const MAX_EDGE_PX: f64 = 80e6;
/// Pixels blended, each time they are; other paints count as below. Measured unoptimised:
/// about 4 ns a pixel.
const MAX_PAINTED_PX: f64 = 8e8;
/// What a pixel costs against a blended one, measured: opaque paint, an
/// empty group on the whole page, paint in a group, gradients, tiles.
const OPAQUE: f64 = 0.05;
const GROUP: f64 = 0.04;
const IN_GROUP: f64 = 1.5;
const GRADIENT: f64 = 8.0;
const TILE: f64 = 16.0;
/// Pixels of pictures, masks and patterns that stay in memory until the page is done.
const MAX_KEPT_PX: f64 = 100e6;
/// Bytes decoded for one picture, and for all of them.
const MAX_DECODED_BYTES: f64 = 640e6;
const MAX_ALL_DECODED_BYTES: f64 = 1.6e9;

/// Judges the drawing of one page.
///
/// # Errors
/// `TooMuchWork` names the budget that is spent; `Damaged` if the interpreter gives up.
pub(super) fn check(leaf: &Page<'_>, page: u32, frame: &Frame) -> Result<(), SheetError> {
    let target = Rect::new(
        0.0,
        0.0,
        f64::from(frame.width_px),
        f64::from(frame.height_px),
    );
    let dry_run = || {
        let cache = InterpreterCache::new();
        let settings = InterpreterSettings::default();
        let mut context = Context::new(frame.transform, target, &cache, leaf.xref(), settings);
        let mut work = Work {
            target,
            ..Work::default()
        };
        interpret_page(leaf, &mut context, &mut work);
    };
    catch_unwind(AssertUnwindSafe(dry_run)).map_err(|payload| match payload.downcast::<Spent>() {
        Ok(spent) => SheetError::TooMuchWork {
            page,
            limit: spent.limit as u64,
            what: spent.what,
        },
        Err(_) => DAMAGED,
    })
}

/// The payload that stops the dry run.
struct Spent {
    limit: f64,
    what: &'static str,
}

#[derive(Default)]
struct Work {
    target: Rect,
    /// Bounds of the clips in force, the innermost last.
    clips: Vec<Rect>,
    /// Transparency groups now open.
    n_groups: u32,
    steps: f64,
    edge_px: f64,
    painted_px: f64,
    kept_px: f64,
    decoded_bytes: f64,
    /// How often the thing now interpreted is drawn.
    times: f64,
    masks: BTreeSet<u128>,
}

impl Work {
    fn times(&self) -> f64 {
        self.times.max(1.0)
    }

    fn spend(&mut self, steps: f64, edge_px: f64, painted_px: f64, kept_px: f64) {
        let times = self.times();
        self.steps += steps * times;
        self.edge_px += edge_px * times;
        self.painted_px += painted_px * times;
        self.kept_px += kept_px * times;
        let budgets = [
            (self.steps, MAX_STEPS, "lines, glyphs and dashes"),
            (self.edge_px, MAX_EDGE_PX, "pixels of line"),
            (self.painted_px, MAX_PAINTED_PX, "painted pixels"),
            (
                self.kept_px,
                MAX_KEPT_PX,
                "pixels of pictures, masks and patterns",
            ),
            (
                self.decoded_bytes,
                MAX_ALL_DECODED_BYTES,
                "bytes of pictures",
            ),
        ];
        for (spent, limit, what) in budgets {
            if spent > limit {
                resume_unwind(Box::new(Spent { limit, what }));
            }
        }
    }

    /// Counts what follows `times` as often.
    fn repeated(&mut self, times: f64, inner: impl FnOnce(&mut Work)) {
        let before = self.times;
        self.times = self.times() * times.max(1.0);
        inner(self);
        self.times = before;
    }

    fn page_px(&self) -> f64 {
        self.shown(self.target).area()
    }

    fn shown(&self, bounds: Rect) -> Rect {
        let clip = self.clips.last().copied().unwrap_or(self.target);
        let seen = bounds.intersect(clip);
        if seen.area().is_finite() { seen } else { clip }
    }

    fn fill(&mut self, path: &BezPath, transform: Affine, weight: f64) {
        // A segment crosses the page once at most, whatever its length.
        let across = 2.0 * (self.target.width() + self.target.height());
        let (mut n, mut edge_px) = (0.0, 0.0);
        for segment in path.segments() {
            n += 1.0;
            edge_px += (transform * segment).arclen(1.0).min(across);
        }
        let painted = self
            .shown(transform.transform_rect_bbox(path.bounding_box()))
            .area();
        // Area of a closed path cannot exceed what its edges can enclose.
        let painted = painted.min(edge_px * edge_px / 12.0);
        self.spend(n + 1.0, edge_px, painted * weight, 0.0);
    }

    fn stroke(&mut self, path: &BezPath, transform: Affine, props: &StrokeProps, weight: f64) {
        let scale = transform.determinant().abs().sqrt();
        let across = 2.0 * (self.target.width() + self.target.height());
        let (mut n, mut edge_px, mut length) = (0.0, 0.0, 0.0);
        for segment in path.segments() {
            let px = (transform * segment).arclen(1.0);
            n += 1.0;
            edge_px += px.min(across);
            length += px;
        }
        let width_px = (f64::from(props.line_width) * scale).max(1.0);
        let painted = (edge_px * width_px).min(self.page_px() * n);
        let dashes = if props.dash_array.is_empty() {
            0.0
        } else {
            let period: f64 = props.dash_array.iter().map(|d| f64::from(d.abs())).sum();
            let n_dashes = props.dash_array.len() as f64;
            (length / (period * scale)).max(0.0) * n_dashes + n_dashes
        };
        // A period of nothing gives no number: the budget is spent at once.
        let dashes = if dashes.is_nan() {
            f64::INFINITY
        } else {
            dashes
        };
        self.spend(
            2.0 * n + dashes + 1.0,
            2.0 * edge_px + dashes,
            painted * weight,
            0.0,
        );
    }
}

impl Work {
    fn paint<'a>(&mut self, paint: &Paint<'a>, bounds: Rect)
    where
        Work: Device<'a>,
    {
        if let Paint::Pattern(pattern) = paint {
            let seen = self.shown(bounds).area();
            match &**pattern {
                Pattern::Shading(_) => self.spend(100.0, 0.0, GRADIENT * seen, seen),
                Pattern::Tiling(tile) => {
                    self.spend(100.0, 0.0, TILE * seen, seen);
                    self.tile(tile);
                }
            }
        }
    }

    fn tile<'a>(&mut self, tile: &TilingPattern<'a>)
    where
        Work: Device<'a>,
    {
        let copies = |side: f64, step: f32| (side / f64::from(step.abs())).ceil() + 2.0;
        let times =
            copies(tile.bbox.width(), tile.x_step) * copies(tile.bbox.height(), tile.y_step);
        let times = if times.is_finite() {
            times / 4.0
        } else {
            MAX_STEPS
        };
        self.repeated(times, |work| {
            work.spend(10.0, 0.0, 0.0, 0.0);
            tile.interpret(work, tile.matrix, false);
        });
    }

    fn mask<'a>(&mut self, mask: Option<&SoftMask<'a>>)
    where
        Work: Device<'a>,
    {
        if let Some(mask) = mask
            && self.masks.insert(mask.cache_key())
        {
            let page_px = self.page_px();
            self.spend(10.0, 0.0, 2.0 * page_px, page_px);
            mask.interpret(self);
        }
    }

    fn picture(&mut self, stream: &Stream<'_>, width: u32, height: u32, seen: Rect) {
        let needed = decoded_bytes(stream, width, height);
        if needed > MAX_DECODED_BYTES {
            let what = "bytes in one picture";
            resume_unwind(Box::new(Spent {
                limit: MAX_DECODED_BYTES,
                what,
            }));
        }
        self.decoded_bytes += needed * self.times();
        let own_px = f64::from(width) * f64::from(height);
        // The renderer keeps a copy, scaled to the page where that is smaller.
        self.spend(10.0, 0.0, seen.area(), own_px.min(seen.area() * 2.0));
    }
}

impl<'a> Device<'a> for Work {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'a>, mode: &DrawMode) {
        let weight = if self.n_groups > 0 {
            IN_GROUP
        } else {
            weight(&props)
        };
        match mode {
            DrawMode::Fill(_) => self.fill(path, props.transform, weight),
            DrawMode::Stroke(stroke) => self.stroke(path, props.transform, stroke, weight),
            DrawMode::FillAndStroke(_, stroke) => {
                self.fill(path, props.transform, weight);
                self.stroke(path, props.transform, stroke, weight);
            }
            DrawMode::Invisible => self.spend(1.0, 0.0, 0.0, 0.0),
        }
        if !matches!(props.paint, Paint::Color(_)) {
            self.paint(
                &props.paint,
                props.transform.transform_rect_bbox(path.bounding_box()),
            );
        }
        self.mask(props.soft_mask.as_ref());
    }

    fn push_clip_path(&mut self, clip: &ClipPath) {
        self.fill(&clip.path, Affine::IDENTITY, OPAQUE);
        let inner = self.shown(clip.path.bounding_box());
        self.clips.push(inner);
    }

    fn push_transparency_group(&mut self, _: f32, mask: Option<SoftMask<'a>>, _: BlendMode) {
        let page_px = self.page_px();
        self.spend(10.0, 0.0, GROUP * page_px, 0.0);
        self.mask(mask.as_ref());
        self.n_groups += 1;
    }

    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, 'a>, props: DrawProps<'a>, _: &DrawMode) {
        for glyph in run.glyphs() {
            match &**glyph {
                Glyph::Outline(_) => self.spend(10.0, 0.0, 0.0, 0.0),
                Glyph::Type3(drawn) => {
                    self.spend(10.0, 0.0, 0.0, 0.0);
                    drawn.interpret(self, props.transform, glyph.transform(), &props.paint);
                }
            }
        }
        self.paint(&props.paint, self.target);
        self.mask(props.soft_mask.as_ref());
    }

    fn draw_image(&mut self, image: Image<'a, '_>, props: ImageDrawProps<'a>) {
        let (width, height) = (image.width(), image.height());
        let bounds = Rect::new(0.0, 0.0, f64::from(width), f64::from(height));
        let seen = self.shown(props.transform.transform_rect_bbox(bounds));
        match &image {
            Image::Stencil(stencil) => self.picture(stencil.stream(), width, height, seen),
            Image::Raster(raster) => {
                self.picture(raster.stream(), width, height, seen);
                for mask in ["SMask", "Mask"] {
                    if let Some(stream) = raster.stream().dict().get::<Stream<'_>>(mask) {
                        let side = |name| stream.dict().get::<u32>(name).unwrap_or(0);
                        let (width, height) = (side("Width"), side("Height"));
                        self.picture(&stream, width, height, seen);
                    }
                }
            }
        }
        self.mask(props.soft_mask.as_ref());
    }

    fn pop_clip(&mut self) {
        self.clips.pop();
    }

    fn pop_transparency_group(&mut self) {
        self.n_groups = self.n_groups.saturating_sub(1);
    }
}

/// What a pixel of this paint costs; patterns are counted apart.
fn weight(props: &DrawProps<'_>) -> f64 {
    let is_opaque = match &props.paint {
        Paint::Color(colour) => colour.to_rgba().to_rgba8()[3] == 255,
        Paint::Pattern(_) => true,
    };
    if is_opaque && props.blend_mode == BlendMode::Normal && props.soft_mask.is_none() {
        OPAQUE
    } else {
        1.0
    }
}

/// Bytes the decoder takes for a picture: what the filters unpack to, and the
/// pixels the picture's own header declares.
fn decoded_bytes(stream: &Stream<'_>, width: u32, height: u32) -> f64 {
    let filters = stream.filters();
    let data = stream.raw_data();
    let Some(unpacked) = unpacked_bytes(&data, &filters, MAX_PICTURE_BYTES) else {
        return f64::INFINITY;
    };
    let declared = f64::from(width) * f64::from(height);
    let is_grey = is_grey(stream.dict());
    let per_pixel = if is_grey { 2.0 } else { 6.0 };
    let inner = match filters.last() {
        Some(Filter::DctDecode) if filters.len() == 1 => frame_header(&data).map(|frame| {
            frame.width as f64
                * frame.height as f64
                * frame.n_channels as f64
                * if frame.marker == 0xc2 { 3.0 } else { 1.0 }
        }),
        Some(Filter::JpxDecode) if filters.len() == 1 => jpx_samples(&data).map(|n| n * 8.0),
        Some(Filter::CcittFaxDecode) => Some(fax_columns(stream.dict()) * f64::from(height)),
        _ => None,
    };
    unpacked as f64 + declared * per_pixel + inner.unwrap_or(0.0)
}

/// One channel of 8 bits or less, as far as the dictionary says so plainly.
fn is_grey(dictionary: &Dict<'_>) -> bool {
    use hayro::hayro_syntax::object::Name;
    let flag = |name| dictionary.get::<bool>(name).unwrap_or(false);
    let named_grey = dictionary
        .get::<Name<'_>>("ColorSpace")
        .is_some_and(|name| &*name == b"DeviceGray" || &*name == b"CalGray");
    flag("ImageMask") || flag("IM") || named_grey
}

/// Samples a JPEG 2000 codestream declares in its SIZ segment (ITU-T T.800, A.5.1).
fn jpx_samples(data: &[u8]) -> Option<f64> {
    let at = crate::plan::kind::find(data, &[0xff, 0x4f, 0xff, 0x51])? + 4;
    let number = |offset: usize| {
        let field = data.get(at + offset..at + offset + 4)?;
        Some(f64::from(u32::from_be_bytes(field.try_into().ok()?)))
    };
    let (right, bottom, left, top) = (number(4)?, number(8)?, number(12)?, number(16)?);
    let channels = data.get(at + 36..at + 38)?;
    let n_channels = f64::from(u16::from_be_bytes(channels.try_into().ok()?));
    Some((right - left).max(0.0) * (bottom - top).max(0.0) * n_channels)
}

fn fax_columns(dictionary: &Dict<'_>) -> f64 {
    let parameters = ["DecodeParms", "DP"]
        .iter()
        .find_map(|name| dictionary.get::<Dict<'_>>(*name))
        .unwrap_or_default();
    f64::from(parameters.get::<u32>("Columns").unwrap_or(1728))
}

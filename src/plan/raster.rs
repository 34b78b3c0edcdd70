//! Pictures: PNG, JPEG, WebP and TIFF to the pixels that are shown.
//!
//! The header is read first; width, height and the memory the decoder will take
//! are judged before any pixel buffer exists. Colour profiles, text and other
//! side data are never unpacked.

use std::io::Cursor;

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::metadata::Orientation;
use image::{
    DynamicImage, ExtendedColorType, ImageDecoder, ImageEncoder, ImageError, ImageFormat,
    ImageReader,
};

use crate::plan::{ImportLimits, MAX_SHOWN_SIDE_PX, Sheet, SheetError, SheetKind};

/// Most memory a decoder may take for pixels, in bytes (640 MiB). With the file, the
/// shown picture and its PNG the whole import stays below 1 GiB.
const MAX_WORKING_BYTES: u64 = 640 * 1024 * 1024;

/// Pictures above this are packed fast rather than small, in pixels.
const MAX_PACKED_WELL_PX: u64 = 16_000_000;

/// An opaque picture, grey or RGB, 8 bits a channel.
pub(super) struct Shown(DynamicImage);

impl Shown {
    /// Takes RGB pixels, row by row; a picture with no colour in it becomes grey.
    pub(super) fn from_opaque(picture: DynamicImage) -> Shown {
        match picture {
            DynamicImage::ImageLuma8(_) => Shown(picture),
            other => {
                let rgb = other.into_rgb8();
                if rgb.pixels().all(|p| p.0[0] == p.0[1] && p.0[1] == p.0[2]) {
                    Shown(DynamicImage::ImageLuma8(
                        DynamicImage::ImageRgb8(rgb).into_luma8(),
                    ))
                } else {
                    Shown(DynamicImage::ImageRgb8(rgb))
                }
            }
        }
    }

    /// The picture as PNG bytes.
    pub(super) fn encoded(&self) -> Result<Vec<u8>, SheetError> {
        let mut png = Vec::new();
        let (width, height) = (self.0.width(), self.0.height());
        let is_large = u64::from(width) * u64::from(height) > MAX_PACKED_WELL_PX;
        let compression = if is_large {
            CompressionType::Fast
        } else {
            CompressionType::Default
        };
        let encoder = PngEncoder::new_with_quality(&mut png, compression, FilterType::Adaptive);
        encoder
            .write_image(self.0.as_bytes(), width, height, self.0.color().into())
            .map_err(|_| SheetError::Machine)?;
        Ok(png)
    }

    pub(super) fn into_sheet(
        self,
        page: u32,
        n_pages: u32,
        kind: SheetKind,
    ) -> Result<Sheet, SheetError> {
        Ok(Sheet {
            png: self.encoded()?,
            width_px: self.0.width(),
            height_px: self.0.height(),
            page,
            n_pages,
            suggested_metres_per_px: None,
            kind,
        })
    }
}

/// Decodes a picture, upright, on white, at most `MAX_SHOWN_SIDE_PX` on its long side.
pub(super) fn decode(
    bytes: &[u8],
    kind: SheetKind,
    limits: &ImportLimits,
) -> Result<Shown, SheetError> {
    decode_to(bytes, kind, limits, MAX_SHOWN_SIDE_PX)
}

/// As `decode`, with the longest side in pixels given.
pub(super) fn decode_to(
    bytes: &[u8],
    kind: SheetKind,
    limits: &ImportLimits,
    long_side: u32,
) -> Result<Shown, SheetError> {
    let format = match kind {
        SheetKind::Png => ImageFormat::Png,
        SheetKind::Jpeg => ImageFormat::Jpeg,
        SheetKind::WebP => ImageFormat::WebP,
        SheetKind::Tiff => ImageFormat::Tiff,
        SheetKind::Pdf => return Err(SheetError::Damaged { kind: kind.name() }),
    };
    let mut decoder_limits = image::Limits::no_limits();
    decoder_limits.max_alloc = Some(MAX_WORKING_BYTES);
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    reader.limits(decoder_limits);
    let mut decoder = reader
        .into_decoder()
        .map_err(|error| in_our_words(&error, kind))?;
    check_size(&decoder, bytes, kind, limits)?;
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let whole = DynamicImage::from_decoder(decoder).map_err(|error| in_our_words(&error, kind))?;
    let mut shown = scaled_down(on_white(whole), long_side);
    shown.apply_orientation(orientation);
    Ok(Shown::from_opaque(shown))
}

fn check_size(
    decoder: &impl ImageDecoder,
    bytes: &[u8],
    kind: SheetKind,
    limits: &ImportLimits,
) -> Result<(), SheetError> {
    let (width, height) = decoder.dimensions();
    let n_pixels = u64::from(width) * u64::from(height);
    if width == 0 || height == 0 {
        return Err(SheetError::Damaged { kind: kind.name() });
    }
    if n_pixels > limits.max_pixels {
        let max_pixels = limits.max_pixels;
        return Err(SheetError::TooManyPixels {
            width,
            height,
            max_pixels,
        });
    }
    let bytes_per_pixel = u64::from(decoder.color_type().bytes_per_pixel());
    let is_cmyk = matches!(
        decoder.original_color_type(),
        ExtendedColorType::Cmyk8 | ExtendedColorType::Cmyk16
    );
    let per_pixel = match kind {
        // Coefficients of 16 bits for each channel are kept until the last scan.
        SheetKind::Jpeg if is_progressive(bytes) => 3 * bytes_per_pixel.max(3),
        // The lossless decoder works in four channels and copies.
        SheetKind::WebP => bytes_per_pixel + 4,
        // The decoder fills a buffer of its own and copies; CMYK has a fourth channel.
        SheetKind::Tiff if is_cmyk => 2 * bytes_per_pixel + bytes_per_pixel / 3,
        SheetKind::Tiff => 2 * bytes_per_pixel,
        _ => bytes_per_pixel,
    };
    let needed = n_pixels * per_pixel;
    if needed > MAX_WORKING_BYTES {
        return Err(SheetError::TooMuchMemory {
            what: "picture",
            mebibytes: needed >> 20,
            max_mebibytes: MAX_WORKING_BYTES >> 20,
        });
    }
    Ok(())
}

/// Whether a JPEG is progressive: its frame header is SOF2 (ITU-T T.81, table B.1).
fn is_progressive(bytes: &[u8]) -> bool {
    frame_header(bytes).is_some_and(|frame| frame.marker == 0xc2)
}

/// What the frame header of a JPEG says (ITU-T T.81, B.2.2).
pub(super) struct JpegFrame {
    pub(super) marker: u8,
    pub(super) width: u64,
    pub(super) height: u64,
    pub(super) n_channels: u64,
}

/// The first frame header of a JPEG, found by walking its segments.
pub(super) fn frame_header(bytes: &[u8]) -> Option<JpegFrame> {
    let mut at = 2;
    loop {
        while *bytes.get(at)? != 0xff {
            at += 1;
        }
        while *bytes.get(at)? == 0xff {
            at += 1;
        }
        let marker = *bytes.get(at)?;
        at += 1;
        match marker {
            0x00 | 0x01 | 0xd0..=0xd8 => continue,
            0xd9 => return None,
            _ => {}
        }
        let pair =
            |i: usize| Some((u64::from(*bytes.get(i)?) << 8) | u64::from(*bytes.get(i + 1)?));
        if matches!(marker, 0xc0..=0xcf) && !matches!(marker, 0xc4 | 0xc8 | 0xcc) {
            let n_channels = u64::from(*bytes.get(at + 7)?);
            return Some(JpegFrame {
                marker,
                width: pair(at + 5)?,
                height: pair(at + 3)?,
                n_channels,
            });
        }
        at += pair(at)? as usize;
    }
}

/// Lays a picture with transparency on white paper, in its own buffer.
fn on_white(picture: DynamicImage) -> DynamicImage {
    let over = |channel: u32, alpha: u32, full: u32| {
        (channel * alpha + full * (full - alpha) + full / 2) / full
    };
    match picture {
        DynamicImage::ImageLumaA8(mut grey) => {
            for pixel in grey.pixels_mut() {
                let [value, alpha] = pixel.0;
                pixel.0 = [over(value.into(), alpha.into(), 255) as u8, 255];
            }
            DynamicImage::ImageLumaA8(grey)
        }
        DynamicImage::ImageRgba8(mut colour) => {
            for pixel in colour.pixels_mut() {
                let [r, g, b, alpha] = pixel.0;
                let mix = |channel: u8| over(channel.into(), alpha.into(), 255) as u8;
                pixel.0 = [mix(r), mix(g), mix(b), 255];
            }
            DynamicImage::ImageRgba8(colour)
        }
        DynamicImage::ImageLumaA16(_) | DynamicImage::ImageRgba16(_) => on_white_deep(picture),
        DynamicImage::ImageRgba32F(mut deep) => {
            for pixel in deep.pixels_mut() {
                let [r, g, b, alpha] = pixel.0;
                let mix = |channel: f32| channel * alpha + 1.0 - alpha;
                pixel.0 = [mix(r), mix(g), mix(b), 1.0];
            }
            DynamicImage::ImageRgba32F(deep)
        }
        opaque => opaque,
    }
}

fn on_white_deep(picture: DynamicImage) -> DynamicImage {
    let over = |channel: u16, alpha: u16| {
        let (channel, alpha) = (u64::from(channel), u64::from(alpha));
        ((channel * alpha + 65535 * (65535 - alpha) + 32767) / 65535) as u16
    };
    match picture {
        DynamicImage::ImageLumaA16(mut grey) => {
            for pixel in grey.pixels_mut() {
                let [value, alpha] = pixel.0;
                pixel.0 = [over(value, alpha), 65535];
            }
            DynamicImage::ImageLumaA16(grey)
        }
        DynamicImage::ImageRgba16(mut colour) => {
            for pixel in colour.pixels_mut() {
                let [r, g, b, alpha] = pixel.0;
                pixel.0 = [over(r, alpha), over(g, alpha), over(b, alpha), 65535];
            }
            DynamicImage::ImageRgba16(colour)
        }
        other => other,
    }
}

/// Scales down by averaging areas, which keeps thin lines as grey; never scales up.
fn scaled_down(picture: DynamicImage, long_side: u32) -> DynamicImage {
    let (width, height) = (picture.width(), picture.height());
    let longest = width.max(height);
    if longest <= long_side {
        return picture;
    }
    let scale = |side: u32| {
        let shown = (f64::from(side) * f64::from(long_side) / f64::from(longest)).round();
        (shown as u32).clamp(1, long_side)
    };
    picture.thumbnail_exact(scale(width), scale(height))
}

fn in_our_words(error: &ImageError, kind: SheetKind) -> SheetError {
    match error {
        ImageError::Limits(_) => SheetError::TooMuchMemory {
            what: "picture or a part of it",
            mebibytes: (MAX_WORKING_BYTES >> 20) + 1,
            max_mebibytes: MAX_WORKING_BYTES >> 20,
        },
        ImageError::Unsupported(_) => SheetError::Variant {
            kind: kind.name(),
            remedy: "Save it as an 8-bit RGB or grey PNG and choose that file.",
        },
        _ => SheetError::Damaged { kind: kind.name() },
    }
}

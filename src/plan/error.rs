//! What can be wrong with a plan file, in the words of a colleague.
//!
//! Messages name the field, the value and the remedy. They never repeat the
//! text of a decoder's own error: that text helps nobody who draws plans, and
//! may quote bytes of a hostile file.

/// Why a plan file was not imported.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SheetError {
    /// The file holds no byte.
    #[error("The plan file is empty (0 bytes). Check that it was saved, then choose it again.")]
    Empty,
    /// The file is larger than the limit.
    #[error(
        "The plan file has {bytes} bytes and the limit is {max_bytes}. \
         Export only the floor you need, or save the picture at a lower resolution."
    )]
    FileTooLarge { bytes: usize, max_bytes: usize },
    /// A format known by its content that cannot be read as a plan.
    #[error("The plan file is {what}. {remedy}")]
    OtherFormat {
        what: &'static str,
        remedy: &'static str,
    },
    /// Nothing is known by these bytes. `starts_with` is the first bytes in hexadecimal.
    #[error(
        "The plan file is of no known format (its first bytes are {starts_with}). \
         Export the plan as PDF, PNG, JPEG, WebP or TIFF."
    )]
    UnknownFormat { starts_with: String },
    /// A PDF that asks for a password.
    #[error(
        "The plan file is locked with a password. Print it to a new PDF without one, then choose \
         that file."
    )]
    Locked,
    /// A sound PDF that holds no page.
    #[error("The PDF has no page (0 pages). Print the plan to a new PDF and choose that file.")]
    NoPage,
    /// The page asked for is not in the file.
    #[error(
        "Page {page} is not in the plan file: it has {n_pages} ({range}). Choose one of these."
    )]
    PageOutOfRange {
        page: u32,
        n_pages: u32,
        range: String,
    },
    /// A page without a usable width and height.
    #[error(
        "Page {page} of the PDF has no usable size ({width} by {height} points). \
         Print the plan to a new PDF and choose that file."
    )]
    PageSize { page: u32, width: f64, height: f64 },
    /// The header declares more pixels than the limit.
    #[error(
        "The picture is {width} by {height} pixels and the limit is {max_pixels} pixels in all. \
         Save it at a lower resolution, or cut out the floor you need."
    )]
    TooManyPixels {
        width: u32,
        height: u32,
        max_pixels: u64,
    },
    /// Decoding would take more memory than is allowed.
    #[error(
        "The {what} needs at least {mebibytes} MiB of memory to read and the limit is \
         {max_mebibytes} MiB. Save it at a lower resolution or as an 8-bit PNG."
    )]
    TooMuchMemory {
        what: &'static str,
        mebibytes: u64,
        max_mebibytes: u64,
    },
    /// Compressed parts that unpack to more than is allowed.
    #[error(
        "The PDF holds {what} that unpacks to more than {max_mebibytes} MiB. \
         Print the one page you need to a new PDF, or export it as PNG."
    )]
    UnpacksTooFar {
        what: &'static str,
        max_mebibytes: u64,
    },
    /// The page asks for more drawing than is allowed.
    #[error(
        "Page {page} of the PDF takes too much work to draw (more than {limit} {what}). \
         Export that page as PNG at about 4000 pixels on its long side."
    )]
    TooMuchWork {
        page: u32,
        limit: u64,
        what: &'static str,
    },
    /// The file breaks off or contradicts itself.
    #[error(
        "The plan file begins as {kind} but is damaged or cut off. \
         Export it again, or send the whole file once more."
    )]
    Damaged { kind: &'static str },
    /// A sound file of a known format with a variant that cannot be read.
    #[error("The plan file is {kind} of a variant that is not read here. {remedy}")]
    Variant {
        kind: &'static str,
        remedy: &'static str,
    },
    /// A thumbnail was asked for with no side.
    #[error("The long side of a thumbnail is {long_side} pixels. Ask for 1 to 6000.")]
    LongSide { long_side: u32 },
    /// The computer did not give what the work needs.
    #[error("The computer could not start the work on the plan file. Close other programs, retry.")]
    Machine,
}

impl SheetError {
    /// The form field this error is about: `page`, `long_side` or `file`.
    pub fn field(&self) -> &'static str {
        match self {
            SheetError::PageOutOfRange { .. } => "page",
            SheetError::LongSide { .. } => "long_side",
            _ => "file",
        }
    }
}

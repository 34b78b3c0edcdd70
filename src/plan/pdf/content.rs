//! How many bytes of drawing instructions a page interprets, repeats counted.
//!
//! A page may draw a form object, that form draw others, and so on: ten levels of
//! ten are 10^10 drawings in a few hundred bytes. Each form is walked once; its
//! bytes count as often as it is drawn. Forms that draw themselves are refused
//! (ISO 32000-1, 8.10.1, gives them no meaning).

use std::collections::BTreeMap;

use hayro::hayro_syntax::content::TypedIter;
use hayro::hayro_syntax::content::ops::TypedInstruction;
use hayro::hayro_syntax::object::{Array, Dict, Name, Stream};
use hayro::hayro_syntax::page::{Page, Resources};

use super::unpack::{MAX_STREAM_BYTES, too_far, unpacked_bytes};
use crate::plan::SheetError;

/// Most bytes of instructions interpreted for one page.
const MAX_INTERPRETED_BYTES: u64 = 160 * 1024 * 1024;
/// Most segments of one path: the interpreter holds a path whole, some times over.
const MAX_PATH_SEGMENTS: u64 = 2_000_000;
/// Deepest nesting of forms.
const MAX_DEPTH: usize = 40;

/// Judges the content of one page.
///
/// # Errors
/// `UnpacksTooFar`, `TooMuchWork`.
pub(super) fn check(leaf: &Page<'_>, page: u32) -> Result<(), SheetError> {
    let mut total = 0;
    if let Some(parts) = leaf.raw().get::<Array<'_>>("Contents") {
        for part in parts.iter::<Stream<'_>>() {
            total += unpacked(&part)?;
            if total > MAX_STREAM_BYTES {
                return Err(too_far("page content", MAX_STREAM_BYTES));
            }
        }
    } else if let Some(only) = leaf.raw().get::<Stream<'_>>("Contents") {
        unpacked(&only)?;
    }
    let content = leaf.page_stream().unwrap_or_default();
    let mut walk = Walk {
        page,
        known: BTreeMap::new(),
        open: Vec::new(),
    };
    walk.bytes_of(content, leaf.resources()).map(|_| ())
}

fn unpacked(stream: &Stream<'_>) -> Result<u64, SheetError> {
    unpacked_bytes(&stream.raw_data(), &stream.filters(), MAX_STREAM_BYTES)
        .ok_or(too_far("page content", MAX_STREAM_BYTES))
}

struct Walk {
    page: u32,
    /// Bytes interpreted each time a form is drawn, by object number and generation.
    known: BTreeMap<(u32, i32), u64>,
    open: Vec<(u32, i32)>,
}

impl Walk {
    fn too_much(&self) -> SheetError {
        let limit = MAX_INTERPRETED_BYTES;
        SheetError::TooMuchWork {
            page: self.page,
            limit,
            what: "bytes of instructions",
        }
    }

    fn bytes_of(&mut self, content: &[u8], resources: &Resources<'_>) -> Result<u64, SheetError> {
        let mut total = content.len() as u64;
        let mut instructions = TypedIter::new(content);
        let mut n_segments = 0;
        while let Some(instruction) = instructions.next() {
            n_segments = path_segments(&instruction).map_or(0, |n| n_segments + n);
            if n_segments > MAX_PATH_SEGMENTS {
                let (page, limit) = (self.page, MAX_PATH_SEGMENTS);
                return Err(SheetError::TooMuchWork {
                    page,
                    limit,
                    what: "segments in one line",
                });
            }
            if let TypedInstruction::XObject(drawn) = instruction
                && let Some(stream) = resources.get_x_object(drawn.0)
            {
                total = total.saturating_add(self.form_bytes(&stream, resources)?);
            }
            if total > MAX_INTERPRETED_BYTES {
                return Err(self.too_much());
            }
        }
        Ok(total)
    }

    fn form_bytes(
        &mut self,
        stream: &Stream<'_>,
        parent: &Resources<'_>,
    ) -> Result<u64, SheetError> {
        let is_form = stream
            .dict()
            .get::<Name<'_>>("Subtype")
            .is_some_and(|name| &*name == b"Form");
        if !is_form {
            return Ok(0);
        }
        let id = stream.obj_id();
        let key = (id.obj_number, id.gen_number);
        if let Some(bytes) = self.known.get(&key) {
            return Ok(*bytes);
        }
        if self.open.contains(&key) || self.open.len() >= MAX_DEPTH {
            return Err(self.too_much());
        }
        unpacked(stream)?;
        let content = stream.decoded_data().unwrap_or_default();
        let own = stream
            .dict()
            .get::<Dict<'_>>("Resources")
            .map(Resources::new);
        self.open.push(key);
        let bytes = self.bytes_of(&content, own.as_ref().unwrap_or(parent))?;
        self.open.pop();
        self.known.insert(key, bytes);
        Ok(bytes)
    }
}

/// How many segments an instruction adds to the path; None if it is not about a path.
fn path_segments(instruction: &TypedInstruction<'_, '_>) -> Option<u64> {
    match instruction {
        TypedInstruction::MoveTo(_)
        | TypedInstruction::LineTo(_)
        | TypedInstruction::CubicTo(_)
        | TypedInstruction::CubicStartTo(_)
        | TypedInstruction::CubicEndTo(_)
        | TypedInstruction::ClosePath(_) => Some(1),
        TypedInstruction::RectPath(_) => Some(5),
        _ => None,
    }
}

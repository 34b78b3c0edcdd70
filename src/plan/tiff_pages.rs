//! The pages of a TIFF file: its chain of image file directories.
//!
//! TIFF 6.0, section 2, and the BigTIFF layout (from memory): a directory is a count,
//! that many entries, and the offset of the next directory, 0 at the end.
//! Decoding is not done here: a file whose header names another first directory
//! *is* that page, so any decoder of one page will do.

use crate::plan::SheetError;

/// More directories than this are not listed.
const MAX_PAGES: usize = 1000;

const DAMAGED: SheetError = SheetError::Damaged { kind: "a TIFF" };

/// Where each directory starts, in bytes from the start, in page order. At least one.
/// A chain that runs in a ring, or past the end, ends where it does so.
///
/// # Errors
/// `Damaged` if the first directory lies outside the file.
pub(super) fn directory_offsets(bytes: &[u8]) -> Result<Vec<u64>, SheetError> {
    let layout = Layout::of(bytes);
    let mut offsets: Vec<u64> = Vec::new();
    let mut next = layout.number(bytes, layout.first_at, layout.offset_bytes);
    while let Some(offset) = next {
        let seen = offsets.contains(&offset);
        if offset == 0 || seen || offsets.len() == MAX_PAGES {
            break;
        }
        let Some(after) = layout.next_directory(bytes, offset) else {
            break;
        };
        offsets.push(offset);
        next = Some(after);
    }
    if offsets.is_empty() {
        Err(DAMAGED)
    } else {
        Ok(offsets)
    }
}

/// The file with its header naming the directory at `offset` as the first, and the last.
pub(super) fn starting_at(bytes: &[u8], offset: u64) -> Vec<u8> {
    let layout = Layout::of(bytes);
    let mut copy = bytes.to_vec();
    let big_endian = offset.to_be_bytes();
    let mut number = big_endian[8 - layout.offset_bytes..].to_vec();
    if !layout.big_endian {
        number.reverse();
    }
    if let Some(place) = copy.get_mut(layout.first_at..layout.first_at + layout.offset_bytes) {
        place.copy_from_slice(&number);
    }
    if let Some(end) = layout.directory_end(bytes, offset)
        && let Some(next) = copy.get_mut(end..end + layout.offset_bytes)
    {
        next.fill(0);
    }
    copy
}

struct Layout {
    big_endian: bool,
    first_at: usize,
    offset_bytes: usize,
    count_bytes: usize,
    entry_bytes: u64,
}

impl Layout {
    fn of(bytes: &[u8]) -> Layout {
        let big_endian = bytes.starts_with(b"MM");
        let is_big_tiff = bytes.get(2..4).is_some_and(|v| v.contains(&43));
        if is_big_tiff {
            Layout {
                big_endian,
                first_at: 8,
                offset_bytes: 8,
                count_bytes: 8,
                entry_bytes: 20,
            }
        } else {
            Layout {
                big_endian,
                first_at: 4,
                offset_bytes: 4,
                count_bytes: 2,
                entry_bytes: 12,
            }
        }
    }

    fn number(&self, bytes: &[u8], at: usize, n_bytes: usize) -> Option<u64> {
        let field = bytes.get(at..at.checked_add(n_bytes)?)?;
        let add = |sum: u64, byte: &u8| (sum << 8) | u64::from(*byte);
        Some(if self.big_endian {
            field.iter().fold(0, add)
        } else {
            field.iter().rev().fold(0, add)
        })
    }

    /// The offset after the directory at `offset`; None if the directory is not in the file.
    fn next_directory(&self, bytes: &[u8], offset: u64) -> Option<u64> {
        let end = self.directory_end(bytes, offset)?;
        Some(self.number(bytes, end, self.offset_bytes).unwrap_or(0))
    }

    /// Where the entries of the directory at `offset` end, if that is in the file.
    fn directory_end(&self, bytes: &[u8], offset: u64) -> Option<usize> {
        let at = usize::try_from(offset).ok()?;
        let n_entries = self.number(bytes, at, self.count_bytes)?;
        let length = n_entries.checked_mul(self.entry_bytes)?;
        let end = offset
            .checked_add(self.count_bytes as u64)?
            .checked_add(length)?;
        usize::try_from(end).ok().filter(|end| *end <= bytes.len())
    }
}

//! How far the compressed parts of a PDF unpack, judged before the reader unpacks them.
//!
//! The reader unpacks whole streams without a limit. Here each stream is unpacked
//! through a small window that is thrown away, and counted. Filters: ISO 32000-1,
//! 7.4 (ASCIIHex, ASCII85, LZW, Flate, RunLength); the picture filters are
//! bounded by their declared pixels in `work`.

use flate2::{Decompress, FlushDecompress, Status};
use hayro::hayro_syntax::Filter;

use crate::plan::SheetError;
use crate::plan::kind::find;

const MIB: u64 = 1024 * 1024;
/// Most bytes one stream of drawing instructions, objects or a font may unpack to.
pub(super) const MAX_STREAM_BYTES: u64 = 48 * MIB;
/// Most bytes a picture may unpack to.
pub(super) const MAX_PICTURE_BYTES: u64 = 384 * MIB;
/// Most bytes all streams of the file may unpack to.
const MAX_FILE_BYTES: u64 = 1024 * MIB;
/// How far back from `stream` the dictionary is looked at, in bytes.
const DICTIONARY_WINDOW: usize = 8192;

/// Counts every stream of the file.
///
/// # Errors
/// `UnpacksTooFar`.
pub(super) fn check_file(bytes: &[u8]) -> Result<(), SheetError> {
    let mut total = 0;
    let mut at = 0;
    while let Some(offset) = find(&bytes[at..], b"stream") {
        let keyword = at + offset;
        let before = &bytes[at.max(keyword.saturating_sub(DICTIONARY_WINDOW))..keyword];
        at = keyword + b"stream".len();
        if before.ends_with(b"end") {
            continue;
        }
        let dictionary = squeezed(before);
        let is_picture = find(&dictionary, b"/Subtype/Image").is_some();
        let (what, max) = if is_picture {
            ("a picture", MAX_PICTURE_BYTES)
        } else {
            ("a part", MAX_STREAM_BYTES)
        };
        let length = unpacked_bytes(after_line_end(&bytes[at..]), &filters_of(&dictionary), max);
        total += length.ok_or(too_far(what, max))?;
        if total > MAX_FILE_BYTES {
            return Err(too_far(
                "more than one part and all together",
                MAX_FILE_BYTES,
            ));
        }
    }
    Ok(())
}

pub(super) fn too_far(what: &'static str, max: u64) -> SheetError {
    SheetError::UnpacksTooFar {
        what,
        max_mebibytes: max / MIB,
    }
}

/// How many bytes `data` unpacks to; None if that is more than `max`.
/// Data that break off count as far as they are sound.
pub(super) fn unpacked_bytes(data: &[u8], filters: &[Filter], max: u64) -> Option<u64> {
    let mut packed = std::borrow::Cow::Borrowed(data);
    for (step, filter) in filters.iter().enumerate() {
        let is_last = !filters[step + 1..].iter().any(|later| unpacks(*later));
        let mut sink = Sink {
            max,
            length: 0,
            kept: (!is_last).then(Vec::new),
        };
        match filter {
            Filter::FlateDecode => inflate(&packed, &mut sink)?,
            Filter::LzwDecode => lzw(&packed, &mut sink)?,
            Filter::RunLengthDecode => run_length(&packed, &mut sink)?,
            Filter::Ascii85Decode => ascii_85(&packed, &mut sink)?,
            Filter::AsciiHexDecode => ascii_hex(&packed, &mut sink)?,
            _ => return Some(packed.len() as u64),
        }
        match sink.kept {
            Some(bytes) => packed = std::borrow::Cow::Owned(bytes),
            None => return Some(sink.length),
        }
    }
    Some(packed.len() as u64)
}

fn unpacks(filter: Filter) -> bool {
    matches!(
        filter,
        Filter::FlateDecode
            | Filter::LzwDecode
            | Filter::RunLengthDecode
            | Filter::Ascii85Decode
            | Filter::AsciiHexDecode
    )
}

/// Takes unpacked bytes, counts them, and keeps them where a later filter needs them.
struct Sink {
    max: u64,
    length: u64,
    kept: Option<Vec<u8>>,
}

impl Sink {
    fn take(&mut self, bytes: &[u8]) -> Option<()> {
        self.length += bytes.len() as u64;
        if self.length > self.max {
            return None;
        }
        if let Some(kept) = &mut self.kept {
            kept.extend_from_slice(bytes);
        }
        Some(())
    }
}

fn inflate(data: &[u8], sink: &mut Sink) -> Option<()> {
    let has_header = matches!(data, [method, flags, ..]
        if method & 0x0f == 8 && (u16::from(*method) << 8 | u16::from(*flags)).is_multiple_of(31));
    let mut rest = if has_header { &data[2..] } else { data };
    let mut inflater = Decompress::new(false);
    let mut window = vec![0; 64 * 1024];
    loop {
        let (read, written) = (inflater.total_in(), inflater.total_out());
        let status = inflater.decompress(rest, &mut window, FlushDecompress::None);
        let n_read = (inflater.total_in() - read) as usize;
        let n_written = (inflater.total_out() - written) as usize;
        sink.take(&window[..n_written])?;
        rest = &rest[n_read..];
        let is_stuck = n_read == 0 && n_written == 0;
        if is_stuck || !matches!(status, Ok(Status::Ok)) {
            return Some(());
        }
    }
}

/// LZW with codes of 9 to 12 bits (ISO 32000-1, 7.4.4), as lengths and parents.
fn lzw(data: &[u8], sink: &mut Sink) -> Option<()> {
    const CLEAR: usize = 256;
    const END: usize = 257;
    let mut table: Vec<Vec<u8>> = Vec::new();
    let mut previous: Option<Vec<u8>> = None;
    let (mut buffer, mut n_bits, mut width) = (0_u32, 0, 9);
    for byte in data {
        buffer = (buffer << 8) | u32::from(*byte);
        n_bits += 8;
        if n_bits < width {
            continue;
        }
        n_bits -= width;
        let code = (buffer >> n_bits) as usize & ((1 << width) - 1);
        if code == END {
            break;
        }
        if code == CLEAR {
            table.clear();
            previous = None;
            width = 9;
            continue;
        }
        let entry = match (code, &previous) {
            (0..=255, _) => vec![code as u8],
            (_, Some(before)) if code == table.len() + 258 => {
                let mut entry = before.clone();
                entry.push(before[0]);
                entry
            }
            _ => match table.get(code - 258) {
                Some(entry) => entry.clone(),
                None => break,
            },
        };
        sink.take(&entry)?;
        if let Some(mut before) = previous.replace(entry.clone())
            && table.len() < 4096 - 258
        {
            before.push(entry[0]);
            table.push(before);
        }
        width = match table.len() + 258 + 1 {
            0..512 => 9,
            512..1024 => 10,
            1024..2048 => 11,
            _ => 12,
        };
    }
    Some(())
}

fn run_length(data: &[u8], sink: &mut Sink) -> Option<()> {
    let mut rest = data;
    while let [length, tail @ ..] = rest {
        match length {
            128 => break,
            0..128 => {
                let n = (usize::from(*length) + 1).min(tail.len());
                sink.take(&tail[..n])?;
                rest = &tail[n..];
            }
            _ => {
                let [value, tail @ ..] = tail else { break };
                sink.take(&vec![*value; 257 - usize::from(*length)])?;
                rest = tail;
            }
        }
    }
    Some(())
}

fn ascii_85(data: &[u8], sink: &mut Sink) -> Option<()> {
    let (mut group, mut n) = (0_u32, 0);
    for byte in data {
        match byte {
            b'z' if n == 0 => sink.take(&[0; 4])?,
            b'!'..=b'u' => {
                group = group.wrapping_mul(85).wrapping_add(u32::from(byte - b'!'));
                n += 1;
                if n == 5 {
                    sink.take(&group.to_be_bytes())?;
                    (group, n) = (0, 0);
                }
            }
            b'~' => break,
            _ => {}
        }
    }
    if n > 1 {
        let padded = (n..5).fold(group, |g, _| g.wrapping_mul(85).wrapping_add(84));
        sink.take(&padded.to_be_bytes()[..n - 1])?;
    }
    Some(())
}

fn ascii_hex(data: &[u8], sink: &mut Sink) -> Option<()> {
    let mut high: Option<u8> = None;
    for byte in data.iter().take_while(|byte| **byte != b'>') {
        let Some(digit) = (*byte as char).to_digit(16) else {
            continue;
        };
        match high.take() {
            Some(first) => sink.take(&[first << 4 | digit as u8])?,
            None => high = Some(digit as u8),
        }
    }
    Some(())
}

/// The filters a stream dictionary names, in order. Every stream is tried as Flate if it
/// names none, because the name may stand in another object.
fn filters_of(dictionary: &[u8]) -> Vec<Filter> {
    let names: [(&[u8], Filter); 5] = [
        (b"/FlateDecode", Filter::FlateDecode),
        (b"/LZWDecode", Filter::LzwDecode),
        (b"/RunLengthDecode", Filter::RunLengthDecode),
        (b"/ASCII85Decode", Filter::Ascii85Decode),
        (b"/ASCIIHexDecode", Filter::AsciiHexDecode),
    ];
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(offset) = dictionary[at..].iter().position(|byte| *byte == b'/') {
        at += offset;
        let rest = &dictionary[at..];
        if let Some((_, filter)) = names.iter().find(|(name, _)| rest.starts_with(name)) {
            found.push(*filter);
        }
        let pictures: [&[u8]; 4] = [b"/DCTDecode", b"/JPXDecode", b"/CCITTFaxDecode", b"/JBIG2"];
        if pictures.iter().any(|name| rest.starts_with(name)) {
            found.push(Filter::DctDecode);
        }
        at += 1;
    }
    if found.is_empty() {
        vec![Filter::FlateDecode]
    } else {
        found
    }
}

/// The dictionary before `stream`: from the last `obj`, without blanks, `#xx` resolved.
fn squeezed(before: &[u8]) -> Vec<u8> {
    let start = before
        .windows(3)
        .rposition(|window| window == b"obj")
        .map_or(0, |at| at + 3);
    let text: Vec<u8> = before[start..]
        .iter()
        .copied()
        .filter(|b| !b.is_ascii_whitespace() && *b != 0)
        .collect();
    let mut plain = Vec::with_capacity(text.len());
    let mut at = 0;
    while at < text.len() {
        let digit = |i: usize| text.get(i).and_then(|b| (*b as char).to_digit(16));
        match (text[at], digit(at + 1), digit(at + 2)) {
            (b'#', Some(high), Some(low)) => {
                plain.push((high * 16 + low) as u8);
                at += 3;
            }
            (byte, ..) => {
                plain.push(byte);
                at += 1;
            }
        }
    }
    plain
}

fn after_line_end(data: &[u8]) -> &[u8] {
    match data {
        [b'\r', b'\n', rest @ ..] | [b'\n' | b'\r', rest @ ..] => rest,
        _ => data,
    }
}

//! Compressed parts of a PDF, looked at before a reading library unpacks them, so that no small file fills the memory.
//!
//! A file of a few kilobytes can hold gigabytes. What is packed is unpacked here once, up to the limit and without keeping it,
//! streams within streams too; ways of packing that this does not look through are refused.

use miniz_oxide::inflate::TINFLStatus;
use miniz_oxide::inflate::core::{DecompressorOxide, decompress, inflate_flags};

/// Maximum number of bytes of a drawing, and that all its compressed parts hold together. An honest near chart has less than a
/// megabyte.
pub(super) const MOST_BYTES: usize = 16 << 20;

/// Other ways to pack a stream, of which no chart needs one.
const OTHER_WAYS: [&[u8]; 6] = [b"/LZW", b"/ASCIIHex", b"/ASCII85", b"/RunLength", b"/AHx", b"/A85"];

/// What is said of a drawing that has more.
pub(super) const TOO_LARGE: &str = "it is larger than a chart’s drawing, of which 16 MiB are read at most";

/// Looks at a PDF's streams.
///
/// # Errors
/// Where together they hold more than [`MOST_BYTES`], streams within streams counted, or may be packed in a way that is not
/// looked through.
pub(super) fn bounded(file: &[u8]) -> Result<(), String> {
    if file.len() > MOST_BYTES {
        return Err(TOO_LARGE.into());
    }
    let mut left = MOST_BYTES;
    let mut within = vec![file.to_vec()];
    while let Some(bytes) = within.pop() {
        let mut at = 0;
        while at < bytes.len() {
            let Some(stream) = stream_at(&bytes, at) else {
                // What stands outside the streams.
                plain(&bytes[at..])?;
                break;
            };
            plain(&bytes[at..stream])?;
            let (taken, inflated) =
                inflated(&bytes[stream..], left).ok_or("its compressed parts hold more than a chart")?;
            left -= inflated.len();
            at = stream + taken.max(1);
            if !inflated.is_empty() {
                within.push(inflated);
            }
        }
    }
    Ok(())
}

/// Where the next compressed stream begins, from a place on: all of what is looked at, or behind the word.
fn stream_at(bytes: &[u8], from: usize) -> Option<usize> {
    const WORD: &[u8] = b"stream";
    if from == 0 && is_zlib(bytes) {
        return Some(0);
    }
    let words = bytes[from..].windows(WORD.len()).enumerate().filter(|(_, part)| *part == WORD);
    let ends = words.map(|(at, _)| from + at + WORD.len());
    let behind =
        |end: usize| end + bytes[end..].iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).count();
    ends.map(behind).find(|start| is_zlib(&bytes[*start..]))
}

/// Whether bytes begin as RFC 1950 has it: method 8, and two bytes that are a multiple of 31.
fn is_zlib(bytes: &[u8]) -> bool {
    matches!(bytes, [method, check, ..]
        if method & 15 == 8 && (u16::from(*method) * 256 + u16::from(*check)).is_multiple_of(31))
}

/// How many bytes a stream takes and what they hold; none where that is more than `most`. A damaged stream holds what came
/// before its damage.
fn inflated(bytes: &[u8], most: usize) -> Option<(usize, Vec<u8>)> {
    /// The first guess of what a stream holds; doubled as often as it takes.
    const GUESS: usize = 64 << 10;
    let flags =
        inflate_flags::TINFL_FLAG_PARSE_ZLIB_HEADER | inflate_flags::TINFL_FLAG_USING_NON_WRAPPING_OUTPUT_BUF;
    let mut decoder = Box::<DecompressorOxide>::default();
    let mut out = vec![0; GUESS.min(most)];
    let (mut read, mut written) = (0, 0);
    loop {
        let (status, taken, given) = decompress(&mut decoder, &bytes[read..], &mut out, written, flags);
        read += taken;
        written += given;
        if status != TINFLStatus::HasMoreOutput {
            out.truncate(written);
            return Some((read, out));
        }
        if out.len() >= most {
            return None;
        }
        out.resize((2 * out.len()).min(most), 0);
    }
}

/// Refuses, outside compressed streams, other ways to pack one, and names written so that they could hide one.
fn plain(bytes: &[u8]) -> Result<(), String> {
    let has = |way: &&[u8]| bytes.windows(way.len()).any(|part| part == *way);
    if OTHER_WAYS.iter().any(has) {
        return Err("it is packed in a way that no chart needs".into());
    }
    // "/F#69lter" is "/Filter".
    let is_hidden = |name: &[u8]| {
        let name = name.split(|byte| !byte.is_ascii_graphic()).next().unwrap_or_default();
        let number = |part: &[u8]| part[0] == b'#' && part[1..].iter().all(u8::is_ascii_hexdigit);
        // A stroke can stand in no name otherwise, and a media type has one; no way to pack does.
        name.windows(3).any(|part| number(part) && part != b"#2F")
    };
    if bytes.split(|byte| *byte == b'/').skip(1).any(is_hidden) {
        return Err("it has a name with letters written as numbers".into());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use miniz_oxide::deflate::compress_to_vec_zlib;

    use super::*;

    fn file(streams: &[&[u8]]) -> Vec<u8> {
        let parts = streams
            .iter()
            .map(|stream| [&b"<< /Filter /FlateDecode >>\nstream\n"[..], stream, b"\nendstream\n"].concat());
        parts.flatten().collect()
    }

    #[test]
    fn streams_and_streams_within_streams_are_bounded_together() {
        let half = compress_to_vec_zlib(&vec![7; MOST_BYTES / 2], 1);
        assert!(bounded(&file(&[&half])).is_ok());
        assert!(bounded(&file(&[&half, &half, &half])).is_err());
        let double = compress_to_vec_zlib(&compress_to_vec_zlib(&vec![0; MOST_BYTES + 1], 9), 9);
        assert!(bounded(&file(&[&double])).is_err());
        // Cut anywhere it is still looked through.
        assert!(bounded(&file(&[&half[..half.len() / 2]])).is_ok());
    }

    #[test]
    fn what_is_not_looked_through_is_refused() {
        for text in [
            "<< /Filter [/ASCII85Decode /FlateDecode] >>",
            "<< /Filter /L#5aWDecode >>",
            "/F#69lter /LZWDecode",
        ] {
            assert!(bounded(text.as_bytes()).is_err(), "{text}");
        }
        assert!(bounded(b"<< /Type /Page /MediaBox [0 0 1 1] >> (50 #1 /a)").is_ok());
    }

    #[test]
    fn a_stream_that_is_not_packed_is_looked_at_from_its_first_byte() {
        assert!(bounded(&file(&[b"/LZWDecode"])).is_err());
        assert!(bounded(&file(&[b"0 0 m 1 1 l S"])).is_ok());
    }
}

//! Reading a PNG with bounded memory.
//!
//! What limits memory is set before a byte of pixels is unpacked: the file, the parts of it, its pixels and its texts. A picture
//! that moves or is see-through has no one look, so it is refused; 16 bits become 8, grey and palettes become colours.

use std::fs::File;
use std::io::{BufRead, BufReader, Read, Seek};
use std::path::Path;

use image::RgbImage;
use png::{ColorType, Decoder, DecodingError, Info, Limits, Reader, Transformations, Unit};

use crate::claim::Claim;
use crate::quantity::Length;
use crate::room::{MAX_PIXELS, PIXELS_A_SIDE};
use crate::store;

/// The largest file that is read, in bytes.
pub const MAX_FILE_BYTES: u64 = 256 << 20;

/// Maximum number of bytes that the decoder may take besides the pixels.
const MAX_DECODER_BYTES: usize = 64 << 20;

/// Maximum number of bytes that the text of a file about itself holds once it is unpacked; an honest one has some thousand.
const MAX_TEXT_BYTES: usize = 1 << 20;

/// A decoded picture and what the file says of it.
pub(super) struct Picture {
    pub(super) image: RgbImage,
    /// Pixels a metre, across and down.
    pub(super) pixels_a_metre: Option<[u32; 2]>,
    /// How the file says that its codes are to be understood.
    pub(super) colour_tag: ColourTag,
    /// What the file says it shows; an error where that is not understood.
    pub(super) claim: Option<Result<Claim, String>>,
    /// The size of a sample, where paths were sampled and there are no pixels of the file's own.
    pub(super) sampled: Option<[Length; 2]>,
}

impl Picture {
    /// Whether it says that it is of a near chart's page.
    pub(super) fn is_near(&self) -> bool {
        self.claim
            .as_ref()
            .and_then(|claim| claim.as_ref().ok())
            .is_some_and(|claim| claim.distance.is_some())
    }
}

/// How a file says that its codes are to be understood.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ColourTag {
    None,
    Srgb,
    Profile,
    /// A gamma or primaries by number.
    Numbers,
}

impl ColourTag {
    fn of(info: &Info<'_>) -> Self {
        if info.icc_profile.is_some() {
            Self::Profile
        } else if info.srgb.is_some() {
            Self::Srgb
        } else if info.gama_chunk.is_some()
            || info.chrm_chunk.is_some()
            || info.coding_independent_code_points.is_some()
        {
            Self::Numbers
        } else {
            Self::None
        }
    }
}

impl std::fmt::Display for ColourTag {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::None => "none",
            Self::Srgb => "sRGB",
            Self::Profile => "ICC profile",
            Self::Numbers => "gamma or primaries",
        })
    }
}

/// Why a file cannot be measured.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// The system does not give it.
    #[error("{path}: cannot be read ({problem}): give a chart as PNG, SVG or PDF")]
    Unreadable {
        /// The file.
        path: String,
        /// What the system says.
        problem: String,
    },
    /// Larger than what is read.
    #[error(
        "{path}: {what} is over the limit of {limit}: give a PNG of one screen, at most {pixels} pixels in {mib} MiB",
        pixels = MAX_PIXELS, mib = MAX_FILE_BYTES >> 20
    )]
    TooLarge {
        /// The file.
        path: String,
        /// What is too large.
        what: String,
        /// The limit that it is over.
        limit: String,
    },
    /// Not a whole PNG.
    #[error("{path}: is no whole PNG, SVG or PDF ({problem}): give the file that was shown")]
    NotAPng {
        /// The file.
        path: String,
        /// What the decoder says.
        problem: String,
    },
    /// A picture of a printed page.
    #[error(
        "{path}: is a picture of a near chart’s page, whose letters are measured by their paths: make and check its PDF or SVG"
    )]
    NearPicture {
        /// The file.
        path: String,
    },
    /// A picture of something else.
    #[error(
        "{path}: shows no chart, since {strangers} of the {all} marks where letters would stand are not letters: give the picture of a chart, whole and as it was shown"
    )]
    NoChart {
        /// The file.
        path: String,
        /// How many marks are not letters.
        strangers: usize,
        /// How many marks there are.
        all: usize,
    },
    /// No drawing of filled paths.
    #[error(
        "{path}: is no chart that can be measured by its paths ({problem}): give a chart as evenfield wrote it"
    )]
    NotADrawing {
        /// The file.
        path: String,
        /// What stands in the way.
        problem: String,
    },
    /// More than one picture.
    #[error("{path}: moves ({frames} frames): a chart stands still, so save one picture")]
    Animated {
        /// The file.
        path: String,
        /// How many pictures.
        frames: u32,
    },
    /// A picture that shows something else than its codes.
    #[error(
        "{path}: has transparent pixels, whose light depends on what lies under them: save it without transparency"
    )]
    Transparent {
        /// The file.
        path: String,
    },
}

/// The whole file, if it is a regular one of bounded size.
pub(super) fn bytes(path: &Path) -> Result<Vec<u8>, ReadError> {
    store::read(path, MAX_FILE_BYTES).map_err(|problem| unread(path, &problem))
}

/// How a file begins, as far as a kind of file is told by it.
pub(super) fn first_bytes(path: &Path) -> Result<Vec<u8>, ReadError> {
    const MOST: u64 = 5;
    let mut first = Vec::new();
    let read = open(path)?.take(MOST).read_to_end(&mut first);
    read.map_err(|error| unread(path, &error.into()))?;
    Ok(first)
}

pub(super) fn read(path: &Path) -> Result<Picture, ReadError> {
    decode(BufReader::new(open(path)?), &path.display().to_string())
}

fn open(path: &Path) -> Result<File, ReadError> {
    store::open(path, MAX_FILE_BYTES).map_err(|problem| unread(path, &problem))
}

fn unread(path: &Path, problem: &store::ReadError) -> ReadError {
    let path = path.display().to_string();
    match problem {
        store::ReadError::TooLarge { most } => {
            ReadError::TooLarge { path, what: "its size".into(), limit: format!("{} MiB", most >> 20) }
        }
        store::ReadError::Refused(_) | store::ReadError::NotAFile => {
            ReadError::Unreadable { path, problem: problem.to_string() }
        }
    }
}

/// Maximum numbers of parts of a PNG and of texts among them: each text is kept while the file is read. Programs write some
/// ten texts, and pixels in parts of 8 kB and more.
const MOST_CHUNKS: usize = 100_000;
const MOST_TEXTS: usize = 1_000;

/// Counts the parts of a PNG without reading what is in them, and begins again.
fn parts_bounded(source: &mut (impl BufRead + Seek), name: &str) -> Result<(), ReadError> {
    const SIGNATURE: i64 = 8;
    const SUM: i64 = 4;
    let [mut chunks, mut texts] = [0; 2];
    let refused = |what: &str, most: usize| {
        Err(ReadError::TooLarge { path: name.into(), what: what.into(), limit: most.to_string() })
    };
    let unreadable =
        |error: std::io::Error| ReadError::Unreadable { path: name.into(), problem: store::plain(&error) };
    source.seek_relative(SIGNATURE).map_err(unreadable)?;
    let mut head = [0; 8];
    // A file that ends too early is the decoder's to tell.
    while source.read_exact(&mut head).is_ok() {
        let [a, b, c, d, kind @ ..] = head;
        chunks += 1;
        texts += usize::from(matches!(&kind, b"tEXt" | b"zTXt" | b"iTXt"));
        if texts > MOST_TEXTS {
            return refused("the number of its texts", MOST_TEXTS);
        }
        if chunks > MOST_CHUNKS {
            return refused("the number of its parts", MOST_CHUNKS);
        }
        source.seek_relative(i64::from(u32::from_be_bytes([a, b, c, d])) + SUM).map_err(unreadable)?;
    }
    source.rewind().map_err(unreadable)
}

pub(super) fn decode(mut source: impl BufRead + Seek, name: &str) -> Result<Picture, ReadError> {
    parts_bounded(&mut source, name)?;
    let not_a_png = |error: DecodingError| ReadError::NotAPng { path: name.into(), problem: words(&error) };
    let mut decoder = Decoder::new_with_limits(source, Limits { bytes: MAX_DECODER_BYTES });
    decoder.set_transformations(Transformations::EXPAND | Transformations::STRIP_16);
    let header = decoder.read_header_info().map_err(not_a_png)?;
    check_size(header.width, header.height, name)?;
    let mut reader = decoder.read_info().map_err(not_a_png)?;
    if let Some(control) = reader.info().animation_control {
        return Err(ReadError::Animated { path: name.into(), frames: control.num_frames });
    }
    let image = pixels(&mut reader, name)?;
    // Programs may write their text after the pixels.
    reader.finish().map_err(not_a_png)?;
    let info = reader.info();
    let pixels_a_metre =
        info.pixel_dims.filter(|dims| dims.unit == Unit::Meter).map(|dims| [dims.xppu, dims.yppu]);
    let colour_tag = ColourTag::of(info);
    Ok(Picture {
        image,
        pixels_a_metre,
        colour_tag,
        claim: json(info).map(|json| Claim::parse(&json)),
        sampled: None,
    })
}

/// The decoder's first clause; the rest is for programmers.
fn words(error: &DecodingError) -> String {
    match error {
        DecodingError::IoError(_) => "it ends too early".into(),
        DecodingError::LimitsExceeded => "it needs more memory than a chart does".into(),
        DecodingError::Format(_) | DecodingError::Parameter(_) => {
            error.to_string().trim_end_matches('.').to_lowercase()
        }
    }
}

fn check_size(width: u32, height: u32, name: &str) -> Result<(), ReadError> {
    let side = *PIXELS_A_SIDE.end();
    if width.max(height) > side || u64::from(width) * u64::from(height) > MAX_PIXELS {
        return Err(ReadError::TooLarge {
            path: name.into(),
            what: format!("its size of {width} × {height} pixels"),
            limit: format!("{side} a side and {MAX_PIXELS} in all"),
        });
    }
    Ok(())
}

/// The picture as red, green and blue of 8 bits.
fn pixels(reader: &mut Reader<impl BufRead + Seek>, name: &str) -> Result<RgbImage, ReadError> {
    let (color, _) = reader.output_color_type();
    let (width, height) = (reader.info().width, reader.info().height);
    let bytes = reader.output_buffer_size().unwrap_or(0);
    let mut raw = vec![0; bytes];
    reader
        .next_frame(&mut raw)
        .map_err(|error| ReadError::NotAPng { path: name.into(), problem: words(&error) })?;
    let rgb: Vec<u8> = match color {
        ColorType::Rgb => raw,
        ColorType::Grayscale | ColorType::Indexed => raw.into_iter().flat_map(|grey| [grey; 3]).collect(),
        ColorType::Rgba if raw.chunks_exact(4).all(|pixel| pixel[3] == 255) => without_fourth(raw),
        ColorType::GrayscaleAlpha if raw.chunks_exact(2).all(|pixel| pixel[1] == 255) => {
            raw.chunks_exact(2).flat_map(|pixel| [pixel[0]; 3]).collect()
        }
        ColorType::Rgba | ColorType::GrayscaleAlpha => {
            return Err(ReadError::Transparent { path: name.into() });
        }
    };
    Ok(RgbImage::from_raw(width, height, rgb).expect("the decoder fills the buffer that it asked for"))
}

/// Pixels of four bytes without the last of each, in the same memory.
fn without_fourth(mut raw: Vec<u8>) -> Vec<u8> {
    let count = raw.len() / 4;
    for pixel in 1..count {
        raw.copy_within(4 * pixel..4 * pixel + 3, 3 * pixel);
    }
    raw.truncate(3 * count);
    raw
}

/// The project's own text, in whichever kind of text chunk another program left it; only that is ever unpacked.
fn json(info: &Info<'_>) -> Option<String> {
    let ours = |keyword: &str| keyword == crate::METADATA_KEY;
    let utf8 = info.utf8_text.iter().filter(|chunk| ours(&chunk.keyword)).find_map(|chunk| {
        let mut chunk = chunk.clone();
        chunk.decompress_text_with_limit(MAX_TEXT_BYTES).and_then(|()| chunk.get_text()).ok()
    });
    let latin = || {
        info.uncompressed_latin1_text
            .iter()
            .find(|chunk| ours(&chunk.keyword))
            .map(|chunk| chunk.text.clone())
    };
    let packed = || {
        info.compressed_latin1_text.iter().filter(|chunk| ours(&chunk.keyword)).find_map(|chunk| {
            let mut chunk = chunk.clone();
            chunk.decompress_text_with_limit(MAX_TEXT_BYTES).and_then(|()| chunk.get_text()).ok()
        })
    };
    utf8.or_else(latin).or_else(packed)
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use super::*;

    #[test]
    fn a_picture_has_at_most_so_many_pixels_a_side_and_in_all() {
        let side = *PIXELS_A_SIDE.end();
        let all = |width: u32| u32::try_from(MAX_PIXELS / u64::from(width)).unwrap();
        let taken = |width: u32, height: u32| check_size(width, height, "a.png").is_ok();
        assert!(taken(side, 1) && taken(1, side) && !taken(side + 1, 1) && !taken(1, side + 1));
        assert!(taken(8192, all(8192)) && !taken(8192, all(8192) + 1) && !taken(8193, 8192));
    }

    /// A PNG of so many parts of a kind, all of them empty.
    fn parts(kind: &[u8; 4], count: usize) -> Cursor<Vec<u8>> {
        let part = [&[0; 4], &kind[..], &[0; 4]].concat();
        Cursor::new([vec![0; 8], part.repeat(count)].concat())
    }

    #[test]
    fn parts_and_texts_are_bounded_before_any_is_read() {
        let taken = |kind: &[u8; 4], count: usize| parts_bounded(&mut parts(kind, count), "a.png").is_ok();
        assert!(taken(b"IDAT", MOST_CHUNKS) && !taken(b"IDAT", MOST_CHUNKS + 1));
        for kind in [b"tEXt", b"zTXt", b"iTXt"] {
            assert!(taken(kind, MOST_TEXTS) && !taken(kind, MOST_TEXTS + 1));
        }
    }

    /// A picture of two pixels.
    fn two(color: ColorType, data: &[u8]) -> Result<Picture, ReadError> {
        let mut file = Vec::new();
        let mut encoder = png::Encoder::new(&mut file, 2, 1);
        encoder.set_color(color);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.write_header().unwrap().write_image_data(data).unwrap();
        decode(Cursor::new(file), "a.png")
    }

    #[test]
    fn grey_and_opaque_pictures_are_read_in_three_colours() {
        for (color, data, wanted) in [
            (ColorType::Rgb, &[1, 2, 3, 4, 5, 6][..], [1, 2, 3, 4, 5, 6]),
            (ColorType::Rgba, &[1, 2, 3, 255, 4, 5, 6, 255], [1, 2, 3, 4, 5, 6]),
            (ColorType::Grayscale, &[7, 9], [7, 7, 7, 9, 9, 9]),
            (ColorType::GrayscaleAlpha, &[7, 255, 9, 255], [7, 7, 7, 9, 9, 9]),
        ] {
            let picture = two(color, data).unwrap();
            assert_eq!(picture.image.as_raw()[..], wanted, "{color:?}");
            assert!(!picture.is_near() && picture.claim.is_none());
        }
        for (color, data) in [
            (ColorType::Rgba, &[1, 2, 3, 255, 4, 5, 6, 254][..]),
            (ColorType::GrayscaleAlpha, &[7, 0, 9, 255]),
        ] {
            assert!(matches!(two(color, data), Err(ReadError::Transparent { .. })), "{color:?}");
        }
        let four = [1, 2, 3, 0, 4, 5, 6, 0, 7, 8, 9, 0].to_vec();
        assert_eq!(without_fourth(four), [1, 2, 3, 4, 5, 6, 7, 8, 9]);
    }

    #[test]
    fn what_is_no_png_is_told_in_a_few_words() {
        let cut = decode(Cursor::new(b"\x89PNG\r\n\x1a\n".to_vec()), "a.png").err().unwrap().to_string();
        assert!(cut.contains("it ends too early"), "{cut}");
    }
}

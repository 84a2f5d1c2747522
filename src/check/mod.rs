//! Measuring a finished chart, from its pixels or paths, against what it should be.
//!
//! It shares units and constants with the drawing, but neither the height formula nor the layout nor the outlines:
//! it finds the fields and the letters in the picture, measures the angles that they subtend, and reads the letters
//! by its own table.
//!
//! [`file`](fn@file) and [`bytes`](fn@bytes) take any chart, [`png_file`] and [`png_bytes`] a picture. The [`Report`] has one [`Finding`] for everything
//! that was looked at: what was measured, what was required, from which [`Clause`], and a [`Verdict`]. A [`ReadError`] is for
//! what could not be measured at all, such as a file that moves, is see-through, or shows something else.
//!
//! A chart from this program says what it should be; [`Expected`] overrides that, and is all there is for a picture that says
//! nothing, such as a picture of the screen.
//!
//! # How a picture is measured
//!
//! 1. The fields are the commonest codes of the left and of the right quarter; their seam lies where one ends.
//! 2. Marks on them are gathered into rows; what stands beside the rows must be nothing, or faint labels.
//! 3. Each mark is probed at the middles of 25 cells, and is the one letter of its set whose ink and paper lie there.
//! 4. Its edges are found from how much of each pixel is inked, to about a hundredth of a pixel, and become angles with the
//!    room's pitch and distance.
//!
//! Vector files are sampled finely and then measured in the same way; what could be drawn differently by different viewers is
//! refused rather than guessed at.
//!
//! # What it cannot tell
//!
//! It measures the file, not the screen: brightness, colour management and scaling come after it. Where the room is not known,
//! sizes stay in pixels and are not judged.

mod alphabet;
mod attached;
pub mod clause;
mod content;
mod drawing;
mod finding;
mod glyph;
mod identify;
mod inflate;
mod judge;
mod locate;
mod measure;
mod numeral;
mod patch;
mod pdf;
mod piece;
mod png;
mod shape;
mod svg;
mod syntax;
mod winding;

use std::path::Path;

pub use attached::attached;
pub use clause::Clause;
pub use finding::{Finding, Report, Requirement, Value, Verdict};
pub use png::{MAX_FILE_BYTES, ReadError};

use crate::acuity::Acuity;
use crate::light::{Fields, Side};
use crate::room::Room;

/// What the user says the chart should be; it overrides what the file says of itself.
#[derive(Debug, Clone, Default)]
pub struct Expected {
    /// Where it is shown.
    pub room: Option<Room>,
    /// Its lines; none means as the file says.
    pub lines: Vec<Acuity>,
    /// Its fields.
    pub fields: Option<Fields>,
    /// Where red lies, as the patient sees it.
    pub red: Option<Side>,
}

/// Measures a chart's file: a PNG by its pixels, an SVG or a PDF by its paths, as its first bytes tell.
///
/// # Errors
/// Where it is none of these, or has more than filled paths; what is wrong with the chart is in the report.
pub fn file(path: &Path, expected: &Expected) -> Result<Report, ReadError> {
    if is_drawing(&png::first_bytes(path)?) {
        return drawn(png::bytes(path)?, &path.display().to_string(), expected);
    }
    png_file(path, expected)
}

/// Measures a chart in memory; `name` stands for it in an error.
///
/// # Errors
/// As [`file`](fn@file).
pub fn bytes(bytes: Vec<u8>, name: &str, expected: &Expected) -> Result<Report, ReadError> {
    if is_drawing(&bytes) {
        return drawn(bytes, name, expected);
    }
    of_a_screen(png::decode(std::io::Cursor::new(bytes), name)?, expected, name)
}

/// Whether a file that begins so is no picture but a PDF or an SVG, before which a byte-order mark may stand.
const fn is_drawing(first: &[u8]) -> bool {
    matches!(first, [b'%', b'P', b'D', b'F', b'-', ..] | [b'<', ..] | [0xef, 0xbb, 0xbf, b'<', ..])
}

fn drawn(bytes: Vec<u8>, name: &str, expected: &Expected) -> Result<Report, ReadError> {
    let refused = |problem| ReadError::NotADrawing { path: name.into(), problem };
    let drawing = if bytes.starts_with(b"%") {
        pdf::decode(bytes, name)?
    } else {
        let text = String::from_utf8(bytes).map_err(|_| refused("it is not UTF-8".into()))?;
        svg::decode(text.trim_start_matches('\u{feff}'), name)?
    };
    if drawing.is_near() {
        return judged_near(drawing, expected).map_err(refused);
    }
    let picture = drawing.whole().and_then(|whole| whole.sampled(expected.room.as_ref())).map_err(refused)?;
    judged(picture, expected, name)
}

fn judged_near(drawing: drawing::Drawing, expected: &Expected) -> Result<Report, String> {
    let sampled = |drawing: drawing::Drawing| drawing.sampled(expected.room.as_ref());
    let page = drawing.near_page()?;
    let white = page.white.map(sampled).transpose()?;
    Ok(judge::near_page(sampled(page.fields)?, white, &page.proof, expected))
}

/// Measures a PNG file.
///
/// # Errors
/// Where it is no PNG picture of a screen's size; what is wrong with the chart on it is in the report.
pub fn png_file(path: &Path, expected: &Expected) -> Result<Report, ReadError> {
    of_a_screen(png::read(path)?, expected, &path.display().to_string())
}

/// Measures a picture, which must be one of a screen.
fn of_a_screen(picture: png::Picture, expected: &Expected, name: &str) -> Result<Report, ReadError> {
    if picture.is_near() {
        return Err(ReadError::NearPicture { path: name.into() });
    }
    judged(picture, expected, name)
}

/// Measures a picture, which must be of a chart where it does not say so itself.
fn judged(picture: png::Picture, expected: &Expected, name: &str) -> Result<Report, ReadError> {
    if picture.claim.is_some() {
        return Ok(judge::picture(picture, expected));
    }
    judge::stray_picture(picture, expected).map_err(|[strangers, all]| ReadError::NoChart {
        path: name.into(),
        strangers,
        all,
    })
}

/// Measures a PNG in memory; `name` stands for it in an error.
///
/// # Errors
/// As [`png_file`].
pub fn png_bytes(bytes: &[u8], name: &str, expected: &Expected) -> Result<Report, ReadError> {
    Ok(judge::picture(png::decode(std::io::Cursor::new(bytes), name)?, expected))
}

#[cfg(test)]
mod tests;

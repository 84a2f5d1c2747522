//! Measuring a finished chart, from its pixels, against what it should be.
//!
//! It shares units and constants with the drawing, but neither the height formula nor the layout nor the outlines:
//! it finds the fields and the letters in the picture, measures the angles that they subtend, and reads the letters
//! by its own table.

mod alphabet;
mod claim;
pub mod clause;
mod finding;
mod glyph;
mod identify;
mod judge;
mod locate;
mod measure;
mod png;
mod shape;

use std::path::Path;

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

/// Measures a PNG file.
///
/// # Errors
/// Where it is no PNG picture of a screen's size; what is wrong with the chart on it is in the report.
pub fn png_file(path: &Path, expected: &Expected) -> Result<Report, ReadError> {
    Ok(judge::picture(png::read(path)?, expected))
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

//! A screen's pixels and their pitch.
//!
//! A chart's sizes hang on the pitch alone. It is worked out from whatever was measured: the width is best, since a rule reads it
//! to half a millimetre in five hundred; a diagonal by its trade name is often off by a per cent.

use std::path::PathBuf;

use super::{RoomError, ScreenTable, within};
use crate::light::Basis;
use crate::quantity::Length;

/// The least and the most pixels along one side of a screen.
pub const PIXELS_A_SIDE: std::ops::RangeInclusive<u32> = 240..=16_384;

/// The most pixels of a screen and of a picture that is checked: twice an 8K screen, 200 MB in memory.
pub const MAX_PIXELS: u64 = 1 << 26;

/// A stroke of fewer pixels is no stroke, since one of its edges would always be grey; this project's own.
pub const LEAST_STROKE_PX: f64 = 2.0;

/// From here on a stroke is free of doubt; this project's own.
pub const PLAIN_STROKE_PX: f64 = 3.0;

/// By how much two statements of one size may differ, and pixels be off the square.
const AGREEMENT: f64 = 0.01;

/// Screens that are looked at across a room, in millimetres along one side.
const SIDE_MM: std::ops::RangeInclusive<f64> = 40.0..=10_000.0;

/// How surely a size can be known, in per cent: from a rule of steel to a guess. This project's own decision.
const SIZE_PERCENT: std::ops::RangeInclusive<f64> = 0.01..=5.0;

/// A screen's pixels and their true size.
///
/// Both sides of a pixel are kept, since a measured height and a measured width seldom agree to the last digit; letters are as
/// high as the one says and as wide as the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Screen {
    /// Columns and rows.
    pub pixels: [u32; 2],
    /// The size of one pixel, across and down; square within 1 %.
    pub pitch: [Length; 2],
    /// What that size rests on.
    pub size_basis: Basis,
    /// The standard uncertainty of that size in per cent, where it is known.
    pub size_percent: Option<f64>,
    /// The display profile to embed in charts.
    pub profile: Option<PathBuf>,
}

impl Screen {
    /// The picture's size, across and down.
    ///
    /// ```
    /// # use evenfield::room::Room;
    /// // Worked by hand: 23.8 in are 604.52 mm across the √(1920² + 1080²) = 2202.907 pixels of the diagonal, 0.274419 mm
    /// // each, so 526.885 mm across and 296.373 mm down.
    /// const HALF_A_DIGIT_MM: f64 = 5e-4;
    /// let room = "[viewing]\ndistance_mm = 3000\n[screen]\npixels = [1920, 1080]\ndiagonal_in = 23.8\n";
    /// let [width, height] = Room::from_toml(room, "room.toml")?.screen.size();
    /// assert!((width.to_mm() - 526.885).abs() < HALF_A_DIGIT_MM);
    /// assert!((height.to_mm() - 296.373).abs() < HALF_A_DIGIT_MM);
    /// # Ok::<(), evenfield::room::RoomFileError>(())
    /// ```
    #[must_use]
    pub fn size(&self) -> [Length; 2] {
        [0, 1].map(|axis| self.pitch[axis] * f64::from(self.pixels[axis]))
    }

    pub(super) fn from_table(table: &ScreenTable, basis: Basis) -> Result<Self, RoomError> {
        let pixels = legal_pixels(table.pixels)?;
        let said = said_pitches(table, pixels)?;
        let Some((first, pitch)) = said.first() else {
            let remedy =
                "says no size: add size_mm = [527.0, 296.5], diagonal_in = 23.8 or pitch_mm = 0.2745";
            return Err(RoomError::new("screen", remedy));
        };
        for (key, other) in &said[1..] {
            let ratio = other[0] / pitch[0];
            if (ratio - 1.0).abs() > AGREEMENT {
                let off = (ratio - 1.0) * 100.0;
                let problem = format!(
                    "differs from {first} by {off:+.1} %, over 1 %: measure the picture’s width and keep one"
                );
                return Err(RoomError::new(*key, problem));
            }
        }
        for (pitch, count) in pitch.iter().zip(pixels) {
            let side = (*pitch * f64::from(count)).to_mm();
            within(first, side, SIDE_MM, " mm of picture", "measure the lit picture, without its frame")?;
        }
        let size_basis = if table.size_claimed { basis.with(Basis::Claimed) } else { basis };
        if let Some(percent) = table.size_percent {
            within(
                "screen.size_percent",
                percent,
                SIZE_PERCENT,
                " %",
                "give the standard uncertainty of the size",
            )?;
        }
        let profile = table.profile.as_ref().map(PathBuf::from);
        Ok(Self { pixels, pitch: *pitch, size_basis, size_percent: table.size_percent, profile })
    }
}

fn legal_pixels(pixels: [u32; 2]) -> Result<[u32; 2], RoomError> {
    let [width, height] = pixels;
    let total = u64::from(width) * u64::from(height);
    if pixels.iter().all(|side| PIXELS_A_SIDE.contains(side)) && total <= MAX_PIXELS {
        return Ok(pixels);
    }
    let (from, to) = (PIXELS_A_SIDE.start(), PIXELS_A_SIDE.end());
    let problem = format!(
        "= [{width}, {height}] is no screen of {from} to {to} pixels a side and {MAX_PIXELS} in all: write its native resolution, such as [1920, 1080]"
    );
    Err(RoomError::new("screen.pixels", problem))
}

/// The pitch by each statement of the table; the one to use, which is the most precise, first.
fn said_pitches(
    table: &ScreenTable,
    pixels: [u32; 2],
) -> Result<Vec<(&'static str, [Length; 2])>, RoomError> {
    let [columns, rows] = pixels.map(f64::from);
    let mut said = Vec::new();
    if let Some([width, height]) = table.size_mm {
        if !(width > 0.0 && height > 0.0) {
            let problem =
                format!("= [{width}, {height}] is no size: measure the lit picture, without its frame");
            return Err(RoomError::new("screen.size_mm", problem));
        }
        said.push(("screen.size_mm", square([Length::mm(width / columns), Length::mm(height / rows)])?));
    }
    if let Some(mm) = table.pitch_mm {
        within("screen.pitch_mm", mm, 0.01..=10.0, " mm", "divide the picture’s width by its pixels")?;
        said.push(("screen.pitch_mm", [Length::mm(mm); 2]));
    }
    if let Some(inches) = table.diagonal_in {
        within(
            "screen.diagonal_in",
            inches,
            2.0..=500.0,
            " inches",
            "measure the lit picture from corner to corner",
        )?;
        said.push(("screen.diagonal_in", [Length::inches(inches) / columns.hypot(rows); 2]));
    }
    Ok(said)
}

fn square(pitch: [Length; 2]) -> Result<[Length; 2], RoomError> {
    let off = pitch[0] / pitch[1] - 1.0;
    if off.abs() <= AGREEMENT {
        return Ok(pitch);
    }
    let problem = format!(
        "makes pixels {:+.1} % wider than high, over 1 %: measure the lit picture again and use the native resolution",
        off * 100.0
    );
    Err(RoomError::new("screen.size_mm", problem))
}

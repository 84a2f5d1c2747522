//! How the standard lines come out on a room's screen.
//!
//! What decides is the stroke in pixels, at 2 and at 3, and whether a letter with its air fits on a field.

use std::fmt;

use serde::Serialize;

use crate::acuity::Acuity;
use crate::chart::{self, LETTERS_A_LINE, Layout, LayoutError, Request};
use crate::room::{PLAIN_STROKE_PX, Room};

/// How a standard line comes out on this screen.
///
/// The height is exact whatever the pixels; what pixels limit is the stroke.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineShown {
    /// The line.
    pub line: Acuity,
    /// Its letters' height.
    pub height_mm: f64,
    /// A stroke.
    pub stroke_px: f64,
    /// Whether its size can be shown.
    pub shown: Shown,
    /// How many of its letters stand beside each other on a field, [`LETTERS_A_LINE`] at most; nought where it is not shown.
    pub letters: usize,
}

/// Whether a line can be shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Shown {
    /// Without reservation.
    Plainly,
    /// With strokes of 2 to 3 px.
    Coarsely,
    /// With strokes under 2 px, which are not drawn.
    TooFine,
    /// Not even one letter fits on a field.
    TooLarge,
    /// The size could be shown, but the screen has no two equal fields to show it on.
    NoFields,
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Plainly => "yes",
            Self::Coarsely => "coarsely: strokes of 2 to 3 px",
            Self::TooFine => "no: strokes under 2 px",
            Self::TooLarge => "no: too large for a field",
            Self::NoFields => "no: no two equal fields",
        })
    }
}

impl LineShown {
    pub(super) fn new(room: &Room, line: Acuity, has_fields: bool) -> Self {
        let distance = room.viewing.distance;
        let stroke_px = chart::stroke_px(line, distance, room.screen.pitch);
        let (shown, letters) = match Layout::new(&Request::new(line), room) {
            Err(LayoutError::TooSmall { .. }) => (Shown::TooFine, 0),
            Err(_) => (Shown::TooLarge, 0),
            Ok(_) if !has_fields => (Shown::NoFields, 0),
            Ok(layout) if stroke_px < PLAIN_STROKE_PX => (Shown::Coarsely, letters_on(&layout)),
            Ok(layout) => (Shown::Plainly, letters_on(&layout)),
        };
        let height = chart::letter_height(line, distance);
        Self { line, height_mm: height.to_mm(), stroke_px, shown, letters }
    }

    /// How many letters it has, in words, where a field is too narrow for a whole line.
    #[must_use]
    pub fn short_in_words(&self) -> Option<String> {
        let letters = if self.letters == 1 { "letter" } else { "letters" };
        (1..LETTERS_A_LINE).contains(&self.letters).then(|| format!("{} {letters}", self.letters))
    }
}

/// How many letters a chart of one line has on a field.
fn letters_on(layout: &Layout) -> usize {
    layout.rows.iter().map(|row| row.letters.len()).sum()
}

//! The red-green chart: what is asked for, its colours, and where its letters stand.

mod colours;
mod label;
mod layout;
mod match_strip;
mod metadata;
mod request;

pub use colours::{ColourError, FieldColours};
pub use layout::{Chart, DrawnLine, LayoutError, letter_height, smallest_line, stroke_px};
pub use match_strip::{LAST_STEP, MIDDLE_STEP, MatchError, match_steps, matched_by_eye};
pub use request::{Request, White};

use crate::acuity::Acuity;
use crate::room::Room;

/// Why a chart was not drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ChartError {
    /// The screen cannot give its fields that light.
    #[error(transparent)]
    Colour(#[from] ColourError),
    /// Its lines do not suit the screen.
    #[error(transparent)]
    Layout(#[from] LayoutError),
}

/// Draws a chart for a room.
///
/// # Errors
/// A line that the room cannot show honestly, or a luminance that its screen cannot reach.
pub fn draw(request: &Request, room: &Room) -> Result<Chart, ChartError> {
    let colours = FieldColours::choose(request, &room.display)?;
    Ok(Chart::lay_out(request, room, &colours)?)
}

/// Whether lines suit the room's pixels and size, whatever its light.
///
/// # Errors
/// Those of a chart's layout.
pub fn suits(lines: Vec<Acuity>, room: &Room) -> Result<(), LayoutError> {
    // Where letters stand does not depend on the colours of the two fields.
    let two = FieldColours { left: colours::INK, right: Some(colours::INK) };
    Chart::lay_out(&Request::new(lines), room, &two).map(|_| ())
}

#[cfg(test)]
mod tests;

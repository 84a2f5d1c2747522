//! The red-green chart: what is asked for, its colours, and where its letters stand.
//!
//! [`draw`] takes a [`Request`] (which lines, which letters, which fields) and a [`Room`] and goes three steps, each of which can
//! be had alone: [`FieldLight`] finds codes of red, green and white that are equally bright on this screen; [`Layout`] places
//! letters of the exact size, whatever their colour; and a layout painted with a light is a scene. A room with a mirror gets
//! the whole scene mirrored once, at the end.
//!
//! ```
//! use evenfield::chart::{ChartError, LayoutError, Request, draw};
//! use evenfield::room::Room;
//!
//! let chart = draw(&Request::new("20/32".parse::<evenfield::acuity::Acuity>()?), &Room::demo())?;
//! // Both fields show the same five letters, a whole number of pixels apart.
//! assert_eq!(chart.layout.rows[0].letters.len(), 5);
//!
//! // A line that the pixels cannot draw is refused and never drawn coarsely.
//! let refused = draw(&Request::new("20/8".parse::<evenfield::acuity::Acuity>()?), &Room::demo());
//! assert!(matches!(refused, Err(ChartError::Layout(LayoutError::TooSmall { .. }))));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! The same request and the same room give the same chart: letters come from a seed, the same in every version, and no clock
//! or environment has a say. Nothing here writes a file ([`export`](crate::export)) or judges one ([`check`](crate::check)).

mod colours;
mod label;
mod labelled;
mod layout;
mod match_strip;
mod metadata;
mod request;
mod size;

pub use colours::{ColourError, FieldColours, FieldLight};
pub use layout::{LETTERS_A_LINE, Layout, LayoutError, Row};
pub use match_strip::{LAST_STEP, MIDDLE_STEP, MatchError, matched_by_eye};
pub use request::{Lines, LinesError, Request, White};
pub use size::{letter_height, smallest_line, stroke_px};

use crate::claim::ChartClaim;
use crate::room::Room;
use crate::scene::Scene;

/// A chart ready to be drawn.
#[derive(Debug, Clone)]
pub struct Chart {
    /// The picture as the screen shows it.
    pub scene: Scene,
    /// Where its letters stand, as the patient sees them.
    pub layout: Layout,
    /// What paints its fields, as the patient sees them.
    pub colours: FieldColours,
    /// What its file says of itself.
    pub claim: ChartClaim,
}

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
/// Fields, then letters, then paint; a mirrored room's picture is turned round at the very end, labels excepted, since the
/// examiner reads those without a mirror.
///
/// # Errors
/// A line that the room cannot show honestly, or a luminance that its screen cannot reach.
pub fn draw(request: &Request, room: &Room) -> Result<Chart, ChartError> {
    let colours = FieldColours::of(request, &room.display)?;
    let layout = Layout::new(request, room)?;
    let mut scene = layout.painted(&colours);
    if room.viewing.mirror {
        scene = scene.mirrored();
    }
    if let Some(notation) = request.labels {
        scene.shapes.extend(labelled::shapes(notation, &layout, &colours, room));
    }
    let claim = metadata::claim(request, room, &colours, &layout.rows);
    scene.metadata = metadata::of(request, room, &layout.rows, &claim);
    Ok(Chart { scene, layout, colours, claim })
}

#[cfg(test)]
mod tests;

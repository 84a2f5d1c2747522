//! How large the letters of a line are.

use crate::acuity::Acuity;
use crate::optotype::STROKES_A_SIDE;
use crate::quantity::{Angle, Length};
use crate::room::Room;

/// Letter height for a line at a distance: h = 2·d·tan(2.5′ · MAR), a letter being five strokes of MAR high.
///
/// The tests hold it against 8.73 mm for 6/6 at 6 m and against the 4 m table of the University of Rome II.
///
/// ```
/// use evenfield::{chart::letter_height, quantity::Length};
/// let height = letter_height("6/6".parse()?, Length::m(6.0));
/// assert_eq!(format!("{:.2}", height.to_mm()), "8.73");
/// # Ok::<_, evenfield::acuity::AcuityError>(())
/// ```
#[must_use]
pub fn letter_height(acuity: Acuity, distance: Length) -> Length {
    let half = Angle::arcmin(acuity.to_mar() * STROKES_A_SIDE / 2.0);
    distance * (2.0 * half.to_radians().tan())
}

/// The smallest standard line whose strokes have at least `stroke_px` pixels in a room.
#[must_use]
pub fn smallest_line(room: &Room, stroke_px: f64) -> Option<Acuity> {
    let screen = &room.screen;
    Acuity::standard_lines()
        .rfind(|line| self::stroke_px(*line, room.viewing.distance, screen.pitch) >= stroke_px)
}

/// The width of a line's stroke at a distance in pixels, along the axis that has fewer.
#[must_use]
pub fn stroke_px(acuity: Acuity, distance: Length, [across, down]: [Length; 2]) -> f64 {
    let coarser = if across > down { across } else { down };
    letter_height(acuity, distance) / STROKES_A_SIDE / coarser
}

//! How large the letters of a line are.
//!
//! The one place where a line and a distance become a height. A check goes the other way, by another formula.

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
///
/// None where even the largest standard line has thinner strokes. Ask with [`LEAST_STROKE_PX`](crate::room::LEAST_STROKE_PX)
/// for what can be drawn at all, with [`PLAIN_STROKE_PX`](crate::room::PLAIN_STROKE_PX) for what is free of doubt.
///
/// ```
/// use evenfield::{chart::smallest_line, room::Room};
/// // The demo room, by hand as in `stroke_px`: 20/20 has 3.39 px, 20/16 has 3.39/10^0.1 = 2.69 and 20/12.5 2.14 px.
/// let named = |stroke_px: f64| smallest_line(&Room::demo(), stroke_px).map(|line| line.to_string());
/// assert_eq!(named(3.0).as_deref(), Some("20/20"));
/// assert_eq!(named(2.0).as_deref(), Some("20/12.5"));
/// assert_eq!(named(1000.0), None);
/// ```
#[must_use]
pub fn smallest_line(room: &Room, stroke_px: f64) -> Option<Acuity> {
    let screen = &room.screen;
    Acuity::standard_lines()
        .rfind(|line| self::stroke_px(*line, room.viewing.distance, screen.pitch) >= stroke_px)
}

/// The width of a line's stroke at a distance in pixels, along the axis that has fewer.
///
/// ```
/// use evenfield::{chart::stroke_px, quantity::Length};
/// // Worked by hand: 2 · 3200 mm · tan 2.5′ = 4.65421 mm, a fifth of it over 0.27454 mm, the larger pitch, is 3.3906 px.
/// const HALF_A_DIGIT_PX: f64 = 5e-5;
/// let stroke = stroke_px("20/20".parse()?, Length::m(3.2), [Length::mm(0.27448), Length::mm(0.27454)]);
/// assert!((stroke - 3.3906).abs() < HALF_A_DIGIT_PX);
/// # Ok::<_, evenfield::acuity::AcuityError>(())
/// ```
#[must_use]
pub fn stroke_px(acuity: Acuity, distance: Length, [across, down]: [Length; 2]) -> f64 {
    let coarser = if across > down { across } else { down };
    letter_height(acuity, distance) / STROKES_A_SIDE / coarser
}

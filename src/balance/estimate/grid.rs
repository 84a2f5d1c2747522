//! Where balance may lie.

use crate::balance::Clicks;
use crate::eye::CLICK_D;
use crate::quantity::Dioptres;

/// So many places to a click: every 0.05 D. The likelihood is smooth over that, since focus wavers by twice as much.
pub(super) const PLACES_A_CLICK: i32 = 5;

/// The farthest place to either side: 3.5 D.
pub(super) const FARTHEST: i32 = 14 * PLACES_A_CLICK;

/// From one place to the next, in dioptres.
pub(super) const STEP_D: f64 = CLICK_D / PLACES_A_CLICK as f64;

/// All places, in steps from the lens that clicks count from.
pub(super) fn places() -> impl Iterator<Item = i32> {
    -FARTHEST..=FARTHEST
}

/// The place of a lens.
pub(super) const fn of(lens: Clicks) -> i32 {
    lens.count() * PLACES_A_CLICK
}

/// The place nearest to a power.
#[allow(clippy::cast_possible_truncation, reason = "some hundred places at most")]
pub(super) fn nearest(power: Dioptres) -> i32 {
    (power.to_d() / STEP_D).round() as i32
}

/// A place in dioptres.
pub(super) fn to_d(place: i32) -> f64 {
    f64::from(place) * STEP_D
}

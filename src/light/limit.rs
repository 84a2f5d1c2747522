//! What is asked of a chart's light: stated once for drawing, checking and reporting.

use crate::quantity::Luminance;

/// By how many per cent of their mean the luminances of the two fields may differ: a little more than one code of green.
/// Common practice, no source.
pub const MATCH_PERCENT: f64 = 2.0;

/// The highest luminance of a letter, in per cent of its field's: [ISO 10938](crate::bibliography::ISO_10938),
/// 4.1.3, borrowed.
pub const LETTER_LIGHT_PERCENT: f64 = 15.0;

/// The luminance of a letter, in per cent of its field's, above which the check warns that it is grey. This project's own
/// decision.
pub const GREY_LETTER_PERCENT: f64 = 5.0;

/// The lowest luminance at which cones alone can be taken to see, so that V(λ) says how bright a field is. Common
/// practice, no source.
pub const PHOTOPIC: Luminance = Luminance::cd_m2(10.0);

/// By how much the first field is brighter than the second, in per cent of the mean of both.
///
/// ```
/// # use evenfield::{light::difference_percent, quantity::Luminance};
/// let off = difference_percent(Luminance::cd_m2(51.0), Luminance::cd_m2(49.0));
/// assert!((off - 4.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn difference_percent(first: Luminance, second: Luminance) -> f64 {
    (first - second) / ((first + second) * 0.5) * 100.0
}

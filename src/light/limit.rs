//! What is asked of a chart's light: stated once for drawing, checking and reporting.
//!
//! Limits have no verdict of their own. A value with its uncertainty either keeps one, breaks one, or cannot be told.

use std::fmt;

use serde::Serialize;

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

/// How a value that is known only to within an uncertainty stands to a limit.
///
/// In this order each is worse than the one before, so that the worst of several is their maximum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Judgement {
    /// It keeps the limit wherever in its uncertainty it lies.
    Pass,
    /// It may lie on either side of the limit.
    CannotBeTold,
    /// It breaks the limit wherever it lies.
    Fail,
}

impl fmt::Display for Judgement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Pass => "pass",
            Self::CannotBeTold => "cannot be told",
            Self::Fail => "FAIL",
        })
    }
}

impl Judgement {
    /// Whether the size of a value, known to ± `uncertainty`, is at most `limit`; all three in one unit.
    ///
    /// ```
    /// # use evenfield::light::Judgement;
    /// // A difference of 0.6 ± 8.5 % may be 9.1 % or nothing, where 2 % is allowed.
    /// assert_eq!(Judgement::at_most(0.6, 8.5, 2.0), Judgement::CannotBeTold);
    /// assert_eq!(Judgement::at_most(-0.6, 0.5, 2.0), Judgement::Pass);
    /// assert_eq!(Judgement::at_most(-9.0, 2.8, 2.0), Judgement::Fail);
    /// ```
    #[must_use]
    pub fn at_most(value: f64, uncertainty: f64, limit: f64) -> Self {
        match value.abs() {
            size if size + uncertainty <= limit => Self::Pass,
            size if size - uncertainty > limit => Self::Fail,
            _ => Self::CannotBeTold,
        }
    }
}

/// Twice the standard uncertainty, in per cent, of the difference of two readings, each good to `meter` of itself: they
/// err independently, since a photometer's filter errs otherwise in red than in green.
///
/// ```
/// # use evenfield::light::pair_uncertainty_percent;
/// // Worked by hand: 2 · √2 · 3 %.
/// const LAST_DIGIT: f64 = 1e-3;
/// assert!((pair_uncertainty_percent(0.03) - 8.485).abs() < LAST_DIGIT);
/// ```
#[must_use]
pub fn pair_uncertainty_percent(meter: f64) -> f64 {
    2.0 * 2_f64.sqrt() * meter * 100.0
}

/// By how much the first field is brighter than the second, in per cent of the mean of both.
///
/// ```
/// # use evenfield::{light::difference_percent, quantity::Luminance};
/// let off = difference_percent(Luminance::cd_m2(51.0), Luminance::cd_m2(49.0));
/// // Worked by hand: 2 of 50.
/// const BINARY_DUST: f64 = 1e-12;
/// assert!((off - 4.0).abs() < BINARY_DUST);
/// ```
#[must_use]
pub fn difference_percent(first: Luminance, second: Luminance) -> f64 {
    (first - second) / ((first + second) * 0.5) * 100.0
}

//! Changes of lens in clicks of a quarter of a dioptre.
//!
//! Whole numbers, since a refractor has no others: two lenses of a run are the same exactly where their clicks are, whatever
//! decimals the manifest has.

use std::fmt;
use std::ops::{Add, Neg, Sub};

use serde::Serialize;

use crate::eye::CLICK_D;
use crate::quantity::Dioptres;

/// A change of lens in whole clicks of a refractor, a quarter of a dioptre each, plus upward.
///
/// A run counts its lenses in clicks from the first one. Where acuity is poor an eye is asked in larger steps, and each
/// click of its run stands for one of these: see [`Course::lens`](super::Course::lens).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Clicks(i32);

impl Clicks {
    /// No change.
    pub const NONE: Self = Self(0);

    /// A number of clicks, plus upward.
    #[must_use]
    pub const fn new(count: i32) -> Self {
        Self(count)
    }

    /// The nearest whole number of clicks to a power of some dozen dioptres at the most.
    ///
    /// ```
    /// # use evenfield::{balance::Clicks, quantity::Dioptres};
    /// // Worked by hand: −0.60 D is 2.4 clicks of minus.
    /// assert_eq!(Clicks::nearest(Dioptres::new(-0.60)), Clicks::new(-2));
    /// ```
    #[must_use]
    #[allow(clippy::cast_possible_truncation, reason = "some hundred clicks at most")]
    pub fn nearest(power: Dioptres) -> Self {
        Self((power.to_d() / CLICK_D).round() as i32)
    }

    /// The number.
    #[must_use]
    pub const fn count(self) -> i32 {
        self.0
    }

    /// In steps of this size, a click's or larger.
    ///
    /// ```
    /// # use evenfield::{balance::Clicks, quantity::Dioptres};
    /// // Worked by hand: three steps of half a dioptre.
    /// assert_eq!(Clicks::new(-3).in_steps(Dioptres::new(0.5)), Dioptres::new(-1.5));
    /// ```
    #[must_use]
    pub fn in_steps(self, step: Dioptres) -> Dioptres {
        Dioptres::new(f64::from(self.0) * step.to_d())
    }

    /// In dioptres.
    ///
    /// ```
    /// # use evenfield::{balance::Clicks, quantity::Dioptres};
    /// assert_eq!(Clicks::new(3).to_dioptres(), Dioptres::new(0.75));
    /// ```
    #[must_use]
    pub fn to_dioptres(self) -> Dioptres {
        self.in_steps(Dioptres::new(CLICK_D))
    }

    /// As many, without their sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The middle of two lenses, of two equally near the one with more plus, and whether there are two.
    pub(super) const fn middle(self, other: Self) -> (Self, bool) {
        let sum = self.0 + other.0;
        (Self((sum + 1).div_euclid(2)), sum.rem_euclid(2) == 1)
    }

    /// The lenses under this one down to another, a click apart.
    pub(super) fn down_to(self, least: Self) -> impl Iterator<Item = Self> {
        (least.0..self.0).rev().map(Self)
    }
}

impl Add for Clicks {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Clicks {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Clicks {
    type Output = Self;

    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl fmt::Display for Clicks {
    /// The number, as tables and programs have it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clicks_are_quarters_of_a_dioptre() {
        for (count, dioptres) in [(-3, -0.75), (0, 0.0), (2, 0.5)] {
            assert_eq!(Clicks::new(count).to_dioptres(), Dioptres::new(dioptres));
            // What a decimal leaves of a binary number, and less than half a click, change nothing.
            for beside in [-0.12, 1e-9, 0.12] {
                assert_eq!(Clicks::nearest(Dioptres::new(dioptres + beside)), Clicks::new(count));
            }
        }
        assert_eq!(Clicks::new(-2).in_steps(Dioptres::new(0.5)), Dioptres::new(-1.0));
    }

    #[test]
    fn of_two_middles_the_one_with_more_plus_is_taken() {
        for (one, other, middle, of_two) in [(-3, 1, -1, false), (-2, -1, -1, true), (0, 1, 1, true)] {
            assert_eq!(Clicks::new(one).middle(Clicks::new(other)), (Clicks::new(middle), of_two));
        }
    }
}

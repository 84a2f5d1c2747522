//! Angles, of which an acuity is one.

use std::f64::consts::PI;
use std::fmt;
use std::ops::{Div, Mul};

use super::Length;

const ARCMIN_PER_DEGREE: f64 = 60.0;
const RADIANS_PER_DEGREE: f64 = PI / 180.0;

/// A plane angle.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
pub struct Angle {
    radians: f64,
}

impl Angle {
    /// An angle in radians.
    #[must_use]
    pub const fn radians(radians: f64) -> Self {
        Self { radians }
    }

    /// An angle in minutes of arc.
    ///
    /// ```
    /// # use evenfield::quantity::Angle;
    /// // 1' = 2.908882e-4 rad
    /// const LAST_DIGIT: f64 = 1e-10;
    /// assert!((Angle::arcmin(1.0).to_radians() - 2.908_882e-4).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn arcmin(minutes: f64) -> Self {
        Self::radians(minutes / ARCMIN_PER_DEGREE * RADIANS_PER_DEGREE)
    }

    /// The angle that `extent` subtends when seen squarely and centred from `distance`: 2·atan(extent / 2d).
    ///
    /// The exact formula, not the small angle's extent/d: the two differ by 3 in 10,000 at 3.4°, so a chart's width must
    /// not be taken by the short one. Both lengths above nought; half a turn is the limit of an endless extent.
    ///
    /// ```
    /// # use evenfield::quantity::{Angle, Length};
    /// let angle = Angle::subtended(Length::mm(8.7266), Length::m(6.0));
    /// // The letter of 6/6, by any table of letter heights.
    /// const LAST_DIGIT: f64 = 1e-4;
    /// assert!((angle.to_arcmin() - 5.0).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn subtended(extent: Length, distance: Length) -> Self {
        Self::radians(2.0 * (extent / (distance * 2.0)).atan())
    }

    /// Radians.
    #[must_use]
    pub const fn to_radians(self) -> f64 {
        self.radians
    }

    /// Degrees.
    ///
    /// ```
    /// # use evenfield::quantity::Angle;
    /// // Worked by hand: 90 minutes are a degree and a half.
    /// const BINARY_DUST: f64 = 1e-12;
    /// assert!((Angle::arcmin(90.0).to_degrees() - 1.5).abs() < BINARY_DUST);
    /// ```
    #[must_use]
    pub const fn to_degrees(self) -> f64 {
        self.radians.to_degrees()
    }

    /// Minutes of arc.
    ///
    /// ```
    /// # use evenfield::quantity::Angle;
    /// // Worked by hand: a radian is 180/π · 60 = 3437.7468 minutes.
    /// const LAST_DIGIT: f64 = 1e-4;
    /// assert!((Angle::radians(1.0).to_arcmin() - 3437.7468).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn to_arcmin(self) -> f64 {
        self.radians / RADIANS_PER_DEGREE * ARCMIN_PER_DEGREE
    }
}

impl Mul<f64> for Angle {
    type Output = Self;

    fn mul(self, factor: f64) -> Self {
        Self::radians(self.radians * factor)
    }
}

impl Div for Angle {
    type Output = f64;

    fn div(self, other: Self) -> f64 {
        self.radians / other.radians
    }
}

impl fmt::Debug for Angle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}′", self.to_arcmin())
    }
}

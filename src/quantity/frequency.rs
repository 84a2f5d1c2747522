//! Spatial frequencies as the eye meets them, in cycles a degree.

use std::fmt;

use super::Angle;

/// How fine a pattern is for the eye: a spatial frequency.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
pub struct SpatialFrequency {
    cycles_per_degree: f64,
}

impl SpatialFrequency {
    /// A frequency in cycles per degree.
    #[must_use]
    pub const fn cycles_per_degree(cycles: f64) -> Self {
        Self { cycles_per_degree: cycles }
    }

    /// The frequency of a pattern with this number of cycles within an angle.
    ///
    /// ```
    /// # use evenfield::quantity::{Angle, SpatialFrequency};
    /// // Two and a half cycles in a letter of five minutes of arc.
    /// let letter = SpatialFrequency::cycles_in(2.5, Angle::arcmin(5.0));
    /// const BINARY_DUST: f64 = 1e-12;
    /// assert!((letter.to_cycles_per_degree() - 30.0).abs() < BINARY_DUST);
    /// ```
    #[must_use]
    pub fn cycles_in(cycles: f64, angle: Angle) -> Self {
        Self::cycles_per_degree(cycles / angle.to_radians().to_degrees())
    }

    /// Cycles per degree.
    #[must_use]
    pub const fn to_cycles_per_degree(self) -> f64 {
        self.cycles_per_degree
    }

    /// Cycles per radian.
    ///
    /// The unit of optics: a pupil D passes nothing beyond D/λ cycles a radian.
    ///
    /// ```
    /// # use evenfield::quantity::SpatialFrequency;
    /// // Worked by hand: a radian has 180/π = 57.29578 degrees.
    /// const LAST_DIGIT: f64 = 5e-6;
    /// let one = SpatialFrequency::cycles_per_degree(1.0);
    /// assert!((one.to_cycles_per_radian() - 57.29578).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn to_cycles_per_radian(self) -> f64 {
        self.cycles_per_degree / 1.0_f64.to_radians()
    }
}

impl fmt::Debug for SpatialFrequency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} c/deg", self.cycles_per_degree)
    }
}

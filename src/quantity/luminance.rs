//! Luminances in candelas a square metre.

use std::fmt;
use std::ops::{Add, Div, Mul, Sub};

use serde::{Deserialize, Serialize};

/// A luminance; in files a number of cd/m².
///
/// The quotient of two is a plain number: a contrast ratio, or a letter's share of its field's light.
///
/// ```
/// # use evenfield::quantity::Luminance;
/// // Worked by hand: 250 over 0.25.
/// let [white, black] = [250.0, 0.25].map(Luminance::cd_m2);
/// const BINARY_DUST: f64 = 1e-9;
/// assert!((white / black - 1000.0).abs() < BINARY_DUST);
/// assert_eq!(white.to_string(), "250 cd/m²");
/// ```
#[derive(Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Luminance {
    cd_m2: f64,
}

impl Luminance {
    /// A luminance in candela per square metre.
    #[must_use]
    pub const fn cd_m2(cd_m2: f64) -> Self {
        Self { cd_m2 }
    }

    /// Candela per square metre.
    #[must_use]
    pub const fn to_cd_m2(self) -> f64 {
        self.cd_m2
    }
}

impl Add for Luminance {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self::cd_m2(self.cd_m2 + other.cd_m2)
    }
}

impl Sub for Luminance {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self::cd_m2(self.cd_m2 - other.cd_m2)
    }
}

impl Mul<f64> for Luminance {
    type Output = Self;

    fn mul(self, factor: f64) -> Self {
        Self::cd_m2(self.cd_m2 * factor)
    }
}

impl Div for Luminance {
    type Output = f64;

    fn div(self, other: Self) -> f64 {
        self.cd_m2 / other.cd_m2
    }
}

impl fmt::Debug for Luminance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} cd/m²", self.cd_m2)
    }
}

impl fmt::Display for Luminance {
    /// In three significant figures, which is what a photometer is good for: `51.8 cd/m²`, `0.25 cd/m²`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let digits = if self.cd_m2.abs() < 1.0 { 2 } else { usize::from(self.cd_m2.abs() < 100.0) };
        write!(f, "{:.digits$} cd/m²", self.cd_m2)
    }
}

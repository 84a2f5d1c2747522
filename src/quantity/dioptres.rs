//! Dioptres: powers, vergences and lens errors.

use std::fmt;
use std::ops::{Add, Neg, Sub};

use serde::{Deserialize, Serialize};

use super::Length;

/// A vergence or the power of a lens; in files a number of dioptres.
#[derive(Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Dioptres {
    dioptres: f64,
}

impl Dioptres {
    /// A power in dioptres, plus or minus.
    #[must_use]
    pub const fn new(dioptres: f64) -> Self {
        Self { dioptres }
    }

    /// The vergence of a distance: its reciprocal in metres. A lens balanced there has
    /// this much too much plus for far away.
    ///
    /// The distance counts from the eye, which is where a trial lens nearly stands; above nought, or the result is no number.
    ///
    /// ```
    /// # use evenfield::quantity::{Dioptres, Length};
    /// assert_eq!(Dioptres::at(Length::m(3.2)).to_string(), "+0.31 D");
    /// ```
    #[must_use]
    pub fn at(distance: Length) -> Self {
        Self::new(1.0 / distance.to_m())
    }

    /// As lenses are written, without the unit.
    ///
    /// ```
    /// # use evenfield::quantity::Dioptres;
    /// assert_eq!([-0.25, 0.5, -0.001].map(|power| Dioptres::new(power).number()), ["−0.25", "+0.50", "0.00"]);
    /// ```
    #[must_use]
    pub fn number(self) -> String {
        // What rounds to nought has no sign.
        if self.dioptres.abs() < 0.005 {
            "0.00".into()
        } else {
            format!("{:+.2}", self.dioptres).replace('-', "\u{2212}")
        }
    }

    /// Dioptres as a number.
    ///
    /// ```
    /// # use evenfield::quantity::{Dioptres, Length};
    /// // Worked by hand: 1/3.2 m is 0.3125 D; 20 feet are 6.096 m, so 0.16404 D.
    /// const LAST_DIGIT: f64 = 5e-6;
    /// assert!((Dioptres::at(Length::m(3.2)).to_d() - 0.3125).abs() < LAST_DIGIT);
    /// assert!((Dioptres::at(Length::feet(20.0)).to_d() - 0.16404).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub const fn to_d(self) -> f64 {
        self.dioptres
    }
}

impl Add for Dioptres {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self::new(self.dioptres + other.dioptres)
    }
}

impl Sub for Dioptres {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self::new(self.dioptres - other.dioptres)
    }
}

impl Neg for Dioptres {
    type Output = Self;

    fn neg(self) -> Self {
        Self::new(-self.dioptres)
    }
}

impl fmt::Debug for Dioptres {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} D", self.dioptres)
    }
}

impl fmt::Display for Dioptres {
    /// Always with its sign, as lenses are written: `−0.25 D`, `+0.50 D`, but `0.00 D`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} D", self.number())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: only what rounds to nought has no sign, and tens of dioptres keep their tens.
    #[test]
    fn lenses_are_written_with_their_sign() {
        for (power, written) in [
            (0.0, "0.00 D"),
            (-0.004, "0.00 D"),
            (0.006, "+0.01 D"),
            (-0.25, "−0.25 D"),
            (-10.0, "−10.00 D"),
            (20.0, "+20.00 D"),
        ] {
            assert_eq!(Dioptres::new(power).to_string(), written);
        }
    }
}

//! Dioptres: powers, vergences and lens errors.

use std::fmt;
use std::ops::{Add, Neg, Sub};

use super::Length;

/// A vergence or the power of a lens.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
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
    /// ```
    /// # use evenfield::quantity::{Dioptres, Length};
    /// assert_eq!(Dioptres::at(Length::m(3.2)).to_string(), "+0.31 D");
    /// ```
    #[must_use]
    pub fn at(distance: Length) -> Self {
        Self::new(1.0 / distance.to_m())
    }

    /// Dioptres as a number.
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
        let written = format!("{:+.2} D", self.dioptres).replace('-', "\u{2212}");
        // What rounds to nought has no sign.
        write!(f, "{}", if written.ends_with("0.00 D") { &written[written.len() - 6..] } else { &written })
    }
}

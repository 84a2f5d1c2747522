//! Wavelengths in nanometres.

use std::fmt;

/// A wavelength of light in vacuum.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
pub struct Wavelength {
    nm: f64,
}

impl Wavelength {
    /// A wavelength in nanometres.
    #[must_use]
    pub const fn nm(nm: f64) -> Self {
        Self { nm }
    }

    /// Nanometres.
    #[must_use]
    pub const fn to_nm(self) -> f64 {
        self.nm
    }

    /// Metres.
    ///
    /// ```
    /// # use evenfield::quantity::Wavelength;
    /// // A nanometre is 1e-9 m.
    /// const BINARY_DUST: f64 = 1e-20;
    /// assert!((Wavelength::nm(555.0).to_m() - 5.55e-7).abs() < BINARY_DUST);
    /// ```
    #[must_use]
    pub const fn to_m(self) -> f64 {
        self.nm * 1e-9
    }
}

impl fmt::Debug for Wavelength {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} nm", self.nm)
    }
}

impl fmt::Display for Wavelength {
    /// In whole nanometres, since a display's light is not known more exactly.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.0} nm", self.nm)
    }
}

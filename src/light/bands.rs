//! A spectrum in a few bands, each weighted by the luminance that it carries.
//!
//! A transfer costs thousands of operations at each wavelength; the eye's formulas bend so little within 5 nm that a fifth of
//! the wavelengths give the same to four digits.

use super::{Observer, Spectrum};
use crate::quantity::Wavelength;

/// The width of the bands that a spectrum is gathered into, in nanometres. What varies with the wavelength is taken at
/// each band's mean wavelength, so only its curvature within a band is lost: under 1e-4 of a transfer at 5 mm against
/// steps of 1 nm, by a sum made outside this code (with which program is not recorded). The eye's tests hold the bands
/// against sums over every nanometre.
const BAND_NM: usize = 5;

/// The least share of a light that a band must have; smaller ones are left out.
const LEAST_SHARE: f64 = 1e-4;

/// A light as the eye weights it: mean wavelengths of narrow bands with their shares of its luminance, together 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Bands {
    bands: Vec<(Wavelength, f64)>,
}

impl Bands {
    /// Gathers a spectrum into bands, weighted by V(λ) of CIE 1924.
    ///
    /// ```
    /// # use evenfield::{light::{Bands, Spectrum}, quantity::Wavelength};
    /// // One wavelength is one band with all the light.
    /// let bands: Vec<_> = Bands::of(&Spectrum::line(Wavelength::nm(538.0))).iter().collect();
    /// assert_eq!(bands, [(Wavelength::nm(538.0), 1.0)]);
    /// ```
    #[must_use]
    pub fn of(light: &Spectrum) -> Self {
        Self::gathered(light, BAND_NM)
    }

    fn gathered(light: &Spectrum, width: usize) -> Self {
        let weighted: Vec<(f64, f64)> = light
            .powers()
            .map(|(wavelength, power)| {
                (wavelength.to_nm(), power * Observer::Standard.efficiency(wavelength))
            })
            .collect();
        let total: f64 = weighted.iter().map(|(_, weight)| weight).sum();
        let band = |part: &[(f64, f64)]| {
            let share: f64 = part.iter().map(|(_, weight)| weight).sum();
            let moment: f64 = part.iter().map(|(nm, weight)| nm * weight).sum();
            (Wavelength::nm(moment / share), share / total)
        };
        let mut bands: Vec<_> =
            weighted.chunks(width).map(band).filter(|(_, share)| *share > LEAST_SHARE).collect();
        let kept: f64 = bands.iter().map(|(_, share)| share).sum();
        bands.iter_mut().for_each(|(_, share)| *share /= kept);
        Self { bands }
    }

    /// Each band's wavelength and share.
    pub fn iter(&self) -> impl Iterator<Item = (Wavelength, f64)> {
        self.bands.iter().copied()
    }

    /// The mean of a measure over the bands.
    ///
    /// ```
    /// # use evenfield::{light::{Bands, Spectrum}, quantity::Wavelength};
    /// // 547.5 nm is the mean wavelength of this band by the V(λ) of colour-science 0.4.7.
    /// const HALF_A_DIGIT_NM: f64 = 0.05;
    /// let green = Spectrum::gaussian(Wavelength::nm(540.0), Wavelength::nm(80.0));
    /// assert!((Bands::of(&green).mean(Wavelength::to_nm) - 547.5).abs() < HALF_A_DIGIT_NM);
    /// ```
    #[must_use]
    pub fn mean(&self, measure: impl Fn(Wavelength) -> f64) -> f64 {
        self.iter().map(|(wavelength, share)| share * measure(wavelength)).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_one_band_at_its_place() {
        let bands = Bands::of(&Spectrum::line(Wavelength::nm(538.0)));
        assert_eq!(bands.bands, [(Wavelength::nm(538.0), 1.0)]);
    }

    #[test]
    fn bands_keep_the_mean_wavelength() {
        let light = Spectrum::gaussian(Wavelength::nm(540.0), Wavelength::nm(80.0));
        let mean = Bands::of(&light).mean(Wavelength::to_nm);
        // 547.5 nm: colour-science 0.4.7's V(λ) on this band.
        assert!((mean - 547.5).abs() < 0.05, "{mean}");
        let finer = Bands::gathered(&light, 1);
        assert!(finer.bands.len() > 4 * Bands::of(&light).bands.len());
    }
}

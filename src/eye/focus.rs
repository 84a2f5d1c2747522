//! Chromatic focus: the refraction of an eye against wavelength, by two published formulas.
//!
//! Both formulas say by how much the eye is too strong for blue and too weak for red; between 535 and 656 nm they agree to
//! 0.03 D. The reference wavelength of either is its own and near 589 nm, so only differences count: see
//! [`Eye::defocus`](super::Eye::defocus).

use crate::light::Spectrum;
use crate::quantity::{Dioptres, Wavelength};

/// The visible wavelengths between which a focus is sought, in nanometres.
const NM: (f64, f64) = (400.0, 780.0);

/// A formula for the eye's longitudinal chromatic aberration.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChromaticEye {
    /// [Thibos, Ye, Zhang & Bradley 1992](crate::bibliography::THIBOS_1992), the reduced eye.
    Thibos1992,
    /// [Atchison & Smith 2005](crate::bibliography::ATCHISON_SMITH_2005), a Cauchy formula.
    AtchisonSmith2005,
}

impl ChromaticEye {
    /// Both formulas, the usual one first.
    pub const ALL: [Self; 2] = [Self::Thibos1992, Self::AtchisonSmith2005];

    /// Its authors and year.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Thibos1992 => "Thibos et al. 1992",
            Self::AtchisonSmith2005 => "Atchison & Smith 2005",
        }
    }

    /// The refraction that a wavelength needs, relative to the formula's own reference near 589 nm: plus for red,
    /// which focuses behind, minus for blue.
    ///
    /// ```
    /// # use evenfield::{eye::ChromaticEye, quantity::Wavelength};
    /// let need = ChromaticEye::Thibos1992.refraction(Wavelength::nm(535.0));
    /// // Worked by hand: 1.68524 − 633.46/(535 − 214.102) = −0.28878 D.
    /// const HALF_A_DIGIT: f64 = 5e-4;
    /// assert!((need.to_d() + 0.289).abs() < HALF_A_DIGIT);
    /// ```
    #[must_use]
    pub fn refraction(self, wavelength: Wavelength) -> Dioptres {
        let nm = wavelength.to_nm();
        Dioptres::new(match self {
            Self::Thibos1992 => 1.68524 - 633.46 / (nm - 214.102),
            Self::AtchisonSmith2005 => {
                1.60911 - 6.709_41e5 / nm.powi(2) + 5.553_34e10 / nm.powi(4) - 5.599_98e15 / nm.powi(6)
            }
        })
    }

    /// The mean refraction of a light, each wavelength weighted by its luminance.
    ///
    /// ```
    /// # use evenfield::{eye::ChromaticEye, light::Spectrum, quantity::Wavelength};
    /// // One wavelength needs what the formula gives it. Worked by hand: 1.68524 − 633.46/(656 − 214.102) = 0.25174 D.
    /// const LAST_DIGIT: f64 = 1e-5;
    /// let red = ChromaticEye::Thibos1992.mean_refraction(&Spectrum::line(Wavelength::nm(656.0)));
    /// assert!((red.to_d() - 0.25174).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn mean_refraction(self, light: &Spectrum) -> Dioptres {
        Dioptres::new(light.mean(|wavelength| self.refraction(wavelength).to_d()))
    }

    /// The wavelength that needs a refraction; both formulas rise with the wavelength, so halving finds it.
    ///
    /// Sought between 400 and 780 nm; a refraction beyond what these need gives the nearer end.
    ///
    /// ```
    /// # use evenfield::{eye::ChromaticEye, quantity::Dioptres};
    /// // Worked by hand from the formula turned round: 214.102 + 633.46/(1.68524 + 0.173) = 554.9945 nm.
    /// const HALF_A_DIGIT_NM: f64 = 5e-4;
    /// let focused = ChromaticEye::Thibos1992.wavelength_of(Dioptres::new(-0.173));
    /// assert!((focused.to_nm() - 554.9945).abs() < HALF_A_DIGIT_NM);
    /// ```
    #[must_use]
    pub fn wavelength_of(self, refraction: Dioptres) -> Wavelength {
        let (mut low, mut high) = NM;
        // Each turn halves 380 nm; forty leave far under a picometre.
        for _ in 0..40 {
            let middle = (low + high) / 2.0;
            if self.refraction(Wavelength::nm(middle)) < refraction { low = middle } else { high = middle }
        }
        Wavelength::nm((low + high) / 2.0)
    }

    /// Where the two fields of a chart are focused.
    ///
    /// ```
    /// # use evenfield::{eye::ChromaticEye, light::Spectrum, quantity::Wavelength};
    /// // The filters of textbooks. Worked by hand: 633.46 · (1/320.898 − 1/405.898) = 0.41338 D between them, and with
    /// // 572.53 nm in focus both are off by half of that.
    /// const LAST_DIGIT_D: f64 = 1e-5;
    /// const HALF_A_DIGIT_NM: f64 = 5e-3;
    /// let [red, green] = [620.0, 535.0].map(|nm| Spectrum::line(Wavelength::nm(nm)));
    /// let foci = ChromaticEye::Thibos1992.foci(&red, &green);
    /// assert!((foci.interval.to_d() - 0.41338).abs() < LAST_DIGIT_D);
    /// assert!((foci.middle.to_nm() - 572.53).abs() < HALF_A_DIGIT_NM);
    /// ```
    #[must_use]
    pub fn foci(self, red: &Spectrum, green: &Spectrum) -> Foci {
        let (red, green) = (self.mean_refraction(red), self.mean_refraction(green));
        let middle = Dioptres::new((red.to_d() + green.to_d()) / 2.0);
        Foci { eye: self, interval: red - green, middle: self.wavelength_of(middle) }
    }
}

/// The two fields as an eye focuses them.
///
/// The smaller the interval, the fainter the test: a click of 0.25 D is a large part of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foci {
    /// By this formula.
    pub eye: ChromaticEye,
    /// Dioptres from the mean focus of green to that of red: how far apart the two answers lie.
    pub interval: Dioptres,
    /// The wavelength in focus where both are equally blurred.
    pub middle: Wavelength,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half of the last printed digit, and a little for binary.
    const PRINTED: f64 = 5.1e-4;

    fn need(eye: ChromaticEye, nm: f64) -> f64 {
        eye.refraction(Wavelength::nm(nm)).to_d()
    }

    #[test]
    fn both_formulas_give_the_tabled_values() {
        // Own arithmetic on the published formulas, made before this code (with which program is not recorded), so this
        // holds the typing of the formulas, not the formulas. The coefficients of Thibos are by a comment in public
        // code and by the toolbox ISETCam, those of Atchison & Smith are from memory; the textbook pair below supports
        // both.
        for (nm, thibos, atchison) in [
            (486.1, -0.644, -0.660),
            (535.0, -0.289, -0.296),
            (540.0, -0.258, -0.265),
            (555.0, -0.173, -0.175),
            (570.0, -0.095, -0.093),
            (589.0, -0.004, 0.002),
            (610.0, 0.085, 0.098),
            (615.0, 0.105, 0.120),
            (620.0, 0.125, 0.141),
            (630.0, 0.162, 0.182),
            (656.3, 0.253, 0.281),
        ] {
            assert!((need(ChromaticEye::Thibos1992, nm) - thibos).abs() < PRINTED, "Thibos at {nm} nm");
            assert!((need(ChromaticEye::AtchisonSmith2005, nm) - atchison).abs() < PRINTED, "A&S at {nm} nm");
        }
    }

    #[test]
    fn the_textbook_pair_lies_where_textbooks_have_it() {
        // An optometry article in Chinese (excerpt; title not recorded): with 570 nm in focus 535 nm is at −0.20 and
        // 620 nm at +0.24 D, two decimals printed. An optometry page in Spanish has 0.25 D to either side.
        let rel = |nm: f64| {
            need(ChromaticEye::AtchisonSmith2005, nm) - need(ChromaticEye::AtchisonSmith2005, 570.0)
        };
        assert!((rel(535.0) + 0.20).abs() < 0.0051 && (rel(620.0) - 0.24).abs() < 0.0061);
        let [red, green] = [620.0, 535.0].map(|nm| Spectrum::line(Wavelength::nm(nm)));
        let [thibos, atchison] = ChromaticEye::ALL.map(|eye| eye.foci(&red, &green));
        assert!((thibos.interval.to_d() - 0.413).abs() < PRINTED);
        assert!((atchison.interval.to_d() - 0.437).abs() < PRINTED);
        assert!((thibos.middle.to_nm() - 572.5).abs() < 0.06);
    }

    #[test]
    fn green_focuses_in_front_of_red() {
        for eye in ChromaticEye::ALL {
            let needs: Vec<f64> = (40..=78_u8).map(|tens| need(eye, f64::from(tens) * 10.0)).collect();
            assert!(needs.windows(2).all(|pair| pair[0] < pair[1]), "{}", eye.name());
        }
    }

    #[test]
    fn foci_of_bands_are_those_of_an_independent_sum() {
        // numpy (version not recorded) with the V(λ) of colour-science 0.4.7 every nanometre; the formulas are the
        // same, the sums are not.
        for (peak, width, thibos, atchison) in [
            (615.0, 45.0, 0.065_997, 0.078_096),
            (538.0, 60.0, -0.246_258, -0.251_172),
            (630.0, 25.0, 0.146_137, 0.164_355),
            (610.0, 70.0, 0.009_455, 0.017_982),
        ] {
            let band = Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width));
            let [one, other] = ChromaticEye::ALL.map(|eye| eye.mean_refraction(&band).to_d());
            assert!(
                (one - thibos).abs() < 1e-4 && (other - atchison).abs() < 1e-4,
                "{peak}/{width}: {one} {other}"
            );
        }
    }
}

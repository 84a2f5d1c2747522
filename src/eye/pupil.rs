//! Pupils: given, natural, or behind an aperture.
//!
//! The pupil decides most of what a lens error does: blur grows with its diameter. A given one counts as it is; a natural one
//! follows light, area, age and the number of eyes; an aperture in the plane of an implant looks larger from outside.

use crate::quantity::{Length, Luminance};

/// What a pupil may measure, in millimetres.
const PUPIL_MM: std::ops::RangeInclusive<f64> = 0.5..=9.0;

/// An average cornea in dioptres, the refractive index of the aqueous humour, and how far behind the cornea a lens implant
/// lies, in millimetres. From memory, source not recorded; depths of 3.6 to 5.0 mm change the pupil by 2.5 % either way.
const CORNEA_D: f64 = 43.0;
const AQUEOUS: f64 = 1.336;
const LENS_DEPTH_MM: f64 = 4.5;

/// The entrance pupil of an eye, by its diameter: 0.5 to 9 mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pupil {
    diameter: Length,
}

/// What a natural pupil follows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adaptation {
    /// The mean luminance of the field.
    pub luminance: Luminance,
    /// Its area in square degrees.
    pub square_degrees: f64,
    /// Age in years, 20 to 83; others take the nearest of these.
    pub age_years: f64,
    /// Whether the other eye sees it too; an occluded one does not.
    pub both_eyes: bool,
}

/// Why a length is no pupil.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("a pupil of {0:.2} mm: pupils measure 0.5 to 9 mm")]
pub struct PupilError(f64);

impl Pupil {
    /// A pupil by its diameter.
    ///
    /// # Errors
    /// Outside 0.5 to 9 mm.
    pub fn new(diameter: Length) -> Result<Self, PupilError> {
        let mm = diameter.to_mm();
        if PUPIL_MM.contains(&mm) { Ok(Self { diameter }) } else { Err(PupilError(mm)) }
    }

    /// What an aperture in the plane of the lens looks like through the cornea: 1.17 times as wide, by an average
    /// cornea of 43 D with the lens 4.5 mm behind it.
    ///
    /// ```
    /// # use evenfield::{eye::Pupil, quantity::Length};
    /// let pupil = Pupil::through_cornea(Length::mm(1.4)).unwrap();
    /// // Worked by hand: 1.4 / (1 − 0.0045/1.336 · 43) = 1.637.
    /// const HALF_A_DIGIT_MM: f64 = 5e-4;
    /// assert!((pupil.diameter().to_mm() - 1.637).abs() < HALF_A_DIGIT_MM);
    /// ```
    ///
    /// # Errors
    /// Outside 0.5 to 9 mm.
    pub fn through_cornea(aperture: Length) -> Result<Self, PupilError> {
        let reduced_m = Length::mm(LENS_DEPTH_MM).to_m() / AQUEOUS;
        Self::new(aperture / (1.0 - reduced_m * CORNEA_D))
    }

    /// A natural pupil by [Watson & Yellott](crate::bibliography::WATSON_YELLOTT_2012).
    ///
    /// The unified formula with the age, for a field of some area: brighter, larger, with both eyes and older all mean a smaller
    /// pupil. The result is kept within 0.5 to 9 mm. Single eyes of one age differ from it by about a millimetre either way, so
    /// a measured pupil is always the better one (from memory, source not recorded).
    ///
    /// ```
    /// # use evenfield::{eye::{Adaptation, Pupil}, quantity::Luminance};
    /// let dark = Adaptation {
    ///     luminance: Luminance::cd_m2(50.0), square_degrees: 50.0, age_years: 70.0, both_eyes: false,
    /// };
    /// // Worked by hand: the flux term is (50 · 50 · 0.1/846)^0.41 = 0.60664, so 7.75 − 5.75 · 0.60664/2.60664 = 6.4118 mm
    /// // for a young eye, and 41.42 years more make it 4.7554 mm.
    /// const LAST_DIGIT_MM: f64 = 1e-4;
    /// assert!((Pupil::natural(dark).diameter().to_mm() - 4.7554).abs() < LAST_DIGIT_MM);
    /// ```
    #[must_use]
    pub fn natural(adaptation: Adaptation) -> Self {
        let Adaptation { luminance, square_degrees, age_years, both_eyes } = adaptation;
        let eyes = if both_eyes { 1.0 } else { 0.1 };
        let flux = (luminance.to_cd_m2() * square_degrees * eyes / 846.0).powf(0.41);
        let young = 7.75 - 5.75 * flux / (flux + 2.0);
        let mm = young + (age_years.clamp(20.0, 83.0) - 28.58) * (0.021_32 - 0.009_562 * young);
        Self { diameter: Length::mm(mm.clamp(*PUPIL_MM.start(), *PUPIL_MM.end())) }
    }

    /// The smaller of two pupils, for an eye whose implant has an aperture of its own.
    ///
    /// ```
    /// # use evenfield::{eye::Pupil, quantity::Length};
    /// let [iris, aperture] = [5.0, 1.6].map(|mm| Pupil::new(Length::mm(mm)).unwrap());
    /// assert_eq!(iris.behind(aperture), aperture);
    /// ```
    #[must_use]
    pub fn behind(self, other: Self) -> Self {
        if other.diameter < self.diameter { other } else { self }
    }

    /// Its diameter.
    #[must_use]
    pub const fn diameter(self) -> Length {
        self.diameter
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn natural_pupils_are_those_of_the_formulas_other_form() {
        // Watson & Yellott 2012, equation 27 of appendix 2: the authors' own formula multiplied out. The paper was not seen;
        // several public MATLAB and Python functions have these digits, and one of them names the equation (which one is not
        // recorded). With f = (L·a·M)^0.41: (18.5172 + 0.122165 f − 0.105569 y + 0.000138645 f y) / (2 + 0.0630635 f).
        for (luminance, area, age, both) in [
            (1.0, 900.0, 45.0, true),
            (50.0, 47.0, 70.0, false),
            (250.0, 47.0, 25.0, true),
            (0.1, 2827.0, 30.0, true),
        ] {
            let flux: f64 = luminance * area * if both { 1.0 } else { 0.1 };
            let f = flux.powf(0.41);
            let other = (18.5172 + 0.122_165 * f - 0.105_569 * age + 0.000_138_645 * f * age)
                / (2.0 + 0.063_063_5 * f);
            let adaptation = Adaptation {
                luminance: Luminance::cd_m2(luminance),
                square_degrees: area,
                age_years: age,
                both_eyes: both,
            };
            let ours = Pupil::natural(adaptation).diameter().to_mm();
            // Both are printed to five digits.
            assert!((ours - other).abs() < 2e-3, "{luminance} {area} {age}: {ours} {other}");
        }
    }

    #[test]
    fn no_length_but_a_pupils_is_taken() {
        for mm in [0.0, 0.49, 9.1, 20.0, f64::NAN, -3.0] {
            assert!(Pupil::new(Length::mm(mm)).is_err(), "{mm}");
        }
        let [small, wide] = [1.6, 4.0].map(|mm| Pupil::new(Length::mm(mm)).unwrap());
        assert_eq!(wide.behind(small), small);
        assert_eq!(small.behind(wide), small);
    }
}

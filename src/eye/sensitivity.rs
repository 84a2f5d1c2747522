//! Contrast sensitivity of the eye without its optics: absolute, for the light that reaches the retina.
//!
//! A small pupil takes light away as well as detail, so how much contrast an eye needs depends on both the field and the pupil.

use crate::quantity::{Angle, Luminance, SpatialFrequency};

use super::Pupil;

/// The formula's constants as [Barten 1999](crate::bibliography::BARTEN_1999) has them for a typical observer: the
/// signal-to-noise ratio at threshold, the time that the eye sums over in seconds, the most degrees and the most cycles that
/// it sums over, the share of photons that count, the noise of the nerves in seconds square degrees, the frequency under
/// which neighbours inhibit each other in cycles a degree.
const THRESHOLD_SNR: f64 = 3.0;
const SECONDS: f64 = 0.1;
const MOST_DEGREES: f64 = 12.0;
const MOST_CYCLES: f64 = 15.0;
const PHOTONS_COUNTED: f64 = 0.03;
const NERVE_NOISE: f64 = 3e-8;
const INHIBITED_UNDER: f64 = 7.0;

/// Photons a second, square degree and troland, for the white of a display as the authors of the reference library
/// have it. Red and green light have other numbers, within a factor of 1.5 (estimated); the same is used for all.
const PHOTONS: f64 = 1.2274e6;

/// The constants in millimetres with which light through the pupil's edge counts less, so Barten: the Stiles-Crawford effect.
const EDGE_MM: [f64; 2] = [9.7, 12.4];

/// The contrast sensitivity of one eye without its optics, for a target of some size.
///
/// By [Barten's formula](crate::bibliography::BARTEN_1999), which takes photon noise, the noise of nerves, lateral inhibition
/// and the target's size together. It was published for gratings of half a degree and more; a single letter is an
/// extrapolation. For two eyes, as the formula has it, it is √2 times as high.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensitivity {
    trolands: f64,
    degrees: f64,
}

impl Sensitivity {
    /// For a target of this size in a field of this luminance, seen through a pupil.
    #[must_use]
    pub fn new(target: Angle, luminance: Luminance, pupil: Pupil) -> Self {
        Self { trolands: trolands(luminance, pupil), degrees: target.to_degrees() }
    }

    /// The effective light on the retina in trolands (cd/m² times the pupil's mm²), the pupil's edge counting less.
    ///
    /// ```
    /// # use evenfield::eye::{Pupil, Sensitivity};
    /// # use evenfield::quantity::{Angle, Length, Luminance};
    /// // Worked by hand: π/4 · 1.6² · 40 · (1 − (1.6/9.7)² + (1.6/12.4)⁴) = 78.259 trolands.
    /// const LAST_DIGIT: f64 = 1e-3;
    /// let pupil = Pupil::new(Length::mm(1.6))?;
    /// let small = Sensitivity::new(Angle::arcmin(5.0), Luminance::cd_m2(40.0), pupil);
    /// assert!((small.trolands() - 78.259).abs() < LAST_DIGIT);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub const fn trolands(&self) -> f64 {
        self.trolands
    }

    /// The inverse of the least contrast that is seen at a frequency, the contrast being that on the retina.
    ///
    /// ```
    /// # use evenfield::eye::{Pupil, Sensitivity};
    /// # use evenfield::quantity::{Angle, Length, Luminance, SpatialFrequency};
    /// // Worked by hand for a letter of 20/20 at 19.2 cycles a degree: noise (1/0.08333² + 1/12² + (19.2/15)²) · 2/0.1 =
    /// // 2912.9; photons 1/(0.03 · 1.2274e6 · 78.259) = 3.4703e-7; nerves 3.0016e-8; so 1/(3 · √(2912.9 · 3.7705e-7)) =
    /// // 10.058 with both eyes, and 7.112 with one.
    /// const LAST_DIGIT: f64 = 1e-3;
    /// let pupil = Pupil::new(Length::mm(1.6))?;
    /// let letter = Sensitivity::new(Angle::arcmin(5.0), Luminance::cd_m2(40.0), pupil);
    /// assert!((letter.at(SpatialFrequency::cycles_per_degree(19.2)) - 7.112).abs() < LAST_DIGIT);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn at(&self, frequency: SpatialFrequency) -> f64 {
        let cycles = frequency.to_cycles_per_degree();
        let area = self.degrees.powi(-2) + MOST_DEGREES.powi(-2) + (cycles / MOST_CYCLES).powi(2);
        let photons = 1.0 / (PHOTONS_COUNTED * PHOTONS * self.trolands);
        let nerves = NERVE_NOISE / -(-(cycles / INHIBITED_UNDER).powi(2)).exp_m1();
        let both_eyes = 1.0 / (THRESHOLD_SNR * (2.0 / SECONDS * area * (photons + nerves)).sqrt());
        both_eyes / std::f64::consts::SQRT_2
    }
}

fn trolands(luminance: Luminance, pupil: Pupil) -> f64 {
    let mm = pupil.diameter().to_mm();
    let edge = 1.0 - (mm / EDGE_MM[0]).powi(2) + (mm / EDGE_MM[1]).powi(4);
    std::f64::consts::FRAC_PI_4 * mm * mm * luminance.to_cd_m2() * edge
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Length;

    #[test]
    fn it_is_that_of_an_independent_library() {
        // colour-science 0.4.7, contrast_sensitivity_function_Barten1999 with sigma=0 (no optics), X_0 the letter's height in
        // degrees, E by its retinal_illuminance_Barten1999; for both eyes. cd/m², mm of pupil, MAR, cycles a letter.
        const PRINTED: f64 = 1e-6;
        for (luminance, mm, mar, cycles, theirs) in [
            (40.0, 1.6, 1.0, 0.8, 10.029_625_786),
            (40.0, 1.6, 1.0, 3.2, 9.892_905_696),
            (40.0, 3.0, 1.585, 0.8, 24.368_485_226),
            (40.0, 3.0, 1.585, 1.6, 26.408_989_143),
            (40.0, 3.0, 1.585, 3.2, 26.125_075_607),
            (200.0, 5.0, 2.0, 0.8, 41.562_600_987),
            (200.0, 5.0, 2.0, 3.2, 61.430_057_880),
            (2.0, 4.0, 1.0, 1.6, 5.385_382_592),
        ] {
            let letter = Angle::arcmin(5.0 * mar);
            let pupil = Pupil::new(Length::mm(mm)).unwrap();
            let ours = Sensitivity::new(letter, Luminance::cd_m2(luminance), pupil);
            let both = ours.at(SpatialFrequency::cycles_in(cycles, letter)) * 2.0_f64.sqrt();
            assert!((both / theirs - 1.0).abs() < PRINTED, "{luminance} {mm} {mar} {cycles}: {both}");
        }
    }
}

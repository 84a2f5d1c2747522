//! A spectrum in a few wavelengths, each weighted by the luminance that it carries.
//!
//! A transfer costs thousands of operations at each wavelength, and the eye's formulas bend so little over a band that two
//! wavelengths stand for twenty-five.

use super::{Observer, Spectrum};
use crate::quantity::Wavelength;

/// The width of the bands that a spectrum is gathered into, in nanometres. Two wavelengths stand for each, by Gauss's rule: what
/// varies with the wavelength as a cubic does is summed exactly. Against a sum over every nanometre no transfer of red or green
/// light changes by more than 0.001 up to 5 mm of pupil and 0.75 D; of blue, where focus changes fastest, by 0.01 (a test
/// holds both).
const BAND_NM: usize = 25;

/// The least share of a light that a wavelength must have; smaller ones are left out.
const LEAST_SHARE: f64 = 1e-4;

/// A light as the eye weights it: a few wavelengths with their shares of its luminance, together 1.
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
        let least = |(_, weight): &(f64, f64)| *weight > LEAST_SHARE * total;
        let mut bands: Vec<_> = weighted.chunks(width).flat_map(two_for).filter(least).collect();
        let kept: f64 = bands.iter().map(|(_, weight)| weight).sum();
        bands.iter_mut().for_each(|(_, weight)| *weight /= kept);
        Self { bands: bands.into_iter().map(|(nm, share)| (Wavelength::nm(nm), share)).collect() }
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

/// Two places with weights whose sums of powers up to the third are those of all these; one where all lie at one place.
///
/// With the mean m, the variance v and the third central moment s they lie at m + t, where t² − t·s/v − v = 0.
fn two_for(part: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let whole: f64 = part.iter().map(|(_, weight)| weight).sum();
    let mean = part.iter().map(|(at, weight)| at * weight / whole).sum::<f64>();
    let central =
        |power: i32| part.iter().map(|(at, weight)| (at - mean).powi(power) * weight / whole).sum::<f64>();
    let (variance, third) = (central(2), central(3));
    // Of a line nothing but binary dust is left.
    if variance < 1e-9 || !variance.is_finite() {
        return vec![(mean, whole)];
    }
    let half = third / variance / 2.0;
    let aside = half.hypot(variance.sqrt());
    let [low, high] = [half - aside, half + aside];
    vec![(mean + low, whole * high / (high - low)), (mean + high, whole * -low / (high - low))]
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
    }

    #[test]
    fn two_stand_for_many_up_to_the_third_power() {
        const DUST: f64 = 1e-9;
        let many = [(1.0, 0.5), (2.0, 0.25), (4.0, 1.25), (7.0, 1.0)];
        let two = two_for(&many);
        let sum = |of: &[(f64, f64)], power: i32| {
            of.iter().map(|(at, weight)| at.powi(power) * weight).sum::<f64>()
        };
        assert_eq!(two.len(), 2);
        for power in 0..=3 {
            assert!((sum(&two, power) - sum(&many, power)).abs() < DUST, "{power}");
        }
        assert!((sum(&two, 4) - sum(&many, 4)).abs() > 1.0, "two cannot do more");
        assert!(two.iter().all(|(at, weight)| (1.0..=7.0).contains(at) && *weight > 0.0));
    }

    /// The largest change of a transfer against a sum over every nanometre.
    fn most_changed(peak_nm: f64, width_nm: f64) -> f64 {
        use crate::eye::{Eye, Pupil};
        use crate::quantity::{Dioptres, Length, SpatialFrequency};
        let light = Spectrum::gaussian(Wavelength::nm(peak_nm), Wavelength::nm(width_nm));
        let few = Bands::of(&light);
        let weighted = light.powers().map(|(at, power)| (at, power * Observer::Standard.efficiency(at)));
        let every: Vec<_> = weighted.filter(|(_, weight)| *weight > 0.0).collect();
        let whole: f64 = every.iter().map(|(_, weight)| weight).sum();
        let mut most = 0.0_f64;
        for mm in [1.6, 3.0, 5.0] {
            let eye = Eye::with_pupil(Pupil::new(Length::mm(mm)).unwrap());
            for lens_error in [-0.75, -0.25, 0.0, 0.25, 0.75].map(Dioptres::new) {
                for cycles in [5.0, 12.0, 19.0, 30.0, 45.0].map(SpatialFrequency::cycles_per_degree) {
                    let of_one = |at: Wavelength| eye.transfer_at(lens_error, at, cycles);
                    let all = every.iter().map(|(at, weight)| weight * of_one(*at)).sum::<f64>() / whole;
                    most = most.max((few.mean(of_one) - all).abs());
                }
            }
        }
        most
    }

    #[test]
    fn few_wavelengths_transfer_as_every_nanometre_does() {
        for (peak, width, as_said) in
            [(615.0, 45.0, 0.001), (538.0, 60.0, 0.001), (540.0, 80.0, 0.001), (450.0, 20.0, 0.01)]
        {
            let most = most_changed(peak, width);
            assert!(most < as_said, "{peak}: {most}");
        }
    }
}

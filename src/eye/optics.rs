//! One still eye: pupil, chromatic focus and spherical aberration, and what they leave of a light.
//!
//! Powers are in dioptres and frequencies in cycles a degree outside; inside it is waves of the wavefront at the pupil's edge,
//! which is what decides. Signs: plus is a focus in front of the retina.

use super::lens_errors::LensErrors;
use super::transfer::Wavefront;
use super::{ChromaticEye, Pupil};
use crate::light::Bands;
use crate::quantity::{Angle, Dioptres, Length, SpatialFrequency, Wavelength};

/// Spherical aberration is given for this pupil.
const SPHERICAL_AT: Length = Length::mm(6.0);

/// What an ordinary eye has over that pupil, in micrometres, by [Thibos et al. 2002](crate::bibliography::THIBOS_2002) (0.1
/// to 0.15), and the pupil from which on it is counted. Below, it would change no clarity by a hundredth.
const ORDINARY_SPHERICAL_UM: f64 = 0.10;
const SPHERICAL_FROM: Length = Length::mm(4.0);

/// How fast light counts less away from the middle of the pupil, where the [Stiles-Crawford
/// effect](crate::bibliography::STILES_CRAWFORD) is asked for: the factor 0.05 in 10^(−0.05 r²), r in millimetres.
const STILES_CRAWFORD: f64 = 0.05;

/// An eye behind the lens in place: round pupil, diffraction, chromatic focus. It does not accommodate. Scatter,
/// astigmatism and everything else that is not named here are left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye {
    /// The entrance pupil.
    pub pupil: Pupil,
    /// The formula for its chromatic focus.
    pub chromatic: ChromaticEye,
    /// The factor by which the chromatic focus differs from the formula's: 1 for an ordinary eye; another number for an
    /// implant of another material.
    pub dispersion: f64,
    /// The wavelength that lies in focus where the lens error is nought.
    pub focus_at: Wavelength,
    /// The coefficient of spherical aberration in micrometres over 6 mm of pupil (Zernike, OSA), plus where the edge
    /// is too strong. An ordinary eye has 0.1 to 0.15: [Thibos et al. 2002](crate::bibliography::THIBOS_2002).
    pub spherical_um: f64,
    /// Whether light through the pupil's edge counts less; see the [caution](crate::bibliography::STILES_CRAWFORD).
    pub stiles_crawford: bool,
}

impl Eye {
    /// An ordinary eye with this pupil, that holds 570 nm in focus. From 4 mm of pupil on it has 0.10 µm of spherical
    /// aberration over 6 mm; behind smaller ones, where that is less than a hundredth of a wave at 3 mm, none.
    #[must_use]
    pub fn with_pupil(pupil: Pupil) -> Self {
        Self {
            pupil,
            chromatic: ChromaticEye::Thibos1992,
            dispersion: 1.0,
            focus_at: Wavelength::nm(570.0),
            spherical_um: if pupil.diameter() < SPHERICAL_FROM { 0.0 } else { ORDINARY_SPHERICAL_UM },
            stiles_crawford: false,
        }
    }

    /// By how much a wavelength is out of focus: lens error − (Rx(λ) − Rx(λ₀)). Plus means a focus in front of the retina.
    ///
    /// ```
    /// # use evenfield::{eye::{Eye, Pupil}, quantity::{Dioptres, Length, Wavelength}};
    /// let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// // Too much plus brings red, which focuses behind, nearer to the retina: 0.25 − 0.20 D.
    /// let red = eye.defocus(Dioptres::new(0.25), Wavelength::nm(615.0));
    /// const ROUNDED_D: f64 = 0.005;
    /// assert!((red.to_d() - 0.05).abs() < ROUNDED_D);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn defocus(&self, lens_error: Dioptres, wavelength: Wavelength) -> Dioptres {
        let needs = self.chromatic.refraction(wavelength) - self.chromatic.refraction(self.focus_at);
        Dioptres::new(lens_error.to_d() - self.dispersion * needs.to_d())
    }

    /// The lens error at which two lights are, on average, equally out of focus, one in front and one behind.
    ///
    /// The dioptric middle of red and green. Balance lies near it and not on it, since diffraction takes more from red.
    ///
    /// ```
    /// # use evenfield::eye::{Eye, Pupil};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Length, Wavelength};
    /// // Worked by hand: 620 nm needs +0.12460 D and 535 nm −0.28878 D, 570 nm −0.09465 D. Their mean lies 0.01256 D above
    /// // that of 570 nm.
    /// const LAST_DIGIT_D: f64 = 1e-5;
    /// let [red, green] = [620.0, 535.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
    /// let middle = Eye::with_pupil(Pupil::new(Length::mm(3.0))?).middle_of(&red, &green);
    /// assert!((middle.to_d() - 0.01256).abs() < LAST_DIGIT_D);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn middle_of(&self, one: &Bands, other: &Bands) -> Dioptres {
        let needs =
            |light: &Bands| light.mean(|wavelength| -self.defocus(Dioptres::new(0.0), wavelength).to_d());
        Dioptres::new((needs(one) + needs(other)) / 2.0)
    }

    /// The optical transfer function (OTF), signed, of a light at a frequency, each wavelength counting by its luminance.
    ///
    /// ```
    /// # use evenfield::eye::{Eye, Pupil};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, SpatialFrequency, Wavelength};
    /// // Zero cycles: all light arrives, in focus or not.
    /// const SUM: f64 = 1e-6;
    /// let white = Bands::of(&Spectrum::gaussian(Wavelength::nm(555.0), Wavelength::nm(90.0)));
    /// let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// let whole = eye.transfer(Dioptres::new(0.75), &white, SpatialFrequency::cycles_per_degree(0.0));
    /// assert!((whole - 1.0).abs() < SUM);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn transfer(&self, lens_error: Dioptres, light: &Bands, frequency: SpatialFrequency) -> f64 {
        light.mean(|wavelength| self.transfer_at(lens_error, wavelength, frequency))
    }

    /// The same at each of these lens errors, at a fraction of the cost of asking for one after the other.
    ///
    /// ```
    /// # use evenfield::eye::{Eye, LensErrors, Pupil};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, SpatialFrequency, Wavelength};
    /// // As many nodes as the farthest needs are summed for all, and each sum errs by less than 1e-6.
    /// const SUM: f64 = 1e-6;
    /// let green = Bands::of(&Spectrum::gaussian(Wavelength::nm(540.0), Wavelength::nm(80.0)));
    /// let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// let cycles = SpatialFrequency::cycles_per_degree(12.0);
    /// let at = LensErrors { from: Dioptres::new(-1.0), step: Dioptres::new(0.5), count: 5 };
    /// for (at, transfer) in at.iter().zip(eye.transfers_at(at, &green, cycles)) {
    ///     assert!((transfer - eye.transfer(at, &green, cycles)).abs() < SUM);
    /// }
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn transfers_at(&self, at: LensErrors, light: &Bands, frequency: SpatialFrequency) -> Vec<f64> {
        let mut transfers = vec![0.0; at.count];
        for (wavelength, share_of_light) in light.iter() {
            let [first, second] = [at.from, at.from + at.step].map(|at| self.wavefront(at, wavelength));
            let step = second.defocus - first.defocus;
            first.add_transfers(
                self.share_of_cut_off(frequency, wavelength),
                step,
                share_of_light,
                &mut transfers,
            );
        }
        transfers
    }

    /// The OTF, signed, of one wavelength at a frequency: that of a round pupil out of focus, 1 at none and 0 from
    /// D/λ cycles a radian on.
    ///
    /// In focus and without aberration it has a closed form, which textbooks print: with ν the share of the cut-off,
    /// (2/π)(acos ν − ν√(1 − ν²)).
    ///
    /// ```
    /// # use evenfield::eye::{Eye, Pupil};
    /// # use evenfield::quantity::{Angle, Dioptres, Length, SpatialFrequency, Wavelength};
    /// // Worked by hand at ν = ½: (2/π)(1.047198 − 0.433013) = 0.39100.
    /// const LAST_DIGIT: f64 = 1e-5;
    /// let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// let half = SpatialFrequency::cycles_in(0.5, Angle::radians(570e-9 / 3e-3));
    /// let transfer = eye.transfer_at(Dioptres::new(0.0), Wavelength::nm(570.0), half);
    /// assert!((transfer - 0.39100).abs() < LAST_DIGIT);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn transfer_at(
        &self,
        lens_error: Dioptres,
        wavelength: Wavelength,
        frequency: SpatialFrequency,
    ) -> f64 {
        self.wavefront(lens_error, wavelength).transfer(self.share_of_cut_off(frequency, wavelength))
    }

    /// Which share a frequency is of the one from which on nothing of a wavelength is transferred.
    fn share_of_cut_off(&self, frequency: SpatialFrequency, wavelength: Wavelength) -> f64 {
        frequency.to_cycles_per_radian() * wavelength.to_m() / self.pupil.diameter().to_m()
    }

    /// The frequency from which on nothing is transferred, by the shortest visible wavelength, 380 nm.
    ///
    /// ```
    /// # use evenfield::{eye::{Eye, Pupil}, quantity::Length};
    /// // Worked by hand: 3 mm / 380 nm = 7894.74 cycles a radian, 137.79 a degree.
    /// const HALF_A_DIGIT: f64 = 5e-3;
    /// let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// assert!((eye.cut_off().to_cycles_per_degree() - 137.79).abs() < HALF_A_DIGIT);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn cut_off(&self) -> SpatialFrequency {
        let radians = Wavelength::nm(380.0).to_m() / self.pupil.diameter().to_m();
        SpatialFrequency::cycles_in(1.0, Angle::radians(radians))
    }

    /// How wide the image of a point is, by geometry: the pupil times the farthest defocus of any band, and the slope
    /// of the spherical aberration at the pupil's edge to either side.
    ///
    /// ```
    /// # use evenfield::eye::{Eye, Pupil};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, Wavelength};
    /// // Worked by hand: half a dioptre behind 3 mm is 1.5 thousandths of a radian, 5.157 minutes.
    /// const HALF_A_DIGIT: f64 = 5e-4;
    /// let in_focus = Bands::of(&Spectrum::line(Wavelength::nm(570.0)));
    /// let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// assert!((eye.blur(Dioptres::new(-0.5), &in_focus).to_arcmin() - 5.157).abs() < HALF_A_DIGIT);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn blur(&self, lens_error: Dioptres, light: &Bands) -> Angle {
        let diameter = self.pupil.diameter().to_m();
        let farthest = light
            .iter()
            .map(|(wavelength, _)| self.defocus(lens_error, wavelength).to_d().abs())
            .fold(0.0, f64::max);
        Angle::radians(diameter * farthest + 16.0 * self.spherical_wave().abs() / diameter)
    }

    /// The wave at the pupil's edge by the fourth power of the radius, in metres: √5·(6ρ⁴ − 6ρ² + 1), whose coefficient
    /// grows with the fourth power of the pupil.
    fn spherical_wave(&self) -> f64 {
        let scale = (self.pupil.diameter() / SPHERICAL_AT).powi(4);
        6.0 * 5_f64.sqrt() * self.spherical_um * 1e-6 * scale
    }

    /// The defocus whose wavefront error at the pupil's edge is `waves` wavelengths of the light in focus: 8wλ/D².
    ///
    /// A defocus of F dioptres lifts the wave at the edge of a pupil D by F·(D/2)²/2 metres, hence the 8.
    ///
    /// ```
    /// # use evenfield::{eye::{Eye, Pupil}, quantity::Length};
    /// // Worked by hand for one wave: 8 · 570e-9 / 0.003² = 0.50667 D; behind half the pupil four times as much.
    /// const LAST_DIGIT_D: f64 = 1e-5;
    /// let [wide, narrow] = [3.0, 1.5].map(|mm| Eye::with_pupil(Pupil::new(Length::mm(mm)).unwrap()));
    /// assert!((wide.defocus_of_waves(1.0).to_d() - 0.50667).abs() < LAST_DIGIT_D);
    /// assert!((narrow.defocus_of_waves(1.0).to_d() - 2.02667).abs() < LAST_DIGIT_D);
    /// ```
    #[must_use]
    pub fn defocus_of_waves(&self, waves: f64) -> Dioptres {
        Dioptres::new(8.0 * waves * self.focus_at.to_m() / self.pupil.diameter().to_m().powi(2))
    }

    fn wavefront(&self, lens_error: Dioptres, wavelength: Wavelength) -> Wavefront {
        let radius = self.pupil.diameter().to_m() / 2.0;
        let waves = |metres: f64| metres / wavelength.to_m();
        let defocus = self.defocus(lens_error, wavelength).to_d() * radius.powi(2) / 2.0;
        let spherical = self.spherical_wave();
        let square_mm = (self.pupil.diameter().to_mm() / 2.0).powi(2);
        let fall =
            if self.stiles_crawford { STILES_CRAWFORD * std::f64::consts::LN_10 * square_mm } else { 0.0 };
        Wavefront { defocus: waves(defocus - spherical), fourth: waves(spherical), fall }
    }
}

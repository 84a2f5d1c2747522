//! One still eye: pupil, chromatic focus and spherical aberration, and what they leave of a light.

use super::transfer::Wavefront;
use super::{ChromaticEye, Pupil};
use crate::light::Bands;
use crate::quantity::{Angle, Dioptres, Length, SpatialFrequency, Wavelength};

/// Spherical aberration is given for this pupil.
const SPHERICAL_AT: Length = Length::mm(6.0);

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
    /// An eye with this pupil, without aberrations but the chromatic one, that holds 570 nm in focus.
    #[must_use]
    pub const fn with_pupil(pupil: Pupil) -> Self {
        Self {
            pupil,
            chromatic: ChromaticEye::Thibos1992,
            dispersion: 1.0,
            focus_at: Wavelength::nm(570.0),
            spherical_um: 0.0,
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
    /// assert!((red.to_d() - 0.05).abs() < 0.005);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn defocus(&self, lens_error: Dioptres, wavelength: Wavelength) -> Dioptres {
        let needs = self.chromatic.refraction(wavelength) - self.chromatic.refraction(self.focus_at);
        Dioptres::new(lens_error.to_d() - self.dispersion * needs.to_d())
    }

    /// The lens error at which two lights are, on average, equally out of focus, one in front and one behind.
    #[must_use]
    pub fn middle_of(&self, one: &Bands, other: &Bands) -> Dioptres {
        let needs =
            |light: &Bands| light.mean(|wavelength| -self.defocus(Dioptres::new(0.0), wavelength).to_d());
        Dioptres::new((needs(one) + needs(other)) / 2.0)
    }

    /// The optical transfer function (OTF), signed, of a light at a frequency, each wavelength counting by its luminance.
    #[must_use]
    pub fn transfer(&self, lens_error: Dioptres, light: &Bands, frequency: SpatialFrequency) -> f64 {
        light.mean(|wavelength| self.transfer_at(lens_error, wavelength, frequency))
    }

    /// The OTF, signed, of one wavelength at a frequency: that of a round pupil out of focus, 1 at none and 0 from
    /// D/λ cycles a radian on.
    #[must_use]
    pub fn transfer_at(
        &self,
        lens_error: Dioptres,
        wavelength: Wavelength,
        frequency: SpatialFrequency,
    ) -> f64 {
        let diameter = self.pupil.diameter();
        let share = frequency.to_cycles_per_radian() * wavelength.to_m() / diameter.to_m();
        self.wavefront(lens_error, wavelength).transfer(share)
    }

    /// The frequency from which on nothing is transferred, by the shortest visible wavelength, 380 nm.
    #[must_use]
    pub fn cut_off(&self) -> SpatialFrequency {
        let radians = Wavelength::nm(380.0).to_m() / self.pupil.diameter().to_m();
        SpatialFrequency::cycles_in(1.0, Angle::radians(radians))
    }

    /// How wide the image of a point is, by geometry: the pupil times the farthest defocus of any band, and the slope
    /// of the spherical aberration at the pupil's edge to either side.
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

//! The transfer of an eye for one wavelength: the optical transfer function (OTF), whose size is the MTF.
//!
//! Computed directly as an integral over the pupil's overlap and not by a transform of a sampled one, so that no grid has to be
//! chosen and a frequency can be asked for alone.

use std::f64::consts::PI;

use super::fresnel::fresnel;
use super::quadrature::Nodes;

/// The wavefront over a round pupil in one colour, and how its edge counts. Radii count from the centre, 1 at the edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wavefront {
    /// The wave at the edge by defocus, in waves, plus for a focus in front of the retina.
    pub(super) defocus: f64,
    /// The wave at the edge by the fourth power of the radius, in waves.
    pub(super) fourth: f64,
    /// By how much the natural logarithm of the light falls from the centre to the edge.
    pub(super) fall: f64,
}

impl Wavefront {
    /// The optical transfer function (OTF) at a share of the cut-off frequency, 0 to 1: real and signed, since the
    /// pupil is even about its centre, 1 at 0 and 0 from 1 on. Its size is the modulation transfer function (MTF).
    ///
    /// The pupil's field at two points a shear of 2ν radii apart, multiplied and summed over where both lie in the pupil
    /// ([Hopkins 1955](crate::bibliography::HOPKINS_1955)). Two coordinates from the middle of that lens-shaped area,
    /// x along the shear and y across: squared radii differ by 2xs, so the phase is that of 2xs waves of defocus, and
    /// with the fourth power 2xs·(2x² + 2y² + s²/2) of it. The area is even in both, so a quarter of it is summed, with
    /// x + s/2 = cos θ to keep the edge smooth.
    pub(super) fn transfer(self, share: f64) -> f64 {
        if share >= 1.0 {
            return 0.0;
        }
        let shear = 2.0 * share;
        let widest = share.acos();
        let waves =
            self.phase(1.0 - share, 0.0, shear).abs().max(self.phase((1.0 - share) / 2.0, 0.0, shear).abs());
        let nodes = Nodes::for_waves(waves);
        let sum = nodes.integrate(widest, |angle| {
            let (high, along) = angle.sin_cos();
            high * self.across(along - share, high, shear)
        });
        4.0 * sum / self.light()
    }

    /// A column of the area, from its middle to its edge. The phase grows with the square of y, so that where all light
    /// counts alike the column is one of [Fresnel's integrals](fresnel).
    fn across(self, x: f64, high: f64, shear: f64) -> f64 {
        let in_the_middle = self.phase(x, 0.0, shear);
        let waves = self.phase(x, high, shear) - in_the_middle;
        if self.fall < 1e-12 {
            let (sin, cos) = (2.0 * PI * in_the_middle).sin_cos();
            let [real, imaginary] = if waves.abs() < 1e-12 { [1.0, 0.0] } else { fresnel(waves) };
            return high * (cos * real - sin * imaginary);
        }
        Nodes::for_waves(waves).integrate(high, |y| {
            let light = (-self.fall * (x * x + y * y + shear * shear / 4.0)).exp();
            light * (2.0 * PI * self.phase(x, y, shear)).cos()
        })
    }

    /// The phase between the two points, in waves.
    fn phase(self, x: f64, y: f64, shear: f64) -> f64 {
        2.0 * x * shear * (self.defocus + self.fourth * (2.0 * x * x + 2.0 * y * y + shear * shear / 2.0))
    }

    /// The light of the whole pupil.
    fn light(self) -> f64 {
        if self.fall < 1e-12 { PI } else { PI * -(-self.fall).exp_m1() / self.fall }
    }
}

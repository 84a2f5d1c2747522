//! The transfer of an eye for one wavelength: the optical transfer function (OTF), whose size is the MTF.
//!
//! Computed directly as an integral over the pupil's overlap and not by a transform of a sampled one, so that no grid has to be
//! chosen and a frequency can be asked for alone.

use std::f64::consts::{PI, TAU};

use super::fresnel::fresnel;
use super::quadrature::Nodes;
use super::turn::on_circle;

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
        self.columns(share, self.defocus.abs()).iter().map(|column| column.at(self.defocus)[0]).sum()
    }

    /// Adds the same at evenly spaced defocus, from this one on in steps of so many waves, to sums, each times a weight.
    ///
    /// From step to step each column turns by the same angle, so that no sine is asked for twice. A thousand steps leave less than
    /// 1e-12 of binary dust.
    pub(super) fn add_transfers(self, share: f64, step: f64, weight: f64, sums: &mut [f64]) {
        let last = self.defocus + step * sums.len() as f64;
        let columns = self.columns(share, self.defocus.abs().max(last.abs()));
        let mut parts: Vec<[f64; 2]> = columns.iter().map(|column| column.at(self.defocus)).collect();
        let turn = |column: &Column| turned([1.0, 0.0], column.turns_a_wave * step);
        let turns: Vec<[f64; 2]> = columns.iter().map(turn).collect();
        for sum in sums {
            let mut here = 0.0;
            for ([real, imaginary], [cos, sin]) in parts.iter_mut().zip(&turns) {
                here += *real;
                (*real, *imaginary) = (*real * cos - *imaginary * sin, *real * sin + *imaginary * cos);
            }
            *sum += weight * here;
        }
    }

    /// The columns of the area at a share of the cut-off, enough of them for up to so many waves of defocus to either side.
    fn columns(self, share: f64, most_defocus: f64) -> Vec<Column> {
        if share >= 1.0 {
            return Vec::new();
        }
        let shear = 2.0 * share;
        let widest = share.acos();
        let farthest = |x: f64| 2.0 * x * shear * most_defocus + self.fourth_phase(x, 0.0, shear).abs();
        let nodes = Nodes::for_waves(farthest(1.0 - share).max(farthest((1.0 - share) / 2.0)));
        let column = |(angle, weight): (f64, f64)| {
            let [along, high] = on_circle(angle / TAU);
            let x = along - share;
            let weight = 4.0 * weight * high / self.light();
            Column {
                parts: self.column(x, high, shear).map(|part| weight * part),
                turns: self.fourth_phase(x, 0.0, shear),
                turns_a_wave: 2.0 * x * shear,
            }
        };
        nodes.up_to(widest).map(column).collect()
    }

    /// A column of the area against its middle, from there to its edge. The phase grows with the square of y, so that where all
    /// light counts alike the column is one of [Fresnel's integrals](fresnel).
    fn column(self, x: f64, high: f64, shear: f64) -> [f64; 2] {
        let waves = |y: f64| self.fourth_phase(x, y, shear) - self.fourth_phase(x, 0.0, shear);
        if self.fall < 1e-12 {
            let [real, imaginary] = if waves(high).abs() < 1e-12 { [1.0, 0.0] } else { fresnel(waves(high)) };
            return [high * real, high * imaginary];
        }
        let mut column = [0.0; 2];
        for (y, weight) in Nodes::for_waves(waves(high)).up_to(high) {
            let light = (-self.fall * (x * x + y * y + shear * shear / 4.0)).exp();
            let [real, imaginary] = turned([weight * light, 0.0], waves(y));
            column = [column[0] + real, column[1] + imaginary];
        }
        column
    }

    /// The phase between the two points that the fourth power makes, in waves.
    fn fourth_phase(self, x: f64, y: f64, shear: f64) -> f64 {
        2.0 * x * shear * self.fourth * (2.0 * x * x + 2.0 * y * y + shear * shear / 2.0)
    }

    /// The light of the whole pupil.
    fn light(self) -> f64 {
        if self.fall < 1e-12 { PI } else { PI * -(-self.fall).exp_m1() / self.fall }
    }
}

/// A column of the area: its light as a complex number, the turns of its middle without defocus, and those that a wave of
/// defocus adds.
struct Column {
    parts: [f64; 2],
    turns: f64,
    turns_a_wave: f64,
}

impl Column {
    /// With this much defocus, in waves; the real part is what counts.
    fn at(&self, defocus: f64) -> [f64; 2] {
        turned(self.parts, self.turns + self.turns_a_wave * defocus)
    }
}

/// A complex number after so many turns.
fn turned([real, imaginary]: [f64; 2], turns: f64) -> [f64; 2] {
    let [cos, sin] = on_circle(turns);
    [real * cos - imaginary * sin, real * sin + imaginary * cos]
}

//! Fresnel's integral, which a column of the pupil with spherical aberration comes to.

use std::f64::consts::PI;
use std::sync::OnceLock;

use super::quadrature::Nodes;

/// Steps a wave of the table, and up to how many waves it goes. Between its points runs a cubic with the right slopes at both
/// ends, which errs by less than 3e-8: its error is a 384th of the step's fourth power times the fourth derivative, at
/// most (2π)⁴/9.
const STEPS: usize = 64;
const MOST_WAVES: usize = 12;

/// ∫ exp(2πi·u·t²) dt from 0 to 1, real and imaginary part, for u waves.
pub(super) fn fresnel(waves: f64) -> [f64; 2] {
    static TABLE: OnceLock<Vec<Point>> = OnceLock::new();
    let table = TABLE.get_or_init(|| (0..=STEPS * MOST_WAVES).map(Point::new).collect());
    let place = waves.abs() * STEPS as f64;
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "rounded down, not below nought"
    )]
    let step = place as usize;
    let [real, imaginary] = match table.get(step..step + 2) {
        Some([from, to]) => from.towards(to, place - step as f64),
        _ => summed(waves.abs()),
    };
    [real, if waves < 0.0 { -imaginary } else { imaginary }]
}

/// A point of the table: the integral, and by how much it changes in a step.
struct Point {
    value: [f64; 2],
    slope: [f64; 2],
}

impl Point {
    /// The integral changes by (exp(2πi·u) − value)/2u a wave, by parts; at nought by 2πi/3.
    fn new(step: usize) -> Self {
        let value = summed(step as f64 / STEPS as f64);
        if step == 0 {
            return Self { value, slope: [0.0, 2.0 * PI / 3.0 / STEPS as f64] };
        }
        let (sin, cos) = (2.0 * PI * step as f64 / STEPS as f64).sin_cos();
        let by = 2.0 * step as f64;
        Self { value, slope: [(cos - value[0]) / by, (sin - value[1]) / by] }
    }

    /// The cubic through this point and the next with their slopes, a share of the way between them.
    fn towards(&self, next: &Self, share: f64) -> [f64; 2] {
        let rest = 1.0 - share;
        let (early, late) = (share * rest * rest, -share * share * rest);
        let weight = rest * rest * (1.0 + 2.0 * share);
        let at = |part: usize| {
            weight * self.value[part]
                + (1.0 - weight) * next.value[part]
                + early * self.slope[part]
                + late * next.slope[part]
        };
        [at(0), at(1)]
    }
}

/// Summed over as many nodes as its waves need.
fn summed(waves: f64) -> [f64; 2] {
    let nodes = Nodes::for_waves(waves);
    let turn = 2.0 * PI * waves;
    [nodes.integrate(1.0, |t| (turn * t * t).cos()), nodes.integrate(1.0, |t| (turn * t * t).sin())]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_fresnels_integral_as_a_library_has_it() {
        // scipy 1.17.1, special.fresnel: C(z)/z and S(z)/z with z = 2√u.
        const CUBIC: f64 = 4e-8;
        for (waves, real, imaginary) in [
            (0.0078, 0.999_759_840, 0.016_333_479),
            (0.1234, 0.941_534_098, 0.247_560_646),
            (0.5, 0.373_982_833, 0.504_854_594),
            (0.777, 0.183_591_691, 0.275_986_639),
            (1.93, 0.160_980_677, 0.143_533_697),
            (4.7018, 0.099_238_492, 0.120_609_994),
            (11.995, 0.071_931_503, 0.065_555_133),
            (15.3, 0.068_868_284, 0.065_495_143),
        ] {
            let [ours, other] = fresnel(waves);
            assert!(
                (ours - real).abs() < CUBIC && (other - imaginary).abs() < CUBIC,
                "{waves}: {ours} {other}"
            );
            let [mirrored, turned] = fresnel(-waves);
            assert!((mirrored - real).abs() < CUBIC && (turned + imaginary).abs() < CUBIC, "−{waves}");
        }
    }
}

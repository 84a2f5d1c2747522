use palette::encoding::{IntoLinear, Srgb};

/// Light between black (0) and full drive (1) for each of the 256 codes of one channel.
///
/// It starts at 0, ends at 1 and never falls.
#[derive(Clone, PartialEq)]
pub struct ToneCurve {
    light: [f64; 256],
}

/// Why measured steps are not a tone curve.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ToneError {
    /// Too few of them, or not from 0 to 255.
    #[error("the steps must run from code 0 to code 255, at least two of them")]
    Ends,
    /// Codes not ascending.
    #[error("code {0} does not come after the one before it: list the steps by ascending code")]
    Order(f64),
    /// A code that is no 8-bit code.
    #[error("code {0} is not a whole number from 0 to 255")]
    Code(f64),
    /// Luminances that fall.
    #[error("{luminance} cd/m² at code {code} is not above the step before it: measure that step again")]
    Falls {
        /// The code at which they fall.
        code: f64,
        /// The luminance there in cd/m².
        luminance: f64,
    },
}

impl ToneCurve {
    /// The curve of IEC 61966-2-1.
    ///
    /// ```
    /// # use evenfield::light::ToneCurve;
    /// assert!((ToneCurve::srgb().light(188) - 0.502_886).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn srgb() -> Self {
        Self::tabulate(<Srgb as IntoLinear<f64, f64>>::into_linear)
    }

    /// A pure power of the code; `gamma` between 1 and 4.
    #[must_use]
    pub fn gamma(gamma: f64) -> Self {
        Self::tabulate(|drive| drive.powf(gamma))
    }

    fn tabulate(light: impl Fn(f64) -> f64) -> Self {
        let mut table = [0.0; 256];
        for (code, entry) in (0_u8..=255).zip(&mut table) {
            *entry = light(f64::from(code) / 255.0);
        }
        Self { light: table }
    }

    /// The curve through measured steps of code and luminance (cd/m²), black included.
    ///
    /// Between the steps it is the monotone cubic of Fritsch and Carlson, which cannot overshoot.
    ///
    /// # Errors
    /// Where the steps are not ascending from code 0 to code 255.
    pub fn steps(steps: &[[f64; 2]]) -> Result<Self, ToneError> {
        check_steps(steps)?;
        let (black, full) = (steps[0][1], steps[steps.len() - 1][1]);
        let slopes = monotone_slopes(steps);
        let mut table = [0.0; 256];
        let mut piece = 0;
        for (code, entry) in (0_u8..=255).map(f64::from).zip(&mut table) {
            while code > steps[piece + 1][0] {
                piece += 1;
            }
            let luminance = hermite(&steps[piece..piece + 2], &slopes[piece..piece + 2], code);
            *entry = (luminance - black) / (full - black);
        }
        Ok(Self { light: table })
    }

    /// Light at a code, from 0 to 1.
    #[must_use]
    pub fn light(&self, code: u8) -> f64 {
        self.light[usize::from(code)]
    }

    /// The code whose light is nearest to `light`.
    #[must_use]
    pub fn nearest_code(&self, light: f64) -> u8 {
        let above = self.light.partition_point(|entry| *entry < light).min(255);
        let below = above.saturating_sub(1);
        let nearer = if light - self.light[below] < self.light[above] - light { below } else { above };
        u8::try_from(nearer).unwrap_or(u8::MAX)
    }
}

impl std::fmt::Debug for ToneCurve {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "tone curve with {:.4} at code 128", self.light(128))
    }
}

#[allow(clippy::float_cmp, reason = "codes are whole numbers, which a float holds exactly")]
fn check_steps(steps: &[[f64; 2]]) -> Result<(), ToneError> {
    if let Some([code, _]) =
        steps.iter().find(|[code, _]| code.fract() != 0.0 || !(0.0..=255.0).contains(code))
    {
        return Err(ToneError::Code(*code));
    }
    for pair in steps.windows(2) {
        let ([code, luminance], [next, higher]) = (pair[0], pair[1]);
        if next <= code {
            return Err(ToneError::Order(next));
        }
        if !(higher > luminance && higher.is_finite()) {
            return Err(ToneError::Falls { code: next, luminance: higher });
        }
    }
    let ends = steps.len() >= 2 && steps[0][0] == 0.0 && steps[steps.len() - 1][0] == 255.0;
    if ends { Ok(()) } else { Err(ToneError::Ends) }
}

/// Slopes by Fritsch & Carlson 1980 in the harmonic-mean form, which keeps a rising curve rising.
fn monotone_slopes(steps: &[[f64; 2]]) -> Vec<f64> {
    let secant = |pair: &[[f64; 2]]| (pair[1][1] - pair[0][1]) / (pair[1][0] - pair[0][0]);
    let secants: Vec<f64> = steps.windows(2).map(secant).collect();
    let inner = secants.windows(2).map(|pair| 2.0 * pair[0] * pair[1] / (pair[0] + pair[1]));
    let (first, last) = (secants[0], secants[secants.len() - 1]);
    std::iter::once(first).chain(inner).chain(std::iter::once(last)).collect()
}

/// The cubic between two points with the slopes there.
fn hermite(points: &[[f64; 2]], slopes: &[f64], x: f64) -> f64 {
    let ([x0, y0], [x1, y1]) = (points[0], points[1]);
    let width = x1 - x0;
    let t = (x - x0) / width;
    let (t2, t3) = (t * t, t * t * t);
    y0 * (2.0 * t3 - 3.0 * t2 + 1.0)
        + slopes[0] * width * (t3 - 2.0 * t2 + t)
        + y1 * (3.0 * t2 - 2.0 * t3)
        + slopes[1] * width * (t3 - t2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_code_undoes_the_light_of_every_code() {
        for curve in [ToneCurve::srgb(), ToneCurve::gamma(2.2)] {
            for code in 0..=255 {
                assert_eq!(curve.nearest_code(curve.light(code)), code);
            }
        }
    }

    #[test]
    fn a_gamma_curve_measured_in_17_steps_is_found_again() {
        let truth = ToneCurve::gamma(2.4);
        let steps: Vec<[f64; 2]> =
            (0..=255_u8).step_by(15).map(|code| [f64::from(code), 0.3 + 249.7 * truth.light(code)]).collect();
        let curve = ToneCurve::steps(&steps).unwrap();
        // The harmonic-mean slopes are second-order accurate; 17 steps leave under 0.1 % of full drive.
        let worst = (0..=255).map(|code| (curve.light(code) - truth.light(code)).abs()).fold(0.0, f64::max);
        assert!(worst < 1e-3, "off by {worst} of full drive");
    }

    #[test]
    fn steps_that_are_no_curve_are_refused() {
        let refused = |steps: &[[f64; 2]]| ToneCurve::steps(steps).unwrap_err();
        assert_eq!(refused(&[]), ToneError::Ends);
        assert_eq!(refused(&[[0.0, 0.1], [128.0, 60.0]]), ToneError::Ends);
        assert_eq!(refused(&[[0.0, 0.1], [0.0, 1.0], [255.0, 60.0]]), ToneError::Order(0.0));
        assert_eq!(refused(&[[0.0, 0.1], [0.5, 1.0], [255.0, 60.0]]), ToneError::Code(0.5));
        let falls = ToneError::Falls { code: 255.0, luminance: 1.0 };
        assert_eq!(refused(&[[0.0, 0.1], [128.0, 60.0], [255.0, 1.0]]), falls);
        assert!(ToneCurve::steps(&[[0.0, 0.1], [255.0, f64::NAN]]).is_err());
    }
}

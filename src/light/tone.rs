//! Tone curves: the light of each code as a share of full drive.
//!
//! A screen turns a code into light by a curve that is never straight. Blending, matching and the light of every code go through
//! it, and the way back picks the nearest code: there is no code between two.

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
    /// A code that is not a whole number from 0 to 255.
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
    /// The curve of [IEC 61966-2-1](crate::bibliography::IEC_61966_2_1).
    ///
    /// ```
    /// # use evenfield::light::ToneCurve;
    /// // Worked by hand: ((188/255 + 0.055)/1.055)^2.4.
    /// const LAST_DIGIT: f64 = 1e-6;
    /// assert!((ToneCurve::srgb().light(188) - 0.502_886).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn srgb() -> Self {
        Self::tabulate(<Srgb as IntoLinear<f64, f64>>::into_linear)
    }

    /// A pure power of the code; `gamma` between 1 and 4.
    ///
    /// ```
    /// # use evenfield::light::ToneCurve;
    /// // Worked by hand: 128/255 is 0.501961, whose 2.2th power is 0.219520.
    /// const LAST_DIGIT: f64 = 1e-6;
    /// assert!((ToneCurve::gamma(2.2).light(128) - 0.219_520).abs() < LAST_DIGIT);
    /// ```
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
    /// Between the steps it is a [monotone cubic](crate::bibliography::FRITSCH_BUTLAND_1984), which cannot overshoot.
    ///
    /// Only the shape of the steps counts: black is taken off and full drive is 1, so that the luminances of a room file and
    /// its steps may come from two sessions of metering. Code 0 and code 255 must be among them.
    ///
    /// ```
    /// # use evenfield::light::ToneCurve;
    /// // Worked by hand: between two steps alone the curve is straight, and 51 is a fifth of 255.
    /// const BINARY_DUST: f64 = 1e-12;
    /// let straight = ToneCurve::steps(&[[0.0, 0.3], [255.0, 250.0]])?;
    /// assert!((straight.light(51) - 0.2).abs() < BINARY_DUST);
    /// # Ok::<(), evenfield::light::ToneError>(())
    /// ```
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
    ///
    /// Beyond the ends it is 0 or 255. The error is half a step: on the sRGB curve about 0.8 % of the light near code 145.
    ///
    /// ```
    /// # use evenfield::light::ToneCurve;
    /// // By the formula of IEC 61966-2-1 code 187 has 0.49693 of full light and 188 has 0.50289: the latter is nearer to half.
    /// assert_eq!(ToneCurve::srgb().nearest_code(0.5), 188);
    /// assert_eq!(ToneCurve::srgb().nearest_code(2.0), 255);
    /// ```
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

/// Slopes by [Fritsch & Butland](crate::bibliography::FRITSCH_BUTLAND_1984): within, the harmonic mean of the secants
/// beside a step, weighted by their widths, which keeps a rising curve rising; at an end, the parabola through the
/// three steps there, kept from 0 to three times the secant.
fn monotone_slopes(steps: &[[f64; 2]]) -> Vec<f64> {
    let widths: Vec<f64> = steps.windows(2).map(|pair| pair[1][0] - pair[0][0]).collect();
    let secants: Vec<f64> =
        steps.windows(2).zip(&widths).map(|(pair, width)| (pair[1][1] - pair[0][1]) / width).collect();
    let inner = widths.windows(2).zip(secants.windows(2)).map(|(width, secant)| {
        let (before, after) = (2.0 * width[1] + width[0], width[1] + 2.0 * width[0]);
        (before + after) / (before / secant[0] + after / secant[1])
    });
    let last = secants.len() - 1;
    let end = |first: usize, second: Option<usize>| match second.and_then(|second| secants.get(second)) {
        None => secants[first],
        Some(next) => {
            let (near, far) = (widths[first], widths[second.unwrap_or(first)]);
            let slope = ((2.0 * near + far) * secants[first] - near * next) / (near + far);
            slope.clamp(0.0, 3.0 * secants[first])
        }
    };
    let (first, last) = (end(0, Some(1)), end(last, last.checked_sub(1)));
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
        // The slopes are second-order accurate; 17 steps leave under 0.1 % of full drive.
        let worst = (0..=255).map(|code| (curve.light(code) - truth.light(code)).abs()).fold(0.0, f64::max);
        assert!(worst < 1e-3, "off by {worst} of full drive");
    }

    #[test]
    fn between_steps_the_curve_is_that_of_an_independent_library() {
        // scipy 1.17.1, PchipInterpolator, which names Fritsch & Butland 1984.
        let steps = [
            [0.0, 0.3],
            [16.0, 1.1],
            [40.0, 5.0],
            [96.0, 28.0],
            [128.0, 55.0],
            [200.0, 141.0],
            [255.0, 250.0],
        ];
        let curve = ToneCurve::steps(&steps).unwrap();
        for (code, luminance) in [
            (4, 0.380_852_272_727),
            (16, 1.1),
            (30, 2.963_376_850_307),
            (70, 14.897_649_876_366),
            (110, 38.174_961_740_011),
            (160, 88.510_377_905_897),
            (230, 194.976_480_532_250),
            (250, 238.485_746_121_223),
        ] {
            let light = 0.3 + 249.7 * curve.light(code);
            assert!((light - luminance).abs() < 1e-9, "code {code}: {light}, scipy {luminance}");
        }
        assert!((ToneCurve::steps(&[[0.0, 0.0], [255.0, 1.0]]).unwrap().light(51) - 0.2).abs() < 1e-12);
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

    #[test]
    fn the_nearer_of_two_codes_is_taken_and_level_steps_are_refused() {
        // A straight curve, on which code 128 has 128/255 = 0.50196 of full light.
        let curve = ToneCurve::steps(&[[0.0, 0.0], [255.0, 255.0]]).unwrap();
        assert_eq!(curve.nearest_code(64.4 / 255.0), 64);
        assert_eq!(curve.nearest_code(64.6 / 255.0), 65);
        let level = ToneError::Falls { code: 128.0, luminance: 0.1 };
        assert_eq!(ToneCurve::steps(&[[0.0, 0.1], [128.0, 0.1], [255.0, 60.0]]).unwrap_err(), level);
        assert_eq!(format!("{curve:?}"), "tone curve with 0.5020 at code 128");
    }
}

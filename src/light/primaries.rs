//! Red, green and blue, and where a screen's lie in the CIE 1931 diagram.

use palette::{FromColor, LinSrgb, Xyz};

/// One of the three primaries of a screen; its number is the place of its code in a pixel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Channel {
    /// The red primary.
    Red = 0,
    /// The green primary.
    Green = 1,
    /// The blue primary.
    Blue = 2,
}

impl Channel {
    /// All three in the order of a pixel's codes.
    pub const ALL: [Self; 3] = [Self::Red, Self::Green, Self::Blue];

    /// Its place in a pixel.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Its name in room files and findings.
    #[must_use]
    pub const fn name(self) -> &'static str {
        ["red", "green", "blue"][self.index()]
    }
}

/// The shares of white's luminance that three primaries have, by their CIE 1931 chromaticities and that of white: the
/// usual matrix, whose columns are the primaries' (x/y, 1, (1 − x − y)/y), solved for the white's. None where the
/// primaries lie on one line or a chromaticity has no luminance; a share under zero is a white outside their triangle.
///
/// ```
/// # use evenfield::light::luminance_weights;
/// // ITU-R BT.709 with the white of D65: 0.2126, 0.7152, 0.0722.
/// let [red, ..] = luminance_weights([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]], [0.3127, 0.3290]).unwrap();
/// const HALF_A_DIGIT: f64 = 5e-5;
/// assert!((red - 0.2126).abs() < HALF_A_DIGIT);
/// ```
#[must_use]
pub fn luminance_weights(primaries: [[f64; 2]; 3], white: [f64; 2]) -> Option<[f64; 3]> {
    let per_luminance = |[x, y]: [f64; 2]| [x / y, 1.0, (1.0 - x - y) / y];
    let [red, green, blue] = primaries.map(per_luminance);
    let white = per_luminance(white);
    let all = determinant([red, green, blue]);
    let shares = [[white, green, blue], [red, white, blue], [red, green, white]]
        .map(|columns| determinant(columns) / all);
    shares.iter().all(|share| share.is_finite()).then_some(shares)
}

/// The determinant of a matrix, given by its columns.
fn determinant([a, b, c]: [[f64; 3]; 3]) -> f64 {
    a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
        + a[2] * (b[0] * c[1] - b[1] * c[0])
}

/// The share of white's luminance that this primary has on an sRGB screen (IEC 61966-2-1): 0.2126, 0.7152, 0.0722.
///
/// ```
/// # use evenfield::light::{Channel, srgb_weight};
/// const HALF_A_DIGIT: f64 = 5e-5;
/// assert!((srgb_weight(Channel::Green) - 0.7152).abs() < HALF_A_DIGIT);
/// ```
#[must_use]
pub fn srgb_weight(channel: Channel) -> f64 {
    let mut drive = [0.0; 3];
    drive[channel.index()] = 1.0;
    Xyz::from_color(LinSrgb::from(drive)).y
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_determinant_is_that_of_textbooks() {
        // By hand: 2·(11·23 − 13·19) − 3·(7·23 − 13·17) + 5·(7·19 − 11·17) = 12 + 180 − 270.
        const BINARY_DUST: f64 = 1e-12;
        let columns = [[2.0, 3.0, 5.0], [7.0, 11.0, 13.0], [17.0, 19.0, 23.0]];
        assert!((determinant(columns) + 78.0).abs() < BINARY_DUST);
    }
}

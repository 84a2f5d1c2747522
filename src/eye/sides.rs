//! The lights of red, green and white fields.
//!
//! Everything that the eye's optics need to know of a screen: three bands and three shares.

use crate::light::{Bands, Channel};
use crate::room::{Display, Spectra};

/// The lights of a chart's fields: the bands of red, green and blue, and the share of white's luminance that each has.
///
/// White counts by luminance, so blue has little share in it, however blue its light.
#[derive(Debug, Clone, PartialEq)]
pub struct Sides {
    /// Of red.
    pub red: Bands,
    /// Of green.
    pub green: Bands,
    /// Of blue.
    pub blue: Bands,
    /// The shares of red, green and blue in the luminance of white, together 1.
    pub white: [f64; 3],
}

impl Sides {
    /// The lights of a screen's primaries; white is that of these neutral codes, black left out.
    ///
    /// ```
    /// # use evenfield::{eye::Sides, room::{Display, ScreenKind}};
    /// // The weights of IEC 61966-2-1, which an unmeasured screen is assumed to have, whatever the brightness of white.
    /// // The conversion that computes them takes D65 with other last digits.
    /// const ONE_IN_THE_LAST_DIGIT: f64 = 1e-4;
    /// let sides = Sides::of(&ScreenKind::BroadLcd.spectra(), &Display::assumed(), [255; 3]);
    /// for (share, printed) in sides.white.into_iter().zip([0.2126, 0.7152, 0.0722]) {
    ///     assert!((share - printed).abs() < ONE_IN_THE_LAST_DIGIT);
    /// }
    /// ```
    #[must_use]
    pub fn of(spectra: &Spectra, display: &Display, white: [u8; 3]) -> Self {
        let light = Channel::ALL.map(|channel| {
            let mut codes = [0; 3];
            codes[channel.index()] = white[channel.index()];
            (display.luminance(codes) - display.black()).to_cd_m2()
        });
        let total: f64 = light.iter().sum();
        let [red, green, blue] = [&spectra.red, &spectra.green, &spectra.blue].map(Bands::of);
        Self { red, green, blue, white: light.map(|light| light / total) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::room::{Room, ScreenKind};

    #[test]
    fn a_screens_black_has_no_share_in_white() {
        const BINARY_DUST: f64 = 1e-12;
        let room = Room::demo();
        let display = &room.display;
        assert!(display.black().to_cd_m2() > 0.0);
        let sides = Sides::of(&ScreenKind::BroadLcd.spectra(), display, [255; 3]);
        let above = |codes: [u8; 3]| (display.luminance(codes) - display.black()).to_cd_m2();
        // Light adds up, so a primary's share is its own light over white's, black left out of both.
        for (share, codes) in sides.white.into_iter().zip([[255, 0, 0], [0, 255, 0], [0, 0, 255]]) {
            assert!((share - above(codes) / above([255; 3])).abs() < BINARY_DUST);
        }
        assert!((sides.white.iter().sum::<f64>() - 1.0).abs() < BINARY_DUST);
    }
}

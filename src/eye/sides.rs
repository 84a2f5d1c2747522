//! The lights of red, green and white fields.

use crate::light::{Bands, Channel};
use crate::room::{Display, Spectra};

/// The lights of a chart's fields: the bands of red, green and blue, and the share of white's luminance that each has.
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

//! Edges blended in linear light: which code a pixel takes that is covered in part.

use image::Rgb;

use crate::light::Channel;
use crate::room::Display;
use crate::scene::Paint;

/// Lays a paint over pixels in linear light.
pub(super) struct Blend<'a> {
    display: &'a Display,
    over: Rgb<u8>,
}

impl<'a> Blend<'a> {
    pub(super) const fn new(display: &'a Display, over: Paint) -> Self {
        Self { display, over: Rgb(over.codes) }
    }

    /// The paint itself.
    pub(super) const fn paint(&self) -> Rgb<u8> {
        self.over
    }

    /// The codes whose light is nearest to the mixture's; `coverage` is the paint's share of the pixel, 0 to 1.
    ///
    /// One code of light is the error: at the field's edge about 1.5 % of its light, so 0.015 of a pixel at the most.
    pub(super) fn over(&self, under: Rgb<u8>, coverage: f64) -> Rgb<u8> {
        Rgb(Channel::ALL.map(|channel| {
            let tone = self.display.tone(channel);
            let light = |pixel: Rgb<u8>| tone.light(pixel.0[channel.index()]);
            tone.nearest_code(light(under) * (1.0 - coverage) + light(self.over) * coverage)
        }))
    }
}

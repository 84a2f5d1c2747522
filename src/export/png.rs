//! PNG with exactly the screen's pixels.
//!
//! Three things keep the codes what they are on the way to the screen. The colour tag ([`ColourChunk`]) is the screen's own or
//! none, since a wrong one lets a viewer change the fields. The number of pixels a metre is the screen's, so that other programs
//! show the picture at its size. And nothing is interlaced, see-through or of another depth than eight bits.

use std::borrow::Cow;

use image::RgbImage;
use png::{
    BitDepth, ColorType, Compression, Encoder, EncodingError, Info, PixelDimensions, SrgbRenderingIntent,
    Unit,
};

use crate::quantity::Length;
use crate::scene::Metadata;

/// What the file says of its colours.
///
/// Choose by what the *screen* is, not by what the picture was made with: a program that obeys the tag converts from it to the
/// screen, and only where both are the same do the codes stay.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ColourChunk<'a> {
    /// The screen follows IEC 61966-2-1.
    Srgb,
    /// The screen has this ICC profile.
    Profile(&'a [u8]),
    /// No colour tag: the codes are the device's own.
    Device,
}

/// The file's bytes. The same input gives the same bytes.
///
/// `pitch` is the size of a pixel, across and down, which becomes the file's pixels a metre; `metadata` its title, description and
/// JSON, as text that other programs keep.
///
/// # Errors
/// Only where the encoder refuses, which no legal picture makes it do.
pub fn encode(
    image: &RgbImage,
    pitch: [Length; 2],
    colour: &ColourChunk<'_>,
    metadata: &Metadata,
) -> Result<Vec<u8>, EncodingError> {
    encode_played(&[image], 0, pitch, colour, metadata)
}

/// An animated PNG of pictures of one size. It plays once and shows each for the same number of milliseconds; a viewer
/// that does not play it shows the first.
///
/// # Errors
/// Only where the encoder refuses, which no legal pictures of one size make it do.
pub fn encode_played(
    images: &[&RgbImage],
    milliseconds: u16,
    pitch: [Length; 2],
    colour: &ColourChunk<'_>,
    metadata: &Metadata,
) -> Result<Vec<u8>, EncodingError> {
    let image = images[0];
    let mut info = Info::with_size(image.width(), image.height());
    info.color_type = ColorType::Rgb;
    info.bit_depth = BitDepth::Eight;
    info.pixel_dims = Some(PixelDimensions {
        xppu: pixels_a_metre(pitch[0]),
        yppu: pixels_a_metre(pitch[1]),
        unit: Unit::Meter,
    });
    if let ColourChunk::Profile(profile) = colour {
        info.icc_profile = Some(Cow::Borrowed(profile));
    }
    let mut bytes = Vec::new();
    let mut encoder = Encoder::with_info(&mut bytes, info)?;
    if *colour == ColourChunk::Srgb {
        encoder.set_source_srgb(SrgbRenderingIntent::RelativeColorimetric);
    }
    encoder.set_compression(Compression::Balanced);
    encoder.add_itxt_chunk("Title".into(), metadata.title.clone())?;
    encoder.add_itxt_chunk("Description".into(), metadata.description.clone())?;
    if !metadata.json.is_empty() {
        encoder.add_itxt_chunk(crate::METADATA_KEY.into(), metadata.json.clone())?;
    }
    let count = u32::try_from(images.len()).unwrap_or(u32::MAX);
    if count > 1 {
        encoder.set_animated(count, 1)?;
        encoder.set_frame_delay(milliseconds, 1000)?;
    }
    let mut writer = encoder.write_header()?;
    for image in images {
        writer.write_image_data(image)?;
    }
    writer.finish()?;
    Ok(bytes)
}

/// PNG counts whole pixels a metre; for a screen's pitch that is off by 0.04 % at the most.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a screen has 100 to 100 000 pixels a metre"
)]
fn pixels_a_metre(pitch: Length) -> u32 {
    (1.0 / pitch.to_m()).round() as u32
}

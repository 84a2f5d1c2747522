//! Pixels that stand within a file of another format, packed as PNG packs them.

use image::RgbImage;

/// Bytes of a PNG before its first chunk, and of a chunk's length and name.
const SIGNATURE: usize = 8;
const CHUNK_HEAD: usize = 8;

/// Bytes of a chunk's check sum.
const CHUNK_SUM: usize = 4;

/// A PNG of the pixels alone, untagged.
pub(super) fn png(pixels: &RgbImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, pixels.width(), pixels.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_compression(png::Compression::Balanced);
    let written = encoder.write_header().and_then(|mut writer| writer.write_image_data(pixels));
    written.expect("an image has as many bytes as its size says, and memory takes them");
    bytes
}

/// What such a PNG holds of the pixels: filtered rows in a zlib stream, which a PDF takes as they are.
pub(super) fn filtered(pixels: &RgbImage) -> Vec<u8> {
    let png = png(pixels);
    let (mut rest, mut data) = (&png[SIGNATURE..], Vec::new());
    while let Some((head, after)) = rest.split_at_checked(CHUNK_HEAD) {
        let (length, name) = head.split_at(4);
        let length = length.iter().fold(0, |length, byte| length << 8 | usize::from(*byte));
        if name == b"IDAT" {
            data.extend_from_slice(&after[..length]);
        }
        rest = &after[length + CHUNK_SUM..];
    }
    data
}

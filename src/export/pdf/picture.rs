use std::sync::Arc;

use image::RgbImage;
use miniz_oxide::deflate::compress_to_vec_zlib;
use pdf_writer::types::Predictor;
use pdf_writer::writers::Resources;
use pdf_writer::{Content, Filter, Name, Pdf, Ref};

use super::single;
use crate::scene::{Geometry, Image, Scene};

/// How hard pictures are packed, of 0 to 10: they are most of a file.
const COMPRESSION: u8 = 9;

/// Bytes from a pixel to the next.
const PIXEL: usize = 3;

/// The pictures of some pages in the order of their first use; what shows the same is kept once.
#[derive(Default)]
pub(super) struct Pictures {
    kept: Vec<Arc<RgbImage>>,
}

fn name(index: usize) -> String {
    format!("picture{index}")
}

impl Pictures {
    /// Shows a picture at its place on a page in millimetres from the upper left corner.
    pub(super) fn show(&mut self, content: &mut Content, image: &Image) {
        let index = self.kept.iter().position(|kept| *kept == image.pixels).unwrap_or_else(|| {
            self.kept.push(Arc::clone(&image.pixels));
            self.kept.len() - 1
        });
        // A picture is one unit wide and stands upward in a page whose places count downward.
        let place = image.place;
        let matrix = [place.width(), 0.0, 0.0, -place.height(), place.x0, place.y1].map(single);
        content.save_state().transform(matrix).x_object(Name(name(index).as_bytes())).restore_state();
    }

    /// Writes them all; `next` hands out object numbers.
    pub(super) fn write(&self, pdf: &mut Pdf, next: &mut impl FnMut() -> Ref) -> Vec<Ref> {
        let write = |pixels: &Arc<RgbImage>| {
            let number = next();
            let side = |pixels: u32| i32::try_from(pixels).unwrap_or(i32::MAX);
            let [width, height] = [pixels.width(), pixels.height()].map(side);
            let packed = compress_to_vec_zlib(&predicted(pixels), COMPRESSION);
            let mut picture = pdf.image_xobject(number, &packed);
            picture.width(width).height(height).bits_per_component(8).color_space().device_rgb();
            picture.filter(Filter::FlateDecode);
            picture.decode_parms().predictor(Predictor::PngOptimum).colors(3).columns(width);
            number
        };
        self.kept.iter().map(write).collect()
    }

    /// Those that a page shows, of the written ones.
    pub(super) fn on(&self, page: &Scene, written: &[Ref]) -> Vec<(usize, Ref)> {
        let shown = |kept: &Arc<RgbImage>| {
            page.shapes.iter().any(|shape| match &shape.geometry {
                Geometry::Image(image) => image.pixels == *kept,
                Geometry::Rect(_) | Geometry::Path(_) | Geometry::Line(_) | Geometry::Text(_) => false,
            })
        };
        let all = self.kept.iter().zip(written).enumerate();
        all.filter(|(_, (kept, _))| shown(kept)).map(|(index, (_, number))| (index, *number)).collect()
    }
}

/// Names pictures on a page.
pub(super) fn name_all(shown: &[(usize, Ref)], resources: &mut Resources<'_>) {
    if shown.is_empty() {
        return;
    }
    let mut named = resources.x_objects();
    for (index, number) in shown {
        named.pair(Name(name(*index).as_bytes()), *number);
    }
}

/// Rows as differences from the pixel before or above, each after the number of its filter in PNG.
fn predicted(pixels: &RgbImage) -> Vec<u8> {
    let width = PIXEL * pixels.width() as usize;
    let mut above = vec![0; width];
    let mut bytes = Vec::with_capacity(pixels.len() + pixels.height() as usize);
    for row in pixels.chunks_exact(width.max(1)) {
        let before = |at: usize| if at < PIXEL { 0 } else { row[at - PIXEL] };
        let difference = |from: &dyn Fn(usize) -> u8| -> Vec<u8> {
            row.iter().enumerate().map(|(at, byte)| byte.wrapping_sub(from(at))).collect()
        };
        let corner = |at: usize| if at < PIXEL { 0 } else { above[at - PIXEL] };
        let filters = [
            (1, difference(&before)),
            (2, difference(&|at| above[at])),
            (4, difference(&|at| paeth(before(at), above[at], corner(at)))),
        ];
        // The usual guess: small differences pack well.
        let cost =
            |row: &[u8]| row.iter().map(|byte| u32::from(byte.cast_signed().unsigned_abs())).sum::<u32>();
        let best = filters.into_iter().min_by_key(|(_, row)| cost(row));
        if let Some((number, row)) = best {
            bytes.push(number);
            bytes.extend(row);
        }
        above.copy_from_slice(row);
    }
    bytes
}

/// Of left, above and the corner between them the one that is nearest to left + above − corner; ties in this order.
fn paeth(left: u8, above: u8, corner: u8) -> u8 {
    let sum = i16::from(left) + i16::from(above) - i16::from(corner);
    let off = |byte: u8| (sum - i16::from(byte)).abs();
    if off(left) <= off(above) && off(left) <= off(corner) {
        left
    } else if off(above) <= off(corner) {
        above
    } else {
        corner
    }
}

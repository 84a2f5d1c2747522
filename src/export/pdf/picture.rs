//! The pictures of a PDF, each kept once.
//!
//! They are packed without loss, with PNG's own row filters, which PDF's readers undo by name.

use std::sync::Arc;

use image::RgbImage;
use pdf_writer::types::Predictor;
use pdf_writer::writers::Resources;
use pdf_writer::{Content, Filter, Name, Pdf, Ref};

use super::super::pixels::filtered;
use super::single;
use crate::beside;
use crate::scene::{Geometry, Image, Scene};

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
        let all = beside::each(&self.kept, |pixels| filtered(pixels));
        let write = |(pixels, packed): (&Arc<RgbImage>, Vec<u8>)| {
            let number = next();
            let side = |pixels: u32| i32::try_from(pixels).unwrap_or(i32::MAX);
            let [width, height] = [pixels.width(), pixels.height()].map(side);
            let mut picture = pdf.image_xobject(number, &packed);
            picture.width(width).height(height).bits_per_component(8).color_space().device_rgb();
            picture.filter(Filter::FlateDecode);
            picture.decode_parms().predictor(Predictor::PngOptimum).colors(3).columns(width);
            number
        };
        self.kept.iter().zip(all).map(write).collect()
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

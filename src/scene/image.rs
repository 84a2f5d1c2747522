//! Pictures within a scene.

use std::sync::Arc;

use ::image::{RgbImage, imageops};
use kurbo::Rect;

/// Pixels that fill a rectangle along the picture's sides, such as a view. Never part of a chart: a check refuses it.
///
/// Their codes are those of sRGB, or of the screen that the scene is drawn for. Every pixel is a small rectangle of one
/// colour, however much the picture is enlarged.
#[derive(Debug, Clone)]
pub struct Image {
    /// Where it lies, in millimetres.
    pub place: Rect,
    /// What it shows; scenes that show the same may share it.
    pub pixels: Arc<RgbImage>,
}

impl Image {
    /// The same in a mirror: left and right exchanged, at another place.
    pub(super) fn mirrored_at(&self, place: Rect) -> Self {
        Self { place, pixels: Arc::new(imageops::flip_horizontal(&*self.pixels)) }
    }
}

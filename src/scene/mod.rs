//! What is drawn, in millimetres from the upper left corner of the picture: shapes and what paints them.
//!
//! A scene knows no file format and no pixels.

mod canvas;
mod image;
pub mod look;
mod metadata;
mod plot;
mod shape;
mod text;

pub use canvas::{Anchor, CARD_MM, Canvas, capital, fitted, wrapped};
pub use image::Image;
pub use metadata::Metadata;
pub use plot::{Axis, Curve, Plot, Series, Word};
pub use shape::{Geometry, Line, Paint, Shape};
pub use text::{Face, Glyph, Text};

use kurbo::Affine;

use crate::quantity::Length;

/// A picture to be drawn. Later shapes lie on earlier ones.
#[derive(Debug, Clone)]
pub struct Scene {
    /// Width and height.
    pub size: [Length; 2],
    /// What lies under everything.
    pub background: Paint,
    /// The shapes, in millimetres.
    pub shapes: Vec<Shape>,
    /// What it is, in words and for programs.
    pub metadata: Metadata,
}

impl Scene {
    /// The picture as a mirror shows it: left and right exchanged, all of it at once.
    #[must_use]
    pub fn mirrored(self) -> Self {
        let across = Affine::new([-1.0, 0.0, 0.0, 1.0, self.size[0].to_mm(), 0.0]);
        let shapes = self.shapes.into_iter().map(|shape| shape.moved(across)).collect();
        Self { shapes, ..self }
    }
}

//! What is drawn, in millimetres from the upper left corner of the picture: shapes and what paints them.
//!
//! A scene knows no file format and no pixels.
//!
//! Everything that this crate draws (charts, sheets, reports, plots, slides) is a [`Scene`] first: shapes in the order in which
//! they cover each other, each in one flat [`Paint`] of device codes. [`Canvas`] helps to build one, [`Plot`] draws curves on it,
//! and [`look`] has the colours and sizes of type that all pages share. Charts use neither canvas nor look.
//!
//! There is no transparency, no gradient and no clip: what a scene shows can be measured as areas.

mod canvas;
mod crowding;
mod image;
pub mod look;
mod metadata;
mod placing;
mod plot;
mod shape;
mod text;
mod text_block;

pub use canvas::{Anchor, CARD_MM, Canvas, fitted, run};
pub use crowding::Crowding;
pub use image::Image;
pub use metadata::Metadata;
pub use plot::{Axis, Curve, Plot, Series, Ticks, Word};
pub use shape::{Geometry, Line, Paint, Shape};
pub use text::{Face, Glyph, Text};
pub use text_block::TextBlock;

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
    ///
    /// ```
    /// # use evenfield::kurbo::Rect;
    /// # use evenfield::quantity::Length;
    /// # use evenfield::scene::{Geometry, Metadata, Paint, Scene, Shape};
    /// // Worked by hand: what lies from 0 to 1.5 of 3 mm lies from 1.5 to 3 in a mirror.
    /// # let black = Shape { geometry: Geometry::Rect(Rect::new(0.0, 0.0, 1.5, 1.0)), paint: Paint { codes: [0; 3] } };
    /// # let scene = Scene {
    /// #     size: [Length::mm(3.0), Length::mm(1.0)],
    /// #     background: Paint { codes: [255; 3] },
    /// #     shapes: vec![black],
    /// #     metadata: Metadata::default(),
    /// # };
    /// let mirrored = scene.mirrored();
    /// let Geometry::Rect(rect) = &mirrored.shapes[0].geometry else { panic!("a rectangle stays one") };
    /// assert_eq!(*rect, Rect::new(1.5, 0.0, 3.0, 1.0));
    /// ```
    #[must_use]
    pub fn mirrored(self) -> Self {
        let width = self.size[0];
        let shapes = self.shapes.into_iter().map(|shape| shape.mirrored(width)).collect();
        Self { shapes, ..self }
    }

    /// The picture so wide on another page, without its ground: shapes from its upper left corner on, all places in millimetres.
    ///
    /// ```
    /// # use evenfield::kurbo::Rect;
    /// # use evenfield::quantity::Length;
    /// # use evenfield::scene::{Geometry, Metadata, Paint, Scene, Shape};
    /// // Worked by hand: at half its size what lies from 2 to 4 mm lies from 1 to 2, and 10 farther right.
    /// # let black = Shape { geometry: Geometry::Rect(Rect::new(2.0, 0.0, 4.0, 1.0)), paint: Paint { codes: [0; 3] } };
    /// # let scene = Scene {
    /// #     size: [Length::mm(6.0), Length::mm(3.0)],
    /// #     background: Paint { codes: [255; 3] },
    /// #     shapes: vec![black],
    /// #     metadata: Metadata::default(),
    /// # };
    /// let small = scene.placed([10.0, 20.0], 3.0);
    /// let rects = small.iter().map(|shape| match &shape.geometry {
    ///     Geometry::Rect(rect) => *rect,
    ///     _ => panic!("a rectangle stays one"),
    /// });
    /// assert_eq!(rects.collect::<Vec<_>>(), [Rect::new(11.0, 20.0, 12.0, 20.5)]);
    /// ```
    #[must_use]
    pub fn placed(&self, [left, top]: [f64; 2], width: f64) -> Vec<Shape> {
        let by = Affine::translate((left, top)) * Affine::scale(width / self.size[0].to_mm());
        self.shapes.iter().map(|shape| shape.clone().moved(by)).collect()
    }
}

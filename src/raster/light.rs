//! A picture as light in each channel, before it becomes codes.
//!
//! The codes of a picture are for a screen; an eye's optics add up light. So a view starts from a [`Light`], is blurred as one,
//! and becomes codes only when it is shown.

use kurbo::{Affine, Rect};

use super::coverage::{self, Mask};
use super::picture::{self, Lights};
use crate::light::Channel;
use crate::room::Display;
use crate::scene::{Geometry, Image, Paint, Scene};

/// A picture in light: the light of each channel at each pixel, from 0 (black) to 1 (full drive).
#[derive(Debug, Clone, PartialEq)]
pub struct Light {
    /// Pixels across.
    pub columns: usize,
    /// Pixels down.
    pub rows: usize,
    /// Red, green and blue, row by row.
    pub planes: [Vec<f64>; 3],
}

impl Light {
    /// A picture of one paint.
    pub(super) fn of(paint: Paint, [columns, rows]: [usize; 2], display: &Display) -> Self {
        Self { columns, rows, planes: lights(paint, display).map(|light| vec![light; columns * rows]) }
    }

    /// The mean of each channel.
    ///
    /// ```
    /// # use evenfield::kurbo::Rect;
    /// # use evenfield::quantity::Length;
    /// # use evenfield::room::Display;
    /// # use evenfield::scene::{Geometry, Metadata, Paint, Scene, Shape};
    /// use evenfield::raster;
    /// // Worked by hand: black over half of a white picture leaves half its light, however the pixels fall.
    /// # let black = Shape { geometry: Geometry::Rect(Rect::new(0.0, 0.0, 1.5, 1.0)), paint: Paint { codes: [0; 3] } };
    /// # let scene = Scene {
    /// #     size: [Length::mm(3.0), Length::mm(1.0)],
    /// #     background: Paint { codes: [255; 3] },
    /// #     shapes: vec![black],
    /// #     metadata: Metadata::default(),
    /// # };
    /// const SINGLE_PRECISION: f64 = 1e-6;
    /// for columns in [3, 4, 5] {
    ///     let light = raster::light(&scene, Rect::new(0.0, 0.0, 3.0, 1.0), [columns, 1], &Display::assumed());
    ///     assert!(light.mean().iter().all(|mean| (mean - 0.5).abs() < SINGLE_PRECISION));
    /// }
    /// ```
    #[must_use]
    pub fn mean(&self) -> [f64; 3] {
        [0, 1, 2].map(|channel: usize| {
            let plane = &self.planes[channel];
            plane.iter().sum::<f64>() / plane.len() as f64
        })
    }

    /// The device codes whose light is nearest.
    #[must_use]
    pub fn to_codes(&self, display: &Display) -> image::RgbImage {
        let [columns, rows] = [self.columns, self.rows].map(|count| u32::try_from(count).unwrap_or(u32::MAX));
        image::RgbImage::from_fn(columns, rows, |x, y| {
            let at = y as usize * self.columns + x as usize;
            image::Rgb(Channel::ALL.map(|channel| {
                display.tone(channel).nearest_code(self.planes[channel.index()][at].clamp(0.0, 1.0))
            }))
        })
    }

    fn lay(&mut self, at: usize, coverage: f64, lights: [f64; 3]) {
        for (plane, light) in self.planes.iter_mut().zip(lights) {
            plane[at] += (light - plane[at]) * coverage;
        }
    }
}

fn lights(paint: Paint, display: &Display) -> [f64; 3] {
    Channel::ALL.map(|channel| display.tone(channel).light(paint.codes[channel.index()]))
}

/// The light of a part of a scene on a grid of columns and rows: exact areas, without rounding to codes. The part is
/// given by its window in millimetres.
#[must_use]
pub fn light(scene: &Scene, window: Rect, pixels: [usize; 2], display: &Display) -> Light {
    let scale = [pixels[0] as f64 / window.width(), pixels[1] as f64 / window.height()];
    let moved = Affine::translate((-window.x0, -window.y0));
    let mut light = Light::of(scene.background, pixels, display);
    for shape in &scene.shapes {
        let lights = lights(shape.paint, display);
        let path = match &shape.geometry {
            Geometry::Rect(rect) => {
                let rect = moved.transform_rect_bbox(*rect);
                coverage::each_of_rect(rect, scale, pixels, |at, share| light.lay(at, share, lights));
                continue;
            }
            Geometry::Path(path) => moved * path.clone(),
            Geometry::Line(line) => moved * line.outline(),
            Geometry::Text(text) => moved * text.outline(),
            Geometry::Image(laid) => {
                let laid = Image { place: moved.transform_rect_bbox(laid.place), ..laid.clone() };
                let each = Lights::of(display);
                picture::each(&laid, scale, pixels, &each, |at, share, lights| light.lay(at, share, lights));
                continue;
            }
        };
        Mask::of(&path, scale).each(pixels, |at, share| light.lay(at, share, lights));
    }
    light
}

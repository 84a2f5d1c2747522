//! A scene as pixels: exact areas, blended in linear light.
//!
//! [`draw`] gives device codes, ready for a file; [`light`](fn@light) gives light, for what goes on to be calculated with, such
//! as a view through an eye. Both take areas exactly: a pixel gets the share of each shape that lies on it, as light, and only
//! the result is rounded to a code. Blending codes instead would move every edge, since a code of half the size has a fifth of
//! the light.
//!
//! What it cannot do: strokes of a line are areas like all others (no hinting), nothing is see-through, and shapes whose own
//! contours cross are summed and not united.

mod blend;
mod coverage;
mod light;
mod picture;

pub use light::{Light, light};

use image::{Rgb, RgbImage};

use blend::Blend;
use coverage::Mask;

use crate::room::Display;
use crate::scene::{Geometry, Scene};

/// Draws a scene on a picture of these columns and rows, which the scene fills exactly.
///
/// Each pixel gets the light of what covers it, by area, through the tone curves of `display`.
///
/// ```
/// # use evenfield::kurbo::Rect;
/// # use evenfield::quantity::Length;
/// # use evenfield::room::Display;
/// # use evenfield::scene::{Geometry, Metadata, Paint, Scene, Shape};
/// use evenfield::raster;
/// // Black over one pixel and a half of three white ones. Worked by hand: the half-covered one has half the light, which
/// // is nearest to code 188 on the sRGB curve (0.50289); a mean of codes would be 128 and a third too dark.
/// # let black = Shape { geometry: Geometry::Rect(Rect::new(0.0, 0.0, 1.5, 1.0)), paint: Paint { codes: [0; 3] } };
/// # let scene = Scene {
/// #     size: [Length::mm(3.0), Length::mm(1.0)],
/// #     background: Paint { codes: [255; 3] },
/// #     shapes: vec![black],
/// #     metadata: Metadata::default(),
/// # };
/// let picture = raster::draw(&scene, [3, 1], &Display::assumed());
/// assert_eq!([0, 1, 2].map(|x| picture.get_pixel(x, 0).0[1]), [0, 188, 255]);
/// ```
#[must_use]
pub fn draw(scene: &Scene, pixels: [u32; 2], display: &Display) -> RgbImage {
    let scale = [0, 1].map(|axis| f64::from(pixels[axis]) / scene.size[axis].to_mm());
    let mut image = RgbImage::from_pixel(pixels[0], pixels[1], Rgb(scene.background.codes));
    for shape in &scene.shapes {
        let mut blend = Blend::new(display, shape.paint);
        match &shape.geometry {
            Geometry::Rect(rect) => coverage::rect(&mut image, *rect, scale, &mut blend),
            Geometry::Path(path) => Mask::of(path, scale).paint(&mut image, &mut blend),
            Geometry::Line(line) => Mask::of(&line.outline(), scale).paint(&mut image, &mut blend),
            Geometry::Text(text) => Mask::of(&text.outline(), scale).paint(&mut image, &mut blend),
            Geometry::Image(laid) => picture::paint(&mut image, laid, scale, display),
        }
    }
    image
}

#[cfg(test)]
mod tests;

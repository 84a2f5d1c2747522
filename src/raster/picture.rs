//! A scene as pixels in device codes.
//!
//! A picture in a scene has pixels of its own, which seldom fall on those of the drawing: each pixel of the drawing gets the
//! mean light of what covers it, so that a reduced picture keeps its light.

use image::{Rgb, RgbImage};

use crate::light::Channel;
use crate::room::Display;
use crate::scene::Image;

/// The light of every code of every channel on a screen.
pub(super) struct Lights([Vec<f64>; 3]);

impl Lights {
    pub(super) fn of(display: &Display) -> Self {
        Self(Channel::ALL.map(|channel| {
            let tone = display.tone(channel);
            (0..=u8::MAX).map(|code| tone.light(code)).collect()
        }))
    }

    fn of_pixel(&self, pixel: Rgb<u8>) -> [f64; 3] {
        [0, 1, 2].map(|channel: usize| self.0[channel][usize::from(pixel.0[channel])])
    }
}

/// One pixel's share of a picture's row or column, and how much of it lies in one pixel of the drawing.
type Share = (u32, f64);

/// Which of `count` parts of a length from `from` to `to` lie in each of `pixels` pixels, and how much of the pixel each fills.
fn shares(from: f64, to: f64, count: u32, pixels: usize) -> Vec<Vec<Share>> {
    let part = (to - from) / f64::from(count);
    let mut all = vec![Vec::new(); pixels];
    for index in 0..count {
        let (start, end) = (from + part * f64::from(index), from + part * f64::from(index + 1));
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a place in a picture, at least nought"
        )]
        let (first, last) = (start.max(0.0) as usize, end.max(0.0).ceil() as usize);
        for (pixel, within) in all.iter_mut().enumerate().take(last).skip(first) {
            let share = end.min(pixel as f64 + 1.0) - start.max(pixel as f64);
            if share > 0.0 {
                within.push((index, share));
            }
        }
    }
    all
}

/// Gives the place, the covered share and the mean light of every pixel of a drawing that a picture touches.
pub(super) fn each(
    picture: &Image,
    scale: [f64; 2],
    [columns, rows]: [usize; 2],
    lights: &Lights,
    mut lay: impl FnMut(usize, f64, [f64; 3]),
) {
    let place = picture.place;
    let across = shares(place.x0 * scale[0], place.x1 * scale[0], picture.pixels.width(), columns);
    let down = shares(place.y0 * scale[1], place.y1 * scale[1], picture.pixels.height(), rows);
    for (y, rows) in down.iter().enumerate().filter(|(_, rows)| !rows.is_empty()) {
        for (x, columns) in across.iter().enumerate().filter(|(_, columns)| !columns.is_empty()) {
            let (mut covered, mut sum) = (0.0, [0.0; 3]);
            for (row, tall) in rows {
                for (column, wide) in columns {
                    let light = lights.of_pixel(*picture.pixels.get_pixel(*column, *row));
                    let share = tall * wide;
                    covered += share;
                    sum = [0, 1, 2].map(|channel: usize| sum[channel] + share * light[channel]);
                }
            }
            if covered > 0.0 {
                lay(y * across.len() + x, covered.min(1.0), sum.map(|light| light / covered));
            }
        }
    }
}

/// Lays a picture over a drawing, both in light.
pub(super) fn paint(image: &mut RgbImage, picture: &Image, scale: [f64; 2], display: &Display) {
    let lights = Lights::of(display);
    let size = [image.width(), image.height()].map(|side| side as usize);
    let pixels: &mut [u8] = image;
    each(picture, scale, size, &lights, |at, covered, light| {
        let pixel = &mut pixels[3 * at..3 * at + 3];
        let under = lights.of_pixel(Rgb([pixel[0], pixel[1], pixel[2]]));
        for channel in Channel::ALL {
            let index = channel.index();
            let mixed = under[index] * (1.0 - covered) + light[index] * covered;
            pixel[index] = display.tone(channel).nearest_code(mixed);
        }
    });
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use kurbo::Rect;

    use super::*;
    use crate::quantity::Length;
    use crate::raster;
    use crate::scene::{Geometry, Metadata, Paint, Scene, Shape};

    fn scene(place: Rect) -> Scene {
        let pixels = RgbImage::from_fn(4, 3, |x, y| {
            let [red, green] = [x * 80, y * 120].map(|code| u8::try_from(code).unwrap());
            Rgb([red, green, 7])
        });
        let picture = Image { place, pixels: Arc::new(pixels) };
        let paint = Paint { codes: [0; 3] };
        Scene {
            size: [Length::mm(8.0), Length::mm(5.0)],
            background: Paint { codes: [255; 3] },
            shapes: vec![Shape { geometry: Geometry::Image(picture), paint }],
            metadata: Metadata::default(),
        }
    }

    #[test]
    fn pixel_for_pixel_every_code_is_kept_and_nothing_beside_it_is_touched() {
        let drawn = raster::draw(&scene(Rect::new(2.0, 1.0, 6.0, 4.0)), [8, 5], &Display::assumed());
        for (x, y, pixel) in drawn.enumerate_pixels() {
            let within = (2..6).contains(&x) && (1..4).contains(&y);
            let code = |place: u32, by: u32| u8::try_from(place * by).unwrap();
            let wanted = if within { [code(x - 2, 80), code(y - 1, 120), 7] } else { [255; 3] };
            assert_eq!(pixel.0, wanted, "{x}, {y}");
        }
    }

    #[test]
    fn reduced_it_is_averaged_in_light_and_half_a_pixel_is_half_covered() {
        let display = Display::assumed();
        // All of the picture on one pixel, and half of another that is white.
        let drawn = raster::draw(&scene(Rect::new(0.0, 0.0, 1.5, 1.0)), [8, 5], &display);
        let tone = display.tone(Channel::Green);
        let mean = [0, 120, 240].map(|code| tone.light(code)).iter().sum::<f64>() / 3.0;
        assert_eq!(drawn.get_pixel(0, 0).0[1], tone.nearest_code(mean));
        assert_eq!(drawn.get_pixel(1, 0).0[1], tone.nearest_code(mean.midpoint(1.0)));
    }

    #[test]
    fn a_mirror_exchanges_left_and_right() {
        let drawn =
            raster::draw(&scene(Rect::new(0.0, 1.0, 4.0, 4.0)).mirrored(), [8, 5], &Display::assumed());
        assert_eq!([4, 5, 6, 7].map(|x| drawn.get_pixel(x, 1).0[0]), [240, 160, 80, 0]);
    }
}

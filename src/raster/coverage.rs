//! How much of each pixel a shape covers, exact in area.
//!
//! Two ways: an outline is filled line by line by signed area, where holes run backwards and so take away; a rectangle along
//! the sides, as fields are, has its coverage as a product of two lengths, exact to the last digit.

use std::ops::Range;

use ab_glyph_rasterizer::{Point as RasterPoint, Rasterizer};
use image::RgbImage;
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape};

use super::blend::Blend;

/// How far a flattened curve may stray from the true one, in pixels: a tenth of what eight bits can show.
const FLATNESS_PX: f64 = 1e-3;

/// What share of each pixel a path covers, over the path's own pixels.
pub(super) struct Mask {
    left: i64,
    top: i64,
    coverage: Rasterizer,
}

impl Mask {
    /// The coverage of a path in millimetres at a scale in pixels per millimetre, across and down.
    pub(super) fn of(path: &BezPath, scale: [f64; 2]) -> Self {
        let path = Affine::scale_non_uniform(scale[0], scale[1]) * path;
        let bounds = path.bounding_box();
        // A pixel to spare on each side, since flattening moves edges a little.
        let (left, top) = (bounds.x0.floor() - 1.0, bounds.y0.floor() - 1.0);
        let (width, height) = (bounds.x1.ceil() + 1.0 - left, bounds.y1.ceil() + 1.0 - top);
        let mut coverage = Rasterizer::new(whole(width), whole(height));
        fill(&mut coverage, &path, Point::new(left, top));
        Self { left: signed(left), top: signed(top), coverage }
    }

    /// Gives the place, counted row by row, and the covered share of every pixel of a picture that the path touches.
    pub(super) fn each(&self, [columns, rows]: [usize; 2], mut lay: impl FnMut(usize, f64)) {
        self.coverage.for_each_pixel_2d(|x, y, coverage| {
            let (x, y) =
                (usize::try_from(self.left + i64::from(x)), usize::try_from(self.top + i64::from(y)));
            let (Ok(x), Ok(y)) = (x, y) else { return };
            if x < columns && y < rows && coverage > 0.0 {
                lay(y * columns + x, f64::from(coverage).min(1.0));
            }
        });
    }

    /// Lays the paint over every pixel of the picture that the path touches.
    pub(super) fn paint(&self, image: &mut RgbImage, blend: &mut Blend<'_>) {
        self.coverage.for_each_pixel_2d(|x, y, coverage| {
            let (x, y) = (u32::try_from(self.left + i64::from(x)), u32::try_from(self.top + i64::from(y)));
            let (Ok(x), Ok(y)) = (x, y) else { return };
            let Some(pixel) = image.get_pixel_mut_checked(x, y) else { return };
            // The fill is exact to 1e-4 in single precision; what is full to that is full.
            match f64::from(coverage) {
                coverage if coverage < 1e-4 => {}
                coverage if coverage > 1.0 - 1e-4 => *pixel = blend.paint(),
                coverage => *pixel = blend.over(*pixel, coverage),
            }
        });
    }
}

/// Draws each contour as lines, measured from `origin` so that single precision has digits to spare.
fn fill(coverage: &mut Rasterizer, path: &BezPath, origin: Point) {
    #[allow(
        clippy::cast_possible_truncation,
        reason = "within a picture, single precision holds 1e-3 of a pixel"
    )]
    let local = |point: Point| RasterPoint { x: (point.x - origin.x) as f32, y: (point.y - origin.y) as f32 };
    let (mut start, mut pen) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(path, FLATNESS_PX, |element| match element {
        PathEl::MoveTo(to) => (start, pen) = (to, to),
        PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to) => {
            coverage.draw_line(local(pen), local(to));
            pen = to;
        }
        PathEl::ClosePath => {
            coverage.draw_line(local(pen), local(start));
            pen = start;
        }
    });
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "rounded up from the size of a shape"
)]
fn whole(pixels: f64) -> usize {
    pixels.max(1.0) as usize
}

#[allow(clippy::cast_possible_truncation, reason = "rounded down from a place near a picture")]
fn signed(pixels: f64) -> i64 {
    pixels as i64
}

/// Lays a paint over a rectangle in millimetres.
///
/// What it covers whole is copied row by row, since that is nearly all of a field.
pub(super) fn rect(image: &mut RgbImage, rect: Rect, scale: [f64; 2], blend: &mut Blend<'_>) {
    let columns = shares(rect.x0 * scale[0], rect.x1 * scale[0], image.width());
    let rows = shares(rect.y0 * scale[1], rect.y1 * scale[1], image.height());
    let touched = run(&columns, |share| share > 0.0);
    let whole = run(&columns, |share| share >= 1.0);
    let painted = blend.paint().0.repeat(whole.len());
    let width = image.width() as usize;
    for (line, row_share) in image.chunks_exact_mut(3 * width).zip(rows).filter(|(_, share)| *share > 0.0) {
        let copied =
            if row_share < 1.0 || whole.is_empty() { touched.end..touched.end } else { whole.clone() };
        line[3 * copied.start..3 * copied.end].copy_from_slice(&painted[..3 * copied.len()]);
        for x in (touched.start..copied.start).chain(copied.end..touched.end) {
            let pixel = &mut line[3 * x..3 * x + 3];
            let under = image::Rgb([pixel[0], pixel[1], pixel[2]]);
            pixel.copy_from_slice(&blend.over(under, columns[x] * row_share).0);
        }
    }
}

/// The one run of pixels whose shares are as asked.
fn run(shares: &[f64], is_asked: impl Fn(f64) -> bool) -> Range<usize> {
    let Some(first) = shares.iter().position(|share| is_asked(*share)) else { return 0..0 };
    let last = shares.iter().rposition(|share| is_asked(*share)).unwrap_or(first);
    first..last + 1
}

/// Gives the place and the covered share of every pixel that a rectangle in millimetres touches.
pub(super) fn each_of_rect(
    rect: Rect,
    scale: [f64; 2],
    [columns, rows]: [usize; 2],
    mut lay: impl FnMut(usize, f64),
) {
    let count = |pixels: usize| u32::try_from(pixels).unwrap_or(u32::MAX);
    let across = shares(rect.x0 * scale[0], rect.x1 * scale[0], count(columns));
    let down = shares(rect.y0 * scale[1], rect.y1 * scale[1], count(rows));
    for (y, row_share) in down.iter().enumerate().filter(|(_, share)| **share > 0.0) {
        for (x, share) in across.iter().enumerate().filter(|(_, share)| **share > 0.0) {
            lay(y * columns + x, share * row_share);
        }
    }
}

/// What share of each of `count` pixels lies between two places.
fn shares(from: f64, to: f64, count: u32) -> Vec<f64> {
    (0..count).map(f64::from).map(|pixel| (to.min(pixel + 1.0) - from.max(pixel)).clamp(0.0, 1.0)).collect()
}

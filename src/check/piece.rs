//! The pieces of a letter's shape: boxes with cuts.
//!
//! They are written down by hand from the letters' descriptions. Nothing here knows the outlines that are drawn, since a mistake
//! that both shared would be found by neither.

/// A piece of a letter: a box minus what its cuts take away. The pieces of a letter do not overlap.
#[derive(Debug)]
pub(super) struct Piece {
    /// Left, top, right and bottom in strokes.
    pub(super) within: [f64; 4],
    pub(super) cuts: &'static [Cut],
}

/// What a cut leaves of a piece; places in strokes from the upper left of the letter's box.
#[derive(Debug, Clone, Copy)]
pub(super) enum Cut {
    /// What lies within a circle of this centre and radius.
    Inside(f64, f64, f64),
    /// What lies outside it.
    Outside(f64, f64, f64),
    /// What lies on the right of somebody who walks from one place to another.
    RightOf([f64; 2], [f64; 2]),
    /// What is no gap: a band one stroke wide from the middle of a ring towards the signs of x and y.
    NotTowards(f64, f64),
}

/// The size of a pixel, or of a block of them, in strokes.
pub(super) type PixelSize = [f64; 2];

impl Piece {
    /// How much of a pixel at a place, in strokes, is ink.
    pub(super) fn ink(&self, [x, y]: [f64; 2], pixel: PixelSize) -> f64 {
        let [left, top, right, bottom] = self.within;
        let (wide, high) = (pixel[0] / 2.0, pixel[1] / 2.0);
        if x + wide <= left || x - wide >= right || y + high <= top || y - high >= bottom {
            return 0.0;
        }
        let boxed = overlap(x, pixel[0], left, right) * overlap(y, pixel[1], top, bottom);
        self.cuts.iter().fold(boxed, |ink, cut| ink * cut.leaves([x, y], (pixel[0] + pixel[1]) / 2.0))
    }
}

impl Cut {
    /// How much of a pixel is left.
    fn leaves(self, [x, y]: [f64; 2], pixel: f64) -> f64 {
        match self {
            Self::Inside(cx, cy, radius) => disc(x - cx, y - cy, radius, pixel),
            Self::Outside(cx, cy, radius) => 1.0 - disc(x - cx, y - cy, radius, pixel),
            Self::RightOf([ax, ay], [bx, by]) => {
                let (along_x, along_y) = (bx - ax, by - ay);
                // With y downwards the right-hand side of (1, 0) is (0, 1).
                let beyond = (along_x * (y - ay) - along_y * (x - ax)) / along_x.hypot(along_y);
                soft(beyond / pixel)
            }
            Self::NotTowards(to_x, to_y) => {
                let (x, y, length) = (x - 2.5, y - 2.5, to_x.hypot(to_y));
                let (along, across) = ((x * to_x + y * to_y) / length, (x * to_y - y * to_x) / length);
                1.0 - soft((0.5 - across.abs()) / pixel) * soft(along / pixel)
            }
        }
    }
}

/// How much of a pixel lies between two ends, along one axis.
fn overlap(centre: f64, size: f64, from: f64, to: f64) -> f64 {
    (((centre + size / 2.0).min(to) - (centre - size / 2.0).max(from)) / size).max(0.0)
}

/// How much of a pixel lies on the near side of an edge at a distance of `pixels`.
fn soft(pixels: f64) -> f64 {
    (pixels + 0.5).clamp(0.0, 1.0)
}

/// How much of a pixel at a place relative to the centre of a disc lies in the disc.
///
/// A ramp one pixel wide about a radius R sums to π(R² + 1/12) pixels, so R² is reduced by 1/12.
fn disc(x: f64, y: f64, radius: f64, pixel: f64) -> f64 {
    let radius = (radius * radius / pixel / pixel - 1.0 / 12.0).max(0.0).sqrt();
    soft(radius - (x * x + y * y).sqrt() / pixel)
}

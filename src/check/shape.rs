//! What a letter's ink should be, pixel by pixel, and how far a glyph departs from it.

use super::alphabet::Letter;
use super::glyph::Glyph;
use super::measure::{Extent, pixels};

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

/// How many blocks of pixels a stroke has at least where single pixels are not needed.
const BLOCKS_A_STROKE: f64 = 4.0;

/// The size of a pixel, or of a block of them, in strokes.
pub(super) type PixelSize = [f64; 2];

impl Letter {
    /// How much of a pixel at a place, in strokes, is ink: exact at straight sides along the grid, within a
    /// hundredth on the mean of a slanted or round one.
    pub(super) fn ink(&self, [x, y]: [f64; 2], pixel: PixelSize) -> f64 {
        self.shape.iter().map(|piece| piece.ink([x, y], pixel)).sum::<f64>().min(1.0)
    }
}

impl Piece {
    fn ink(&self, [x, y]: [f64; 2], pixel: PixelSize) -> f64 {
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

/// The largest share of a square stroke, anywhere on a glyph or just beside it, that has ink where the letter has
/// none (above zero) or lacks ink that it has (below zero).
///
/// Means over a square stroke forgive an edge that is blurred but in place.
///
/// Large letters are looked at in blocks of pixels, with as many blocks in a stroke as a small letter's stroke has pixels.
pub(super) fn departure(glyph: &Glyph, extent: &Extent, letter: &Letter) -> f64 {
    let pixel = extent.pixel();
    let side = whole((1.0 / pixel[0] / BLOCKS_A_STROKE).floor());
    let [columns, rows] = glyph.size().map(|count| count.div_ceil(side));
    let block = pixel.map(|size| size * pixels(side));
    let difference = |column: usize, row: usize| {
        let corner = [column * side, row * side];
        let middle = extent.strokes(corner.map(|place| pixels(place) + pixels(side) / 2.0));
        glyph.mean(corner, side) - letter.ink(middle, block)
    };
    let sums = Sums::new(columns, rows, difference);
    let window = block.map(|size| whole((1.0 / size).round()));
    sums.means(window).fold(0.0, |worst: f64, mean| if mean.abs() > worst.abs() { mean } else { worst })
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a stroke of some pixels")]
fn whole(count: f64) -> usize {
    count.clamp(1.0, 1e4) as usize
}

/// Sums of a table from its corner, so that the sum over any box takes four look-ups.
struct Sums {
    columns: usize,
    rows: usize,
    sums: Vec<f64>,
}

impl Sums {
    fn new(columns: usize, rows: usize, value: impl Fn(usize, usize) -> f64) -> Self {
        let mut sums = vec![0.0; (columns + 1) * (rows + 1)];
        for row in 0..rows {
            let mut in_row = 0.0;
            for column in 0..columns {
                in_row += value(column, row);
                let place = (row + 1) * (columns + 1) + column + 1;
                sums[place] = sums[place - columns - 1] + in_row;
            }
        }
        Self { columns, rows, sums }
    }

    /// The means over all windows with this number of columns and rows.
    fn means(&self, [wide, high]: [usize; 2]) -> impl Iterator<Item = f64> {
        let (wide, high) = (wide.min(self.columns), high.min(self.rows));
        let at = |column: usize, row: usize| self.sums[row * (self.columns + 1) + column];
        let area = pixels(wide * high);
        (0..=self.rows - high).flat_map(move |row| {
            (0..=self.columns - wide).map(move |column| {
                let (right, bottom) = (column + wide, row + high);
                (at(right, bottom) - at(column, bottom) - at(right, row) + at(column, row)) / area
            })
        })
    }
}

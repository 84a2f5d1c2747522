//! What a letter's ink should be, pixel by pixel, and how far a glyph departs from it.
//!
//! This finds what neither size nor reading would: a corner that is missing, a smear, a serif, a gap that was filled.

use super::alphabet::Letter;
use super::glyph::Glyph;
use super::measure::Extent;
use super::patch::pixels;
use super::piece::PixelSize;

/// How many blocks of pixels a stroke has at least where single pixels are not needed.
const BLOCKS_A_STROKE: f64 = 4.0;

impl Letter {
    /// How much of a pixel at a place, in strokes, is ink: exact at straight sides along the grid, within a
    /// hundredth on the mean of a slanted or round one.
    pub(super) fn ink(&self, [x, y]: [f64; 2], pixel: PixelSize) -> f64 {
        self.shape.iter().map(|piece| piece.ink([x, y], pixel)).sum::<f64>().min(1.0)
    }
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

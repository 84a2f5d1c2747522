//! One letter of the picture as coverage: how much of each pixel is ink, in linear light.
//!
//! All that follows (reading, edges, ink out of place) is measured on coverage and not on codes, so that it holds whatever the
//! field's colour and the screen's tone curve. The letter's own darkest light counts as full ink: a grey letter is measured
//! like a black one, and its contrast is another finding.

use image::RgbImage;

use super::patch::{Patch, pixels};
use crate::room::Display;

/// How much paper is kept around a letter, as a share of its height, so that strokes at its border can be crossed.
const MARGIN: f64 = 0.12;

/// A side of a letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Border {
    Top,
    Right,
    Bottom,
    Left,
}

impl Border {
    /// All four, in the order of an alphabet's sides.
    pub(super) const ALL: [Self; 4] = [Self::Top, Self::Right, Self::Bottom, Self::Left];

    /// The next one clockwise.
    pub(super) const fn turned(self) -> Self {
        match self {
            Self::Top => Self::Right,
            Self::Right => Self::Bottom,
            Self::Bottom => Self::Left,
            Self::Left => Self::Top,
        }
    }
}

/// The coverage of a letter and a little paper around it.
pub(super) struct Glyph {
    width: usize,
    height: usize,
    coverage: Vec<f64>,
    /// The picture's column and row where the cut begins.
    pub(super) left: f64,
    pub(super) top: f64,
    /// The darkest luminance of the letter, in cd/m².
    pub(super) ink_cd_m2: f64,
}

/// How many pixels of paper are kept on each side of a letter.
#[allow(clippy::cast_possible_truncation, reason = "an eighth of a letter")]
fn margin(place: Patch) -> i64 {
    2 + (f64::from(place.height()) * MARGIN) as i64
}

impl Glyph {
    /// How many samples a letter's cut has.
    pub(super) fn samples(place: Patch) -> u64 {
        let side = |own: u32| u64::from(own) + 2 * margin(place).unsigned_abs();
        side(place.width()) * side(place.height())
    }

    /// Cuts a letter out. Coverage is 1 at the letter's darkest light and 0 at its field's.
    pub(super) fn cut(image: &RgbImage, place: Patch, field: [u8; 3], display: &Display) -> Self {
        let margin = margin(place);
        let (left, top) = (i64::from(place.left) - margin, i64::from(place.top) - margin);
        let (right, bottom) = (i64::from(place.right) + margin, i64::from(place.bottom) + margin);
        // Smoothed edges end within two pixels; what lies beyond may be another letter, and counts as paper.
        let own = place.grown(2);
        let at = |x: i64, y: i64| {
            let inside =
                u32::try_from(x).ok().zip(u32::try_from(y).ok()).filter(|(x, y)| own.contains(*x, *y));
            inside.and_then(|(x, y)| image.get_pixel_checked(x, y)).map_or(field, |pixel| pixel.0)
        };
        let [paper, black] = [field, [0; 3]].map(|codes| display.luminance(codes).to_cd_m2());
        let light: Vec<f64> = (top..bottom)
            .flat_map(|y| (left..right).map(move |x| (x, y)))
            .map(|(x, y)| at(x, y))
            .map(|codes| match codes {
                codes if codes == field => paper,
                [0, 0, 0] => black,
                codes => display.luminance(codes).to_cd_m2(),
            })
            .collect();
        let ink_cd_m2 = light.iter().copied().fold(paper, f64::min);
        let depth = (paper - ink_cd_m2).max(f64::MIN_POSITIVE);
        let coverage = light.into_iter().map(|light| (paper - light) / depth).collect();
        let side = |from: i64, to: i64| usize::try_from(to - from).unwrap_or(0);
        let size = [side(left, right), side(top, bottom)];
        #[allow(clippy::cast_precision_loss, reason = "a place in a picture")]
        let [left, top] = [left as f64, top as f64];
        Self { width: size[0], height: size[1], coverage, left, top, ink_cd_m2 }
    }

    /// Columns and rows.
    pub(super) const fn size(&self) -> [usize; 2] {
        [self.width, self.height]
    }

    /// The coverage of a pixel; paper beyond the cut.
    pub(super) fn at(&self, x: usize, y: usize) -> f64 {
        if x < self.width && y < self.height { self.coverage[y * self.width + x] } else { 0.0 }
    }

    /// The mean coverage of a square of pixels.
    pub(super) fn mean(&self, [left, top]: [usize; 2], side: usize) -> f64 {
        let row = |y: usize| (left..left + side).map(move |x| self.at(x, y));
        (top..top + side).flat_map(row).sum::<f64>() / pixels(side * side)
    }

    /// Coverage at a place between pixels, by the four around it; (0.5, 0.5) is the first pixel's centre.
    pub(super) fn between(&self, x: f64, y: f64) -> f64 {
        let (x, y) = ((x - 0.5).max(0.0), (y - 0.5).max(0.0));
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "above zero and within a picture"
        )]
        let (column, row) = (x as usize, y as usize);
        let (right, down) = (x.fract(), y.fract());
        (self.at(column, row) * (1.0 - right) + self.at(column + 1, row) * right) * (1.0 - down)
            + (self.at(column, row + 1) * (1.0 - right) + self.at(column + 1, row + 1) * right) * down
    }

    /// The column that has as much ink on its left as on its right.
    pub(super) fn middle_of_ink(&self) -> f64 {
        let (mut ink, mut moment) = (0.0, 0.0);
        for row in self.coverage.chunks_exact(self.width) {
            for (column, coverage) in (0_u32..).zip(row) {
                ink += coverage;
                moment += coverage * (f64::from(column) + 0.5);
            }
        }
        moment / ink
    }

    /// The coverage met on the way inward from a border, on one of the lines at right angles to it.
    pub(super) fn inward(&self, border: Border, line: usize) -> impl Fn(usize) -> f64 {
        let (first, step, back) = match border {
            Border::Top => (line, self.width, false),
            Border::Bottom => ((self.height - 1) * self.width + line, self.width, true),
            Border::Left => (line * self.width, 1, false),
            Border::Right => ((line + 1) * self.width - 1, 1, true),
        };
        move |depth| self.coverage[if back { first - step * depth } else { first + step * depth }]
    }

    /// How many lines cross a border.
    pub(super) const fn lines(&self, border: Border) -> usize {
        match border {
            Border::Top | Border::Bottom => self.width,
            Border::Left | Border::Right => self.height,
        }
    }
}

#[cfg(test)]
mod tests {
    use image::Rgb;

    use super::*;

    const BINARY_DUST: f64 = 1e-12;
    const GREEN: [u8; 3] = [0, 147, 0];

    /// A black box on green, cut out.
    fn black(width: u32, height: u32) -> (Patch, Glyph) {
        let place = Patch { left: 10, top: 12, right: 10 + width, bottom: 12 + height };
        let pixel = |x, y| Rgb(if place.contains(x, y) { [0; 3] } else { GREEN });
        let image = RgbImage::from_fn(60, 60, pixel);
        (place, Glyph::cut(&image, place, GREEN, &Display::assumed()))
    }

    #[test]
    fn paper_is_kept_around_a_letter_by_its_height() {
        // Two pixels and an eighth of the height, rounded down: 0.12 · 6 = 0.72 and 0.12 · 26 = 3.12.
        for (height, paper) in [(6, 2), (26, 5)] {
            let (place, glyph) = black(4, height);
            let rows = usize::try_from(height).unwrap() + 2 * paper;
            assert_eq!(glyph.size(), [4 + 2 * paper, rows]);
            assert_eq!(Glyph::samples(place), u64::try_from((4 + 2 * paper) * rows).unwrap());
            let begins = [10.0, 12.0].map(|edge| edge - if paper == 2 { 2.0 } else { 5.0 });
            assert!(
                (glyph.left - begins[0]).abs() < BINARY_DUST && (glyph.top - begins[1]).abs() < BINARY_DUST
            );
            // Ink where the box is, and nowhere else, beyond the cut neither.
            for (x, y) in (0..16).flat_map(|x| (0..60).map(move |y| (x, y))) {
                let ink = (paper..paper + 4).contains(&x) && (paper..rows - paper).contains(&y);
                assert!((glyph.at(x, y) - f64::from(u8::from(ink))).abs() < BINARY_DUST, "{x} {y}");
            }
        }
    }

    #[test]
    fn between_pixels_coverage_runs_straight() {
        // Ink from 2 to 6 across and from 2 to 8 down; half of it at an edge, and straight from centre to centre.
        let (_, glyph) = black(4, 6);
        for (x, y, coverage) in [
            (2.0, 5.0, 0.5),
            (2.25, 5.0, 0.75),
            (6.25, 5.0, 0.25),
            (4.0, 2.0, 0.5),
            (4.0, 8.25, 0.25),
            (2.25, 2.0, 0.375),
            (6.25, 7.75, 0.1875),
            (4.0, 5.0, 1.0),
            (0.0, 0.0, 0.0),
        ] {
            assert!((glyph.between(x, y) - coverage).abs() < BINARY_DUST, "{x} {y}: {}", glyph.between(x, y));
        }
        // Of 3 × 3 pixels from (1, 1) on, 2 × 2 are ink; all of those from (3, 3) on.
        assert!((glyph.mean([1, 1], 3) - 4.0 / 9.0).abs() < BINARY_DUST);
        assert!((glyph.mean([3, 3], 3) - 1.0).abs() < BINARY_DUST);
        assert!((glyph.middle_of_ink() - 4.0).abs() < BINARY_DUST);
    }
}

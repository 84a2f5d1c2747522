//! Where a letter's edges lie, to about a hundredth of a pixel.
//!
//! A pixel's coverage tells how much of it the ink fills, so the sum of coverage along a line that ends in full ink
//! is the distance of the edge from there. The eight bits of a code leave about 0.01 px.

use super::alphabet::{Across, Detail, Edge, Letter, Path, Sides};
use super::glyph::{Border, Glyph};
use super::patch::pixels;

/// The least coverage of a pixel that counts as ink.
const INK: f64 = 0.5;

/// The least coverage of the fullest pixel on a line that can be relied on; with less, a slanted side cut the line.
const FULL: f64 = 0.985;

/// By how much the fullest pixel of a line may fall short of the fullest of all lines where no line is full.
const SLANT: f64 = 0.02;

/// By how much the ends of lines on one straight border may differ, in pixels.
const SAME_EDGE_PX: f64 = 0.03;

/// The curvature 1/2r of the tightest arc at a border, of a radius of 1.5 strokes of 2 px, with some to spare.
const STEEPEST_CURVATURE: f64 = 0.3;

/// Strokes along a side of a letter's box: what makes a stroke a fifth of the height.
pub(super) const GRID: f64 = 5.0;

/// The box of a letter within its cut, in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Extent {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Extent {
    /// The same box, with each side that no ink reaches placed from the opposite side, since a letter is square; where
    /// neither side is reached, the box is placed by the balance of its ink. `aspect` is a pixel's height over its
    /// width.
    pub(super) fn squared(self, glyph: &Glyph, sides: Sides, aspect: f64) -> Self {
        let [top, right, bottom, left] = sides.map(|edge| edge == Edge::Open);
        let (width, height) = (self.height * aspect, self.width / aspect);
        match (left || right, top || bottom) {
            (true, false) if left && right => {
                Self { left: glyph.middle_of_ink() - width / 2.0, width, ..self }
            }
            (true, false) if left => Self { left: self.left + self.width - width, width, ..self },
            (true, false) => Self { width, ..self },
            (false, true) if top => Self { top: self.top + self.height - height, height, ..self },
            (false, true) => Self { height, ..self },
            _ => self,
        }
    }

    /// A pixel's size in strokes.
    pub(super) fn pixel(&self) -> [f64; 2] {
        [GRID / self.width, GRID / self.height]
    }

    /// Where a place of the cut, in pixels, lies in strokes from the upper left of the box.
    pub(super) fn strokes(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [across, down] = self.pixel();
        [(x - self.left) * across, (y - self.top) * down]
    }

    /// The box by the ink nearest to each side, good to a few tenths of a pixel.
    pub(super) fn roughly(glyph: &Glyph, edges: &FirstEdges) -> Self {
        Self::measure(glyph, edges, [Edge::Open; 4])
    }

    /// The box with each side measured by its shape.
    pub(super) fn measure(glyph: &Glyph, edges: &FirstEdges, sides: Sides) -> Self {
        let mut inset = [0.0; 4];
        for ((entry, edges), side) in inset.iter_mut().zip(&edges.0).zip(sides) {
            *entry = border_inset(edges, side);
        }
        let [top, right, bottom, left] = inset;
        let [columns, rows] = glyph.size().map(pixels);
        Self { left, top, width: columns - left - right, height: rows - top - bottom }
    }

    /// A place given in strokes from the upper left of the box, in pixels.
    pub(super) fn place(&self, x: f64, y: f64) -> (f64, f64) {
        (self.left + x * self.width / GRID, self.top + y * self.height / GRID)
    }
}

/// How far a letter stays away from a border of its cut.
fn border_inset(edges: &[Option<FirstEdge>], edge: Edge) -> f64 {
    let fullest = edges.iter().flatten().map(|edge| edge.fullest).fold(0.0, f64::max);
    let tells = |line: &FirstEdge| edge == Edge::Open || line.fullest >= FULL.min(fullest - SLANT);
    let insets: Vec<Option<f64>> = edges.iter().map(|edge| Some(edge.filter(tells)?.inset)).collect();
    let nearest = insets.iter().flatten().copied().fold(f64::INFINITY, f64::min);
    let crests = insets.windows(3).filter_map(|three| crest(three[0]?, three[1]?, three[2]?));
    match edge {
        Edge::Round => crests.reduce(f64::min).unwrap_or(nearest),
        Edge::Open => nearest,
        Edge::Flat => {
            let same: Vec<f64> =
                insets.iter().flatten().copied().filter(|inset| inset - nearest < SAME_EDGE_PX).collect();
            same.iter().sum::<f64>() / pixels(same.len())
        }
    }
}

/// The first ink on every line inward from each border of a cut, in the order of [`Border::ALL`].
pub(super) struct FirstEdges([Vec<Option<FirstEdge>>; 4]);

impl FirstEdges {
    pub(super) fn find(glyph: &Glyph) -> Self {
        Self(Border::ALL.map(|border| {
            let depth = glyph.lines(border.turned());
            let on = |line: usize| FirstEdge::on(depth, glyph.inward(border, line));
            (0..glyph.lines(border)).map(on).collect()
        }))
    }
}

/// The first ink on a line.
#[derive(Debug, Clone, Copy)]
struct FirstEdge {
    /// The coverage of its fullest pixel; less than 1 where a slanted side cuts it.
    fullest: f64,
    /// How far its edge lies inward.
    inset: f64,
}

impl FirstEdge {
    /// From the first fullest pixel, less the coverage before it; `line` tells the coverage at a depth.
    fn on(depth: usize, line: impl Fn(usize) -> f64) -> Option<Self> {
        let first = (0..depth).find(|place| line(*place) >= INK)?;
        let rises = |place: &usize| place + 1 < depth && line(place + 1) > line(*place);
        let full = (first..depth).find(|place| !rises(place))?;
        let fullest = line(full);
        let before = (0..full).map(line).sum::<f64>() / fullest;
        Some(Self { fullest, inset: pixels(full) - before })
    }
}

/// The outermost point of an arc from three neighbouring pixels' means of it, if it lies within the middle one.
///
/// Through the means of y = a + b·x + c·x² over [−3/2, −1/2], [−1/2, 1/2], [1/2, 3/2]: c is half the second
/// difference, b half the first, and the middle mean lies c/12 above a. The outermost point is a − b²/4c.
fn crest(before: f64, middle: f64, after: f64) -> Option<f64> {
    let curvature = (before - 2.0 * middle + after) / 2.0;
    let slope = (after - before) / 2.0;
    let an_arc = curvature > 0.0 && curvature < STEEPEST_CURVATURE;
    // The crest lies at x = −b/2c; neighbours share the pixel's edge, so a little beyond it is still this crest.
    let in_the_middle = slope.abs() <= 1.1 * curvature;
    (an_arc && in_the_middle).then(|| middle - curvature / 12.0 - slope * slope / (4.0 * curvature))
}

/// Measures the critical detail, in pixels along an axis (0 across, 1 down) or, for a ring's gap, along none.
pub(super) fn detail(glyph: &Glyph, extent: &Extent, letter: &Letter) -> Option<(f64, Option<usize>)> {
    match letter.detail {
        Detail::Stroke(path) => {
            let axis = match path.across {
                Across::Columns => 0,
                Across::Rows => 1,
            };
            Some((along(glyph, extent, path)?, Some(axis)))
        }
        Detail::Gap { x, y } => Some((ring_gap(glyph, extent, x, y)?, None)),
    }
}

/// The mean length of the detail over the lines on which it is the same.
fn along(glyph: &Glyph, extent: &Extent, path: Path) -> Option<f64> {
    let lines = lines_of(extent, path);
    let lengths: Vec<f64> = lines.filter_map(|line| length_on(glyph, extent, path, line)).collect();
    if lengths.is_empty() { None } else { Some(lengths.iter().sum::<f64>() / pixels(lengths.len())) }
}

/// The rows or columns that lie wholly within the path's spread, or else the one at its middle.
fn lines_of(extent: &Extent, path: Path) -> std::ops::Range<usize> {
    let place = |at: f64| match path.across {
        Across::Columns => extent.place(0.0, at).1,
        Across::Rows => extent.place(at, 0.0).0,
    };
    let (from, to) = (whole(place(path.at - path.spread).ceil()), whole(place(path.at + path.spread)));
    let middle = whole(place(path.at));
    if from < to { from..to } else { middle..middle + 1 }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a place within a letter’s cut")]
fn whole(place: f64) -> usize {
    place.max(0.0) as usize
}

/// The length of ink on one line between the emptiest pixels on both sides of it.
fn length_on(glyph: &Glyph, extent: &Extent, path: Path, line: usize) -> Option<f64> {
    let end = |along: f64| match path.across {
        Across::Columns => whole(extent.place(along, 0.0).0),
        Across::Rows => whole(extent.place(0.0, along).1),
    };
    let value = |place: usize| match path.across {
        Across::Columns => glyph.at(place, line),
        Across::Rows => glyph.at(line, place),
    };
    let values: Vec<f64> = (end(path.from)..=end(path.to)).map(value).collect();
    let half = values.len() / 2;
    let first = (0..half).rev().min_by(|one, other| values[*one].total_cmp(&values[*other]))?;
    let last = (half..values.len()).min_by(|one, other| values[*one].total_cmp(&values[*other]))?;
    Some(values[first..=last].iter().sum())
}

/// The gap of a ring in a direction: the ink that it lacks, over the ring's thickness.
///
/// Towards a side: a band of one stroke to either side of the gap's middle crosses the ring twice; what one crossing
/// has less than the other is the gap's area. Towards a corner: of the ring's four quarters the two beside the gap's,
/// less the gap's and its opposite, leave that area. Neither asks just where the middle of the ring is.
///
/// For straight, parallel sides the area is the gap's width times the thickness and 1.1 % more:
/// w + w³/24 · (1/1.5 − 1/2.5) square strokes for a gap of w = 1.
fn ring_gap(glyph: &Glyph, extent: &Extent, x: f64, y: f64) -> Option<f64> {
    let centre = extent.place(2.5, 2.5);
    let stroke = extent.width.max(extent.height) / GRID;
    let [columns, rows] = glyph.size();
    let mut lacking = 0.0;
    for row in 0..rows {
        for column in 0..columns {
            let (dx, dy) = (pixels(column) + 0.5 - centre.0, pixels(row) + 0.5 - centre.1);
            let weight = if x * y == 0.0 {
                cut(dx * x + dy * y) * band(dx * y + dy * x, stroke)
            } else {
                cut(dx * x) * cut(dy * y)
            };
            lacking -= weight * glyph.at(column, row);
        }
    }
    let (from, to) = if x < 0.0 { (3.0, 5.45) } else { (-0.45, 2.0) };
    let thickness = along(glyph, extent, Path { across: Across::Columns, at: 2.5, spread: 0.0, from, to })?;
    Some(lacking / thickness / (1.0 + (1.0 / 1.5 - 1.0 / 2.5) / 24.0))
}

/// How much more of a pixel lies beyond a cut than before it; `beyond` is the distance of its centre.
fn cut(beyond: f64) -> f64 {
    (2.0 * beyond).clamp(-1.0, 1.0)
}

/// How much of a pixel lies within a band to either side of a line.
fn band(off: f64, half_width: f64) -> f64 {
    (half_width + 0.5 - off.abs()).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use image::{Rgb, RgbImage};

    use super::super::patch::Patch;
    use super::*;
    use crate::room::Display;

    const BINARY_DUST: f64 = 1e-9;

    #[test]
    fn a_crest_is_that_of_the_arc_whose_means_are_given() {
        // The means of y = a + b·x + c·x² over [−3/2, −1/2], [−1/2, 1/2] and [1/2, 3/2]; its top lies at a − b²/4c.
        let found =
            |a: f64, b: f64, c: f64| crest(a - b + c * 13.0 / 12.0, a + c / 12.0, a + b + c * 13.0 / 12.0);
        for (a, b, c, top) in [(2.0, 0.1, 0.1, 1.975), (3.0, -0.2, 0.25, 2.96), (5.0, 0.0, 0.04, 5.0)] {
            assert!((found(a, b, c).unwrap() - top).abs() < BINARY_DUST, "{a} {b} {c}");
        }
        // Beyond the middle pixel by more than a twentieth, hollow, straight, level, and steeper than any arc of a letter.
        for (b, c) in [(0.12, 0.1), (-0.12, 0.1), (0.0, -0.1), (0.1, 0.0), (0.0, 0.0), (0.0, 0.31)] {
            assert_eq!(found(2.0, b, c), None, "{b} {c}");
        }
    }

    #[test]
    fn ink_begins_by_what_the_pixels_before_the_first_full_one_hold() {
        let on = |line: &[f64]| {
            FirstEdge::on(line.len(), |place| line[place]).map(|edge| (edge.fullest, edge.inset))
        };
        for (line, fullest, inset) in [
            (&[0.0, 0.3, 1.0, 1.0][..], 1.0, 1.7),
            (&[0.0, 0.2, 0.6, 0.9, 0.4], 0.9, 3.0 - 0.8 / 0.9),
            (&[0.0, 0.5], 0.5, 1.0),
            (&[0.1, 0.6, 0.8], 0.8, 2.0 - 0.7 / 0.8),
        ] {
            let (full, at) = on(line).unwrap();
            assert!(
                (full - fullest).abs() < BINARY_DUST && (at - inset).abs() < BINARY_DUST,
                "{line:?}: {full} {at}"
            );
        }
        assert_eq!(on(&[0.0, 0.4, 0.49]), None);
    }

    #[test]
    fn a_side_that_no_ink_reaches_lies_a_squares_side_from_the_opposite_one() {
        // Ink from 2 to 6 across in its cut, so that its middle is at 4.
        let place = Patch { left: 10, top: 10, right: 14, bottom: 16 };
        let pixel = |x, y| Rgb(if place.contains(x, y) { [0; 3] } else { [0, 147, 0] });
        let glyph = Glyph::cut(&RgbImage::from_fn(30, 30, pixel), place, [0, 147, 0], &Display::assumed());
        let extent = Extent { left: 2.0, top: 3.0, width: 10.0, height: 20.0 };
        let (open, flat) = (Edge::Open, Edge::Flat);
        // Sides as top, right, bottom, left; pixels half as high again as wide make 20 rows 30 columns, and 10 columns 6⅔ rows.
        for ([top, right, bottom, left], aspect, squared) in [
            ([flat, open, flat, flat], 1.0, [2.0, 3.0, 20.0, 20.0]),
            ([flat, open, flat, flat], 1.5, [2.0, 3.0, 30.0, 20.0]),
            ([flat, flat, flat, open], 1.0, [-8.0, 3.0, 20.0, 20.0]),
            ([flat, open, flat, open], 1.0, [-6.0, 3.0, 20.0, 20.0]),
            ([flat, flat, open, flat], 1.0, [2.0, 3.0, 10.0, 10.0]),
            ([open, flat, flat, flat], 1.0, [2.0, 13.0, 10.0, 10.0]),
            ([open, flat, flat, flat], 1.5, [2.0, 23.0 - 20.0 / 3.0, 10.0, 20.0 / 3.0]),
            ([flat; 4], 1.5, [2.0, 3.0, 10.0, 20.0]),
            ([open; 4], 1.5, [2.0, 3.0, 10.0, 20.0]),
        ] {
            let found = extent.squared(&glyph, [top, right, bottom, left], aspect);
            for (ours, by_hand) in [found.left, found.top, found.width, found.height].into_iter().zip(squared)
            {
                assert!(
                    (ours - by_hand).abs() < BINARY_DUST,
                    "{top:?} {right:?} {bottom:?} {left:?} {aspect}: {found:?}"
                );
            }
        }
    }

    #[test]
    fn a_pixel_counts_to_a_band_or_beyond_a_cut_by_its_part() {
        for (off, part) in [(0.0, 1.0), (1.5, 1.0), (2.0, 0.5), (-2.25, 0.25), (2.5, 0.0), (9.0, 0.0)] {
            assert!((band(off, 2.0) - part).abs() < BINARY_DUST, "{off}");
        }
        for (beyond, more) in [(0.0, 0.0), (0.25, 0.5), (-0.25, -0.5), (0.5, 1.0), (-3.0, -1.0)] {
            assert!((cut(beyond) - more).abs() < BINARY_DUST, "{beyond}");
        }
    }
}

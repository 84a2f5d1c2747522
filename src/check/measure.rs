//! Where a letter's edges lie, to about a hundredth of a pixel.
//!
//! A pixel's coverage tells how much of it the ink fills, so the sum of coverage along a line that ends in full ink
//! is the distance of the edge from there. The eight bits of a code leave about 0.01 px.

use super::alphabet::{Across, Detail, Edge, Letter, Path, Sides};
use super::glyph::{Border, Glyph};

/// From this coverage on a pixel counts as ink.
const INK: f64 = 0.5;

/// A line whose fullest pixel has less was cut by a slanted side and tells little.
const FULL: f64 = 0.9;

/// Lines of a straight border end within so much of each other, in pixels.
const SAME_EDGE_PX: f64 = 0.1;

/// Strokes along a side of a letter's box: what makes a stroke a fifth of the height.
pub(super) const GRID: f64 = 5.0;

/// The box of a letter within its cut, in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Extent {
    pub(super) left: f64,
    top: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Extent {
    /// The box with every side taken as straight: good to a few hundredths of a pixel.
    pub(super) fn roughly(glyph: &Glyph) -> Self {
        Self::measure(glyph, [Edge::Flat; 4])
    }

    /// The box with each side measured by its shape.
    pub(super) fn measure(glyph: &Glyph, sides: Sides) -> Self {
        let mut inset = [0.0; 4];
        for ((entry, border), edge) in inset.iter_mut().zip(Border::ALL).zip(sides) {
            *entry = border_inset(glyph, border, edge);
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

fn pixels(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::INFINITY, f64::from)
}

/// How far a letter stays away from a border of its cut.
fn border_inset(glyph: &Glyph, border: Border, edge: Edge) -> f64 {
    let insets: Vec<Option<f64>> =
        (0..glyph.lines(border)).map(|line| first_edge(&glyph.inward(border, line))).collect();
    let Some((nearest, inset)) = insets
        .iter()
        .enumerate()
        .filter_map(|(line, inset)| Some((line, (*inset)?)))
        .min_by(|(_, one), (_, other)| one.total_cmp(other))
    else {
        return 0.0;
    };
    match edge {
        Edge::Flat | Edge::Open => {
            let same: Vec<f64> =
                insets.iter().flatten().copied().filter(|other| other - inset < SAME_EDGE_PX).collect();
            same.iter().sum::<f64>() / pixels(same.len())
        }
        Edge::Round => {
            let beside = |line: Option<usize>| line.and_then(|line| insets.get(line).copied().flatten());
            let (before, after) = (beside(nearest.checked_sub(1)), beside(Some(nearest + 1)));
            before.zip(after).map_or(inset, |(before, after)| crest(before, inset, after))
        }
    }
}

/// Where the first edge on a line lies: the fullest pixel of the first ink, less the coverage before it.
fn first_edge(line: &[f64]) -> Option<f64> {
    let first = line.iter().position(|coverage| *coverage >= INK)?;
    let rising = line[first..].windows(2).take_while(|pair| pair[1] > pair[0] && pair[0] < FULL).count();
    let full = first + rising;
    if line[full] < FULL {
        return None;
    }
    Some(pixels(full) - line[..full].iter().map(|coverage| coverage / line[full]).sum::<f64>())
}

/// The outermost point of an arc from three neighbouring pixels' means of it.
///
/// Through the means of y = a + b·x + c·x² over [−3/2, −1/2], [−1/2, 1/2], [1/2, 3/2]: c is half the second
/// difference, b half the first, and each mean lies c/12 above its middle.
fn crest(before: f64, middle: f64, after: f64) -> f64 {
    let curvature = (before - 2.0 * middle + after) / 2.0;
    let slope = (after - before) / 2.0;
    if curvature < f64::EPSILON || slope.abs() > 2.0 * curvature {
        return middle;
    }
    middle - curvature / 12.0 - slope * slope / (4.0 * curvature)
}

/// The critical detail of a letter in pixels across and down: one of the two is measured, along its axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Measured {
    pub(super) px: f64,
    /// The axis, 0 for across and 1 for down; none for a gap towards a corner.
    pub(super) axis: Option<usize>,
}

/// Measures the critical detail.
pub(super) fn detail(glyph: &Glyph, extent: &Extent, letter: &Letter) -> Option<Measured> {
    match letter.detail {
        Detail::Along(path) => {
            let axis = match path.across {
                Across::Columns => 0,
                Across::Rows => 1,
            };
            Some(Measured { px: along(glyph, extent, path)?, axis: Some(axis) })
        }
        Detail::Corner(x, y) => Some(Measured { px: corner_gap(glyph, extent, x, y)?, axis: None }),
    }
}

/// The mean length of the detail over the lines on which it is the same.
fn along(glyph: &Glyph, extent: &Extent, path: Path) -> Option<f64> {
    let lines = lines_of(extent, path);
    let lengths: Vec<f64> = lines.filter_map(|line| length_on(glyph, extent, path, line)).collect();
    if lengths.is_empty() { None } else { Some(lengths.iter().sum::<f64>() / pixels(lengths.len())) }
}

/// The rows or columns whose centres lie within the path's spread, and always the nearest one.
fn lines_of(extent: &Extent, path: Path) -> std::ops::RangeInclusive<usize> {
    let place = |at: f64| match path.across {
        Across::Columns => extent.place(0.0, at).1,
        Across::Rows => extent.place(at, 0.0).0,
    };
    let nearest = whole(place(path.at));
    let (from, to) = (whole(place(path.at - path.spread) + 0.5), whole(place(path.at + path.spread) - 0.5));
    if from <= to && path.spread > 0.0 { from..=to } else { nearest..=nearest }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a place within a letter's cut")]
fn whole(place: f64) -> usize {
    place.max(0.0) as usize
}

/// The length of ink (or paper) on one line between the emptiest (or fullest) pixels on both sides of it.
fn length_on(glyph: &Glyph, extent: &Extent, path: Path, line: usize) -> Option<f64> {
    let end = |along: f64| match path.across {
        Across::Columns => whole(extent.place(along, 0.0).0),
        Across::Rows => whole(extent.place(0.0, along).1),
    };
    let value = |place: usize| {
        let coverage = match path.across {
            Across::Columns => glyph.at(place, line),
            Across::Rows => glyph.at(line, place),
        };
        if path.ink { coverage } else { 1.0 - coverage }
    };
    let values: Vec<f64> = (end(path.from)..=end(path.to)).map(value).collect();
    let half = values.len() / 2;
    let first = (0..half).rev().min_by(|one, other| values[*one].total_cmp(&values[*other]))?;
    let last = (half..values.len()).min_by(|one, other| values[*one].total_cmp(&values[*other]))?;
    Some(values[first..=last].iter().sum())
}

/// The gap of a ring towards a corner: the ink that one half lacks against the other, over the ring's thickness.
///
/// The gap's sides are straight and parallel while the ring is round, so its area is its width times the thickness
/// and 1.1 % more of the cube: w + w³/24 · (1/1.5 − 1/2.5) strokes for a gap of about one stroke.
fn corner_gap(glyph: &Glyph, extent: &Extent, x: f64, y: f64) -> Option<f64> {
    let (centre_x, centre_y) = extent.place(2.5, 2.5);
    let [columns, rows] = glyph.size();
    let mut lacking = 0.0;
    for row in 0..rows {
        for column in 0..columns {
            let beyond = ((pixels(column) + 0.5 - centre_x) * x + (pixels(row) + 0.5 - centre_y) * y).clamp(-1.0, 1.0);
            lacking -= share(beyond) * glyph.at(column, row);
        }
    }
    let middle = Path { across: Across::Columns, ink: true, at: 2.5, spread: 0.0, from: -0.45, to: 2.0 };
    let thickness = along(glyph, extent, middle)?;
    Some(lacking / thickness / (1.0 + (1.0 / 1.5 - 1.0 / 2.5) / 24.0))
}

/// What a pixel adds: +1 on the gap's side of the diagonal, −1 on the other, and for a pixel that the diagonal cuts
/// the difference of its parts. `beyond` is |dx| + |dy| signed, which is 1 at the corner of the pixel.
fn share(beyond: f64) -> f64 {
    beyond.signum() * (1.0 - (1.0 - beyond.abs()).powi(2))
}

//! The names of lines on a chart that is laid out.

use kurbo::BezPath;

use super::FieldColours;
use super::label::Labels;
use super::layout::{Layout, Row};
use crate::acuity::Notation;
use crate::light::Channel;
use crate::quantity::Length;
use crate::room::{Display, Room};
use crate::scene::{Geometry, Paint, Shape};

/// The light of a label as a share of its field's: easy to see from near, but never dark enough to be taken for a letter.
const LIGHT: f64 = 0.6;

/// The rows' names at the outer edge of each field, to be read on the screen itself, so never mirrored.
pub(super) fn shapes(notation: Notation, layout: &Layout, colours: &FieldColours, room: &Room) -> Vec<Shape> {
    let middles: Vec<f64> = layout.rows.iter().map(|row| row.middle().to_mm()).collect();
    let spacing = middles.windows(2).map(|pair| pair[1] - pair[0]).reduce(f64::min);
    let labels = Labels::new(notation, layout.size[1], spacing.map(Length::mm));
    let ends = match colours.right {
        None => vec![(false, colours.left)],
        Some(right) if room.viewing.mirror => vec![(false, right), (true, colours.left)],
        Some(right) => vec![(false, colours.left), (true, right)],
    };
    let at = |row: &Row, middle: f64, (at_right, field): (bool, Paint)| {
        shape(labels.outline(row.acuity, layout.size[0], at_right, middle), field, &room.display)
    };
    let rows = layout.rows.iter().zip(middles);
    rows.flat_map(|(row, middle)| ends.iter().map(move |end| at(row, middle, *end))).collect()
}

/// A label on a field.
fn shape(outline: BezPath, field: Paint, display: &Display) -> Shape {
    let codes = Channel::ALL.map(|channel| {
        let tone = display.tone(channel);
        tone.nearest_code(tone.light(field.codes[channel.index()]) * LIGHT)
    });
    Shape { geometry: Geometry::Path(outline), paint: Paint { codes } }
}

//! The names of lines at the edge of a chart, for the examiner who stands near.

use kurbo::BezPath;

use crate::acuity::{Acuity, Notation};
use crate::quantity::Length;
use crate::scene::{Face, Text};

/// The least height of digits where lines leave room for it, and how many digit heights make up a picture's height.
const LEAST_HEIGHT: Length = Length::mm(3.0);
const IN_A_PICTURE: f64 = 90.0;

/// The distance from one row's middle to the next, in digit heights.
const ROW_SPACING: f64 = 1.6;

/// The widest name of a line.
const WIDEST: &str = "−0.20 logMAR";

/// How the labels of one chart are set.
pub(super) struct Labels {
    notation: Notation,
    height: Length,
}

impl Labels {
    /// Labels on a picture of this height, for rows whose middles are at least `spacing` apart.
    pub(super) fn new(notation: Notation, picture: Length, spacing: Option<Length>) -> Self {
        let wished = Length::mm((picture / IN_A_PICTURE).to_mm().max(LEAST_HEIGHT.to_mm()));
        let room = spacing.map_or(f64::INFINITY, |spacing| spacing.to_mm() / ROW_SPACING);
        Self { notation, height: Length::mm(wished.to_mm().min(room)) }
    }

    fn text(&self, words: &str) -> Text {
        Text::new(words, Face::Regular, Face::Regular.em_of_digits(self.height))
    }

    /// The width that labels need at the outer side of a field.
    pub(super) fn margin(&self) -> Length {
        self.text(WIDEST).width() + self.height * 2.0
    }

    /// A line's name at the left or the right end of a picture of this width, level with the middle of its row.
    pub(super) fn outline(&self, line: Acuity, picture: Length, at_right: bool, middle_mm: f64) -> BezPath {
        let text = self.text(&line.in_notation(self.notation));
        let inset = self.height.to_mm();
        let left = if at_right { picture.to_mm() - inset - text.width().to_mm() } else { inset };
        text.at(left, middle_mm + inset / 2.0).outline()
    }
}

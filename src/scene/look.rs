//! The common look of sheets, reports, plots and slides: colours, type and space. Charts do not use it.
//!
//! Sizes of type are steps of one ratio, spaces multiples of one unit. Red and green here are dark inks for words and lines on
//! paper; they have nothing to do with the light of a chart's fields.

use super::{Face, Paint};
use crate::quantity::Length;

/// The background of reports and slides.
pub const PAPER: Paint = Paint { codes: [0xFB, 0xFA, 0xF7] };
/// The background of what goes to a printer: white, so that it takes no ink.
pub const BARE: Paint = Paint { codes: [0xFF; 3] };
/// Words and figures on paper.
pub const INK: Paint = Paint { codes: [0x16, 0x19, 0x1D] };
/// Labels, sources and axes on paper.
pub const QUIET: Paint = Paint { codes: [0x59, 0x62, 0x6B] };
/// Grids and rules.
pub const HAIRLINE: Paint = Paint { codes: [0xD8, 0xDB, 0xDD] };
/// Whatever belongs to the red field.
pub const LONG: Paint = Paint { codes: [0xB3, 0x26, 0x1E] };
/// Whatever belongs to the green field.
pub const MIDDLE: Paint = Paint { codes: [0x1B, 0x6E, 0x3F] };
/// Balance, and the one accent colour.
pub const BALANCE: Paint = Paint { codes: [0x8A, 0x5A, 0x00] };
/// Under what lies in a range of balance, so pale that words stand on it.
pub const BALANCE_PALE: Paint = Paint { codes: [0xF3, 0xEC, 0xDF] };
/// The background of pictures for the dark room.
pub const NIGHT: Paint = Paint { codes: [0x05, 0x06, 0x07] };
/// Words and figures in the dark room.
pub const GLOW: Paint = Paint { codes: [0xC8, 0xCB, 0xCD] };
/// Labels in the dark room.
pub const DIM: Paint = Paint { codes: [0x7C, 0x84, 0x8C] };

/// A red light enough to be read on [`NIGHT`].
pub const LONG_AT_NIGHT: Paint = Paint { codes: [0xF0, 0x6A, 0x5F] };
/// A green light enough to be read on [`NIGHT`].
pub const MIDDLE_AT_NIGHT: Paint = Paint { codes: [0x55, 0xB0, 0x7C] };
/// The accent light enough to be read on [`NIGHT`].
pub const BALANCE_AT_NIGHT: Paint = Paint { codes: [0xC9, 0x8A, 0x1B] };
/// Under what lies in a range of balance in the dark room, so deep that words stand on it.
pub const BALANCE_DEEP: Paint = Paint { codes: [0x33, 0x25, 0x0C] };
/// Grids and rules in the dark room.
pub const HAIRLINE_AT_NIGHT: Paint = Paint { codes: [0x2E, 0x33, 0x38] };

/// The colours of one ground, by what they are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Palette {
    /// What lies under everything.
    pub ground: Paint,
    /// Words and figures.
    pub ink: Paint,
    /// Labels, sources and axes.
    pub quiet: Paint,
    /// Grids and rules.
    pub hairline: Paint,
    /// Whatever belongs to the red field.
    pub long: Paint,
    /// Whatever belongs to the green field.
    pub middle: Paint,
    /// Balance, and the one accent colour.
    pub balance: Paint,
    /// Under what lies in a range of balance.
    pub within: Paint,
}

/// Reports and whatever is printed.
pub const ON_PAPER: Palette = Palette {
    ground: PAPER,
    ink: INK,
    quiet: QUIET,
    hairline: HAIRLINE,
    long: LONG,
    middle: MIDDLE,
    balance: BALANCE,
    within: BALANCE_PALE,
};

/// Pages that go to a printer.
pub const ON_BARE: Palette = Palette { ground: BARE, ..ON_PAPER };

/// Whatever is shown in the dark room.
pub const AT_NIGHT: Palette = Palette {
    ground: NIGHT,
    ink: GLOW,
    quiet: DIM,
    hairline: HAIRLINE_AT_NIGHT,
    long: LONG_AT_NIGHT,
    middle: MIDDLE_AT_NIGHT,
    balance: BALANCE_AT_NIGHT,
    within: BALANCE_DEEP,
};

/// The width of a rule or a grid line in millimetres.
pub const HAIRLINE_MM: f64 = 0.25;

/// The unit of all spaces on paper, in millimetres.
pub const GRID_MM: f64 = 2.0;

/// The distance from baseline to baseline, in ems.
const LEADING: f64 = 1.4;

/// How words are set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// The cut.
    pub face: Face,
    /// The size.
    pub em: Length,
    /// The colour.
    pub paint: Paint,
}

/// The ratio of one size of type to the next smaller one.
const SCALE: f64 = 1.25;

/// The size of a report's body.
const BODY_POINTS: f64 = 9.5;

/// A report's body.
pub const BODY: Style = Style { face: Face::Regular, em: Length::points(BODY_POINTS), paint: INK };
/// The least type in print. A step of the scale below the body would be 7.6 points.
pub const LEAST: Length = Length::points(8.0);

/// Labels and sources: the least type in print.
pub const SMALL: Style = Style { face: Face::Regular, em: LEAST, paint: QUIET };
/// Tables and figures: as small, in ink.
pub const FIGURE: Style = SMALL.in_paint(INK);
/// What heads a group: the body in bold.
pub const HEADING: Style = Style { face: Face::Bold, ..BODY };
/// A sentence that leads: a step above the body.
pub const LEAD: Style = Style { em: Length::points(BODY_POINTS * SCALE), ..BODY };
/// What is read first: three steps above the body.
pub const TITLE: Style =
    Style { face: Face::Bold, em: Length::points(BODY_POINTS * SCALE * SCALE * SCALE), paint: INK };

impl Style {
    /// The same in another colour.
    #[must_use]
    pub const fn in_paint(self, paint: Paint) -> Self {
        Self { paint, ..self }
    }

    /// The same in bold.
    #[must_use]
    pub const fn bold(self) -> Self {
        Self { face: Face::Bold, ..self }
    }

    /// The distance from baseline to baseline in millimetres.
    ///
    /// ```
    /// # use evenfield::scene::look::BODY;
    /// // Worked by hand: 9.5 points are 3.35139 mm, of which 1.4 times are 4.69194.
    /// const HALF_A_DIGIT_MM: f64 = 5e-6;
    /// assert!((BODY.leading() - 4.69194).abs() < HALF_A_DIGIT_MM);
    /// ```
    #[must_use]
    pub const fn leading(self) -> f64 {
        self.em.to_mm() * LEADING
    }
}

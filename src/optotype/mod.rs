//! The letters of the chart, as geometry on a grid of five by five strokes.
//!
//! A stroke is the unit, x runs to the right and y down, the box is 0 to 5 both ways.
//! Contours never cross: each outer contour runs clockwise on the screen, each hole the other way,
//! so that signed areas add up to the ink.
//!
//! [`LetterSet`] names the sets, [`Optotype::outline`] gives a letter's outline and [`Draw`] the order in which letters stand on a
//! chart. To draw one at a height, scale its outline by that height over [`STROKES_A_SIDE`].
//!
//! The outlines were constructed for this project from the proportions that standards give; they are no font's. How well each
//! letter is told from the others by eyes was not measured.

mod draw;
mod hotv;
mod outline;
mod ring;
mod sloan;
mod tumbling;

use kurbo::BezPath;
use strum::VariantArray;

pub use draw::Draw;
pub use ring::Compass;

/// Strokes along one side of a letter's box.
///
/// ISO 8596 for the ring (outer diameter five times the gap); common practice for letters, no source.
pub const STROKES_A_SIDE: f64 = 5.0;

/// A letter of a chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Optotype {
    /// One of the ten Sloan letters, or T.
    Capital(char),
    /// The Landolt ring with its gap in a direction.
    Ring(Compass),
    /// The E whose bars point in a direction, along an axis of the screen.
    TumblingE(Compass),
}

impl Optotype {
    /// Its outline in strokes, within the box of five by five.
    ///
    /// ```
    /// # use evenfield::kurbo::Shape;
    /// # use evenfield::optotype::{Compass, Optotype};
    /// // The E is 25 squares less two notches of four by one: 17.
    /// const ARCS: f64 = 1e-5;
    /// assert!((Optotype::TumblingE(Compass::Right).outline().area().abs() - 17.0).abs() < ARCS);
    /// ```
    #[must_use]
    pub fn outline(self) -> BezPath {
        match self {
            Self::Capital(letter) => sloan::outline(letter).unwrap_or_else(|| hotv::outline(letter)),
            Self::Ring(gap) => ring::with_gap(gap),
            Self::TumblingE(bars) => tumbling::pointing(bars),
        }
    }

    /// Its name in files and findings: `K`; `→` for a ring with its gap there; `E↑` for an E whose bars point there.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Capital(letter) => letter.to_string(),
            Self::Ring(gap) => gap.arrow().to_string(),
            Self::TumblingE(bars) => format!("E{}", bars.arrow()),
        }
    }
}

/// A set of letters that a chart draws from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum LetterSet {
    /// C D H K N O R S V Z.
    Sloan,
    /// The Landolt ring in eight directions.
    Rings,
    /// The E in four directions.
    TumblingE,
    /// H O T V.
    Hotv,
}

impl LetterSet {
    /// Every set.
    pub const ALL: &'static [Self] = Self::VARIANTS;

    /// Its name on the command line and in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sloan => "sloan",
            Self::Rings => "rings",
            Self::TumblingE => "tumbling-e",
            Self::Hotv => "hotv",
        }
    }

    /// Every letter, set by set; those that several sets have stand once.
    #[must_use]
    pub fn letters() -> Vec<Optotype> {
        let mut letters = Vec::new();
        for letter in Self::ALL.iter().flat_map(|set| set.members()) {
            if !letters.contains(&letter) {
                letters.push(letter);
            }
        }
        letters
    }

    /// Its members.
    #[must_use]
    pub fn members(self) -> Vec<Optotype> {
        match self {
            Self::Sloan => sloan::LETTERS.chars().map(Optotype::Capital).collect(),
            Self::Rings => Compass::ALL.into_iter().map(Optotype::Ring).collect(),
            Self::TumblingE => Compass::AXES.into_iter().map(Optotype::TumblingE).collect(),
            Self::Hotv => hotv::LETTERS.chars().map(Optotype::Capital).collect(),
        }
    }
}

#[cfg(test)]
mod tests;

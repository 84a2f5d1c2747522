//! Sheets of paper.
//!
//! Pages are laid out anew for each sheet and never scaled from one to the other, since true size is what they are for.

use crate::quantity::Length;
use crate::scene::look::BARE;
use crate::scene::{Canvas, Metadata, Scene};

/// A sheet of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm, ISO 216.
    A4,
    /// 8.5 × 11 in.
    Letter,
}

impl Paper {
    /// Both, the default first.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// Width and height.
    ///
    /// ```
    /// # use evenfield::{print::Paper, quantity::Length};
    /// // ISO 216, and 8.5 by 11 inches by hand.
    /// assert_eq!(Paper::A4.size().map(Length::to_mm), [210.0, 297.0]);
    /// const BINARY_DUST: f64 = 1e-9;
    /// let [width, height] = Paper::Letter.size().map(Length::to_mm);
    /// assert!((width - 215.9).abs() < BINARY_DUST && (height - 279.4).abs() < BINARY_DUST);
    /// ```
    #[must_use]
    pub const fn size(self) -> [Length; 2] {
        match self {
            Self::A4 => [Length::mm(210.0), Length::mm(297.0)],
            Self::Letter => [Length::inches(8.5), Length::inches(11.0)],
        }
    }
}

/// A page of bare paper with what lies on it.
pub(super) fn sheet(paper: Paper, canvas: Canvas, title: &str, description: &str) -> Scene {
    Scene {
        size: paper.size(),
        background: BARE,
        shapes: canvas.shapes,
        metadata: Metadata { title: title.into(), description: description.into(), json: String::new() },
    }
}

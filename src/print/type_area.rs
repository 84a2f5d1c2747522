//! Where type stands on a sheet: one grid for all pages.

use super::Paper;
use crate::quantity::Length;
use crate::scene::look::GRID_MM;

/// Air at the sheet's sides, and between two columns: on A4 these begin at 14 and at 110 mm.
pub(super) const MARGIN_MM: f64 = 7.0 * GRID_MM;
pub(super) const GUTTER_MM: f64 = 5.0 * GRID_MM;

/// Where words may stand, in millimetres from the sheet's upper left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TypeArea {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

impl TypeArea {
    /// All of a sheet but its margins.
    pub(super) fn of(paper: Paper) -> Self {
        let [width, height] = paper.size().map(Length::to_mm);
        Self { left: MARGIN_MM, right: width - MARGIN_MM, top: MARGIN_MM, bottom: height - MARGIN_MM }
    }

    pub(super) const fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Its two columns.
    pub(super) const fn columns(self) -> [Self; 2] {
        self.columns_parted(0.5)
    }

    /// Two columns, the first of which has this share of the width.
    pub(super) const fn columns_parted(self, share: f64) -> [Self; 2] {
        let width = self.width() - GUTTER_MM;
        let right = self.left + share * width;
        [Self { right, ..self }, Self { left: right + GUTTER_MM, ..self }]
    }
}

//! How closely the page of an examination is set.

use crate::scene::look::{BODY, FIGURE, GRID_MM, Style};

/// How closely a page is set. The first that fits is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Closeness {
    /// With air.
    Airy,
    /// With small reasons and less air.
    Close,
}

impl Closeness {
    pub(super) const ALL: [Self; 2] = [Self::Airy, Self::Close];

    /// Between groups, in millimetres.
    pub(super) const fn gap(self) -> f64 {
        match self {
            Self::Airy => 3.0 * GRID_MM,
            Self::Close => 1.7 * GRID_MM,
        }
    }

    /// Within groups, in millimetres.
    pub(super) const fn within(self) -> f64 {
        match self {
            Self::Airy => 0.5 * GRID_MM,
            Self::Close => 0.375 * GRID_MM,
        }
    }

    /// How much higher notes may stand before a group is broken between two columns, in millimetres.
    pub(super) const fn broken(self) -> f64 {
        match self {
            Self::Airy => 12.0 * GRID_MM,
            Self::Close => 6.0 * GRID_MM,
        }
    }

    /// From lens to neighbouring lens on a ladder at the least, in millimetres, so that letters stand between them.
    pub(super) const fn click(self) -> f64 {
        match self {
            Self::Airy => 3.2,
            Self::Close => 2.0,
        }
    }

    /// Air over a line that is filled in by hand, in millimetres.
    pub(super) const fn by_hand(self) -> f64 {
        match self {
            Self::Airy => 3.5 * GRID_MM,
            Self::Close => 2.5 * GRID_MM,
        }
    }

    /// Why a lens stands.
    pub(super) const fn reasons(self) -> Style {
        match self {
            Self::Airy => BODY,
            Self::Close => FIGURE,
        }
    }
}

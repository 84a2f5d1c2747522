//! The Landolt ring: five strokes across, one thick, with a gap one stroke wide
//! ([ISO 8596](crate::bibliography::ISO_8596)).

use std::f64::consts::{FRAC_PI_4, TAU};

use kurbo::{Affine, BezPath};

use super::outline::Pen;

/// The middle of the box.
pub(super) const CENTRE: (f64, f64) = (2.5, 2.5);
/// The ring's outer radius in strokes.
pub(super) const OUTER: f64 = 2.5;
/// The ring's inner radius in strokes.
pub(super) const INNER: f64 = 1.5;
/// Half the gap in strokes.
const HALF_GAP: f64 = 0.5;

/// A direction on the screen as the patient sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Compass {
    Right,
    DownRight,
    Down,
    DownLeft,
    Left,
    UpLeft,
    Up,
    UpRight,
}

impl Compass {
    /// All eight, clockwise from the right.
    pub const ALL: [Self; 8] = [
        Self::Right,
        Self::DownRight,
        Self::Down,
        Self::DownLeft,
        Self::Left,
        Self::UpLeft,
        Self::Up,
        Self::UpRight,
    ];

    /// The four along the screen's sides.
    pub const AXES: [Self; 4] = [Self::Right, Self::Down, Self::Left, Self::Up];

    /// An arrow that points this way.
    #[must_use]
    pub const fn arrow(self) -> char {
        match self {
            Self::Right => '→',
            Self::DownRight => '↘',
            Self::Down => '↓',
            Self::DownLeft => '↙',
            Self::Left => '←',
            Self::UpLeft => '↖',
            Self::Up => '↑',
            Self::UpRight => '↗',
        }
    }

    /// Turns what points right about the middle of the box until it points this way.
    pub(super) fn turn(self) -> Affine {
        Affine::rotate_about(f64::from(self as u8) * FRAC_PI_4, CENTRE)
    }
}

/// A ring without a gap: the letter O.
pub(super) fn closed() -> BezPath {
    Pen::new().arc(CENTRE, OUTER, 0.0, TAU).close().arc(CENTRE, INNER, TAU, 0.0).close().finish()
}

/// The ring whose gap has straight, parallel sides.
pub(super) fn with_gap(gap: Compass) -> BezPath {
    let (outer, inner) = ((HALF_GAP / OUTER).asin(), (HALF_GAP / INNER).asin());
    let right = Pen::new()
        .arc(CENTRE, OUTER, outer, TAU - outer)
        .arc(CENTRE, INNER, TAU - inner, inner)
        .close()
        .finish();
    gap.turn() * right
}

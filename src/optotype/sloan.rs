//! The ten Sloan letters.
//!
//! C and O are the ring, open and closed. The others are this project's own construction on the 5 × 5 grid
//! (common practice, no source: drawings of the diagonals differ). Straight strokes are one unit wide, and so are feet and
//! tips where a stroke ends flat. The strokes of V are one unit wide along each row, which is 0.93 at right angles to them.

use std::f64::consts::FRAC_PI_2;

use kurbo::BezPath;

use super::outline::{Pen, polygon};
use super::ring::{self, Compass};

pub(super) const LETTERS: &str = "CDHKNORSVZ";

/// The outline of one of [`LETTERS`].
pub(super) fn outline(letter: char) -> Option<BezPath> {
    Some(match letter {
        'C' => ring::with_gap(Compass::Right),
        'D' => d(),
        'H' => h(),
        'K' => k(),
        'N' => n(),
        'O' => ring::closed(),
        'R' => r(),
        'S' => s(),
        'V' => v(),
        'Z' => z(),
        _ => return None,
    })
}

/// A stem and a bowl of concentric half circles.
fn d() -> BezPath {
    let bowl = (2.5, 2.5);
    Pen::new()
        .at(0.0, 0.0)
        .arc(bowl, 2.5, -FRAC_PI_2, FRAC_PI_2)
        .line(0.0, 5.0)
        .close()
        .at(1.0, 1.0)
        .line(1.0, 4.0)
        .arc(bowl, 1.5, FRAC_PI_2, -FRAC_PI_2)
        .close()
        .finish()
}

fn h() -> BezPath {
    polygon(&[
        (0.0, 0.0),
        (1.0, 0.0),
        (1.0, 2.0),
        (4.0, 2.0),
        (4.0, 0.0),
        (5.0, 0.0),
        (5.0, 5.0),
        (4.0, 5.0),
        (4.0, 3.0),
        (1.0, 3.0),
        (1.0, 5.0),
        (0.0, 5.0),
    ])
}

/// Arm and leg of slope 3 : 4, so that a stroke one unit thick is 5/4 high; the box clips their tips
/// to one unit along the top and the bottom.
fn k() -> BezPath {
    const SLOPE: f64 = 0.75;
    const HEIGHT: f64 = 1.25;
    let (arm, tip) = (3.0 * SLOPE, HEIGHT - SLOPE);
    let crotch = 4.0 - (2.5 - HEIGHT) / SLOPE;
    polygon(&[
        (0.0, 0.0),
        (1.0, 0.0),
        (1.0, arm),
        (4.0, 0.0),
        (5.0, 0.0),
        (5.0, tip),
        (crotch, 2.5),
        (5.0, 5.0 - tip),
        (5.0, 5.0),
        (4.0, 5.0),
        (1.0, 5.0 - arm),
        (1.0, 5.0),
        (0.0, 5.0),
    ])
}

/// The drop, over three units across, of a diagonal one unit thick that starts in the inner corner of one stem
/// and ends in the opposite one: (5 − 3m)² = 1 + m² for its slope m.
fn diagonal_drop() -> f64 {
    3.0 * (15.0 - 33_f64.sqrt()) / 8.0
}

fn n() -> BezPath {
    let drop = diagonal_drop();
    polygon(&[
        (0.0, 0.0),
        (1.0, 0.0),
        (4.0, drop),
        (4.0, 0.0),
        (5.0, 0.0),
        (5.0, 5.0),
        (4.0, 5.0),
        (1.0, 5.0 - drop),
        (1.0, 5.0),
        (0.0, 5.0),
    ])
}

/// A bowl three units high and a leg of slope 4 : 3 that the box clips to a foot of one unit.
fn r() -> BezPath {
    let bowl = (3.5, 1.5);
    Pen::new()
        .at(0.0, 0.0)
        .arc(bowl, 1.5, -FRAC_PI_2, FRAC_PI_2)
        .line(3.75, 3.0)
        .line(5.0, 14.0 / 3.0)
        .line(5.0, 5.0)
        .line(4.0, 5.0)
        .line(2.5, 3.0)
        .line(1.0, 3.0)
        .line(1.0, 5.0)
        .line(0.0, 5.0)
        .close()
        .at(1.0, 1.0)
        .line(1.0, 2.0)
        .arc(bowl, 0.5, FRAC_PI_2, -FRAC_PI_2)
        .close()
        .finish()
}

/// Two bowls three units high that share the middle bar; the terminals end flat, one unit wide.
fn s() -> BezPath {
    let (upper_left, upper_right) = ((1.5, 1.5), (3.5, 1.5));
    let (lower_left, lower_right) = ((1.5, 3.5), (3.5, 3.5));
    Pen::new()
        .at(5.0, 1.5)
        .quarters(upper_right, 0.5, 0.0, -1.0)
        .quarters(upper_left, 0.5, 3.0, -2.0)
        .quarters(lower_right, 1.5, -1.0, 2.0)
        .quarters(lower_left, 1.5, 1.0, 1.0)
        .quarters(lower_left, 0.5, 2.0, -1.0)
        .quarters(lower_right, 0.5, 1.0, -2.0)
        .quarters(upper_left, 1.5, 1.0, 2.0)
        .quarters(upper_right, 1.5, -1.0, 1.0)
        .close()
        .finish()
}

/// Arms one unit wide along every row, meeting in a flat foot.
fn v() -> BezPath {
    polygon(&[(0.0, 0.0), (1.0, 0.0), (2.5, 3.75), (4.0, 0.0), (5.0, 0.0), (3.0, 5.0), (2.0, 5.0)])
}

fn z() -> BezPath {
    let run = diagonal_drop();
    polygon(&[
        (0.0, 0.0),
        (5.0, 0.0),
        (5.0, 1.0),
        (5.0 - run, 4.0),
        (5.0, 4.0),
        (5.0, 5.0),
        (0.0, 5.0),
        (0.0, 4.0),
        (run, 1.0),
        (0.0, 1.0),
    ])
}

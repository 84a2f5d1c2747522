//! The four letters that look the same in a mirror; H, O and V are those of the Sloan set.

use kurbo::BezPath;

use super::outline::polygon;

pub(super) const LETTERS: &str = "HOTV";

/// The outline of the letter T, the one that the Sloan set lacks.
///
/// # Panics
/// For any other letter: only the sets of this module make a capital.
pub(super) fn outline(letter: char) -> BezPath {
    assert_eq!(letter, 'T', "no letter set of this project has {letter}");
    polygon(&[(0.0, 0.0), (5.0, 0.0), (5.0, 1.0), (3.0, 1.0), (3.0, 5.0), (2.0, 5.0), (2.0, 1.0), (0.0, 1.0)])
}

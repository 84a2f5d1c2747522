//! The tumbling E: a spine and three bars of equal length, one stroke each, one stroke apart.

use kurbo::BezPath;

use super::outline::polygon;
use super::ring::Compass;

/// The E whose bars point in a direction.
pub(super) fn pointing(bars: Compass) -> BezPath {
    bars.turn()
        * polygon(&[
            (0.0, 0.0),
            (5.0, 0.0),
            (5.0, 1.0),
            (1.0, 1.0),
            (1.0, 2.0),
            (5.0, 2.0),
            (5.0, 3.0),
            (1.0, 3.0),
            (1.0, 4.0),
            (5.0, 4.0),
            (5.0, 5.0),
            (0.0, 5.0),
        ])
}

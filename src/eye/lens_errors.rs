//! Evenly spaced lens errors, at which much is worked out at once.

use crate::quantity::Dioptres;

/// Lens errors from one on, in even steps.
///
/// ```
/// # use evenfield::{eye::LensErrors, quantity::Dioptres};
/// let three = LensErrors { from: Dioptres::new(-0.5), step: Dioptres::new(0.5), count: 3 };
/// assert_eq!(three.iter().collect::<Vec<_>>(), [-0.5, 0.0, 0.5].map(Dioptres::new));
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LensErrors {
    /// The first one.
    pub from: Dioptres,
    /// From one to the next.
    pub step: Dioptres,
    /// How many there are.
    pub count: usize,
}

impl LensErrors {
    /// All of them, from the first on.
    pub fn iter(self) -> impl Iterator<Item = Dioptres> {
        (0..self.count).map(move |index| self.at(index))
    }

    /// The one at a place, counted from nought.
    #[must_use]
    pub fn at(self, index: usize) -> Dioptres {
        Dioptres::new(index as f64 * self.step.to_d() + self.from.to_d())
    }
}

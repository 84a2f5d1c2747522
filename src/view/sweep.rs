//! Views from one lens error to another, in steps too small to flash.
//!
//! A lens that is turned is seen as a change in time; to show it on a screen no step may flash.

use super::close_up::{CloseUp, CloseUpError, whole};
use crate::eye::Eye;
use crate::quantity::Dioptres;
use crate::raster::Light;

/// By how much any area may change from one picture to the next, as a share of the fields' light: a tenth, from which
/// on a change counts as a flash where seizures are a risk. Common practice, source not recorded.
const MOST_CHANGE: f64 = 0.1;

/// The coarsest step in dioptres, and how often it may be halved.
const COARSEST_D: f64 = 0.05;
const HALVINGS: i32 = 5;

/// Lens errors from one end to the other, in steps too small to count as flashes.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep<P> {
    /// The pictures of the way out, as `show` gave them.
    pub pictures: Vec<P>,
    /// Their lens errors.
    pub lens_errors: Vec<Dioptres>,
}

impl<P> Sweep<P> {
    /// Goes from one lens error to another; `show` makes of each view what is kept of it, since the light itself takes eight
    /// times the memory of its codes.
    ///
    /// The step is halved until no area of a stroke's size changes by more than a tenth of the fields' light.
    ///
    /// # Errors
    /// More pictures than [`CloseUp::bounded`] lets be worked out.
    pub fn new(
        close_up: &CloseUp,
        eye: &Eye,
        [from, to]: [Dioptres; 2],
        mut show: impl FnMut(Dioptres, &Light) -> P,
    ) -> Result<Self, CloseUpError> {
        let way = (to - from).to_d();
        let mut out = Self { pictures: Vec::new(), lens_errors: Vec::new() };
        for halving in 0..=HALVINGS {
            let steps = whole(way.abs() / (COARSEST_D * 0.5_f64.powi(halving)));
            close_up.bounded(steps + 1)?;
            let at = |step: usize| Dioptres::new(from.to_d() + way * step as f64 / steps as f64);
            out = Self { pictures: Vec::new(), lens_errors: Vec::new() };
            if out.go(close_up, eye, (0..=steps).map(at), &mut show) {
                break;
            }
        }
        Ok(out)
    }

    /// Keeps a picture for each lens error, as long as none differs from the last by too much. Whether none did.
    fn go(
        &mut self,
        close_up: &CloseUp,
        eye: &Eye,
        lens_errors: impl Iterator<Item = Dioptres>,
        show: &mut impl FnMut(Dioptres, &Light) -> P,
    ) -> bool {
        let mut last: Option<Light> = None;
        for lens_error in lens_errors {
            let next = close_up.seen(eye, lens_error);
            self.pictures.push(show(lens_error, &next));
            self.lens_errors.push(lens_error);
            if last.is_some_and(|last| close_up.change(&last, &next) > MOST_CHANGE) {
                return false;
            }
            last = Some(next);
        }
        true
    }
}

/// The pictures of a way out and back again, each end once.
///
/// ```
/// # use evenfield::view::out_and_back;
/// assert_eq!(out_and_back(&[1, 2, 3]).copied().collect::<Vec<_>>(), [1, 2, 3, 2, 1]);
/// ```
pub fn out_and_back<P>(pictures: &[P]) -> impl Iterator<Item = &P> {
    pictures.iter().chain(pictures.iter().rev().skip(1))
}

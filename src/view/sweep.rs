use super::CloseUp;
use crate::eye::Eye;
use crate::quantity::Dioptres;
use crate::raster::Light;

/// By how much any area may change from one picture to the next, as a share of the fields' light: a tenth, from which
/// on a change counts as a flash where seizures are a risk. Common practice, source not recorded.
const MOST_CHANGE: f64 = 0.1;

/// The coarsest step in dioptres, and how often it may be halved.
const COARSEST_D: f64 = 0.05;
const HALVINGS: i32 = 5;

/// Lens errors from one end to the other and back, in steps too small to count as flashes.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    /// The pictures in their order.
    pub pictures: Vec<Light>,
    /// Their lens errors.
    pub lens_errors: Vec<Dioptres>,
}

impl Sweep {
    /// Goes from one lens error to another and back; `seen` is called after each picture.
    ///
    /// The step is halved until no area of a stroke's size changes by more than a tenth of the fields' light.
    #[must_use]
    pub fn new(
        close_up: &CloseUp,
        eye: &Eye,
        [from, to]: [Dioptres; 2],
        mut seen: impl FnMut(Dioptres),
    ) -> Self {
        let mut half: Vec<(Dioptres, Light)> = Vec::new();
        let way = (to - from).to_d();
        for halving in 0..=HALVINGS {
            let count = (way.abs() / (COARSEST_D * 0.5_f64.powi(halving))).ceil().max(1.0);
            half.clear();
            let mut calm = true;
            while calm && half.len() as f64 <= count {
                let lens_error = Dioptres::new(from.to_d() + way * half.len() as f64 / count);
                seen(lens_error);
                let next = close_up.seen(eye, lens_error);
                calm = half.last().is_none_or(|(_, last)| close_up.change(last, &next) <= MOST_CHANGE);
                half.push((lens_error, next));
            }
            if calm {
                break;
            }
        }
        let back: Vec<(Dioptres, Light)> = half.iter().rev().skip(1).cloned().collect();
        let (lens_errors, pictures) = half.into_iter().chain(back).unzip();
        Self { pictures, lens_errors }
    }
}

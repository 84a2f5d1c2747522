//! The dioptres between the fields.
//!
//! Red and green lie apart by less than the peaks of their spectra suggest, since each is a whole band and the eye weights its
//! inner flank more. So the interval is between luminance-weighted means, by both published formulas: how far they differ is a
//! first idea of how well it is known.

use serde::Serialize;

use crate::eye::Foci;
use crate::light::Spectrum;
use crate::quantity::Wavelength;

/// The filters of textbooks in nanometres.
const TEXTBOOK_NM: (f64, f64) = (535.0, 620.0);

/// Dioptres between the fields by one formula.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Interval {
    /// The formula's authors and year.
    pub by: &'static str,
    /// From the mean focus of green to that of red.
    pub interval_d: f64,
    /// The wavelength in focus where both are equally blurred.
    pub middle_nm: f64,
    /// The interval of the textbook's filters, 535 and 620 nm.
    pub textbook_d: f64,
}

impl Interval {
    pub(super) fn new(foci: Foci) -> Self {
        let (green, red) = TEXTBOOK_NM;
        let [red, green] = [red, green].map(|nm| Spectrum::line(Wavelength::nm(nm)));
        Self {
            by: foci.eye.name(),
            interval_d: foci.interval.to_d(),
            middle_nm: foci.middle.to_nm(),
            textbook_d: foci.eye.foci(&red, &green).interval.to_d(),
        }
    }
}

//! What the eye makes of a chart: the focus of each wavelength, the pupil, the transfer of detail (the OTF, and its size,
//! the MTF), and how clear letters are.
//!
//! # What it leaves out
//!
//! Accommodation, astigmatism and all aberrations but the chromatic and, from 4 mm of pupil on, the spherical one, scatter, neural adaptation, and
//! colour vision itself. Luminance is that of the standard observer. Zero lens error means that 570 nm are focused for the
//! test distance; texts put white's own focus anywhere from 555 to 570 nm (sources not recorded).
//!
//! # How far it is right
//!
//! [`PUBLISHED`] holds it against what was measured on eyes, row by row, and says which figures a constant was set by, so that
//! agreement with them is no evidence. Misfits stay in it.

mod clarity;
mod comparison;
mod curve;
mod focus;
mod fresnel;
mod lens_errors;
mod optics;
mod prediction;
mod published;
mod pupil;
mod quadrature;
mod sensitivity;
mod sides;
mod transfer;
mod turn;

pub use clarity::{Clarity, LetterBand};
pub use comparison::{Comparison, NOTICED, Seen};
pub use curve::{Curve, CurvePoint};
pub use focus::{ChromaticEye, Foci};
pub use lens_errors::LensErrors;
pub use optics::Eye;
pub use prediction::{BestWhite, CLICK_D, Prediction};
pub use published::{Evidence, NOT_COMPARED, PUBLISHED, Published, Used};
pub use pupil::{Adaptation, Pupil, PupilError};
pub use sensitivity::Sensitivity;
pub use sides::Sides;

#[cfg(test)]
mod tests;

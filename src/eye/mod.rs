//! What the eye makes of a chart: the focus of each wavelength, the pupil, the transfer of detail, and how clear letters
//! are.

mod clarity;
mod focus;
mod optics;
mod prediction;
mod pupil;
mod quadrature;
mod transfer;

pub use clarity::{Clarity, LetterBand};
pub use focus::{ChromaticEye, Foci};
pub use optics::Eye;
pub use prediction::{Curve, CurvePoint, Prediction, Sides};
pub use pupil::{Adaptation, Pupil, PupilError};

#[cfg(test)]
mod tests;

//! What the eye makes of a chart: the focus of each wavelength, the pupil, the transfer of detail, and how clear letters
//! are.

mod clarity;
mod focus;
mod optics;
mod prediction;
mod pupil;
mod quadrature;
mod sides;
mod transfer;

pub use clarity::{Clarity, LetterBand};
pub use focus::{ChromaticEye, Foci};
pub use optics::Eye;
pub use prediction::{BestWhite, CLICK_D, Curve, CurvePoint, Prediction};
pub use pupil::{Adaptation, Pupil, PupilError};
pub use sides::Sides;

#[cfg(test)]
mod tests;

//! Quantities with their units: the only place where 25.4, 60 and π/180 stand.

mod angle;
mod dioptres;
mod frequency;
mod length;
mod luminance;
mod wavelength;

pub use angle::Angle;
pub use dioptres::Dioptres;
pub use frequency::SpatialFrequency;
pub use length::{Length, LengthError};
pub use luminance::Luminance;
pub use wavelength::Wavelength;

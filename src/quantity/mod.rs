//! Quantities with their units: the only place where 25.4, 60 and π/180 stand.

mod angle;
mod length;
mod luminance;

pub use angle::Angle;
pub use length::{Length, LengthError};
pub use luminance::Luminance;

//! Quantities with their units: the only place where 25.4, 60 and π/180 stand.
//!
//! A length is made by its unit, `Length::mm(8.73)`, and read by one, `height.to_m()`; so nobody has to remember which unit a
//! number is in. Only places in a drawing are bare numbers, in millimetres; see [`scene`](crate::scene). Only operators that
//! mean something are there: two lengths add up, a length over a length is a plain number, and a length times a length is
//! not written at all.
//!
//! What people type is read by [`Length`]'s `FromStr`, which asks for the unit; what a file holds is a number in the unit that
//! its key names (`distance_mm`, `sphere_d`). `Debug` shows the unit, `Display` rounds as the trade writes the quantity.
//!
//! ```
//! use evenfield::quantity::{Angle, Dioptres, Length};
//!
//! let (letter, distance) = (Length::mm(8.73), "6m".parse::<Length>()?);
//! assert_eq!(format!("{:.2}′ at {}", Angle::subtended(letter, distance).to_arcmin(), Dioptres::at(distance)), "5.00′ at +0.17 D");
//! # Ok::<(), evenfield::quantity::LengthError>(())
//! ```
//!
//! No quantity checks its range: nought, negative and endless values are values. What a room, an eye or a chart can take is
//! checked where one of these is made.

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

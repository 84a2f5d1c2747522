//! The eye: where it focuses each wavelength.

mod focus;

pub use focus::{ChromaticEye, Foci};

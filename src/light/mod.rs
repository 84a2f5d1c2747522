//! Light from device codes: tone curves and the luminance of primaries.

mod basis;
mod primaries;
mod tone;

pub use basis::Basis;
pub use primaries::{Channel, srgb_weight};
pub use tone::{ToneCurve, ToneError};

//! Light from device codes: tone curves and the luminance of primaries.

mod basis;
mod field;
mod primaries;
mod tone;

pub use basis::Basis;
pub use field::{Fields, Side};
pub use primaries::{Channel, luminance_weights, srgb_weight};
pub use tone::{ToneCurve, ToneError};

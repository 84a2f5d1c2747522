//! Light from device codes: tone curves and the luminance of primaries.

mod bands;
mod basis;
mod field;
mod limit;
mod photopic;
mod primaries;
mod spectrum;
mod tone;

pub use bands::Bands;
pub use basis::Basis;
pub use field::{Fields, Side};
pub use limit::{
    GREY_LETTER_PERCENT, Judgement, LETTER_LIGHT_PERCENT, MATCH_PERCENT, PHOTOPIC, difference_percent,
    pair_uncertainty_percent,
};
pub use photopic::Observer;
pub use primaries::{Channel, luminance_weights, srgb_weight};
pub use spectrum::{Spectrum, SpectrumError};
pub use tone::{ToneCurve, ToneError};

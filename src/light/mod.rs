//! Light from device codes: tone curves and the luminance of primaries.
//!
//! From a code to what an eye gets of it there are three steps, each with its type. A [`ToneCurve`] says what share of full
//! light a code has. [`luminance_weights`] say what share of white each primary has, where nobody read it. A [`Spectrum`] says
//! which wavelengths that light is made of, and an [`Observer`] how bright an eye finds each; [`Bands`] are the same in the few
//! steps that the eye's optics need. The screen itself, with its readings, is [`Display`](crate::room::Display).
//!
//! What is asked of a chart's light (2 % between its fields, 15 % of letters against their field) stands here once, for
//! drawing, checking and reporting, with [`Judgement`] for values that are known only so well. Every number that rests on more
//! than a measurement carries a [`Basis`], and the weakest of them is the result's.
//!
//! Nothing here knows hue, glare, flicker or the angle from which a screen is seen.

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

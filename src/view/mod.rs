//! What reaches the retina: a close-up of the chart through a pupil and a lens error.
//!
//! A [`CloseUp`] is a part of the chart as light, with as many pixels a stroke as are asked for. [`CloseUp::seen`] multiplies its
//! frequencies by the eye's transfer for every channel's own spectrum, which is what a pupil, a lens error and chromatic focus
//! do to it, and gives the light that reaches the retina. [`TileSheet`] lays several views beside each other, [`Sweep`] goes
//! from one lens error to another in steps too small to flash. [`Model`] is the room as this needs it.
//!
//! The picture is to be looked at from near on the same screen, so the looker's own optics come on top: keep it large. It is
//! what one still eye's optics leave; what a brain makes of it, and how a patient would answer, is not in it.

mod close_up;
mod model;
mod sweep;
mod tile;
mod transform;

pub use close_up::{CloseUp, CloseUpError, Subject};
pub use model::{Model, ModelError};
pub use sweep::{Sweep, out_and_back};
pub use tile::{LEAST_WIDTH_PX, Progress, TileRow, TileSheet};

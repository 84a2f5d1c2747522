//! What reaches the retina: a close-up of the chart through a pupil and a lens error.

mod close_up;
mod model;
mod sweep;
mod tile;
mod transform;

pub use close_up::{CloseUp, CloseUpError, Subject};
pub use model::{Model, ModelError};
pub use sweep::{Sweep, out_and_back};
pub use tile::{Tile, TileSheet};

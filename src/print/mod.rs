//! What a practice prints and keeps.

mod room_report;
mod verification;

pub use room_report::{LineShown, RoomReport, Shown, Warning};
pub use verification::Verification;

//! What a practice prints and keeps.

mod room_report;
mod setup_sheet;
mod verification;

pub use room_report::{LineShown, RoomReport, Shown, Warning};
pub use setup_sheet::{SetupSheet, bar_px, match_steps};
pub use verification::Verification;

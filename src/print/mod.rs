//! What a practice prints and keeps.

mod room_report;

pub use room_report::{LineShown, RoomReport, Shown, Warning};

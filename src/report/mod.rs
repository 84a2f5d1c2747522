//! The facts of a room and of an eye before its charts, worked out once; pages and the command line only lay them out.

mod expectation;
mod place;
mod room_report;
mod verification;
mod warning;

pub use expectation::{CLARITY, Expectation, LEFT_OUT};
pub use room_report::{FieldsShown, Ground, Interval, LineShown, RoomReport, Shown, Verdict};
pub use verification::{Verification, VerificationRow};
pub use warning::Warning;

//! The facts of a room and of an eye before its charts, worked out once; pages and the command line only lay them out.

mod expectation;
mod fields;
mod interval;
mod lines;
mod place;
mod room_report;
mod target;
mod verification;
mod warning;

pub use expectation::{CLARITY, Expectation, LEFT_OUT};
pub use fields::FieldsShown;
pub use interval::Interval;
pub use lines::{LineShown, Shown};
pub use place::{PlaceError, place, start_in};
pub use room_report::{Ground, RoomReport, Verdict};
pub use verification::{Verification, VerificationRow};
pub use warning::Warning;

//! The facts of a room and of an eye before its charts, worked out once; pages and the command line only lay them out.
//!
//! [`RoomReport`] says what a room can show and what its red-green test is worth, [`Verification`] holds a meter's readings
//! against what the room file predicts, [`Expectation`] says in sentences what the model expects of a balance. Each is a value
//! with its units in its field names, which is also its JSON; none draws or prints anything.
//!
//! A `None` is never a nought: it means that the fact does not exist in that room, such as fields on a screen that cannot make
//! them equal. What was not measured is there with the [`Basis`](crate::light::Basis) that it rests on.

mod expectation;
mod fields;
mod interval;
mod lines;
mod place;
mod room_report;
mod target;
mod verification;
mod warning;

pub use expectation::{CLARITY, Expectation, Figure, LEFT_OUT};
pub use fields::FieldsShown;
pub use interval::Interval;
pub use lines::{LineShown, Shown};
pub use place::{PlaceError, metered, place, place_on, start_in};
pub use room_report::{Ground, RoomReport, Verdict};
pub use verification::{Verification, VerificationRow};
pub use warning::Warning;

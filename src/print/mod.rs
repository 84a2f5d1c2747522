//! What a practice prints and keeps.
//!
//! Each page takes facts that were worked out before and gives a [`Scene`](crate::scene::Scene) of true size, or several; what
//! format it is written in is for [`export`](crate::export). Nothing is computed here but where things stand.
//!
//! | page | for |
//! | --- | --- |
//! | [`SetupSheet`] | the exam screen: a bar to measure, tone steps and a match strip to look at |
//! | [`RoomPage`] | the report of a room, in three zones: verdict, figures, how sure they are |
//! | [`BalancePage`] | one examination, for the patient's folder, with a place to sign |
//! | [`CurvePage`] | clarity of both sides against lens error |
//! | [`NearChart`], [`NearMatch`] | a near chart of true size, and the sheet on which its inks are matched |
//! | [`Deck`], [`WallCard`] | a lesson as slides with what is said beside them, and the card for the wall |
//! | [`Handout`], [`SpeakerNotes`] | slides made small, with room to write or with what is said |
//! | [`Quiz`] | ten questions about a room and the balance, drawn by a seed, with their key |
//!
//! A page is full when it is full: what does not fit is refused or goes on to a second page, and is never shrunk to fit.

mod balance_page;
mod curve_page;
mod deck;
mod handout;
mod leaf;
mod near_chart;
mod near_match;
mod paper;
mod quiz;
mod room_page;
mod setup_sheet;
mod type_area;
mod wall_card;

pub use balance_page::BalancePage;
pub use curve_page::CurvePage;
pub use deck::{AGE_YEARS, APERTURE, Deck, LIT_LUX, Lesson, LessonError, Shown, Surface};
pub use handout::{Handout, SpeakerNotes};
pub use near_chart::{NearChart, NearError, NearRequest};
pub use near_match::{MatchStep, NearMatch};
pub use paper::Paper;
pub use quiz::{Answered, Question, Quiz};
pub use room_page::RoomPage;
pub use setup_sheet::{SetupSheet, bar_px};
pub use wall_card::WallCard;

/// What stands on everything that could be taken for a measurement.
pub const CAUTION: &str = "It is a model of what the room file says, not a measurement of the screen. For use by a \
                           licensed practitioner or under one’s supervision; local rules and the practitioner’s \
                           judgement come first.";

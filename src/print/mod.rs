//! What a practice prints and keeps.

mod balance_page;
mod curve_page;
mod deck;
mod near_chart;
mod near_match;
mod paper;
mod room_page;
mod setup_sheet;
mod wall_card;

pub use balance_page::BalancePage;
pub use curve_page::CurvePage;
pub use deck::{AGE_YEARS, APERTURE, Deck, LIT_LUX, Lesson, LessonError};
pub use near_chart::{NearChart, NearError, NearRequest};
pub use near_match::{MatchStep, NearMatch};
pub use paper::Paper;
pub use room_page::RoomPage;
pub use setup_sheet::{SetupSheet, bar_px};
pub use wall_card::WallCard;

/// What stands on everything that could be taken for a measurement.
pub const CAUTION: &str = "It is a model of what the room file says, not a measurement of the screen. For use by a \
                           licensed practitioner or under one's supervision; local rules and the practitioner's \
                           judgement come first.";

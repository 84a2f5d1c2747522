//! What is said at each step, the same on every screen and page.

mod again;
mod both;
mod lens;
mod midpoint;
mod near;
mod offer;
mod question;
mod result;
mod stage;
mod whereabouts;
mod why;

use std::fmt;

pub use both::{CLEARER_QUESTION, LEADS_QUESTION, recheck_the_cylinder};
pub use lens::{Otherwise, SPHERICAL_EQUIVALENT};
pub use midpoint::{ALSO_MIDPOINT, BEFORE_READING, READ_QUESTION};
pub use near::{NEAR_HOW, near_lag};
pub use offer::{TOO_MUCH_MINUS_AGAIN, done};
pub use question::{ASKED_ABOUT, BEFORE_ASKING, NO_DIFFERENCE, on_side, question, through_plus};
pub use result::gained;
pub use whereabouts::EstimateSaid;
pub(super) use why::larger_line;

pub use crate::SUPERVISION;

/// What is said about privacy wherever times and labels are shown or written.
pub const PRIVACY: &str = "Times and labels can identify a person: follow local law.";

/// What it is not.
pub const NOT_APPROVED: &str = "Not a medical device; no authority has approved it.";

/// Who answers for a result.
pub const CAUTION: &str = "A balance is one step of a refraction by a licensed practitioner or under one’s supervision: local rules and the practitioner’s judgement come first.";

/// What saturated colours can do.
pub const SEIZURES: &str = "Saturated red, and changes between red and green, can provoke seizures: ask first, never alternate quickly, stop at any discomfort.";

/// A name and what it stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Said {
    /// The name.
    pub name: &'static str,
    /// How it goes, or what it is; empty where the name says it.
    pub how: &'static str,
}

impl fmt::Display for Said {
    /// The name, and after a colon the rest.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name)?;
        if self.how.is_empty() { Ok(()) } else { write!(f, ": {}", self.how) }
    }
}

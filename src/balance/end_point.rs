//! Which lens is left in.

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

use super::answer::Answer;
use super::answered::Answered;
use super::clicks::Clicks;

/// Which lens is left in, always chosen by name, since teachers differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum EndPoint {
    /// The most plus lens judged the same; where the answers flip without one, the least plus lens still clearer in red.
    EqualElseLastRed,
    /// The same, but on a flip the most plus lens clearer in green: one click more minus.
    EqualElseFirstGreen,
    /// The least plus lens that was clearer in red, even if "the same" was seen.
    LastRed,
}

impl EndPoint {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::EqualElseLastRed, Self::EqualElseFirstGreen, Self::LastRed];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::EqualElseLastRed => "equal, else last red",
            Self::EqualElseFirstGreen => "equal, else first green",
            Self::LastRed => "last red",
        }
    }

    /// Its name on the command line and in files.
    #[must_use]
    pub fn key(self) -> &'static str {
        self.into()
    }

    /// The lens by what was answered to each; the answer that is missing where none follows yet.
    pub(super) fn lens(self, seen: &Answered) -> Result<Clicks, Answer> {
        let last_red = seen.to(Answer::Red).min().ok_or(Answer::Red);
        let equal = seen.to(Answer::Same).max();
        match (self, equal) {
            (Self::LastRed, _) | (Self::EqualElseLastRed, None) => last_red,
            (Self::EqualElseFirstGreen, None) => seen.to(Answer::Green).max().ok_or(Answer::Green),
            (Self::EqualElseLastRed | Self::EqualElseFirstGreen, Some(equal)) => Ok(equal),
        }
    }
}

//! What a patient says, by side.

use serde::{Deserialize, Serialize};

use crate::balance::Answer;
use crate::light::Side;

/// What a patient says, as the panel has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Said {
    /// The left side is crisper.
    Left,
    /// The right side is.
    Right,
    /// No difference.
    Same,
    /// The patient cannot tell.
    Unsure,
}

impl Said {
    /// All of them, as the panel lays them out.
    pub const ALL: [Self; 4] = [Self::Left, Self::Right, Self::Same, Self::Unsure];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Same => "same",
            Self::Unsure => "unsure",
        }
    }

    /// The side that it names.
    #[must_use]
    pub const fn side(self) -> Option<Side> {
        match self {
            Self::Left => Some(Side::Left),
            Self::Right => Some(Side::Right),
            Self::Same | Self::Unsure => None,
        }
    }

    /// An answer as the patient gives it, where red lies on this side.
    #[must_use]
    pub const fn of(answer: Answer, red: Side) -> Self {
        match (answer, red) {
            (Answer::Red, Side::Left) | (Answer::Green, Side::Right) => Self::Left,
            (Answer::Red, Side::Right) | (Answer::Green, Side::Left) => Self::Right,
            (Answer::Same, _) => Self::Same,
            (Answer::Unsure, _) => Self::Unsure,
        }
    }

    /// As an answer, where red lies on this side.
    #[must_use]
    pub fn answer(self, red: Side) -> Answer {
        match self {
            Self::Left | Self::Right if self.side() == Some(red) => Answer::Red,
            Self::Left | Self::Right => Answer::Green,
            Self::Same => Answer::Same,
            Self::Unsure => Answer::Unsure,
        }
    }
}

//! What a patient answers.

use serde::{Deserialize, Serialize};

/// On which side the edges of the letters are crisper, or that there is no difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, strum::Display)]
#[serde(rename_all = "snake_case")]
#[strum(serialize_all = "snake_case")]
pub enum Answer {
    /// Red: too much plus.
    Red,
    /// Green: too much minus.
    Green,
    /// Neither.
    Same,
    /// The patient cannot tell, which is never "the same".
    Unsure,
}

impl Answer {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Red, Self::Green, Self::Same, Self::Unsure];

    /// Its place as plus is added: green, then the same, then red; none where the patient cannot tell.
    pub(super) const fn rank(self) -> Option<u8> {
        match self {
            Self::Green => Some(0),
            Self::Same => Some(1),
            Self::Red => Some(2),
            Self::Unsure => None,
        }
    }

    /// The other colour; the same for the rest.
    pub(super) const fn other_colour(self) -> Self {
        match self {
            Self::Red => Self::Green,
            Self::Green => Self::Red,
            Self::Same | Self::Unsure => self,
        }
    }
}

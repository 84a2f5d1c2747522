//! The fields of a chart, and the sides on which they lie.

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

/// The coloured halves of a chart, or the one field of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Fields {
    /// Red and green side by side.
    RedGreen,
    /// One white field for plain acuity.
    White,
    /// One red field.
    Red,
    /// One green field.
    Green,
}

impl Fields {
    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }
}

/// A side as the patient sees it.
///
/// Never the screen's: through a mirror the patient's left is the right half of the picture in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Side {
    /// The patient's left.
    Left,
    /// The patient's right.
    Right,
}

impl Side {
    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// The opposite side.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

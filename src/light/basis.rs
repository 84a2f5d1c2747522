//! What a number rests on, from invented to measured.

use std::fmt;

use serde::Serialize;

/// What a number rests on.
///
/// From the firmest to the weakest, which is also their order. Every report, finding and JSON carries it beside the number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Read from an instrument and written into the room file.
    Measured,
    /// Computed from measured chromaticities.
    Derived,
    /// Found by an eye on the match strip.
    Matched,
    /// Stated by the screen or its profile about itself.
    Claimed,
    /// Invented for the built-in demo room: an example, not a real screen.
    Invented,
    /// Not given, so taken from a stated standard or custom.
    Assumed,
}

impl Basis {
    /// The weaker of two bases: a result is as good as the weakest number that it uses.
    ///
    /// ```
    /// # use evenfield::light::Basis;
    /// assert_eq!(Basis::Measured.with(Basis::Claimed), Basis::Claimed);
    /// assert_eq!(Basis::Assumed.with(Basis::Measured), Basis::Assumed);
    /// ```
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        self.max(other)
    }
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Measured => "as measured in the room file",
            Self::Derived => "by the measured chromaticities",
            Self::Matched => "matched by eye",
            Self::Claimed => "claimed by the screen",
            Self::Invented => "invented for the demo room",
            Self::Assumed => "assumed",
        })
    }
}

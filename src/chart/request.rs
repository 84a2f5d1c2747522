//! What a chart is to show.

use crate::acuity::{Acuity, Notation};
use crate::light::{Fields, Side};
use crate::optotype::LetterSet;
use crate::quantity::Luminance;

/// What a chart is to show.
///
/// Two requests that are equal give equal charts in one room. [`Request::new`] has the usual values; change single ones by
/// struct update, as in `Request { fields: Fields::White, ..Request::new(line) }`.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// Its lines.
    pub lines: Lines,
    /// The set that its letters come from.
    pub letters: LetterSet,
    /// The seed that fixes which letters of the set stand where: any number; another gives other letters.
    pub seed: u64,
    /// Its fields.
    pub fields: Fields,
    /// Where red lies, as the patient sees it.
    pub red: Side,
    /// How bright a white field is.
    pub white: White,
    /// How bright the fields are; if none is given, as bright as red and green both can be.
    pub luminance: Option<Luminance>,
    /// The notation of the faint names of lines for the examiner; none leaves them out.
    pub labels: Option<Notation>,
}

impl Request {
    /// A red-green chart of these lines with everything else as usual.
    #[must_use]
    pub fn new(lines: impl Into<Lines>) -> Self {
        Self {
            lines: lines.into(),
            letters: LetterSet::Sloan,
            seed: 1,
            fields: Fields::RedGreen,
            red: Side::Left,
            white: White::Matched,
            luminance: None,
            labels: None,
        }
    }
}

/// The lines of a chart: at least one, none twice, the largest letters first.
///
/// Their order is fixed, since a chart is read from above; a line twice would only take room.
#[derive(Debug, Clone, PartialEq)]
pub struct Lines(Vec<Acuity>);

/// Why lines make no chart.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LinesError {
    /// No line at all.
    #[error("a chart of no lines shows nothing: ask for a line such as 20/40")]
    None,
    /// One line more than once.
    #[error("line {0} is named twice: it stands on every field already, so name it once")]
    Twice(Acuity),
}

impl Lines {
    /// Lines in any order.
    ///
    /// # Errors
    /// No line, or one twice.
    pub fn new(mut lines: Vec<Acuity>) -> Result<Self, LinesError> {
        lines.sort_by(|one, other| other.to_log_mar().total_cmp(&one.to_log_mar()));
        #[allow(clippy::float_cmp, reason = "a line that is named twice has the same bits")]
        let twice = lines.windows(2).find(|pair| pair[0].to_log_mar() == pair[1].to_log_mar());
        match (lines.is_empty(), twice) {
            (true, _) => Err(LinesError::None),
            (false, Some(pair)) => Err(LinesError::Twice(pair[0])),
            (false, None) => Ok(Self(lines)),
        }
    }

    /// The line with the largest letters.
    #[must_use]
    pub fn first(&self) -> Acuity {
        self.0[0]
    }

    /// All of them, the largest letters first.
    #[must_use]
    pub fn as_slice(&self) -> &[Acuity] {
        &self.0
    }
}

impl From<Acuity> for Lines {
    fn from(line: Acuity) -> Self {
        Self(vec![line])
    }
}

/// How bright a white field is.
///
/// Full white is nearly five times as bright as the coloured fields: another pupil, another acuity, and in the dark a flash.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum White {
    /// As bright as the coloured fields, so that pupil and acuity stay comparable.
    Matched,
    /// As bright as the screen can be.
    Full,
}

impl White {
    /// Its name on the command line and in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Matched => "matched",
            Self::Full => "full",
        }
    }
}

use serde::Serialize;

use crate::acuity::{Acuity, Notation};
use crate::light::{Fields, Side};
use crate::optotype::LetterSet;
use crate::quantity::Luminance;

/// What a chart is to show.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// Its lines; at least one. They are drawn with the largest letters on top.
    pub lines: Vec<Acuity>,
    /// The set that its letters come from.
    pub letters: LetterSet,
    /// The seed that fixes which letters of the set stand where.
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
    pub fn new(lines: Vec<Acuity>) -> Self {
        Self {
            lines,
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

/// How bright a white field is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum White {
    /// As bright as the coloured fields, so that pupil and acuity stay comparable.
    Matched,
    /// As bright as the screen can be.
    Full,
}

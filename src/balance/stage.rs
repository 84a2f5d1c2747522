//! What comes next in an examination.

use super::both::BinocularStep;
use super::manifest::Laterality;
use super::question::{LimitQuestion, Question};

/// What comes next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stage {
    /// The first eye.
    Start,
    /// A question to the patient.
    Ask(Question),
    /// A question whether a line on white can be read.
    Limit(LimitQuestion),
    /// Too much minus was asked for: what now?
    TooMuchMinus,
    /// The colours come off: acuity on white.
    White,
    /// What does the examiner choose?
    Choose,
    /// The other eye, or not.
    OtherEye(Laterality),
    /// A step with both eyes: done or not?
    Binocular(BinocularStep),
    /// All is done.
    Closed,
}

impl Stage {
    /// Whether letters on white are read now, from the wall, whatever their line.
    #[must_use]
    pub const fn is_read(self) -> bool {
        matches!(
            self,
            Self::White
                | Self::Binocular(
                    BinocularStep::BalanceBetweenEyes
                        | BinocularStep::SphereWithBoth
                        | BinocularStep::AcuityWithBoth
                )
        )
    }

    /// The question about red and green, if that is next.
    #[must_use]
    pub const fn question(self) -> Option<Question> {
        if let Self::Ask(question) = self { Some(question) } else { None }
    }

    /// The question whether white can be read, if that is next.
    #[must_use]
    pub const fn limit(self) -> Option<LimitQuestion> {
        if let Self::Limit(question) = self { Some(question) } else { None }
    }

    /// The number of the question of either kind that is next.
    #[must_use]
    pub fn number(self) -> Option<usize> {
        let colours = self.question().map(|question| question.number);
        colours.or_else(|| self.limit().map(|question| question.number))
    }
}

//! What comes next in an examination.

use super::event::BinocularStep;
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

//! What comes next.

use super::super::stage::Stage;

impl Stage {
    /// What comes next.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Start => "the first eye".into(),
            Self::Ask(question) => format!(
                "question {}, {} in place, line {}, {}",
                question.number,
                question.sphere,
                question.line,
                question.sides()
            ),
            Self::Limit(question) => format!(
                "question {}, {} in place, line {}, on white",
                question.number, question.sphere, question.line
            ),
            Self::TooMuchMinus => {
                "too much minus was asked for: blur with plus again, relax accommodation, or keep the manifest".into()
            }
            Self::White => "acuity on white through the lens that was left in".into(),
            Self::Choose => "the examiner’s choice".into(),
            Self::OtherEye(eye) => format!("the {} eye, or that it is not asked", eye.name()),
            Self::Binocular(step) => format!("with both eyes, {}", step.words()),
            Self::Closed => "nothing".into(),
        }
    }
}

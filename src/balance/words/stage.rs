//! What comes next.

use super::super::examination::Examination;
use super::super::stage::Stage;
use crate::quantity::Dioptres;

impl Examination {
    /// What comes next, with the whole lens where one is to be put in.
    #[must_use]
    pub fn next_in_words(&self) -> String {
        let manifest = self.courses.last().map(|course| course.start.manifest);
        self.stage().words(|sphere| {
            manifest.map_or_else(|| sphere.to_string(), |manifest| manifest.with_sphere(sphere).to_string())
        })
    }
}

impl Stage {
    /// What comes next, with a lens of a sphere as it is written.
    fn words(&self, lens: impl Fn(Dioptres) -> String) -> String {
        match self {
            Self::Start => "the first eye".into(),
            Self::Ask(question) => format!(
                "question {}, {} in place, line {}, {}",
                question.number,
                lens(question.sphere),
                question.line_in_words(),
                question.sides()
            ),
            Self::Limit(question) => format!(
                "question {}, {} in place, line {}, on white",
                question.number,
                lens(question.sphere),
                question.line_in_words()
            ),
            Self::TooMuchMinus => {
                "too much minus was asked for: blur with plus again, relax accommodation, or keep the manifest".into()
            }
            Self::White => "acuity on white through the lens that was left in".into(),
            Self::Choose => "the examiner’s choice".into(),
            Self::OtherEye(eye) => format!("the {} eye, or that it is not asked", eye.name()),
            Self::Binocular(step) => format!("with both eyes, {}", step.words()),
            Self::Closed => "finished".into(),
        }
    }
}

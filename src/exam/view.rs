//! What a panel shows, as a page is handed it.

use std::borrow::Cow;

use serde::Serialize;

use super::said::Said;
use crate::balance::Caution;
use crate::balance::record::OnWall;
use crate::balance::words::EstimateSaid;
use crate::text::capital;

/// What one panel shows.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "camelCase")]
pub struct PanelView {
    /// The number of the step, which every wish must carry.
    pub step: u64,
    /// The stage by name.
    pub stage: &'static str,
    /// Whether this panel commands; the others watch.
    pub commands: bool,
    /// Which eye looks, and that the other is occluded.
    pub head: String,
    /// The room.
    pub place: String,
    /// What the wall does.
    pub wall: WallStatus,
    /// What the lens must be now.
    pub lens: Option<LensView>,
    /// The question and its answers.
    pub ask: Option<AskView>,
    /// What a simulated patient says, and at the end how far from balance the lens is; none with a real patient.
    pub stand_in: Option<String>,
    /// What is said before something is chosen, the most important first.
    pub said: Vec<String>,
    /// Where balance lies by the answers, once the questions are at their end.
    pub estimate: Option<EstimateSaid>,
    /// What weakens a result, the most telling first.
    pub minds: Vec<String>,
    /// What can be chosen.
    pub choices: Vec<ChoiceView>,
    /// The wish that the form is sent with, and what its button says.
    pub form_wish: (&'static str, &'static str),
    /// A drawing of what to do, as SVG.
    pub picture: Option<String>,
    /// Acuity on white.
    pub white: Option<WhiteView>,
    /// What has to be known before an eye is asked.
    pub form: Vec<FieldView>,
    /// Answers so far.
    pub earlier: Vec<EarlierView>,
    /// What to keep in mind.
    pub cautions: Vec<Caution>,
    /// How this eye is asked, in a line.
    pub facts: String,
    /// What the last event was that can be taken back; none where nothing can.
    pub undo: Option<String>,
    /// Whether the wall is dark between questions.
    pub dark_between: bool,
    /// Whether the patient has buttons of their own.
    pub patient_buttons: bool,
    /// The name of the notation that acuities are written in.
    pub notation: &'static str,
    /// The name of the examination in the record; none where nothing is kept, or nothing yet.
    pub kept_as: Option<String>,
    /// Whether a record is kept, in a sentence.
    pub record: String,
    /// Who answers for a result, and what is kept private.
    pub small_print: Vec<&'static str>,
}

/// What the wall does.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct WallStatus {
    /// Whether it shows what the step asks for.
    pub ready: bool,
    /// What it shows, or what is missing and what to do.
    pub words: String,
    /// Whether the screen may fall asleep.
    pub sleepy: bool,
    /// What it said that it shows; none where it is dark or not ready.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shown: Option<OnWall>,
}

/// What the lens must be.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "camelCase")]
pub struct LensView {
    /// All of it, such as −1.00 / −0.50 × 90.
    pub set: String,
    /// The sphere of it, which is what changes from question to question.
    pub sphere: String,
    /// What follows the sphere in it.
    pub rest: String,
    /// By how much it changes from the lens before, such as two clicks minus.
    pub change: String,
    /// Whether it is another one than is in place.
    pub is_new: bool,
    /// Why this lens.
    pub because: String,
    /// What to do with plus first, where the eye could accommodate.
    pub first: Option<String>,
}

/// The question.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "camelCase")]
pub struct AskView {
    /// Its place in the course.
    pub number: usize,
    /// What the patient is asked.
    pub question: &'static str,
    /// What the examiner keeps in mind.
    pub before: String,
    /// The line on the wall.
    pub line: String,
    /// Its letters.
    pub letters: Vec<String>,
    /// Whether the wall is dark until the lens is in.
    pub covered: bool,
    /// The answers, laid out as the patient sees the sides.
    pub answers: Vec<AnswerButton>,
    /// What the patient pressed, in words, to be confirmed.
    pub pressed: Option<String>,
}

/// An answer to tap.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct AnswerButton {
    /// What it says.
    pub answer: Said,
    /// In words.
    pub words: String,
    /// What else it means: the side of a field, or the field of a side.
    pub more: &'static str,
    /// The field that lies there, by name; none where it names no side.
    pub field: Option<&'static str>,
}

/// Something to choose.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ChoiceView {
    /// The wish.
    #[serde(rename = "do")]
    pub wish: &'static str,
    /// The name and the value that it carries, if it carries one.
    pub with: Option<(&'static str, serde_json::Value)>,
    /// In words.
    pub words: String,
    /// More of it, such as the lens that it means.
    pub more: String,
    /// How it stands among the others.
    pub look: Look,
}

/// How a choice stands among others.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Look {
    /// A row of its own.
    #[default]
    Row,
    /// Beside others of its kind.
    Small,
    /// What most likely comes next.
    Next,
    /// An answer of the patient, near the thumb.
    Answer,
    /// Below all else, since it is seldom wanted.
    Last,
}

/// Acuity on white.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "camelCase")]
pub struct WhiteView {
    /// The line on the wall, in the notation that the examiner prefers.
    pub line: String,
    /// Its letters, to mark those that were missed.
    pub letters: Vec<ReadLetter>,
    /// What has been read so far comes to.
    pub score: String,
    /// The acuity before.
    pub before: String,
    /// Whether what is read counts; where it does not, the line is only to be looked at.
    pub counts: bool,
    /// Whether smaller letters come next, before a score is taken.
    pub goes_on: bool,
    /// Whether larger ones come next, since the largest that was shown was not read whole.
    pub goes_back: bool,
}

/// A letter on white.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ReadLetter {
    /// Its name.
    pub name: String,
    /// Whether it was missed.
    pub missed: bool,
}

/// A field of the form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct FieldView {
    /// The name of its flag.
    pub name: &'static str,
    /// What is asked for.
    pub label: Cow<'static, str>,
    /// How it is written; empty where one of the choices is taken.
    pub example: &'static str,
    /// What can be chosen; none where it is typed.
    pub choices: Vec<FieldChoice>,
    /// What it holds at first.
    pub value: String,
    /// Whether most eyes do without it.
    pub more: bool,
}

/// A value of a field.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct FieldChoice {
    /// As the field has it.
    pub value: &'static str,
    /// In words.
    pub words: &'static str,
    /// What it means; empty where its words say it.
    pub how: &'static str,
}

/// An answer that was given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct EarlierView {
    /// The sphere that was in place.
    pub sphere: String,
    /// The answer.
    pub answer: String,
}

impl ChoiceView {
    /// A choice in words that begin with a capital.
    pub(super) fn new(
        wish: &'static str,
        with: Option<(&'static str, serde_json::Value)>,
        words: &str,
        more: &str,
    ) -> Self {
        Self { wish, with, words: capital(words), more: more.into(), look: Look::Row }
    }

    /// The same, standing otherwise among the others.
    pub(super) fn looks(self, look: Look) -> Self {
        Self { look, ..self }
    }
}

//! An examination for programs.

use serde::Serialize;

use super::answer::{Answer, Legible};
use super::both::{BinocularStep, BothEyes};
use super::course::{Course, Midpoint};
use super::event::Choice;
use super::examination::Examination;
use super::lens::Lens;
use super::manifest::{Laterality, nearest_quarter};
use super::midpoint::Seeks;
use super::near::Near;
use super::question::{LimitQuestion, Question};
use super::run::{End, Why};
use super::stage::Stage;
use super::start::{Caution, Start};
use super::whereabouts::Whereabouts;
use super::words::Otherwise;
use crate::light::Side;

/// An examination for programs: every number with its unit in its name.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Summary<'a> {
    /// Its eyes in the order in which they were asked.
    pub eyes: Vec<EyeSummary<'a>>,
    /// Steps with both eyes.
    pub binocular: Vec<StepSummary>,
    /// What was found with both eyes open.
    pub both: &'a BothEyes,
    /// What each eye ends with: the chosen lens, and what both eyes open changed.
    pub ends_with: Vec<EndsWith>,
    /// Where balance lies by all runs of an eye that was asked more than once.
    pub all_runs: Vec<AllRuns>,
    /// Near adds that were tried.
    pub near: &'a [Near],
    /// What comes next, by name.
    pub stage: &'static str,
    /// The lens to set and the question to ask next, if one is.
    pub next: Option<NextSummary>,
}

/// The question that comes next, of either kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum NextSummary {
    /// About red and green.
    Colours(QuestionSummary),
    /// Whether white can be read.
    White(LimitSummary),
}

/// A question whether a line on white can be read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitSummary {
    /// The sphere in place.
    pub sphere_d: f64,
    /// Its difference from the manifest at this distance.
    pub change_d: f64,
    /// The line, by its name.
    pub line: String,
    /// The same as its logMAR.
    pub line_log_mar: f64,
    /// Which limit is looked for, and how.
    pub seeks: Seeks,
}

/// The same and its answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitAskedSummary {
    /// The question.
    #[serde(flatten)]
    pub question: LimitSummary,
    /// The answer.
    pub answer: Legible,
}

/// One eye.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EyeSummary<'a> {
    /// What was known before.
    pub start: &'a Start,
    /// The questions and their answers.
    pub asked: Vec<AskedSummary>,
    /// The questions whether white can be read, and their answers.
    pub limits: Vec<LimitAskedSummary>,
    /// The midpoint between the limits of reading on white.
    pub midpoint: Option<Midpoint>,
    /// How often the eye was fogged again after too much minus.
    pub fogged_again: u8,
    /// How the questions ended.
    pub end: Option<End>,
    /// The same in words.
    pub ended: Option<String>,
    /// The lens that the questions left in, at the distance of the chart.
    pub left_in_d: Option<f64>,
    /// Where balance lies by all answers, before the first one by the manifest; none where [nothing is known](Course::whereabouts).
    pub estimate: Option<Whereabouts>,
    /// How the first series of questions ended, where a second one was asked.
    pub first_end: Option<End>,
    /// Acuity on white after, at each reading.
    pub white: Vec<String>,
    /// Letters gained on white by the reading that counts; lost ones are negative.
    pub gain_letters: Option<i32>,
    /// The lens that stands.
    pub stands: Option<StandingSummary>,
    /// What was chosen.
    pub chosen: Option<Choice>,
    /// The sphere of that.
    pub chosen_d: Option<f64>,
    /// The chosen lens otherwise written.
    pub chosen_otherwise: Vec<Otherwise>,
    /// By how much the eye ended away from where it was meant to, plus upward.
    pub off_the_intended_d: Option<f64>,
    /// What to keep in mind.
    pub cautions: Vec<Caution>,
}

/// A question.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct QuestionSummary {
    /// The sphere in place.
    pub sphere_d: f64,
    /// Its difference from the manifest at this distance.
    pub change_d: f64,
    /// The line, by its name.
    pub line: String,
    /// The same as its logMAR.
    pub line_log_mar: f64,
    /// Where red lies.
    pub red: Side,
    /// Why this lens.
    pub why: Why,
    /// By how much to blur with plus first, where the eye could accommodate.
    pub blur_first_d: Option<f64>,
    /// The series that it belongs to: 1, or 2 where the questions were asked a second time.
    pub series: u8,
}

/// A question and its answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AskedSummary {
    /// The question.
    #[serde(flatten)]
    pub question: QuestionSummary,
    /// The answer.
    pub answer: Answer,
}

/// The lens that stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StandingSummary {
    /// At the distance of the chart.
    pub here_exact_d: f64,
    /// The same to the nearest quarter.
    pub here_quarter_d: f64,
    /// For far away.
    pub far_exact_d: f64,
    /// The same to the nearest quarter.
    pub far_quarter_d: f64,
    /// Why it stands.
    pub why: String,
}

/// What an eye ends with.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EndsWith {
    /// Which.
    pub eye: Laterality,
    /// The lens.
    #[serde(flatten)]
    pub lens: Lens,
}

/// What all runs of an eye come to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AllRuns {
    /// Which.
    pub eye: Laterality,
    /// Where balance lies.
    #[serde(flatten)]
    pub estimate: Whereabouts,
}

/// A step with both eyes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct StepSummary {
    /// Which.
    pub step: BinocularStep,
    /// Whether it was done.
    pub done: bool,
}

impl<'a> Summary<'a> {
    /// Of an examination.
    #[must_use]
    pub fn new(examination: &'a Examination) -> Self {
        let (binocular, stage) = (examination.binocular.iter(), examination.stage());
        Self {
            eyes: examination.courses.iter().map(EyeSummary::new).collect(),
            binocular: binocular.map(|(step, done)| StepSummary { step: *step, done: *done }).collect(),
            both: &examination.both,
            ends_with: Laterality::ALL
                .into_iter()
                .filter_map(|eye| Some(EndsWith { eye, lens: examination.ends_with(eye)? }))
                .collect(),
            all_runs: Laterality::ALL
                .into_iter()
                .filter_map(|eye| Some(AllRuns { eye, estimate: examination.all_runs_of(eye)? }))
                .collect(),
            near: &examination.near,
            stage: stage.name(),
            next: stage
                .question()
                .map(|question| NextSummary::Colours((&question).into()))
                .or_else(|| stage.limit().map(|question| NextSummary::White((&question).into()))),
        }
    }
}

impl<'a> EyeSummary<'a> {
    fn new(course: &'a Course) -> Self {
        let asked = course.asked.iter();
        Self {
            start: &course.start,
            asked: asked
                .map(|(question, answer)| AskedSummary { question: question.into(), answer: *answer })
                .collect(),
            limits: course
                .limits
                .iter()
                .map(|(question, answer)| LimitAskedSummary { question: question.into(), answer: *answer })
                .collect(),
            midpoint: course.midpoint(),
            fogged_again: course.fogged_again,
            end: course.end(),
            ended: course.ended(),
            left_in_d: course.left_in().map(crate::quantity::Dioptres::to_d),
            estimate: course.whereabouts(),
            first_end: course.first_end(),
            white: course.white.iter().map(ToString::to_string).collect(),
            gain_letters: course.gain(),
            stands: course.standing().map(|standing| StandingSummary {
                here_exact_d: standing.here.to_d(),
                here_quarter_d: nearest_quarter(standing.here).to_d(),
                far_exact_d: standing.far.to_d(),
                far_quarter_d: nearest_quarter(standing.far).to_d(),
                why: course.stands_in_words().unwrap_or_default(),
            }),
            chosen: course.chosen,
            chosen_d: course.chosen_sphere().map(crate::quantity::Dioptres::to_d),
            chosen_otherwise: course.chosen_otherwise(),
            off_the_intended_d: course.off_the_intended().map(crate::quantity::Dioptres::to_d),
            cautions: course.cautions(),
        }
    }
}

impl From<&Question> for QuestionSummary {
    fn from(question: &Question) -> Self {
        Self {
            sphere_d: question.sphere.to_d(),
            change_d: question.change.to_d(),
            line: question.line.to_string(),
            line_log_mar: question.line.to_log_mar(),
            red: question.red,
            why: question.why,
            blur_first_d: question.blur_first.map(crate::quantity::Dioptres::to_d),
            series: question.series,
        }
    }
}

impl From<&LimitQuestion> for LimitSummary {
    fn from(question: &LimitQuestion) -> Self {
        Self {
            sphere_d: question.sphere.to_d(),
            change_d: question.change.to_d(),
            line: question.line.to_string(),
            line_log_mar: question.line.to_log_mar(),
            seeks: question.seeks,
        }
    }
}

impl Stage {
    /// Its name in files.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Ask(_) => "ask",
            Self::Limit(_) => "limit",
            Self::TooMuchMinus => "too_much_minus",
            Self::White => "white",
            Self::Choose => "choose",
            Self::OtherEye(Laterality::Right) => "right_eye",
            Self::OtherEye(Laterality::Left) => "left_eye",
            Self::Binocular(_) => "binocular",
            Self::Closed => "closed",
        }
    }
}

//! The red-green procedure as a state machine: from answers to the next lens, and to the lens that is left in.
//!
//! It is pure: the same answers give the same steps, and undoing is answering all but the last again. Lenses count in
//! clicks of 0.25 D from the manifest sphere, plus upward.
//!
//! The rule itself is common practice, no source: red clearer, add minus; green clearer, add plus.

mod answer;
mod caution;
mod end_point;
mod event;
mod examination;
mod kind;
mod manifest;
pub mod record;
mod run;
mod start;
mod summary;
mod transitions;
pub mod words;

pub use answer::Answer;
pub use end_point::EndPoint;
pub use event::{AfterMinus, BinocularStep, Choice, Event};
pub use examination::{Course, Examination, GAIN_LETTERS, Misfit, Question, Stage, Standing, Stands};
pub use kind::Kind;
pub use manifest::{Cylinder, Laterality, Manifest, ManifestError, RefinedFor, nearest_quarter};
pub use run::{End, Left, Procedure, Rules, Run, Step, Why};
pub use start::{Caution, ColourVision, Place, Start, StartError};
pub use summary::{AskedSummary, EyeSummary, QuestionSummary, StandingSummary, StepSummary, Summary};
pub use transitions::{State, Transitions};

/// One click of a phoropter in dioptres.
const CLICK_D: f64 = crate::eye::CLICK_D;

//! The red-green balance: the procedure, an examination with its record, and simulated patients to try it on.
//!
//! A [`Run`] is a procedure of the trade as a state machine, from answers to the next lens and to the lens that is left in; lenses
//! count in clicks of 0.25 D from the first, plus upward. [`Transitions`] is the same as a table. The adaptive way asks instead
//! whatever lens tells most, and the [midpoint](limit) does without red and green. An [`Examination`]
//! follows from its [`Event`]s, one eye, a [`Course`], and then the other, and [`mod@record`] keeps these as lines. An
//! [`estimate`] says where balance lies after any answers, and which lens would tell most; [`Course::whereabouts`] says it of an
//! examined eye. [`Trial`] lets simulated
//! patients, each [`Drawn`] for a run, go through it; they are no evidence about real eyes, since habit, tiredness and colour
//! are left out and most of their numbers are assumed. All of it is pure: no clock, no file, no chance but from a seed.
//!
//! The rule itself is common practice, no source: red clearer calls for minus, green clearer for plus.

mod adaptive;
mod again;
mod answer;
mod answered;
mod asker;
mod asking;
mod both;
mod caution;
mod clarity_table;
mod clicks;
mod course;
mod end_point;
pub mod estimate;
mod event;
mod examination;
mod eye_kind;
mod judgement;
pub mod keys;
mod lead;
mod lens;
mod manifest;
mod metered;
mod midpoint;
mod moment;
mod near;
mod normal;
mod patient;
mod question;
pub mod record;
mod rules;
mod run;
mod scenario;
mod stage;
mod stand_in;
mod start;
mod summary;
mod transitions;
mod tree;
mod trial;
mod trial_row;
mod variety;
mod viewer;
mod whereabouts;
mod white;
pub mod words;
mod written;

pub use again::{Change, RecheckError};
pub use answer::{Answer, Legible};
pub use asking::{Asked, Asking, ByEstimate, ByLimits};
pub use both::{
    Added, Apart, BinocularStep, BothEyes, Clearer, Comparing, FOG_D, FOGGED_LINES, PRISM_PD, Sphere,
    may_be_framed,
};
pub use clarity_table::{ClarityTable, TARGET_AND_LARGER, TableError};
pub use clicks::Clicks;
pub use course::{Course, Midpoint, Standing, Stands};
pub use end_point::EndPoint;
pub use event::{AfterMinus, Choice, Event};
pub use examination::{Examination, Misfit, Shown};
pub use eye_kind::EyeKind;
pub use judgement::{Chance, Judgement, READ_SD_LOG10};
pub use lead::Lead;
pub use lens::{Cylinder, CylinderForm, Lens};
pub use manifest::{Laterality, Manifest, ManifestError, RefinedFor, nearest_quarter};
pub use metered::Metered;
pub use midpoint::{Limit, Limits, Seeks, limit};
pub use near::{LAG_D, Near, NearError};
pub use patient::{Accommodation, Drawn, Luck, Patient, SAME_WITHIN, Sight};
pub use question::{LimitQuestion, Question};
pub use rules::{Procedure, Rules, RulesError, Stepping, Way};
pub use run::{DecidedBy, End, PROCEDURE_VERSION, Put, Ran, Run, Step, Why};
pub use scenario::{Scenario, Tried};
pub use stage::Stage;
pub use stand_in::{PractisedEye, Reply, StandIn};
pub use start::{Caution, ColourVision, Place, Start, StartError, VERTEX_FROM, steps_hold_for};
pub use summary::{
    AllRuns, AskedSummary, EndsWith, EyeSummary, LimitAskedSummary, LimitSummary, NextSummary,
    QuestionSummary, StandingSummary, StepSummary, Summary,
};
pub use transitions::{State, Table, Transitions};
pub use tree::{Branch, Tree, TreeRules};
pub use trial::{MANIFEST_SDS_D, Moments, Outcome, Pupils, Statistics, Trial};
pub use trial_row::{Surprise, SurpriseRow, TrialRow};
pub use whereabouts::Whereabouts;
pub use white::{DOUBTFUL_LETTERS, SURE_LETTERS};
pub use written::{Written, cylinder_of};

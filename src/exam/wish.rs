//! What panels wish for and what the wall says, as messages; both are strict, so that nothing unknown is half understood.

use serde::{Deserialize, Serialize};

use super::form::StartForm;
use crate::acuity::Notation;
use crate::balance::record::OnWall;
use crate::balance::{AfterMinus, Answer, Choice};
use crate::light::Side;

/// What a panel wishes for, and the step that it answers.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Wish {
    /// The number of the step that its panel showed.
    pub of: u64,
    /// What is wished for.
    #[serde(flatten)]
    pub what: What,
}

/// What can be wished for.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case")]
pub enum What {
    /// An eye begins.
    Start(Box<StartForm>),
    /// An open examination of the record goes on.
    Resume {
        /// Its name in the record.
        id: String,
    },
    /// The lens is in: the wall may show the question.
    LensIn,
    /// What the patient said.
    Answer {
        /// Where, or that there is no difference.
        answer: Said,
    },
    /// The last event is taken back.
    Undo,
    /// What follows too much minus.
    AfterMinus {
        /// Which.
        choice: AfterMinus,
    },
    /// The line on white is a line larger.
    Larger,
    /// The line on white is a line smaller.
    Smaller,
    /// Other letters of the same size.
    NewLetters,
    /// A letter on white was missed, or was read after all.
    Missed {
        /// Its place in the line, from 0.
        letter: usize,
        /// Whether it was missed.
        missed: bool,
    },
    /// Acuity on white is what the letters came to.
    TakeWhite,
    /// Acuity on white, typed.
    White {
        /// Such as 20/25-2.
        score: String,
    },
    /// The examiner chooses.
    Choose {
        /// Which.
        choice: Choice,
    },
    /// The other eye is not asked.
    OneEye,
    /// A step with both eyes was done, or not.
    Binocular {
        /// Whether it was done.
        done: bool,
    },
    /// The next patient.
    Another,
    /// Another room is chosen, or set up.
    AnotherRoom,
    /// The wall is dark between questions until the lens is in, or it is not.
    DarkBetween {
        /// Whether it is.
        on: bool,
    },
    /// How acuities are written.
    Write {
        /// A name of a notation.
        notation: String,
    },
    /// The patient has buttons of their own, or has not.
    PatientButtons {
        /// Whether they have.
        on: bool,
    },
    /// What the patient pressed counts as the answer.
    Confirm,
    /// This panel commands from now on.
    TakeOver,
}

/// What a patient says, as the panel has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Said {
    /// The left side is crisper.
    Left,
    /// The right side is.
    Right,
    /// No difference.
    Same,
    /// The patient cannot tell.
    Unsure,
}

impl Said {
    /// All of them, as the panel lays them out.
    pub const ALL: [Self; 4] = [Self::Left, Self::Right, Self::Same, Self::Unsure];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Same => "same",
            Self::Unsure => "unsure",
        }
    }

    /// The side that it names.
    #[must_use]
    pub const fn side(self) -> Option<Side> {
        match self {
            Self::Left => Some(Side::Left),
            Self::Right => Some(Side::Right),
            Self::Same | Self::Unsure => None,
        }
    }

    /// As an answer, where red lies on this side.
    #[must_use]
    pub fn answer(self, red: Side) -> Answer {
        match self {
            Self::Left | Self::Right if self.side() == Some(red) => Answer::Red,
            Self::Left | Self::Right => Answer::Green,
            Self::Same => Answer::Same,
            Self::Unsure => Answer::Unsure,
        }
    }
}

/// What the wall says of itself, after it has drawn or when its window has changed.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct WallSaid {
    /// The number of the picture that it has drawn.
    pub picture: u64,
    /// What it shows; none where it is dark.
    #[serde(default)]
    pub shown: Option<OnWall>,
    /// Whether it shows the whole picture, nothing cut off.
    pub whole: bool,
    /// Whether the screen has the room's pixels.
    pub fits: bool,
    /// Whether the window is seen at all.
    pub visible: bool,
    /// The screen's device pixels as the browser has them.
    pub pixels: [u32; 2],
    /// Whether the screen is kept awake.
    pub awake: bool,
}

/// Why a wish was not taken, in a sentence for the examiner.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, thiserror::Error)]
#[error("{what}")]
pub struct Refused {
    /// What is wrong and what to do.
    pub what: String,
    /// The field of a form that it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub field: Option<&'static str>,
}

impl Refused {
    /// A refusal that is about no field.
    pub(super) fn new(what: impl Into<String>) -> Self {
        Self { what: what.into(), field: None }
    }
}

/// A notation by its name.
pub(super) fn notation(name: &str) -> Result<Notation, Refused> {
    let found = Notation::ALL.into_iter().find(|one| one.name() == name);
    found.ok_or_else(|| Refused::new(format!("{name:?} is no notation: choose one of the list")))
}

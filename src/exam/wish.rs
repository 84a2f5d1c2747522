//! What panels wish for and what the wall says, as messages; both are strict, so that nothing unknown is half understood.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::form::{NearForm, StartForm};
use super::refused::Refused;
use super::said::Said;
use crate::acuity::Notation;
use crate::balance::record::OnWall;
use crate::balance::{AfterMinus, Apart, Choice, Clearer, Laterality, Legible};
use crate::light::Side;

/// What a panel wishes for, and the step that it answers.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(try_from = "Map<String, Value>", bound(deserialize = "W: DeserializeOwned"))]
#[cfg_attr(feature = "cli", schemars(!try_from, extend("unevaluatedProperties" = false)))]
pub struct Numbered<W> {
    /// The number of the step that its panel showed.
    pub of: u64,
    /// What is wished for.
    #[cfg_attr(feature = "cli", schemars(flatten))]
    pub what: W,
}

/// A wish while an examination can be in hand.
pub type Wish = Numbered<What>;

impl<W: DeserializeOwned> TryFrom<Map<String, Value>> for Numbered<W> {
    type Error = String;

    /// Takes the step out of a message; no name in what is left may be unknown.
    fn try_from(mut message: Map<String, Value>) -> Result<Self, String> {
        let of = message.remove("of").and_then(|of| of.as_u64()).ok_or("the message names no step")?;
        let what = W::deserialize(Value::Object(message)).map_err(|error| error.to_string())?;
        Ok(Self { of, what })
    }
}

/// What can be wished for.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
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
    /// Whether the line on white was read.
    Legible {
        /// It was, or was not.
        answer: Legible,
    },
    /// The midpoint on white is looked for as well.
    AlsoMidpoint,
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
    /// The eye in hand is asked again with another cylinder.
    Cylinder {
        /// Such as -0.75x85, or none.
        cylinder: String,
    },
    /// A form is opened beside what comes next, or closed.
    Aside {
        /// Which; none closes it.
        form: Option<AsideForm>,
    },
    /// A near add was tried.
    Near(Box<NearForm>),
    /// How both eyes are held apart.
    Apart {
        /// By what.
        apart: Apart,
    },
    /// Which eye sees the fogged line clearer.
    Compared {
        /// Which, or neither.
        clearer: Clearer,
    },
    /// Which eye leads.
    Leads {
        /// Which.
        eye: Laterality,
    },
    /// What was added to both eyes after a look through the trial frame.
    Framed {
        /// Such as -0.25, or 0.
        sphere: String,
    },
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
    /// The wall shows this for a terminal that walks through an examination of its own; dark where there is no chart.
    Show {
        /// What it shows.
        chart: Option<Wanted>,
    },
    /// This panel commands from now on.
    TakeOver,
}

/// A form that is opened beside what comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum AsideForm {
    /// The near add.
    Near,
    /// An eye is asked again.
    Again,
    /// The cylinder was rechecked.
    Cylinder,
}

/// A chart that a terminal wants on the wall.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Wanted {
    /// Its line, such as 20/32.
    pub line: String,
    /// Whether it is white, and not red and green.
    pub white: bool,
    /// Where red lies, as the patient sees it.
    pub red: Side,
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

/// A notation by its name.
pub(super) fn notation(name: &str) -> Result<Notation, Refused> {
    let found = Notation::ALL.into_iter().find(|one| one.name() == name);
    found.ok_or_else(|| Refused::new(format!("{name:?} is no notation: choose one of the list")))
}

//! What can happen in an examination.

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

use super::answer::{Answer, Legible};
use super::both::{Apart, BinocularStep, Clearer};
use super::manifest::Laterality;
use super::near::Near;
use super::start::Start;
use crate::acuity::Score;
use crate::quantity::Dioptres;

/// Something that happened in an examination. All that is known of one follows from its events.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Event {
    /// An eye begins.
    Started(Box<Start>),
    /// The patient answered.
    Answered(Answer),
    /// The patient read a line on white, or could not.
    Limit(Legible),
    /// After red and green the midpoint on white is looked for as well.
    AlsoMidpoint,
    /// The event before is taken back.
    Undone,
    /// After too much minus.
    AfterMinus(AfterMinus),
    /// Acuity on white through the lens that was left in.
    White(Score),
    /// The examiner chose.
    Chosen(Choice),
    /// The other eye is not asked.
    OneEyeOnly,
    /// A step with both eyes, done or not; records of before have no more of it.
    Binocular(BinocularStep, bool),
    /// An eye that was asked is asked once more.
    Again(Box<Start>),
    /// How both eyes are held apart to be compared.
    Apart(Apart),
    /// Which eye saw the fogged line clearer.
    Compared(Clearer),
    /// Which eye leads, where they were never equal.
    Leads(Laterality),
    /// Acuity on white with both eyes open.
    BothRead(Score),
    /// The sphere that was added to both eyes after a look through the trial frame.
    Framed(Dioptres),
    /// A near add was tried.
    Near(Box<Near>),
}

impl Event {
    /// Whether it is what a patient said who looked at the chart.
    #[must_use]
    pub const fn is_seen(&self) -> bool {
        matches!(
            self,
            Self::Answered(_) | Self::Limit(_) | Self::White(_) | Self::Compared(_) | Self::BothRead(_)
        )
    }
}

/// What follows where an eye that accommodates asked for too much minus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum AfterMinus {
    /// Once more from the fog.
    FogAgain,
    /// Accommodation is relaxed first, by local rule.
    Relax,
    /// The manifest stands.
    KeepManifest,
}

impl AfterMinus {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::FogAgain, Self::Relax, Self::KeepManifest];

    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }
}

/// What the examiner chooses of a result, always by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Choice {
    /// For far away, to the nearest quarter.
    FarQuarter,
    /// For far away, as it is.
    FarExact,
    /// For the distance of the chart, to the nearest quarter.
    HereQuarter,
    /// For the distance of the chart, as it is.
    HereExact,
    /// The refraction from before.
    Manifest,
    /// Nothing for now.
    Nothing,
}

impl Choice {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::FarQuarter, Self::FarExact, Self::HereQuarter, Self::HereExact, Self::Manifest, Self::Nothing];

    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// What it is, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FarQuarter => "far away, nearest quarter",
            Self::FarExact => "far away, exact",
            Self::HereQuarter => "test distance, nearest quarter",
            Self::HereExact => "test distance, exact",
            Self::Manifest => "the manifest refraction",
            Self::Nothing => "nothing for now",
        }
    }
}

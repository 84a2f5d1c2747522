//! The levels of practice, from an easy eye to a small aperture.
//!
//! The numbers of a level (pupil, kind of eye, chance) are those of simulated patients, so what is assumed there is assumed
//! here.

use crate::balance::{Accommodation, EyeKind, Patient, Rules};
use crate::quantity::Length;

/// What a learner meets, from easy to hard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Level {
    /// A patient whose answers are always certain.
    Clear,
    /// A patient whose answers vary.
    Noisy,
    /// A patient with a lens implant of small aperture.
    SmallAperture,
    /// An eye that accommodates: it compensates for minus unless it is fogged first.
    Accommodates,
    /// A room that nobody checked: with two patients of three its fields are unequal.
    Room,
}

impl Level {
    /// All of them, in the order of the page.
    pub const ALL: [Self; 5] =
        [Self::Clear, Self::Noisy, Self::SmallAperture, Self::Accommodates, Self::Room];

    /// How many patients each level has. This project's own decision.
    pub const PATIENTS: u64 = 99;

    /// Its name in the page's address.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Noisy => "noisy",
            Self::SmallAperture => "aperture",
            Self::Accommodates => "accommodating",
            Self::Room => "room",
        }
    }

    /// Its title.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Clear => "Clear answers",
            Self::Noisy => "Varying answers",
            Self::SmallAperture => "Small aperture",
            Self::Accommodates => "Accommodating eye",
            Self::Room => "Unchecked room",
        }
    }

    /// What to mind in it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Clear => "Every answer is certain. Learn the steps.",
            Self::Noisy => "Answers vary, as real ones do, and may contradict each other.",
            Self::SmallAperture => {
                "The depth of focus is long, so several lenses look the same. Change the lens by half a dioptre or more."
            }
            Self::Accommodates => {
                "This eye can compensate for minus by accommodating. Fog it first, then come down from plus."
            }
            Self::Room => {
                "Nobody has checked this room. See whether both fields are equally bright before you trust an answer."
            }
        }
    }

    /// What is known of the eye.
    #[must_use]
    pub const fn kind(self) -> EyeKind {
        match self {
            Self::Clear | Self::Noisy | Self::Room => EyeKind::Presbyopic,
            Self::SmallAperture => EyeKind::SmallAperture,
            Self::Accommodates => EyeKind::Accommodating,
        }
    }

    /// Its pupil, or the aperture that stands for it.
    #[must_use]
    pub const fn pupil(self) -> Length {
        match self {
            Self::Clear | Self::Noisy | Self::Room => Length::mm(3.0),
            Self::SmallAperture => Length::mm(1.6),
            Self::Accommodates => Length::mm(5.0),
        }
    }

    /// The rule by which its runs are scored: what is usual for the kind.
    #[must_use]
    pub const fn rules(self) -> Rules {
        self.kind().by_hand()
    }

    /// How its patients answer.
    #[must_use]
    pub const fn patient(self) -> Patient {
        match self {
            Self::Clear => Patient::noiseless(),
            Self::Noisy | Self::SmallAperture | Self::Room => Patient::typical(),
            Self::Accommodates => Patient::accommodating(Accommodation::typical()),
        }
    }
}

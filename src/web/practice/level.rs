//! The levels of practice, from sure answers to a room that nobody checked.
//!
//! Each level teaches one thing, which it says in a sentence; each procedure has one at least. They can be taken in any order. The
//! numbers of a level (pupil, kind of eye, chance) are those of simulated patients, so what is assumed there is assumed here.

use serde::Serialize;

use crate::balance::{Accommodation, ColourVision, EndPoint, EyeKind, Patient, Rules, Way};
use crate::quantity::Length;

/// What a learner meets, from easy to hard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Level {
    /// The customary steps, behind a wide pupil, with a patient whose answers are always certain.
    Clear,
    /// Down from plus, with such a patient.
    FromPlus,
    /// The lens that tells most, with such a patient.
    Adaptive,
    /// A patient whose answers vary.
    Noisy,
    /// A patient who names sides, since colours are not told apart.
    Sides,
    /// A patient with a lens implant of small aperture.
    SmallAperture,
    /// The limits of reading on white, behind a small aperture.
    Midpoint,
    /// An eye that accommodates: it compensates for minus unless it is fogged first.
    Accommodates,
    /// A room that nobody checked: with two patients of three its fields are unequal.
    Room,
}

/// How far the page helps while a patient is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Guide {
    /// It says before every question what comes next and why.
    Told,
    /// It says so on asking, and counts that.
    Asked,
    /// It says nothing until the run is over.
    After,
}

impl Guide {
    /// What a learner is told of it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Told => "Before every question the page says what comes next, and why.",
            Self::Asked => "Hints come when you ask for them, and are counted.",
            Self::After => "Hints come afterwards, beside your questions.",
        }
    }
}

impl Level {
    /// All of them, in the order of the page.
    pub const ALL: [Self; 9] = [
        Self::Clear,
        Self::FromPlus,
        Self::Adaptive,
        Self::Noisy,
        Self::Sides,
        Self::SmallAperture,
        Self::Midpoint,
        Self::Accommodates,
        Self::Room,
    ];

    /// How many patients each level has. This project's own decision.
    pub const PATIENTS: u64 = 99;

    /// A level is passed with so many patients in a row. This project's own decision.
    pub const IN_A_ROW: u8 = 2;

    /// With each of them at most so many hints may be asked for. This project's own decision.
    pub const MOST_HINTS: u8 = 1;

    /// Its place among all.
    pub(super) fn place(self) -> usize {
        Self::ALL.iter().position(|one| *one == self).unwrap_or(0)
    }

    /// Its name in the page's address.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::FromPlus => "plus",
            Self::Adaptive => "adaptive",
            Self::Noisy => "noisy",
            Self::Sides => "sides",
            Self::SmallAperture => "aperture",
            Self::Midpoint => "midpoint",
            Self::Accommodates => "accommodating",
            Self::Room => "room",
        }
    }

    /// Its title.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Clear => "Clear answers",
            Self::FromPlus => "Down from plus",
            Self::Adaptive => "The lens that tells most",
            Self::Noisy => "Varying answers",
            Self::Sides => "Left and right",
            Self::SmallAperture => "Small aperture",
            Self::Midpoint => "Midpoint on white",
            Self::Accommodates => "Accommodating eye",
            Self::Room => "Unchecked room",
        }
    }

    /// What it teaches, in a sentence.
    #[must_use]
    pub const fn teaches(self) -> &'static str {
        match self {
            Self::Clear => "Answers do not vary here: learn what each one asks for next.",
            Self::FromPlus => {
                "Begin in plus and come down: the middle of the lenses judged the same stays in."
            }
            Self::Adaptive => "A model chooses each lens and side here: learn to follow it exactly.",
            Self::Noisy => {
                "Answers vary, as real ones do, and may contradict each other: learn to go by the rule all the same."
            }
            Self::Sides => {
                "This patient cannot tell the colours apart: turn “left” and “right” into colours yourself."
            }
            Self::SmallAperture => {
                "The depth of focus is long, so several lenses look the same: bracket them in large steps."
            }
            Self::Midpoint => "Find the middle between the lenses with which letters on white are lost.",
            Self::Accommodates => {
                "This eye can compensate for minus by accommodating: fog it first, then come down from plus."
            }
            Self::Room => {
                "Nobody has checked this room: see whether both fields are equally bright before you trust an answer."
            }
        }
    }

    /// When it is passed, in a sentence.
    #[must_use]
    pub fn passed_when(self) -> String {
        let row = match Self::IN_A_ROW {
            2 => "two".to_owned(),
            more => more.to_string(),
        };
        let at_most = match Self::MOST_HINTS {
            1 => "at most one".to_owned(),
            most => format!("at most {most} times a"),
        };
        let help = match self.guide() {
            Guide::Told => String::new(),
            Guide::Asked => format!(", with {at_most} hint or look at the patient’s view"),
            Guide::After => format!(", with {at_most} look at the patient’s view"),
        };
        let run = "every question by the rule, without a slip, to the rule’s own end";
        match self {
            Self::Room => format!(
                "Passed with {row} new patients in a row: unequal fields are named as such, and with equal fields {run}{help}."
            ),
            Self::Clear
            | Self::FromPlus
            | Self::Adaptive
            | Self::Noisy
            | Self::Sides
            | Self::SmallAperture
            | Self::Midpoint
            | Self::Accommodates => format!("Passed with {row} new patients in a row: {run}{help}."),
        }
    }

    /// How far the page helps: less and less from level to level, and always where nobody can know the next lens.
    #[must_use]
    pub const fn guide(self) -> Guide {
        match self {
            Self::Clear | Self::FromPlus | Self::Adaptive => Guide::Told,
            Self::Noisy | Self::Sides | Self::SmallAperture | Self::Midpoint => Guide::Asked,
            Self::Accommodates | Self::Room => Guide::After,
        }
    }

    /// What is known of the eye.
    #[must_use]
    pub const fn kind(self) -> EyeKind {
        match self {
            Self::Clear | Self::FromPlus | Self::Adaptive | Self::Noisy | Self::Sides | Self::Room => {
                EyeKind::Presbyopic
            }
            Self::SmallAperture | Self::Midpoint => EyeKind::SmallAperture,
            Self::Accommodates => EyeKind::Accommodating,
        }
    }

    /// Its pupil, or the aperture that stands for it.
    #[must_use]
    pub const fn pupil(self) -> Length {
        match self {
            Self::FromPlus | Self::Adaptive | Self::Noisy | Self::Sides | Self::Room => Length::mm(3.0),
            Self::SmallAperture | Self::Midpoint => Length::mm(1.6),
            Self::Clear | Self::Accommodates => Length::mm(5.0),
        }
    }

    /// How the eye sees colours.
    #[must_use]
    pub const fn colour_vision(self) -> ColourVision {
        match self {
            Self::Sides => ColourVision::OtherDefect,
            Self::Clear
            | Self::FromPlus
            | Self::Adaptive
            | Self::Noisy
            | Self::SmallAperture
            | Self::Midpoint
            | Self::Accommodates
            | Self::Room => ColourVision::Usual,
        }
    }

    /// The way of asking that its runs are held against: where a level has none of its own, what is taught for the kind of eye.
    #[must_use]
    pub const fn way(self) -> Way {
        match self {
            Self::Clear => Way::Rules(Rules::customary(self.end_point(), false)),
            Self::Adaptive => Way::Adaptive(self.end_point()),
            Self::Midpoint => Way::Midpoint,
            Self::FromPlus
            | Self::Noisy
            | Self::Sides
            | Self::SmallAperture
            | Self::Accommodates
            | Self::Room => Way::Rules(self.kind().by_hand()),
        }
    }

    /// Which lens stays in.
    #[must_use]
    pub const fn end_point(self) -> EndPoint {
        self.kind().usual_end_point()
    }

    /// How its patients answer.
    #[must_use]
    pub const fn patient(self) -> Patient {
        match self {
            Self::Clear | Self::FromPlus | Self::Adaptive => Patient::noiseless(),
            Self::Noisy | Self::Sides | Self::SmallAperture | Self::Midpoint | Self::Room => {
                Patient::typical()
            }
            Self::Accommodates => Patient::accommodating(Accommodation::typical()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::Procedure;

    #[test]
    fn every_procedure_has_a_level_and_every_level_a_name_and_a_sentence_of_its_own() {
        for procedure in Procedure::ALL {
            assert!(Level::ALL.iter().any(|level| level.way().procedure() == procedure), "{procedure:?}");
        }
        for (place, level) in Level::ALL.into_iter().enumerate() {
            assert_eq!(level.place(), place);
            let before = &Level::ALL[..place];
            assert!(before.iter().all(|one| one.name() != level.name() && one.teaches() != level.teaches()));
            assert!(level.teaches().ends_with('.') && level.passed_when().ends_with('.'));
        }
    }

    #[test]
    fn hints_fade() {
        let fading = [Guide::Told, Guide::Asked, Guide::After];
        let places = Level::ALL.map(|level| fading.iter().position(|one| *one == level.guide()));
        assert!(places.is_sorted(), "{places:?}");
        assert!(fading.iter().all(|guide| Level::ALL.iter().any(|level| level.guide() == *guide)));
    }

    /// Who is told the next lens is not held to have asked for it.
    #[test]
    fn help_stands_in_the_way_of_passing_only_where_it_is_taken() {
        for level in Level::ALL {
            let words = level.passed_when();
            assert_eq!(words.contains("hint"), level.guide() == Guide::Asked, "{words}");
            assert_eq!(words.contains("look"), level.guide() != Guide::Told, "{words}");
        }
    }
}

//! The midpoint on white: what is asked, why a lens is in place, and what both limits come to.

use super::super::answer::Legible;
use super::super::clicks::Clicks;
use super::super::course::Course;
use super::super::midpoint::{Limits, Seeks};
use super::super::question::LimitQuestion;
use super::super::viewer::Viewer;
use super::Said;
use super::why::{larger_line, moved};
use crate::quantity::Dioptres;

/// The question of a limit.
pub const READ_QUESTION: &str = "Which letters of this line can you read?";

/// What stands before it.
pub const BEFORE_READING: &str = "The room is dark and the other eye occluded. New letters each time, since a line is soon known by heart; a guess is a good answer too.";

/// What is offered after red and green.
pub const ALSO_MIDPOINT: &str = "look for the midpoint on white as well";

/// Two results farther apart than this do not agree, in dioptres. This project's own decision.
const APART_D: f64 = 0.5;

impl Legible {
    /// What counts as such.
    #[must_use]
    pub const fn explained(self) -> Said {
        match self {
            Self::Read => Said { name: "read", how: "half of its letters or more" },
            Self::Lost => Said { name: "lost", how: "fewer than half of its letters" },
        }
    }

    /// As a patient says it.
    #[must_use]
    pub const fn said(self) -> &'static str {
        match self {
            Self::Read => "I can read half of it or more.",
            Self::Lost => "I can read less than half of it.",
        }
    }
}

impl LimitQuestion {
    /// Its line.
    #[must_use]
    pub fn line_in_words(&self) -> String {
        self.line.in_notation(self.notation)
    }

    /// Why this lens is in place.
    #[must_use]
    pub fn because(&self) -> String {
        self.seeks.words(self.moved)
    }
}

impl Seeks {
    /// Why a lens is in place that differs from the one before by this many clicks, plus upward.
    #[must_use]
    pub fn words(self, clicks: Clicks) -> String {
        let moved = moved(clicks);
        match self {
            Self::Manifest => {
                "The manifest refraction comes first; the line should be read through it.".into()
            }
            Self::LargerLine => format!("It could not be read. {}", larger_line(clicks)),
            Self::PlusLimit => format!("Toward plus until the line is lost: {moved}."),
            Self::MinusLimit => format!("Toward minus until the line is lost: {moved}."),
            Self::Between => format!("The line was lost, so back: {moved}."),
            Self::PlusAgain => format!("The limit to plus once more, from outside: {moved}."),
            Self::MinusAgain => format!("The limit to minus once more, from outside: {moved}."),
        }
    }
}

impl Course {
    /// What the limits of reading on white came to, in a sentence or two; none while they are open or not wanted.
    #[must_use]
    pub fn midpoint_in_words(&self) -> Option<String> {
        Some(match (self.limits_found()?, self.midpoint()) {
            (_, Some(found)) => {
                let [plus, minus] = [found.plus, found.minus].map(|[one, other]| {
                    if one == other { one.to_string() } else { format!("{} and {other}", one.number()) }
                });
                let left = self.left_in().filter(|_| self.is_left_in_by_limits());
                let why = self.left_in_because().unwrap_or_default();
                let left = left.map(|lens| format!(" {lens} is left in: {why}.")).unwrap_or_default();
                let known = Viewer::of(&self.start).and_then(Viewer::known);
                let balance = known.map(|known| found.at + known.balance_from_white);
                let by_model = balance.map(|lens| format!(", by the model {lens} for red and green")).unwrap_or_default();
                format!(
                    "The midpoint on white lies at {}{by_model}: the line was read to {plus} on the plus side and to {minus} on the minus side.{left}",
                    found.at
                )
            }
            (Limits::NotRead, _) => {
                "The midpoint was not found: not even a larger line could be read through the manifest. Refine the refraction first.".into()
            }
            (Limits::Contradicted, _) => {
                "The midpoint was not found: looked for a second time, a limit lay beyond the other one. Repeat it later, with new letters.".into()
            }
            (Limits::None | Limits::Found { .. }, _) => {
                "The midpoint was not found: the line was read through every lens to one side. Use smaller letters.".into()
            }
        })
    }

    /// By how much the lens that red and green left in and the midpoint on white lie apart, where that is more than half a
    /// dioptre.
    #[must_use]
    pub fn disagreement(&self) -> Option<Dioptres> {
        // What binary leaves of quarters.
        const DUST_D: f64 = 1e-6;
        let apart = (self.left_in_by_colours()? - self.midpoint()?.at).to_d().abs();
        (apart > APART_D + DUST_D).then(|| Dioptres::new(apart))
    }

    /// What such a disagreement may mean, in a sentence or two.
    #[must_use]
    pub fn disagreement_in_words(&self) -> Option<String> {
        let apart = self.disagreement()?;
        let (colours, limits) = (self.left_in_by_colours()?, self.midpoint()?.at);
        Some(format!(
            "Red and green ended at {colours} and the midpoint lies at {limits}, {:.2} D apart. One of them was misled: fields that are unequal or an answer that follows a side, letters known by heart, a limit set by glare or by a guess. Repeat the one that you trust less.",
            apart.to_d()
        ))
    }
}

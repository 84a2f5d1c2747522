//! What there is to choose from, for who has to choose.

use super::super::course::Course;
use super::super::end_point::EndPoint;
use super::super::event::{AfterMinus, Choice};
use super::super::manifest::{Laterality, RefinedFor};
use super::super::rules::Procedure;
use super::Said;

impl Laterality {
    /// The eye, at the beginning of a line.
    #[must_use]
    pub const fn eye(self) -> &'static str {
        match self {
            Self::Right => "Right eye",
            Self::Left => "Left eye",
        }
    }

    /// That the other eye does not look.
    #[must_use]
    pub fn other_occluded(self) -> String {
        format!("{} eye occluded", self.other().name())
    }
}

impl RefinedFor {
    /// What a refraction is for, for who has to choose.
    #[must_use]
    pub fn said(self) -> Said {
        let how = match self {
            Self::Room => "it was refined at the distance of this chart",
            Self::FarAway => "it is for far away",
        };
        Said { name: self.name(), how }
    }
}

impl Course {
    /// What can be chosen for this eye, by name; of the manifest refraction also what distance it is for.
    #[must_use]
    pub fn choice_name(&self, choice: Choice) -> String {
        match (choice, self.start.refined_for) {
            (Choice::Manifest, RefinedFor::Room) => {
                format!("{}, for {}", choice.words(), self.start.distance())
            }
            (Choice::Manifest, RefinedFor::FarAway) => format!("{}, for far away", choice.words()),
            (Choice::Nothing, _) => choice.words().into(),
            _ if self.keeps_the_manifest() => format!("the manifest, {}", choice.words()),
            _ => choice.words().into(),
        }
    }
}

/// Whether a step with both eyes was done.
#[must_use]
pub const fn done(done: bool) -> &'static str {
    if done { "done" } else { "not done" }
}

impl Procedure {
    /// How it goes.
    #[must_use]
    pub const fn said(self) -> Said {
        match self {
            Self::Customary => Said {
                name: "customary",
                how: "0.25 D minus after red or “same”, 0.25 D plus after green, until the answer changes",
            },
            Self::FromPlus => Said {
                name: "from plus",
                how: "plus until red is clearer, then down in steps of 0.25 D; an eye that accommodates ends at the first “same”, another eye at the middle of the lenses judged the same",
            },
            Self::Bracket => Said {
                name: "bracket",
                how: "in steps of 0.50 D (0.75 D after “same” twice) to a clear red and a clear green; both ends are re-checked in steps of 0.25 D, and the lens midway is left in, of two the one with more plus",
            },
            Self::Adaptive => Said {
                name: "adaptive",
                how: "each time the lens whose answer tells most about where balance lies, by a model and all answers so far, while red changes sides; it ends when another answer would tell little, with the click nearest to balance",
            },
            Self::Midpoint => Said {
                name: "midpoint",
                how: "letters on white: plus until the line is lost, then minus until it is lost, each limit once more from outside; the click nearest to the middle is left in",
            },
        }
    }
}

impl EndPoint {
    /// Which lens it leaves in.
    #[must_use]
    pub fn said(self) -> Said {
        let how = match self {
            Self::EqualElseLastRed => {
                "the most plus lens judged the same (their middle if the way says so); where the answer flips without one, the least plus that was clearer in red"
            }
            Self::EqualElseFirstGreen => {
                "the most plus lens judged the same (their middle if the way says so); where the answer flips without one, the most plus that was clearer in green"
            }
            Self::LastRed => {
                "the least plus lens that was clearer in red, even if a lens was judged the same"
            }
        };
        Said { name: self.name(), how }
    }
}

impl AfterMinus {
    /// What it means.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FogAgain => "blur with plus again and come down once more",
            Self::Relax => {
                "relax accommodation first (cycloplegia by local rule); nothing is chosen from this run"
            }
            Self::KeepManifest => "keep the manifest refraction",
        }
    }
}

/// What is said where too much minus was asked for again.
pub const TOO_MUCH_MINUS_AGAIN: &str = "It was blurred with plus again already. Relax accommodation by local rule, or keep the manifest, rather than go on asking.";

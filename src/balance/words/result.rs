//! How questions ended, which lens is left in and which stands.

use super::super::clicks::Clicks;
use super::super::course::{Course, Stands};
use super::super::end_point::EndPoint;
use super::super::keys::Act;
use super::super::run::{DecidedBy, End, MOST_MINUS, REVERSALS, UNSURE};
use super::super::stage::Stage;
use super::super::start::Start;
use super::super::white::{DOUBTFUL_LETTERS, SURE_LETTERS};
use super::why::moved;
use crate::eye::CLICK_D;
use crate::quantity::Dioptres;

impl Course {
    /// Which lens to have in place before white is read, and why it is this one.
    #[must_use]
    pub fn put_in(&self) -> String {
        let lens = self.left_in().map(|lens| self.start.manifest.with_sphere(lens).to_string());
        let lens = lens.unwrap_or_default();
        let why = self.left_in_because().map(|why| format!(" ({why})")).unwrap_or_default();
        match self.still_to_move() {
            Some(clicks) if clicks != Clicks::NONE => format!("Now put in {lens}, {}{why}.", moved(clicks)),
            _ => format!("Leave {lens} in{why}."),
        }
    }

    /// Why the lens is left in that is; none where none is.
    #[must_use]
    pub fn left_in_because(&self) -> Option<String> {
        let end = if self.is_left_in_by_limits() { self.limits_end() } else { self.end() };
        end?.reason(self.start.end_point)
    }

    /// What the examiner chose, with its sphere.
    #[must_use]
    pub fn choice_in_words(&self) -> String {
        match (self.chosen, self.chosen_sphere()) {
            (Some(choice), Some(sphere)) => {
                let lens = self.start.manifest.with_sphere(sphere);
                format!("Examiner’s choice: {lens}, {}", self.choice_name(choice))
            }
            _ => "Nothing was chosen".into(),
        }
    }

    /// The same with the eye that it is for.
    #[must_use]
    pub fn eye_and_choice(&self) -> String {
        let (eye, choice) = (self.start.eye.eye(), self.choice_in_words());
        format!("{eye}. {choice}.")
    }

    /// That white is to be read a second time; none where it is not.
    #[must_use]
    pub fn read_again(&self) -> Option<String> {
        let [gain] = self.gains()[..] else { return None };
        (self.stage() == Some(Stage::White)).then(|| {
            format!(
                "White: {}. So few may be chance: show new letters (key {}) and measure again through the same lens.",
                gained(gain),
                Act::NewLetters.shown()
            )
        })
    }

    /// How the questions ended, in a sentence or two, those about red and green first; none while they go on.
    #[must_use]
    pub fn ended(&self) -> Option<String> {
        let colours = if self.is_by_limits_alone() { None } else { Some(self.colours_ended()?) };
        let said: Vec<String> = colours.into_iter().chain(self.midpoint_in_words()).collect();
        (!said.is_empty()).then(|| said.join(" "))
    }

    fn colours_ended(&self) -> Option<String> {
        let end = self.end()?;
        let lenses = self.first_end().map(|first| [first, end].map(|end| self.lens_of(end)));
        Some(match lenses {
            None => self.words_of(end),
            Some([Some(first), Some(second)]) if first == second => {
                format!("Asked twice, the questions ended at {first} both times.")
            }
            Some([Some(first), Some(second)]) => {
                let counts = self.left_in().map_or_else(
                    || "These do not agree".into(),
                    |lens| format!("The one nearer to the manifest, {lens}, counts"),
                );
                format!("Asked twice, the questions ended at {first} and at {second}. {counts}.")
            }
            Some([first, _]) => {
                let first = first.map(|lens| lens.to_string()).unwrap_or_default();
                format!(
                    "The questions ended at {first}, and were asked a second time. {}",
                    self.words_of(end)
                )
            }
        })
    }

    fn words_of(&self, end: End) -> String {
        if end == End::TooMuchMinus {
            return self.too_much_minus();
        }
        let left = self.lens_of(end).map(|lens| lens.to_string()).unwrap_or_default();
        end.words(&left, self.start.end_point)
    }

    /// That too much minus was asked for, and how much was given.
    #[must_use]
    pub fn too_much_minus(&self) -> String {
        too_much_minus((-MOST_MINUS).in_steps(self.start.step()))
    }
}

fn too_much_minus(given: Dioptres) -> String {
    format!(
        "Answers ask for over {:.2} D more minus than the manifest. An accommodating eye may never stop, so the run ends here.",
        given.to_d()
    )
}

impl Start {
    /// By what procedure, and with which end point where that decides something.
    #[must_use]
    pub fn way_in_words(&self) -> String {
        let name = self.procedure.name();
        if self.procedure.ends_by_end_point() {
            format!("{name}, {}", self.end_point.name())
        } else {
            name.into()
        }
    }
}

impl End {
    /// Its name in a table; a lens has its own.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lens { .. } => "",
            Self::Contradicted => "contradicted",
            Self::CouldNotTell => "could not tell",
            Self::FollowedTheSide => "by side",
            Self::ManifestStands => "no change found",
            Self::TooMuchMinus => "too much minus",
        }
    }

    /// How questions ended, in a sentence or two, with the lens that stays in as it is written.
    #[must_use]
    pub fn words(self, left: &str, end_point: EndPoint) -> String {
        match self {
            Self::Lens { .. } => {
                let why = self.reason(end_point).unwrap_or_default();
                format!("The questions ended at {left} ({why}).")
            }
            Self::Contradicted => format!(
                "Not decided: answers contradicted each other {REVERSALS} times. Repeat it later, or with larger letters."
            ),
            Self::CouldNotTell => format!(
                "Not decided: the patient could not tell {UNSURE} times. Refine the refraction first, or use larger letters."
            ),
            Self::FollowedTheSide => {
                "Not decided: twice the answer stayed on its side when the sides were swapped, so it followed the side and not the focus. Explain the question again, or leave the test.".into()
            }
            Self::ManifestStands => {
                "Not decided: no clear change among the lenses that were tried. Check the refraction, the letters and the fields before you try again.".into()
            }
            Self::TooMuchMinus => too_much_minus((-MOST_MINUS).to_dioptres()),
        }
    }

    /// Why this lens is left in; none where no lens is.
    #[must_use]
    pub fn reason(self, end_point: EndPoint) -> Option<String> {
        let Self::Lens { by, of_two, .. } = self else { return None };
        let of_two = if of_two { ", of two middles the one with more plus" } else { "" };
        Some(match by {
            DecidedBy::EndPoint => format!("end point: {}", end_point.name()),
            DecidedBy::MiddleOfSame => format!("the middle of the lenses judged the same{of_two}"),
            DecidedBy::Estimate => "the click nearest to where balance most likely lies".into(),
            DecidedBy::MiddleOfLimits => {
                let of_two =
                    if of_two.is_empty() { "" } else { ", of two equally near the one with more plus" };
                format!("the click nearest to the midpoint on white{of_two}")
            }
            DecidedBy::MiddleOfBracket => format!("midway between a clear red and a clear green{of_two}"),
        })
    }
}

impl Course {
    /// Why the lens stands that does, where that is known.
    #[must_use]
    pub fn stands_in_words(&self) -> Option<String> {
        let why = self.standing()?.why;
        let Some(before) = self.acuity_before_through() else { return Some(why.words()) };
        Some(match why {
            Stands::ManifestWorse(letters) => format!(
                "The balance ended at the lens with the rechecked cylinder, so it stands. White was read worse through it than through {before}, by {letters} letters: doubt the new cylinder, and look at both once more."
            ),
            Stands::WorseOnWhite(letters) => format!(
                "Through that lens white was read worse than through {before}, by {letters} letters, so the manifest with the rechecked cylinder stands, through which nothing was read: doubt the new cylinder, and look at both once more."
            ),
            Stands::Balanced
            | Stands::Midpoint
            | Stands::NotDecided
            | Stands::NotRepeated
            | Stands::TooLittleGain(_) => why.words(),
        })
    }

    /// That the manifest stands more than a click from the balance that was found; none where neither is so.
    #[must_use]
    pub fn kept_against_balance(&self) -> Option<String> {
        let (standing, found) = (self.standing()?, self.whereabouts()?);
        let off = (standing.here - found.balance).to_d();
        let side = if off < 0.0 { "minus" } else { "plus" };
        (standing.why.keeps_the_manifest() && off.abs() > CLICK_D).then(|| {
            format!(
                "Doubtful: the manifest was kept, {:.2}\u{a0}D more {side} than the estimated balance.",
                off.abs()
            )
        })
    }

    /// The acuity before, and through which lens where the cylinder was rechecked since.
    #[must_use]
    pub fn acuity_before_in_words(&self) -> String {
        let through = self.acuity_before_through().map(|lens| format!(", through {lens}"));
        format!("{}{}", self.start.acuity, through.unwrap_or_default())
    }
}

impl Stands {
    /// Why this lens stands.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Balanced => "The balance’s lens stands.".into(),
            Self::Midpoint => "The midpoint’s lens stands.".into(),
            Self::NotDecided => "The balance decided nothing, so the manifest stands.".into(),
            Self::NotRepeated => {
                "Asked a second time the questions did not end there again, so the manifest stands.".into()
            }
            Self::WorseOnWhite(letters) => format!(
                "Through that lens white was read worse, by {letters} letters, so the manifest stands."
            ),
            Self::ManifestWorse(letters) => format!(
                "The balance ended at the manifest, so it stands. Through this same lens white was read worse than before, by {letters} letters: read it again, and look for what changed."
            ),
            Self::TooLittleGain(letters) => format!(
                "That lens has more minus. In an eye that accommodates minus must gain {DOUBTFUL_LETTERS} letters on white, read twice, or {SURE_LETTERS} at once: {}. So the manifest stands.",
                gained(letters)
            ),
        }
    }
}

/// Letters gained or lost.
#[must_use]
pub fn gained(letters: i32) -> String {
    let word = |count: i32| if count == 1 { "letter" } else { "letters" };
    match letters {
        0 => "as many letters as before".into(),
        more if more > 0 => format!("{more} {} gained", word(more)),
        fewer => format!("{} {} lost", -fewer, word(-fewer)),
    }
}

//! What is said at each step, the same on every screen and page.

use super::{
    AfterMinus, Answer, ColourVision, Course, End, EndPoint, GAIN_LETTERS, Left, Procedure, Question, Stage,
    Stands, Why,
};
use crate::light::Side;

/// The question, in words that lead nobody. Never which side is better, darker or brighter.
#[must_use]
pub const fn question(colour_vision: ColourVision) -> &'static str {
    if colour_vision.is_defect() {
        "Look at the left side, the right side, the left side again. On which side are the edges of the letters crisper, or is there no difference?"
    } else {
        "Look at the red side, the green side, the red side again. On which side are the edges of the letters crisper, or is there no difference?"
    }
}

/// What a patient is told before the first question.
pub const NO_DIFFERENCE: &str = "No difference is a good answer too.";

/// What stands before every question.
pub const BEFORE_ASKING: &str = "The room is dark and the other eye is covered. Ask about crisp edges only. Which side is brighter or blacker is no answer.";

/// What comes before a lens that must be met coming down from plus.
pub const THROUGH_PLUS: &str = "First blur the eye with +0.50 D more for a few seconds, take it away, and ask at once: an eye that accommodates answers rightly only as plus is taken away.";

/// What is said about privacy wherever times and labels are shown or written.
pub const PRIVACY: &str = "Times and labels can identify a person: follow local law.";

/// Who may use it.
pub const SUPERVISION: &str =
    "For use by a licensed practitioner or under one's supervision; local rules come first.";

/// What it is not.
pub const NOT_APPROVED: &str = "Not a medical device; no authority has approved it.";

/// Who answers for a result.
pub const CAUTION: &str = "A balance is one step of a refraction by a licensed practitioner or under one's supervision: local rules and the practitioner's judgement come first.";

/// What saturated colours can do.
pub const SEIZURES: &str = "Saturated red, and changes between red and green, can provoke seizures: ask first, never alternate quickly, stop at any discomfort.";

impl Procedure {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Customary, Self::FromPlus, Self::Bracket];

    /// Its name on the command line and in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Customary => "customary",
            Self::FromPlus => "from-plus",
            Self::Bracket => "bracket",
        }
    }

    /// How it goes.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Customary => {
                "customary: minus from red or the same, plus from green, in quarters until the answer changes"
            }
            Self::FromPlus => {
                "from plus: plus until red is clearer, then down in quarters; an eye that accommodates ends at the first same, another at the middle of the same"
            }
            Self::Bracket => {
                "bracket: in half dioptres, or three quarters after the same twice, to a clear red and a clear green, each followed in by quarters, then the middle"
            }
        }
    }
}

impl EndPoint {
    /// Its name on the command line and in files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::EqualElseLastRed => "equal-else-last-red",
            Self::EqualElseFirstGreen => "equal-else-first-green",
            Self::LastRed => "last-red",
        }
    }

    /// Which lens it leaves in.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::EqualElseLastRed => {
                "equal, else last red: the most plus lens judged the same, or the middle of them; where the answer flips, the least plus lens that was clearer in red"
            }
            Self::EqualElseFirstGreen => {
                "equal, else first green: the most plus lens judged the same, or the middle of them; where the answer flips, the most plus lens that was clearer in green"
            }
            Self::LastRed => {
                "last red: the least plus lens that was clearer in red, even if the same was seen"
            }
        }
    }
}

impl Why {
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::Manifest,
        Self::Fog,
        Self::MoreFog,
        Self::RedWasClearer,
        Self::GreenWasClearer,
        Self::SameIsNoEnd,
        Self::EndPointNotSeen,
        Self::CouldNotTell,
        Self::SidesSwapped,
        Self::LimitConfirmed,
        Self::CountsAsSame,
    ];

    /// Why a lens is in place that differs from the one before by so many clicks.
    #[must_use]
    pub fn words(self, clicks: i32) -> String {
        let moved = moved(clicks);
        match self {
            Self::Manifest => "The manifest refraction comes first.".into(),
            Self::Fog => {
                "This eye accommodates: half a dioptre of plus over the manifest first, and red should be clearer.".into()
            }
            Self::MoreFog => {
                format!("Red must be clearer before an answer counts in an eye that accommodates: {moved}.")
            }
            Self::RedWasClearer => format!("Red was clearer: {moved}."),
            Self::GreenWasClearer => format!("Green was clearer: {moved}."),
            Self::SameIsNoEnd => format!("The same is no end yet, since it may reach further: {moved}."),
            Self::EndPointNotSeen => {
                format!("The end point needs an answer that was not given yet: {moved}.")
            }
            Self::CouldNotTell if clicks == 0 => "It could not be told: a larger line, the same lens.".into(),
            Self::CouldNotTell => {
                "It could not be told in this fog: a larger line, and a quarter less fog.".into()
            }
            Self::SidesSwapped => "The deciding lens once more, sides swapped and with new letters.".into(),
            Self::LimitConfirmed => format!("This limit is confirmed a quarter further in: {moved}."),
            Self::CountsAsSame => {
                format!("The answer stayed on its side, which counts as the same: {moved}.")
            }
        }
    }
}

impl Answer {
    /// As a patient says it.
    #[must_use]
    pub const fn said(self) -> &'static str {
        match self {
            Self::Red => "On red.",
            Self::Green => "On green.",
            Self::Same => "They are the same.",
            Self::Unsure => "I cannot tell.",
        }
    }
}

impl Question {
    /// Why this lens is in place.
    #[must_use]
    pub fn because(&self) -> String {
        self.why.words(self.moved)
    }

    /// What to do before asking; nothing where it is only to change the lens.
    #[must_use]
    pub const fn first(&self) -> Option<&'static str> {
        if self.through_plus { Some(THROUGH_PLUS) } else { None }
    }

    /// Where red and green lie, as the patient sees them.
    #[must_use]
    pub const fn sides(&self) -> &'static str {
        match self.red {
            Side::Left => "red left, green right",
            Side::Right => "green left, red right",
        }
    }

    /// The answer of a patient who points to a side.
    #[must_use]
    pub fn answer_of(&self, side: Side) -> Answer {
        if side == self.red { Answer::Red } else { Answer::Green }
    }
}

/// A change of lens in words.
fn moved(clicks: i32) -> String {
    let size = match clicks.abs() {
        0 => return "the same lens".into(),
        1 => "a quarter".to_owned(),
        2 => "half a dioptre".to_owned(),
        3 => "three quarters".to_owned(),
        more => format!("{:.2} D", f64::from(more) * super::CLICK_D),
    };
    format!("{size} more {}", if clicks > 0 { "plus" } else { "minus" })
}

impl Course {
    /// Which lens to have in place before white is read.
    #[must_use]
    pub fn put_in(&self) -> String {
        let lens = self.left_in().map(|lens| self.start.manifest.with_sphere(lens).to_string());
        let lens = lens.unwrap_or_default();
        match self.still_to_move() {
            Some(clicks) if clicks != 0 => format!("Now put in {lens}, {}.", moved(clicks)),
            _ => format!("Leave {lens} in."),
        }
    }
}

impl AfterMinus {
    /// What it means.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FogAgain => "fog again and come down once more",
            Self::Relax => {
                "relax accommodation first (cycloplegia by local rule); nothing is prescribed from this run"
            }
            Self::KeepManifest => "keep the manifest refraction",
        }
    }
}

/// What is said where it was so again after more fog.
pub const TOO_MUCH_MINUS_AGAIN: &str = "It was fogged again already. Relax accommodation by local rule, or keep the manifest, rather than ask on.";

/// What is said where too much minus was asked for.
pub const TOO_MUCH_MINUS: &str = "Half a dioptre of minus was given and more is asked for. An eye that accommodates can ask for minus without end, so the run stops here.";

impl Course {
    /// How the questions ended, in a sentence or two; none while they go on.
    #[must_use]
    pub fn ended(&self) -> Option<String> {
        let left = self.left_in().map(|lens| lens.to_string()).unwrap_or_default();
        Some(self.end()?.words(&left, self.start.end_point))
    }
}

impl End {
    /// How questions ended, in a sentence or two, with the lens that stays in as it is written.
    #[must_use]
    pub fn words(self, left: &str, end_point: EndPoint) -> String {
        match self {
            Self::Lens { by: Left::EndPoint, .. } => format!("{left} stays in, by {}.", end_point.name()),
            Self::Lens { by: Left::MiddleOfSame, .. } => {
                format!("{left} stays in, the middle of the lenses judged the same (of two middles, the one with more plus).")
            }
            Self::Lens { by: Left::MiddleOfBracket, .. } => {
                format!("{left} stays in, the middle between a clear red and a clear green (of two middles, the one with more plus).")
            }
            Self::Contradicted => {
                "Not decided: answers contradicted each other three times. That is an honest end; repeat it later, or with larger letters.".into()
            }
            Self::CouldNotTell => {
                "Not decided: the patient could not tell three times. That is an honest end; refine the refraction first, or use larger letters.".into()
            }
            Self::FollowedTheSide => {
                "Not decided: twice the answer stayed on its side when the sides were swapped, so it followed the place and not the focus. Explain the question again, or leave the test.".into()
            }
            Self::ManifestStands => {
                "Not decided: no clear change within the lenses that were tried. Look at the refraction, the letters and the fields before trying again.".into()
            }
            Self::TooMuchMinus => TOO_MUCH_MINUS.into(),
            Self::BracketRefused => "The bracket is not for an eye that accommodates.".into(),
        }
    }
}

impl Stands {
    /// Why this lens stands.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Balanced => "The balance's lens stands.".into(),
            Self::NotDecided => "The balance decided nothing, so the manifest stands.".into(),
            Self::WorseOnWhite(1) => {
                "White was read worse through the balance's lens, by one letter, so the manifest stands. One letter is within what a repeat changes: take the acuity back and measure again if in doubt.".into()
            }
            Self::WorseOnWhite(letters) => {
                format!("White was read worse through the balance's lens, by {letters} letters, so the manifest stands.")
            }
            Self::TooLittleGain(letters) => format!(
                "The balance's lens has more minus and gains {letters} of the {GAIN_LETTERS} letters on white that minus must earn in an eye that accommodates, so the manifest stands."
            ),
        }
    }
}

impl Stage {
    /// What comes next.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Start => "the first eye".into(),
            Self::Ask(question) => format!(
                "question {}, {} in place, line {}, {}",
                question.number,
                question.sphere,
                question.line,
                question.sides()
            ),
            Self::TooMuchMinus => {
                "too much minus was asked for, so fog again, relax accommodation or keep the manifest".into()
            }
            Self::White => "acuity on white through the lens that was left in".into(),
            Self::Choose => "what is prescribed".into(),
            Self::OtherEye(eye) => format!("the {} eye, or that it is not asked", eye.name()),
            Self::Binocular(step) => format!("with both eyes, {}", step.words()),
            Self::Closed => "nothing".into(),
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

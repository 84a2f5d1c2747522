//! What is said at each step, the same on every screen and page.

use std::fmt;

use super::answer::Answer;
use super::clicks::Clicks;
use super::course::{Course, Stands};
use super::end_point::EndPoint;
use super::event::{AfterMinus, Choice};
use super::examination::{Examination, Shown};
use super::keys::Act;
use super::manifest::{Laterality, RefinedFor};
use super::question::Question;
use super::rules::Procedure;
use super::run::{DecidedBy, End, Why};
use super::run::{MOST_MINUS, REVERSALS, UNSURE};
use super::stage::Stage;
use super::start::ColourVision;
use super::white::{DOUBTFUL_LETTERS, SURE_LETTERS};
use crate::light::Side;
use crate::quantity::Dioptres;

/// The question, in words that lead nobody: about edges, never about brightness.
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
pub const BEFORE_ASKING: &str = "The room is dark and the other eye occluded. Ask about crisp edges only. Which side is brighter or blacker is no answer.";

/// What comes before a lens that an eye must meet coming down from plus, with the plus that blurs it. How long is this
/// project's own decision: long enough to relax, too short to adapt.
#[must_use]
pub fn through_plus(blur: Dioptres) -> String {
    format!(
        "First blur the eye with {blur} more for a few seconds, take it away, and ask at once: an eye that accommodates answers rightly only as plus is taken away."
    )
}

/// What is said about privacy wherever times and labels are shown or written.
pub const PRIVACY: &str = "Times and labels can identify a person: follow local law.";

pub use crate::SUPERVISION;

/// What it is not.
pub const NOT_APPROVED: &str = "Not a medical device; no authority has approved it.";

/// Who answers for a result.
pub const CAUTION: &str = "A balance is one step of a refraction by a licensed practitioner or under one's supervision: local rules and the practitioner's judgement come first.";

/// What saturated colours can do.
pub const SEIZURES: &str = "Saturated red, and changes between red and green, can provoke seizures: ask first, never alternate quickly, stop at any discomfort.";

/// A name and what it stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Said {
    /// The name.
    pub name: &'static str,
    /// How it goes, or what it is; empty where the name says it.
    pub how: &'static str,
}

impl fmt::Display for Said {
    /// The name, and after a colon the rest.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name)?;
        if self.how.is_empty() { Ok(()) } else { write!(f, ": {}", self.how) }
    }
}

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

impl Choice {
    /// Who chose, and by what name.
    #[must_use]
    pub fn by_examiner(self) -> String {
        format!("Examiner's choice: {}", self.words())
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
                how: "in steps of 0.50 D (0.75 D after “same” twice) to a clear red and a clear green; both ends are re-checked in steps of 0.25 D, and the lens midway is left in",
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
                "the most plus lens judged the same, or the middle of them; where the answer flips without one, the least plus lens that was clearer in red"
            }
            Self::EqualElseFirstGreen => {
                "the most plus lens judged the same, or the middle of them; where the answer flips without one, the most plus lens that was clearer in green"
            }
            Self::LastRed => {
                "the least plus lens that was clearer in red, even if a lens was judged the same"
            }
        };
        Said { name: self.name(), how }
    }
}

impl Why {
    /// Why a lens is in place that differs from the one before by this many clicks, plus upward.
    #[must_use]
    pub fn words(self, clicks: Clicks) -> String {
        let moved = moved(clicks);
        match self {
            Self::Manifest => "The manifest refraction comes first.".into(),
            Self::Fog => {
                format!("This eye accommodates, so plus blurs it first: {moved}. Red should now be clearer.")
            }
            Self::MoreFog => {
                format!("This eye accommodates, so answers count only after red was clearer. Go on: {moved}.")
            }
            Self::RedWasClearer => format!("Red was clearer: {moved}."),
            Self::GreenWasClearer => format!("Green was clearer: {moved}."),
            Self::SameIsNoEnd => format!("“Same” can span several lenses, so go on: {moved}."),
            Self::EndPointNotSeen => {
                format!("The end point needs an answer that was not given yet, so go on: {moved}.")
            }
            Self::CouldNotTell => {
                let blur = if clicks == Clicks::NONE { "" } else { ", perhaps for too much blur" };
                format!("The patient could not tell{blur}. {}", larger_line(clicks))
            }
            Self::SidesSwapped if clicks == Clicks::NONE => {
                "This lens decides. Ask once more, with sides swapped and new letters.".into()
            }
            Self::SidesSwapped => {
                format!("The deciding lens, {moved}. Ask once more, with sides swapped and new letters.")
            }
            Self::RedEnd => format!("Now re-check the red end: {moved}."),
            Self::GreenEnd => format!("Now re-check the green end: {moved}."),
            Self::CountsAsSame => format!(
                "The answer stayed on its side when the sides were swapped, so it counts as “same”: {moved}."
            ),
            Self::AskedAgain => format!(
                "The answers ended far from the manifest. Behind a small aperture all is asked a second time. Back to the manifest: {moved}."
            ),
        }
    }
}

/// What to do for a patient who could not tell.
pub(super) fn larger_line(clicks: Clicks) -> String {
    let glue = if clicks == Clicks::NONE { ";" } else { ":" };
    format!("Show a larger line{glue} {}.", moved(clicks))
}

impl Answer {
    /// Its letter, where words are too long.
    #[must_use]
    pub const fn letter(self) -> &'static str {
        match self {
            Self::Red => "R",
            Self::Green => "G",
            Self::Same => "S",
            Self::Unsure => "?",
        }
    }

    /// As a patient says it.
    #[must_use]
    pub const fn said(self) -> &'static str {
        match self {
            Self::Red => "On red.",
            Self::Green => "On green.",
            Self::Same => "No difference.",
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
    pub fn first(&self) -> Option<String> {
        self.blur_first.map(through_plus)
    }

    /// Where red and green lie, as the patient sees them.
    #[must_use]
    pub const fn sides(&self) -> &'static str {
        sides(self.red)
    }

    /// The answer of a patient who points to a side.
    #[must_use]
    pub fn answer_of(&self, side: Side) -> Answer {
        if side == self.red { Answer::Red } else { Answer::Green }
    }
}

const fn sides(red: Side) -> &'static str {
    match red {
        Side::Left => "red left, green right",
        Side::Right => "green left, red right",
    }
}

/// A change of lens in words, in clicks, plus upward.
fn moved(clicks: Clicks) -> String {
    let size = clicks.abs().to_dioptres().to_d();
    match clicks.count() {
        0 => "keep the lens".into(),
        1.. => format!("{size:.2} D more plus"),
        _ => format!("{size:.2} D more minus"),
    }
}

impl Examination {
    /// How the chart must change now, with the keys of the room's page that do it; none where it stays as it is.
    ///
    /// It says so after a step was taken back as well, since the chart does not know of that.
    #[must_use]
    pub fn change_of_chart(&self) -> Option<String> {
        let Stage::Ask(question) = self.stage() else { return None };
        let before = self.shown_before()?;
        let (mut changes, mut keys) = (Vec::new(), Vec::new());
        let mut change = |what: String, key: String| {
            changes.push(what);
            keys.push(key);
        };
        if before == Shown::White {
            change("show both colours".into(), "1".into());
        }
        let (red, line) = match before {
            Shown::RedGreen { red, line } => (red, Some(line)),
            Shown::White => (question.red, None),
        };
        if red != question.red || before == Shown::White {
            change(question.sides().into(), Act::SwapSides.shown().into());
        }
        if let Some(line) = line.filter(|line| *line != question.line) {
            let larger = question.line.has_larger_letters_than(line);
            let key = if larger { Act::Larger } else { Act::Smaller };
            change(format!("line {}", question.line), key.shown().into());
        }
        if question.why == Why::SidesSwapped {
            change("new letters".into(), Act::NewLetters.shown().into());
        }
        let (changes, keys) = (changes.join("; "), keys.join(", "));
        (!changes.is_empty())
            .then(|| format!("Change the chart: {changes}. Keys on the room's page: {keys}."))
    }
}

impl Course {
    /// Which lens to have in place before white is read, and why it is this one.
    #[must_use]
    pub fn put_in(&self) -> String {
        let lens = self.left_in().map(|lens| self.start.manifest.with_sphere(lens).to_string());
        let lens = lens.unwrap_or_default();
        let why = self.end().and_then(|end| end.reason(self.start.end_point));
        let why = why.map(|why| format!(" ({why})")).unwrap_or_default();
        match self.still_to_move() {
            Some(clicks) if clicks != Clicks::NONE => format!("Now put in {lens}, {}{why}.", moved(clicks)),
            _ => format!("Leave {lens} in{why}."),
        }
    }

    /// What the examiner chose, with its sphere.
    #[must_use]
    pub fn choice_in_words(&self) -> String {
        match (self.chosen, self.chosen_sphere()) {
            (Some(choice), Some(sphere)) => {
                format!("Examiner's choice: {}, {}", self.start.manifest.with_sphere(sphere), choice.words())
            }
            _ => "Nothing was chosen".into(),
        }
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

    /// How the questions ended, in a sentence or two; none while they go on.
    #[must_use]
    pub fn ended(&self) -> Option<String> {
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
        "The eye already has {:.2} D more minus and asks for more. An accommodating eye may never stop asking, so the run ends here.",
        given.to_d()
    )
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
            DecidedBy::MiddleOfBracket => format!("midway between a clear red and a clear green{of_two}"),
        })
    }
}

impl Stands {
    /// Why this lens stands.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Balanced => "The balance's lens stands.".into(),
            Self::NotDecided => "The balance decided nothing, so the manifest stands.".into(),
            Self::NotRepeated => {
                "Asked a second time the questions did not end there again, so the manifest stands.".into()
            }
            Self::WorseOnWhite(letters) => format!(
                "Through that lens white was read worse, by {letters} letters, so the manifest stands."
            ),
            Self::TooLittleGain(letters) => format!(
                "That lens has more minus. In an eye that accommodates minus must gain {DOUBTFUL_LETTERS} letters on white, read twice, or {SURE_LETTERS} at once: {}. So the manifest stands.",
                gained(letters)
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
                "too much minus was asked for: blur with plus again, relax accommodation, or keep the manifest".into()
            }
            Self::White => "acuity on white through the lens that was left in".into(),
            Self::Choose => "the examiner's choice".into(),
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

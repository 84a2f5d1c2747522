//! A question: what is asked, what comes before it, how it is answered, and what of the chart changes for it.

use super::super::answer::Answer;
use super::super::examination::{Examination, Shown};
use super::super::keys::Act;
use super::super::question::{LimitQuestion, Question};
use super::super::run::Why;
use super::super::start::ColourVision;
use crate::acuity::Acuity;
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

/// What [the question](question) is about, in its own words.
pub const ASKED_ABOUT: &str = "are the edges of the letters crisper";

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

/// The answer of a patient who names sides, since their colours are not told apart surely, as it is said.
#[must_use]
pub const fn on_side(side: Side) -> &'static str {
    match side {
        Side::Left => "On the left.",
        Side::Right => "On the right.",
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

    /// Its line.
    #[must_use]
    pub fn line_in_words(&self) -> String {
        self.line.in_notation(self.notation)
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

impl Examination {
    /// How the chart must change now, with the keys of the room's page that do it; none where it stays as it is.
    ///
    /// It says so after a step was taken back as well, since the chart does not know of that.
    #[must_use]
    pub fn change_of_chart(&self) -> Option<String> {
        let before = self.shown_before();
        let stage = self.stage();
        let colours = stage.question().zip(before).map(|(question, before)| to_colours(before, &question));
        let changes = colours.or_else(|| stage.limit().map(|question| to_white(before, &question)))?;
        let (changes, keys): (Vec<String>, Vec<&str>) = changes.into_iter().unzip();
        let (changes, keys) = (changes.join("; "), keys.join(", "));
        (!changes.is_empty())
            .then(|| format!("Change the chart: {changes}. Keys on the room’s page: {keys}."))
    }
}

/// What changes on a chart, and the key of the room's page that changes it.
type Change = (String, &'static str);

fn to_colours(before: Shown, question: &Question) -> Vec<Change> {
    let (red, line, is_white) = match before {
        Shown::RedGreen { red, line } => (red, Some(line), false),
        Shown::White { line } => (question.red, line, true),
    };
    let colours = is_white.then(|| ("show both colours".into(), "1"));
    let sides = (is_white || red != question.red).then(|| (question.sides().into(), Act::SwapSides.shown()));
    let line = line.and_then(|line| to_line(line, question.line, question.line_in_words()));
    let letters = (question.why == Why::SidesSwapped).then(new_letters);
    [colours, sides, line, letters].into_iter().flatten().collect()
}

fn to_white(before: Option<Shown>, question: &LimitQuestion) -> Vec<Change> {
    let line = match before {
        Some(Shown::RedGreen { line, .. }) => Some(line),
        Some(Shown::White { line }) => line,
        None => None,
    };
    let is_white = matches!(before, Some(Shown::White { .. }));
    let colours = (!is_white).then(|| ("take the colours off".into(), "2"));
    let line = match line {
        Some(line) => to_line(line, question.line, question.line_in_words()),
        None => Some((format!("line {}", question.line_in_words()), Act::Target.shown())),
    };
    [colours, line, Some(new_letters())].into_iter().flatten().collect()
}

fn to_line(before: Acuity, line: Acuity, words: String) -> Option<Change> {
    let key = if line.has_larger_letters_than(before) { Act::Larger } else { Act::Smaller };
    (line != before).then(|| (format!("line {words}"), key.shown()))
}

fn new_letters() -> Change {
    ("new letters".into(), Act::NewLetters.shown())
}

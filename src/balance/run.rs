//! The procedure as a state machine, and the loop that asks a patient by it.

use serde::Serialize;
use strum::VariantArray;

use super::answer::Answer;
use super::answered::{Answered, FARTHEST};
use super::clicks::Clicks;
use super::end_point::EndPoint;
use super::rules::{Rules, Stepping};
use crate::light::Side;

/// The version of the procedure: raised whenever the same answers can lead to another question or another end, in a run, a
/// course or an examination. Records carry it.
///
/// 1: as first kept. 2: the step grows with poor acuity; far ends behind a small aperture are asked for twice; doubtful
/// acuity on white is read twice. 3: the adaptive way reckons with manifests that are far off. 4: the adaptive way leaves no lens in
/// where only one colour was ever clearer, whether or not the patient once could not tell. 5: one answer in ten is taken to be "cannot
/// tell" whatever is seen, so that one of them does not overrule clear answers in the adaptive way. 6: after "cannot tell" the adaptive
/// way asks no lens that is farther from the manifest.
pub const PROCEDURE_VERSION: u16 = 6;

const ONE: Clicks = Clicks::new(1);

/// The most minus that an eye that accommodates is given, in clicks: half a dioptre. This project's own decision.
pub(super) const MOST_MINUS: Clicks = Clicks::new(-2);

/// Maximum number of clicks of plus that look for a clear red behind "same" before the manifest is kept. This project's own
/// decision.
const PLUS_TRIED: u8 = 3;

/// The plus over the manifest that first blurs an eye that accommodates, in clicks: half a dioptre. Fogging is common
/// practice, no source; its amount is this project's own decision.
const FOG: Clicks = Clicks::new(2);

/// Where letters are lost in that fog it is thinned, down to this many clicks. This project's own decision, since half a
/// dioptre lost 20/32 behind 5 and 6 mm in a quarter to a third of simulated patients.
const LEAST_FOG: Clicks = Clicks::new(1);

/// A run ends undecided at this many answers that contradict earlier ones, or that could not be given. This project's own
/// decision.
pub(super) const REVERSALS: u8 = 3;
pub(super) const UNSURE: u8 = 3;

/// A bracket goes in half dioptres, and in three quarters after two "same" in a row, in clicks. This project's own
/// decision, held against the others by a [trial](super::Trial).
const BRACKET: Clicks = Clicks::new(2);
const WIDE_BRACKET: Clicks = Clicks::new(3);

/// What to do next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// Ask with a lens, in clicks from the manifest.
    Ask {
        /// The lens.
        clicks: Clicks,
        /// Why this one.
        why: Why,
        /// Whether to blur for a moment with more plus before this lens goes in, since the eye could accommodate:
        /// answers count only coming down from plus.
        through_plus: bool,
    },
    /// The run is over.
    End(End),
}

/// Why a lens is asked next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, VariantArray)]
#[serde(rename_all = "snake_case")]
pub enum Why {
    /// The manifest comes first.
    Manifest,
    /// The eye accommodates: plus first, until red is clearer.
    Fog,
    /// Red was not clearer through that plus, so more of it.
    MoreFog,
    /// Red was clearer, so minus.
    RedWasClearer,
    /// Green was clearer, so plus.
    GreenWasClearer,
    /// "Same" at the start may still be on either side.
    SameIsNoEnd,
    /// The end point asks for an answer that was not seen yet.
    EndPointNotSeen,
    /// The patient could not tell: the same lens with a larger line.
    CouldNotTell,
    /// The deciding lens once more, sides swapped and new letters.
    SidesSwapped,
    /// The red end of the bracket, a click further in.
    RedEnd,
    /// The green end of the bracket, a click further in.
    GreenEnd,
    /// The deciding answer stayed on its side when the sides were swapped, which counts as the same.
    CountsAsSame,
    /// All questions a second time, from the manifest, since the first ended far from it behind a small aperture.
    AskedAgain,
    /// By the estimate the answer to this lens tells most.
    TellsMost,
}

impl Why {
    /// All of them.
    pub const ALL: &'static [Self] = Self::VARIANTS;
}

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum End {
    /// A lens is left in.
    Lens {
        /// The lens, in clicks from the manifest.
        clicks: Clicks,
        /// By what.
        by: DecidedBy,
        /// Whether it is one of two lenses equally near the middle.
        of_two: bool,
    },
    /// Answers contradicted each other three times: not decided, which is an honest end.
    Contradicted,
    /// The patient could not tell three times: not decided.
    CouldNotTell,
    /// A deciding answer stayed on its side twice when the sides were swapped: it followed the side, not the focus.
    FollowedTheSide,
    /// No clear answer within two dioptres of the manifest, or no clear red in three clicks of plus: the manifest stands.
    ManifestStands,
    /// More than half a dioptre of minus was asked for in an eye that accommodates: fog again, relax accommodation by
    /// local rule, or keep the manifest.
    TooMuchMinus,
}

/// By what a lens is left in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum DecidedBy {
    /// By the end point's own rule.
    EndPoint,
    /// It is the middle of the lenses judged the same.
    MiddleOfSame,
    /// It is the middle between a clear red and a clear green.
    MiddleOfBracket,
    /// It is the click nearest to the estimate.
    Estimate,
    /// It is the middle between both limits of reading on white.
    MiddleOfLimits,
}

/// How one question is put to a patient.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Put {
    /// The lens.
    pub clicks: Clicks,
    /// Whether the eye meets it coming down from more plus.
    pub from_plus: bool,
    /// Whether the line is a larger one, since the patient could not tell.
    pub larger: bool,
    /// Where red lies, as the patient sees it, if that is known.
    pub red: Option<Side>,
}

/// How a run with a patient went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ran {
    /// The lens of each question, and what was answered.
    pub asked: Vec<(Clicks, Answer)>,
    /// How it ended.
    pub end: End,
}

impl End {
    /// The lens that is in at the end: the manifest's where none was decided on.
    #[must_use]
    pub const fn left_in(self) -> Clicks {
        if let Self::Lens { clicks, .. } = self { clicks } else { Clicks::NONE }
    }
}

impl Ran {
    /// The lens that is in at the end: the manifest's where none was decided on.
    #[must_use]
    pub const fn left_in(&self) -> Clicks {
        self.end.left_in()
    }
}

/// A run so far. Two runs that are equal go on alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Run {
    rules: Rules,
    step: Step,
    /// The last answer to each lens.
    seen: Answered,
    reversals: u8,
    unsure: u8,
    same_in_a_row: u8,
    /// A lens that stays in if it is answered alike with sides swapped, and what was answered.
    confirming: Option<(End, Clicks, Answer)>,
    /// Whether a deciding answer once stayed on its side when the sides were swapped.
    kept_to_side: bool,
    /// Whether a clear red was reached from plus.
    fogged: bool,
    /// Clicks of plus that were answered "same" before that.
    plus_tried: u8,
}

impl Run {
    /// Starts with the manifest in place.
    #[must_use]
    pub fn new(rules: Rules) -> Self {
        let first = if rules.accommodates() {
            Step::Ask { clicks: FOG, why: Why::Fog, through_plus: false }
        } else {
            Step::Ask { clicks: Clicks::NONE, why: Why::Manifest, through_plus: false }
        };
        Self {
            rules,
            step: first,
            seen: Answered::NONE,
            reversals: 0,
            unsure: 0,
            same_in_a_row: 0,
            confirming: None,
            kept_to_side: false,
            fogged: false,
            plus_tried: 0,
        }
    }

    /// Whether a deciding answer once stayed on its side, and was taken for the same.
    #[must_use]
    pub const fn kept_to_side(&self) -> bool {
        self.kept_to_side
    }

    /// The rules that it goes by.
    #[must_use]
    pub const fn rules(&self) -> Rules {
        self.rules
    }

    /// What to do next.
    #[must_use]
    pub const fn step(&self) -> Step {
        self.step
    }

    /// Asks a patient to the end, with red on the left until sides are swapped.
    pub fn with(mut self, mut answer: impl FnMut(Put) -> Answer) -> Ran {
        let mut asked: Vec<(Clicks, Answer)> = Vec::new();
        loop {
            let (clicks, why, through_plus) = match self.step {
                Step::Ask { clicks, why, through_plus } => (clicks, why, through_plus),
                Step::End(end) => return Ran { asked, end },
            };
            let from_plus = through_plus || asked.last().is_some_and(|(before, _)| *before > clicks);
            let red = if why == Why::SidesSwapped { Side::Right } else { Side::Left };
            let said = answer(Put { clicks, from_plus, larger: why == Why::CouldNotTell, red: Some(red) });
            asked.push((clicks, said));
            self = self.answered(said);
        }
    }

    /// The run after an answer; an ended run stays as it is.
    ///
    /// ```
    /// # use evenfield::balance::{Answer, Clicks, EyeKind, Run, Step};
    /// // An eye that is asked from plus, by the rule: red clearer calls for minus, a click at a time.
    /// let run = Run::new(EyeKind::Presbyopic.by_hand()).answered(Answer::Red);
    /// assert!(matches!(run.step(), Step::Ask { clicks, .. } if clicks == Clicks::new(-1)));
    /// ```
    #[must_use]
    pub fn answered(mut self, answer: Answer) -> Self {
        if let Step::Ask { clicks, .. } = self.step {
            self.step = self.after(clicks, answer);
        }
        self
    }

    fn after(&mut self, clicks: Clicks, answer: Answer) -> Step {
        let fogging = self.rules.accommodates() && !self.fogged;
        if answer == Answer::Unsure {
            return self.after_unsure(clicks, fogging);
        }
        if fogging && answer != Answer::Red {
            return self.more_plus(clicks, answer, Why::MoreFog);
        }
        self.fogged |= answer == Answer::Red;
        match self.confirming.take() {
            None => self.after_new(clicks, answer),
            Some((end, _, deciding)) if answer == deciding => Step::End(end),
            Some((_, lens, deciding)) if answer == deciding.other_colour() => self.after_side(clicks, lens),
            Some((_, lens, _)) => self.after_doubt(clicks, lens, answer),
        }
    }

    fn after_unsure(&mut self, clicks: Clicks, fogging: bool) -> Step {
        self.unsure += 1;
        if self.unsure >= UNSURE {
            return Step::End(End::CouldNotTell);
        }
        // In the fog letters may be lost to the fog itself.
        let clicks = if fogging { (clicks - ONE).max(LEAST_FOG) } else { clicks };
        let through_plus = self.rules.accommodates() && !fogging;
        Step::Ask { clicks, why: Why::CouldNotTell, through_plus }
    }

    /// The deciding answer stayed on its side when the sides were swapped.
    fn after_side(&mut self, clicks: Clicks, lens: Clicks) -> Step {
        if self.kept_to_side {
            return Step::End(End::FollowedTheSide);
        }
        // Once it is mostly chance: clearer on one side, whichever colour lies there, is the same for both colours.
        self.kept_to_side = true;
        match self.after_doubt(clicks, lens, Answer::Same) {
            Step::Ask { clicks, why: Why::SameIsNoEnd, through_plus } => {
                Step::Ask { clicks, why: Why::CountsAsSame, through_plus }
            }
            other @ (Step::Ask { .. } | Step::End(_)) => other,
        }
    }

    /// The deciding answer was not so sure: the new one stands, and counts as a contradiction.
    fn after_doubt(&mut self, clicks: Clicks, lens: Clicks, answer: Answer) -> Step {
        self.reversals += 1;
        self.seen.forget(lens);
        self.after_new(clicks, answer)
    }

    fn after_new(&mut self, clicks: Clicks, answer: Answer) -> Step {
        self.take(clicks, answer);
        if self.reversals >= REVERSALS { Step::End(End::Contradicted) } else { self.next(clicks, answer) }
    }

    /// Notes an answer. Where it contradicts those to other lenses, these are forgotten and asked again if need be.
    fn take(&mut self, clicks: Clicks, answer: Answer) {
        let contradicts = |lens: Clicks, one: Answer| match lens.cmp(&clicks) {
            std::cmp::Ordering::Less => one.rank() > answer.rank(),
            std::cmp::Ordering::Equal => false,
            std::cmp::Ordering::Greater => one.rank() < answer.rank(),
        };
        let against: Vec<Clicks> =
            self.seen.iter().filter(|(lens, one)| contradicts(*lens, *one)).map(|(lens, _)| lens).collect();
        if !against.is_empty() {
            self.reversals += 1;
        }
        against.into_iter().for_each(|lens| self.seen.forget(lens));
        self.seen.note(clicks, answer);
        self.same_in_a_row = if answer == Answer::Same { (self.same_in_a_row + 1).min(2) } else { 0 };
    }

    fn next(&mut self, clicks: Clicks, answer: Answer) -> Step {
        match self.rules.stepping() {
            Stepping::Customary => self.customary(clicks, answer),
            Stepping::FromPlus => self.down_from_plus(clicks, answer),
            Stepping::Bracket => self.bracket(clicks, answer),
        }
    }

    /// On while the answer stays; the first "same" is taken for red.
    fn customary(&mut self, clicks: Clicks, answer: Answer) -> Step {
        let alone = self.seen.lenses().count() == 1;
        match answer {
            Answer::Same if alone => self.ask(clicks - ONE, Why::SameIsNoEnd),
            Answer::Red if !self.has(Answer::Green) && !self.has_same_under(clicks) => {
                self.ask(clicks - ONE, Why::RedWasClearer)
            }
            Answer::Green if !self.has(Answer::Red) && !self.has(Answer::Same) => {
                self.ask(clicks + ONE, Why::GreenWasClearer)
            }
            Answer::Red | Answer::Green | Answer::Same | Answer::Unsure => self.decide(clicks, answer),
        }
    }

    fn down_from_plus(&mut self, clicks: Clicks, answer: Answer) -> Step {
        if !self.fogged {
            let why = if answer == Answer::Green { Why::GreenWasClearer } else { Why::SameIsNoEnd };
            return self.more_plus(clicks, answer, why);
        }
        match answer {
            Answer::Red => match self.unseen_under(clicks) {
                Some(lens) => self.ask(lens, Why::RedWasClearer),
                None => self.decide(clicks, answer),
            },
            Answer::Same if self.rules.accommodates() => self.decide(clicks, answer),
            Answer::Same => match self.unseen_under(clicks) {
                Some(lens) => self.ask(lens, Why::SameIsNoEnd),
                None => self.middle_of_same(clicks, answer),
            },
            Answer::Green | Answer::Unsure => self.middle_of_same(clicks, answer),
        }
    }

    /// Another click of plus in search of a clear red; green asks for it as often as it takes, "same" three times.
    fn more_plus(&mut self, clicks: Clicks, answer: Answer, why: Why) -> Step {
        if answer == Answer::Same {
            if self.plus_tried >= PLUS_TRIED {
                return Step::End(End::ManifestStands);
            }
            self.plus_tried += 1;
        }
        self.ask(clicks + ONE, why)
    }

    /// The next lens down that was not answered yet; none once a clear green bounds the way.
    fn unseen_under(&self, clicks: Clicks) -> Option<Clicks> {
        let green = self.of(Answer::Green).max();
        clicks
            .down_to(clicks - FARTHEST)
            .find(|lens| !self.seen.has(*lens))
            .filter(|lens| green.is_none_or(|green| *lens > green))
    }

    /// The middle of the lenses judged the same, ties to plus; by the end point where there is none, or where it is last red.
    fn middle_of_same(&mut self, clicks: Clicks, answer: Answer) -> Step {
        let (least, most) = (self.of(Answer::Same).min(), self.of(Answer::Same).max());
        match (least, most) {
            (Some(least), Some(most)) if self.rules.end_point() != EndPoint::LastRed => {
                self.confirm(middle(least, most, DecidedBy::MiddleOfSame), clicks, answer)
            }
            _ => self.decide(clicks, answer),
        }
    }

    fn bracket(&mut self, clicks: Clicks, answer: Answer) -> Step {
        let by = if self.same_in_a_row >= 2 { WIDE_BRACKET } else { BRACKET };
        let (red, green) = (self.of(Answer::Red).min(), self.of(Answer::Green).max());
        let (Some(red), Some(green)) = (red, green) else {
            let all = || self.seen.lenses();
            return match (red, green) {
                // A clear red first, then down to a clear green.
                (None, _) => self.ask(
                    on(all().max().unwrap_or(clicks), by),
                    if answer == Answer::Green { Why::GreenWasClearer } else { Why::SameIsNoEnd },
                ),
                (Some(_), None) => self.ask(
                    on(all().min().unwrap_or(clicks), -by),
                    if answer == Answer::Red { Why::RedWasClearer } else { Why::SameIsNoEnd },
                ),
                (Some(_), Some(_)) => Step::End(End::Contradicted),
            };
        };
        // Each limit goes in until the next click is another answer.
        let ends = [(red - ONE, Why::RedEnd), (green + ONE, Why::GreenEnd)];
        if let Some((lens, why)) = ends.into_iter().find(|(lens, _)| !self.seen.has(*lens)) {
            return self.ask(lens, why);
        }
        Step::End(middle(green, red, DecidedBy::MiddleOfBracket))
    }

    /// By the end point, if all that it needs was seen; else on towards what it needs.
    fn decide(&mut self, clicks: Clicks, answer: Answer) -> Step {
        match self.rules.end_point().lens(&self.seen) {
            Ok(lens) => self.confirm(
                End::Lens { clicks: lens, by: DecidedBy::EndPoint, of_two: false },
                clicks,
                answer,
            ),
            Err(Answer::Red) => {
                let lens = self.seen.lenses().max().unwrap_or(clicks) + ONE;
                self.ask(lens, Why::EndPointNotSeen)
            }
            Err(_) => {
                let lens = self.seen.lenses().min().unwrap_or(clicks) - ONE;
                self.ask(lens, Why::EndPointNotSeen)
            }
        }
    }

    /// Asks the lens that decided once more, with sides swapped.
    fn confirm(&mut self, end: End, lens: Clicks, answer: Answer) -> Step {
        self.confirming = Some((end, lens, answer));
        Step::Ask { clicks: lens, why: Why::SidesSwapped, through_plus: self.rules.accommodates() }
    }

    /// Asks a lens, within what an eye may be given.
    fn ask(&self, clicks: Clicks, why: Why) -> Step {
        if self.rules.accommodates() && clicks < MOST_MINUS {
            return Step::End(End::TooMuchMinus);
        }
        if clicks.abs() > FARTHEST {
            return Step::End(End::ManifestStands);
        }
        // After the fog every other lens has less plus than the one before.
        Step::Ask { clicks, why, through_plus: false }
    }

    fn of(&self, answer: Answer) -> impl Iterator<Item = Clicks> {
        self.seen.to(answer)
    }

    fn has(&self, answer: Answer) -> bool {
        self.of(answer).next().is_some()
    }

    fn has_same_under(&self, clicks: Clicks) -> bool {
        self.of(Answer::Same).any(|lens| lens < clicks)
    }
}

/// Some clicks on from a lens, but not past the farthest one, which is asked before the manifest is kept.
fn on(lens: Clicks, by: Clicks) -> Clicks {
    let next = lens + by;
    if lens.abs() < FARTHEST { next.clamp(-FARTHEST, FARTHEST) } else { next }
}

/// The middle of two lenses; of two equally near the one with more plus.
const fn middle(least: Clicks, most: Clicks, by: DecidedBy) -> End {
    let (clicks, of_two) = least.middle(most);
    End::Lens { clicks, by, of_two }
}

#[cfg(test)]
mod tests;

//! An examination of one or two eyes, as what follows from its events.

use super::both::{BinocularStep, BothEyes, Comparing, may_be_framed};
use super::course::Course;
use super::event::{AfterMinus, Event};
use super::manifest::Laterality;
use super::near::Near;
use super::question::{LimitQuestion, Question};
use super::rules::RulesError;
use super::stage::Stage;
use super::start::Start;
use crate::acuity::{Acuity, Score};
use crate::light::Side;

/// One or two eyes, one after the other, then both together: what has happened so far, and what comes next.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Examination {
    /// The eyes, in the order in which they were asked.
    pub courses: Vec<Course>,
    /// Steps with both eyes, done or not.
    pub binocular: Vec<(BinocularStep, bool)>,
    /// What was found with both eyes open.
    pub both: BothEyes,
    /// Near adds that were tried, the last one for what stands.
    pub near: Vec<Near>,
    one_eye_only: bool,
    /// What happened and was not taken back.
    events: Vec<Event>,
    /// What the chart showed when the last event happened, taken back or not.
    shown: Option<Shown>,
}

/// What the chart shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shown {
    /// Red and green.
    RedGreen {
        /// Where red lies.
        red: Side,
        /// The line of letters.
        line: Acuity,
    },
    /// One white field.
    White {
        /// The line of letters, where one is asked for.
        line: Option<Acuity>,
    },
}

/// Maximum number of events of an examination, those that were taken back among them; one of two eyes has some 60. This
/// project's own decision.
pub(super) const MOST_EVENTS: usize = 1000;

/// Why an event does not fit what went before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Misfit {
    /// Another thing is next.
    #[error("something else comes next here")]
    OutOfTurn,
    /// Both eyes, or the same twice.
    #[error("this eye was asked already")]
    SameEye,
    /// Nothing is there to take back.
    #[error("nothing is left to take back")]
    NothingToUndo,
    /// Another eye than one that was asked, or another while one is in hand.
    #[error("only an eye that was asked is asked again, and while one is in hand only that one")]
    NotAsked,
    /// More than any examination has.
    #[error("an examination holds {MOST_EVENTS} events at most: begin another")]
    TooMany,
    /// Rules that no eye may be asked by.
    #[error(transparent)]
    Rules(#[from] RulesError),
}

impl Examination {
    /// What follows from events; the place of the first that does not fit, otherwise.
    ///
    /// # Errors
    /// Where an event is out of turn.
    pub fn of<'a>(events: impl IntoIterator<Item = &'a Event>) -> Result<Self, (usize, Misfit)> {
        let mut examination = Self::default();
        for (place, event) in events.into_iter().enumerate() {
            examination.happen(event).map_err(|misfit| (place, misfit))?;
        }
        Ok(examination)
    }

    /// What follows from one more event.
    ///
    /// # Errors
    /// Where it is out of turn.
    pub fn after(mut self, event: &Event) -> Result<Self, Misfit> {
        self.happen(event)?;
        Ok(self)
    }

    /// Goes on with one more event; one that is out of turn changes nothing.
    ///
    /// # Errors
    /// Where it is out of turn.
    pub fn happen(&mut self, event: &Event) -> Result<(), Misfit> {
        if *event == Event::Undone {
            // The first eye's start stays: without it there is nothing.
            let kept = self.events.len().checked_sub(1).filter(|kept| *kept > 0);
            let kept = kept.ok_or(Misfit::NothingToUndo)?;
            let before = Self::of(&self.events[..kept]).map_err(|(_, misfit)| misfit)?;
            *self = Self { shown: self.shows(), ..before };
            return Ok(());
        }
        let shown = self.shows();
        self.take(event)?;
        self.shown = shown;
        self.events.push(event.clone());
        Ok(())
    }

    /// Takes an event in its turn, and changes nothing otherwise.
    fn take(&mut self, event: &Event) -> Result<(), Misfit> {
        let stage = self.stage();
        let course = self.courses.last_mut();
        match (event, stage, course) {
            (Event::Started(start), Stage::Start | Stage::OtherEye(_), course) => {
                if course.is_some_and(|course| course.start.eye == start.eye) {
                    return Err(Misfit::SameEye);
                }
                self.courses.push(Course::new((**start).clone())?);
            }
            (Event::Answered(answer), Stage::Ask(question), Some(course)) => {
                course.answered(question, *answer);
            }
            (Event::Limit(answer), Stage::Limit(question), Some(course)) => {
                course.limits.push((question, *answer));
            }
            (Event::AlsoMidpoint, Stage::Choose, Some(course)) if course.can_seek_midpoint() => {
                course.seek_midpoint();
            }
            (Event::AfterMinus(AfterMinus::FogAgain), Stage::TooMuchMinus, Some(course)) => {
                course.fog_again();
            }
            (Event::AfterMinus(what), Stage::TooMuchMinus, Some(course)) => {
                course.after_minus(*what);
            }
            (Event::White(score), Stage::White, Some(course)) => course.white.push(*score),
            (Event::Chosen(choice), Stage::Choose, Some(course)) => course.chosen = Some(*choice),
            (Event::OneEyeOnly, Stage::OtherEye(_), _) => self.one_eye_only = true,
            (Event::Again(start), stage, Some(_)) => self.again(start, stage)?,
            (Event::Near(near), Stage::Closed, _) => self.near.push(**near),
            (_, Stage::Binocular(step), _) => self.with_both(event, step)?,
            _ => return Err(Misfit::OutOfTurn),
        }
        Ok(())
    }

    /// Asks an eye once more: the one in hand once its questions are at their end, and any that was asked before steps with both
    /// eyes begin.
    fn again(&mut self, start: &Start, stage: Stage) -> Result<(), Misfit> {
        if !self.can_ask_again() {
            return Err(Misfit::OutOfTurn);
        }
        let in_hand = matches!(stage, Stage::White | Stage::Choose);
        if self.runs_of(start.eye).is_empty() || (in_hand && self.eye() != Some(start.eye)) {
            return Err(Misfit::NotAsked);
        }
        let mut course = Course::new(start.clone())?;
        course.through = self.runs_of(start.eye).last().and_then(|before| {
            let known = before.white.last().copied().unwrap_or(before.start.acuity);
            let through = before.read_through();
            (known == start.acuity && !through.has_the_cylinder_of(start.manifest.lens())).then_some(through)
        });
        self.courses.push(course);
        Ok(())
    }

    /// Whether an eye can be asked once more now.
    #[must_use]
    pub fn can_ask_again(&self) -> bool {
        let begun = !self.binocular.is_empty() || self.both != BothEyes::default();
        match self.stage() {
            Stage::White | Stage::Choose | Stage::OtherEye(_) => true,
            Stage::Closed | Stage::Binocular(_) => !begun && self.near.is_empty(),
            Stage::Start | Stage::Ask(_) | Stage::Limit(_) | Stage::TooMuchMinus => false,
        }
    }

    /// A step with both eyes, in its turn.
    fn with_both(&mut self, event: &Event, step: BinocularStep) -> Result<(), Misfit> {
        use BinocularStep::{AcuityWithBoth, BalanceBetweenEyes, SphereWithBoth, TrialFrame};
        let comparing = self.both.comparing();
        match (event, step) {
            (Event::Binocular(one, done), step) if *one == step => {
                if !done {
                    self.both.leave(step);
                }
                self.binocular.push((step, *done));
                return Ok(());
            }
            (Event::Apart(apart), BalanceBetweenEyes) if comparing == Comparing::Apart => {
                self.both.apart = Some(*apart);
            }
            (Event::Compared(clearer), BalanceBetweenEyes) if matches!(comparing, Comparing::Ask(_)) => {
                self.both.compared.push(*clearer);
            }
            (Event::Leads(eye), BalanceBetweenEyes) if matches!(comparing, Comparing::Leads { .. }) => {
                self.both.leads = Some(*eye);
            }
            (Event::BothRead(score), SphereWithBoth) => self.both.read.push(*score),
            (Event::BothRead(score), AcuityWithBoth) => self.both.acuity = Some(*score),
            (Event::Framed(sphere), TrialFrame) if may_be_framed(*sphere) => self.both.framed = Some(*sphere),
            _ => return Err(Misfit::OutOfTurn),
        }
        if self.both.is_done(step) {
            self.binocular.push((step, true));
        }
        Ok(())
    }

    /// What comes next.
    #[must_use]
    pub fn stage(&self) -> Stage {
        let Some(course) = self.courses.last() else { return Stage::Start };
        match course.stage() {
            Some(stage) => stage,
            None if self.has_one_eye() && !self.one_eye_only => Stage::OtherEye(course.start.eye.other()),
            // Steps with both eyes need both.
            None if !self.has_one_eye() => BinocularStep::ALL
                .get(self.binocular.len())
                .map_or(Stage::Closed, |step| Stage::Binocular(*step)),
            None => Stage::Closed,
        }
    }

    /// What tells one reading on white from every other: the run, the step with both eyes, the reading in it; none where nothing is
    /// read.
    #[must_use]
    pub fn reading(&self) -> Option<[usize; 3]> {
        let course = self.courses.last().filter(|_| self.stage().is_read())?;
        let readings = course.white.len() + self.both.read.len();
        Some([self.courses.len(), self.binocular.len(), readings])
    }

    /// The acuity that a reading on white is expected to come near: that of the eye in hand; with both eyes open that through the lenses
    /// that stay, or the better eye's.
    #[must_use]
    pub fn read_before(&self) -> Option<Score> {
        let last = |course: &Course| course.white.last().copied().unwrap_or(course.start.acuity);
        if self.stage() == Stage::White {
            return self.courses.last().map(|course| course.start.acuity);
        }
        let both = self.both.read_through_what_stays();
        let eyes = self.eyes().into_iter().map(last);
        both.or_else(|| eyes.min_by(|one, other| one.to_log_mar().total_cmp(&other.to_log_mar())))
    }

    /// Whether every run was of one eye.
    fn has_one_eye(&self) -> bool {
        self.courses.windows(2).all(|pair| pair[0].start.eye == pair[1].start.eye)
    }

    /// What the chart should show now; none before the first eye begins, and unchanged where nobody looks at it.
    fn shows(&self) -> Option<Shown> {
        match self.stage() {
            Stage::Ask(Question { red, line, .. }) => Some(Shown::RedGreen { red, line }),
            Stage::Limit(LimitQuestion { line, .. }) => Some(Shown::White { line: Some(line) }),
            stage if stage.is_read() => Some(Shown::White { line: None }),
            Stage::Start
            | Stage::White
            | Stage::TooMuchMinus
            | Stage::Choose
            | Stage::OtherEye(_)
            | Stage::Binocular(_)
            | Stage::Closed => self.shown,
        }
    }

    /// What the chart showed when the last event happened, whether that was taken back or not; none where nothing was
    /// shown yet.
    #[must_use]
    pub const fn shown_before(&self) -> Option<Shown> {
        self.shown
    }

    /// The eye that is asked, or was last.
    #[must_use]
    pub fn eye(&self) -> Option<Laterality> {
        self.courses.last().map(|course| course.start.eye)
    }

    /// Whether anything can be taken back.
    #[must_use]
    pub const fn can_undo(&self) -> bool {
        self.events.len() > 1
    }
}

#[cfg(test)]
pub(super) use tests::example;

#[cfg(test)]
mod tests;

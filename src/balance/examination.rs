use super::{
    AfterMinus, Answer, BinocularStep, CLICK_D, Choice, End, Event, Laterality, Run, Start, Step, Why,
    nearest_quarter,
};
use crate::acuity::{Acuity, Score};
use crate::light::Side;
use crate::quantity::Dioptres;

/// More minus stands in an eye that accommodates only for so many letters more on white.
pub const GAIN_LETTERS: i32 = 3;

/// One or two eyes, one after the other, then both together: what has happened so far, and what comes next.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Examination {
    /// The eyes, in the order in which they were asked.
    pub courses: Vec<Course>,
    /// Steps with both eyes, done or not.
    pub binocular: Vec<(BinocularStep, bool)>,
    one_eye_only: bool,
    /// What happened and was not taken back.
    events: Vec<Event>,
}

/// One eye.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// What was known before.
    pub start: Start,
    /// Every question that was answered, in order.
    pub asked: Vec<(Question, Answer)>,
    /// How often the run went back into the fog after too much minus.
    pub fogged_again: u8,
    /// What followed too much minus in the end.
    pub after_minus: Option<AfterMinus>,
    /// Acuity on white through the lens that was left in.
    pub white: Option<Score>,
    /// What the practitioner chose.
    pub chosen: Option<Choice>,
    run: Run,
}

/// A question to the patient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// Its place in the course, from 1.
    pub number: usize,
    /// The sphere in place, at the distance of the chart.
    pub sphere: Dioptres,
    /// By how much it differs from the manifest at this distance.
    pub change: Dioptres,
    /// By how many clicks it differs from the lens before, plus upward.
    pub moved: i32,
    /// The line of letters.
    pub line: Acuity,
    /// Where red lies.
    pub red: Side,
    /// Why this lens.
    pub why: Why,
    /// Whether to blur with plus for a moment first.
    pub through_plus: bool,
}

/// What comes next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stage {
    /// The first eye.
    Start,
    /// A question to the patient.
    Ask(Question),
    /// Too much minus was asked for: what now?
    TooMuchMinus,
    /// The colours come off: acuity on white.
    White,
    /// What is prescribed?
    Choose,
    /// The other eye, or not.
    OtherEye(Laterality),
    /// A step with both eyes: done or not?
    Binocular(BinocularStep),
    /// All is done.
    Closed,
}

/// The lens with which an eye ends, and why it is this one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Its sphere at the distance of the chart.
    pub here: Dioptres,
    /// The same eye's for far away.
    pub far: Dioptres,
    /// Why.
    pub why: Stands,
}

/// Why a lens stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// The balance left it in.
    Balanced,
    /// The balance decided nothing, so the manifest stands.
    NotDecided,
    /// White was read worse through the balance's lens, by so many letters, so the manifest stands.
    WorseOnWhite(i32),
    /// More minus gained too few letters on white, so the manifest stands.
    TooLittleGain(i32),
}

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
}

impl Examination {
    /// What follows from events; the place of the first that does not fit, otherwise.
    ///
    /// # Errors
    /// Where an event is out of turn.
    pub fn of<'a>(events: impl IntoIterator<Item = &'a Event>) -> Result<Self, (usize, Misfit)> {
        let mut examination = Self::default();
        for (place, event) in events.into_iter().enumerate() {
            examination = examination.after(event).map_err(|misfit| (place, misfit))?;
        }
        Ok(examination)
    }

    /// What follows from one more event.
    ///
    /// # Errors
    /// Where it is out of turn.
    pub fn after(mut self, event: &Event) -> Result<Self, Misfit> {
        if *event == Event::Undone {
            // The first eye's start stays: without it there is nothing.
            let kept = self.events.len().checked_sub(1).filter(|kept| *kept > 0);
            let kept = kept.ok_or(Misfit::NothingToUndo)?;
            return Self::of(&self.events[..kept]).map_err(|(_, misfit)| misfit);
        }
        self.take(event)?;
        self.events.push(event.clone());
        Ok(self)
    }

    fn take(&mut self, event: &Event) -> Result<(), Misfit> {
        let stage = self.stage();
        let course = self.courses.last_mut();
        match (event, stage, course) {
            (Event::Started(start), Stage::Start | Stage::OtherEye(_), course) => {
                if course.is_some_and(|course| course.start.eye == start.eye) {
                    return Err(Misfit::SameEye);
                }
                self.courses.push(Course::new((**start).clone()));
            }
            (Event::Answered(answer), Stage::Ask(question), Some(course)) => {
                course.asked.push((question, *answer));
                course.run = course.run.clone().answered(*answer);
            }
            (Event::AfterMinus(AfterMinus::FogAgain), Stage::TooMuchMinus, Some(course)) => {
                course.run = Run::new(course.start.rules());
                course.fogged_again = course.fogged_again.saturating_add(1);
            }
            (Event::AfterMinus(what), Stage::TooMuchMinus, Some(course)) => {
                course.after_minus = Some(*what);
                // The run is worth nothing until accommodation is relaxed.
                course.chosen = (*what == AfterMinus::Relax).then_some(Choice::Nothing);
            }
            (Event::White(score), Stage::White, Some(course)) => course.white = Some(*score),
            (Event::Chosen(choice), Stage::Choose, Some(course)) => course.chosen = Some(*choice),
            (Event::OneEyeOnly, Stage::OtherEye(_), _) => self.one_eye_only = true,
            (Event::Binocular(step, done), Stage::Binocular(next), _) if *step == next => {
                self.binocular.push((*step, *done));
            }
            _ => return Err(Misfit::OutOfTurn),
        }
        Ok(())
    }

    /// What comes next.
    #[must_use]
    pub fn stage(&self) -> Stage {
        let Some(course) = self.courses.last() else { return Stage::Start };
        match course.stage() {
            Some(stage) => stage,
            None if self.courses.len() == 1 && !self.one_eye_only => {
                Stage::OtherEye(course.start.eye.other())
            }
            // Steps with both eyes need both.
            None if self.courses.len() == 2 => BinocularStep::ALL
                .get(self.binocular.len())
                .map_or(Stage::Closed, |step| Stage::Binocular(*step)),
            None => Stage::Closed,
        }
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

impl Course {
    fn new(start: Start) -> Self {
        let run = Run::new(start.rules());
        Self { start, asked: Vec::new(), fogged_again: 0, after_minus: None, white: None, chosen: None, run }
    }

    /// What comes next for this eye; none when it is done.
    fn stage(&self) -> Option<Stage> {
        if let Some(question) = self.asks() {
            Some(Stage::Ask(question))
        } else if self.end() == Some(End::TooMuchMinus) && self.after_minus.is_none() {
            Some(Stage::TooMuchMinus)
        } else if self.left_in().is_some() && self.white.is_none() {
            Some(Stage::White)
        } else {
            self.chosen.is_none().then_some(Stage::Choose)
        }
    }

    /// The question that comes next, if one does.
    #[must_use]
    pub fn asks(&self) -> Option<Question> {
        let Step::Ask { clicks, why, through_plus } = self.run.step() else { return None };
        Some(self.question(clicks, why, through_plus))
    }

    fn question(&self, clicks: i32, why: Why, through_plus: bool) -> Question {
        let sphere = self.lens(clicks);
        let before = self.asked.last().map_or(self.start.first_lens(), |(question, _)| question.sphere);
        #[allow(clippy::cast_possible_truncation, reason = "a few clicks")]
        let moved = ((sphere - before).to_d() / CLICK_D).round() as i32;
        let unsure = self.asked.iter().filter(|(_, answer)| *answer == Answer::Unsure).count();
        let red = self.start.red;
        Question {
            number: self.asked.len() + 1,
            sphere,
            change: sphere - self.start.manifest_here(),
            moved,
            line: self.start.target(u8::try_from(unsure).unwrap_or(u8::MAX)),
            red: if why == Why::SidesSwapped { red.other() } else { red },
            why,
            through_plus,
        }
    }

    /// The sphere of a lens in clicks from the first one.
    #[must_use]
    pub fn lens(&self, clicks: i32) -> Dioptres {
        self.start.first_lens() + Dioptres::new(f64::from(clicks) * CLICK_D)
    }

    /// Whether a deciding answer once stayed on its side, and was taken for the same.
    pub(super) const fn kept_to_side(&self) -> bool {
        self.run.kept_to_side()
    }

    /// How the run of questions ended, if it did.
    #[must_use]
    pub const fn end(&self) -> Option<End> {
        match self.run.step() {
            Step::Ask { .. } => None,
            Step::End(end) => Some(end),
        }
    }

    /// The lens that the questions left in, at the distance of the chart.
    #[must_use]
    pub fn left_in(&self) -> Option<Dioptres> {
        if let End::Lens { clicks, .. } = self.end()? { Some(self.lens(clicks)) } else { None }
    }

    /// By how many clicks the lens that was left in differs from the one in place at the last question, plus upward.
    #[must_use]
    pub fn still_to_move(&self) -> Option<i32> {
        let (last, _) = self.asked.last()?;
        #[allow(clippy::cast_possible_truncation, reason = "a few clicks")]
        Some(((self.left_in()? - last.sphere).to_d() / CLICK_D).round() as i32)
    }

    /// Letters more on white through the lens that was left in; fewer are negative.
    #[must_use]
    pub fn gain(&self) -> Option<i32> {
        Some(self.white?.letters_over(self.start.acuity))
    }

    /// The lens that stands; none while questions or white are open.
    #[must_use]
    pub fn standing(&self) -> Option<Standing> {
        if matches!(self.stage(), Some(Stage::Ask(_) | Stage::TooMuchMinus | Stage::White)) {
            return None;
        }
        let manifest = self.start.manifest_here();
        let why = match (self.left_in(), self.gain()) {
            (Some(lens), Some(gain)) => self.stands(lens, gain),
            _ => Stands::NotDecided,
        };
        let here = self.left_in().filter(|_| why == Stands::Balanced).unwrap_or(manifest);
        Some(Standing { here, far: here - Dioptres::at(self.start.distance()), why })
    }

    fn stands(&self, lens: Dioptres, gain: i32) -> Stands {
        // Less than a tenth of a click is what rounding a far manifest to the room leaves.
        let more_minus = (lens - self.start.first_lens()).to_d() < -CLICK_D / 2.0;
        if gain < 0 {
            Stands::WorseOnWhite(-gain)
        } else if self.start.kind.accommodates() && more_minus && gain < GAIN_LETTERS {
            Stands::TooLittleGain(gain)
        } else {
            Stands::Balanced
        }
    }

    /// The sphere that was chosen; none where nothing was.
    #[must_use]
    pub fn prescribed(&self) -> Option<Dioptres> {
        self.sphere_of(self.chosen?)
    }

    /// The sphere that a choice would prescribe.
    #[must_use]
    pub fn sphere_of(&self, choice: Choice) -> Option<Dioptres> {
        let standing = self.standing()?;
        match choice {
            Choice::FarQuarter => Some(nearest_quarter(standing.far)),
            Choice::FarExact => Some(standing.far),
            Choice::HereQuarter => Some(nearest_quarter(standing.here)),
            Choice::HereExact => Some(standing.here),
            Choice::Manifest => Some(Dioptres::new(self.start.manifest.sphere_d)),
            Choice::Nothing => None,
        }
    }
}

#[cfg(test)]
pub(super) use tests::example;

#[cfg(test)]
mod tests;

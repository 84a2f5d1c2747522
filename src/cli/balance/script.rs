//! A balance without anybody at the keyboard.

use std::error::Error;

use clap::Args;

use super::super::arguments::one_of;
use super::both::BothArgument;
use super::happen;
use super::start::StartArgument;
use super::wall::Wall;
use crate::acuity::Score;
use crate::balance::{
    AfterMinus, Answer, BinocularStep, Choice, Course, Cylinder, Event, Examination, Legible, ManifestError,
    Misfit, RecheckError, Stage, cylinder_of,
};
use crate::exam::Recorder;
use crate::light::Side;
use crate::room::Room;

/// What a script says in place of somebody at the keyboard.
#[derive(Args)]
#[command(next_help_heading = "Without a terminal")]
pub(super) struct ScriptArgument {
    /// The patient’s answers, separated by commas: red, green, same, unsure, or left, right; none yet where it stands alone. With
    /// --json too few are no error: it says what to ask next
    #[arg(long, value_name = "LIST", num_args = 0..=1, value_delimiter = ',', value_parser = said())]
    answers: Option<Vec<Said>>,
    /// For the midpoint on white, whether the line could be read through each lens: read or lost, separated by commas; after red
    /// and green the midpoint is looked for as well
    #[arg(long, value_name = "LIST", value_delimiter = ',', value_parser = one_of(vec![("read", Legible::Read), ("lost", Legible::Lost)]))]
    limits: Vec<Legible>,
    /// What follows too much minus in an eye that accommodates
    #[arg(long, value_parser = one_of(AfterMinus::ALL.map(|one| (one.name(), one)).to_vec()))]
    after_minus: Option<AfterMinus>,
    /// Acuity on white through the lens that was left in; where it was read twice, both, separated by a comma
    #[arg(long, value_name = "LIST", value_delimiter = ',', value_parser = super::both::score, allow_hyphen_values = true)]
    white: Vec<Score>,
    /// The examiner’s choice; nothing is chosen unless it is named
    #[arg(long, value_parser = one_of(Choice::ALL.map(|one| (one.name(), one)).to_vec()))]
    choose: Option<Choice>,
    /// The other eye is not asked
    #[arg(long)]
    one_eye: bool,
    /// Steps with both eyes that were done; the others were not
    #[arg(long, value_name = "LIST", value_delimiter = ',', value_parser = one_of(BinocularStep::ALL.map(|one| (one.name(), one)).to_vec()))]
    done: Option<Vec<BinocularStep>>,
    /// The cylinder was rechecked since the sphere moved far, and is this now, such as -0.75x85, or none: the eye is asked again
    #[arg(long, value_name = "CYLINDER", value_parser = cylinder, allow_hyphen_values = true)]
    cylinder: Option<Rechecked>,
    #[command(flatten)]
    both: BothArgument,
}

/// A cylinder after it was rechecked; none where there is none any more.
#[derive(Debug, Clone, Copy)]
struct Rechecked(Option<Cylinder>);

fn cylinder(text: &str) -> Result<Rechecked, ManifestError> {
    cylinder_of(text).map(Rechecked)
}

/// What is made of flags that follow the questions while these are not at their end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TooFew {
    /// They are refused.
    Refused,
    /// They wait.
    Waits,
}

/// An answer, or the side to which the patient pointed.
#[derive(Debug, Clone, Copy)]
enum Said {
    Answer(Answer),
    Side(Side),
}

fn said() -> impl clap::builder::TypedValueParser<Value = Said> {
    one_of(vec![
        ("red", Said::Answer(Answer::Red)),
        ("green", Said::Answer(Answer::Green)),
        ("same", Said::Answer(Answer::Same)),
        ("unsure", Said::Answer(Answer::Unsure)),
        ("left", Said::Side(Side::Left)),
        ("right", Said::Side(Side::Right)),
    ])
}

impl ScriptArgument {
    /// Whether a script speaks in place of the keyboard.
    pub(super) const fn says_something(&self) -> bool {
        self.answers.is_some()
            || !self.limits.is_empty()
            || self.after_minus.is_some()
            || !self.white.is_empty()
            || self.choose.is_some()
            || self.one_eye
            || self.done.is_some()
            || self.cylinder.is_some()
            || self.both.says_something()
    }

    /// Whether it notes what can be noted of an examination that is finished.
    pub(super) const fn is_for_a_finished_one(&self) -> bool {
        self.both.notes_near()
    }

    /// Goes as far as the flags say. Nothing happens where they say what cannot be; what follows the questions waits where
    /// answers are too few and may be.
    pub(super) fn walk(
        &self,
        recorder: &mut Recorder,
        start: &StartArgument,
        room: &Room,
        wall: Option<&Wall>,
        too_few: TooFew,
    ) -> Result<(), Box<dyn Error>> {
        let mut events = Events { examination: recorder.kept.examination.clone(), events: Vec::new() };
        let stage = events.examination.stage();
        if let Some(Rechecked(cylinder)) = self.cylinder {
            let course = events.examination.courses.last().ok_or(RecheckError::NotYet)?;
            let start = course.rechecked(cylinder)?;
            events.happen(Event::Again(Box::new(start)))?;
        } else if stage == Stage::Start || (start.describes_an_eye() && may_begin(&events.examination)) {
            let mut start = start.start(room)?;
            if let Some(before) = events.examination.courses.last().map(|course| &course.start) {
                // Who examines, and with what, holds for the whole of it.
                start.examiner = start.examiner.or_else(|| before.examiner.clone());
                start.instrument = start.instrument.or_else(|| before.instrument.clone());
                start.label = start.label.or_else(|| before.label.clone());
            }
            let asked = !events.examination.runs_of(start.eye).is_empty();
            events.happen(if asked { Event::Again } else { Event::Started }(Box::new(start)))?;
        } else if start.describes_an_eye() {
            return Err("the eye in the record is not done: leave out the flags that describe another".into());
        }
        self.answers(&mut events)?;
        let stage = events.examination.stage();
        if too_few == TooFew::Refused && matches!(stage, Stage::Ask(_)) && self.is_for_later() {
            return Err(format!(
                "the questions are not at their end ({}): give more answers, or leave out what comes after them",
                events.examination.next_in_words()
            )
            .into());
        }
        self.after_answers(&mut events)?;
        events.events.into_iter().try_for_each(|event| happen(recorder, event, wall))
    }

    fn after_answers(&self, events: &mut Events) -> Result<(), Box<dyn Error>> {
        let (mut readings, mut limits) = (self.white.iter(), self.limits.iter());
        while let Some(event) = self.next(&events.examination, &mut readings, &mut limits) {
            events.happen(event)?;
        }
        self.both.all_taken(&events.examination)?;
        if let Some(near) = self.both.near()? {
            let stage = events.examination.stage();
            if stage != Stage::Closed {
                return Err(format!(
                    "the near add comes last, and next is {}: finish that first, with --one-eye or --done and the steps that were done",
                    events.examination.next_in_words()
                )
                .into());
            }
            events.happen(Event::Near(Box::new(near)))?;
        }
        let left = limits.len();
        // Some were taken, or none can be any more.
        let is_over = left < self.limits.len()
            || matches!(events.examination.stage(), Stage::Choose | Stage::OtherEye(_) | Stage::Closed);
        if left > 0 && is_over {
            let why = if left < self.limits.len() {
                format!("the limits on white are known without the last {left} of --limits")
            } else {
                "this eye is not asked for limits on white".into()
            };
            return Err(format!("{why}: leave them out").into());
        }
        let left = readings.len();
        let is_over =
            matches!(events.examination.stage(), Stage::Choose | Stage::OtherEye(_) | Stage::Closed);
        if left == self.white.len() && left > 0 && is_over {
            return Err(
                "white is read through a lens that questions just left in, and here none waits for it: leave --white out"
                    .into(),
            );
        }
        if left > 0 && left < self.white.len() {
            return Err(
                format!("white is settled without the last {left} of the readings: leave them out").into()
            );
        }
        Ok(())
    }

    /// Whether it says what only follows the questions.
    const fn is_for_later(&self) -> bool {
        !self.white.is_empty()
            || !self.limits.is_empty()
            || self.choose.is_some()
            || self.one_eye
            || self.done.is_some()
    }

    fn answers(&self, events: &mut Events) -> Result<(), Box<dyn Error>> {
        let answers = self.answers.as_deref().unwrap_or_default();
        for (before, said) in answers.iter().enumerate() {
            if let (Stage::TooMuchMinus, Some(AfterMinus::FogAgain)) =
                (events.examination.stage(), self.after_minus)
            {
                events.happen(Event::AfterMinus(AfterMinus::FogAgain))?;
            }
            let Stage::Ask(question) = events.examination.stage() else {
                let after = answers.len() - before;
                return Err(format!(
                    "the questions ended after {before} of the answers, and {after} more are given: leave them out"
                )
                .into());
            };
            let answer = match said {
                Said::Answer(answer) => *answer,
                Said::Side(side) => question.answer_of(*side),
            };
            events.happen(Event::Answered(answer))?;
        }
        Ok(())
    }

    /// What follows the answers, each only where its turn comes.
    fn next(
        &self,
        examination: &Examination,
        readings: &mut std::slice::Iter<'_, Score>,
        limits: &mut std::slice::Iter<'_, Legible>,
    ) -> Option<Event> {
        let can_seek = examination.courses.last().is_some_and(Course::can_seek_midpoint);
        match examination.stage() {
            Stage::Limit(_) => limits.next().copied().map(Event::Limit),
            Stage::Choose if can_seek && limits.len() > 0 => Some(Event::AlsoMidpoint),
            Stage::TooMuchMinus => self.after_minus.map(Event::AfterMinus),
            Stage::White => readings.next().copied().map(Event::White),
            Stage::Choose => self.choose.map(Event::Chosen),
            Stage::OtherEye(_) => self.one_eye.then_some(Event::OneEyeOnly),
            Stage::Binocular(step) => {
                let done = || self.both.done(step, self.done.as_deref());
                self.both.next(examination, step).or_else(done)
            }
            Stage::Start | Stage::Ask(_) | Stage::Closed => None,
        }
    }
}

/// Whether an eye that is described may begin now, one that was asked once more.
fn may_begin(examination: &Examination) -> bool {
    matches!(examination.stage(), Stage::OtherEye(_) | Stage::Binocular(_)) && examination.can_ask_again()
}

/// What is going to happen.
struct Events {
    examination: Examination,
    events: Vec<Event>,
}

impl Events {
    fn happen(&mut self, event: Event) -> Result<(), Misfit> {
        self.examination = self.examination.clone().after(&event)?;
        self.events.push(event);
        Ok(())
    }
}

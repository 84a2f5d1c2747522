//! The balance at the keyboard.

use std::error::Error;
use std::io::{IsTerminal, stdin, stdout};
use std::path::Path;
use std::time::{Duration, Instant};

use super::both::Offers;
use super::form::{Field, Form};
use super::happen;
use super::near::ask_near;
use super::raw::{Pressed, Raw};
use super::screen::{Beside, Screen, occluded};
use super::start::StartArgument;
use super::wall::Wall;
use crate::balance::keys::{Act, CALM_MS};
use crate::balance::words::{PRIVACY, SEIZURES};
use crate::balance::{
    AfterMinus, Answer, BinocularStep, Choice, Course, Cylinder, Event, Examination, Laterality, Legible,
    Question, RecheckError, Stage, cylinder_of,
};
use crate::exam::{Recorder, read_record};
use crate::light::Side;
use crate::room::Room;
use crate::store::is_output;

/// How long after an answer the next one counts.
const PAUSE: Duration = Duration::from_millis(CALM_MS as u64);

/// What is offered as a record.
const USUAL_RECORD: &str = "balances.jsonl";

/// The answer that keeps no record.
const NOWHERE: &str = "nowhere";

/// Whether somebody sits there.
pub(super) fn is_there() -> bool {
    stdin().is_terminal() && stdout().is_terminal()
}

/// What a key wants.
enum Wish {
    Happen(Event),
    /// The other eye begins, or the same one again.
    NextEye {
        again: bool,
    },
    /// This eye is asked again with another cylinder.
    Cylinder(Option<Cylinder>),
    Type(char),
    Erase,
    Stop,
    Nothing,
}

/// Walks through an examination until it is closed or stopped.
pub(super) fn walk(
    recorder: &mut Recorder,
    start: &StartArgument,
    room: &Room,
    wall: Option<&Wall>,
) -> Result<(), Box<dyn Error>> {
    let raw = Raw::enter()?;
    wall.map(|wall| wall.show(&recorder.kept.examination)).transpose()?;
    if recorder.kept.examination.stage() == Stage::Start {
        if recorder.path().is_none() && !keep(&raw, recorder)? {
            return Err("stopped before an eye was described: nothing was kept".into());
        }
        if !begin(&raw, recorder, start.clone(), room, wall)? {
            return Err("stopped before the eye was described: nothing was kept".into());
        }
    }
    loop {
        let next = at_keyboard(&raw, recorder, wall)?;
        let (Some(again), Some(course)) = (next, recorder.kept.examination.courses.last()) else {
            return near(&raw, recorder, room);
        };
        let other = if again { start.for_same(&course.start) } else { start.for_other(&course.start) };
        if !begin(&raw, recorder, other, room, wall)? {
            return Ok(());
        }
    }
}

/// Asks for a near add once both eyes are done.
fn near(raw: &Raw, recorder: &mut Recorder, room: &Room) -> Result<(), Box<dyn Error>> {
    let examination = &recorder.kept.examination;
    if examination.stage() != Stage::Closed || examination.eyes().len() < Laterality::ALL.len() {
        return Ok(());
    }
    let near = ask_near(raw, ["Both eyes, near".into(), room_words(room)])?;
    near.map_or(Ok(()), |near| happen(recorder, Event::Near(Box::new(near)), None))
}

/// Asks where to keep the record; whether that was said.
fn keep(raw: &Raw, recorder: &mut Recorder) -> Result<bool, Box<dyn Error>> {
    let title = format!("Keep the record in which file? ({NOWHERE}: it is lost when you stop)");
    let field = Field { title: &title, choices: &[], usual: Some(USUAL_RECORD) };
    let head = ["Red-green balance".to_owned(), String::new()];
    let mut form = Form::new(raw, head, PRIVACY.into());
    let place = form.ask(&field, |text| {
        let place = (!text.eq_ignore_ascii_case(NOWHERE)).then(|| text.to_owned());
        if let Some(place) = &place {
            if is_output(Path::new(place)) {
                return Err(format!(
                    "{place}: is to hold the page of --out: name another file for the record"
                ));
            }
            read_record(Path::new(place)).map_err(|error| error.to_string())?;
        }
        Ok(place)
    })?;
    let Some(place) = place else { return Ok(false) };
    if let Some(place) = place {
        recorder.keep_in(Path::new(&place));
    }
    Ok(true)
}

/// Asks for an eye until it can be one; whether it was described.
fn begin(
    raw: &Raw,
    recorder: &mut Recorder,
    argument: StartArgument,
    room: &Room,
    wall: Option<&Wall>,
) -> Result<bool, Box<dyn Error>> {
    let head = [argument.named_eye().map_or_else(|| "Red-green balance".into(), occluded), room_words(room)];
    let mut form = Form::new(raw, head, format!("{SEIZURES} {PRIVACY}"));
    let Some(argument) = argument.asked(&mut form)? else { return Ok(false) };
    let start = argument.start(room)?;
    let asked = !recorder.kept.examination.runs_of(start.eye).is_empty();
    let event = if asked { Event::Again } else { Event::Started };
    happen(recorder, event(Box::new(start)), wall)?;
    Ok(true)
}

fn room_words(room: &Room) -> String {
    format!("{}, {}", room.name().unwrap_or("a room without a name"), room.viewing.distance)
}

/// Keys and screens until the examination is closed or stopped, which is none, or another eye begins or the same one again.
fn at_keyboard(
    raw: &Raw,
    recorder: &mut Recorder,
    wall: Option<&Wall>,
) -> Result<Option<bool>, Box<dyn Error>> {
    let (mut typed, mut complaint, mut answered) = (String::new(), String::new(), None);
    loop {
        let examination = &recorder.kept.examination;
        let stage = examination.stage();
        if stage == Stage::Closed {
            return Ok(None);
        }
        let beside = Beside { typed: &typed, complaint: &complaint, is_kept: recorder.path().is_some() };
        let fits = raw.draw(|size| Screen::new(examination, beside, size))?;
        let Some(pressed) = raw.pressed()? else { continue };
        if !fits && pressed.act() != Some(Act::Leave) {
            continue;
        }
        complaint.clear();
        let course = examination.courses.last();
        let by_side = course.is_some_and(|course| course.start.colour_vision.is_defect());
        let answers = (stage.question().is_some() && pressed.act().is_some_and(Act::is_answer))
            || (stage.limit().is_some() && pressed.act() == Some(Act::Numbered));
        if answers && is_early(&mut answered) {
            continue;
        }
        match pressed.wish(examination, &typed, by_side) {
            Ok(Wish::Happen(event)) => {
                typed.clear();
                if let Err(error) = happen(recorder, event, wall) {
                    // What cannot be written does not count: say so and stay.
                    complaint = error.to_string();
                }
            }
            Ok(Wish::NextEye { again }) => return Ok(Some(again)),
            Ok(Wish::Cylinder(cylinder)) => {
                typed.clear();
                complaint = ask_again(recorder, cylinder, wall)
                    .err()
                    .map_or_else(String::new, |error| error.to_string());
            }
            Ok(Wish::Type(letter)) => typed.push(letter),
            Ok(Wish::Erase) => drop(typed.pop()),
            Ok(Wish::Stop) => return Ok(None),
            Ok(Wish::Nothing) => {}
            Err(sentence) => complaint = sentence,
        }
    }
}

/// Asks the eye in hand again with another cylinder.
fn ask_again(
    recorder: &mut Recorder,
    cylinder: Option<Cylinder>,
    wall: Option<&Wall>,
) -> Result<(), Box<dyn Error>> {
    let course = recorder.kept.examination.courses.last().ok_or(RecheckError::NotYet)?;
    let start = course.rechecked(cylinder)?;
    happen(recorder, Event::Again(Box::new(start)), wall)
}

/// Whether words are typed at a stage.
const fn is_typed(stage: Stage) -> bool {
    matches!(
        stage,
        Stage::White
            | Stage::Binocular(
                BinocularStep::SphereWithBoth | BinocularStep::AcuityWithBoth | BinocularStep::TrialFrame
            )
    )
}

/// Whether an answer comes too soon after the one before: a held key repeats faster than anybody is asked.
fn is_early(answered: &mut Option<Instant>) -> bool {
    let before = answered.replace(Instant::now());
    before.is_some_and(|before| before.elapsed() < PAUSE)
}

impl Pressed {
    /// What it wants at a stage; `typed` is what stands where words are asked for.
    fn wish(self, examination: &Examination, typed: &str, by_side: bool) -> Result<Wish, String> {
        let stage = examination.stage();
        if let (true, Self::Letter(letter)) = (is_typed(stage), self) {
            return Ok(Wish::Type(letter));
        }
        let rechecks = examination.courses.last().is_some_and(Course::asks_for_the_cylinder);
        let event = match (self.act(), stage) {
            (Some(Act::Leave), _) => return Ok(Wish::Stop),
            (Some(Act::TakeBack), _) if !typed.is_empty() => return Ok(Wish::Erase),
            (Some(Act::TakeBack), _) => Some(Event::Undone),
            (Some(Act::Take), Stage::White) if rechecks && typed.contains(['x', 'X', '×']) => {
                return cylinder_of(typed).map(Wish::Cylinder).map_err(|error| error.to_string());
            }
            (Some(Act::Take), Stage::Binocular(step)) if !typed.is_empty() => {
                Some(super::both::typed(step, typed)?)
            }
            (Some(Act::Take), Stage::White) if !typed.is_empty() => {
                let score = super::both::score(typed).map_err(|error| error.to_string())?;
                Some(Event::White(score))
            }
            (Some(act), Stage::Ask(question)) => answer(act, &question, by_side).map(Event::Answered),
            (_, Stage::Limit(_)) => self.one_of(&Legible::ALL).map(Event::Limit),
            (_, Stage::TooMuchMinus) => self.one_of(&AfterMinus::ALL).map(Event::AfterMinus),
            (_, Stage::Choose) => {
                let choices = Choice::ALL.map(Event::Chosen).into_iter().chain([Event::AlsoMidpoint]);
                self.one_of(&choices.collect::<Vec<_>>())
            }
            (_, Stage::OtherEye(_)) => match self.one_of(&[Some(false), None, Some(true)]) {
                Some(Some(again)) => return Ok(Wish::NextEye { again }),
                Some(None) => Some(Event::OneEyeOnly),
                None => None,
            },
            (_, Stage::Binocular(step)) => {
                let events: Vec<Event> =
                    Offers::of(examination, step).numbered.into_iter().map(|(_, event)| event).collect();
                self.one_of(&events)
            }
            (_, Stage::Start | Stage::Closed | Stage::Ask(_) | Stage::White) => None,
        };
        Ok(event.map_or(Wish::Nothing, Wish::Happen))
    }

    /// By its number, from 1.
    fn one_of<T: Clone>(self, all: &[T]) -> Option<T> {
        let Self::Letter(letter) = self else { return None };
        let number = letter.to_digit(10)?.checked_sub(1)?;
        all.get(usize::try_from(number).ok()?).cloned()
    }
}

/// Arrows point as the patient does; a patient who does not tell colours apart names no colour.
fn answer(act: Act, question: &Question, by_side: bool) -> Option<Answer> {
    let pointed = [
        (Act::PointsLeft, question.answer_of(Side::Left)),
        (Act::PointsRight, question.answer_of(Side::Right)),
        (Act::Same, Answer::Same),
        (Act::CannotTell, Answer::Unsure),
    ];
    let named = [(Act::NamesRed, Answer::Red), (Act::NamesGreen, Answer::Green)];
    let named = named.into_iter().filter(|_| !by_side);
    pointed.into_iter().chain(named).find_map(|(one, answer)| (one == act).then_some(answer))
}

//! The balance at the keyboard.

use std::error::Error;
use std::io::{IsTerminal, Write, stdin, stdout};
use std::time::{Duration, Instant};

use crossterm::cursor::{Hide, MoveTo, Show};
use crossterm::event::{self, Event as Input, KeyCode, KeyEvent, KeyEventKind, KeyModifiers};
use crossterm::style::{Attribute, Print, SetAttribute};
use crossterm::terminal::{
    self, Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use crossterm::{execute, queue};

use super::recorder::Recorder;
use super::screen::{Screen, Tone};
use super::start::StartArgument;
use crate::balance::{AfterMinus, Answer, Choice, Event, Laterality, Question, Stage};
use crate::light::Side;
use crate::room::Room;

/// So long after an answer key the next one counts.
const PAUSE: Duration = Duration::from_millis(700);

/// Whether somebody sits there.
pub(super) fn is_there() -> bool {
    stdin().is_terminal() && stdout().is_terminal()
}

/// What a key wants.
enum Wish {
    Happen(Event),
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
) -> Result<(), Box<dyn Error>> {
    if recorder.kept.examination.stage() == Stage::Start {
        begin(recorder, start.clone(), room)?;
    }
    loop {
        let stage = at_keyboard(recorder)?;
        let (Some(Stage::OtherEye(_)), Some(course)) = (stage, recorder.kept.examination.courses.last())
        else {
            return Ok(());
        };
        heading(course.start.eye.other())?;
        begin(recorder, start.for_other(&course.start), room)?;
    }
}

/// Names the eye that comes next on an empty screen, so that nobody enters the values of the one before.
fn heading(eye: Laterality) -> std::io::Result<()> {
    let words = format!("{}: {} eye occluded\r\n\r\n", super::screen::eye(eye), eye.other().name());
    execute!(stdout(), Clear(ClearType::All), MoveTo(0, 0), Print(words))
}

/// Asks for an eye until it can be one.
#[allow(clippy::print_stdout, reason = "the command line speaks here")]
fn begin(recorder: &mut Recorder, argument: StartArgument, room: &Room) -> Result<(), Box<dyn Error>> {
    let start = argument.asked()?.start(room)?;
    println!("{}", crate::balance::words::PRIVACY);
    recorder.happen(Event::Started(Box::new(start)))
}

/// Keys and screens until the examination is closed or stopped, or until the other eye begins, which is told.
fn at_keyboard(recorder: &mut Recorder) -> Result<Option<Stage>, Box<dyn Error>> {
    let raw = Raw::enter()?;
    let (mut typed, mut complaint, mut answered) = (String::new(), String::new(), None);
    loop {
        let stage = recorder.kept.examination.stage();
        if stage == Stage::Closed {
            return Ok(None);
        }
        let (columns, rows) = terminal::size()?;
        let room = [rows, columns].map(usize::from);
        let screen = Screen::new(&recorder.kept.examination, &typed, &complaint, room);
        raw.draw(&screen, rows)?;
        let Input::Key(pressed) = event::read()? else { continue };
        let Some(key) = Key::of(pressed).filter(|_| pressed.kind != KeyEventKind::Release) else { continue };
        if !screen.fits && !matches!(key, Key::Stop) {
            continue;
        }
        complaint.clear();
        if matches!(stage, Stage::OtherEye(_)) && key.letter() == Some('y') {
            return Ok(Some(stage));
        }
        let course = recorder.kept.examination.courses.last();
        let by_side = course.is_some_and(|course| course.start.colour_vision.is_defect());
        if matches!(stage, Stage::Ask(_)) && key.is_answer() {
            // A held key repeats faster than anybody is asked.
            let early = answered.is_some_and(|before: Instant| before.elapsed() < PAUSE);
            answered = Some(Instant::now());
            if early {
                continue;
            }
        }
        match key.wish(stage, &typed, by_side) {
            Ok(Wish::Happen(event)) => {
                typed.clear();
                if let Err(error) = recorder.happen(event) {
                    // What cannot be written does not count: say so and stay.
                    complaint = error.to_string();
                }
            }
            Ok(Wish::Type(letter)) => typed.push(letter),
            Ok(Wish::Erase) => drop(typed.pop()),
            Ok(Wish::Stop) => return Ok(None),
            Ok(Wish::Nothing) => {}
            Err(sentence) => complaint = sentence,
        }
    }
}

/// A key that means something here.
#[derive(Clone, Copy)]
enum Key {
    Arrow(Arrow),
    Letter(char),
    Enter,
    Erase,
    Stop,
}

#[derive(Clone, Copy)]
enum Arrow {
    Left,
    Right,
    Up,
    Down,
}

impl Key {
    #[allow(clippy::wildcard_enum_match_arm, reason = "a keyboard has more keys than these")]
    fn of(pressed: KeyEvent) -> Option<Self> {
        let control = pressed.modifiers.contains(KeyModifiers::CONTROL);
        Some(match pressed.code {
            KeyCode::Left => Self::Arrow(Arrow::Left),
            KeyCode::Right => Self::Arrow(Arrow::Right),
            KeyCode::Up => Self::Arrow(Arrow::Up),
            KeyCode::Down => Self::Arrow(Arrow::Down),
            KeyCode::Enter => Self::Enter,
            KeyCode::Backspace => Self::Erase,
            KeyCode::Esc => Self::Stop,
            KeyCode::Char('c' | 'd') if control => Self::Stop,
            KeyCode::Char(letter) if !control => Self::Letter(letter),
            _ => return None,
        })
    }

    /// Whether it could be a patient's answer.
    const fn is_answer(self) -> bool {
        matches!(self, Self::Arrow(_) | Self::Letter(_))
    }

    /// A letter in lower case.
    const fn letter(self) -> Option<char> {
        if let Self::Letter(letter) = self { Some(letter.to_ascii_lowercase()) } else { None }
    }

    /// What it wants at a stage; `typed` is what stands where words are asked for.
    fn wish(self, stage: Stage, typed: &str, by_side: bool) -> Result<Wish, String> {
        let event = match (self, stage) {
            (Self::Stop, _) => return Ok(Wish::Stop),
            (Self::Erase, _) if !typed.is_empty() => return Ok(Wish::Erase),
            (Self::Erase, _) => Some(Event::Undone),
            (_, Stage::White) => return self.typing(typed),
            (_, Stage::Ask(question)) => self.answer(&question, by_side).map(Event::Answered),
            (_, Stage::TooMuchMinus) => self.one_of(&AfterMinus::ALL).map(Event::AfterMinus),
            (_, Stage::Choose) => self.one_of(&Choice::ALL).map(Event::Chosen),
            (_, Stage::OtherEye(_)) => (self.letter() == Some('n')).then_some(Event::OneEyeOnly),
            (_, Stage::Binocular(step)) => match self.letter() {
                Some('y') => Some(Event::Binocular(step, true)),
                Some('n') => Some(Event::Binocular(step, false)),
                _ => None,
            },
            (_, Stage::Start | Stage::Closed) => None,
        };
        Ok(event.map_or(Wish::Nothing, Wish::Happen))
    }

    /// Arrows point as the patient does; a patient who does not tell colours apart names no colour.
    fn answer(self, question: &Question, by_side: bool) -> Option<Answer> {
        match self {
            Self::Arrow(Arrow::Left) => Some(question.answer_of(Side::Left)),
            Self::Arrow(Arrow::Right) => Some(question.answer_of(Side::Right)),
            Self::Arrow(Arrow::Down) | Self::Letter('s' | 'S') => Some(Answer::Same),
            Self::Arrow(Arrow::Up) | Self::Letter('u' | 'U') => Some(Answer::Unsure),
            Self::Letter('r' | 'R') if !by_side => Some(Answer::Red),
            Self::Letter('g' | 'G') if !by_side => Some(Answer::Green),
            Self::Letter(_) | Self::Enter | Self::Erase | Self::Stop => None,
        }
    }

    /// By its number, from 1.
    fn one_of<T: Copy>(self, all: &[T]) -> Option<T> {
        let number = self.letter()?.to_digit(10)?.checked_sub(1)?;
        all.get(usize::try_from(number).ok()?).copied()
    }

    fn typing(self, typed: &str) -> Result<Wish, String> {
        match self {
            Self::Letter(letter) => Ok(Wish::Type(letter)),
            Self::Enter if !typed.is_empty() => {
                let score = super::start::score(typed).map_err(|error| error.to_string())?;
                Ok(Wish::Happen(Event::White(score)))
            }
            Self::Enter | Self::Arrow(_) | Self::Erase | Self::Stop => Ok(Wish::Nothing),
        }
    }
}

/// The terminal as long as keys are read one by one; however that ends, it becomes what it was.
struct Raw;

impl Raw {
    fn enter() -> std::io::Result<Self> {
        enable_raw_mode()?;
        let raw = Self;
        execute!(stdout(), EnterAlternateScreen, Hide)?;
        Ok(raw)
    }

    fn draw(&self, screen: &Screen, rows: u16) -> std::io::Result<()> {
        let mut out = stdout().lock();
        queue!(out, MoveTo(0, 0), Clear(ClearType::All))?;
        for (row, (tone, line)) in (0..rows).zip(&screen.lines) {
            let attribute = match tone {
                Tone::Strong => Attribute::Bold,
                Tone::Plain => Attribute::Reset,
                Tone::Quiet => Attribute::Dim,
            };
            queue!(
                out,
                MoveTo(0, row),
                SetAttribute(attribute),
                Print(line),
                SetAttribute(Attribute::Reset)
            )?;
        }
        out.flush()
    }
}

impl Drop for Raw {
    fn drop(&mut self) {
        // Nothing is left to be done about a terminal that is gone.
        let _ = execute!(stdout(), Show, LeaveAlternateScreen);
        let _ = disable_raw_mode();
    }
}

//! Values that are asked for at the keyboard before the questions begin, one on a screen, the eye's name always on top.

use std::error::Error;

use super::raw::{Pressed, Raw};
use super::screen::{Screen, Tone, wrap};
use crate::balance::keys::Act;
use crate::balance::words::Said;

/// What is asked for.
pub(super) struct Field<'a> {
    /// What it is.
    pub(super) title: &'a str,
    /// How it may be written, or what may be chosen by name or number.
    pub(super) choices: &'a [Said],
    /// What an empty line takes.
    pub(super) usual: Option<&'a str>,
}

impl Field<'_> {
    /// What is taken for what was typed.
    fn line<'a>(&'a self, typed: &'a str) -> &'a str {
        if typed.trim().is_empty() { self.usual.unwrap_or("") } else { typed.trim() }
    }

    /// What was typed, or the name of the choice that has its number or begins with it.
    fn named(&self, line: &str) -> String {
        let number = line.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
        let begins = |choice: &&Said| choice.to_string().starts_with(&line.to_lowercase());
        let numbered = number.and_then(|place| self.choices.get(place));
        let choice = numbered.or_else(|| self.choices.iter().find(begins));
        choice.map_or(line, |choice| choice.name).to_owned()
    }
}

/// A screen that asks for one value after another.
pub(super) struct Form<'a> {
    raw: &'a Raw,
    /// What stands at the top: whose eye, and where.
    pub(super) head: [String; 2],
    /// What was given so far.
    given: Vec<String>,
    /// What is to be known before the first value.
    pub(super) notice: String,
}

impl<'a> Form<'a> {
    pub(super) fn new(raw: &'a Raw, head: [String; 2], notice: String) -> Self {
        Self { raw, head, given: Vec::new(), notice }
    }

    /// Asks until what was typed can be read; none where the examiner stops.
    pub(super) fn ask<T>(
        &mut self,
        field: &Field<'_>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Option<T>, Box<dyn Error>> {
        let (mut typed, mut complaint) = (String::new(), String::new());
        loop {
            let screen = self.raw.draw(|size| self.screen(field, &typed, &complaint, size))?;
            let Some(pressed) = self.raw.pressed()? else { continue };
            if pressed.act() == Some(Act::Leave) {
                return Ok(None);
            }
            if !screen {
                continue;
            }
            complaint.clear();
            match pressed {
                Pressed::Letter(letter) => typed.push(letter),
                Pressed::Named("Backspace") => drop(typed.pop()),
                Pressed::Named("Enter") => match read(field.line(&typed)) {
                    Ok(value) => {
                        self.given.push(field.named(field.line(&typed)));
                        return Ok(Some(value));
                    }
                    Err(sentence) => complaint = sentence,
                },
                Pressed::Named(_) | Pressed::Stop => {}
            }
        }
    }

    fn screen(&self, field: &Field<'_>, typed: &str, complaint: &str, size: [usize; 2]) -> Screen {
        // In a low window first the air goes, then what explains the choices.
        let laid = |[brief, explained]: [bool; 2]| self.laid(field, typed, complaint, size, brief, explained);
        let ways = [[false, true], [true, true], [true, false]];
        ways.into_iter().map(laid).find(|screen| screen.fits).unwrap_or_else(|| laid([true, false]))
    }

    fn laid(
        &self,
        field: &Field<'_>,
        typed: &str,
        complaint: &str,
        size: [usize; 2],
        brief: bool,
        explained: bool,
    ) -> Screen {
        let mut screen = Screen::empty(size, brief);
        let [left, right] = &self.head;
        screen.title(left, right);
        if self.given.is_empty() && !brief {
            screen.wrapped(Tone::Quiet, &self.notice);
        } else if !self.given.is_empty() {
            screen.wrapped(Tone::Quiet, &format!("So far  {}", self.given.join(" · ")));
        }
        screen.gap();
        screen.wrapped(Tone::Strong, field.title);
        for (number, choice) in (1..).zip(field.choices) {
            let words = if explained { choice.to_string() } else { choice.name.into() };
            screen.numbered(number, &words);
        }
        screen.gap();
        entry(&mut screen, field, typed, size[1]);
        if !complaint.is_empty() {
            screen.wrapped(Tone::Strong, complaint);
        }
        screen.gap();
        screen.lines.push((Tone::Quiet, format!("   {}  stop", Act::Leave.shown())));
        screen.or_too_small(size)
    }
}

/// What was typed, and what Enter alone takes, in a window of a number of columns.
fn entry(screen: &mut Screen, field: &Field<'_>, typed: &str, columns: usize) {
    // What is typed may be longer than the window: its end is seen.
    let room = columns.saturating_sub(8).max(8);
    let seen: Vec<char> = typed.chars().collect();
    let seen: String = seen[seen.len().saturating_sub(room)..].iter().collect();
    screen.lines.push((Tone::Strong, format!("   > {seen}▏")));
    if let Some(usual) = field.usual {
        let lines = wrap(&format!("Enter alone: {usual}"), room).into_iter();
        screen.lines.extend(lines.map(|line| (Tone::Quiet, format!("   {line}"))));
    }
}

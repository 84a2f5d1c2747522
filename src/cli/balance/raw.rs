//! The terminal itself: screens are drawn on it, keys are read from it one by one.

use std::io::{Write, stdout};

use crossterm::cursor::{Hide, MoveTo, Show};
use crossterm::event::{self, Event as Input, KeyCode, KeyEvent, KeyEventKind, KeyModifiers};
use crossterm::style::{Attribute, Print, SetAttribute};
use crossterm::terminal::{
    self, Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use crossterm::{execute, queue};

use super::screen::{Screen, Tone};
use crate::balance::keys::{Act, Desk, Key};
use crate::text;

/// A key that was pressed.
#[derive(Clone, Copy)]
pub(super) enum Pressed {
    /// A letter, a figure or a sign.
    Letter(char),
    /// Another key by its name in UI Events.
    Named(&'static str),
    /// What stops a program.
    Stop,
}

impl Pressed {
    #[allow(clippy::wildcard_enum_match_arm, reason = "a keyboard has more keys than these")]
    fn of(pressed: KeyEvent) -> Option<Self> {
        let control = pressed.modifiers.contains(KeyModifiers::CONTROL);
        Some(match pressed.code {
            KeyCode::Left => Self::Named("ArrowLeft"),
            KeyCode::Right => Self::Named("ArrowRight"),
            KeyCode::Up => Self::Named("ArrowUp"),
            KeyCode::Down => Self::Named("ArrowDown"),
            KeyCode::Enter => Self::Named("Enter"),
            KeyCode::Backspace => Self::Named("Backspace"),
            KeyCode::Esc => Self::Named("Escape"),
            KeyCode::Char('c' | 'd') if control => Self::Stop,
            KeyCode::Char(letter) if !control => Self::Letter(letter),
            _ => return None,
        })
    }

    /// What it does, by the table of keys.
    pub(super) fn act(self) -> Option<Act> {
        match self {
            Self::Letter(letter) => Key::named(&letter.to_string(), Desk::Balance).map(|key| key.act),
            Self::Named(name) => Key::named(name, Desk::Balance).map(|key| key.act),
            Self::Stop => Some(Act::Leave),
        }
    }
}

/// The terminal as long as keys are read one by one; however that ends, it becomes what it was.
pub(super) struct Raw;

impl Raw {
    pub(super) fn enter() -> std::io::Result<Self> {
        enable_raw_mode()?;
        let raw = Self;
        execute!(stdout(), EnterAlternateScreen, Hide)?;
        Ok(raw)
    }

    /// Draws a screen that is made for this many rows and columns; whether all that must be seen fits.
    pub(super) fn draw(&self, screen: impl FnOnce([usize; 2]) -> Screen) -> std::io::Result<bool> {
        let (columns, rows) = terminal::size()?;
        let screen = screen([rows, columns].map(usize::from));
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
                Print(text::shown(line)),
                SetAttribute(Attribute::Reset)
            )?;
        }
        out.flush()?;
        Ok(screen.fits)
    }

    /// The next key; none where something else happened, such as a window of another size.
    #[allow(clippy::unused_self, reason = "keys come one by one only while this is")]
    pub(super) fn pressed(&self) -> std::io::Result<Option<Pressed>> {
        let Input::Key(pressed) = event::read()? else { return Ok(None) };
        Ok(Pressed::of(pressed).filter(|_| pressed.kind != KeyEventKind::Release))
    }
}

impl Drop for Raw {
    fn drop(&mut self) {
        // Nothing is left to be done about a terminal that is gone.
        let _ = execute!(stdout(), Show, LeaveAlternateScreen);
        let _ = disable_raw_mode();
    }
}

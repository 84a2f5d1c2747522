//! Acuity on white: which line stands on the wall, and what was read of it.

use super::{Session, out_of_turn};
use crate::acuity::{Acuity, Score};
use crate::balance::{BinocularStep, FOGGED_LINES, Stage};
use crate::exam::reading::Reading;
use crate::exam::refused::Refused;
use crate::light::{Fields, Side};

impl Session {
    /// Other letters of the same line.
    pub(super) fn new_letters(&mut self) -> Result<(), Refused> {
        match self.read().map(Reading::line) {
            Some(line) => self.show_line(line),
            None if self.number_asked().is_some() => self.anew += 1,
            None => return Err(out_of_turn()),
        }
        Ok(())
    }

    /// The next larger line on white, or the next smaller one.
    pub(super) fn other_line(&mut self, larger: bool) -> Result<(), Refused> {
        let line = self.read().ok_or_else(out_of_turn)?.line();
        let next = self.next_line(line, larger);
        self.show_line(next.ok_or_else(|| Refused::new("No such line can be shown in this room."))?);
        Ok(())
    }

    pub(super) fn show_line(&mut self, line: Acuity) {
        let count = self.letters_of(line).unwrap_or(1);
        self.anew += 1;
        if let Some((_, reading)) = &mut self.reading {
            reading.show(line, count);
        }
    }

    /// The standard line next to another that the room can show on white.
    pub(super) fn next_line(&self, line: Acuity, larger: bool) -> Option<Acuity> {
        let beyond = |one: &Acuity| {
            if larger { one.has_larger_letters_than(line) } else { line.has_larger_letters_than(*one) }
        };
        let lines =
            || Acuity::standard_lines().filter(beyond).filter(|line| self.letters_of(*line).is_some());
        if larger { lines().next_back() } else { lines().next() }
    }

    /// How many letters a line has on white; none where the room cannot show it.
    pub(super) fn letters_of(&self, line: Acuity) -> Option<usize> {
        self.drawing((line, Fields::White, Side::Left), self.seed).map(|drawing| drawing.letters.len())
    }

    /// What was read so far, where it can count: the largest line whole, and the wall as it must be.
    pub(super) fn score(&self) -> Result<Score, Refused> {
        let (_, reading) = self.reading.as_ref().ok_or_else(out_of_turn)?;
        self.wall_shows().map_err(|why| Refused::new(format!("Not counted. {why}")))?;
        if self.begins_too_small() {
            return Err(Refused::new(
                "The largest line that was shown was not read whole: show larger ones until one is.",
            ));
        }
        if self.stage() == Stage::White && self.ends_early() {
            let line = reading.line().in_notation(self.notation);
            return Err(Refused::new(format!(
                "At least half of {line} was read, and before it was a smaller line: show smaller letters, or touch those that were missed."
            )));
        }
        Ok(reading.score().noted_in(self.notation))
    }

    /// Whether at least half of the line on the wall was read though it is larger than what was read before, and a smaller one can be
    /// shown: what was read so far would count as worse, and nobody knows that it is.
    pub(in crate::exam) fn ends_early(&self) -> bool {
        let before = self.examination().and_then(|examination| examination.read_before());
        let Some((reading, before)) = self.read().zip(before) else { return false };
        let line = reading.line();
        let missed = reading.missed().iter().filter(|missed| **missed).count();
        2 * missed <= reading.missed().len()
            && line.has_larger_letters_than(Score::nearest(before.to_log_mar()).line)
            && self.next_line(line, false).is_some()
    }

    /// Whether a larger line comes next, since the largest that was shown was not read whole.
    pub(in crate::exam) fn begins_too_small(&self) -> bool {
        let reading = self.read().filter(|reading| !reading.begins_whole());
        reading.is_some_and(|reading| self.next_line(reading.line(), true).is_some())
    }

    /// Begins to read white where that comes next.
    pub(super) fn read_white(&mut self) {
        let stage = self.stage();
        let examination = self.examination().filter(|_| stage.is_read());
        let place =
            examination.and_then(|examination| Some((examination.reading()?, examination.read_before()?)));
        let Some((place, before)) = place else {
            self.reading = None;
            return;
        };
        if self.reading.as_ref().is_some_and(|(one, _)| *one == place) {
            return;
        }
        let before = Score::nearest(before.to_log_mar()).line;
        // A line above the acuity before should be read whole; both eyes are fogged while they are compared.
        let above =
            if stage == Stage::Binocular(BinocularStep::BalanceBetweenEyes) { FOGGED_LINES } else { 1 };
        let line = (0..above).fold(before, |line, _| self.next_line(line, true).unwrap_or(line));
        let line = if self.letters_of(line).is_some() { Some(line) } else { self.next_line(line, false) };
        let line = line.unwrap_or(before);
        self.reading = Some((place, Reading::new(line, self.letters_of(line).unwrap_or(1))));
        self.anew += 1;
    }

    /// What is read on white now.
    pub(in crate::exam) fn read(&self) -> Option<&Reading> {
        self.reading.as_ref().map(|(_, reading)| reading)
    }
}

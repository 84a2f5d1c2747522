//! What stands on the wall at each step, and when its letters change.

use super::{Asked, Session};
use crate::acuity::Acuity;
use crate::balance::{LimitQuestion, Question, Stage};
use crate::exam::picture::{Drawing, Picture};
use crate::light::{Fields, Side};
use crate::quantity::Dioptres;

impl Session {
    /// The lens that is in place now, if one is.
    pub(super) fn lens_in_place(&self) -> Option<Dioptres> {
        let course = self.examination()?.courses.last()?;
        match self.stage() {
            Stage::Ask(question) => Some(question.sphere),
            Stage::Limit(question) => Some(question.sphere),
            Stage::White => course.left_in(),
            Stage::Start
            | Stage::TooMuchMinus
            | Stage::Choose
            | Stage::OtherEye(_)
            | Stage::Binocular(_)
            | Stage::Closed => self.before,
        }
    }

    /// Brings everything to the step that begins; `stood` is the lens that was in place at the one before.
    pub(super) fn arrive(&mut self, stood: Option<Dioptres>) {
        self.step += 1;
        self.before = stood.filter(|_| self.eye_has_begun());
        (self.pressed, self.aside) = (None, None);
        self.read_white();
        let asked = self.asked();
        if asked.is_some() && asked != self.drawn_for {
            self.draw_anew(asked);
        }
        self.show();
        self.keep_bookmark();
    }

    /// Whether the eye in hand was asked anything yet.
    pub(super) fn eye_has_begun(&self) -> bool {
        let course = self.examination().and_then(|examination| examination.courses.last());
        course.is_some_and(|course| !course.asked.is_empty() || !course.limits.is_empty())
    }

    /// What letters are wanted for now; none where the wall stays dark.
    pub(super) fn asked(&self) -> Option<Asked> {
        let anew = self.anew;
        if let Some(Question { line, red, number, sphere, .. }) = self.question() {
            let question = Some((number, sphere));
            return Some(Asked { line, fields: Fields::RedGreen, red, question, anew });
        }
        if let Some(LimitQuestion { line, number, sphere, .. }) = self.stage().limit() {
            let question = Some((number, sphere));
            return Some(Asked { line, fields: Fields::White, red: Side::Left, question, anew });
        }
        if let Some((line, fields, red)) = self.guest {
            return Some(Asked { line, fields, red, question: None, anew });
        }
        let (_, reading) = self.reading.as_ref()?;
        Some(Asked { line: reading.line(), fields: Fields::White, red: Side::Left, question: None, anew })
    }

    /// Other letters than stand there.
    pub(super) fn draw_anew(&mut self, asked: Option<Asked>) {
        // One letter alone can come again and again.
        const TRIES: u64 = 20;
        let before = self.picture.chart.as_ref().map(Drawing::names);
        let differs = |seed: u64| {
            let drawing = asked.and_then(|asked| self.drawing((asked.line, asked.fields, asked.red), seed));
            drawing.is_none_or(|drawing| Some(drawing.names()) != before)
        };
        let next = (1..TRIES).map(|more| self.seed.wrapping_add(more)).find(|seed| differs(*seed));
        self.seed = next.unwrap_or(self.seed.wrapping_add(1));
        self.drawn_for = asked;
    }

    pub(super) fn drawing(&self, (line, fields, red): (Acuity, Fields, Side), seed: u64) -> Option<Drawing> {
        Drawing::new(&self.room, &self.light, self.letters, (line, fields, red, seed)).ok()
    }

    /// Puts on the wall what belongs there; a picture that changes gets another number.
    pub(super) fn show(&mut self) {
        let asked = self.asked().filter(|_| !self.is_covered());
        let chart = asked.and_then(|asked| self.drawing((asked.line, asked.fields, asked.red), self.seed));
        if chart != self.picture.chart {
            self.picture = Picture { number: self.picture.number + 1, chart };
        }
    }
}

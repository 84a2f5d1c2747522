//! What stands between two entries, kept beside the record and found there again.

use super::Session;
use crate::exam::bookmark::{Bookmark, Page};
use crate::exam::picture::Drawing;
use crate::exam::reading::Reading;
use crate::exam::wish::notation;
use crate::quantity::Dioptres;
use crate::text::shown;

/// No lens is stronger, in dioptres: a number beyond is none that this program wrote. This project's own decision.
const STRONGEST_D: f64 = 60.0;

impl Session {
    /// Takes the options as they were left, where a bookmark lies beside the record.
    pub(super) fn look_for_bookmark(&mut self) {
        let Some(record) = &self.record else { return };
        match Bookmark::beside(record) {
            Ok(found) => self.bookmark = found,
            Err(why) => self.not_kept = Some(format!("{}.", shown(&why))),
        }
        if let Some(bookmark) = &self.bookmark {
            self.notation = notation(&bookmark.notation).unwrap_or(self.notation);
            (self.dark_between, self.patient_buttons) = (bookmark.dark_between, bookmark.patient_buttons);
        }
    }

    /// The examination that was in hand when the bookmark was written.
    pub(super) fn in_hand_before(&self) -> Option<&str> {
        self.bookmark.as_ref()?.page.as_ref().map(|page| page.examination.as_str())
    }

    /// What cannot be relied on of what lies beside the record, if anything.
    #[must_use]
    pub fn not_kept(&self) -> Option<&str> {
        self.not_kept.as_deref()
    }

    /// Brings back what stood after the last event of the examination that was taken up, and gives the lens that was in place
    /// before. What does not fit, such as letters that this program draws otherwise, begins anew.
    pub(super) fn open_bookmark(&mut self) -> Option<Dioptres> {
        let kept = &self.recorder.as_ref()?.kept;
        let page = self.bookmark.as_ref()?.page.as_ref();
        let page = page.filter(|page| page.examination == kept.id && page.events == kept.events.len())?.clone();
        self.lens_in_for = self.question().filter(|_| page.lens_in).map(|question| question.number);
        self.read_white();
        self.letters_again(&page);
        page.lens_before.filter(|lens| lens.to_d().abs() <= STRONGEST_D)
    }

    /// The same letters, and the same of them marked; neither where they are not the same.
    fn letters_again(&mut self, page: &Page) {
        let fresh = self.reading.clone();
        if let (Some((_, reading)), Some(again)) = (&mut self.reading, self.read_again(page)) {
            *reading = again;
        }
        let asked = self.asked();
        let drawing = asked.and_then(|asked| self.drawing((asked.line, asked.fields, asked.red), page.seed));
        if drawing.is_some_and(|drawing| drawing.names() == page.letters) {
            (self.seed, self.drawn_for) = (page.seed, asked);
        } else {
            self.reading = fresh;
        }
    }

    /// What was read on white, where this room has those lines with as many letters.
    fn read_again(&self, page: &Page) -> Option<Reading> {
        let line = |(line, missed): &(String, Vec<bool>)| {
            let line = line.parse().ok().filter(|line| self.letters_of(*line) == Some(missed.len()))?;
            Some((line, missed.clone()))
        };
        Reading::again(page.read.iter().map(line).collect::<Option<Vec<_>>>()?)
    }

    /// Forgets the examination that was in hand; the next one to be kept is another.
    pub(super) fn close_bookmark(&mut self) {
        if let Some(bookmark) = &mut self.bookmark {
            bookmark.page = None;
        }
    }

    /// Writes what stands now, where that is another than is written. An examination goes on without it, and the panel says so.
    pub(super) fn keep_bookmark(&mut self) {
        let Some(record) = &self.record else { return };
        let options = [self.dark_between, self.patient_buttons];
        let now = Bookmark::new(self.notation.name().into(), options, self.page());
        if self.bookmark.as_ref() != Some(&now) {
            self.not_kept = now.write_beside(record).err().map(|why| shown(&why));
            self.bookmark = Some(now);
        }
    }

    /// Where the examination in hand stands, or the one that was in hand before and was not taken up yet.
    fn page(&self) -> Option<Page> {
        let Some(recorder) = &self.recorder else { return self.bookmark.as_ref()?.page.clone() };
        let number = self.question().map(|question| question.number);
        let asked = self.asked();
        let drawing = asked.and_then(|asked| self.drawing((asked.line, asked.fields, asked.red), self.seed));
        let lines = self.read().into_iter().flat_map(Reading::lines);
        Some(Page {
            examination: recorder.kept.id.clone(),
            events: recorder.kept.events.len(),
            lens_in: number.is_some() && self.lens_in_for == number,
            lens_before: self.before,
            seed: self.seed,
            letters: drawing.as_ref().map(Drawing::names).unwrap_or_default(),
            read: lines.map(|(line, missed)| (line.to_string(), missed.to_vec())).collect(),
        })
    }
}

//! What stands between two entries, kept beside the record and found there again.

use std::path::Path;

use super::Session;
use crate::balance::Place;
use crate::balance::record::{Kept, Records, moment};
use crate::exam::bookmark::{Bookmark, Page};
use crate::exam::picture::Drawing;
use crate::exam::reading::Reading;
use crate::exam::recorder::{Recorder, read_record};
use crate::exam::wish::notation;
use crate::quantity::Dioptres;
use crate::text::shown;

/// No lens is stronger, in dioptres: a number beyond is none that this program wrote. This project's own decision.
const STRONGEST_D: f64 = 60.0;

/// Where a program stood when it ended.
#[derive(Debug, Default)]
struct Before {
    /// The examination that was in hand, finished or not, otherwise the last one if that is open.
    goes_on: Option<Kept>,
    /// The last one, where another program finished it meanwhile.
    ended: Option<Kept>,
}

impl Before {
    /// Of examinations in which something happened since a moment.
    fn of(records: Records, page: Option<&Page>, since: &str) -> Self {
        let named = page.map(|page| page.examination.as_str());
        let is_fresh = |kept: &Kept| kept.is_of_today() && kept.went_on() >= moment(since);
        let mut fresh: Vec<Kept> = records.kept.into_iter().filter(is_fresh).collect();
        if let Some(place) = fresh.iter().position(|kept| Some(kept.id.as_str()) == named) {
            return Self { goes_on: Some(fresh.swap_remove(place)), ended: None };
        }
        let last = fresh.into_iter().max_by_key(Kept::went_on);
        let (goes_on, ended) = last.into_iter().partition::<Vec<_>, _>(Kept::is_open);
        Self { goes_on: goes_on.into_iter().next(), ended: ended.into_iter().next() }
    }
}

impl Session {
    /// The place of the examination with which a session beside this record goes on, as [`Self::come_back`] has it.
    #[must_use]
    pub fn place_before(record: &Path, since: &str) -> Option<Place> {
        let page = Bookmark::beside(record).ok().flatten().and_then(|bookmark| bookmark.page);
        let kept = Before::of(read_record(record).ok()?, page.as_ref(), since).goes_on?;
        kept.examination.courses.first().map(|course| course.start.place.clone())
    }

    /// Stands where the program before it stood when it ended, if something happened in the examination since a moment such as
    /// `2026-03-31T09:30:00Z`: the one that was in hand, finished or not, otherwise the last one if that is open. One that
    /// another program finished meanwhile is offered.
    pub fn come_back(&mut self, since: &str) {
        // A record that cannot be read any more says so when the next examination begins.
        let records = self.record().and_then(|record| read_record(record).ok()).unwrap_or_default();
        let before = Before::of(records, self.page_before.as_ref(), since);
        if let Some(kept) = before.goes_on {
            // What cannot go on in this room is offered by no panel either.
            drop(self.take_up(Recorder::again, &kept.id));
        }
        self.ended = before.ended.and_then(|kept| self.offered(&kept));
    }

    /// Takes the options as they were left, where a bookmark lies beside the record.
    pub(super) fn look_for_bookmark(&mut self) {
        let Some(record) = &self.record else { return };
        match Bookmark::beside(record) {
            Ok(Some(found)) => {
                self.notation = notation(&found.notation).unwrap_or(self.notation);
                (self.dark_between, self.patient_buttons) = (found.dark_between, found.patient_buttons);
                self.page_before.clone_from(&found.page);
                self.bookmark = Some(found);
            }
            Ok(None) => {}
            Err(why) => self.not_read = Some(format!("{}.", shown(&why))),
        }
    }

    /// Why nothing was taken from the bookmark beside the record, if so.
    #[must_use]
    pub fn not_read(&self) -> Option<&str> {
        self.not_read.as_deref()
    }

    /// Brings back what stood after the last event of the examination that was taken up, and gives the lens that was in place
    /// before. What does not fit, such as letters that this program draws otherwise, begins anew.
    pub(super) fn open_bookmark(&mut self) -> Option<Dioptres> {
        let kept = &self.recorder.as_ref()?.kept;
        let page = self.bookmark.as_ref()?.page.as_ref();
        let page =
            page.filter(|page| page.examination == kept.id && page.events == kept.events.len())?.clone();
        self.lens_in_for = self.number_asked().filter(|_| page.lens_in);
        self.read_white();
        self.letters_again(&page);
        page.lens_before.filter(|lens| lens.to_d().abs() <= STRONGEST_D)
    }

    /// The same letters, and the same of them marked; neither where they are not the same.
    fn letters_again(&mut self, page: &Page) {
        let (fresh, again) = (self.reading.clone(), self.read_again(page));
        self.reading = fresh.as_ref().zip(again).map(|((place, _), again)| (*place, again)).or(fresh.clone());
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

    /// Writes what stands now, where that is another than is written. An examination goes on without it, and the panel says so.
    pub(super) fn keep_bookmark(&mut self) {
        let Some(record) = &self.record else { return };
        let options = [self.dark_between, self.patient_buttons];
        let now = Bookmark::new(self.notation.name().into(), options, self.page());
        if self.bookmark.as_ref() != Some(&now) || self.not_written.is_some() {
            self.not_written = now.write_beside(record).err().map(|why| shown(&why));
            self.bookmark = Some(now);
        }
    }

    /// Where the examination in hand stands, or the one that was in hand before and was not taken up yet.
    fn page(&self) -> Option<Page> {
        let Some(recorder) = &self.recorder else { return self.page_before.clone() };
        let number = self.number_asked();
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

#[cfg(test)]
mod tests;

//! What is said of an eye that was asked more than once.

use super::super::again::Change;
use super::super::examination::Examination;
use super::super::manifest::Laterality;
use super::super::white::DOUBTFUL_LETTERS;

impl Examination {
    /// What all runs of an eye come to together, in a sentence or two; none where it was asked once.
    #[must_use]
    pub fn all_runs_in_words(&self, eye: Laterality) -> Option<String> {
        let count = self.runs_of(eye).len();
        let together = self.all_runs_of(eye);
        let runs = self.runs_of(eye);
        let (distance, left_in) = (runs.first()?.start.distance(), runs.last()?.left_in());
        (count > 1).then(|| {
            let what = together.map_or_else(
                || "no model takes these runs together, so the last one counts".into(),
                |found| lower(&found.words(distance, left_in)),
            );
            let taken = self.runs_taken_together(eye).len();
            let all = match count {
                _ if (2..count).contains(&taken) => format!("{taken} of {count} runs"),
                2 => "Both runs".to_owned(),
                _ => format!("All {count} runs"),
            };
            let beside = if self.cylinders_differ(eye) { ", as sphere beside the last cylinder" } else { "" };
            format!("{all} together, from the first manifest{beside}: {what}")
        })
    }

    /// That an earlier run of an eye read more letters through its lens than the last one through its own, by what is no chance.
    #[must_use]
    pub fn read_better_in_words(&self, eye: Laterality) -> Option<String> {
        let runs = self.runs_of(eye);
        let (last, earlier) = runs.split_last()?;
        let now = last.white.last()?;
        let read = (1..).zip(earlier).filter_map(|(number, run)| Some((number, *run.white.last()?)));
        let (number, best) = read.max_by_key(|(_, score)| score.letters_over(*now))?;
        let letters = best.letters_over(*now);
        (letters >= DOUBTFUL_LETTERS).then(|| {
            format!("Run {number} read {best} through its lens, {letters} letters more: look at both lenses once more.")
        })
    }

    /// Why the last run of an eye was made, as far as it shows: its cylinder was rechecked, or it was asked again; none where it was
    /// asked once.
    #[must_use]
    pub fn run_in_words(&self, eye: Laterality) -> Option<String> {
        let count = self.runs_of(eye).len();
        let why = match self.last_change(eye)? {
            Change::Cylinder => "with its cylinder rechecked",
            Change::Nothing => "asked again",
        };
        Some(format!("run {count}, {why}"))
    }
}

/// A sentence that stands within another.
fn lower(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

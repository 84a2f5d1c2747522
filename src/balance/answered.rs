//! The last answer to each lens of a run.

use super::answer::Answer;
use super::clicks::Clicks;

/// The farthest lens from the manifest, in clicks: two dioptres, beyond which letters are lost on both sides. This
/// project's own decision.
pub(super) const FARTHEST: Clicks = Clicks::new(MOST);
const MOST: i32 = 8;

/// A place for each lens that a run may ask, from the most minus to the most plus.
const PLACES: usize = 2 * MOST.unsigned_abs() as usize + 1;

/// Which lens was answered how, last. Of a fixed size, since runs are compared and copied a hundred thousand times.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Answered([Option<Answer>; PLACES]);

impl Answered {
    /// Nothing yet.
    pub(super) const NONE: Self = Self([None; PLACES]);

    /// Notes an answer; a lens that no run may ask is not noted.
    pub(super) fn note(&mut self, lens: Clicks, answer: Answer) {
        self.set(lens, Some(answer));
    }

    /// Forgets the answer to a lens.
    pub(super) fn forget(&mut self, lens: Clicks) {
        self.set(lens, None);
    }

    /// Whether a lens was answered.
    pub(super) fn has(&self, lens: Clicks) -> bool {
        place(lens).is_some_and(|place| self.0.get(place).is_some_and(Option::is_some))
    }

    /// Each lens with its answer, from the least plus upward.
    pub(super) fn iter(&self) -> impl Iterator<Item = (Clicks, Answer)> {
        let all = (-MOST..).zip(self.0);
        all.filter_map(|(lens, answer)| Some((Clicks::new(lens), answer?)))
    }

    /// Every lens that was answered, from the least plus upward.
    pub(super) fn lenses(&self) -> impl Iterator<Item = Clicks> {
        self.iter().map(|(lens, _)| lens)
    }

    /// The lenses that were answered so, from the least plus upward.
    pub(super) fn to(&self, answer: Answer) -> impl Iterator<Item = Clicks> {
        self.iter().filter(move |(_, one)| *one == answer).map(|(lens, _)| lens)
    }

    fn set(&mut self, lens: Clicks, answer: Option<Answer>) {
        if let Some(held) = place(lens).and_then(|place| self.0.get_mut(place)) {
            *held = answer;
        }
    }
}

/// Where a lens has its place; none for one with more minus than any.
fn place(lens: Clicks) -> Option<usize> {
    usize::try_from((lens + FARTHEST).count()).ok()
}

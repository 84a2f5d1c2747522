//! Which letters stand on a chart: a random order that a seed fixes.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::{LetterSet, Optotype};

/// An endless sequence of letters: the whole set in a new order, again and again, and never the same letter twice running.
///
/// The same seed gives the same letters on every platform and in every version: the generator is `ChaCha8` and the
/// shuffle is written here.
///
/// ```
/// # use evenfield::optotype::{Draw, LetterSet};
/// // A round of ten Sloan letters has each of them once; the same seed gives the same round.
/// let round = |seed| Draw::new(LetterSet::Sloan, seed).take(10).map(|letter| letter.name()).collect::<Vec<_>>();
/// let mut sorted = round(7);
/// sorted.sort();
/// assert_eq!(sorted.concat(), "CDHKNORSVZ");
/// assert_eq!(round(7), round(7));
/// ```
pub struct Draw {
    set: LetterSet,
    random: ChaCha8Rng,
    round: Vec<Optotype>,
    last: Option<Optotype>,
}

impl Draw {
    /// A draw from a set.
    #[must_use]
    pub fn new(set: LetterSet, seed: u64) -> Self {
        Self { set, random: ChaCha8Rng::seed_from_u64(seed), round: Vec::new(), last: None }
    }

    /// Shuffles the set anew (Fisher & Yates). If the first letter would repeat the last one, it is exchanged.
    fn refill(&mut self) {
        self.round = self.set.members();
        for end in (1..self.round.len()).rev() {
            let other = self.below(end + 1);
            self.round.swap(end, other);
        }
        let next = self.round.len() - 1;
        if self.round.last() == self.last.as_ref() {
            self.round.swap(0, next);
        }
    }

    /// A whole number below `count`; the bias of the remainder is under 1e-18.
    fn below(&mut self, count: usize) -> usize {
        let remainder = self.random.next_u64() % count as u64;
        usize::try_from(remainder).expect("it is below a usize")
    }
}

impl Iterator for Draw {
    type Item = Optotype;

    fn next(&mut self) -> Option<Optotype> {
        if self.round.is_empty() {
            self.refill();
        }
        self.last = self.round.pop();
        self.last
    }
}

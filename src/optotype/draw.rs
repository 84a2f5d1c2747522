//! Which letters stand on a chart, by a seed.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::{LetterSet, Optotype};

/// Letters without end: each round is the whole set in a new order, and no letter follows itself.
///
/// The same seed gives the same letters on every platform and in every version: the generator is `ChaCha8` and the
/// shuffle is written here.
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

    /// Fisher and Yates's shuffle; a round that would start with the letter before it starts with another.
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

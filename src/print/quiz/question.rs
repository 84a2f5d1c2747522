//! A question, its answer and why; and the lot by which questions, numbers and the order of choices are drawn.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// How many choices a question has.
pub(super) const CHOICES: usize = 4;

/// A question of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is asked.
    pub asks: String,
    /// How it is answered.
    pub answer: Answered,
    /// Why that is right, in a sentence.
    pub because: String,
    /// Where the answer comes from.
    pub from: String,
}

/// How a question is answered.
#[derive(Debug, Clone, PartialEq)]
pub enum Answered {
    /// One of four is right.
    Choice {
        /// All of them, as they stand.
        all: [String; CHOICES],
        /// Which of them is right.
        right: usize,
    },
    /// A number is written.
    Number {
        /// The number as it should be written.
        value: String,
        /// Its unit.
        unit: &'static str,
    },
}

impl Answered {
    /// The right answer as the key has it.
    #[must_use]
    pub fn right(&self) -> String {
        match self {
            Self::Choice { all, right } => format!("{}  {}", letter(*right), all[*right]),
            Self::Number { value, unit } => format!("{value} {unit}"),
        }
    }
}

/// The letter of a choice.
pub(super) fn letter(choice: usize) -> char {
    "ABCD".chars().nth(choice).unwrap_or(' ')
}

/// What is drawn by a seed: the same seed draws the same on every platform, since generator and shuffle are fixed here.
pub(super) struct Lot {
    random: ChaCha8Rng,
}

impl Lot {
    pub(super) fn new(seed: u64) -> Self {
        Self { random: ChaCha8Rng::seed_from_u64(seed) }
    }

    /// A whole number below `count`, which is not nought; the bias of the remainder is under 1e-17.
    pub(super) fn below(&mut self, count: usize) -> usize {
        let remainder = self.random.next_u64() % count as u64;
        usize::try_from(remainder).expect("it is below a usize")
    }

    /// One of these, which are not none.
    pub(super) fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }

    /// A new order (Fisher & Yates).
    pub(super) fn shuffled<T>(&mut self, mut items: Vec<T>) -> Vec<T> {
        for end in (1..items.len()).rev() {
            let other = self.below(end + 1);
            items.swap(end, other);
        }
        items
    }

    /// The right answer among three wrong ones, in any order; none where fewer than three of these differ from it and from each
    /// other.
    pub(super) fn choice(
        &mut self,
        right: String,
        wrong: impl IntoIterator<Item = String>,
    ) -> Option<Answered> {
        let mut all = vec![right.clone()];
        for other in wrong {
            if all.len() < CHOICES && !all.contains(&other) {
                all.push(other);
            }
        }
        let all: [String; CHOICES] = self.shuffled(all).try_into().ok()?;
        let right = all.iter().position(|one| *one == right)?;
        Some(Answered::Choice { all, right })
    }
}

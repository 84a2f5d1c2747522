//! What a script writes the score of a learner with, as a short code that a teacher's copy of the page reads.
//!
//! A code is digits of a prime base: the score, a tag that binds it to the class, and a digit that finds errors. Digits are weighed
//! 1, 2, 3 … and add up to a multiple of the base; so a single wrong one is always found, since no weight is a multiple of it, and
//! so is any swap of neighbours, since their weights differ by one.
//!
//! It keeps honest people from slips, and no more than that: the page holds its own key.

use serde::Serialize;

use super::class::Class;
use super::level::Level;

/// The digits, in order: capital letters and digits without any that are taken for another (0 O Q, 1 I, 2 Z, 5 S, 6 G, 8 B, U V).
/// As many as a prime number. This project's own decision.
const ALPHABET: &str = "ACDEFHJKLMNPRTVWXY34679";

/// How many digits hold the score and the tag; one more finds errors. Three make one of a dozen thousand tags.
const SCORE_DIGITS: usize = 8;
const TAG_DIGITS: usize = 3;

/// A code is written in groups of so many digits.
const GROUP: usize = 4;

/// By what a tag is mixed, digit by digit: the prime of the 32-bit hash FNV-1a, from memory.
const FACTOR: u32 = 16_777_619;

/// What is said with every code.
pub(super) const NO_EXAMINATION: &str = "A code is no examination: it keeps slips out, but this page holds its own key, so a code can be forged, and copied from a neighbour.";

/// How a code is written and read.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Code {
    alphabet: &'static str,
    score_digits: usize,
    tag_digits: usize,
    group: usize,
    factor: u32,
    /// What binds a code to its class.
    key: u32,
    sizes: Sizes,
    no_examination: &'static str,
}

/// How many values each part of a score has, from nought; what is more counts as the last.
#[derive(Debug, Clone, Copy, Serialize)]
#[serde(rename_all = "camelCase")]
struct Sizes {
    /// Which levels are passed, a bit each.
    passed: u64,
    /// Patients finished, and by the rule of them.
    finished: u64,
    by_rule: u64,
    /// Questions by the rule, in per cent.
    share: u64,
    hints: u64,
}

const SIZES: Sizes =
    Sizes { passed: 1 << Level::ALL.len(), finished: 100, by_rule: 100, share: 101, hints: 61 };

impl Code {
    pub(super) fn new(class: &Class, room: &str) -> Self {
        Self {
            alphabet: ALPHABET,
            score_digits: SCORE_DIGITS,
            tag_digits: TAG_DIGITS,
            group: GROUP,
            factor: FACTOR,
            key: class.key(room),
            sizes: SIZES,
            no_examination: NO_EXAMINATION,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_base_is_prime_and_larger_than_every_weight() {
        let base = ALPHABET.len();
        assert!((2..base).all(|divisor| !base.is_multiple_of(divisor)), "{base}");
        assert!(SCORE_DIGITS + TAG_DIGITS + 1 < base);
        assert!((SCORE_DIGITS + TAG_DIGITS + 1).is_multiple_of(GROUP), "no group is left short");
    }

    #[test]
    fn no_digit_is_taken_for_another() {
        for alike in ["0OQD", "1IL", "2Z", "5S", "6G", "8B", "UV"] {
            let there = alike.chars().filter(|letter| ALPHABET.contains(*letter)).count();
            assert!(there <= 1, "{alike}");
        }
    }

    #[test]
    fn every_score_has_room() {
        let Sizes { passed, finished, by_rule, share, hints } = SIZES;
        let digits = u32::try_from(SCORE_DIGITS).unwrap();
        let room = (ALPHABET.len() as u64).pow(digits);
        assert!(passed * finished * by_rule * share * hints <= room);
        // Scripts count exactly up to this.
        assert!(room < 1 << 53);
    }
}

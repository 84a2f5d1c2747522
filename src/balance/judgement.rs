//! From what an eye sees to what is answered: the one rule by which simulated patients answer and answers are weighed.

use super::answer::{Answer, Legible};
use super::normal::share_below;
use crate::eye::Seen;
use crate::quantity::Dioptres;

/// A comparison never wavers by less than this; without any wavering a difference that is exactly the limit has no side.
const LEAST_NOISE: f64 = 1e-9;

/// How clear a line on white has to be wavers from line to line by this SD of the decimal logarithm, since five letters are few and
/// not equally hard. Assumed.
pub const READ_SD_LOG10: f64 = 0.1;

/// What chance gives to one answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    /// By how much the focus wavers.
    pub jitter: Dioptres,
    /// By how much the comparison wavers, in units of the evidence.
    pub noise: f64,
    /// What is said without looking, if it is.
    pub lapse: Option<Answer>,
}

impl Chance {
    /// None at all.
    pub const NONE: Self = Self { jitter: Dioptres::new(0.0), noise: 0.0, lapse: None };
}

/// How what is seen at one question becomes an answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judgement {
    /// Up to this much evidence to either side the answer is "same"; above nought.
    pub same_within: f64,
    /// The SD by which the evidence wavers from answer to answer, nought or more.
    pub noise_sd: f64,
    /// The least legibility that is read: 1 in a typical patient, more in one who needs clearer letters.
    pub legible_from: f64,
    /// What is added to the evidence for red; minus where the answer leans to green.
    pub lean: f64,
    /// The share of answers that are red, green or "same" without looking, a third each; 0 to 1.
    pub lapses: f64,
}

impl Judgement {
    /// What is answered, chance given. Its jitter belongs to what is seen and is not looked at.
    #[must_use]
    pub fn answer(&self, seen: Seen, chance: Chance) -> Answer {
        let read = seen.legibility >= self.legible_from;
        let judged = read.then_some(seen.evidence + self.lean + chance.noise);
        chance.lapse.unwrap_or_else(|| Answer::to(judged, self.same_within))
    }

    /// How likely each answer is, in the order of [`Answer::ALL`]; together 1.
    ///
    /// ```
    /// # use evenfield::{balance::Judgement, eye::Seen};
    /// // Evidence of 1.5 that wavers by 0.5 lies one SD over the limit of 1 for red and five over that for green, so the normal
    /// // distribution has 0.8413 of red, 0.0000 of green. Of answers that look, 0.97; each of three has 0.01 besides.
    /// const LAST_DIGIT: f64 = 1e-4;
    /// let judgement = Judgement { same_within: 1.0, noise_sd: 0.5, legible_from: 1.0, lean: 0.0, lapses: 0.03 };
    /// let chances = judgement.chances(Seen { evidence: 1.5, legibility: 2.0 });
    /// for (chance, by_hand) in chances.into_iter().zip([0.8261, 0.0100, 0.1639, 0.0]) {
    ///     assert!((chance - by_hand).abs() < LAST_DIGIT);
    /// }
    /// // Letters that cannot be read are answered by chance alone.
    /// assert!((judgement.chances(Seen { evidence: 1.5, legibility: 0.9 })[3] - 0.97).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn chances(&self, seen: Seen) -> [f64; 4] {
        let [third, .., looks] = self.unread();
        if seen.legibility < self.legible_from {
            return self.unread();
        }
        let beyond =
            |evidence: f64| share_below((evidence - self.same_within) / self.noise_sd.max(LEAST_NOISE));
        let evidence = seen.evidence + self.lean;
        let (red, green) = (beyond(evidence), beyond(-evidence));
        [third + looks * red, third + looks * green, third + looks * (1.0 - red - green).max(0.0), 0.0]
    }

    /// Whether a line on white is read that is so legible, chance given.
    #[must_use]
    pub fn reads(&self, legibility: f64, chance: Chance) -> Legible {
        let wavers = READ_SD_LOG10 * chance.noise / self.noise_sd.max(LEAST_NOISE);
        let is_clear = (legibility / self.legible_from).log10() + wavers >= 0.0;
        // Who does not look reads it or loses it, as often the one as the other.
        let is_read = if chance.lapse.is_some() { chance.noise < 0.0 } else { is_clear };
        if is_read { Legible::Read } else { Legible::Lost }
    }

    /// How likely such a line is read.
    ///
    /// ```
    /// # use evenfield::balance::Judgement;
    /// // Twice as clear as it has to be is 0.3010 of the decimal logarithm, three SDs of 0.1: 0.9987 of those who look, 0.96,
    /// // and half of the others.
    /// const LAST_DIGIT: f64 = 1e-4;
    /// let judgement = Judgement { same_within: 1.0, noise_sd: 0.5, legible_from: 1.0, lean: 0.0, lapses: 0.04 };
    /// assert!((judgement.chance_of_reading(2.0) - 0.9787).abs() < LAST_DIGIT);
    /// // What is just as clear is read as often as not.
    /// assert!((judgement.chance_of_reading(1.0) - 0.5).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn chance_of_reading(&self, legibility: f64) -> f64 {
        let looked = share_below((legibility / self.legible_from).log10() / READ_SD_LOG10);
        (1.0 - self.lapses).mul_add(looked, self.lapses / 2.0)
    }

    /// The same where nothing can be read.
    pub(super) const fn unread(&self) -> [f64; 4] {
        let third = self.lapses / 3.0;
        [third, third, third, 1.0 - self.lapses]
    }
}

#[cfg(test)]
mod tests;

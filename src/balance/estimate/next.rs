//! Which lens to ask next.

use super::belief::{Belief, Day, Sums};
use super::lanes::dot;
use super::likelihood::UNSURE_ANYWAY;
use crate::balance::run::MOST_MINUS;
use crate::balance::{Answer, Clicks, Put};
use crate::light::Side;
use crate::quantity::Dioptres;

/// The farthest lens from the manifest that is asked, in clicks: 1.25 D. Farther out it is where letters are lost that tells
/// most, and of that the least is known. This project's own decision.
const FARTHEST: i32 = 5;

/// The most that a lens may differ from the one before, in clicks: 1 D. This project's own decision.
const MOST_AT_ONCE: i32 = 4;

/// A question that is expected to narrow the SD by less than this, in dioptres, need not be asked. This project's own decision.
pub const ENOUGH: Dioptres = Dioptres::new(0.006);

/// And no more questions than these. This project's own decision.
pub const MOST_QUESTIONS: usize = 7;

/// What is smaller than this is binary dust, in dioptres and in square ones.
const DUST: f64 = 1e-9;

/// The question whose answer would tell most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Next {
    /// How it is put. An eye that accommodates has to come to it from plus, so it is blurred first where the lens before had
    /// less.
    pub put: Put,
    /// By how much its answer, given by sight, is expected to narrow the estimate's SD: from the variance that is left in the mean.
    pub worth: Dioptres,
}

impl Belief<'_> {
    /// The lens that leaves the least variance in the mean, of those that may be asked after the lens before.
    ///
    /// These lie within 1.25 D of the one that clicks count from and within 1 D of the one before; in an eye that accommodates
    /// at most 0.50 D to minus. After “cannot tell” none lies farther out than the one before: who sees too little there is not to be
    /// blurred more. Of lenses that leave as much, the one nearer to the mean is asked, then the one with more plus. `red` is where
    /// red will lie, if that is known; `larger` asks in the larger line.
    #[must_use]
    pub fn next(&self, (before, answer): (Clicks, Option<Answer>), red: Option<Side>, larger: bool) -> Next {
        let accommodates = self.likelihood.accommodates();
        let (mean, sd) = self.mean_and_sd();
        let put = |clicks: Clicks| Put { clicks, from_plus: accommodates || clicks < before, larger, red };
        let mut lenses = lenses(before, accommodates);
        if answer == Some(Answer::Unsure) {
            lenses.retain(|lens| lens.abs() <= before.abs());
        }
        lenses.sort_by(|one, other| nearer(*one, *other, mean));
        let days: Vec<(Day<'_>, f64)> = self.likely_days().collect();
        let left = lenses.into_iter().map(|clicks| (put(clicks), self.expected_d2(&days, put(clicks))));
        let least = |best: (Put, f64), one: (Put, f64)| if one.1 < best.1 - DUST { one } else { best };
        let (put, left) = left.reduce(least).unwrap_or((put(before), f64::INFINITY));
        Next { put, worth: Dioptres::new((sd.to_d() - left.sqrt()).max(0.0)) }
    }

    /// The variance of balance that an answer by sight leaves in the mean, in square dioptres.
    fn expected_d2(&self, days: &[(Day<'_>, f64)], put: Put) -> f64 {
        let [first, second, third, _] = Answer::ALL;
        let mut sums = [Sums::default(); 4];
        for (day, chance) in days {
            // Who says anyway that they cannot tell says so of every lens, which makes none of them better than another.
            let by_sight = 1.0 - UNSURE_ANYWAY;
            let of = |answer| dot(day.weights, self.likelihood.chances(put, answer, day.place)) / by_sight;
            let three = [first, second, third].map(of);
            // One of four is given.
            let fourth = (chance - three.iter().sum::<f64>()).max(0.0);
            for (sum, chance) in sums.iter_mut().zip(three.into_iter().chain([fourth])) {
                *sum = sum.with(chance, day.eye);
            }
        }
        sums.into_iter().map(Sums::squares_d2).sum()
    }
}

/// The lenses that may be asked after one; at least one.
fn lenses(before: Clicks, accommodates: bool) -> Vec<Clicks> {
    let least = if accommodates { MOST_MINUS.count() } else { -FARTHEST };
    let from = (before.count() - MOST_AT_ONCE).clamp(least, FARTHEST);
    let to = (before.count() + MOST_AT_ONCE).clamp(least, FARTHEST);
    (from..=to).map(Clicks::new).collect()
}

/// Nearer to the mean first, then with more plus.
fn nearer(one: Clicks, other: Clicks, mean: Dioptres) -> std::cmp::Ordering {
    let far = |lens: Clicks| ((lens.to_dioptres() - mean).to_d().abs() / DUST).round();
    far(one).total_cmp(&far(other)).then(other.cmp(&one))
}

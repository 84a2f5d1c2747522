//! What is believed of balance after the answers.

use super::grid;
use super::lanes::{dot_with, sum};
use super::likelihood::Likelihood;
use super::prior::{EyeOfDay, Prior};
use crate::balance::{Answer, Clicks, Legible, Put};
use crate::eye::CLICK_D;
use crate::quantity::Dioptres;

/// The share of eyes below the interval, and as many above it.
const TAIL: f64 = 0.025;

/// No interval reaches beyond this, in dioptres: the grid and a dioptre and a half.
const BOUND_D: f64 = 5.0;

/// Places less likely than this move no figure in its tenth digit.
const UNLIKELY: f64 = 1e-12;

/// An end of the interval is halved into so often, which leaves less than a millionth of a dioptre.
const HALVINGS: u8 = 24;

/// Where balance lies, in dioptres of sphere from the lens that clicks count from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The mean of all places.
    pub balance: Dioptres,
    /// The lower end of the interval that holds it in 95 of 100 eyes: 2.5 of 100 lie further to minus.
    pub low: Dioptres,
    /// The upper end: 2.5 of 100 lie further to plus.
    pub high: Dioptres,
    /// The SD.
    pub sd: Dioptres,
}

/// How likely each place of balance is after some answers, and each kind of patient.
#[derive(Debug, Clone)]
pub struct Belief<'a> {
    pub(super) likelihood: &'a Likelihood,
    /// What each place of the day's balance says of the eye's.
    eyes: Vec<EyeOfDay>,
    /// By place of the day's balance, then by patient; together 1.
    weights: Vec<f64>,
}

/// One place of the day's balance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Day<'a> {
    /// Where on the grid.
    pub(super) place: i32,
    /// What it says of the eye's own.
    pub(super) eye: &'a EyeOfDay,
    /// How likely each patient is there.
    pub(super) weights: &'a [f64],
}

/// Sums of a chance, of the eye's balance and of its squares.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Sums([f64; 3]);

impl<'a> Belief<'a> {
    /// Before the first answer.
    #[must_use]
    pub fn before(likelihood: &'a Likelihood, prior: Prior) -> Self {
        let eyes = prior.eyes(likelihood.offset_sd_d());
        let shares = likelihood.shares();
        let mut weights: Vec<f64> =
            eyes.iter().flat_map(|eye| shares.iter().map(|share| eye.chance * share)).collect();
        let total = sum(&weights);
        weights.iter_mut().for_each(|weight| *weight /= total);
        Self { likelihood, eyes, weights }
    }

    /// After these answers, in any order.
    #[must_use]
    pub fn after_all(likelihood: &'a Likelihood, prior: Prior, answers: &[(Put, Answer)]) -> Self {
        answers
            .iter()
            .fold(Self::before(likelihood, prior), |belief, (put, answer)| belief.after(*put, *answer))
    }

    /// After one more answer. One that no patient can give, wherever balance lies, changes nothing.
    #[must_use]
    pub fn after(self, put: Put, answer: Answer) -> Self {
        self.after_at(put, Dioptres::new(0.0), answer)
    }

    /// The same where clicks count from another lens than balance does, one so much to plus of it, to the nearest 0.05 D.
    #[must_use]
    pub fn after_at(self, put: Put, moved: Dioptres, answer: Answer) -> Self {
        let (likelihood, moved) = (self.likelihood, grid::nearest(moved));
        self.weighed(|place| likelihood.chances(put, answer, place - moved), |chance| chance)
    }

    /// The same belief, of which another line is asked from now on: by its chances, of the same patients in the same eye.
    #[must_use]
    pub(in crate::balance) fn asked_by(self, likelihood: &'a Likelihood) -> Self {
        Self { likelihood, ..self }
    }

    /// After it was said whether a line on white can be read through a lens, or a larger one. Where an eye accommodates it changes
    /// nothing, and where no patient says so, wherever balance lies.
    #[must_use]
    pub fn after_limit(self, lens: (Clicks, bool), answer: Legible) -> Self {
        self.after_limit_at(lens, Dioptres::new(0.0), answer)
    }

    /// The same where clicks count from another lens, as in [`Self::after_at`].
    #[must_use]
    pub fn after_limit_at(self, (clicks, larger): (Clicks, bool), moved: Dioptres, answer: Legible) -> Self {
        let (likelihood, moved) = (self.likelihood, grid::nearest(moved));
        let reads = |place| likelihood.reads(clicks, larger, place - moved);
        match (likelihood.accommodates(), answer) {
            (true, _) => self,
            (false, Legible::Read) => self.weighed(reads, |read| read),
            (false, Legible::Lost) => self.weighed(reads, |read| 1.0 - read),
        }
    }

    /// With the weights of each place times chances that are taken from a row of a table, by patient, unless that leaves nothing.
    fn weighed<'r>(mut self, row: impl Fn(i32) -> &'r [f64], chance: impl Fn(f64) -> f64) -> Self {
        let patients = self.likelihood.shares().len();
        let rows = grid::places().zip(self.weights.chunks_exact(patients));
        let total: f64 = rows.map(|(place, weights)| dot_with(weights, row(place), &chance)).sum();
        if total > f64::MIN_POSITIVE {
            // Finite, since the total is no subnormal number. A product is a fraction of a quotient's work.
            let scale = total.recip();
            for (place, weights) in grid::places().zip(self.weights.chunks_exact_mut(patients)) {
                for (weight, one) in weights.iter_mut().zip(row(place)) {
                    *weight *= chance(*one) * scale;
                }
            }
        }
        self
    }

    /// Where balance lies.
    #[must_use]
    pub fn estimate(&self) -> Estimate {
        let (balance, sd) = self.mean_and_sd();
        let days: Vec<_> = self.likely_days().collect();
        let [low, high] = [TAIL, 1.0 - TAIL].map(|share| with_below(&days, share));
        Estimate { balance, low, high, sd }
    }

    /// The mean and the SD of the eye's balance.
    pub(super) fn mean_and_sd(&self) -> (Dioptres, Dioptres) {
        let sums = self.likely_days().fold(Sums::default(), |sums, (day, chance)| sums.with(chance, day.eye));
        (Dioptres::new(sums.mean_d()), Dioptres::new(sums.squares_d2().sqrt()))
    }

    /// Whether the eye can focus by itself.
    #[must_use]
    pub const fn accommodates(&self) -> bool {
        self.likelihood.accommodates()
    }

    /// How likely balance lies within a click of 0.25 D of a lens, to either side: 0 to 1. The lens counts from where clicks do.
    #[must_use]
    pub fn within_a_click_of(&self, lens: Dioptres) -> f64 {
        let days: Vec<_> = self.likely_days().collect();
        let [minus, plus] = [-CLICK_D, CLICK_D].map(|click| share_below(&days, lens.to_d() + click));
        plus - minus
    }

    /// All places of the day's balance.
    pub(super) fn days(&self) -> impl Iterator<Item = Day<'_>> {
        let rows = self.weights.chunks_exact(self.likelihood.shares().len());
        let places = grid::places().zip(&self.eyes).zip(rows);
        places.map(|((place, eye), weights)| Day { place, eye, weights })
    }

    /// Those that are not all but impossible, each with how likely it is, whoever is asked.
    pub(super) fn likely_days(&self) -> impl Iterator<Item = (Day<'_>, f64)> {
        self.days().map(|day| (day, sum(day.weights))).filter(|(_, chance)| *chance > UNLIKELY)
    }
}

/// The share of eyes whose balance lies below this, in dioptres.
fn share_below(days: &[(Day<'_>, f64)], at_d: f64) -> f64 {
    days.iter().map(|(day, chance)| chance * day.eye.share_below(at_d)).sum()
}

/// The balance that this share of eyes lies below.
fn with_below(days: &[(Day<'_>, f64)], share: f64) -> Dioptres {
    let (mut low, mut high) = (-BOUND_D, BOUND_D);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if share_below(days, middle) < share { low = middle } else { high = middle }
    }
    Dioptres::new(f64::midpoint(low, high))
}

impl Sums {
    /// With what a place says of the eye and how likely it is.
    pub(super) fn with(self, chance: f64, eye: &EyeOfDay) -> Self {
        let Self([chances, places, squares]) = self;
        Self([chances + chance, places + chance * eye.mean_d, squares + chance * eye.square_d2])
    }

    /// The mean in dioptres, nought without any.
    fn mean_d(self) -> f64 {
        self.0[1] / self.0[0].max(f64::MIN_POSITIVE)
    }

    /// The variance in square dioptres, times the chance: the sum of squares about the mean.
    pub(super) fn squares_d2(self) -> f64 {
        (self.0[2] - self.0[1] * self.mean_d()).max(0.0)
    }
}

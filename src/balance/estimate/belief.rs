//! What is believed of balance after the answers.

use super::grid;
use super::likelihood::Likelihood;
use super::prior::Prior;
use crate::balance::normal::share_below;
use crate::balance::{Answer, Put};
use crate::eye::CLICK_D;
use crate::quantity::Dioptres;

/// The share of eyes below the interval, and as many above it.
const TAIL: f64 = 0.025;

/// No interval reaches beyond this, in dioptres: the grid and a dioptre and a half.
const BOUND_D: f64 = 4.0;

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
    prior: Prior,
    /// By place of the day's balance, then by patient; together 1.
    weights: Vec<f64>,
}

/// One place of the day's balance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Day<'a> {
    /// Where on the grid.
    pub(super) place: i32,
    /// How likely each patient is there.
    pub(super) weights: &'a [f64],
}

/// Sums of a chance, of its places and of their squares.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Sums([f64; 3]);

impl<'a> Belief<'a> {
    /// Before the first answer.
    #[must_use]
    pub fn before(likelihood: &'a Likelihood, prior: Prior) -> Self {
        let variance = prior.sd_d().powi(2) + likelihood.offset_sd_d().powi(2);
        let chance = |place: i32| (-(grid::to_d(place) - prior.mean_d()).powi(2) / (2.0 * variance)).exp();
        let day = |place: i32| {
            let chance = chance(place);
            likelihood.shares().iter().map(move |share| chance * share)
        };
        let mut belief = Self { likelihood, prior, weights: Vec::new() };
        belief.set(grid::places().flat_map(day).collect());
        belief
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
    pub fn after(mut self, put: Put, answer: Answer) -> Self {
        let mut weighed = Vec::with_capacity(self.weights.len());
        for day in self.days() {
            let chances = self.likelihood.chances(put, answer, day.place);
            weighed.extend(day.weights.iter().zip(chances).map(|(weight, chance)| weight * chance));
        }
        self.set(weighed);
        self
    }

    /// Takes these weights, which need not be 1 together, unless there is nothing in them.
    fn set(&mut self, mut weights: Vec<f64>) {
        let total: f64 = weights.iter().sum();
        if total > f64::MIN_POSITIVE {
            weights.iter_mut().for_each(|weight| *weight /= total);
            self.weights = weights;
        }
    }

    /// Where balance lies.
    #[must_use]
    pub fn estimate(&self) -> Estimate {
        let (balance, sd) = self.mean_and_sd();
        let places = self.places();
        let [low, high] = [TAIL, 1.0 - TAIL].map(|share| self.with_below(&places, share));
        Estimate { balance, low, high, sd }
    }

    /// The mean and the SD of the eye's balance.
    pub(super) fn mean_and_sd(&self) -> (Dioptres, Dioptres) {
        let day =
            self.places().into_iter().fold(Sums::default(), |sums, (place, chance)| sums.with(chance, place));
        (Dioptres::new(self.of_eye(day.mean_d())), self.sd_of_eye(day.squares_d2()))
    }

    /// Whether the eye can focus by itself.
    #[must_use]
    pub const fn accommodates(&self) -> bool {
        self.likelihood.accommodates()
    }

    /// How likely balance lies within a click of 0.25 D of a lens, to either side: 0 to 1. The lens counts from where clicks do.
    #[must_use]
    pub fn within_a_click_of(&self, lens: Dioptres) -> f64 {
        let places = self.places();
        let [minus, plus] = [-CLICK_D, CLICK_D].map(|click| self.share_below(&places, lens.to_d() + click));
        plus - minus
    }

    /// All places of the day's balance.
    pub(super) fn days(&self) -> impl Iterator<Item = Day<'_>> {
        let rows = self.weights.chunks_exact(self.likelihood.shares().len());
        grid::places().zip(rows).map(|(place, weights)| Day { place, weights })
    }

    /// The same with how likely each is, whoever is asked; what is unlikely is left out.
    fn places(&self) -> Vec<(i32, f64)> {
        self.likely_days().map(|(day, chance)| (day.place, chance)).collect()
    }

    /// Those that are not all but impossible, each with how likely it is, whoever is asked.
    pub(super) fn likely_days(&self) -> impl Iterator<Item = (Day<'_>, f64)> {
        self.days().map(|day| (day, day.weights.iter().sum())).filter(|(_, chance)| *chance > UNLIKELY)
    }

    /// How much of what moves the day's balance is the eye's own: the share of the prior's variance.
    fn own(&self) -> f64 {
        let [eye, day] = [self.prior.sd_d(), self.likelihood.offset_sd_d()].map(|sd| sd * sd);
        eye / (eye + day)
    }

    /// The eye's balance, in the mean, where the day's lies here.
    fn of_eye(&self, day_d: f64) -> f64 {
        self.prior.mean_d() + self.own() * (day_d - self.prior.mean_d())
    }

    /// And its SD where the day's is not known but has this variance, in square dioptres.
    pub(super) fn sd_of_eye(&self, day_d2: f64) -> Dioptres {
        let offset = self.likelihood.offset_sd_d();
        Dioptres::new((self.own().powi(2) * day_d2 + self.own() * offset * offset).sqrt())
    }

    /// The share of eyes whose balance lies below this, in dioptres.
    fn share_below(&self, places: &[(i32, f64)], at_d: f64) -> f64 {
        // A grid knows no place more closely than half a step.
        let sd = self.sd_of_eye(0.0).to_d().max(grid::STEP_D / 2.0);
        let below = |place: i32| share_below((at_d - self.of_eye(grid::to_d(place))) / sd);
        places.iter().map(|(place, chance)| chance * below(*place)).sum()
    }

    /// The balance that this share of eyes lies below.
    fn with_below(&self, places: &[(i32, f64)], share: f64) -> Dioptres {
        let (mut low, mut high) = (-BOUND_D, BOUND_D);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if self.share_below(places, middle) < share { low = middle } else { high = middle }
        }
        Dioptres::new(f64::midpoint(low, high))
    }
}

impl Sums {
    /// With a place and how likely it is.
    pub(super) fn with(self, chance: f64, place: i32) -> Self {
        let at = grid::to_d(place);
        let Self([chances, places, squares]) = self;
        Self([chances + chance, places + chance * at, squares + chance * at * at])
    }

    /// The mean place in dioptres, nought without any.
    fn mean_d(self) -> f64 {
        self.0[1] / self.0[0].max(f64::MIN_POSITIVE)
    }

    /// The variance in square dioptres, times the chance: the sum of squares about the mean.
    pub(super) fn squares_d2(self) -> f64 {
        (self.0[2] - self.0[1] * self.mean_d()).max(0.0)
    }
}

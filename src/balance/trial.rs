//! Many runs with simulated patients, and their statistics.
//!
//! What it is for: to compare ways of asking on one and the same patients, who meet the same chance whichever way they are asked.
//! What it is not: evidence about real eyes. Habit, tiredness and colour are left out, and most of a patient's numbers are
//! assumed ([`Patient`] says which).

use serde::Serialize;

use super::asking::Asking;
use super::clarity_table::ClarityTable;
use super::estimate::{FAR_OFF_ONE_IN, FAR_OFF_SD};
use super::patient::{Drawn, Luck, Patient, Sight};
use super::run::End;
use super::variety;
use crate::eye::{CLICK_D, Seen};
use crate::quantity::Dioptres;

/// More than a click too minus and too plus behind 1.6 mm, in whole per cent of simulated eyes, the manifest left in where nothing is
/// decided: customary, then bracket. On the demo room, 20/32, manifests of SD 0.25 D, 4000 patients each, seed 1; a test trial comes to the same.
pub(super) const AT_1_6_MM: [[u32; 2]; 2] = [[19, 12], [11, 20]];

/// The aperture of these figures in millimetres.
pub(super) const AT_MM: f64 = 1.6;

/// A manifest is refined on white, so it is off white's best by a normal chance of one of these SDs, in dioptres: 0.15 is
/// what [repeated refractions](crate::bibliography::ROSENFIELD_CHIU_1995) spread by; the others are this project's own, for
/// manifests that an instrument was misled in.
pub const MANIFEST_SDS_D: [f64; 3] = [0.15, 0.25, 0.35];

/// What lies a hair beyond a click is not counted as more than a click.
const HAIR_D: f64 = 1e-9;

/// The ends at which no lens is decided on.
const NOT_DECIDED: [End; 5] =
    [End::Contradicted, End::CouldNotTell, End::FollowedTheSide, End::ManifestStands, End::TooMuchMinus];

/// Many runs with simulated patients, each a fresh one who differs from a typical one, by one way of asking.
///
/// It prints nothing and reads no clock. The same trial gives the same numbers: run by run, whatever is run before.
#[derive(Debug, Clone, Copy)]
pub struct Trial<'a> {
    /// Who asks.
    pub asking: &'a Asking<'a>,
    /// The typical patient; whether the eye accommodates should be as in the rules.
    pub patient: Patient,
    /// What is seen behind pupils of an eye: each run meets one of them, all as often.
    pub pupils: &'a [Pupils],
    /// The SD by which manifests are off white's best.
    pub manifest_sd: Dioptres,
    /// Whether one manifest in [`FAR_OFF_ONE_IN`] is off by [`FAR_OFF_SD`] instead.
    pub some_far_off: bool,
    /// How far answers lean to red, in noticeable steps: nought where both fields are equally bright.
    pub lean: f64,
    /// What all chance comes from.
    pub seed: u64,
}

/// What is seen behind one pupil, in the line that is asked and in a larger one for who cannot tell.
#[derive(Debug, Clone, PartialEq)]
pub struct Pupils {
    /// The line.
    pub line: ClarityTable,
    /// The larger one; without it the same line is asked again.
    pub larger: Option<ClarityTable>,
}

/// How one run went, in dioptres. Minus means a lens that is too minus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// By how much the manifest was off balance.
    pub start: Dioptres,
    /// How it ended.
    pub end: End,
    /// The lens that is in at the end, off the model's balance: the manifest's where none was decided on.
    pub off: Dioptres,
    /// By how much white's best lies to minus of balance.
    pub white: Dioptres,
    /// How many questions it took.
    pub questions: u32,
    /// Whether the estimate's 95 % interval held the eye's balance, where an estimate was made.
    pub held: Option<bool>,
}

/// What many runs came to.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Statistics {
    /// How many runs.
    pub runs: u32,
    /// How many of them decided on a lens.
    pub decided: u32,
    /// Where all lenses that were left in lie against the model's red-green balance, the manifest where none was decided on.
    pub balance: Moments,
    /// And against where white is clearest.
    pub white: Moments,
    /// Where the manifests lay, against balance and against best white.
    pub manifest: [Moments; 2],
    /// How many runs ended in each way that decides nothing.
    pub not_decided: Vec<(End, u32)>,
    /// How many questions a run took on average.
    pub mean_questions: f64,
    /// In which share of runs the estimate's 95 % interval held balance; none where none was made.
    pub held: Option<f64>,
}

/// Where lenses lie, in dioptres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Moments {
    /// How many.
    pub count: u32,
    /// Their mean; nought where there are none.
    pub mean_d: f64,
    /// Their standard deviation, of the sample; nought where there are fewer than two.
    pub sd_d: f64,
    /// The root of the mean of their squares: how far off they are, leaning and spread together.
    pub rms_d: f64,
    /// How many lie more than a click of 0.25 D to minus.
    pub too_minus: u32,
    /// How many lie more than a click of 0.25 D to plus.
    pub too_plus: u32,
}

impl Sight for Pupils {
    fn seen(&self, lens_error: Dioptres, larger: bool) -> Seen {
        let larger = self.larger.as_ref().filter(|_| larger);
        larger.unwrap_or(&self.line).seen(lens_error)
    }

    fn white(&self, lens_error: Dioptres, larger: bool) -> f64 {
        let larger = self.larger.as_ref().filter(|_| larger);
        larger.unwrap_or(&self.line).white_legibility(lens_error)
    }
}

impl Trial<'_> {
    /// One run, by its number.
    #[must_use]
    pub fn one(&self, number: u32) -> Outcome {
        let mut luck = self.patient.luck(self.seed, u64::from(number));
        let patient = variety::drawn(&self.patient, &mut luck);
        let pupils = self.pupils.len();
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "rounded down, below the number of pupils"
        )]
        let place = ((luck.uniform() * pupils as f64) as usize).min(pupils.saturating_sub(1));
        let seen = &self.pupils[place];
        let is_far_off = self.some_far_off && luck.uniform() * f64::from(FAR_OFF_ONE_IN) < 1.0;
        let sd = if is_far_off { FAR_OFF_SD } else { self.manifest_sd };
        let start = seen.line.white() + Dioptres::new(luck.normal(sd.to_d()));
        self.with(Drawn { lean: self.lean, ..Drawn::new(luck.of(patient), start) }, seen)
    }

    /// One run with a patient who sees so.
    #[must_use]
    pub fn with(&self, mut patient: Drawn<Luck>, seen: &Pupils) -> Outcome {
        let start = patient.start - seen.line.balance();
        let asked = self.asking.ask(seen, &mut patient);
        Outcome {
            start,
            end: asked.end,
            off: start + asked.left_in.to_dioptres(),
            white: seen.line.white() - seen.line.balance(),
            questions: count(0..asked.questions),
            held: asked.estimate.map(|estimate| (estimate.low..=estimate.high).contains(&-start)),
        }
    }

    /// This many runs, numbered from nought. What is called after each is told how many are done.
    pub fn statistics(&self, runs: u32, mut done: impl FnMut(u32)) -> Statistics {
        let outcomes = (0..runs).map(|number| {
            let outcome = self.one(number);
            done(number + 1);
            outcome
        });
        Statistics::of(&outcomes.collect::<Vec<_>>())
    }
}

impl Statistics {
    /// Of these runs.
    ///
    /// ```
    /// # use evenfield::balance::{End, Outcome, Statistics};
    /// # use evenfield::quantity::Dioptres;
    /// // Two runs that kept the manifest, −0.50 and +0.10 D off after three and five questions. Worked by hand: mean −0.20,
    /// // SD of the sample √(0.3² + 0.3²) = 0.42426 D, RMS √(0.26/2) = 0.36056 D, one more than a click too minus, four
    /// // questions a run. White's best lies 0.1 D to minus of balance, so of it they are −0.40 and +0.20 D off.
    /// const LAST_DIGIT: f64 = 1e-5;
    /// let run = |off, questions| Outcome {
    ///     start: Dioptres::new(off), end: End::ManifestStands, off: Dioptres::new(off), white: Dioptres::new(-0.1), questions, held: None,
    /// };
    /// let statistics = Statistics::of(&[run(-0.5, 3), run(0.1, 5)]);
    /// assert!((statistics.balance.mean_d + 0.2).abs() < LAST_DIGIT && (statistics.balance.sd_d - 0.42426).abs() < LAST_DIGIT);
    /// assert!((statistics.balance.rms_d - 0.36056).abs() < LAST_DIGIT && (statistics.white.mean_d + 0.1).abs() < LAST_DIGIT);
    /// assert_eq!((statistics.balance.too_minus, statistics.balance.too_plus, statistics.decided), (1, 0, 0));
    /// assert!((statistics.mean_questions - 4.0).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn of(outcomes: &[Outcome]) -> Self {
        let off = |of: &dyn Fn(&Outcome) -> Dioptres| {
            Moments::of(&outcomes.iter().map(|one| of(one).to_d()).collect::<Vec<_>>())
        };
        let runs = count(outcomes.iter());
        let questions: u32 = outcomes.iter().map(|one| one.questions).sum();
        let held: Vec<bool> = outcomes.iter().filter_map(|one| one.held).collect();
        let share = |of: u32| f64::from(of) / f64::from(runs.max(1));
        Self {
            runs,
            decided: count(outcomes.iter().filter(|one| matches!(one.end, End::Lens { .. }))),
            balance: off(&|one| one.off),
            white: off(&|one| one.off - one.white),
            manifest: [off(&|one| one.start), off(&|one| one.start - one.white)],
            not_decided: NOT_DECIDED
                .map(|end| (end, count(outcomes.iter().filter(|one| one.end == end))))
                .to_vec(),
            mean_questions: f64::from(questions) / f64::from(runs.max(1)),
            held: (!held.is_empty()).then(|| share(count(held.iter().filter(|held| **held)))),
        }
    }
}

impl Moments {
    fn of(off: &[f64]) -> Self {
        let number = count(off.iter());
        // From +0: the sum of nothing would be −0.
        let of_all = f64::from(number.max(1));
        let mean = off.iter().fold(0.0, |sum, one| sum + one) / of_all;
        let squares = off.iter().fold(0.0, |sum, one| sum + (one - mean).powi(2));
        Self {
            count: number,
            mean_d: mean,
            sd_d: (squares / f64::from(number.max(2) - 1)).sqrt(),
            rms_d: (mean * mean + squares / of_all).sqrt(),
            too_minus: count(off.iter().filter(|one| **one < -CLICK_D - HAIR_D)),
            too_plus: count(off.iter().filter(|one| **one > CLICK_D + HAIR_D)),
        }
    }
}

/// How many; a trial has fewer runs than a `u32` counts.
fn count<T>(items: impl Iterator<Item = T>) -> u32 {
    items.fold(0, |count, _| count + 1)
}

#[cfg(test)]
mod tests;

//! Many runs with simulated patients, and their statistics.
//!
//! What it is for: to compare ways of asking on one and the same patients, who meet the same chance whichever way they are asked.
//! What it is not: evidence about real eyes. Habit, tiredness and colour are left out, and most of a patient's numbers are
//! assumed ([`Patient`] says which).

use serde::ser::SerializeSeq as _;
use serde::{Serialize, Serializer};

use super::clarity_table::ClarityTable;
use super::patient::{Drawn, Luck, Patient, Sight};
use super::rules::Rules;
use super::run::{End, Run};
use crate::eye::{CLICK_D, Seen};
use crate::quantity::Dioptres;

/// More than a click too minus and too plus behind 1.6 mm, in whole per cent of the simulated eyes that were decided:
/// customary, then bracket. On the demo room, 20/32, 10,000 patients each, seed 1; a test trial comes to the same.
pub(super) const AT_1_6_MM: [[u32; 2]; 2] = [[22, 11], [11, 21]];

/// The aperture of these figures in millimetres.
pub(super) const AT_MM: f64 = 1.6;

/// Manifests are wrong by any chance up to this, in dioptres, to either side: this project's own trial.
const START_WITHIN_D: f64 = 0.5;

/// What lies a hair beyond a click is not counted as more than a click.
const HAIR_D: f64 = 1e-9;

/// The ends at which no lens is decided on.
const NOT_DECIDED: [End; 5] =
    [End::Contradicted, End::CouldNotTell, End::FollowedTheSide, End::ManifestStands, End::TooMuchMinus];

/// What files of trials still count, though no run can end so: rules that no eye may be asked by cannot be made.
const NEVER: (&str, u32) = ("bracket_refused", 0);

/// Many runs with simulated patients, each a fresh one, by one set of rules.
///
/// It prints nothing and reads no clock. The same trial gives the same numbers: run by run, whatever is run before.
#[derive(Debug, Clone, Copy)]
pub struct Trial<'a> {
    /// How each run goes.
    pub rules: Rules,
    /// The patient; whether the eye accommodates should be as in the rules.
    pub patient: Patient,
    /// What is seen in the line that is asked.
    pub line: &'a ClarityTable,
    /// What is seen in a larger line, for who cannot tell; without one the same line is asked again.
    pub larger: Option<&'a ClarityTable>,
    /// What all chance comes from.
    pub seed: u64,
}

/// How one run went.
///
/// Minus in [`off`](Self::off) means a lens that is too minus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// By how much the manifest was wrong.
    pub start: Dioptres,
    /// How it ended.
    pub end: End,
    /// The lens error of the lens that is in at the end, minus the model's balance: the manifest's where none was decided on.
    pub off: Dioptres,
    /// How many questions it took.
    pub questions: u32,
}

/// What many runs came to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Statistics {
    /// How many runs.
    pub runs: u32,
    /// Where the lenses lie that were decided on.
    pub decided: Moments,
    /// Where manifests lie that were kept: by their own end, or for too much minus.
    pub kept: Moments,
    /// How many runs ended in each way that decides nothing.
    #[serde(serialize_with = "with_never")]
    pub not_decided: Vec<(End, u32)>,
    /// How many questions a run took on average.
    pub mean_questions: f64,
}

/// Where lenses lie against the model's balance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Moments {
    /// How many.
    pub count: u32,
    /// Their mean in dioptres; nought where there are none.
    pub mean_d: f64,
    /// Their standard deviation in dioptres, of the sample; nought where there are fewer than two.
    pub sd_d: f64,
    /// How many lie more than a click of 0.25 D to minus.
    pub too_minus: u32,
    /// How many lie more than a click of 0.25 D to plus.
    pub too_plus: u32,
}

impl Sight for Trial<'_> {
    fn seen(&self, lens_error: Dioptres, larger: bool) -> Seen {
        let larger = self.larger.filter(|_| larger);
        larger.unwrap_or(self.line).seen(lens_error)
    }
}

impl Trial<'_> {
    /// One run, by its number: the manifest is wrong by an even chance within half a dioptre.
    #[must_use]
    pub fn one(&self, number: u32) -> Outcome {
        let mut luck = self.patient.luck(self.seed, u64::from(number));
        let start = START_WITHIN_D * (2.0 * luck.uniform() - 1.0);
        self.with(Drawn::new(luck, Dioptres::new(start)))
    }

    /// One run with a patient.
    #[must_use]
    pub fn with(&self, mut patient: Drawn<Luck>) -> Outcome {
        let ran = Run::new(self.rules).with(|put| patient.answer(self, put));
        let off = patient.start + ran.left_in().to_dioptres() - self.line.balance();
        let questions = count(ran.asked.iter());
        Outcome { start: patient.start, end: ran.end, off, questions }
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
    /// // SD of the sample √(0.3² + 0.3²) = 0.42426 D, one more than a click too minus, four questions a run.
    /// const LAST_DIGIT: f64 = 1e-5;
    /// let run = |off, questions| Outcome { start: Dioptres::new(0.0), end: End::ManifestStands, off: Dioptres::new(off), questions };
    /// let statistics = Statistics::of(&[run(-0.5, 3), run(0.1, 5)]);
    /// assert!((statistics.kept.mean_d + 0.2).abs() < LAST_DIGIT && (statistics.kept.sd_d - 0.42426).abs() < LAST_DIGIT);
    /// assert_eq!((statistics.kept.too_minus, statistics.kept.too_plus, statistics.decided.count), (1, 0, 0));
    /// assert!((statistics.mean_questions - 4.0).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn of(outcomes: &[Outcome]) -> Self {
        let off = |of: &dyn Fn(End) -> bool| {
            let some: Vec<f64> =
                outcomes.iter().filter(|one| of(one.end)).map(|one| one.off.to_d()).collect();
            Moments::of(&some)
        };
        let runs = count(outcomes.iter());
        let questions: u32 = outcomes.iter().map(|one| one.questions).sum();
        Self {
            runs,
            decided: off(&|end| matches!(end, End::Lens { .. })),
            kept: off(&|end| matches!(end, End::ManifestStands | End::TooMuchMinus)),
            not_decided: NOT_DECIDED
                .map(|end| (end, count(outcomes.iter().filter(|one| one.end == end))))
                .to_vec(),
            mean_questions: f64::from(questions) / f64::from(runs.max(1)),
        }
    }
}

impl Moments {
    fn of(off: &[f64]) -> Self {
        let number = count(off.iter());
        // From +0: the sum of nothing would be −0.
        let mean = off.iter().fold(0.0, |sum, one| sum + one) / f64::from(number.max(1));
        let squares = off.iter().fold(0.0, |sum, one| sum + (one - mean).powi(2));
        Self {
            count: number,
            mean_d: mean,
            sd_d: (squares / f64::from(number.max(2) - 1)).sqrt(),
            too_minus: count(off.iter().filter(|one| **one < -CLICK_D - HAIR_D)),
            too_plus: count(off.iter().filter(|one| **one > CLICK_D + HAIR_D)),
        }
    }
}

/// The ways that decide nothing as files have them.
fn with_never<S: Serializer>(ends: &[(End, u32)], to: S) -> Result<S::Ok, S::Error> {
    let mut all = to.serialize_seq(Some(ends.len() + 1))?;
    ends.iter().try_for_each(|one| all.serialize_element(one))?;
    all.serialize_element(&NEVER)?;
    all.end()
}

/// How many; a trial has fewer runs than a `u32` counts.
fn count<T>(items: impl Iterator<Item = T>) -> u32 {
    items.fold(0, |count, _| count + 1)
}

#[cfg(test)]
mod tests;

//! The simulated patient: its chance, its accommodation and its judgement, in one place.
//!
//! A simulated patient is a judgement of how many noticeable steps red is clearer than green, and some chance: its focus is off for the run, wavers from answer to
//! answer, the comparison wavers as well, and now and then it answers without looking. One function judges, for trials, pages
//! and slides alike.

use std::fmt;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, StandardNormal, StandardUniform};

use super::answer::{Answer, Legible};
use super::clicks::Clicks;
use super::judgement::{Chance, Judgement, READ_SD_LOG10};
use super::run::Put;
use crate::eye::Seen;
use crate::light::Side;
use crate::quantity::Dioptres;

/// An eye's focus differs from day to day: a whole run is off by a chance of this SD, in dioptres. Assumed; with all else
/// here it makes runs spread as [repeated refractions](crate::bibliography::ROSENFIELD_CHIU_1995) do.
const OFFSET_SD_D: f64 = 0.10;

/// Focus wavers from answer to answer by a chance of this SD, in dioptres: in an eye that does not accommodate, which wavers by
/// its pupil and by how the head is held, and in one that does. Both assumed: no source at hand measured either.
const JITTER_SD_D: f64 = 0.05;
const ACCOMMODATING_JITTER_SD_D: f64 = 0.10;

/// The comparison itself wavers by this SD, in steps that are [noticed](crate::eye::NOTICED). Assumed; where lenses end behind 3 to 5 mm
/// hardly depends on it.
const NOISE_SD: f64 = 1.0;

/// Up to this many steps that are [noticed](crate::eye::NOTICED) to either side the sides are the same: 0.06 D behind 3 mm.
pub const SAME_WITHIN: f64 = 1.0;

/// One answer in a hundred is given without looking. Assumed.
const LAPSES: f64 = 0.01;

/// The share of the minus that an eye takes up: [from memory](crate::bibliography::ACCOMMODATION_SLOPE).
const SLOPE: f64 = 0.8;

/// And no more than this, in dioptres. Assumed, far more than any run gives.
const AMPLITUDE_D: f64 = 4.0;

/// How a simulated patient answers: the numbers of its chance and of its judgement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patient {
    /// A whole run's focus is off by a normal chance of this SD: 0.10 D, assumed.
    pub offset_sd: Dioptres,
    /// And each answer's by one of this SD: 0.05 D, and 0.10 D in an eye that accommodates; assumed.
    pub jitter_sd: Dioptres,
    /// The SD of the comparison, in steps that are [noticed](crate::eye::NOTICED): one, assumed.
    pub noise_sd: f64,
    /// Up to this many steps that are [noticed](crate::eye::NOTICED) to either side the answer is "same": one.
    pub same_within: f64,
    /// The least legibility that is read, 1 by definition: see [`Judgement::legible_from`].
    pub legible_from: f64,
    /// How far answers lean to whichever colour lies on the patient's left, in noticeable steps; minus: on the right. Nought.
    pub leans_left: f64,
    /// The share of answers that are red, green or "same" at random: 0.01, assumed.
    pub lapses: f64,
    /// Whether and how the eye focuses by itself.
    pub accommodation: Option<Accommodation>,
}

/// How an eye focuses by itself. Assumed, and simple: in plus it is relaxed, in minus it takes up a share of the minus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accommodation {
    /// The share of the minus that it takes up: 0.8, [from memory](crate::bibliography::ACCOMMODATION_SLOPE).
    pub slope: f64,
    /// The most that it takes up: 4 D, assumed.
    pub amplitude: Dioptres,
    /// Whether an answer coming down from plus is given before it does so, as fogging intends. Assumed so, since lenses then
    /// spread by 0.14 D and otherwise by 0.20 D, against 0.15 D in
    /// [repeated refractions](crate::bibliography::ROSENFIELD_CHIU_1995).
    pub relaxed_from_plus: bool,
}

impl Accommodation {
    /// An eye that fog relaxes until the answer.
    #[must_use]
    pub const fn typical() -> Self {
        Self { slope: SLOPE, amplitude: Dioptres::new(AMPLITUDE_D), relaxed_from_plus: true }
    }

    /// The worse case: it takes up the minus before it answers, fog or not.
    #[must_use]
    pub const fn restless() -> Self {
        Self { relaxed_from_plus: false, ..Self::typical() }
    }

    /// The lens error that is left of this one.
    ///
    /// Plus is never taken up: an eye can only add power. `from_plus` says that the answer comes on the way down from plus.
    ///
    /// ```
    /// # use evenfield::{balance::Accommodation, quantity::Dioptres};
    /// // Worked by hand: of −1.00 D it takes up 0.80, of −10.00 D no more than 4; plus, and minus after fog, it leaves.
    /// const BINARY_DUST: f64 = 1e-9;
    /// let eye = Accommodation::typical();
    /// for (lens_error, from_plus, left) in [(-1.0, false, -0.2), (-10.0, false, -6.0), (0.5, false, 0.5), (-1.0, true, -1.0)] {
    ///     assert!((eye.left(Dioptres::new(lens_error), from_plus).to_d() - left).abs() < BINARY_DUST);
    /// }
    /// ```
    #[must_use]
    pub fn left(&self, lens_error: Dioptres, from_plus: bool) -> Dioptres {
        if from_plus && self.relaxed_from_plus {
            return lens_error;
        }
        let taken_up = (self.slope * -lens_error.to_d()).clamp(0.0, self.amplitude.to_d());
        Dioptres::new(lens_error.to_d() + taken_up)
    }
}

impl Patient {
    /// A patient as they come, with an eye that does not accommodate.
    #[must_use]
    pub const fn typical() -> Self {
        Self {
            offset_sd: Dioptres::new(OFFSET_SD_D),
            jitter_sd: Dioptres::new(JITTER_SD_D),
            noise_sd: NOISE_SD,
            same_within: SAME_WITHIN,
            legible_from: 1.0,
            leans_left: 0.0,
            lapses: LAPSES,
            accommodation: None,
        }
    }

    /// One as they come with an eye that accommodates, whose focus wavers more.
    #[must_use]
    pub const fn accommodating(accommodation: Accommodation) -> Self {
        let jitter_sd = Dioptres::new(ACCOMMODATING_JITTER_SD_D);
        Self { jitter_sd, ..Self::typical() }.with_accommodation(accommodation)
    }

    /// One without chance, who judges as the typical one.
    #[must_use]
    pub const fn noiseless() -> Self {
        let still = Dioptres::new(0.0);
        Self { offset_sd: still, jitter_sd: still, noise_sd: 0.0, lapses: 0.0, ..Self::typical() }
    }

    /// The same with an eye that accommodates.
    #[must_use]
    pub const fn with_accommodation(self, accommodation: Accommodation) -> Self {
        Self { accommodation: Some(accommodation), ..self }
    }

    /// How it judges a question with red on this side; where that is not known, no side is leant to.
    #[must_use]
    pub fn judgement(&self, red: Option<Side>) -> Judgement {
        let Self { same_within, noise_sd, legible_from, leans_left, lapses, .. } = *self;
        let lean = red.map_or(0.0, |red| if red == Side::Left { leans_left } else { -leans_left });
        Judgement { same_within, noise_sd, legible_from, lean, lapses }
    }

    /// The lens error that accommodation leaves of this one: see [`Accommodation::left`].
    #[must_use]
    pub fn left(&self, lens_error: Dioptres, from_plus: bool) -> Dioptres {
        self.accommodation.map_or(lens_error, |eye| eye.left(lens_error, from_plus))
    }

    /// Chance for one run: how far its focus is off, and then what each answer meets. The same seed and stream give the same.
    #[must_use]
    pub fn luck(self, seed: u64, stream: u64) -> Luck {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        random.set_stream(stream);
        let mut luck = Luck { patient: self, random, offset: Dioptres::new(0.0) };
        luck.offset = Dioptres::new(luck.normal(self.offset_sd.to_d()));
        luck
    }
}

impl fmt::Display for Patient {
    /// Its numbers, each with what it rests on.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        use crate::bibliography::{ACCOMMODATION_SLOPE, BLUR_STEP_1989, ROSENFIELD_CHIU_1995};
        write!(
            f,
            "Each patient: focus off by {:.2} D (SD) for the run [assumed, so that ends spread as {ROSENFIELD_CHIU_1995} have it, 0.15 D], \
            and by {:.2} D for each answer, {ACCOMMODATING_JITTER_SD_D:.2} D where it accommodates [assumed]; “same” within ±{:.1} noticeable step, 0.06 D at 3 mm [{BLUR_STEP_1989}], \
            judged with an SD of {:.1} step [assumed]; how clear a line on white has to be wavers by {READ_SD_LOG10:.1} of its decimal logarithm (SD) [assumed]; {:.0} % of answers at random [assumed]. \
            An eye that accommodates takes up {SLOPE} of any minus, up to {AMPLITUDE_D:.0} D [{ACCOMMODATION_SLOPE}], except while fog lasts.",
            self.offset_sd.to_d(),
            self.jitter_sd.to_d(),
            self.same_within,
            self.noise_sd,
            self.lapses * 100.0
        )
    }
}

/// What an eye makes of a line of letters before one screen.
///
/// Implemented by whatever can be looked at: a table of clarities, a curve, or a rule made up for a test.
pub trait Sight {
    /// What is seen of both sides at a lens error, in the line that is asked or in a larger one.
    fn seen(&self, lens_error: Dioptres, larger: bool) -> Seen;

    /// How legible that line is on white, as a multiple of what a typical patient needs.
    fn white(&self, lens_error: Dioptres, larger: bool) -> f64;
}

/// Chance for one run, answer by answer and without an end. Every answer takes the same from it, used or not, so that two ways
/// of asking meet the same patient.
#[derive(Debug, Clone)]
pub struct Luck {
    patient: Patient,
    random: ChaCha8Rng,
    offset: Dioptres,
}

impl Luck {
    /// By how much the focus is off for the whole run.
    #[must_use]
    pub const fn offset(&self) -> Dioptres {
        self.offset
    }

    /// The same chance for another patient; what the focus is off for the run stays.
    #[must_use]
    pub(super) fn of(self, patient: Patient) -> Self {
        Self { patient, ..self }
    }

    /// A number from 0 to 1.
    pub fn uniform(&mut self) -> f64 {
        StandardUniform.sample(&mut self.random)
    }

    /// A normal chance of this SD.
    pub(super) fn normal(&mut self, sd: f64) -> f64 {
        let normal: f64 = StandardNormal.sample(&mut self.random);
        sd * normal
    }

    /// Red, green or "same", each by a third of the chance of a lapse.
    fn at_random(&self, lapse: f64) -> Answer {
        let third = self.patient.lapses / 3.0;
        if lapse < third {
            Answer::Red
        } else if lapse < 2.0 * third {
            Answer::Green
        } else {
            Answer::Same
        }
    }
}

impl Iterator for Luck {
    type Item = Chance;

    fn next(&mut self) -> Option<Chance> {
        let jitter = Dioptres::new(self.normal(self.patient.jitter_sd.to_d()));
        let noise = self.normal(self.patient.noise_sd);
        let lapse = self.uniform();
        Some(Chance { jitter, noise, lapse: (lapse < self.patient.lapses).then(|| self.at_random(lapse)) })
    }
}

/// A patient who was drawn for one run, with its lens error and its chance: the one that trials, pages and slides ask.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn<C> {
    /// How it answers.
    pub patient: Patient,
    /// The lens error with the manifest in place.
    pub start: Dioptres,
    /// By how much its focus is off for the whole run.
    pub offset: Dioptres,
    /// How far its answers lean to red, in noticeable steps: nought where both fields are equally bright.
    pub lean: f64,
    /// What chance gives to each answer; none where it has an end.
    pub chances: C,
}

impl Drawn<Luck> {
    /// With fresh chance, from a manifest that is wrong by this.
    #[must_use]
    pub const fn new(luck: Luck, start: Dioptres) -> Self {
        Self { patient: luck.patient, start, offset: luck.offset, lean: 0.0, chances: luck }
    }
}

impl Drawn<std::iter::Empty<Chance>> {
    /// One whom chance does not touch, who judges as the typical one.
    #[must_use]
    pub const fn still(start: Dioptres) -> Self {
        Self {
            patient: Patient::noiseless(),
            start,
            offset: Dioptres::new(0.0),
            lean: 0.0,
            chances: std::iter::empty(),
        }
    }
}

impl<C: Iterator<Item = Chance>> Drawn<C> {
    /// Whether a line on white is read through a lens, by an eye that does not accommodate.
    pub fn reads(&mut self, sight: &impl Sight, clicks: Clicks, larger: bool) -> Legible {
        let chance = self.chances.next().unwrap_or(Chance::NONE);
        let lens_error = self.start + clicks.to_dioptres() + self.offset + chance.jitter;
        self.patient.judgement(None).reads(sight.white(lens_error, larger), chance)
    }

    /// On which side letters are clearer with a lens.
    pub fn answer(&mut self, sight: &impl Sight, put: Put) -> Answer {
        let chance = self.chances.next().unwrap_or(Chance::NONE);
        let lens_error = self.start + put.clicks.to_dioptres() + self.offset;
        let left = self.patient.left(lens_error, put.from_plus);
        let judgement = self.patient.judgement(put.red);
        let judgement = Judgement { lean: judgement.lean + self.lean, ..judgement };
        judgement.answer(sight.seen(left + chance.jitter, put.larger), chance)
    }
}

#[cfg(test)]
mod tests;

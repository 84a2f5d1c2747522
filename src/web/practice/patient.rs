use serde::Serialize;

use super::{Level, Sight};
use crate::balance::{Answer, Patient};
use crate::eye::CLICK_D;
use crate::light::Channel;

/// So many answers have a chance of their own; the next begin again with the first's.
const CHANCES: usize = 48;

/// Manifests are wrong by an eighth of a dioptre or several, up to six to either side: every click then has its own picture.
const EIGHTHS: f64 = 6.0;
const EIGHTH_MD: i32 = 125;

/// Unequal fields make answers lean to the brighter one by so much, in thousandths of log10(red/green): behind 3 mm about
/// one click. Assumed.
const LEAN: i32 = 270;

/// Thousandths in one.
const THOUSAND: f64 = 1000.0;

/// One click in thousandths of a dioptre.
pub(super) const CLICK_MD: i32 = whole(CLICK_D * THOUSAND);

/// A simulated patient with all the chance it will have, in whole numbers, so that any reader of them comes to the same
/// answers: thousandths of a dioptre, and thousandths of log10(red/green).
///
/// The chances are those of a [`Sitting`](crate::balance::Sitting), rounded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Drawn {
    /// The lens error with the manifest in place.
    pub start: i32,
    /// By how much focus is off for the whole run.
    offset: i32,
    /// The field that is dimmer than it should be, by its place among red and green, if one is.
    #[serde(skip_serializing_if = "Option::is_none")]
    dimmer: Option<usize>,
    /// How far answers lean to red.
    lean: i32,
    /// By how much focus wavers at each answer.
    jitter: Vec<i32>,
    /// By how much the comparison does.
    noise: Vec<i32>,
    /// Answers given without looking: which, and what.
    lapses: Vec<[usize; 2]>,
}

/// How one question is put.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// Which question it is, from nought.
    pub number: usize,
    /// The lens, in clicks from the manifest.
    pub clicks: i32,
    /// Whether the eye comes down from more plus.
    pub from_plus: bool,
    /// Whether the line is the larger one.
    pub larger: bool,
}

impl Drawn {
    pub(super) fn new(level: Level, seed: u64, number: u64) -> Self {
        let place = Level::ALL.iter().position(|one| *one == level).unwrap_or(0) as u64;
        let mut sitting = level.patient().sit(seed, place * (Level::PATIENTS + 1) + number);
        let eighth = (sitting.uniform() * (2.0 * EIGHTHS + 1.0)).floor().min(2.0 * EIGHTHS) - EIGHTHS;
        let dimmer = match (sitting.uniform() * 3.0).floor() {
            _ if level != Level::Room => None,
            third if third < 1.0 => Some(Channel::Red.index()),
            third if third < 2.0 => Some(Channel::Green.index()),
            _ => None,
        };
        let chances: Vec<_> = (0..CHANCES).map(|_| sitting.chance()).collect();
        let place = |answer: Answer| Answer::ALL.iter().position(|one| *one == answer);
        let lapse = |(number, lapse): (usize, Option<Answer>)| Some([number, place(lapse?)?]);
        Self {
            start: whole(eighth) * EIGHTH_MD,
            offset: whole(sitting.offset().to_d() * THOUSAND),
            dimmer,
            lean: dimmer.map_or(0, |channel| if channel == Channel::Red.index() { -LEAN } else { LEAN }),
            jitter: chances.iter().map(|chance| whole(chance.jitter.to_d() * THOUSAND)).collect(),
            noise: chances.iter().map(|chance| whole(chance.noise * THOUSAND)).collect(),
            lapses: chances.iter().map(|chance| chance.lapse).enumerate().filter_map(lapse).collect(),
        }
    }

    /// What it says to a question.
    #[must_use]
    pub fn answer(&self, patient: &Patient, sight: &Sight, asked: Asked) -> Answer {
        let chance = asked.number % CHANCES;
        if let Some([_, answer]) = self.lapses.iter().find(|[number, _]| *number == chance) {
            return Answer::ALL[*answer];
        }
        let lens_error = self.start + asked.clicks * CLICK_MD + self.offset;
        let left = left(patient, lens_error, asked.from_plus) + self.jitter[chance];
        let same_within = whole(patient.same_within * THOUSAND);
        match sight.ratio(left, asked.larger).map(|ratio| ratio + self.lean + self.noise[chance]) {
            None => Answer::Unsure,
            Some(ratio) if ratio > same_within => Answer::Red,
            Some(ratio) if ratio < -same_within => Answer::Green,
            Some(_) => Answer::Same,
        }
    }
}

/// What accommodation leaves of a lens error, in thousandths of a dioptre, rounded towards more of it.
fn left(patient: &Patient, lens_error: i32, from_plus: bool) -> i32 {
    match patient.accommodation {
        Some(eye) if !(from_plus && eye.relaxed_from_plus) => {
            let taken_up = (-lens_error).max(0) * whole(eye.slope * THOUSAND) / 1000;
            lens_error + taken_up.min(whole(eye.amplitude.to_d() * THOUSAND))
        }
        Some(_) | None => lens_error,
    }
}

/// The nearest whole number; all that is rounded here is far smaller than what an `i32` holds.
#[allow(clippy::cast_possible_truncation, reason = "some thousands")]
pub(super) const fn whole(number: f64) -> i32 {
    number.round() as i32
}

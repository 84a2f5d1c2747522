//! The patients of the page to practise on, in whole numbers.

use serde::Serialize;

use super::{Level, Sight};
use crate::balance::{Answer, Patient};
use crate::eye::CLICK_D;
use crate::light::Channel;

/// How many answers have a chance of their own; the next begin again with the first's.
const CHANCES: usize = 48;

/// Manifests are wrong by a whole number of eighths of a dioptre, up to this many to either side: every click then has its
/// own picture. This project's own decision.
const EIGHTHS: f64 = 6.0;
const EIGHTH_MD: i32 = 125;

/// How far unequal fields make answers lean to the brighter one, in thousandths of log10(red/green): behind 3 mm about one
/// click. Assumed.
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
    /// Which question it is, from 0.
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

    /// Whether one field is dimmer than it should be.
    #[must_use]
    pub const fn fields_are_unequal(&self) -> bool {
        self.dimmer.is_some()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acuity::Acuity;
    use crate::balance::ClarityTable;
    use crate::eye::{Curve, Eye, Pupil};
    use crate::quantity::Dioptres;
    use crate::room::Room;
    use crate::view::Model;

    #[test]
    fn whole_numbers_answer_as_the_sitting_does() {
        // The table's steps of 0.01 D move an answer only where it lies within half of one of its limits: with a judgement
        // that wavers by 0.065 and 1.1 of ratio a dioptre, four answers in a thousand at the most.
        const MOST_OTHER: usize = 40;
        let room = Room::demo();
        let level = Level::Noisy;
        let sight = Sight::with_views(&[0], level.pupil(), &room).unwrap();
        let model = Model::new(&room).unwrap();
        let eye = Eye::with_pupil(Pupil::new(level.pupil()).unwrap());
        let band = model.band(Acuity::standard(2));
        let table = ClarityTable::of(&Curve { eye: &eye, sides: &model.sides, band: &band }).unwrap();
        let (mut asked, mut other) = (0, 0);
        for number in 1..=Level::PATIENTS {
            let drawn = Drawn::new(level, 5, number);
            let mut sitting = level.patient().sit(5, (Level::PATIENTS + 1) + number);
            let _ = [sitting.uniform(), sitting.uniform()];
            for question in 0..CHANCES {
                let clicks = [-2, -1, 0, 1, 2][question % 5];
                let lens_error = Dioptres::new(f64::from(drawn.start + clicks * CLICK_MD) / THOUSAND);
                let put = Asked { number: question, clicks, from_plus: false, larger: false };
                asked += 1;
                other += usize::from(
                    drawn.answer(&level.patient(), &sight, put) != sitting.answer(&table, lens_error, false),
                );
            }
        }
        assert!(asked > 4000 && other <= MOST_OTHER, "{other} of {asked}");
    }

    #[test]
    fn a_seed_is_a_class_and_manifests_lie_on_both_sides() {
        let starts = |seed: u64| -> Vec<i32> {
            Level::Noisy.patients(seed).iter().map(|patient| patient.start).collect()
        };
        assert_eq!(starts(1), starts(1));
        assert_ne!(starts(1), starts(2));
        for seed in 1..=5 {
            let starts = starts(seed);
            let most = starts.iter().map(|start| start.abs()).max();
            assert_eq!(most, Some(750));
            assert!(starts.iter().filter(|start| **start > 0).count() > 30);
            assert!(starts.iter().filter(|start| **start < 0).count() > 30);
            assert!(starts.iter().all(|start| start % EIGHTH_MD == 0));
        }
    }

    #[test]
    fn only_the_unchecked_room_has_unequal_fields_and_not_always() {
        for level in Level::ALL {
            let dim =
                |field: Option<usize>| level.patients(1).iter().filter(|one| one.dimmer == field).count();
            let [equal, red, green] = [None, Some(0), Some(1)].map(dim);
            if level == Level::Room {
                assert!(equal > 20 && red > 20 && green > 20, "{equal} {red} {green}");
            } else {
                assert_eq!([red, green], [0, 0]);
            }
        }
    }

    #[test]
    fn what_is_taken_up_is_a_share_of_the_minus() {
        let young = Level::Accommodates.patient();
        // By hand: four fifths of 1 D, then nothing where fog lasts, in plus, or without accommodation.
        assert_eq!(left(&young, -1000, false), -200);
        assert_eq!(left(&young, -1000, true), -1000);
        assert_eq!(left(&young, 625, false), 625);
        assert_eq!(left(&Level::Noisy.patient(), -1000, false), -1000);
        // 0.8 of 0.999 D is 0.7992 D, of which whole thousandths count.
        assert_eq!(left(&young, -999, false), -200);
    }
}

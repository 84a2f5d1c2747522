//! The patients of the page to practise on, in thousandths.
//!
//! Whole thousandths, because two languages round sums of decimals differently in the last digit, and one digit can turn an
//! answer round.

use serde::{Serialize, Serializer};

use super::level::Level;
use crate::balance::{Answer, Chance, Drawn};
use crate::eye::CLICK_D;
use crate::light::Channel;
use crate::quantity::Dioptres;

/// How many answers have a chance of their own; the next begin again with the first's.
const CHANCES: usize = 48;

/// Manifests are wrong by a whole number of eighths of a dioptre, up to this many to either side: every click then has its
/// own picture. This project's own decision.
const EIGHTHS: f64 = 6.0;
const EIGHTH_D: f64 = 0.125;

/// How far unequal fields make answers lean to the brighter one, in noticeable steps: behind 3 mm about one click. Assumed.
const LEAN: f64 = 4.0;

/// Thousandths in one.
const THOUSAND: f64 = 1000.0;

/// One click in thousandths of a dioptre.
pub(super) const CLICK_MD: i32 = thousandths(CLICK_D);

/// A patient of a class: a [`Drawn`] one with all the chance it will have, in whole thousandths, so that any reader of them
/// comes to the same answers.
#[derive(Debug, Clone, PartialEq)]
pub struct ClassPatient {
    drawn: Drawn<Vec<Chance>>,
    /// The field that is dimmer than it should be, if one is.
    dimmer: Option<Channel>,
}

impl Level {
    /// Its patients of a class, the first with number 1. The same seed gives the same patients, whatever the room.
    #[must_use]
    pub fn patients(self, seed: u64) -> Vec<ClassPatient> {
        (1..=Self::PATIENTS).map(|number| ClassPatient::new(self, seed, number)).collect()
    }

    /// Which stream of chance a patient has.
    fn stream(self, number: u64) -> u64 {
        self.place() as u64 * (Self::PATIENTS + 1) + number
    }
}

impl ClassPatient {
    fn new(level: Level, seed: u64, number: u64) -> Self {
        let mut luck = level.patient().luck(seed, level.stream(number));
        let eighth = (luck.uniform() * (2.0 * EIGHTHS + 1.0)).floor().min(2.0 * EIGHTHS) - EIGHTHS;
        let dimmer = dimmer(level, luck.uniform());
        let drawn = Drawn {
            patient: level.patient(),
            start: rounded(Dioptres::new(eighth * EIGHTH_D)),
            offset: rounded(luck.offset()),
            lean: dimmer.map_or(0.0, |channel| if channel == Channel::Red { -LEAN } else { LEAN }),
            chances: luck.take(CHANCES).map(in_thousandths).collect(),
        };
        Self { drawn, dimmer }
    }

    /// Whether one field is dimmer than it should be.
    #[must_use]
    pub const fn fields_are_unequal(&self) -> bool {
        self.dimmer.is_some()
    }

    /// The lens error with the manifest in place.
    pub(super) const fn start(&self) -> Dioptres {
        self.drawn.start
    }

    /// The patient before a run.
    pub(super) fn drawn(&self) -> Drawn<impl Iterator<Item = Chance>> {
        let Drawn { patient, start, offset, lean, chances } = &self.drawn;
        let chances = chances.iter().copied().cycle();
        Drawn { patient: *patient, start: *start, offset: *offset, lean: *lean, chances }
    }

    fn row(&self) -> Row {
        let Drawn { start, offset, lean, chances, .. } = &self.drawn;
        let place = |answer: Answer| Answer::ALL.iter().position(|one| *one == answer);
        let lapse = |(number, chance): (usize, &Chance)| Some([number, place(chance.lapse?)?]);
        Row {
            start: thousandths(start.to_d()),
            offset: thousandths(offset.to_d()),
            dimmer: self.dimmer.map(Channel::index),
            lean: thousandths(*lean),
            jitter: chances.iter().map(|chance| thousandths(chance.jitter.to_d())).collect(),
            noise: chances.iter().map(|chance| thousandths(chance.noise)).collect(),
            lapses: chances.iter().enumerate().filter_map(lapse).collect(),
        }
    }
}

/// A patient as the script reads it: thousandths of a dioptre, and thousandths of a noticeable step.
#[derive(Serialize)]
struct Row {
    start: i32,
    offset: i32,
    #[serde(skip_serializing_if = "Option::is_none")]
    dimmer: Option<usize>,
    lean: i32,
    jitter: Vec<i32>,
    noise: Vec<i32>,
    /// Answers given without looking: to which question, and the answer's place.
    lapses: Vec<[usize; 2]>,
}

impl Serialize for ClassPatient {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        self.row().serialize(to)
    }
}

/// By a number from 0 to 1 the field that is dimmer: in an unchecked room red in a third of cases and green in another.
fn dimmer(level: Level, uniform: f64) -> Option<Channel> {
    match (uniform * 3.0).floor() {
        _ if level != Level::Room => None,
        third if third < 1.0 => Some(Channel::Red),
        third if third < 2.0 => Some(Channel::Green),
        _ => None,
    }
}

/// Chance in whole thousandths.
fn in_thousandths(chance: Chance) -> Chance {
    let noise = f64::from(thousandths(chance.noise)) / THOUSAND;
    Chance { jitter: rounded(chance.jitter), noise, ..chance }
}

fn rounded(power: Dioptres) -> Dioptres {
    Dioptres::new(f64::from(thousandths(power.to_d())) / THOUSAND)
}

/// The nearest whole number of thousandths.
pub(super) const fn thousandths(number: f64) -> i32 {
    whole(number * THOUSAND)
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
    use crate::balance::{ClarityTable, Clicks, Put};
    use crate::eye::{Eye, Pupil, Seen};
    use crate::room::Room;
    use crate::view::Model;
    use crate::web::practice::Sight;
    use crate::web::practice::sight::Looked;

    struct Unrounded(ClarityTable);

    impl crate::balance::Sight for Unrounded {
        fn seen(&self, lens_error: Dioptres, _: bool) -> Seen {
            self.0.seen(lens_error)
        }

        fn white(&self, lens_error: Dioptres, _: bool) -> f64 {
            self.0.white_legibility(lens_error)
        }
    }

    #[test]
    fn thousandths_answer_as_the_patient_does_of_whom_they_are() {
        // The table's steps of 0.01 D move an answer only where it lies within half of one of its limits: with a judgement
        // that wavers by 0.065 and 1.1 of ratio a dioptre, four answers in a thousand at the most.
        const MOST_OTHER: usize = 40;
        let room = Room::demo();
        let level = Level::Noisy;
        let sight = Sight::with_views(&[0], &Looked::by(level), &room).unwrap();
        let model = Model::new(&room).unwrap();
        let eye = Eye::with_pupil(Pupil::new(level.pupil()).unwrap());
        let table = ClarityTable::of(&model.curve(&eye, Acuity::standard(2))).unwrap();
        let table = Unrounded(table);
        let (mut asked, mut other) = (0, 0);
        for number in 1..=Level::PATIENTS {
            let patient = ClassPatient::new(level, 5, number);
            let mut luck = level.patient().luck(5, level.stream(number));
            let _ = [luck.uniform(), luck.uniform()];
            let (mut rounded, mut fresh) = (patient.drawn(), Drawn::new(luck, patient.drawn.start));
            for question in 0..CHANCES {
                let clicks = Clicks::new([-2, -1, 0, 1, 2][question % 5]);
                let put = Put { clicks, from_plus: false, larger: false, red: None };
                asked += 1;
                other += usize::from(rounded.answer(&sight, put) != fresh.answer(&table, put));
            }
        }
        assert!(asked > 4000 && other <= MOST_OTHER, "{other} of {asked}");
    }

    #[test]
    fn a_seed_is_a_class_and_manifests_lie_on_both_sides() {
        let starts = |seed: u64| -> Vec<i32> {
            Level::Noisy.patients(seed).iter().map(|patient| patient.row().start).collect()
        };
        assert_eq!(starts(1), starts(1));
        assert_ne!(starts(1), starts(2));
        for seed in 1..=5 {
            let starts = starts(seed);
            let most = starts.iter().map(|start| start.abs()).max();
            assert_eq!(most, Some(750));
            assert!(starts.iter().filter(|start| **start > 0).count() > 30);
            assert!(starts.iter().filter(|start| **start < 0).count() > 30);
            assert!(starts.iter().all(|start| start % 125 == 0));
        }
    }

    #[test]
    fn only_the_unchecked_room_has_unequal_fields_and_not_always() {
        for level in Level::ALL {
            let dim = |field| level.patients(1).iter().filter(|one| one.dimmer == field).count();
            let [equal, red, green] = [None, Some(Channel::Red), Some(Channel::Green)].map(dim);
            if level == Level::Room {
                assert!(equal > 20 && red > 20 && green > 20, "{equal} {red} {green}");
            } else {
                assert_eq!([red, green], [0, 0]);
            }
        }
    }
}

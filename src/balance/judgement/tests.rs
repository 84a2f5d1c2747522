use super::*;
use crate::balance::{Clicks, Drawn, Patient, Put, Sight};
use crate::light::Side;

/// The same at every lens error.
struct Always(Seen);

impl Sight for Always {
    fn seen(&self, _: Dioptres, _: bool) -> Seen {
        self.0
    }

    fn white(&self, _: Dioptres, _: bool) -> f64 {
        self.0.legibility
    }
}

/// How often each answer is given in so many questions with red on a side.
fn shares(patient: Patient, seen: Seen, red: Option<Side>, questions: u32) -> [f64; 4] {
    let mut drawn = Drawn::new(patient.luck(21, 0), Dioptres::new(0.0));
    let put = Put { clicks: Clicks::NONE, from_plus: false, larger: false, red };
    let mut said = [0_u32; 4];
    for _ in 0..questions {
        said[drawn.answer(&Always(seen), put) as usize] += 1;
    }
    said.map(|count| f64::from(count) / f64::from(questions))
}

#[test]
fn simulated_patients_answer_as_often_as_is_reckoned() {
    // Of 5000 answers the share of one has an SD of 0.0071 at the most: four of these.
    const CHANCE: f64 = 0.0283;
    const DUST: f64 = 1e-12;
    let patient = Patient {
        same_within: 0.8,
        noise_sd: 0.6,
        legible_from: 1.5,
        leans_left: 0.7,
        lapses: 0.06,
        ..Patient::typical()
    };
    for evidence in [-2.0, -0.9, 0.0, 0.5, 1.1] {
        for legibility in [1.4, 1.6] {
            for red in [None, Some(Side::Left), Some(Side::Right)] {
                let seen = Seen { evidence, legibility };
                let reckoned = patient.judgement(red).chances(seen);
                let counted = shares(patient, seen, red, 5000);
                assert!((reckoned.iter().sum::<f64>() - 1.0).abs() < DUST, "{reckoned:?}");
                for (counted, reckoned) in counted.into_iter().zip(reckoned) {
                    assert!((counted - reckoned).abs() < CHANCE, "{seen:?} {red:?}: {counted} {reckoned}");
                }
            }
        }
    }
}

#[test]
fn a_leaning_follows_the_side_and_not_the_colour() {
    // By hand, without chance: evidence of 0.5 for red and a leaning of 1 to the left, where up to 1 is the same.
    let patient = Patient { same_within: 1.0, leans_left: 1.0, ..Patient::noiseless() };
    let seen = Seen { evidence: 0.5, legibility: 1.0 };
    for (red, answer) in
        [(Some(Side::Left), Answer::Red), (Some(Side::Right), Answer::Same), (None, Answer::Same)]
    {
        assert_eq!(patient.judgement(red).answer(seen, Chance::NONE), answer, "{red:?}");
    }
    let less = Seen { evidence: -0.5, ..seen };
    assert_eq!(patient.judgement(Some(Side::Right)).answer(less, Chance::NONE), Answer::Green);
}

#[test]
fn without_any_wavering_chances_are_certain() {
    const DUST: f64 = 1e-12;
    let still = Patient { same_within: 1.0, ..Patient::noiseless() }.judgement(None);
    for (evidence, answer) in [(1.5, Answer::Red), (-1.5, Answer::Green), (0.9, Answer::Same)] {
        let chances = still.chances(Seen { evidence, legibility: 1.0 });
        assert!(
            chances[answer as usize] >= 1.0 && chances.iter().sum::<f64>() <= 1.0,
            "{evidence}: {chances:?}"
        );
    }
    // And at the limit itself they are numbers.
    let limit = still.chances(Seen { evidence: 1.0, legibility: 1.0 });
    assert!((limit.iter().sum::<f64>() - 1.0).abs() < DUST, "{limit:?}");
}

#[test]
fn simulated_patients_read_as_often_as_is_reckoned() {
    // Of 5000 answers the share of one has an SD of 0.0071 at the most: four of these.
    const CHANCE: f64 = 0.0283;
    let patient = Patient { noise_sd: 0.6, legible_from: 1.5, lapses: 0.06, ..Patient::typical() };
    for legibility in [0.0, 1.0, 1.3, 1.5, 1.9, 4.0] {
        let sight = Always(Seen { evidence: 0.0, legibility });
        let mut drawn = Drawn::new(patient.luck(22, 0), Dioptres::new(0.0));
        let read = (0..5000).filter(|_| drawn.reads(&sight, Clicks::NONE, false) == Legible::Read).count();
        let reckoned = patient.judgement(None).chance_of_reading(legibility);
        let counted = read as f64 / 5000.0;
        assert!((counted - reckoned).abs() < CHANCE, "{legibility}: {counted} {reckoned}");
    }
    // Whom chance does not touch reads what is as clear as it has to be, and nothing less.
    let still = Patient { legible_from: 1.5, ..Patient::noiseless() }.judgement(None);
    for (legibility, said) in [(1.5, Legible::Read), (1.49, Legible::Lost), (0.0, Legible::Lost)] {
        assert_eq!(still.reads(legibility, Chance::NONE), said, "{legibility}");
    }
}

use super::*;
use crate::balance::clarity_table::tests::{SCREENS, table};
use crate::balance::{ClarityTable, Clicks};

impl Sight for ClarityTable {
    fn seen(&self, lens_error: Dioptres, _: bool) -> Seen {
        self.seen(lens_error)
    }

    fn white(&self, lens_error: Dioptres, _: bool) -> f64 {
        self.white_legibility(lens_error)
    }
}

/// A question with the manifest in place.
const PUT: Put = Put { clicks: Clicks::NONE, from_plus: false, larger: false, red: None };

/// What is said at a lens error, time after time.
fn says(patient: Patient, seed: u64, table: &ClarityTable, lens_error: f64) -> impl FnMut() -> Answer {
    let mut drawn = Drawn::new(patient.luck(seed, 0), Dioptres::new(lens_error));
    move || drawn.answer(table, PUT)
}

#[test]
fn a_patient_without_chance_says_what_is_clearer() {
    let table = table(SCREENS[0], 3.0);
    for (lens_error, answer) in [
        (-2.0, Answer::Unsure),
        (-0.5, Answer::Green),
        (0.0, Answer::Same),
        (0.5, Answer::Red),
        (2.0, Answer::Unsure),
    ] {
        assert_eq!(says(Patient::noiseless(), 1, &table, lens_error)(), answer, "{lens_error}");
        assert_eq!(Drawn::still(Dioptres::new(lens_error)).answer(&table, PUT), answer, "{lens_error}");
    }
}

#[test]
fn an_eye_that_accommodates_takes_up_four_fifths_of_the_minus() {
    const HAIR: f64 = 1e-9;
    let eye = Accommodation::restless();
    // By hand: nothing in plus, 0.8 of 1 D, and no more than 4 D of the 4.8 D that 6 D would take.
    for (lens_error, left) in [(1.0, 1.0), (0.0, 0.0), (-1.0, -0.2), (-6.0, -2.0)] {
        assert!((eye.left(Dioptres::new(lens_error), true).to_d() - left).abs() < HAIR, "{lens_error}");
    }
    let relaxed = Accommodation::typical();
    assert_eq!(relaxed.left(Dioptres::new(-1.0), true), Dioptres::new(-1.0));
    assert_eq!(relaxed.left(Dioptres::new(-1.0), false), eye.left(Dioptres::new(-1.0), false));
    // It says "same" where an eye at rest says green.
    let table = table(SCREENS[0], 3.0);
    let answer = |patient: Patient| says(patient, 1, &table, -0.25)();
    assert_eq!(answer(Patient::noiseless()), Answer::Green);
    assert_eq!(answer(Patient::noiseless().with_accommodation(eye)), Answer::Same);
}

/// How often red, green, "same" and unsure are said in a number of questions at a lens error.
fn said(patient: Patient, lens_error: f64) -> [u32; 4] {
    let table = table(SCREENS[0], 3.0);
    let mut says = says(patient, 3, &table, lens_error);
    let mut said = [0; 4];
    for _ in 0..3000 {
        let answer = says();
        said[Answer::ALL.iter().position(|one| *one == answer).unwrap()] += 1;
    }
    said
}

#[test]
fn a_lapse_is_any_of_three_answers() {
    // Three thousand draws of a third: 1000 with an SD of 26; four of these.
    const CHANCE: u32 = 104;
    let [red, green, same, unsure] = said(Patient { lapses: 1.0, ..Patient::noiseless() }, 2.0);
    assert!([red, green, same].iter().all(|one| one.abs_diff(1000) < CHANCE), "{red} {green} {same}");
    assert_eq!(unsure, 0);
    // And one in a hundred where nothing is readable: 30 with an SD of 5.4; four of these.
    let [red, green, same, _] = said(Patient { lapses: LAPSES, ..Patient::noiseless() }, 2.0);
    assert!((8..52).contains(&(red + green + same)), "{red} {green} {same}");
}

#[test]
fn chance_spreads_answers_as_its_numbers_say() {
    // Answers turn into a measurement: "red" is said by Φ((x − 1)/SD), x in noticeable steps. At the lens error where x is 1 that is a half,
    // whatever the SD; a lens error of one jitter SD further on, it is Φ(1) = 0.841 if jitter is all there is.
    // Of 3000 answers a half has an SD of 0.009: four of these.
    const CHANCE: f64 = 0.036;
    let table = table(SCREENS[0], 3.0);
    let edge = (0..500)
        .map(|step| f64::from(step) / 1000.0)
        .find(|at| table.seen(Dioptres::new(*at)).evidence > SAME_WITHIN)
        .unwrap();
    let jitter = Patient { jitter_sd: Dioptres::new(JITTER_SD_D), ..Patient::noiseless() };
    let noise = Patient { noise_sd: NOISE_SD, ..Patient::noiseless() };
    for (patient, at, share) in [(jitter, edge, 0.5), (jitter, edge + JITTER_SD_D, 0.841), (noise, edge, 0.5)]
    {
        let red = f64::from(said(patient, at)[0]) / 3000.0;
        assert!((red - share).abs() < CHANCE, "{at}: {red}");
    }
    // The comparison's noise, from "same" in the middle: within one SD of it are 0.683.
    let same = f64::from(said(noise, table.balance().to_d())[2]) / 3000.0;
    assert!((same - 0.683).abs() < CHANCE, "{same}");
}

#[test]
fn a_brighter_red_is_taken_for_clearer() {
    let table = table(SCREENS[0], 3.0);
    let mut leans = Drawn { lean: 5.0, ..Drawn::still(Dioptres::new(0.0)) };
    assert_eq!(Drawn::still(Dioptres::new(0.0)).answer(&table, PUT), Answer::Same);
    assert_eq!(leans.answer(&table, PUT), Answer::Red);
}

/// A sight that takes down at which lens error it was looked through.
struct Noted(std::cell::Cell<f64>, ClarityTable);

impl Sight for Noted {
    fn seen(&self, lens_error: Dioptres, _: bool) -> Seen {
        self.0.set(lens_error.to_d());
        self.1.seen(lens_error)
    }

    fn white(&self, lens_error: Dioptres, _: bool) -> f64 {
        self.0.set(lens_error.to_d());
        self.1.white_legibility(lens_error)
    }
}

#[test]
fn a_lens_error_is_the_manifests_with_the_lens_the_runs_offset_and_the_answers_jitter() {
    let sight = Noted(std::cell::Cell::new(0.0), table(SCREENS[0], 3.0));
    let chance = Chance { jitter: Dioptres::new(0.02), noise: 0.0, lapse: None };
    let drawn = || Drawn {
        patient: Patient::noiseless(),
        start: Dioptres::new(0.3),
        offset: Dioptres::new(0.1),
        lean: 0.0,
        chances: [chance].into_iter(),
    };
    // By hand: 0.3 + 0.25 + 0.1 + 0.02.
    let is = |expected: f64| assert!((sight.0.get() - expected).abs() < 1e-9, "{}", sight.0.get());
    drawn().reads(&sight, Clicks::new(1), false);
    is(0.67);
    drawn().answer(&sight, Put { clicks: Clicks::new(1), ..PUT });
    is(0.67);
    drawn().answer(&sight, Put { clicks: Clicks::new(-2), ..PUT });
    is(-0.08);
}

#[test]
fn who_answers_at_random_says_each_as_often() {
    // Thirds of three quarters, which binary has exactly.
    let patient = Patient { lapses: 0.75, ..Patient::typical() };
    let said = |lapse: f64| patient.luck(1, 0).at_random(lapse);
    for (from, to, answer) in
        [(0.0, 0.249, Answer::Red), (0.25, 0.499, Answer::Green), (0.5, 0.749, Answer::Same)]
    {
        assert_eq!([said(from), said(to)], [answer; 2], "{from}");
    }
}

#[test]
fn a_patient_is_described_with_what_its_numbers_rest_on() {
    let said = Patient::typical().to_string();
    for words in ["0.15 D", "within ±1.0 noticeable step", "at random [assumed]", "except while fog lasts"] {
        assert!(said.contains(words), "{said}");
    }
}

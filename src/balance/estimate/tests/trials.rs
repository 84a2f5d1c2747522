//! Simulated patients who are asked by the estimate: that its interval holds, and how near its mean comes.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, StandardNormal};

use super::*;
use crate::balance::clarity_table::tests::{SCREENS, table};
use crate::balance::variety::LEAN_SD;
use crate::balance::{ClarityTable, Drawn, EndPoint, Luck, Rules, Run};

/// One simulated patient, and where the balance of their eye lies from the manifest.
#[derive(Clone)]
struct Eye {
    drawn: Drawn<Luck>,
    balance: Dioptres,
}

/// A patient of a number, who differs from a typical one in every way that the estimate reckons with. Drawn, not taken from nodes.
fn eye(number: u32, sight: &ClarityTable, (typical, manifest_sd): (Patient, f64)) -> Eye {
    let mut random = ChaCha8Rng::seed_from_u64(11);
    random.set_stream(u64::from(number));
    let mut normal = || -> f64 { StandardNormal.sample(&mut random) };
    let patient = Patient {
        same_within: typical.same_within * (0.5 * normal()).exp(),
        noise_sd: typical.noise_sd * (0.35 * normal()).exp(),
        legible_from: 10_f64.powf(0.25 * normal()),
        leans_left: typical.same_within * LEAN_SD * normal(),
        ..typical
    };
    let balance = Dioptres::new(manifest_sd * normal());
    let luck = patient.luck(12, u64::from(number));
    Eye { drawn: Drawn::new(luck, sight.balance() - balance), balance }
}

/// Asked by the estimate: what is believed at the end, and how many questions it took. Red lies on the left and the right in
/// turn, and who cannot tell is asked in the same line.
fn ask<'a>(
    likelihood: &'a Likelihood,
    sight: &ClarityTable,
    (prior, most): (Prior, usize),
    mut eye: Eye,
) -> (Belief<'a>, usize) {
    let mut belief = Belief::before(likelihood, prior);
    let (mut before, mut red) = (Clicks::NONE, Side::Left);
    for questions in 0..most {
        let Next { put, worth } = belief.next((before, None), Some(red), false);
        if worth < ENOUGH {
            return (belief, questions);
        }
        belief = belief.after(put, eye.drawn.answer(sight, put));
        (before, red) = (put.clicks, red.other());
    }
    (belief, most)
}

/// In how many of so many eyes the interval holds, in per cent, and the questions that they took in the mean.
fn holds(mm: f64, eyes: u32, most: usize) -> [f64; 2] {
    let (sight, typical) = (table(SCREENS[0], mm), Patient::typical());
    let likelihood = Likelihood::new(&sight, sight.balance(), &typical);
    let (mut held, mut asked) = (0_u32, 0);
    for number in 0..eyes {
        let one = eye(number, &sight, (typical, 0.35));
        let (belief, questions) = ask(&likelihood, &sight, (Prior::usual(), most), one.clone());
        let Estimate { low, high, .. } = belief.estimate();
        held += u32::from((low..=high).contains(&one.balance));
        asked += questions;
    }
    [f64::from(held) * 100.0 / f64::from(eyes), asked as f64 / f64::from(eyes)]
}

#[test]
fn the_interval_holds_in_95_of_100_eyes() {
    // Of 400 eyes, 95 % have an SD of 1.1 %; patients are drawn and not taken from nodes, which costs a little more.
    let [small, wide] = [1.6, 3.0].map(|mm| holds(mm, 200, 5));
    let held = f64::midpoint(small[0], wide[0]);
    assert!((93.0..=98.0).contains(&held), "{small:?} {wide:?}");
}

#[test]
#[ignore = "asks 80,000 eyes, some minutes"]
fn the_interval_holds_in_95_of_100_eyes_of_many() {
    for mm in [1.6, 2.0, 3.0, 4.0] {
        let [held, questions] = holds(mm, 20_000, MOST_QUESTIONS);
        println!("{mm} mm: {held:.1} % after {questions:.1} questions");
        assert!((93.0..=98.0).contains(&held), "{mm} mm: {held} %");
    }
}

/// The root of the mean square of these, in dioptres.
fn rms(off: &[f64]) -> f64 {
    (off.iter().map(|off| off * off).sum::<f64>() / off.len() as f64).sqrt()
}

/// How far off lenses end that are asked for by the estimate, by rules, and by the manifest alone, and the questions of the first two.
fn compared(mm: f64, rules: Rules, manifest_sd: f64, (prior, eyes): (Prior, u32)) -> [f64; 5] {
    let (sight, typical) = (table(SCREENS[0], mm), Patient::typical());
    let likelihood = Likelihood::new(&sight, sight.balance(), &typical);
    let (mut off, mut questions) = ([vec![], vec![], vec![]], [0; 2]);
    for number in 0..eyes {
        let one = eye(number, &sight, (typical, manifest_sd));
        let (belief, asked) = ask(&likelihood, &sight, (prior, 7), one.clone());
        let mean = Clicks::nearest(belief.estimate().balance);
        let mut drawn = one.drawn.clone();
        let ran = Run::new(rules).with(|put| drawn.answer(&sight, put));
        questions = [questions[0] + asked, questions[1] + ran.asked.len()];
        for (off, lens) in off.iter_mut().zip([mean, ran.left_in(), Clicks::NONE]) {
            off.push((lens.to_dioptres() - one.balance).to_d());
        }
    }
    let [by_estimate, by_rules, manifest] = off.map(|off| rms(&off));
    let [asked, by_them] = questions.map(|questions| questions as f64 / f64::from(eyes));
    [by_estimate, by_rules, manifest, asked, by_them]
}

#[test]
fn behind_a_small_aperture_lenses_end_nearer_than_by_a_bracket() {
    let bracket = Rules::bracket(EndPoint::EqualElseLastRed);
    let [by_estimate, by_rules, ..] = compared(1.6, bracket, 0.25, (Prior::usual(), 150));
    // Of 150 eyes an RMS has an SD of 6 %.
    assert!(by_estimate < 0.85 * by_rules, "{by_estimate:.3} D against {by_rules:.3} D");
}

#[test]
#[ignore = "prints a table of 2000 eyes a row"]
fn how_near_lenses_end() {
    let last_red = EndPoint::EqualElseLastRed;
    println!("RMS in D          manifest | estimate questions | rules questions");
    for (mm, rules) in [
        (1.6, Rules::bracket(last_red)),
        (2.0, Rules::bracket(last_red)),
        (3.0, Rules::from_plus(last_red, false)),
        (4.0, Rules::from_plus(last_red, false)),
    ] {
        for manifest_sd in [0.15, 0.25, 0.35] {
            for prior_sd in [0.25, 0.35] {
                let prior = Prior::new(Dioptres::new(0.0), Dioptres::new(prior_sd)).unwrap();
                let [by_estimate, by_rules, manifest, asked, by_them] =
                    compared(mm, rules, manifest_sd, (prior, 2000));
                println!(
                    "{mm} mm, prior {prior_sd}:   {manifest:.3} | {by_estimate:.3} {asked:.1} | {by_rules:.3} {by_them:.1}"
                );
            }
        }
    }
}

#[test]
#[ignore = "prints how long a question takes"]
fn how_long_a_question_takes() {
    for mm in [1.6, 3.0] {
        let sight = table(SCREENS[0], mm);
        let begun = std::time::Instant::now();
        let likelihood = Likelihood::new(&sight, sight.balance(), &Patient::typical());
        let tables = begun.elapsed();
        let begun = std::time::Instant::now();
        let mut belief = Belief::before(&likelihood, Prior::usual());
        for _ in 0..100 {
            let next = belief.next((Clicks::NONE, None), Some(Side::Left), false);
            belief = belief.after(next.put, Answer::Same);
        }
        let question = begun.elapsed() / 100;
        let begun = std::time::Instant::now();
        let estimate = belief.estimate();
        println!(
            "{mm} mm: tables {tables:?}, answer and next lens {question:?}, {:?} {estimate:?}",
            begun.elapsed()
        );
    }
}

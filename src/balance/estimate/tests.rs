use super::*;
use crate::balance::{Accommodation, Answer, Clicks, Legible, Patient, Put, Sight};
use crate::eye::Seen;
use crate::light::Side;
use crate::quantity::Dioptres;

mod trials;

/// A made-up sight in which red and green lie as mirror images about a balance of nought; a difference of 1 is typically the same.
struct Mirrored;

impl Sight for Mirrored {
    fn seen(&self, lens_error: Dioptres, larger: bool) -> Seen {
        let (at, size) = (lens_error.to_d(), if larger { 2.0 } else { 1.0 });
        Seen { evidence: 4.0 * at / size, legibility: 4.0 * size * (-(at / 0.7).powi(2)).exp() }
    }

    /// White is read as far out as either colour.
    fn white(&self, lens_error: Dioptres, larger: bool) -> f64 {
        self.seen(lens_error, larger).legibility
    }
}

fn patient() -> Patient {
    Patient { same_within: 1.0, noise_sd: 1.0, ..Patient::typical() }
}

fn mirrored() -> Likelihood {
    Likelihood::new(&Mirrored, Dioptres::new(0.0), &patient())
}

/// A question with a lens, with red on the left.
const fn put(clicks: i32) -> Put {
    Put { clicks: Clicks::new(clicks), from_plus: false, larger: false, red: Some(Side::Left) }
}

fn asked(answers: &[(i32, Answer)]) -> Vec<(Put, Answer)> {
    answers.iter().map(|(clicks, answer)| (put(*clicks), *answer)).collect()
}

/// What is estimated after answers to lenses, with red on the left.
fn estimated(likelihood: &Likelihood, answers: &[(i32, Answer)]) -> Estimate {
    Belief::after_all(likelihood, Prior::usual(), &asked(answers)).estimate()
}

/// The sight of `tests/data/estimates.csv`.
struct Bent;

const BENT_BALANCE_D: f64 = 0.07;

impl Sight for Bent {
    fn seen(&self, lens_error: Dioptres, larger: bool) -> Seen {
        let (at, size) = (lens_error.to_d(), if larger { 2.0 } else { 1.0 });
        let off = at - BENT_BALANCE_D;
        Seen {
            evidence: (5.0 * (1.2 * off).tanh() + 1.5 * off) / size,
            legibility: 4.0 * size * (-((at - 0.05) / 0.7).powi(2)).exp(),
        }
    }

    /// White is clearest at 0.05 D.
    fn white(&self, lens_error: Dioptres, larger: bool) -> f64 {
        self.seen(lens_error, larger).legibility
    }
}

/// Its eye of a name.
fn bent(eye: &str) -> Likelihood {
    let typical = Patient {
        same_within: 1.1,
        noise_sd: 0.8,
        legible_from: 1.2,
        lapses: 0.02,
        offset_sd: Dioptres::new(0.08),
        jitter_sd: Dioptres::new(0.12),
        ..Patient::typical()
    };
    let typical = match eye {
        "still" => typical,
        "relaxed" => typical.with_accommodation(Accommodation::typical()),
        "restless" => typical.with_accommodation(Accommodation::restless()),
        other => panic!("{other}"),
    };
    Likelihood::new(&Bent, Dioptres::new(BENT_BALANCE_D), &typical)
}

/// A question of the table with its answer, such as `-2pl:r:green`.
fn question(words: &str) -> (Put, Answer) {
    let parts: Vec<&str> = words.split(':').collect();
    let red = match parts[1] {
        "l" => Some(Side::Left),
        "r" => Some(Side::Right),
        _ => None,
    };
    let clicks = Clicks::new(parts[0].trim_end_matches(['p', 'l']).parse().unwrap());
    let answer = Answer::ALL.into_iter().find(|answer| answer.to_string() == parts[2]).unwrap();
    (Put { clicks, from_plus: parts[0].contains('p'), larger: parts[0].contains('l'), red }, answer)
}

/// With one question of a table, the ones on white such as `+2wl:read`.
fn after<'a>(belief: Belief<'a>, words: &str) -> Belief<'a> {
    let Some((put, said)) = words.split_once(':').filter(|(put, _)| put.contains('w')) else {
        let (put, answer) = question(words);
        return belief.after(put, answer);
    };
    let clicks = Clicks::new(put.trim_end_matches(['w', 'l']).parse().unwrap());
    let answer = Legible::ALL.into_iter().find(|answer| answer.to_string() == said).unwrap();
    belief.after_limit((clicks, put.contains('l')), answer)
}

#[test]
fn estimates_are_those_of_an_independent_program() {
    // That one sums jitter at Gauss's nodes over what is legible and the day's balance in steps of 0.005 D, ours in steps of 0.03 D to
    // four SDs and of 0.05 D. Where letters are lost at once, that moves the chance of an answer by up to a twentieth (half a step of
    // 0.25 SD times a density of 0.4) and the mean by a tenth of a step of the grid; where two answers were lost letters, more.
    const WITHIN_D: f64 = 0.006;
    // An end of the interval lies where hardly anything is, so the same error of a chance moves it farther.
    const END_WITHIN_D: f64 = 0.01;
    // And a chance of balance by that times a density of no more than 4 in a dioptre at two ends.
    const WITHIN: f64 = 8.0 * WITHIN_D;
    let tables =
        [include_str!("../../../tests/data/estimates.csv"), include_str!("../../../tests/data/limits.csv")];
    let rows =
        tables.into_iter().flat_map(|table| table.lines().filter(|line| !line.starts_with('#')).skip(1));
    let mut eyes = std::collections::BTreeMap::new();
    let mut count = 0;
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let number = |cell: usize| cells[cell].parse::<f64>().unwrap();
        let likelihood = eyes.entry(cells[0]).or_insert_with(|| bent(cells[0]));
        let prior = Prior::new(Dioptres::new(number(1)), Dioptres::new(number(2))).unwrap();
        let belief = cells[3].split(' ').fold(Belief::before(likelihood, prior), after);
        let Estimate { balance, low, high, sd } = belief.estimate();
        let ours = [(balance, WITHIN_D), (low, END_WITHIN_D), (high, END_WITHIN_D), (sd, WITHIN_D)];
        for ((ours, within), theirs) in ours.into_iter().zip([4, 5, 6, 7].map(number)) {
            assert!((ours.to_d() - theirs).abs() < within, "{row}: {ours:?}, not {theirs}");
        }
        let within = belief.within_a_click_of(Dioptres::new(0.25));
        assert!((within - number(8)).abs() < WITHIN, "{row}: {within}");
        count += 1;
    }
    assert_eq!(count, 44 + 14);
}

#[test]
fn answers_that_are_mirror_images_give_estimates_that_are() {
    const DUST: f64 = 1e-9;
    // What halving leaves of the interval's ends.
    const HALVED: f64 = 1e-6;
    use Answer::{Green, Red, Same, Unsure};
    let likelihood = mirrored();
    let none = estimated(&likelihood, &[(0, Same)]);
    assert!(none.balance.to_d().abs() < DUST && (none.low + none.high).to_d().abs() < HALVED);
    for answers in [&[(1, Red)][..], &[(2, Red), (-1, Same)], &[(4, Unsure), (1, Green), (2, Green)]] {
        let mirror: Vec<_> =
            answers.iter().map(|(clicks, answer)| (-clicks, answer.other_colour())).collect();
        let [one, other] = [estimated(&likelihood, answers), estimated(&likelihood, &mirror)];
        assert!((one.balance + other.balance).to_d().abs() < DUST, "{answers:?}: {one:?} {other:?}");
        assert!((one.low + other.high).to_d().abs() < HALVED, "{answers:?}: {one:?} {other:?}");
        assert!((one.sd - other.sd).to_d().abs() < DUST, "{answers:?}: {one:?} {other:?}");
        assert!(one.balance.to_d().abs() > 0.05, "{answers:?}: {one:?}");
    }
}

#[test]
fn red_calls_for_minus_and_green_for_plus() {
    let likelihood = mirrored();
    let balance = |answer| estimated(&likelihood, &[(0, answer)]).balance.to_d();
    assert!(balance(Answer::Red) < -0.1 && balance(Answer::Green) > 0.1);
}

#[test]
fn a_leaning_is_told_from_focus_by_swapping_sides() {
    use Answer::{Green, Red};
    let likelihood = mirrored();
    let on = |red, answer| (Put { red, ..put(0) }, answer);
    let [left, right] = [Some(Side::Left), Some(Side::Right)];
    let balance = |answers: &[(Put, Answer)]| {
        Belief::after_all(&likelihood, Prior::usual(), answers).estimate().balance.to_d()
    };
    // Red four times with red on the left alone may be a leaning to the left; with sides swapped it cannot.
    let kept = balance(&[on(left, Red); 4]);
    let swapped = balance(&[on(left, Red), on(right, Red), on(left, Red), on(right, Red)]);
    assert!(swapped < kept - 0.005, "{swapped} {kept}");
    // Always clearer on the left, whichever colour lies there, says nothing of focus.
    let side = balance(&[on(left, Red), on(right, Green), on(left, Red), on(right, Green)]);
    assert!(side.abs() < 1e-9, "{side}");
}

#[test]
fn answers_that_agree_narrow_it_down_to_what_the_day_leaves() {
    let likelihood = mirrored();
    // Red and green as often on either side, so that it is no leaning.
    let sides = [Side::Left, Side::Right].map(|red| Put { red: Some(red), ..put(0) });
    let four = sides.into_iter().flat_map(|put| [(put, Answer::Red), (put, Answer::Green)]);
    let answers: Vec<_> = four.cycle().take(80).collect();
    let sd =
        |count: usize| Belief::after_all(&likelihood, Prior::usual(), &answers[..count]).estimate().sd.to_d();
    let sds: Vec<f64> = (0..=answers.len()).step_by(4).map(sd).collect();
    assert!(sds.windows(2).all(|pair| pair[1] < pair[0]), "{sds:?}");
    // Before the first it is the prior's own, by hand √(0.95 · 0.35² + 0.05 · 1²) = 0.4079 D, of which the grid has not the one eye
    // in 40,000 that is off by more than 3.5 D. Of 0.35 D of eyes and 0.10 D of days, what no answer
    // tells: 0.35 · 0.10/√(0.35² + 0.10²) = 0.09615 D.
    const GRID: f64 = 1e-3;
    assert!((sds[0] - 0.4079).abs() < GRID, "{}", sds[0]);
    // Eighty answers come near to that.
    let last = sds[sds.len() - 1];
    assert!((0.09615..0.12).contains(&last), "{last}");
}

#[test]
fn answers_that_nobody_gives_leave_numbers() {
    use Answer::{Green, Red, Same, Unsure};
    let eyes = [patient(), Patient { same_within: 1.0, ..Patient::noiseless() }]
        .map(|patient| Likelihood::new(&Mirrored, Dioptres::new(0.0), &patient));
    for likelihood in &eyes {
        for answers in [
            &[(5, Green), (-5, Red), (5, Green), (-5, Red)][..],
            &[(0, Unsure), (3, Unsure), (-3, Unsure), (0, Same), (0, Unsure)],
            &[(8, Same), (-8, Same), (99, Red), (-99, Green), (0, Red), (0, Green)],
        ] {
            let belief = Belief::after_all(likelihood, Prior::usual(), &asked(answers));
            let Estimate { balance, low, high, sd } = belief.estimate();
            assert!(
                low < balance && balance < high && sd.to_d() > 0.0,
                "{answers:?}: {:?}",
                belief.estimate()
            );
            assert!((0.0..=1.0).contains(&belief.within_a_click_of(balance)));
            assert!(belief.next((Clicks::NONE, None), None, false).worth.to_d() >= 0.0);
        }
    }
}

#[test]
fn the_next_lens_is_one_that_may_be_asked() {
    let [still, young] = [patient(), patient().with_accommodation(Accommodation::typical())]
        .map(|patient| Likelihood::new(&Mirrored, Dioptres::new(0.0), &patient));
    for (likelihood, least) in [(&still, -5), (&young, -2)] {
        for mean in [-1.0, -0.5, 0.0, 0.5, 1.0] {
            let prior = Prior::new(Dioptres::new(mean), Dioptres::new(0.3)).unwrap();
            for before in [-9, -4, 0, 3, 9] {
                let next = Belief::before(likelihood, prior).next((Clicks::new(before), None), None, true);
                let clicks = next.put.clicks.count();
                let reached = (before - 4).clamp(least, 5)..=(before + 4).clamp(least, 5);
                assert!(reached.contains(&clicks), "{mean} {before}: {clicks}");
                assert!(next.put.larger && next.put.red.is_none());
                assert_eq!(next.put.from_plus, likelihood.accommodates() || clicks < before);
            }
        }
    }
}

#[test]
fn who_could_not_tell_is_not_blurred_more() {
    let still = Likelihood::new(&Mirrored, Dioptres::new(0.0), &patient());
    let mut farther = 0;
    for mean in [-1.0, 0.0, 1.0] {
        let prior = Prior::new(Dioptres::new(mean), Dioptres::new(0.3)).unwrap();
        for before in (-5..=5).map(Clicks::new) {
            let next = |answer: Answer| {
                let belief = Belief::before(&still, prior);
                belief.next((before, Some(answer)), None, true).put.clicks.abs()
            };
            assert!(next(Answer::Unsure) <= before.abs(), "{mean} {before:?}");
            farther += u8::from(next(Answer::Red) > before.abs());
        }
    }
    assert!(farther > 0, "another answer may lead farther");
}

#[test]
fn the_lens_that_is_asked_leaves_the_least_variance_and_is_worth_what_is_said() {
    const DUST: f64 = 1e-9;
    let likelihood = mirrored();
    let mut belief = Belief::before(&likelihood, Prior::usual());
    for answer in [Answer::Same, Answer::Green, Answer::Red, Answer::Same] {
        // The long way round: each answer to each lens is given, and weighed by how likely it is given by sight. One in ten is "cannot
        // tell" whatever is seen and leaves all as it was: that is taken from the moments after such an answer.
        const ANYWAY: f64 = 0.1;
        let moments = |belief: &Belief<'_>, mass: f64| {
            let Estimate { balance, sd, .. } = belief.estimate();
            let mean = balance.to_d();
            [mass, mass * mean, mass * (sd.to_d().powi(2) + mean.powi(2))]
        };
        let expected = |put: Put| -> f64 {
            let left = Answer::ALL.map(|answer| {
                let likely: f64 = belief
                    .days()
                    .flat_map(|day| day.weights.iter().zip(likelihood.chances(put, answer, day.place)))
                    .map(|(weight, chance)| weight * chance)
                    .sum();
                let after = moments(&belief.clone().after(put, answer), likely);
                let as_it_was = moments(&belief, if answer == Answer::Unsure { ANYWAY } else { 0.0 });
                let [mass, first, second] =
                    std::array::from_fn(|moment| (after[moment] - as_it_was[moment]) / (1.0 - ANYWAY));
                second - first * first / mass
            });
            left.iter().sum()
        };
        let next = belief.next((Clicks::NONE, None), Some(Side::Left), false);
        let least = (-4..=4).map(|clicks| expected(put(clicks))).fold(f64::INFINITY, f64::min);
        assert!((expected(next.put) - least).abs() < DUST, "{next:?}");
        let worth = belief.estimate().sd.to_d() - least.sqrt();
        assert!((next.worth.to_d() - worth).abs() < DUST, "{next:?} {worth}");
        belief = belief.after(next.put, answer);
    }
}

#[test]
fn of_lenses_that_tell_as_much_the_one_with_more_plus_is_asked() {
    // About a mirror, before the first answer, lenses on both sides tell as much, whatever binary makes of it.
    let likelihood = mirrored();
    let next = Belief::before(&likelihood, Prior::usual()).next((Clicks::NONE, None), None, false);
    assert!(next.put.clicks > Clicks::NONE, "{next:?}");
}

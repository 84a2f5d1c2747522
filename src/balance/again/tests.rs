use super::*;
use crate::balance::examination::example;
use crate::balance::{Answer, Choice, Event, EyeKind, Misfit, Procedure, Put, Stage};
use crate::light::Side;
use Answer::{Green as G, Red as R, Same as S};

/// What a grid of 0.05 D and the halving of an interval's ends leave, in dioptres.
const GRID_D: f64 = 2e-3;

fn start(manifest: &str) -> Start {
    let (kind, procedure) = (EyeKind::Pseudophakic, Procedure::Customary);
    Start { kind, procedure, manifest: manifest.parse().unwrap(), ..example() }
}

fn answers(answers: &[Answer]) -> Vec<Event> {
    answers.iter().map(|answer| Event::Answered(*answer)).collect()
}

fn twice(first: &str, [one, other]: [&[Answer]; 2], second: &str) -> Examination {
    let mut events = vec![Event::Started(Box::new(start(first)))];
    events.extend(answers(one));
    events.extend([Event::White("20/20".parse().unwrap()), Event::Chosen(Choice::FarQuarter)]);
    events.push(Event::Again(Box::new(start(second))));
    events.extend(answers(other));
    Examination::of(&events).unwrap()
}

/// All answers of both runs as those of one, each by its lens in clicks from the first one, put together by hand.
#[test]
fn two_runs_are_told_as_one_patient_on_one_day() {
    // Both begin at their manifest, the second one two clicks to plus of the first.
    let runs = twice("-1.00", [&[R, S, S], &[R, R, G, G]], "-0.50");
    let put = |clicks: i32, from_plus: bool, right: bool| Put {
        clicks: Clicks::new(clicks),
        from_plus,
        larger: false,
        red: Some(if right { Side::Right } else { Side::Left }),
    };
    let all = [
        (put(0, false, false), R),
        (put(-1, true, false), S),
        (put(-1, false, true), S),
        (put(2, false, false), R),
        (put(1, true, false), R),
        (put(0, true, false), G),
        (put(0, false, true), G),
    ];
    let asked: Vec<(f64, Answer)> =
        runs.courses[1].asked.iter().map(|(question, answer)| (question.sphere.to_d(), *answer)).collect();
    assert_eq!(asked, [(-0.5, R), (-0.75, R), (-1.0, G), (-1.0, G)], "as the list above has it");
    let known = Viewer::of(&start("-1.00")).unwrap().known().unwrap();
    let expected = Belief::after_all(&known.likelihood, known.prior(&start("-1.00")), &all).estimate();
    let found = runs.all_runs_of(Laterality::Right).unwrap();
    for (one, other) in
        [(found.balance, expected.balance), (found.low, expected.low), (found.high, expected.high)]
    {
        assert!((one.to_d() - (-1.0 + other.to_d())).abs() < GRID_D, "{one:?} {other:?}");
    }
    // More answers, a narrower interval.
    let last = runs.courses[1].whereabouts().unwrap();
    assert!(found.sd < last.sd, "{found:?} {last:?}");
}

/// By hand: −1.00 with −0.50 of cylinder more has its spherical equivalent at −1.25; what is found is in sphere with that cylinder.
#[test]
fn a_rechecked_cylinder_is_compared_by_the_spherical_equivalent() {
    let same: [&[Answer]; 2] = [&[R, S, S], &[R, S, S]];
    let [spherical, toric] = ["-1.00", "-0.75/-0.50x90"].map(|second| twice("-1.00", same, second));
    let [one, other] = [&spherical, &toric].map(|runs| runs.all_runs_of(Laterality::Right).unwrap());
    assert!((one.balance.to_d() + 0.25 - other.balance.to_d()).abs() < GRID_D, "{one:?} {other:?}");
    assert!((one.sd.to_d() - other.sd.to_d()).abs() < GRID_D);
    let beside = [spherical, toric].map(|runs| {
        runs.all_runs_in_words(Laterality::Right).unwrap().contains("as sphere beside the last cylinder")
    });
    assert_eq!(beside, [false, true]);
}

/// A run between two others in which red was always clearer says nothing of where balance lies, and does not silence them.
#[test]
fn a_run_that_decided_nothing_is_left_out() {
    let again = |examination: &mut Examination, given: &[Answer]| {
        examination.happen(&Event::Again(Box::new(start("-1.00")))).unwrap();
        answers(given).iter().for_each(|event| {
            if matches!(examination.stage(), Stage::Ask(_)) {
                examination.happen(event).unwrap();
            }
        });
    };
    let mut two = twice("-1.00", [&[R, S, S], &[]], "-1.00");
    two.happen(&Event::Undone).unwrap();
    let mut three = two.clone();
    again(&mut three, &[R; 12]);
    assert!(three.all_runs_of(Laterality::Right).is_none(), "the last run says nothing");
    for examination in [&mut two, &mut three] {
        again(examination, &[R, R, S, S]);
    }
    let [of_two, of_three] = [&two, &three].map(|runs| runs.all_runs_of(Laterality::Right).unwrap());
    assert_eq!(of_two, of_three);
    let said = three.all_runs_in_words(Laterality::Right).unwrap();
    assert!(said.starts_with("2 of 3 runs together"), "{said}");
}

#[test]
fn runs_of_two_kinds_of_eye_are_not_taken_together() {
    let mut runs = twice("-1.00", [&[R, S, S], &[]], "-1.00");
    runs.happen(&Event::Undone).unwrap();
    let other = Start { kind: EyeKind::SmallAperture, ..start("-1.00") };
    runs.happen(&Event::Again(Box::new(other))).unwrap();
    answers(&[R, S, S]).iter().for_each(|event| runs.happen(event).unwrap());
    assert_eq!(runs.all_runs_of(Laterality::Right), None);
    let said = runs.all_runs_in_words(Laterality::Right).unwrap();
    assert!(said.contains("no model takes these runs together"), "{said}");
}

#[test]
fn the_cylinder_is_asked_for_from_half_a_dioptre_on_and_keeps_the_equivalent() {
    let run = |given: &[Answer]| {
        let events: Vec<Event> =
            [Event::Started(Box::new(start("-1.00/-0.50x90")))].into_iter().chain(answers(given)).collect();
        Examination::of(&events).unwrap()
    };
    let near = run(&[R, S, S]);
    assert!(!near.courses[0].asks_for_the_cylinder(), "a click only");
    // The same cylinder, in its own form and in the other.
    for (power, axis_degrees) in [(-0.5, 90), (0.5, 180)] {
        let same = Some(Cylinder { power: Dioptres::new(power), axis_degrees });
        assert_eq!(near.courses[0].rechecked(same), Err(RecheckError::Same));
    }
    assert_eq!(run(&[R]).courses[0].rechecked(None), Err(RecheckError::NotYet));
    let far = run(&[R, R, S, S]);
    assert!(far.courses[0].asks_for_the_cylinder());
    // −1.50/−0.50 is worth −1.75; with −1.00 of cylinder the sphere is −1.25.
    let cylinder = Some(Cylinder { power: Dioptres::new(-1.0), axis_degrees: 85 });
    let again = far.courses[0].rechecked(cylinder).unwrap();
    assert_eq!(again.manifest.to_string(), "−1.25 / −1.00 × 85");
    assert_eq!(again.refined_for, RefinedFor::Room);
    // Through that lens nothing was read yet; once something was, that is nearer to what this manifest gives.
    assert_eq!(again.acuity, start("-1.00/-0.50x90").acuity);
    let read = far.clone().after(&Event::White("20/12.5".parse().unwrap())).unwrap();
    assert_eq!(read.courses[0].rechecked(cylinder).unwrap().acuity, "20/12.5".parse().unwrap());
    // A quarter of cylinder moves no sphere, three quarters move it by one click.
    for (power, manifest) in
        [(-0.75, "−1.50 / −0.75 × 90"), (-1.25, "−1.25 / −1.25 × 90"), (0.25, "−1.75 / +0.25 × 90")]
    {
        let cylinder = Some(Cylinder { power: Dioptres::new(power), axis_degrees: 90 });
        assert_eq!(far.courses[0].rechecked(cylinder).unwrap().manifest.to_string(), manifest);
    }
    let far = far.after(&Event::Again(Box::new(again))).unwrap();
    let Stage::Ask(question) = far.stage() else { panic!("{:?}", far.stage()) };
    assert_eq!(question.sphere.to_string(), "−1.25 D");
    assert_eq!(far.last_change(Laterality::Right), Some(Change::Cylinder));
    assert_eq!((far.eyes().len(), far.earlier_runs().len()), (1, 1));
}

/// −1.50/−0.50 × 90 read 20/20; with −0.75 × 85 and a click more minus 20/25 is read, and the manifest with that cylinder stands,
/// through which nobody read.
#[test]
fn letters_that_were_read_through_another_cylinder_are_told_as_such() {
    let begun = [Event::Started(Box::new(start("-1.00/-0.50x90")))].into_iter().chain(answers(&[R, R, S, S]));
    let white = |score: &str| Event::White(score.parse().unwrap());
    let first = Examination::of(&begun.chain([white("20/20")]).collect::<Vec<_>>()).unwrap();
    let cylinder = Some(Cylinder { power: Dioptres::new(-0.75), axis_degrees: 85 });
    let second = first.courses[0].rechecked(cylinder).unwrap();
    let run = |second: &Start, score: &str| {
        let more = answers(&[R, S, S]).into_iter().chain([white(score)]);
        let all = [Event::Again(Box::new(second.clone()))].into_iter().chain(more);
        all.fold(first.clone(), |before, event| before.after(&event).unwrap())
    };
    let worse = run(&second, "20/25");
    let course = &worse.courses[1];
    assert_eq!(course.acuity_before_through().unwrap().to_string(), "−1.50 / −0.50 × 90");
    assert_eq!(course.acuity_before_in_words(), "20/20, through −1.50 / −0.50 × 90");
    let why = course.stands_in_words().unwrap();
    assert!(
        why.contains("worse than through −1.50 / −0.50 × 90, by 5 letters")
            && why.contains("doubt the new cylinder"),
        "{why}"
    );
    assert!(course.keeps_the_manifest());
    let better = worse.read_better_in_words(Laterality::Right).unwrap();
    assert!(better.contains("Run 1 read 20/20 through its lens, 5 letters more"), "{better}");
    // Two letters may be chance, and another acuity was read through what the second run began with.
    let alike = run(&second, "20/20-2");
    assert_eq!(alike.read_better_in_words(Laterality::Right), None);
    assert_eq!(alike.courses[1].stands_in_words().unwrap(), "The balance’s lens stands.");
    let read_anew = Start { acuity: "20/25".parse().unwrap(), ..second.clone() };
    let spherical = twice("-1.00", [&[R, S, S], &[R, S, S]], "-1.00");
    for known in [run(&read_anew, "20/25"), spherical] {
        assert_eq!(known.courses[1].acuity_before_through(), None);
    }
}

/// A cylinder is not rechecked through a lens that white refused, and where the manifest then stands far from balance that is said.
#[test]
fn a_lens_that_white_refused_asks_for_no_cylinder_and_the_manifest_is_held_against_balance() {
    let read = |given: &[Answer], score: &str| {
        let events = [Event::Started(Box::new(start("-1.00/-0.50x90")))];
        let white = Event::White(score.parse().unwrap());
        let events: Vec<Event> = events.into_iter().chain(answers(given)).chain([white]).collect();
        Examination::of(&events).unwrap().courses.remove(0)
    };
    let asks = |score: &str| read(&[R, R, S, S], score).asks_for_the_cylinder();
    assert_eq!([asks("20/20"), asks("20/32")], [true, false]);
    let held = |given: &[Answer], score: &str| read(given, score).kept_against_balance();
    // "Same" was said at −1.50 and at −1.25: half a dioptre and a quarter to minus of the manifest.
    assert!(held(&[R, R, S, S], "20/32").unwrap().ends_with("D more plus than the estimated balance."));
    assert_eq!((held(&[R, R, S, S], "20/20"), held(&[R, S, S], "20/32")), (None, None));
}

#[test]
fn only_an_eye_that_was_asked_is_asked_again_and_not_amid_questions() {
    let left = Box::new(Start { eye: Laterality::Left, ..start("-1.00") });
    let right = Box::new(start("-1.00"));
    let begun = Examination::of(&[Event::Started(right.clone())]).unwrap();
    assert_eq!(begun.clone().after(&Event::Again(right.clone())), Err(Misfit::OutOfTurn));
    let white = answers(&[R, S, S]).iter().fold(begun, |before, event| before.after(event).unwrap());
    assert_eq!(white.clone().after(&Event::Again(left.clone())), Err(Misfit::NotAsked));
    // While the left eye is in hand, the right one is not asked again, though it was asked.
    let chosen =
        [Event::White("20/20".parse().unwrap()), Event::Chosen(Choice::Nothing), Event::Started(left)];
    let both = chosen.into_iter().chain(answers(&[R, S, S]));
    let both = both.fold(white.clone(), |before, event| before.after(&event).unwrap());
    assert_eq!(both.stage(), Stage::White);
    assert_eq!(both.after(&Event::Again(right.clone())), Err(Misfit::NotAsked));
    let again = white.after(&Event::Again(right)).unwrap();
    assert_eq!(again.courses.len(), 2);
    // Taken back, the first run stands where it stood.
    let back = again.after(&Event::Undone).unwrap();
    assert_eq!((back.courses.len(), back.stage()), (1, Stage::White));
}

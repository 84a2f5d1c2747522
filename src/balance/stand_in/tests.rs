use super::*;
use crate::balance::{Event, Examination, EyeKind, Procedure, Stage, Start, examination::example};

fn begun(kind: EyeKind, procedure: Procedure) -> Examination {
    let start = Start { kind, procedure, end_point: kind.usual_end_point(), ..example() };
    Examination::of(&[Event::Started(Box::new(start))]).unwrap()
}

/// Asks until there is nothing more to ask about letters.
fn asked(patient: StandIn, mut examination: Examination) -> Course {
    while let Some(reply) = patient.reply(&examination.courses[0]) {
        let event = match reply {
            Reply::Clearer(answer) => Event::Answered(answer),
            Reply::Line(answer) => Event::Limit(answer),
        };
        examination.happen(&event).unwrap();
    }
    examination.courses.remove(0)
}

fn patients(count: u64) -> impl Iterator<Item = StandIn> {
    (0..count).map(StandIn::first)
}

#[test]
fn a_step_taken_back_gets_the_same_answer_and_others_answer_otherwise() {
    let questions = |patient: StandIn| asked(patient, begun(EyeKind::Presbyopic, Procedure::Bracket)).asked;
    let patient = StandIn::first(7);
    assert_eq!(questions(patient), questions(patient));
    assert_eq!(patient.next().number(), 2);
    let different = patients(20).filter(|other| questions(*other) != questions(patient)).count();
    assert!(different > 10, "{different}");
    assert_ne!(questions(patient), questions(patient.next()), "two of one seed may be alike, these are not");
}

#[test]
fn too_much_plus_is_answered_by_red_and_too_much_minus_by_green() {
    // Common practice, no source: red calls for minus, green for plus. A click and a half off, few answer otherwise.
    let course = begun(EyeKind::Presbyopic, Procedure::Bracket).courses.remove(0);
    let first = course.stage().and_then(Stage::question).unwrap().sphere;
    let (mut right, mut all) = (0, 0);
    for patient in patients(300) {
        let off = (first - patient.balance(&course).unwrap()).to_d();
        if off.abs() > 0.375 {
            all += 1;
            let expected = if off > 0.0 { Answer::Red } else { Answer::Green };
            right += i32::from(patient.reply(&course) == Some(Reply::Clearer(expected)));
        }
    }
    assert!(all > 20 && f64::from(right) > 0.9 * f64::from(all), "{right} of {all}");
}

#[test]
fn manifests_are_refined_on_white_and_wrong_as_is_said() {
    let course = begun(EyeKind::SmallAperture, Procedure::Adaptive).courses.remove(0);
    let known = Viewer::of(&course.start).unwrap().known().unwrap();
    // Where white is clearest and where balance lies: the tables' own, by their signs.
    let expected = (known.tables.line.balance() - known.tables.line.white()).to_d();
    let off: Vec<f64> = patients(400)
        .map(|patient| (patient.balance(&course).unwrap() - course.start.manifest_here()).to_d())
        .collect();
    let mean = off.iter().sum::<f64>() / 400.0;
    let sd = (off.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / 399.0).sqrt();
    // Three standard errors: 0.25/√400 of the mean, 0.25/√800 of the SD.
    assert!(
        (mean - expected).abs() < 3.0 * 0.0125 && (sd - MANIFEST_SD_D).abs() < 3.0 * 0.0089,
        "{mean} {sd}"
    );
}

#[test]
fn an_examination_ends_and_its_interval_holds_balance_as_often_as_it_says() {
    const PATIENTS: u64 = 100;
    for (kind, procedure) in [
        (EyeKind::SmallAperture, Procedure::Adaptive),
        (EyeKind::Presbyopic, Procedure::Midpoint),
        (EyeKind::Presbyopic, Procedure::Bracket),
        (EyeKind::Accommodating, Procedure::FromPlus),
    ] {
        let (mut held, mut told) = (0, 0);
        for patient in patients(PATIENTS) {
            let course = asked(patient, begun(kind, procedure));
            assert!(patient.reply(&course).is_none());
            let Some(found) = patient.result(&course).unwrap().held else { continue };
            told += 1;
            held += i32::from(found);
        }
        // Of 100 at 95 %, fewer than 86 hold once in several thousand tries.
        assert!(
            told > 80 && f64::from(held) >= 0.86 * f64::from(told),
            "{kind:?} {procedure:?}: {held} of {told}"
        );
    }
}

#[test]
fn how_far_a_lens_lies_is_said_with_its_side() {
    for (off, words) in [
        (0.25, "0.25 D too plus, within a click"),
        (-0.26, "0.26 D too minus, more than a click"),
        (0.0, "at balance"),
    ] {
        assert_eq!(beside(Dioptres::new(off)), words);
    }
}

#[test]
fn what_practised_eyes_came_to_is_counted() {
    let eye = |off: Option<f64>, held| PractisedEye {
        balance: Dioptres::new(-1.1),
        off: off.map(Dioptres::new),
        held,
    };
    let eyes = [eye(Some(0.1), Some(true)), eye(Some(-0.4), Some(false)), eye(None, None)];
    assert_eq!(PractisedEye::together(&[]), "");
    assert_eq!(
        PractisedEye::together(&eyes),
        "Of 3 eyes so far 1 ended within a click of balance; the interval held it in 1 of 2."
    );
    assert_eq!(
        eyes[1].words(),
        "Balance lay at \u{2212}1.10 D at the chart’s distance: the lens left in, \u{2212}1.50 D, is 0.40 D too minus, more than a click. The interval does not hold it, as happens to one eye in twenty."
    );
    assert_eq!(
        eyes[2].words(),
        "Balance lay at \u{2212}1.10 D at the chart’s distance: no lens was left in."
    );
}

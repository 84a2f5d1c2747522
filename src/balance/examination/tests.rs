mod limits;

use super::*;
use crate::balance::{
    Answer, Choice, Clicks, ColourVision, End, EndPoint, EyeKind, Legible, Place, Procedure, RefinedFor,
    Stands, Start, Why,
};
use crate::quantity::{Dioptres, Length, Luminance};
use Answer::{Green as G, Red as R, Same as S, Unsure as U};

fn start(kind: EyeKind, manifest: &str, refined_for: RefinedFor) -> Start {
    Start {
        eye: Laterality::Right,
        manifest: manifest.parse().unwrap(),
        refined_for,
        acuity: "20/20".parse().unwrap(),
        kind,
        procedure: kind.by_hand().stepping().into(),
        end_point: kind.usual_end_point(),
        vertex: None,
        glasses_vertex: None,
        intended: None,
        colour_vision: ColourVision::Usual,
        brunescent: false,
        red: Side::Left,
        lines_above: 2,
        label: None,
        examiner: None,
        instrument: None,
        place: Place {
            name: "a made-up room".into(),
            distance: Length::mm(3200.0),
            luminance: Luminance::cd_m2(50.0),
            luminance_basis: "assumed".into(),
            metered: None,
            interval: Dioptres::new(0.31),
            interval_basis: "assumed".into(),
            protanope_red_over_green: 0.34,
            cautions: Vec::new(),
            largest_log_mar: None,
        },
    }
}

/// An eye for the tests of records.
pub(in crate::balance) fn example() -> Start {
    Start { label: Some("drawer 3, top".into()), ..start(EyeKind::Presbyopic, "-1.00", RefinedFor::Room) }
}

fn after(start: Start, answers: &[Answer], then: &[Event]) -> Examination {
    let answers = answers.iter().map(|answer| Event::Answered(*answer));
    let events: Vec<Event> =
        [Event::Started(Box::new(start))].into_iter().chain(answers).chain(then.iter().cloned()).collect();
    Examination::of(&events).unwrap()
}

fn white(score: &str) -> Event {
    Event::White(score.parse().unwrap())
}

fn question(examination: &Examination) -> Question {
    let Stage::Ask(question) = examination.stage() else { panic!("{:?}", examination.stage()) };
    question
}

fn same(one: Dioptres, other: f64) {
    assert!((one.to_d() - other).abs() < 1e-9, "{one:?} is not {other}");
}

#[test]
fn every_result_stands_for_the_room_and_for_far_away() {
    // Worked by hand: −1.25 is same with sides swapped; 1/3.2 m is 0.3125 D.
    let pseudophakic =
        Start { procedure: Procedure::Customary, ..start(EyeKind::Pseudophakic, "-1.00", RefinedFor::Room) };
    let done = after(pseudophakic, &[R, S, S], &[white("20/20")]);
    let course = &done.courses[0];
    let standing = course.standing().unwrap();
    assert_eq!(standing.why, Stands::Balanced);
    same(standing.here, -1.25);
    same(standing.far, -1.5625);
    for (choice, sphere) in [
        (Choice::FarQuarter, -1.5),
        (Choice::FarExact, -1.5625),
        (Choice::HereQuarter, -1.25),
        (Choice::Manifest, -1.0),
    ] {
        same(course.sphere_of(choice).unwrap(), sphere);
    }
    assert_eq!(course.sphere_of(Choice::Nothing), None);
    assert_eq!(course.chosen_sphere(), None, "nothing is chosen silently");
}

#[test]
fn a_far_manifest_is_brought_to_the_room_in_whole_clicks() {
    let examination = after(start(EyeKind::Pseudophakic, "-1.00", RefinedFor::FarAway), &[], &[]);
    let first = question(&examination);
    same(first.sphere, -0.75);
    // Its exact worth in the room is −0.6875.
    same(first.change, -0.0625);
    // A run that decides nothing leaves the manifest as it was.
    let kept = after(start(EyeKind::Pseudophakic, "-1.00", RefinedFor::FarAway), &[U, U, U], &[]);
    same(kept.courses[0].standing().unwrap().far, -1.0);
}

#[test]
fn quarters_are_stepped_from_an_odd_manifest() {
    let examination = after(start(EyeKind::Presbyopic, "+0.62", RefinedFor::Room), &[R], &[]);
    same(question(&examination).sphere, 0.37);
    same(question(&examination).change, -0.25);
}

#[test]
fn what_cannot_be_told_is_asked_with_a_larger_line() {
    let examination = after(start(EyeKind::Presbyopic, "0", RefinedFor::Room), &[R, U], &[]);
    assert_eq!(question(&examination).line, "20/40".parse().unwrap());
    assert_eq!(question(&examination).moved, Clicks::NONE);
}

#[test]
fn the_deciding_question_swaps_the_sides() {
    let examination = after(start(EyeKind::Presbyopic, "0", RefinedFor::Room), &[R, G], &[]);
    assert_eq!((question(&examination).why, question(&examination).red), (Why::SidesSwapped, Side::Right));
    assert_eq!(question(&examination).answer_of(Side::Right), R);
}

#[test]
fn white_read_worse_leaves_the_manifest() {
    let pseudophakic = || start(EyeKind::Pseudophakic, "-1.00", RefinedFor::Room);
    // Green in the end, so that the lens that is left in, −1.25, is not the manifest.
    let first_green = || Start { end_point: EndPoint::EqualElseFirstGreen, ..pseudophakic() };
    let course = |readings: &[&str]| {
        let readings: Vec<Event> = readings.iter().map(|score| white(score)).collect();
        after(first_green(), &[R, G, G], &readings)
    };
    let stands = |readings: &[&str]| course(readings).courses[0].standing().map(|standing| standing.why);
    assert_eq!(stands(&["20/20"]), Some(Stands::Balanced));
    // A letter or two may be chance and overturn nothing; three ask for a second reading.
    assert_eq!(stands(&["20/20-2"]), Some(Stands::Balanced));
    assert_eq!((stands(&["20/20-3"]), course(&["20/20-3"]).stage()), (None, Stage::White));
    assert_eq!(stands(&["20/20-3", "20/20-2"]), Some(Stands::Balanced));
    assert_eq!(stands(&["20/20-3", "20/20-4"]), Some(Stands::WorseOnWhite(4)));
    let worse = course(&["20/25"]).courses[0].standing().unwrap();
    assert_eq!(worse.why, Stands::WorseOnWhite(5));
    same(worse.here, -1.0);
    // Last red leaves the manifest itself in: no other lens was worse.
    let last_red = Start { end_point: EndPoint::EqualElseLastRed, ..pseudophakic() };
    let stays = after(last_red, &[R, G, G], &[white("20/25")]).courses[0].standing().unwrap();
    assert_eq!(stays.why, Stands::ManifestWorse(5));
    same(stays.here, -1.0);
    assert!(stays.why.words().contains("this same lens"), "{}", stays.why.words());
}

#[test]
fn a_far_end_behind_a_small_aperture_is_asked_for_a_second_time() {
    let small = || start(EyeKind::SmallAperture, "-0.75", RefinedFor::Room);
    // Red at 0, −2, −4 clicks, green at −6, red at −5: midway −5, with plus of two, 1.25 D from the manifest.
    let far = [R, R, R, G, R];
    let again = after(small(), &far, &[]);
    assert_eq!((question(&again).why, question(&again).series), (Why::AskedAgain, 2));
    same(question(&again).sphere, -0.75);
    assert_eq!(question(&again).moved, Clicks::new(5));
    // The same once more.
    let twice = after(small(), &[far, far].concat(), &[white("20/20")]);
    let course = &twice.courses[0];
    assert_eq!((course.asked.len(), course.standing().unwrap().why), (10, Stands::Balanced));
    same(course.standing().unwrap().here, -2.0);
    // Red at 0, −2, green at −4, red at −3: −3. Two clicks off the first: no agreement, and the manifest stands.
    let other = after(small(), &[&far[..], &[R, R, G, R]].concat(), &[]);
    assert_eq!(other.stage(), Stage::Choose);
    assert_eq!(other.courses[0].standing().unwrap().why, Stands::NotRepeated);
    same(other.courses[0].standing().unwrap().here, -0.75);
    // Red at 0, −2 and −3, the same at −4 and −5, green at −6: midway −4. A click off the first, and nearer to the manifest.
    let nearer = after(small(), &[&far[..], &[R, R, S, G, R, S]].concat(), &[white("20/20")]);
    assert_eq!(nearer.courses[0].standing().map(|standing| standing.why), Some(Stands::Balanced));
    same(nearer.courses[0].standing().unwrap().here, -1.75);
    // Half a dioptre is not asked for twice, nor is more in another eye.
    let half = after(small(), &[R, R, G, G], &[]);
    assert_eq!(half.stage(), Stage::White);
    let pseudophakic =
        Start { procedure: Procedure::Bracket, ..start(EyeKind::Pseudophakic, "0", RefinedFor::Room) };
    assert_eq!(after(pseudophakic, &far, &[]).stage(), Stage::White);
}

#[test]
fn steps_grow_with_poor_acuity() {
    // Common practice, no source: for 20/x about x/100 D for both sides together. By hand: 20/100 is 0.50 D to each
    // side, 20/200 1.00 D, and 20/50 and better a click.
    for (acuity, step) in [
        ("20/20", 0.25),
        ("20/50", 0.25),
        ("20/63", 0.25),
        ("20/80", 0.5),
        ("20/100", 0.5),
        ("20/125", 0.75),
        ("20/200", 1.0),
    ] {
        let eye = Start {
            acuity: acuity.parse().unwrap(),
            ..start(EyeKind::Presbyopic, "-1.00", RefinedFor::Room)
        };
        same(eye.step(), step);
        let first = question(&after(eye, &[R], &[]));
        same(first.change, -step);
    }
    // The last line of one click, by the same rule: 20/63 is 0.32 D, 20/80 0.40 D.
    assert!(crate::balance::steps_hold_for().contains("20/63 or better"));
    let poor =
        Start { acuity: "20/100".parse().unwrap(), ..start(EyeKind::Accommodating, "0", RefinedFor::Room) };
    same(question(&after(poor.clone(), &[], &[])).change, 1.0);
    same(question(&after(poor.clone(), &[R, R, S], &[])).blur_first.unwrap(), 1.0);
    assert!(after(poor, &[R; 5], &[]).courses[0].too_much_minus().contains("1.00 D more minus"));
}

#[test]
fn an_eye_for_which_no_letters_fit_is_refused() {
    use super::super::StartError;
    let eye = |largest| {
        let eye = start(EyeKind::Presbyopic, "0", RefinedFor::Room);
        let place = Place { largest_log_mar: largest, ..eye.place.clone() };
        Start { acuity: "20/100".parse().unwrap(), place, ..eye }
    };
    // Two lines over 20/100 is 20/160, 0.9 logMAR.
    assert!(matches!(eye(Some(0.8)).checked(), Err(StartError::Target(2, _))));
    assert!(eye(Some(0.9)).checked().is_ok() && eye(None).checked().is_ok());
    // Where no larger line fits, who cannot tell is asked with the same one.
    assert_eq!(question(&after(eye(Some(0.9)), &[U], &[])).line, "20/160".parse().unwrap());
    assert_eq!(question(&after(eye(None), &[U], &[])).line, "20/200".parse().unwrap());
}

#[test]
fn the_examiner_is_told_whenever_the_chart_must_change() {
    let presbyopic = || start(EyeKind::Presbyopic, "0", RefinedFor::Room);
    let told = |answers: &[Answer]| after(presbyopic(), answers, &[]).change_of_chart().unwrap_or_default();
    assert_eq!(told(&[R]), "");
    // Swapped for the deciding question, and back.
    let swapped = told(&[R, G]);
    assert!(swapped.contains("green left, red right") && swapped.contains("new letters"), "{swapped}");
    assert!(swapped.contains("page: x, n"), "{swapped}");
    let back = told(&[R, G, S]);
    assert!(back.contains("red left, green right") && back.contains("page: x."), "{back}");
    // A larger line for who cannot tell.
    assert!(told(&[U]).contains("line 20/40") && told(&[U]).contains("page: l."), "{}", told(&[U]));
    // Taken back: the chart does not know of that.
    let undone = after(presbyopic(), &[R, G], &[Event::Undone]);
    assert!(undone.change_of_chart().unwrap().contains("red left, green right"));
    let white_undone = after(presbyopic(), &[R, G, G], &[Event::Undone]);
    assert!(white_undone.change_of_chart().unwrap().contains("show both colours"));
    // The other eye begins with the chart on white.
    let left = Start { eye: Laterality::Left, ..presbyopic() };
    let both = after(
        presbyopic(),
        &[R, G, G],
        &[white("20/20"), Event::Chosen(Choice::Nothing), Event::Started(Box::new(left))],
    );
    assert!(both.change_of_chart().unwrap().contains("show both colours"));
}

#[test]
fn minus_must_earn_three_letters_where_the_eye_accommodates() {
    let young = || Start {
        end_point: EndPoint::EqualElseFirstGreen,
        ..start(EyeKind::Accommodating, "-1.00", RefinedFor::Room)
    };
    // Fog, down through red at −1.00 to green at −1.25.
    let why = |answers: &[Answer], score| {
        after(young(), answers, &[white(score)]).courses[0].standing().unwrap().why
    };
    assert_eq!(why(&[R, R, R, G, G], "20/20+2"), Stands::TooLittleGain(2));
    assert_eq!(why(&[R, R, R, G, G], "20/20+5"), Stands::Balanced);
    // Three letters earn it only if they are read a second time.
    let twice = [white("20/20+3"), white("20/20+3")];
    assert_eq!(after(young(), &[R, R, R, G, G], &twice[..1]).stage(), Stage::White);
    let stands = after(young(), &[R, R, R, G, G], &twice).courses[0].standing().unwrap().why;
    assert_eq!(stands, Stands::Balanced);
    // Without more minus there is nothing to earn.
    assert_eq!(why(&[R, R, S, S], "20/20"), Stands::Balanced);
}

#[test]
fn too_much_minus_offers_three_ways_on() {
    let young = || start(EyeKind::Accommodating, "-1.00", RefinedFor::Room);
    assert_eq!(after(young(), &[R; 5], &[]).stage(), Stage::TooMuchMinus);
    let again = after(young(), &[R; 5], &[Event::AfterMinus(AfterMinus::FogAgain)]);
    same(question(&again).sphere, -0.5);
    assert_eq!(again.courses[0].fogged_again, 1);
    let kept = after(young(), &[R; 5], &[Event::AfterMinus(AfterMinus::KeepManifest)]);
    assert_eq!(kept.stage(), Stage::Choose);
    let relaxed = after(young(), &[R; 5], &[Event::AfterMinus(AfterMinus::Relax)]);
    assert_eq!(relaxed.stage(), Stage::OtherEye(Laterality::Left));
    assert_eq!(
        (relaxed.courses[0].chosen, relaxed.courses[0].chosen_sphere()),
        (Some(Choice::Nothing), None)
    );
    same(kept.courses[0].standing().unwrap().here, -1.0);
}

#[test]
fn the_other_eye_and_both_together_follow() {
    let first = after(
        start(EyeKind::Presbyopic, "0", RefinedFor::Room),
        &[R, G, G],
        &[white("20/20"), Event::Chosen(Choice::FarQuarter)],
    );
    assert_eq!(first.stage(), Stage::OtherEye(Laterality::Left));
    let again = Event::Started(Box::new(start(EyeKind::Presbyopic, "0", RefinedFor::Room)));
    assert_eq!(first.clone().after(&again), Err(Misfit::SameEye));
    let left = Start { eye: Laterality::Left, ..start(EyeKind::Presbyopic, "0", RefinedFor::Room) };
    let mut both = first.clone().after(&Event::Started(Box::new(left))).unwrap();
    for event in
        [R, G, G].map(Event::Answered).into_iter().chain([white("20/20"), Event::Chosen(Choice::Nothing)])
    {
        both = both.after(&event).unwrap();
    }
    for step in BinocularStep::ALL {
        assert_eq!(both.stage(), Stage::Binocular(step));
        both = both.after(&Event::Binocular(step, false)).unwrap();
    }
    assert_eq!(both.stage(), Stage::Closed);
    assert_eq!(first.after(&Event::OneEyeOnly).unwrap().stage(), Stage::Closed);
}

#[test]
fn undoing_is_as_if_it_had_not_been() {
    let young = || start(EyeKind::Accommodating, "-1.00", RefinedFor::Room);
    let before = after(young(), &[R, R], &[]);
    let undone = before.clone().after(&Event::Answered(S)).unwrap().after(&Event::Undone).unwrap();
    assert_eq!((&undone.courses, undone.stage()), (&before.courses, before.stage()));
    let begun = after(young(), &[], &[]);
    assert_eq!(begun.after(&Event::Undone), Err(Misfit::NothingToUndo));
}

#[test]
fn nothing_comes_out_of_turn() {
    let begun = after(start(EyeKind::Presbyopic, "0", RefinedFor::Room), &[], &[]);
    for event in [white("20/20"), Event::Chosen(Choice::Nothing), Event::OneEyeOnly] {
        assert_eq!(begun.clone().after(&event), Err(Misfit::OutOfTurn));
    }
}

#[test]
fn what_no_eye_has_is_refused() {
    use super::super::StartError;
    let presbyopic = || start(EyeKind::Presbyopic, "-3.75/-0.50x90", RefinedFor::Room);
    assert!(matches!(presbyopic().checked(), Err(StartError::NoVertex(_))));
    assert!(Start { vertex: Some(Length::mm(12.0)), ..presbyopic() }.checked().is_ok());
    assert!(matches!(
        Start { vertex: Some(Length::mm(40.0)), ..presbyopic() }.checked(),
        Err(StartError::Vertex(_))
    ));
    let young =
        Start { procedure: Procedure::Bracket, ..start(EyeKind::Accommodating, "0", RefinedFor::Room) };
    assert_eq!(young.clone().checked(), Err(StartError::Rules(RulesError::BracketAccommodates)));
    // Nor does an examination begin with one that was not checked.
    let begun = Examination::default().after(&Event::Started(Box::new(young)));
    assert_eq!(begun, Err(Misfit::Rules(RulesError::BracketAccommodates)));
}

#[test]
fn cautions_come_when_they_hold() {
    let says = |examination: &Examination, words: &str| {
        examination.courses[0].cautions().iter().any(|caution| caution.what.contains(words))
    };
    let poor =
        Start { acuity: "20/40".parse().unwrap(), ..start(EyeKind::Presbyopic, "0", RefinedFor::Room) };
    assert!(says(&after(poor, &[], &[]), "poorer than 20/30"));
    let at_limit =
        Start { acuity: "6/9".parse().unwrap(), ..start(EyeKind::Presbyopic, "0", RefinedFor::Room) };
    assert!(!says(&after(at_limit, &[], &[]), "poorer than 20/30"));
    let customary =
        Start { procedure: Procedure::Customary, ..start(EyeKind::SmallAperture, "0", RefinedFor::Room) };
    assert!(says(&after(customary, &[], &[]), "err differently"));
    let run = |answers: &[Answer]| after(start(EyeKind::Presbyopic, "0", RefinedFor::Room), answers, &[]);
    assert!(
        !says(&run(&[R; 4]), "the only clear answer")
            && says(&run(&[R; 5]), "“red” was the only clear answer, 5")
    );
    assert!(!says(&run(&[R; 5]), "too blurred there") && says(&run(&[R; 6]), "too blurred there"));
    let far =
        after(start(EyeKind::Presbyopic, "0", RefinedFor::Room), &[R, R, R, R, G, G], &[white("20/20")]);
    assert_eq!(
        far.courses[0].standing().map(|standing| standing.here.to_string()).as_deref(),
        Some("−0.75 D")
    );
    assert!(says(&far, "more than 0.50 D"));
    let typed = |score| after(start(EyeKind::Presbyopic, "0", RefinedFor::Room), &[R, G, G], &[white(score)]);
    assert!(says(&typed("20/2"), "more than two lines") && !says(&typed("20/12.5"), "more than two lines"));
    let first_green = Start {
        end_point: EndPoint::EqualElseFirstGreen,
        ..start(EyeKind::Accommodating, "0", RefinedFor::Room)
    };
    assert!(says(&after(first_green, &[], &[]), "Teachers differ"));
}

/// Both eyes done, as far as steps with both of them.
fn both_done(kinds: [EyeKind; 2], intended: [Option<f64>; 2], acuities: [&str; 2]) -> Examination {
    let mut events = Vec::new();
    for (place, kind) in kinds.into_iter().enumerate() {
        let asked = if kind.accommodates() { Procedure::FromPlus } else { Procedure::Customary };
        events.push(Event::Started(Box::new(Start {
            eye: Laterality::ALL[place],
            intended: intended[place].map(Dioptres::new),
            acuity: acuities[place].parse().unwrap(),
            procedure: asked,
            ..start(kind, "-1.00", RefinedFor::Room)
        })));
        let answers: &[Answer] = if kind.accommodates() { &[R, R, S, S] } else { &[R, S, S] };
        events.extend(answers.iter().map(|answer| Event::Answered(*answer)));
        events.extend([white(acuities[place]), Event::Chosen(Choice::HereQuarter)]);
    }
    Examination::of(&events).unwrap()
}

#[test]
fn steps_with_both_eyes_are_left_out_where_they_would_do_harm() {
    use EyeKind::{Accommodating, SmallAperture};
    let why = |kinds, intended, acuities| {
        both_done(kinds, intended, acuities).better_left_out(BinocularStep::BalanceBetweenEyes)
    };
    let both = [Accommodating; 2];
    assert_eq!(why(both, [None; 2], ["20/20"; 2]), None);
    let apart = why(both, [None, Some(-0.75)], ["20/20"; 2]).unwrap();
    assert!(apart.contains("0.75 D apart"), "{apart}");
    let unequal = why(both, [None; 2], ["20/20", "20/32"]).unwrap();
    assert!(unequal.contains("0.20 logMAR") && unequal.contains("the right one"), "{unequal}");
    assert_eq!(why(both, [None; 2], ["20/20", "20/25"]), None, "a line is not unequal");
    let neither = why([SmallAperture, EyeKind::Pseudophakic], [None; 2], ["20/20"; 2]).unwrap();
    assert!(neither.contains("nothing to relax"), "{neither}");
}

#[test]
fn both_eyes_and_near_are_noted_in_their_turn() {
    use crate::balance::{Apart, Clearer, Near, Sphere};
    let mut examination = both_done([EyeKind::Accommodating; 2], [None; 2], ["20/20"; 2]);
    let near = Near {
        distance: Length::mm(400.0),
        add: Dioptres::new(1.0),
        acuity: None,
        clear: None,
        red_green: Some(G),
    };
    assert_eq!(examination.clone().after(&Event::Near(Box::new(near))), Err(Misfit::OutOfTurn));
    let read = |score: &str| Event::BothRead(score.parse().unwrap());
    for (event, out_of_turn) in [
        (Event::Apart(Apart::Cover), Event::Compared(Clearer::Same)),
        (Event::Compared(Clearer::Left), Event::Leads(Laterality::Left)),
        (Event::Compared(Clearer::Same), read("20/20")),
        (read("20/20"), Event::Compared(Clearer::Same)),
        (read("20/25"), Event::Framed(Dioptres::new(0.0))),
        (read("20/16"), Event::Framed(Dioptres::new(0.0))),
        (Event::Framed(Dioptres::new(0.25)), Event::Framed(Dioptres::new(0.1))),
        (Event::Near(Box::new(near)), Event::BothRead("20/20".parse().unwrap())),
    ] {
        assert!(examination.clone().after(&out_of_turn).is_err(), "{out_of_turn:?} before {event:?}");
        if examination.stage() == Stage::Binocular(BinocularStep::AcuityWithBoth) {
            // +0.25 D was refused, so what counts is what was read without it.
            assert_eq!(examination.read_before(), Some("20/20".parse().unwrap()));
        }
        examination.happen(&event).unwrap();
    }
    assert_eq!(examination.stage(), Stage::Closed);
    assert_eq!(examination.both.sphere(), Sphere::Done(Clicks::NONE));
    assert!(examination.binocular.iter().all(|(_, done)| *done));
    // By hand: each chose the lens of the room; 0.25 to the left one by comparing, nothing by the sphere, 0.25 to both by the frame.
    let [right, left] = Laterality::ALL.map(|eye| {
        let chosen = examination.runs_of(eye)[0].chosen_sphere().unwrap();
        (examination.ends_with(eye).unwrap().sphere - chosen).to_d()
    });
    assert!((right - 0.25).abs() < 1e-9 && (left - 0.5).abs() < 1e-9, "{right} {left}");
    // A step that is left off in the middle comes to nothing.
    let mut left_off = both_done([EyeKind::Accommodating; 2], [None; 2], ["20/20"; 2]);
    for event in [
        Event::Apart(Apart::Cover),
        Event::Compared(Clearer::Left),
        Event::Binocular(BinocularStep::BalanceBetweenEyes, false),
    ] {
        left_off.happen(&event).unwrap();
    }
    assert_eq!(left_off.both, BothEyes::default());
}

#[test]
fn what_was_intended_is_held_against_what_stands() {
    // By hand: −1.25 stands in the room, −1.5625 far away; with −0.50 of cylinder its spherical equivalent is −1.8125.
    let meant = |intended: f64, manifest: &str| {
        let one = start(EyeKind::Pseudophakic, manifest, RefinedFor::Room);
        let one = Start { procedure: Procedure::Customary, intended: Some(Dioptres::new(intended)), ..one };
        after(one, &[R, S, S], &[white("20/20")]).courses[0].clone()
    };
    for (intended, manifest, off, as_intended) in [
        (-1.5, "-1.00", -0.0625, true),
        (-1.25, "-1.00", -0.3125, false),
        (-1.75, "-1.00", 0.1875, true),
        (-1.75, "-1.00/-0.50x90", -0.0625, true),
        (-2.5, "-1.00", 0.9375, false),
    ] {
        let course = meant(intended, manifest);
        same(course.off_the_intended().unwrap(), off);
        assert_eq!(course.is_as_intended(), Some(as_intended), "{intended}");
        let said = course.intended_in_words().unwrap();
        assert_eq!(said.contains("as intended"), as_intended, "{said}");
    }
    let one =
        Start { procedure: Procedure::Customary, ..start(EyeKind::Pseudophakic, "-1.00", RefinedFor::Room) };
    let nothing = after(one, &[R, S, S], &[white("20/20")]);
    assert_eq!(nothing.courses[0].intended_in_words(), None);
}

#[test]
fn a_lens_for_far_away_is_a_vergence_less_plus_than_one_of_the_room() {
    let chosen = |refined_for, choice: Choice| {
        let eye = start(EyeKind::Presbyopic, "-1.00", refined_for);
        let done = after(eye, &[S, R, G, G], &[white("20/20"), Event::Chosen(choice)]);
        done.courses[0].lens_far().unwrap().sphere.to_string()
    };
    // By hand: the room is 3.2 m away, 0.3125 D; of −1.00 D −1.31 is left, to the nearest quarter −1.25 D.
    let same = chosen(RefinedFor::Room, Choice::HereExact);
    assert_eq!((same.as_str(), chosen(RefinedFor::Room, Choice::FarQuarter)), ("−1.25 D", "−1.25 D".into()));
    assert_eq!(chosen(RefinedFor::Room, Choice::FarExact), "−1.31 D");
    assert_eq!(chosen(RefinedFor::Room, Choice::Manifest), "−1.25 D");
    assert_eq!(chosen(RefinedFor::FarAway, Choice::Manifest), "−1.00 D", "it was refined for there");
}

#[test]
fn names_are_those_of_records() {
    use crate::balance::{Apart, Clearer, ColourVision, Laterality};
    fn are<T: serde::Serialize + Copy>(all: &[T], name: impl Fn(T) -> &'static str) {
        for one in all {
            assert_eq!(serde_json::to_value(one).unwrap(), name(*one));
        }
    }
    are(&Answer::ALL, Answer::name);
    are(&EyeKind::ALL, EyeKind::name);
    are(&Procedure::ALL, Procedure::name);
    are(&ColourVision::ALL, ColourVision::name);
    are(&Laterality::ALL, Laterality::name);
    are(&Choice::ALL, Choice::name);
    are(&AfterMinus::ALL, AfterMinus::name);
    are(&Clearer::ALL, Clearer::name);
    are(&Apart::ALL, Apart::name);
    are(&EndPoint::ALL, EndPoint::key);
    are(&BinocularStep::ALL, BinocularStep::name);
}

#[test]
fn nothing_can_be_taken_back_before_something_was_done() {
    let begun = after(start(EyeKind::Presbyopic, "0", RefinedFor::Room), &[], &[]);
    assert!(
        !Examination::default().can_undo() && !begun.can_undo(),
        "an eye that was begun is described anew"
    );
    assert!(after(start(EyeKind::Presbyopic, "0", RefinedFor::Room), &[R], &[]).can_undo());
}

#[test]
fn a_reading_on_white_is_told_from_every_other() {
    let eye = || start(EyeKind::Presbyopic, "0", RefinedFor::Room);
    assert_eq!(after(eye(), &[R], &[]).reading(), None, "red and green are asked");
    // The first run, no step with both eyes, nothing read so far; then one reading more.
    let asked = after(eye(), &[S, R, G, G], &[]);
    assert_eq!((asked.stage(), asked.reading()), (Stage::White, Some([1, 0, 0])));
}

#[test]
fn questions_that_said_nothing_of_the_focus_are_known_as_such() {
    let course = |answers: &[Answer]| {
        after(start(EyeKind::Presbyopic, "0", RefinedFor::Room), answers, &[]).courses.remove(0)
    };
    let cannot_tell = course(&[U, U, U]);
    assert_eq!(cannot_tell.end(), Some(End::CouldNotTell));
    assert!(cannot_tell.ended_by_the_answering());
    assert_eq!(cannot_tell.standing().unwrap().why, Stands::NotDecided);
    let [open, decided] = [course(&[R]), course(&[R, G, G])];
    // Nor does the model say where balance lies by answers of this kind.
    let always_red = (1..20).map(|count| course(&vec![R; count])).find(|one| one.end().is_some()).unwrap();
    assert!(always_red.ended_without_a_change() && !always_red.ended_by_the_answering());
    assert!(cannot_tell.whereabouts().is_none() && always_red.whereabouts().is_none());
    for one in [&open, &decided] {
        assert!(!one.ended_by_the_answering() && !one.ended_without_a_change(), "{one:?}");
    }
    // With sides swapped red lies on the right, to which green pointed before.
    assert!(course(&[R, G, R]).kept_to_side() && !decided.kept_to_side());
}

#[test]
fn nearer_to_the_manifest_counts_whichever_series_came_to_it() {
    let small = || start(EyeKind::SmallAperture, "-0.75", RefinedFor::Room);
    assert_eq!(question(&after(small(), &[], &[])).why, Why::Manifest);
    // By the test above: −4 clicks at first and −5 then; a click apart, so that they agree.
    let twice = [R, R, S, G, R, S, R, R, R, G, R];
    let ends: Vec<Option<f64>> = {
        let course = &after(small(), &twice, &[]).courses[0];
        let lens = |end: Option<End>| end.and_then(|end| course.lens_of(end)).map(Dioptres::to_d);
        vec![lens(course.first_end()), lens(course.end()), course.left_in().map(Dioptres::to_d)]
    };
    assert_eq!(ends, [Some(-1.75), Some(-2.0), Some(-1.75)]);
}

#[test]
fn what_a_patient_sees_is_told_from_what_an_examiner_does() {
    let score = || "20/20".parse().unwrap();
    for event in [
        Event::Answered(S),
        Event::Limit(Legible::Lost),
        Event::White(score()),
        Event::Compared(crate::balance::Clearer::Same),
        Event::BothRead(score()),
    ] {
        assert!(event.is_seen(), "{event:?}");
    }
    for event in [Event::AlsoMidpoint, Event::Undone, Event::Chosen(Choice::Manifest), Event::OneEyeOnly] {
        assert!(!event.is_seen(), "{event:?}");
    }
}

#[test]
fn the_lens_before_an_eye_is_what_stands_or_the_manifest_as_was_chosen() {
    let eye = || Start {
        procedure: Procedure::Customary,
        ..start(EyeKind::Pseudophakic, "-1.00", RefinedFor::Room)
    };
    let here = |choice: Option<Choice>| {
        let chosen = choice.map(Event::Chosen);
        let then: Vec<Event> = [white("20/20")].into_iter().chain(chosen).collect();
        after(eye(), &[R, S, S], &then).courses[0].lens_here().map(|lens| lens.sphere.to_d())
    };
    assert_eq!(here(None), None);
    for choice in [Choice::HereQuarter, Choice::HereExact, Choice::FarQuarter, Choice::FarExact] {
        assert_eq!(here(Some(choice)), Some(-1.25), "{choice:?}");
    }
    for choice in [Choice::Manifest, Choice::Nothing] {
        assert_eq!(here(Some(choice)), Some(-1.0), "{choice:?}");
    }
}

#[test]
fn letters_may_be_five_lines_larger_and_no_more() {
    use super::super::StartError;
    let eye = |lines_above| Start { lines_above, ..start(EyeKind::Presbyopic, "0", RefinedFor::Room) };
    assert!(eye(0).checked().is_ok() && eye(5).checked().is_ok());
    assert!(matches!(eye(6).checked(), Err(StartError::Target(6, _))));
}

#[test]
fn an_eye_that_accommodates_meets_each_adaptive_lens_as_plus_is_taken_away() {
    let young = || {
        let eye = start(EyeKind::Accommodating, "-1.00", RefinedFor::Room);
        Start { procedure: Procedure::Adaptive, ..eye }
    };
    let mut ways = [false; 2];
    for answers in [&[][..], &[R], &[G], &[S], &[R, R], &[G, G], &[R, G]] {
        let Stage::Ask(question) = after(young(), answers, &[]).stage() else { continue };
        // A lens with more minus than the one before takes plus away by itself; nothing stood before the first.
        let takes_plus_away = !answers.is_empty() && question.moved < Clicks::NONE;
        assert_eq!(question.blur_first.is_none(), takes_plus_away, "{answers:?} {question:?}");
        ways[usize::from(takes_plus_away)] = true;
        if answers.is_empty() {
            assert_eq!(question.why == Why::Manifest, question.change.to_d().abs() < 1e-9, "{question:?}");
        } else {
            assert_eq!(question.why, Why::TellsMost, "{answers:?}");
        }
    }
    assert_eq!(ways, [true; 2]);
}

#[test]
fn eyes_meant_alike_or_both_poor_are_balanced_and_the_better_one_is_named() {
    use EyeKind::Accommodating;
    let why =
        |step, intended, acuities| both_done([Accommodating; 2], intended, acuities).better_left_out(step);
    let [between, sphere, acuity] =
        [BinocularStep::BalanceBetweenEyes, BinocularStep::SphereWithBoth, BinocularStep::AcuityWithBoth];
    // A quarter apart is no different distance.
    assert_eq!(why(between, [Some(-0.5), Some(-0.75)], ["20/20"; 2]), None);
    let apart = [None, Some(-1.5)];
    assert!(why(sphere, apart, ["20/20"; 2]).is_some_and(|why| why.contains("1.50 D apart")));
    assert_eq!(why(acuity, apart, ["20/20"; 2]), None, "acuity is read whatever eyes are meant for");
    assert_eq!(why(between, [None; 2], ["20/40"; 2]), None);
    let left = why(between, [None; 2], ["20/32", "20/20"]).unwrap();
    assert!(left.contains("the left one"), "{left}");
}
